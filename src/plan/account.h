/* What given rates make and use: the plan's sums and limits, without a
 * solver. */
#ifndef PLAN_ACCOUNT_H
#define PLAN_ACCOUNT_H

#include "plan/plan.h"

/* Rates to be counted, in the field's order. */
struct account_rates {
    const double *gas_sm3s; /* [n_wells] */
    const bool *shut;       /* [n_wells]; NULL: none */
    /* bought, sales and flare to begin with */
    struct gas_balance balance;
    /* Units that run and what passes them to begin with, [n_compressors];
     * NULL: all that may run, but for those that only the plan would start
     * and whose least rate is not needed. */
    const struct unit_load *load;
};

/* Fills everything but prices, conflict and work; nothing is known of a
 * bound: INFINITY, PLAN_STOPPED. The station is settled as account_settle
 * does. */
void account_fill(const struct field *f, const struct curve *curves,
                  const struct plan_options *o,
                  const struct account_rates *rates, struct arena *a,
                  struct plan *out);

/* What has a price. */
struct account_flows {
    double oil_sm3s, water_sm3s;
    const struct gas_balance *balance;
    size_t n_units;
    const struct plan_unit *unit; /* [n_units] in the field's order */
    double moves_a_day;
};

/* Income less all costs, $ per s; 0 without prices. */
double account_money(const struct field *f, const struct account_flows *x);

/* Close the balance for b's formation and lift gas with as little change of
 * the other flows as it takes: what is left over is first not bought, then
 * sold, then flared; what is missing is first not flared, then not sold, then
 * bought. Flows pass their limits only when nothing else closes it. load
 * [n_compressors] as in balance_close. */
void account_settle(const struct field *f, struct gas_balance *b,
                    struct unit_load *load);

#endif
