#include "offers.h"

#include <math.h>
#include <omp.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"

/* Fewer blocks are asked sooner than threads are woken. */
#define BLOCKS_FOR_THREADS 400

/* Each well counts in the tie row by its rank: 0 to 1. */
static void rank_bidders(struct problem *tied, struct arena *a)
{
    size_t n = tied->n_wells;
    struct bidder *list = ARENA_NEW(a, n, struct bidder);
    for (size_t i = 0; i < n; i++) {
        const struct bidder *b = &tied->bidder[i];
        struct own_row *own = ARENA_NEW(a, b->n_own + 1, struct own_row);
        if (b->n_own > 0)
            memcpy(own, b->own, b->n_own * sizeof *own);
        double rank = n > 1 ? (double)i / (double)(n - 1) : 0;
        own[b->n_own] = (struct own_row){tied->n_rows, rank};
        list[i] = (struct bidder){b->menu, b->n_own + 1, own};
    }
    tied->bidder = list;
}

static struct problem *add_ties(const struct problem *p, bool has_ties,
                                struct arena *a)
{
    struct problem *tied = ARENA_NEW(a, 1, struct problem);
    *tied = *p;
    tied->column = ARENA_NEW(a, p->n_columns, struct station_column);
    memcpy(tied->column, p->column, p->n_columns * sizeof *p->column);
    if (has_ties) {
        tied->goal[USE_GAS] -= p->tie_gas;
        tied->column[COLUMN_BOUGHT].worth -= p->tie_bought;
        tied->column[COLUMN_FLARE].worth -= p->tie_flare;
    }
    rank_bidders(tied, a);
    tied->row = ARENA_NEW(a, p->n_rows + 1, struct limit_row);
    memcpy(tied->row, p->row, p->n_rows * sizeof *p->row);
    /* The bound, 0, only says that the price may be above 0. */
    tied->row[tied->n_rows++] = (struct limit_row){
        .low = -(double)INFINITY,
        .use[USE_GAS] = 1,
    };
    return tied;
}

/* The range of the goal over all that wells and station can do. */
static double goal_range(const struct problem *p)
{
    struct well_worth goal;
    memcpy(goal.use, p->goal, sizeof goal.use);
    double range = 0;
    for (size_t i = 0; i < p->n_wells; i++) {
        double low = (double)INFINITY, high = -(double)INFINITY;
        const struct menu *menu = &p->bidder[i].menu;
        for (size_t m = 0; m < menu->n_modes; m++) {
            const struct mode *mode = &menu->mode[m];
            double ends[] = {
                worth_of_mode(&goal, mode),
                worth_of_point(&goal, &mode->point[0], mode),
                worth_of_point(&goal, &mode->point[mode->n - 1], mode),
            };
            for (int k = 0; k < 3; k++) {
                low = fmin(low, ends[k]);
                high = fmax(high, ends[k]);
            }
        }
        range += high - low;
    }
    for (size_t c = 0; c < p->n_columns; c++)
        range += fabs(p->column[c].worth) * p->column[c].high;
    return fmax(range, TOL_PLAN_ABS);
}

static void list_rows(struct asking *k, const struct blocks *blocks)
{
    const struct problem *tied = k->problem;
    size_t *bound = ARENA_NEW(k->arena, blocks->n_shared, size_t);
    size_t *span = ARENA_NEW(k->arena, blocks->n_shared + 1, size_t);
    k->span_of = ARENA_NEW(k->arena, tied->n_rows, size_t);
    for (size_t r = 0; r < tied->n_rows; r++)
        k->span_of[r] = SIZE_MAX;
    for (size_t i = 0; i < blocks->n_shared; i++) {
        size_t r = blocks->shared[i];
        if (isfinite(tied->row[r].low) || isfinite(tied->row[r].high))
            bound[k->n_bound++] = r;
        if (r >= N_FIELD_ROWS)
            span[k->n_span++] = r;
    }
    span[k->n_span++] = tied->n_rows - 1;
    for (size_t i = 0; i < k->n_span; i++)
        k->span_of[span[i]] = i;
    k->bound = bound;
    k->span = span;
}

size_t asking_groups(size_t n_blocks)
{
    size_t n = n_blocks / PRICES_GROUP_LEAST;
    return n < 1 ? 1 : n < PRICES_GROUPS ? n : PRICES_GROUPS;
}

void asking_make(const struct problem *p, const struct blocks *blocks,
                 bool has_ties, struct arena *a, struct asking *out)
{
    *out = (struct asking){
        .problem = add_ties(p, has_ties, a),
        .blocks = blocks,
        .tie_rank = has_ties ? p->tie_rank : 0,
        .arena = a,
        .n_threads = (size_t)omp_get_max_threads(),
    };
    out->range = goal_range(p);
    out->n_groups = asking_groups(blocks->n);
    list_rows(out, blocks);
    out->scratch = ARENA_NEW(a, out->n_threads, struct arena);
    for (size_t i = 0; i < out->n_threads; i++) {
        arena_init(&out->scratch[i]);
        out->scratch[i].on_full = a->on_full;
        out->scratch[i].context = a->context;
    }
}

void asking_release(struct asking *k)
{
    for (size_t i = 0; i < k->n_threads; i++)
        arena_release(&k->scratch[i]);
}

double *asking_prices(const struct asking *k)
{
    size_t n = k->problem->n_rows;
    double *row_price = ARENA_NEW(k->arena, n, double);
    row_price[n - 1] = k->tie_rank;
    return row_price;
}

struct tally tally_new(const struct asking *k, struct arena *a)
{
    return (struct tally){.span = ARENA_NEW(a, k->n_span, double)};
}

struct tally *tally_groups(const struct asking *k, struct arena *a)
{
    struct tally *list = ARENA_NEW(a, k->n_groups, struct tally);
    for (size_t g = 0; g < k->n_groups; g++)
        list[g] = tally_new(k, a);
    return list;
}

void tally_add(const struct asking *k, size_t bidder, const struct stand *s,
               double weight, struct tally *sum)
{
    const struct bidder *b = &k->problem->bidder[bidder];
    const struct mode *mode = &b->menu.mode[s->mode];
    double use[N_USES] = {
        s->use.gas,       s->use.oil,          s->use.water,
        s->use.formation, mode->moved ? 1 : 0, mode->runs ? 1 : 0,
    };
    for (int u = 0; u < N_USES; u++)
        sum->use[u] += weight * use[u];
    for (size_t i = 0; i < b->n_own; i++) {
        size_t at = k->span_of[b->own[i].row];
        if (at == SIZE_MAX)
            continue;
        const struct limit_row *r = &k->problem->row[b->own[i].row];
        for (int u = 0; u < N_USES; u++)
            sum->span[at] += weight * b->own[i].sign * r->use[u] * use[u];
    }
}

/* sum += weight * t */
static void tally_sum(const struct asking *k, const struct tally *t,
                      double weight, struct tally *sum)
{
    for (int u = 0; u < N_USES; u++)
        sum->use[u] += weight * t->use[u];
    for (size_t i = 0; i < k->n_span; i++)
        sum->span[i] += weight * t->span[i];
}

double tally_row(const struct asking *k, const struct tally *t, size_t row)
{
    if (row >= N_FIELD_ROWS)
        return t->span[k->span_of[row]];
    double sum = 0;
    for (int u = 0; u < N_USES; u++)
        sum += k->problem->row[row].use[u] * t->use[u];
    return sum;
}

double tally_value(const struct asking *k, const struct tally *t)
{
    double value = -k->tie_rank * t->span[k->n_span - 1];
    for (int u = 0; u < N_USES; u++)
        value += k->problem->goal[u] * t->use[u];
    return value;
}

void question_answer(const struct question *q, struct arena *a,
                     struct block_answer *out)
{
    const struct block *b = &q->asking->blocks->block[q->block];
    const struct menu **own = ARENA_NEW(a, b->n, const struct menu *);
    for (size_t i = 0; i < b->n; i++)
        own[i] = q->menu[b->bidder[i]];
    const double *near = q->near != NULL ? q->near->row_price : NULL;
    block_answer_near(q->asking->problem, b, own, q->worth, near,
                      AUCTION_BLOCK_NODES, a, out);
}

static void copy_plan(const struct part *from, size_t n, size_t n_span,
                      struct part *to)
{
    memcpy(to->stand, from->stand, n * sizeof *to->stand);
    memcpy(to->tally.use, from->tally.use, sizeof to->tally.use);
    memcpy(to->tally.span, from->tally.span, n_span * sizeof *to->tally.span);
}

/* The answer of a block, in its part. */
static void fill_part(const struct question *q, struct arena *scratch,
                      struct part *part)
{
    const struct block *b = &q->asking->blocks->block[q->block];
    struct arena_mark mark = arena_mark(scratch);
    struct block_answer answer;
    question_answer(q, scratch, &answer);
    part->bound = answer.bound;
    part->has_plan = answer.value > -(double)INFINITY;
    for (size_t i = 0; i < b->n && part->has_plan; i++) {
        part->stand[i] = answer.stand[i];
        tally_add(q->asking, b->bidder[i], &part->stand[i], 1, &part->tally);
    }
    for (size_t r = 0; r < b->n_rows; r++)
        part->row_price[r] = answer.leaf[0].row_price[r];
    arena_rewind(scratch, mark);
    if (!part->has_plan && q->near != NULL && q->near->has_plan) {
        copy_plan(q->near, b->n, q->asking->n_span, part);
        part->has_plan = true;
    }
}

/* Parts with room for what they hold: of all blocks, or of one. */
static struct part *parts_for(const struct asking *k, size_t first, size_t n)
{
    const struct block *block = k->blocks->block + first;
    size_t n_stands = 0, n_rows = 0;
    for (size_t b = 0; b < n; b++) {
        n_stands += block[b].n;
        n_rows += block[b].n_rows;
    }
    struct part *part = ARENA_NEW(k->arena, n, struct part);
    struct stand *stand = ARENA_NEW(k->arena, n_stands, struct stand);
    double *row_price = ARENA_NEW(k->arena, n_rows, double);
    double *span = ARENA_NEW(k->arena, n * k->n_span, double);
    for (size_t b = 0; b < n; b++) {
        part[b].stand = stand;
        part[b].row_price = row_price;
        part[b].tally.span = span;
        stand += block[b].n;
        row_price += block[b].n_rows;
        span += k->n_span;
    }
    return part;
}

const struct offer *offer_ask(const struct asking *k,
                              const struct menu *const *menu, double *row_price,
                              const struct offer *near)
{
    size_t n = k->blocks->n;
    struct offer *o = ARENA_NEW(k->arena, 1, struct offer);
    struct part *part = parts_for(k, 0, n);
    struct worth w = worth_at(k->problem, row_price);
#pragma omp parallel for schedule(dynamic, 16) \
    num_threads((int)k->n_threads) if (n >= BLOCKS_FOR_THREADS)
    for (size_t b = 0; b < n; b++) {
        struct question q = {
            k, menu, &w, b, near != NULL ? offer_part(near, b) : NULL,
        };
        fill_part(&q, &k->scratch[omp_get_thread_num()], &part[b]);
    }
    *o = (struct offer){
        .row_price = row_price,
        .is_whole = true,
        .tally = tally_new(k, k->arena),
        .group = tally_groups(k, k->arena),
        .part = part,
    };
    for (size_t b = 0; b < n; b++) {
        o->bound += part[b].bound;
        o->is_whole = o->is_whole && part[b].has_plan;
        tally_sum(k, &part[b].tally, 1, &o->tally);
        tally_sum(k, &part[b].tally, 1, &o->group[asking_group(k, b)]);
    }
    return o;
}

static struct tally changed(const struct asking *k, const struct tally *sum,
                            const struct part *old, const struct part *new)
{
    struct tally t = tally_new(k, k->arena);
    tally_sum(k, sum, 1, &t);
    tally_sum(k, &old->tally, -1, &t);
    tally_sum(k, &new->tally, 1, &t);
    return t;
}

const struct offer *offer_change(const struct asking *k, const struct offer *o,
                                 const struct menu *const *menu, size_t block)
{
    struct offer *c = ARENA_NEW(k->arena, 1, struct offer);
    const struct part *old = offer_part(o, block);
    struct part *new = parts_for(k, block, 1);
    struct worth w = worth_at(k->problem, o->row_price);
    /* The old plan may use what the menus no longer hold. */
    struct part known = {.row_price = old->row_price};
    struct question q = {k, menu, &w, block, &known};
    fill_part(&q, &k->scratch[0], new);
    *c = *o;
    c->is_whole = o->is_whole && new->has_plan;
    c->base = o;
    c->block = block;
    c->part = new;
    c->bound += new->bound - old->bound;
    c->tally = changed(k, &o->tally, old, new);
    size_t group = asking_group(k, block);
    c->group = ARENA_NEW(k->arena, k->n_groups, struct tally);
    memcpy(c->group, o->group, k->n_groups * sizeof *c->group);
    c->group[group] = changed(k, &o->group[group], old, new);
    return c;
}

double offer_bound(const struct problem *p, const struct offer *o)
{
    struct worth w = worth_at(p, o->row_price);
    return w.fixed + worth_of_station(&w) + o->bound;
}

const struct part *offer_part(const struct offer *o, size_t block)
{
    while (o->base != NULL && o->block != block)
        o = o->base;
    return o->base != NULL ? o->part : &o->part[block];
}
