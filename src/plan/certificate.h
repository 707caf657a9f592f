/* What proves a bound, to be added up again by anybody: parts that together
 * hold every way to run the units and the wells, each with prices at which no
 * plan of that part is worth more than the bound. */
#ifndef PLAN_CERTIFICATE_H
#define PLAN_CERTIFICATE_H

#include "block.h"

/* Units and modes that a part leaves open. */
struct certificate_part {
    double bound;
    bool is_empty;     /* no plan of this part meets every limit: its bound
                          falls below any value as the prices grow; here it is
                          below the plan's */
    double *row_price; /* [n_rows]; of shared rows; blocks' own are in leaves */
    bool *may_run, *may_stop; /* [n_units] */
    /* Only wells whose menu is smaller than the problem's. */
    size_t n_cut;
    struct {
        size_t bidder;
        const struct menu *menu;
    } * cut;
    /* Only blocks that were not answered by their wells' best points. */
    size_t n_answers;
    struct {
        size_t block, n_leaves;
        struct block_leaf *leaf;
    } * answer;
};

struct certificate {
    struct blocks blocks;
    size_t n_parts;
    struct certificate_part *part;
};

/* Adds every part up again: maxima over set points at prices, no search, no
 * solver; that the parts hold every choice is checked by walking them. The
 * bound that they prove, INFINITY when something is missing, with the reason
 * in *why. */
double certificate_bound(const struct problem *p, const struct certificate *c,
                         struct arena *a, const char **why);

#endif
