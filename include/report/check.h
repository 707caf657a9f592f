/* What was read: a scenario that is sound, counted so that nothing is lost
 * without a word. */
#ifndef REPORT_CHECK_H
#define REPORT_CHECK_H

#include "report/report.h"

/* Table: the counts, a line for each well, the warnings. CSV: a row for each
 * well. JSON: all of it. Errors are not shown: with one there is no report. */
void report_check(const struct report *r, enum report_format f,
                  struct strbuf *out);

#endif
