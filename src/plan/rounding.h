/* From a mixture of offers to one mode for each well. */
#ifndef PLAN_ROUNDING_H
#define PLAN_ROUNDING_H

#include "prices.h"

/* mode[n_wells]: origins. A block whose offers agree on all modes keeps them.
 * Another takes one offer whole, the larger ones first: the one that loses
 * least at the mixture's prices and least moves the sums of rows away from the
 * mixture's, `caution` times at their prices. Rows that count wells (moves)
 * cannot be put right by set points later: they are never passed, and count
 * in full. */
void round_mixture(const struct prices *q, double caution, size_t *mode);

/* Counts wells, not what they make. */
static inline bool row_counts_wells(const struct limit_row *r)
{
    return r->use[USE_MOVED] != 0 || r->use[USE_RUNS] != 0;
}

#endif
