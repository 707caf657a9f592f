/* The morning report: what to set today, what it is worth, why, and what
 * proves it. */
#ifndef REPORT_MORNING_H
#define REPORT_MORNING_H

#include "plan/morning.h"
#include "report/report.h"

/* Table: one page to read at six in the morning. CSV: a row for each well.
 * JSON: all of it. */
void report_morning(const struct report *r, const struct morning *m,
                    enum report_format f, struct strbuf *out);

#endif
