/* Every well's lift curve. */
#ifndef REPORT_CURVES_H
#define REPORT_CURVES_H

#include "report/report.h"

/* Table: a line for each well. CSV and JSON: every point. */
void report_curves(const struct report *r, enum report_format f,
                   struct strbuf *out);

#endif
