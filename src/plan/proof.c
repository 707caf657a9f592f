#include "proof.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"

/* All blocks with their whole menus, at one set of prices. */
struct asked {
    const double *row_price;
    struct worth worth;
    double *bound;             /* [n_blocks] */
    struct block_answer *need; /* [n_blocks] n_leaves 0: best points do */
};

struct writer {
    struct asking plain;
    const struct menu **menu; /* [n_wells] the problem's own */
    size_t n_asked;
    struct asked *asked;
    struct arena *arena;
};

static bool is_plain(const struct block *b, const struct block_answer *answer)
{
    bool is = answer->n_leaves == 1;
    for (size_t r = 0; r < b->n_rows && is; r++)
        is = answer->leaf[0].row_price[r] == 0;
    return is;
}

/* Asks one block; keeps its leaves only when they are needed. */
static void ask(struct writer *k, const struct worth *w, size_t block,
                const struct part *near, double *bound,
                struct block_answer *need)
{
    struct arena_mark mark = arena_mark(k->arena);
    struct question q = {&k->plain, k->menu, w, block, near};
    question_answer(&q, k->arena, need);
    *bound = need->bound;
    if (!is_plain(&k->plain.blocks->block[block], need))
        return;
    arena_rewind(k->arena, mark);
    need->n_leaves = 0;
}

static const struct asked *asked_at(struct writer *k, const struct offer *o)
{
    for (size_t i = 0; i < k->n_asked; i++)
        if (k->asked[i].row_price == o->row_price)
            return &k->asked[i];
    size_t n = k->plain.blocks->n;
    double *own = asking_prices(&k->plain);
    memcpy(own, o->row_price, (k->plain.problem->n_rows - 1) * sizeof *own);
    struct asked *new = &k->asked[k->n_asked++];
    *new = (struct asked){
        .row_price = o->row_price,
        .worth = worth_at(k->plain.problem, own),
        .bound = ARENA_NEW(k->arena, n, double),
        .need = ARENA_NEW(k->arena, n, struct block_answer),
    };
    for (size_t b = 0; b < n; b++)
        ask(k, &new->worth, b, offer_part(o, b), &new->bound[b], &new->need[b]);
    return new;
}

static void list_units(const struct problem *p, struct certificate_part *out,
                       struct arena *a)
{
    out->may_run = ARENA_NEW(a, p->n_units, bool);
    out->may_stop = ARENA_NEW(a, p->n_units, bool);
    for (size_t u = 0; u < p->n_units; u++) {
        out->may_run[u] = p->unit[u].may_run;
        out->may_stop[u] = p->unit[u].may_stop;
    }
}

/* Sets the node's menus; each well once, by its newest cut. */
static void list_cuts(struct writer *k, const struct node *node,
                      struct certificate_part *out)
{
    const struct bidder *all = k->plain.problem->bidder;
    out->cut = arena_new(k->arena, node->n_cuts, sizeof *out->cut);
    for (const struct cut *c = node->cut; c != NULL; c = c->above) {
        if (k->menu[c->bidder] != &all[c->bidder].menu)
            continue;
        k->menu[c->bidder] = c->menu;
        out->cut[out->n_cut].bidder = c->bidder;
        out->cut[out->n_cut++].menu = c->menu;
    }
}

static void undo_cuts(struct writer *k, const struct certificate_part *part)
{
    for (size_t i = 0; i < part->n_cut; i++)
        k->menu[part->cut[i].bidder] =
            &k->plain.problem->bidder[part->cut[i].bidder].menu;
}

static bool is_cut(const struct writer *k, const struct certificate_part *part,
                   size_t block)
{
    for (size_t i = 0; i < part->n_cut; i++)
        if (k->plain.blocks->block_of[part->cut[i].bidder] == block)
            return true;
    return false;
}

static void write_part(struct writer *k, const struct node *node,
                       struct certificate_part *out)
{
    const struct asked *at = asked_at(k, node->best);
    size_t n = k->plain.blocks->n;
    list_units(node->problem, out, k->arena);
    list_cuts(k, node, out);
    struct worth w = at->worth;
    struct problem p = *k->plain.problem;
    p.unit = node->problem->unit;
    w.problem = &p;
    out->row_price = ARENA_NEW(k->arena, p.n_rows - 1, double);
    memcpy(out->row_price, w.row_price, (p.n_rows - 1) * sizeof(double));
    out->bound = w.fixed + worth_of_station(&w);
    out->answer = arena_new(k->arena, n, sizeof *out->answer);
    for (size_t b = 0; b < n; b++) {
        double bound = at->bound[b];
        struct block_answer need = at->need[b];
        if (out->n_cut > 0 && is_cut(k, out, b))
            ask(k, &w, b, offer_part(node->best, b), &bound, &need);
        out->bound += bound;
        if (need.n_leaves == 0)
            continue;
        out->answer[out->n_answers].block = b;
        out->answer[out->n_answers].n_leaves = need.n_leaves;
        out->answer[out->n_answers++].leaf = need.leaf;
    }
    undo_cuts(k, out);
}

double proof_write(const struct problem *p, const struct tree *t,
                   struct arena *a, struct certificate *out)
{
    struct writer k = {
        .menu = ARENA_NEW(a, p->n_wells, const struct menu *),
        .asked = ARENA_NEW(a, t->n_closed + t->n_open, struct asked),
        .arena = a,
    };
    asking_make(p, t->asking->blocks, false, a, &k.plain);
    for (size_t i = 0; i < p->n_wells; i++)
        k.menu[i] = &k.plain.problem->bidder[i].menu;
    out->blocks = *t->asking->blocks;
    out->part = ARENA_NEW(a, t->n_closed + t->n_open, struct certificate_part);
    double bound = -(double)INFINITY;
    for (size_t i = 0; i < t->n_closed + t->n_open; i++) {
        const struct node *node =
            i < t->n_closed ? t->closed[i] : t->open[i - t->n_closed];
        struct certificate_part *part = &out->part[out->n_parts];
        if (node->best == NULL)
            return (double)INFINITY;
        write_part(&k, node, part);
        part->is_empty = part->bound < (t->has_plan ? t->best.value : t->least);
        bound = fmax(bound, part->bound);
        out->n_parts++;
    }
    asking_release(&k.plain);
    return bound;
}
