/* The three writers of the market report, and what they share. */
#ifndef MARKET_H
#define MARKET_H

#include "report/market.h"

void market_table(const struct report *r, const struct market *m,
                  struct strbuf *out);
void market_csv(const struct report *r, const struct market *m,
                struct strbuf *out);
void market_json(const struct report *r, const struct market *m,
                 struct strbuf *out);

/* The plan with today's gas, by the objective asked for. */
const struct plan *market_today(const struct market *m);
/* "oil", "money", "gas" */
const char *market_objective_key(enum plan_objective objective);

/* What one more Sm3 brings from point i to the next, of the sums as they are:
 * oil per gas, and $ per Sm3. NaN at the end and where there is no plan. */
double market_oil_slope(const struct market_curve *c, size_t i);
double market_money_slope(const struct market_curve *c, size_t i);

/* Where a Sm3 of lift gas comes from, and so what it costs. */
#define MARKET_COST_LIST(X)                                            \
    X(recirculated, "spare compression: it goes round, fuel and wear") \
    X(full, "compression full: the price from the plan")               \
    X(displaced, "displacing sales: fuel, wear and the sale it takes") \
    X(bought, "bought: fuel, wear and the price paid")

#endif
