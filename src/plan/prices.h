/* The search for the prices at which the blocks' answers fit together: a
 * small linear program over the offers made so far, its prices asked next. */
#ifndef PLAN_PRICES_H
#define PLAN_PRICES_H

#include "num/tol.h"
#include "offers.h"

struct tableau;

/* A part of all choices, and what is known of it. */
struct prices {
    const struct asking *asking;
    const struct problem *problem;  /* its units, bounds of rows */
    const struct menu *const *menu; /* [n_wells] */
    double gap;                     /* absolute, at which to stop */
    double cutoff;                  /* a bound below this ends the search */
    size_t n_offers;
    const struct offer *offer[PRICES_OFFERS];
    const struct offer *best; /* of the lowest bound; its prices prove it */
    double bound;
    bool is_stuck; /* a block found no plan: its answer is only a bound */
    bool is_exact; /* bound and mixture differ by no more than gap */
    /* The mixture: weights of the offers, flows, which part of a unit runs. */
    double value;   /* what it is worth, less than the promise where the box of
                       prices leaves a row short of its bound, or past it */
    double promise; /* what the prices make of it */
    double past;    /* what rows are passed by; of an exact one rounding */
    double weight[PRICES_OFFERS][PRICES_GROUPS]; /* 1 in all, of each group */
    double *column;                              /* [n_columns] */
    double *runs;                                /* [n_units] */
    double *row_price;                           /* [n_rows] of the mixture */
    /* Of the search. */
    double range;  /* of the goal over all that wells and station do */
    double *scale; /* [n_bound] price at which a whole row is worth that */
    double radius; /* of the box of prices round the best, in scales */
    double cap, cap_last; /* of prices, in scales: at first, and never more */
};

void prices_start(const struct asking *k, const struct problem *p,
                  const struct menu *const *menu, double gap,
                  struct prices *out);

/* An offer's weight for a block, and for the heaviest group. */
double prices_weight(const struct prices *q, size_t offer, size_t block);
double prices_weight_most(const struct prices *q, size_t offer);

/* An offer made under these menus. */
void prices_offer(struct prices *q, const struct offer *o);

/* Ask at given prices; true: that lowered the bound. */
bool prices_ask(struct prices *q, double *row_price);

/* Until the bound is within the gap of the mixture, falls below the cutoff,
 * or after so many asks. Offers must have been made. */
void prices_find(struct prices *q, long asks_most);

#endif
