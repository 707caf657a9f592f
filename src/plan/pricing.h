/* What one more of each limit is worth, and of gas, in SI, from the prices of
 * a problem's rows. */
#ifndef PLAN_PRICING_H
#define PLAN_PRICING_H

#include "problem.h"

/* row_price[n_rows] with modes and units fixed, clipped in passing. With modes
 * fixed a move has no price: moves_price is that of the relaxation. Sets
 * plan's prices and those of its limits. */
void pricing_set(const struct problem *p, double *row_price, double moves_price,
                 struct plan *out);

/* The row of a limit; n_rows when it is that of a flow. */
size_t pricing_row(const struct problem *p, const struct plan_limit *l);

#endif
