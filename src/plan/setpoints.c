#include "setpoints.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"
#include "rounding.h"
#include "stands.h"
#include "twins.h"

/* The problem with fixed modes, a hair inside its limits. */
struct fixed {
    struct asking asking;
    struct problem problem;
    struct menu *menu;        /* [n_wells] */
    const struct menu **list; /* [n_wells] of these */
};

static void fix_modes(struct fixed *f, const size_t *mode, struct arena *a)
{
    size_t n = f->problem.n_wells;
    f->menu = ARENA_NEW(a, n, struct menu);
    f->list = ARENA_NEW(a, n, const struct menu *);
    for (size_t i = 0; i < n; i++) {
        const struct menu *full = &f->problem.bidder[i].menu;
        f->menu[i] = (struct menu){full->well, 1, &full->mode[mode[i]]};
        f->list[i] = &f->menu[i];
    }
}

/* Rounding then leaves the shared limits whole; blocks keep their own. */
static void shrink_limits(const struct asking *k, struct problem *p,
                          struct arena *a)
{
    struct limit_row *row = ARENA_NEW(a, p->n_rows, struct limit_row);
    memcpy(row, p->row, p->n_rows * sizeof *row);
    for (size_t i = 0; i < k->n_bound; i++) {
        struct limit_row *r = &row[k->bound[i]];
        if (row_counts_wells(r) || r->low == r->high)
            continue;
        if (isfinite(r->low))
            r->low += TOL_PLAN_SHRINK * fabs(r->low);
        if (isfinite(r->high))
            r->high -= TOL_PLAN_SHRINK * fabs(r->high);
    }
    p->row = row;
}

static void fix_units(struct problem *p, const bool *runs, struct arena *a)
{
    struct station_unit *unit = ARENA_NEW(a, p->n_units, struct station_unit);
    for (size_t u = 0; u < p->n_units; u++) {
        unit[u] = p->unit[u];
        unit[u].may_run = runs[u];
        unit[u].may_stop = !runs[u];
    }
    p->unit = unit;
}

/* --- on the curves --------------------------------------------------------*/

static struct use between(const struct use *a, const struct use *b, double gas)
{
    double part = b->gas > a->gas ? (gas - a->gas) / (b->gas - a->gas) : 0;
    return (struct use){
        gas,
        a->oil + part * (b->oil - a->oil),
        a->water + part * (b->water - a->water),
        a->formation + part * (b->formation - a->formation),
    };
}

static struct use use_at_gas(const struct mode *mode, double gas)
{
    size_t k = 1;
    if (mode->n == 1)
        return mode->point[0];
    while (k + 1 < mode->n && mode->point[k].gas < gas)
        k++;
    if (gas == mode->point[k].gas)
        return mode->point[k];
    return between(&mode->point[k - 1], &mode->point[k], gas);
}

static void add_use(struct use *sum, const struct use *u, double weight)
{
    sum->gas += weight * u->gas;
    sum->oil += weight * u->oil;
    sum->water += weight * u->water;
    sum->formation += weight * u->formation;
}

/* The mixture of all offers, each well put on its mode: mixing points of a
 * chain that are not neighbours leaves it. */
static void put_on_curves(const struct prices *q, struct stand *stand)
{
    const struct asking *k = q->asking;
    for (size_t b = 0; b < k->blocks->n; b++) {
        const struct block *block = &k->blocks->block[b];
        for (size_t i = 0; i < block->n; i++) {
            size_t well = block->bidder[i];
            struct stand mix = {.mode = q->menu[well]->mode[0].origin};
            for (size_t o = 0; o < q->n_offers; o++)
                if (prices_weight(q, o, b) > 0)
                    add_use(&mix.use, &offer_part(q->offer[o], b)->stand[i].use,
                            prices_weight(q, o, b));
            const struct mode *mode = &q->menu[well]->mode[0];
            stand[well] = mix;
            stand[well].use = use_at_gas(mode, stand_gas(mode, &mix));
        }
    }
}

/* Where the goal does not count flows they are chosen by ties alone: these then
 * weigh what a value does, or rounding would hide them. */
static void weigh_ties(struct problem *p, struct arena *a)
{
    const struct station_column *from = p->column;
    if (p->options->objective == PLAN_MONEY)
        return;
    p->column = ARENA_NEW(a, p->n_columns, struct station_column);
    memcpy(p->column, from, p->n_columns * sizeof *p->column);
    for (size_t k = 0; k < p->n_columns; k++)
        p->column[k].worth /= TOL_PLAN_TIE;
}

/* The flows that suit these wells best; false: none does. */
static bool settle_station(const struct prices *q, struct candidate *c)
{
    const struct asking *k = q->asking;
    struct problem weighed = *q->problem;
    struct offer whole = {
        .is_whole = true,
        .row_price = q->best->row_price,
        .tally = tally_new(k, k->arena),
        .group = tally_groups(k, k->arena),
    };
    for (size_t i = 0; i < q->problem->n_wells; i++) {
        size_t group = asking_group(k, k->blocks->block_of[i]);
        tally_add(k, i, &c->stand[i], 1, &whole.tally);
        tally_add(k, i, &c->stand[i], 1, &whole.group[group]);
    }
    weigh_ties(&weighed, k->arena);
    struct prices flows;
    prices_start(k, &weighed, q->menu, 0, &flows);
    prices_offer(&flows, &whole);
    flows.radius = PRICES_CAP_LAST;
    prices_find(&flows, 0);
    c->column = flows.column;
    c->value = flows.value;
    for (size_t i = 0; i < weighed.n_columns; i++)
        c->value += flows.column[i] *
                    (q->problem->column[i].worth - weighed.column[i].worth);
    return flows.past <= TOL_PRICES_PAST;
}

/* --- the limits, from what wells and flows add up to ----------------------*/

static void add_wells(const struct problem *p, const struct candidate *c,
                      double *sum)
{
    for (size_t i = 0; i < p->n_wells; i++) {
        const struct bidder *b = &p->bidder[i];
        const struct use *u = &c->stand[i].use;
        const struct mode *mode = &b->menu.mode[c->stand[i].mode];
        for (size_t r = 0; r < N_FIELD_ROWS; r++)
            sum[r] += row_part(p, r, i, u, mode);
        for (size_t k = 0; k < b->n_own; k++)
            sum[b->own[k].row] += row_part(p, b->own[k].row, i, u, mode);
    }
}

static void add_flows(const struct problem *p, const struct candidate *c,
                      double *sum)
{
    for (size_t r = 0; r < N_FIELD_ROWS; r++) {
        for (size_t k = 0; k < p->n_columns; k++)
            sum[r] += p->column[k].term[r] * c->column[k];
        for (size_t u = 0; u < p->n_units; u++)
            sum[r] += c->unit_runs[u] ? p->unit[u].term[r] : 0;
    }
}

static bool holds(const struct limit_row *r, double sum)
{
    double slack = TOL_LIMIT_REL / 10;
    double low = r->low - slack * fmax(fabs(r->low), 1);
    double high = r->high + slack * fmax(fabs(r->high), 1);
    return sum >= low && sum <= high;
}

static bool all_hold(const struct problem *p, const struct candidate *c,
                     struct arena *a)
{
    struct arena_mark mark = arena_mark(a);
    double *sum = ARENA_NEW(a, p->n_rows, double);
    add_wells(p, c, sum);
    add_flows(p, c, sum);
    bool hold = true;
    /* The last row is the tie row, no limit. */
    for (size_t r = 0; r + 1 < p->n_rows && hold; r++)
        hold = holds(&p->row[r], sum[r]);
    arena_rewind(a, mark);
    return hold;
}

/* --- modes to a plan ------------------------------------------------------*/

static void list_units(const struct prices *q, double from, bool *runs)
{
    for (size_t u = 0; u < q->problem->n_units; u++)
        runs[u] = q->runs[u] > from;
}

static bool units_are_whole(const struct prices *q)
{
    for (size_t u = 0; u < q->problem->n_units; u++)
        if (fabs(q->runs[u] - round(q->runs[u])) > TOL_PRICES_WEIGHT)
            return false;
    return true;
}

/* The best set points when the units are decided too; starts from offers made
 * under the same modes. */
static bool set_with_units(struct fixed *f, const struct prices *from,
                           const bool *runs, double least,
                           struct candidate *out, double *below)
{
    struct arena *a = f->asking.arena;
    struct problem decided = f->problem;
    fix_units(&decided, runs, a);
    struct prices q;
    prices_start(&f->asking, &decided, f->list, from->gap, &q);
    for (size_t i = 0; i < from->n_offers; i++)
        prices_offer(&q, from->offer[i]);
    q.cutoff = least;
    prices_find(&q, SETPOINT_ASKS);
    if (q.bound < least || q.past > TOL_PRICES_PAST)
        return false;
    struct candidate c = {
        .stand = ARENA_NEW(a, decided.n_wells, struct stand),
        .unit_runs = ARENA_NEW(a, decided.n_units, bool),
        .row_price = q.row_price,
    };
    memcpy(c.unit_runs, runs, decided.n_units * sizeof *runs);
    put_on_curves(&q, c.stand);
    twins_order(&decided, c.stand, &f->asking.scratch[0]);
    bool is_plan =
        settle_station(&q, &c) && all_hold(&decided, &c, &f->asking.scratch[0]);
    if (!is_plan)
        *below = q.value;
    if (!is_plan || c.value <= least)
        return false;
    *out = c;
    return true;
}

/* Prices for these modes while units are open; false: worth too little. */
static bool find_prices(const struct prices *q, double least,
                        const struct fixed *f, struct prices *open)
{
    prices_start(&f->asking, &f->problem, f->list,
                 fmax(q->gap * PRICES_SETPOINT_SHARE,
                      TOL_PRICES_SETPOINTS * fabs(q->bound)),
                 open);
    open->radius = fmin(open->radius, q->radius * PRICES_LEAP);
    prices_ask(open, q->best->row_price);
    if (open->bound > least)
        prices_ask(open, q->row_price);
    if (open->n_offers == 0 || open->bound < least)
        return false;
    open->cutoff = least;
    prices_find(open, SETPOINT_ASKS);
    return open->bound >= least;
}

static bool set_fixed(struct fixed *f, const struct prices *q, double least,
                      struct candidate *out, double *below)
{
    struct prices open;
    if (!find_prices(q, least, f, &open))
        return false;
    bool *runs = ARENA_NEW(f->asking.arena, q->problem->n_units, bool);
    list_units(&open, TOL_PRICES_WEIGHT, runs);
    bool found = set_with_units(f, &open, runs, least, out, below);
    if (units_are_whole(&open))
        return found;
    list_units(&open, 0.5, runs);
    return set_with_units(f, &open, runs, found ? out->value : least, out,
                          below) ||
           found;
}

static void *copied(const void *list, size_t n, size_t size, struct arena *a)
{
    void *copy = arena_new(a, n, size);
    return n > 0 ? memcpy(copy, list, n * size) : copy;
}

static void keep(const struct problem *p, struct arena *a, struct candidate *c)
{
    c->stand = copied(c->stand, p->n_wells, sizeof *c->stand, a);
    c->column = copied(c->column, p->n_columns, sizeof *c->column, a);
    c->unit_runs = copied(c->unit_runs, p->n_units, sizeof *c->unit_runs, a);
    c->row_price = copied(c->row_price, p->n_rows, sizeof *c->row_price, a);
}

bool set_points(const struct prices *q, const size_t *mode, double least,
                struct candidate *out, double *below)
{
    struct arena *a = q->asking->arena;
    struct arena own = {.on_full = a->on_full, .context = a->context};
    *below = -(double)INFINITY;
    struct fixed f = {.asking = *q->asking, .problem = *q->problem};
    f.asking.arena = &own;
    f.asking.problem = &f.problem;
    fix_modes(&f, mode, &own);
    shrink_limits(q->asking, &f.problem, &own);
    bool found = set_fixed(&f, q, least, out, below);
    if (!found && *below == -(double)INFINITY) {
        /* Limits that one plan just meets leave none when they are tighter. */
        f.problem.row = q->problem->row;
        found = set_fixed(&f, q, least, out, below);
    }
    if (found)
        keep(q->problem, a, out);
    arena_release(&own);
    return found;
}
