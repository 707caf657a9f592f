/* What given rates make and use: the plan's sums and limits, without a
 * solver. */
#ifndef PLAN_ACCOUNT_H
#define PLAN_ACCOUNT_H

#include "plan/plan.h"

/* gas_sm3s[n_wells] in the field's order; b holds bought, sales and flare to
 * begin with. Fills everything but prices, conflict and work; nothing is known
 * of a bound: INFINITY, PLAN_STOPPED. The station is settled as account_settle
 * does. */
void account_fill(const struct field *f, const struct curve *curves,
                  enum plan_objective objective, const double *gas_sm3s,
                  struct gas_balance b, struct arena *a, struct plan *out);

/* Close the balance for b's formation and lift gas with as little change of
 * the other flows as it takes: what is left over is first not bought, then
 * sold, then flared; what is missing is first not flared, then not sold, then
 * bought. Flows pass their limits only when nothing else closes it. */
void account_settle(const struct field *f, struct gas_balance *b);

#endif
