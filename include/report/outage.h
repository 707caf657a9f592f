/* The way through a disturbance: what happens when, what each shift does, what
 * it costs; and the cut list made beforehand. */
#ifndef REPORT_OUTAGE_H
#define REPORT_OUTAGE_H

#include "plan/outage_start.h"
#include "report/report.h"

struct outage_facts {
    const struct outage *outage;
    const struct outage_plan *plan;
    const char *const *fault;           /* of outage_verify */
    const struct outage_starts *starts; /* NULL: not asked for */
};

/* Table: the page for the control room. CSV: a row for each period and well.
 * JSON: all of it. */
void report_outage(const struct report *r, const struct outage_facts *x,
                   enum report_format f, struct strbuf *out);

struct ladder_facts {
    const struct outage *outage;
    const struct ladder *short_one, *long_one;
};

/* Table: one page for the wall. CSV and JSON: each change of each step. */
void report_ladder(const struct report *r, const struct ladder_facts *x,
                   enum report_format f, struct strbuf *out);

#endif
