/* Why a well gets what it gets in a morning's plan. */
#ifndef REPORT_EXPLAIN_H
#define REPORT_EXPLAIN_H

#include "plan/explain.h"
#include "plan/morning.h"
#include "report/report.h"

struct explain_facts {
    const struct morning *morning;
    const struct explanation *explanation;
};

void report_explain(const struct report *r, const struct explain_facts *x,
                    enum report_format f, struct strbuf *out);

#endif
