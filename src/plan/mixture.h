/* The best mixture of wells' set points under a few rows that tie the wells:
 * what a block is worth if wells could be in several modes at once. Its prices
 * prove that no plan of the block is worth more. */
#ifndef PLAN_MIXTURE_H
#define PLAN_MIXTURE_H

#include "tied.h"

struct share {
    struct pick pick;
    double weight;
};

struct mixture;

struct mixture *mixture_new(const struct tied_wells *t, struct arena *a);

struct mixture_answer {
    double bound; /* at the prices, in our own arithmetic */
    bool fits;    /* false: rows had to be passed, at prices beyond reason */
};

/* range[n] none empty. From where to start: price[n_rows], or NULL when nothing
 * is known; near[n]: points that may be near the best. */
struct mixture_answer mixture_solve(struct mixture *m,
                                    const struct range *range,
                                    const double *price,
                                    const struct pick *near);

/* Of the last answer: the rows' prices [n_rows], a point of each well [n]. */
const double *mixture_prices(const struct mixture *m);
const struct pick *mixture_keys(const struct mixture *m);

/* Points of a well in the last answer, weights summing to 1; share has room
 * for n_rows + 1. Returns how many. */
size_t mixture_shares(const struct mixture *m, size_t well,
                      struct share *share);

#endif
