/* Curves drawn with characters. */
#ifndef PLOT_H
#define PLOT_H

#include "plan/market.h"
#include "report/report.h"

/* Oil against lift gas, N at this morning's rate and P at the planned one
 * (P where both are). Nothing for a dead well. */
void plot_curve(const struct report *r, const struct curve *c, double now_sm3s,
                double plan_sm3s, struct strbuf *out);

/* The field's oil, or money, against the change of its gas, T at today's. */
void plot_market(const struct report *r, const struct market_curve *c,
                 struct strbuf *out);

#endif
