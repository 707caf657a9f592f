/* Branch and bound over units and wells' modes, best bound first. Each node
 * is a part of all choices, with the offers that are known of it. */
#ifndef PLAN_TREE_H
#define PLAN_TREE_H

#include <time.h>

#include "auction.h"
#include "setpoints.h"

/* A well's menu made smaller. */
struct cut {
    const struct cut *above; /* NULL: none */
    size_t bidder;
    const struct menu *menu;
};

struct node {
    double bound;                  /* goal, ties with it */
    const struct offer *best;      /* whose prices prove it; NULL: none yet */
    const struct problem *problem; /* its units */
    const struct cut *cut;
    size_t n_cuts;
    size_t n_offers;
    const struct offer **offer;
};

struct tree {
    const struct asking *asking;
    const struct auction_options *options;
    struct timespec start;
    const struct menu **menu; /* [n_wells] of the node at hand */
    bool has_plan, is_stopped;
    long below; /* nodes whose bound only wells below their curves reach */
    struct candidate best;
    double least; /* no plan at all is worth less */
    size_t n_open, room;
    struct node **open;
    size_t n_closed, closed_room;
    struct node **closed;
    long nodes, offers;
    size_t open_wells;  /* whose modes the first prices left open */
    double moves_price; /* of the first */
};

void tree_start(const struct asking *k, const struct auction_options *o,
                struct tree *out);

/* Until every node is closed, or the limits of nodes or time stop it. */
void tree_grow(struct tree *t);

#endif
