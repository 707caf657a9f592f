/* What all blocks answer when asked at prices, added up: an offer of the
 * field. Offers are kept with each block's part, so that a change of one
 * block's menus, or of any limit, leaves the rest of them good. */
#ifndef PLAN_OFFERS_H
#define PLAN_OFFERS_H

#include "block.h"

/* Sums over wells. */
struct tally {
    double use[N_USES];
    double *span; /* [n_span] */
};

/* A block's part of an offer. */
struct part {
    double bound; /* no plan of the block is worth more at these prices */
    bool has_plan;
    struct tally tally;
    struct stand *stand; /* [n] of the block */
    double *row_price;   /* [n_rows] of the block, of its first leaf */
};

struct offer {
    double *row_price; /* [n_rows]; the blocks' own are 0 */
    double bound;      /* sum of the parts' */
    bool is_whole;     /* each block has a plan */
    struct tally tally;
    struct tally *group; /* [n_groups] the same by groups of blocks */
    /* All parts, or one that replaces that of another offer. */
    const struct offer *base; /* NULL: part[n_blocks] */
    size_t block;
    const struct part *part;
};

/* How blocks are asked. */
struct asking {
    const struct problem *problem; /* ties in its goal, see asking_make */
    const struct blocks *blocks;
    /* Blocks in groups whose offers are mixed each by itself: the more, the
     * sooner prices are found, and the fewer blocks' offers differ. */
    size_t n_groups;
    size_t n_bound;      /* shared rows with a bound */
    const size_t *bound; /* [n_bound] */
    size_t n_span;       /* shared rows beyond the field's, then the tie row */
    const size_t *span;  /* [n_span] */
    size_t *span_of;     /* [n_rows + 1] index in span, or SIZE_MAX */
    double tie_rank;     /* the tie row's price */
    double range;        /* of the goal over all that wells and station do */
    struct arena *arena; /* of all that lasts */
    size_t n_threads;
    struct arena *scratch; /* [n_threads] */
};

/* Small costs that choose among plans of the same value become part of the
 * goal, unless has_ties is false. Gas by the wells' rank is a row at a fixed
 * price, one past the problem's rows. */
void asking_make(const struct problem *p, const struct blocks *blocks,
                 bool has_ties, struct arena *a, struct asking *out);
/* Groups for so many blocks. */
size_t asking_groups(size_t n_blocks);
void asking_release(struct asking *k);

/* A price for each row, the tie row's set, all others 0. */
double *asking_prices(const struct asking *k);

/* menu[n_wells]. row_price is clipped and kept by address. near: another offer,
 * under the same menus at prices not far from these, or NULL; it saves time,
 * and lends its part where a block finds no plan. */
const struct offer *offer_ask(const struct asking *k,
                              const struct menu *const *menu, double *row_price,
                              const struct offer *near);

/* The same offer with one block asked again at the offer's prices. */
const struct offer *offer_change(const struct asking *k, const struct offer *o,
                                 const struct menu *const *menu, size_t block);

/* Of a block. */
static inline size_t asking_group(const struct asking *k, size_t block)
{
    return block * k->n_groups / k->blocks->n;
}

const struct part *offer_part(const struct offer *o, size_t block);

/* What no plan can be worth more than, station included. p: units and bounds
 * in force. */
double offer_bound(const struct problem *p, const struct offer *o);

/* One block asked at prices. */
struct question {
    const struct asking *asking;
    const struct menu *const *menu; /* [n_wells] */
    const struct worth *worth;
    size_t block;
    const struct part *near; /* its part of another offer, or NULL */
};

/* The answer in the arena. */
void question_answer(const struct question *q, struct arena *a,
                     struct block_answer *out);

void tally_add(const struct asking *k, size_t bidder, const struct stand *s,
               double weight, struct tally *sum);
/* All groups empty. */
struct tally *tally_groups(const struct asking *k, struct arena *a);
struct tally tally_new(const struct asking *k, struct arena *a);

/* What a shared row counts, and the goal, ties with it. */
double tally_row(const struct asking *k, const struct tally *t, size_t row);
double tally_value(const struct asking *k, const struct tally *t);

#endif
