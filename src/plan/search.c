/* 1. Relaxed: each well may mix its modes. One linear program; its row prices
 *    give a bound in our own arithmetic, and say what every mode of every
 *    well loses against the best for that well.
 * 2. A plan that uses a mode that loses more than `loss` is worse than
 *    relaxed bound - loss. So the modes that lose more are left out, and the
 *    wells that still have a choice (few) go to a branch and bound; the others
 *    stay linear. First with a small loss, for a good plan; then with the loss
 *    that separates that plan from the bound, for the proof.
 * 3. With modes fixed the set points are solved again and put on the curves:
 *    the same oil with the least gas.
 * 4. Ties (see plan.c). */
#include "search.h"

#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "lp_glpk.h"
#include "model.h"
#include "stands.h"
#include "num/tol.h"
#include "plan/verify.h"

/* Rounds of the search; a better plan makes the next one smaller. Two small
 * ones for a good plan: modes that lose next to nothing, then so many wells
 * open as are solved in no time. Then two for the proof. */
enum { ROUND_TIED, ROUND_FEW, ROUND_PROOF, ROUND_REST, N_ROUNDS };
static const long ROUND_NODES[N_ROUNDS] = {200, 500, 500, LONG_MAX};
#define FEW_OPEN 80

/* Modes of the wells, in the full menus, and units that run. */
struct way {
    size_t *mode;    /* [n_wells] */
    bool *unit_runs; /* [n_units] */
};

struct candidate {
    double value; /* in the problem's unit */
    struct way way;
    double *row_price; /* [n_rows] */
    struct plan plan;
};

struct search {
    const struct problem *problem;
    const struct plan_options *options;
    struct arena *arena;
    struct timespec start;
    struct worth worth; /* at the prices of the relaxation */
    double relaxed, bound;
    struct candidate best;
    double work; /* nodes times rows */
    struct search_result *out;
};

static double seconds_left(const struct search *s)
{
    if (!isfinite(s->options->time_s))
        return (double)INFINITY;
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    double used = (double)(now.tv_sec - s->start.tv_sec) +
                  1e-9 * (double)(now.tv_nsec - s->start.tv_nsec);
    return fmax(s->options->time_s - used, 0);
}

static enum status solve(struct search *s, const struct model *m, double gap,
                         long nodes, struct milp_answer *answer,
                         struct err *err)
{
    struct lp_limits limits = {gap, nodes, seconds_left(s)};
    enum status st = lp_solve(&m->lp, &limits, s->arena, answer, err);
    if (st == ST_OK) {
        s->out->iterations += answer->iterations;
        s->out->nodes += answer->nodes;
        s->work += (double)answer->nodes * (double)m->lp.n_rows;
    }
    return st;
}

/* What rows and goal tell apart. */
static struct menu_kinds kinds_of(const struct problem *p)
{
    struct menu_kinds kinds = {p->goal[USE_MOVED] != 0, false};
    for (size_t r = 0; r < p->n_rows; r++) {
        bool is_bound = isfinite(p->row[r].high) || isfinite(p->row[r].low);
        kinds.moves |= is_bound && p->row[r].use[USE_MOVED] != 0;
        kinds.runs |= is_bound && p->row[r].use[USE_RUNS] != 0;
    }
    return kinds;
}

/* The bound without any prices stands when there was no time for them. */
static enum status relax(struct search *s, struct err *err)
{
    const struct problem *p = s->problem;
    struct menu_kinds kinds = kinds_of(p);
    struct menu *menu = ARENA_NEW(s->arena, p->n_wells, struct menu);
    for (size_t i = 0; i < p->n_wells; i++)
        menu_relax(&p->bidder[i].menu, &kinds, s->arena, &menu[i]);
    struct model m;
    model_make(p, menu, false, NULL, s->arena, &m);
    struct milp_answer answer;
    enum status st = solve(s, &m, 0, 0, &answer, err);
    if (st != ST_OK)
        return st;
    s->out->is_impossible = answer.state == MILP_IMPOSSIBLE;
    s->worth = worth_at(p, answer.row_price);
    s->relaxed = s->bound = worth_bound(&s->worth);
    s->out->moves_price = answer.row_price[ROW_MOVES];
    return ST_OK;
}

/* The plan at a solution of a model whose modes and units are fixed. */
static void count_plan(struct search *s, const struct model *m, const double *x,
                       struct way way, struct plan *out)
{
    const struct problem *p = s->problem;
    struct stand *stand = ARENA_NEW(s->arena, p->n_wells, struct stand);
    model_read(m, x, stand);
    for (size_t i = 0; i < p->n_wells; i++)
        stand[i].mode = way.mode[i];
    struct stands stands = {stand, x + m->station, way.unit_runs};
    stands_plan(p, &stands, s->arena, out);
}

/* The set points for a way of running that are best for the model's goal, on
 * the curves. false: it makes no plan. */
static enum status settle(struct search *s, const struct problem *goal,
                          struct way way, bool *found, struct candidate *out,
                          struct err *err)
{
    const struct problem *p = s->problem;
    struct menu *menu = ARENA_NEW(s->arena, p->n_wells, struct menu);
    for (size_t i = 0; i < p->n_wells; i++) {
        menu[i] = p->bidder[i].menu;
        menu[i].n_modes = 1;
        menu[i].mode = &p->bidder[i].menu.mode[way.mode[i]];
    }
    struct model m;
    model_make(goal, menu, false, way.unit_runs, s->arena, &m);
    struct milp_answer answer;
    *found = false;
    enum status st = solve(s, &m, 0, 0, &answer, err);
    if (st != ST_OK || answer.state != MILP_SOLVED)
        return st;

    *out = (struct candidate){.way = way, .row_price = answer.row_price};
    count_plan(s, &m, answer.x, way, &out->plan);
    out->value = out->plan.value / p->value_unit;
    struct verify check;
    plan_verify(p->field, p->curves, &out->plan, s->arena, &check);
    *found = check.n_faults == 0;
    return ST_OK;
}

static size_t count_open(const struct problem *p, const struct menu *menu)
{
    size_t n = 0;
    for (size_t i = 0; i < p->n_wells; i++)
        n += menu[i].n_modes > 1;
    return n;
}

static struct way new_way(const struct search *s)
{
    return (struct way){
        ARENA_NEW(s->arena, s->problem->n_wells, size_t),
        ARENA_NEW(s->arena, s->problem->n_units, bool),
    };
}

static struct way way_of(const struct search *s, const struct model *m,
                         const double *x)
{
    size_t n = s->problem->n_wells;
    struct stand *stand = ARENA_NEW(s->arena, n, struct stand);
    struct way way = new_way(s);
    model_read(m, x, stand);
    for (size_t i = 0; i < n; i++)
        way.mode[i] = m->menu[i].mode[stand[i].mode].origin;
    model_read_units(m, x, way.unit_runs);
    return way;
}

static enum status keep_if_better(struct search *s, struct way way,
                                  struct err *err)
{
    bool found;
    struct candidate c;
    enum status st = settle(s, s->problem, way, &found, &c, err);
    if (st == ST_OK && found &&
        (!s->out->has_plan || c.value > s->best.value)) {
        s->best = c;
        s->out->has_plan = true;
    }
    return st;
}

/* All plans whose modes lose at most `loss`: the best of them, and what it
 * says about the bound. */
static enum status explore(struct search *s, double loss, double gap,
                           long nodes, struct err *err)
{
    const struct problem *p = s->problem;
    const struct menu *menu = worth_trim(&s->worth, loss, loss, s->arena);
    struct model m;
    model_make(p, menu, true, NULL, s->arena, &m);
    struct milp_answer answer;
    double most_nodes = (TOL_PLAN_WORK - s->work) / (double)m.lp.n_rows;
    enum status st =
        solve(s, &m, gap, (long)fmin((double)nodes, fmax(most_nodes, 1)),
              &answer, err);
    if (st != ST_OK)
        return st;
    size_t n_open = count_open(p, menu);
    if (n_open > s->out->open_wells)
        s->out->open_wells = n_open;
    double inside = answer.bound;
    if (answer.state == MILP_IMPOSSIBLE)
        inside = -(double)INFINITY;
    s->bound = fmin(s->bound, fmax(inside, s->relaxed - loss));
    if (!answer.has_point)
        return ST_OK;

    return keep_if_better(s, way_of(s, &m, answer.x), err);
}

static double relative_gap(const struct search *s)
{
    if (!s->out->has_plan)
        return (double)INFINITY;
    return (s->bound - s->best.value) / fmax(fabs(s->best.value), TOL_PLAN_ABS);
}

static int compare_doubles(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* What the well's second mode loses against its best. */
static double second_loss(const struct worth *w, const struct bidder *b)
{
    struct well_worth own = worth_for(w, b);
    double best = -(double)INFINITY, second = best;
    for (size_t m = 0; m < b->menu.n_modes; m++) {
        double worth = worth_of_mode(&own, &b->menu.mode[m]);
        second = fmax(second, fmin(best, worth));
        best = fmax(best, worth);
    }
    return best - second;
}

/* The loss that leaves a choice to about so many wells. */
static double loss_for_open(const struct search *s, size_t n_open)
{
    const struct problem *p = s->problem;
    if (p->n_wells <= n_open)
        return (double)INFINITY;
    double *loss = ARENA_NEW(s->arena, p->n_wells, double);
    for (size_t i = 0; i < p->n_wells; i++)
        loss[i] = second_loss(&s->worth, &p->bidder[i]);
    qsort(loss, p->n_wells, sizeof *loss, compare_doubles);
    return loss[n_open];
}

/* Beyond the loss that separates plan and bound nothing better can be. */
static double round_loss(const struct search *s, int round)
{
    double needed =
        s->out->has_plan ? s->relaxed - s->best.value : (double)INFINITY;
    if (round == ROUND_TIED)
        return fmax(s->options->gap, TOL_PLAN_FIRST_LOSS) * fabs(s->relaxed);
    if (round == ROUND_FEW)
        return fmin(needed, loss_for_open(s, FEW_OPEN));
    return needed;
}

static enum status explore_all(struct search *s, bool any_plan, struct err *err)
{
    const struct plan_options *o = s->options;
    double gap = any_plan ? (double)INFINITY : o->gap;
    double mip_gap = any_plan ? 1 : o->gap * TOL_PLAN_GAP_SHARE;
    for (int round = 0; round < N_ROUNDS; round++) {
        long left = o->nodes_max - s->out->nodes;
        long nodes = left < ROUND_NODES[round] ? left : ROUND_NODES[round];
        double loss = round_loss(s, round);
        enum status st = explore(s, loss, mip_gap, nodes, err);
        s->out->is_stopped = s->out->nodes > o->nodes_max ||
                             s->work > TOL_PLAN_WORK || seconds_left(s) <= 0;
        if (st != ST_OK || relative_gap(s) <= gap || s->out->is_stopped)
            return st;
    }
    return ST_OK;
}

/* When the search was stopped before it had a plan: as little change and gas
 * as may be, all units. */
static enum status try_modest(struct search *s, struct err *err)
{
    const struct problem *p = s->problem;
    struct way way = new_way(s);
    for (size_t i = 0; i < p->n_wells; i++) {
        const struct mode *all = p->bidder[i].menu.mode;
        for (size_t k = 1; k < p->bidder[i].menu.n_modes; k++) {
            const struct mode *best = &all[way.mode[i]];
            if (all[k].moved == best->moved
                    ? all[k].point[0].gas < best->point[0].gas
                    : best->moved)
                way.mode[i] = k;
        }
    }
    for (size_t u = 0; u < p->n_units; u++)
        way.unit_runs[u] = p->unit[u].may_run;
    return keep_if_better(s, way, err);
}

/* The goal of the second solve, among plans of the same value. */
static struct problem tie_problem(const struct search *s, double least_value)
{
    const struct problem *p = s->problem;
    struct problem tie = *p;
    tie.row = ARENA_NEW(s->arena, p->n_rows, struct limit_row);
    memcpy(tie.row, p->row, p->n_rows * sizeof *tie.row);
    tie.column = ARENA_NEW(s->arena, p->n_columns, struct station_column);
    memcpy(tie.column, p->column, p->n_columns * sizeof *tie.column);
    tie.unit = ARENA_NEW(s->arena, p->n_units, struct station_unit);
    if (p->n_units > 0)
        memcpy(tie.unit, p->unit, p->n_units * sizeof *tie.unit);
    struct limit_row *value = &tie.row[ROW_VALUE];
    value->low = least_value;
    for (int k = 0; k < N_USES; k++) {
        value->use[k] = p->goal[k];
        tie.goal[k] = 0;
    }
    for (size_t k = 0; k < p->n_columns; k++) {
        tie.column[k].term[ROW_VALUE] = p->column[k].worth;
        tie.column[k].worth = 0;
    }
    for (size_t u = 0; u < p->n_units; u++) {
        tie.unit[u].term[ROW_VALUE] = p->unit[u].worth;
        tie.unit[u].worth = 0;
    }
    tie.tie_gas = 1;
    tie.tie_bought = TIE_BOUGHT;
    tie.tie_flare = TIE_FLARE;
    tie.tie_rank = TIE_RANK;
    return tie;
}

/* Other modes of the same value may be better: only asked when the wells left
 * open are few and the plan is proven. */
static enum status change_tied_modes(struct search *s,
                                     const struct problem *tie, double slack,
                                     struct err *err)
{
    double loss = fmax(s->relaxed - s->best.value, 0) + slack;
    const struct menu *menu = worth_trim(&s->worth, loss, loss, s->arena);
    size_t n_open = count_open(s->problem, menu);
    if (n_open == 0 || n_open > FEW_OPEN || relative_gap(s) > s->options->gap)
        return ST_OK;
    struct model m;
    model_make(tie, menu, true, NULL, s->arena, &m);
    struct milp_answer answer;
    enum status st = solve(s, &m, 0, TOL_PLAN_TIE_NODES, &answer, err);
    if (st != ST_OK || answer.state != MILP_SOLVED)
        return st;
    bool found;
    struct candidate c;
    st = settle(s, s->problem, way_of(s, &m, answer.x), &found, &c, err);
    if (st == ST_OK && found && c.value >= s->best.value - slack)
        s->best = c;
    return st;
}

static enum status break_ties(struct search *s, struct err *err)
{
    double size = fmax(fabs(s->best.value), TOL_PLAN_ABS);
    double slack = TOL_PLAN_TIE * size;
    struct problem tie = tie_problem(s, s->best.value - slack);
    enum status st = change_tied_modes(s, &tie, slack, err);
    if (st != ST_OK)
        return st;
    /* With the modes fixed nothing of the value is given away. */
    tie = tie_problem(s, s->best.value - TOL_PLAN_ROUND * size);
    bool found;
    struct candidate c;
    st = settle(s, &tie, s->best.way, &found, &c, err);
    if (st == ST_OK && found && c.value >= s->best.value - slack) {
        c.row_price = s->best.row_price;
        s->best = c;
    }
    return st;
}

enum status search_run(const struct problem *problem, bool any_plan,
                       struct arena *a, struct search_result *out,
                       struct err *err)
{
    struct problem plain = *problem, *p = &plain;
    plain.tie_gas = plain.tie_bought = plain.tie_flare = plain.tie_rank = 0;

    *out = (struct search_result){0};
    struct search s = {
        .problem = p,
        .options = p->options,
        .arena = a,
        .out = out,
    };
    clock_gettime(CLOCK_MONOTONIC, &s.start);
    enum status st = relax(&s, err);
    if (st == ST_OK && !out->is_impossible)
        st = explore_all(&s, any_plan, err);
    if (st == ST_OK && !out->is_impossible && !out->has_plan &&
        s.bound > -(double)INFINITY)
        st = try_modest(&s, err);
    if (st == ST_OK && out->has_plan && !any_plan)
        st = break_ties(&s, err);
    if (st != ST_OK)
        return st;
    out->is_impossible = out->is_impossible || s.bound == -(double)INFINITY;
    out->bound = s.bound * p->value_unit;
    out->proof = PROOF_FLAT;
    out->plan = s.best.plan;
    out->row_price = s.best.row_price;
    return ST_OK;
}
