/* Wells that share rows of their own (a manifold's gas, a pad's liquid, a
 * route's moves), answered together and exactly: so these rows leave no
 * fractional well behind in the field's prices. */
#ifndef PLAN_BLOCK_H
#define PLAN_BLOCK_H

#include "problem.h"

struct block {
    size_t n;
    const size_t *bidder; /* [n] rising */
    size_t n_rows;
    const size_t *row; /* [n_rows] rising; whose wells are all in this block,
                          and that have no low bound */
};

/* Every bidder is in one block, every row is a block's or shared. */
struct blocks {
    size_t n;
    struct block *block;
    size_t n_shared;
    size_t *shared;   /* rows that have a price for all: the field's (all of
                         them, bound or not), then others that span blocks */
    size_t *block_of; /* [n_wells] */
};

/* Groups with limits are merged into blocks as long as these hold at most
 * BLOCK_WELLS; larger ones leave their rows to the shared ones. */
void blocks_make(const struct problem *p, struct arena *a, struct blocks *out);

struct block_answer {
    double bound;        /* no plan of the block is worth more */
    double value;        /* of the plan below, at most the bound; -INFINITY:
                            these menus leave none */
    struct stand *stand; /* [n] */
    long nodes;          /* of its own branch and bound */
    /* What proves the bound: leaves that together hold every choice of modes,
     * each with prices of the block's rows. */
    size_t n_leaves;
    struct block_leaf *leaf;
};

/* A part of the choices: for each well the modes that are left, as a bound
 * and prices prove them. */
struct block_leaf {
    double *row_price;              /* [n_rows] of the block */
    const struct menu *const *menu; /* [n], the caller's own where no mode is
                                       left out */
    double bound;
};

/* At these prices (w: the shared rows' are set, the block's own count as 0).
 * menu[n]: what each well may choose from, modes with the origin they have in
 * the problem's menus; menus of one mode each give the best set points for
 * these. After nodes_max the bound is that of what is open. */
void block_answer(const struct problem *p, const struct block *b,
                  const struct menu *const *menu, const struct worth *w,
                  long nodes_max, struct arena *a, struct block_answer *out);

/* The same, several times faster where prices of the block's rows are known
 * that may be near its own: those of the first leaf at other shared prices. */
void block_answer_near(const struct problem *p, const struct block *b,
                       const struct menu *const *menu, const struct worth *w,
                       const double *row_price, long nodes_max, struct arena *a,
                       struct block_answer *out);

#endif
