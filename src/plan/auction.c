#include "auction.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "proof.h"
#include "tree.h"

/* The goal itself, from the parts of a plan. */
static double goal_of(const struct problem *p, const struct candidate *c)
{
    struct well_worth goal;
    memcpy(goal.use, p->goal, sizeof goal.use);
    double sum = 0;
    for (size_t i = 0; i < p->n_wells; i++)
        sum += worth_of_point(&goal, &c->stand[i].use,
                              &p->bidder[i].menu.mode[c->stand[i].mode]);
    for (size_t k = 0; k < p->n_columns; k++)
        sum += p->column[k].worth * c->column[k];
    for (size_t u = 0; u < p->n_units; u++)
        sum += c->unit_runs[u] ? p->unit[u].worth : 0;
    return sum;
}

static const struct menu **
fixed_menus(const struct problem *p, const struct stand *stand, struct arena *a)
{
    struct menu *one = ARENA_NEW(a, p->n_wells, struct menu);
    const struct menu **list = ARENA_NEW(a, p->n_wells, const struct menu *);
    for (size_t i = 0; i < p->n_wells; i++) {
        const struct menu *full = &p->bidder[i].menu;
        one[i] = (struct menu){full->well, 1, &full->mode[stand[i].mode]};
        list[i] = &one[i];
    }
    return list;
}

/* Shared rows as found; each block's own from its answer at these. */
static double *full_prices(const struct asking *k, const struct candidate *c,
                           struct arena *a)
{
    size_t n = k->problem->n_rows;
    double *row_price = ARENA_NEW(a, n, double);
    memcpy(row_price, c->row_price, n * sizeof *row_price);
    struct worth w = worth_at(k->problem, row_price);
    const struct menu **menu = fixed_menus(k->problem, c->stand, a);
    for (size_t b = 0; b < k->blocks->n; b++) {
        const struct block *block = &k->blocks->block[b];
        if (block->n_rows == 0)
            continue;
        struct arena_mark mark = arena_mark(&k->scratch[0]);
        struct block_answer answer;
        struct question q = {k, menu, &w, b, NULL};
        question_answer(&q, &k->scratch[0], &answer);
        for (size_t r = 0; r < block->n_rows && answer.n_leaves > 0; r++)
            row_price[block->row[r]] = answer.leaf[0].row_price[r];
        arena_rewind(&k->scratch[0], mark);
    }
    return row_price;
}

static void take_plan(const struct problem *p, const struct tree *t,
                      struct arena *a, struct auction_result *out)
{
    const struct candidate *c = &t->best;
    out->has_plan = true;
    out->value = goal_of(p, c);
    out->stand = c->stand;
    out->column = c->column;
    out->unit_runs = c->unit_runs;
    out->row_price = full_prices(t->asking, c, a);
}

enum status auction_run(const struct problem *p,
                        const struct auction_options *o, struct arena *a,
                        struct auction_result *out, struct err *err)
{
    (void)err;
    *out = (struct auction_result){.bound = (double)INFINITY};
    struct blocks blocks;
    blocks_make(p, a, &blocks);
    struct asking asking;
    asking_make(p, &blocks, true, a, &asking);
    struct tree t;
    tree_start(&asking, o, &t);
    tree_grow(&t);
    if (t.has_plan)
        take_plan(p, &t, a, out);
    out->bound = proof_write(p, &t, a, &out->certificate);
    out->is_stopped = t.is_stopped;
    out->is_impossible = !t.has_plan && t.n_open == 0 && out->bound < t.least;
    out->moves_price = t.moves_price;
    out->proof = out->certificate.n_parts > 1 ? PROOF_TREE : PROOF_PRICES;
    out->offers = t.offers;
    out->nodes = t.nodes;
    out->open_wells = t.open_wells;
    asking_release(&asking);
    return ST_OK;
}
