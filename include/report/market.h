/* The market report: what more lift gas would yield, where buying and selling
 * pay, and what everything that limits the field is worth today. */
#ifndef REPORT_MARKET_H
#define REPORT_MARKET_H

#include "plan/market.h"
#include "report/report.h"

/* Table: the page for a talk about gas. CSV: a row for each point of the
 * curve. JSON: all of it. */
void report_market(const struct report *r, const struct market *m,
                   enum report_format f, struct strbuf *out);

#endif
