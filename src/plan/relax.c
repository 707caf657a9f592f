#include "plan/relax.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "conflict.h"
#include "lp_glpk.h"
#include "model.h"
#include "num/tol.h"

/* So many moves that they are no limit, yet wells may stay as they are. */
#define MOVES_ENDLESS 1000000

/* By how much more a limit is moved, relative, when rounding leaves no plan. */
static const double HAIRS[] = {1e-6, 1e-5, 1e-4, 1e-3};
#define N_HAIRS (sizeof HAIRS / sizeof HAIRS[0])

/* A field on its way to having a plan. */
struct easer {
    const struct field *field; /* as entered */
    const struct curve *curves;
    const struct plan_options *ask;
    struct arena *arena;
};

/* --- how far one limit has to move --------------------------------------- */

/* The limit's own row, or flow, in a problem. */
struct spot {
    size_t row;    /* SIZE_MAX: a flow */
    size_t column; /* likewise; all units' when it is their capacity */
    double unit;   /* SI of one */
    bool is_least; /* relaxed by going down */
};

static size_t row_of_group(const struct problem *p, const struct cause *c)
{
    size_t r = N_FIELD_ROWS;
    while (r < p->n_rows &&
           ((int)p->row[r].kind != c->kind || p->row[r].scope != c->scope ||
            p->row[r].group != c->group))
        r++;
    return r;
}

static struct spot spot_of(const struct problem *p, const struct cause *c)
{
    double gas = p->units.gas_sm3s, oil = p->units.oil_sm3s;
    struct spot s = {SIZE_MAX, SIZE_MAX, gas, false};
    switch (c->kind) {
    case PLAN_LIMIT_LIFT:
        s.row = ROW_LIFT;
        break;
    case PLAN_LIMIT_LIQUID:
        s = (struct spot){ROW_LIQUID, SIZE_MAX, oil, false};
        break;
    case PLAN_LIMIT_WATER:
        s = (struct spot){ROW_WATER, SIZE_MAX, oil, false};
        break;
    case PLAN_LIMIT_GAS:
        s.row = ROW_GAS;
        break;
    case PLAN_LIMIT_POWER:
        s = (struct spot){ROW_POWER, SIZE_MAX, gas * POWER_UNIT, false};
        break;
    case PLAN_LIMIT_OIL_TARGET:
        s = (struct spot){ROW_TARGET, SIZE_MAX, oil, true};
        break;
    case PLAN_LIMIT_MOVES:
        s = (struct spot){ROW_MOVES, SIZE_MAX, 1, false};
        break;
    case PLAN_LIMIT_SALES_MIN:
        s.is_least = true;
        s.column = COLUMN_SALES;
        break;
    case PLAN_LIMIT_SALES_MAX:
        s.column = COLUMN_SALES;
        break;
    case PLAN_LIMIT_PURCHASE:
        s.column = COLUMN_BOUGHT;
        break;
    case PLAN_LIMIT_FLARE:
        s.column = COLUMN_FLARE;
        break;
    default:
        s.column = COLUMN_UNIT;
        break;
    }
    if (c->scope != N_GROUP_KINDS)
        s.row = row_of_group(p, c);
    return s;
}

/* Without any worth: only the limit counts. */
static void forget_worth(struct problem *p)
{
    memset(p->goal, 0, sizeof p->goal);
    p->tie_gas = p->tie_rank = p->tie_bought = p->tie_flare = 0;
    for (size_t k = 0; k < p->n_columns; k++)
        p->column[k].worth = 0;
    for (size_t u = 0; u < p->n_units; u++)
        p->unit[u].worth = 0;
}

/* The goal of the model: the least of the row, or the most. Returns what of
 * the row does not depend on any column. */
static double aim_at_row(struct milp *m, size_t row, double sign)
{
    double constant = -m->row_high[row];
    m->row_high[row] = (double)INFINITY;
    m->row_low[row] = -(double)INFINITY;
    for (size_t j = 0; j < m->n_columns; j++)
        for (size_t t = m->start[j]; t < milp_column_end(m, j); t++)
            if (m->term_row[t] == row)
                m->cost[j] = sign * m->term[t];
    return constant;
}

static void aim_at_flow(const struct model *m, size_t column, double sign)
{
    const struct problem *p = m->problem;
    size_t last = column == COLUMN_UNIT ? p->n_columns : column + 1;
    size_t step = column == COLUMN_UNIT ? 2 : 1;
    for (size_t k = column; k < last; k += step)
        m->lp.cost[m->station + k] = sign;
}

/* The value nearest to the limit at which a plan exists, other things equal;
 * *f is the field without it. NaN: none was found. */
static enum status nearest(const struct easer *e, const struct field *f,
                           const struct plan_options *o, const struct cause *c,
                           bool lines_only, double *si, struct err *err)
{
    struct arena scratch;
    arena_init(&scratch);
    struct problem p;
    struct model m;
    /* A row that is left away must be there to be aimed at. */
    problem_make(f, e->curves, o, lines_only, &scratch, &p);
    forget_worth(&p);
    struct spot s = spot_of(&p, c);
    struct menu *menu = ARENA_NEW(&scratch, p.n_wells, struct menu);
    for (size_t i = 0; i < p.n_wells; i++)
        menu[i] = p.bidder[i].menu;
    double sign = s.is_least ? 1 : -1, constant = 0;
    if (s.row < p.n_rows)
        p.row[s.row].high = 0;
    model_make(&p, menu, true, NULL, &scratch, &m);
    if (s.row < p.n_rows)
        constant = aim_at_row(&m.lp, s.row, sign);
    else
        aim_at_flow(&m, s.column, sign);
    m.lp.constant = 0;
    const struct lp_limits limits = {0, TOL_PLAN_NODES, RELAX_TIME_S};
    struct milp_answer answer;
    *si = (double)NAN;
    enum status st = lp_solve(&m.lp, &limits, &scratch, &answer, err);
    if (st == ST_OK && answer.has_point)
        *si = (sign * answer.value + constant) * s.unit;
    arena_release(&scratch);
    return st;
}

/* --- limits and their values --------------------------------------------- */

static double *cap_of(struct field_caps *c, int kind)
{
    switch (kind) {
    case PLAN_LIMIT_LIFT:
        return &c->lift_sm3s;
    case PLAN_LIMIT_LIQUID:
        return &c->liquid_sm3s;
    case PLAN_LIMIT_WATER:
        return &c->water_sm3s;
    case PLAN_LIMIT_GAS:
        return &c->gas_sm3s;
    default:
        return NULL;
    }
}

/* Where the value of a limit is kept; NULL: it is none, or a count. */
static double *place_of(struct field *f, struct plan_options *o,
                        const struct cause *c)
{
    if (c->scope != N_GROUP_KINDS)
        return cap_of(&f->groups[c->scope].group[c->group].caps, c->kind);
    switch (c->kind) {
    case PLAN_LIMIT_POWER:
        return &f->station.power_max_w;
    case PLAN_LIMIT_SALES_MIN:
        return &f->sales.min_sm3s;
    case PLAN_LIMIT_SALES_MAX:
        return &f->sales.max_sm3s;
    case PLAN_LIMIT_PURCHASE:
        return &f->market.max_sm3s;
    case PLAN_LIMIT_FLARE:
        return &f->station.flare_max_sm3s;
    case PLAN_LIMIT_OIL_TARGET:
        return &o->oil_target_sm3s;
    default:
        return cap_of(&f->limits.caps, c->kind);
    }
}

static size_t *count_of(struct field *f, const struct cause *c)
{
    if (c->kind != PLAN_LIMIT_MOVES)
        return NULL;
    return c->scope == N_GROUP_KINDS
               ? &f->limits.caps.moves
               : &f->groups[c->scope].group[c->group].caps.moves;
}

static double value_of(const struct easer *e, const struct cause *c)
{
    struct field f = *e->field;
    struct plan_options o = *e->ask;
    const double *place = place_of(&f, &o, c);
    const size_t *count = count_of(&f, c);
    if (count != NULL)
        return (double)*count;
    return place != NULL ? *place : field_capacity_sm3s(&f);
}

static bool has_amount(const struct cause *c)
{
    return c->kind <= PLAN_LIMIT_MOVES;
}

static bool is_least(int kind)
{
    return kind == PLAN_LIMIT_SALES_MIN || kind == PLAN_LIMIT_OIL_TARGET;
}

static void set_value(struct field *f, struct plan_options *o,
                      const struct cause *c, double si)
{
    double *place = place_of(f, o, c);
    size_t *count = count_of(f, c);
    if (count != NULL)
        *count = (size_t)round(si);
    else if (place != NULL)
        *place = fmax(si, 0);
}

/* The limit is moved in *f and *o by as little as leaves a plan, which is
 * tried: rounding may ask for a hair more. *si NaN: it is not moved. */
static enum status move_limit(const struct easer *e, struct field *f,
                              struct plan_options *o, const struct cause *c,
                              double *si, struct err *err)
{
    double sign = is_least(c->kind) ? -1 : 1;
    for (int lines = 0; lines < 2; lines++) {
        enum status st = nearest(e, f, o, c, lines == 1, si, err);
        if (st != ST_OK || !isfinite(*si))
            return st;
        for (size_t k = 0; k < N_HAIRS; k++) {
            double hair = HAIRS[k] * fmax(fabs(*si), TOL_LIMIT_SM3S);
            double to = *si + (c->kind == PLAN_LIMIT_MOVES ? 0 : sign * hair);
            struct field trial = conflict_copy(f, e->arena);
            struct plan_options ask = *o;
            bool possible;
            set_value(&trial, &ask, c, to);
            st = conflict_is_possible(&trial, e->curves, &ask, e->arena,
                                      &possible, err);
            if (st != ST_OK)
                return st;
            if (possible) {
                *f = trial;
                *o = ask;
                *si = to;
                return ST_OK;
            }
        }
    }
    *si = (double)NAN;
    return ST_OK;
}

static enum status ease_alone(const struct easer *e, const struct cause *c,
                              struct relaxed_limit *out, struct err *err)
{
    *out = (struct relaxed_limit){
        .what = conflict_words(e->field, e->curves, e->ask, c, e->arena),
        .kind =
            has_amount(c) ? (enum plan_limit_kind)c->kind : PLAN_LIMIT_MOVES,
        .has_amount = has_amount(c),
        .from = (double)NAN,
        .to = (double)NAN,
    };
    if (!out->has_amount)
        return ST_OK;
    struct arena scratch;
    arena_init(&scratch);
    struct field f = conflict_copy(e->field, &scratch);
    struct plan_options o = *e->ask;
    conflict_leave_away(&f, c, &o, &scratch);
    double *place = place_of(&f, &o, c);
    size_t *count = count_of(&f, c);
    if (c->scope != N_GROUP_KINDS && place != NULL)
        *place = RELAX_ENDLESS;
    if (count != NULL)
        *count = MOVES_ENDLESS;
    enum status st = place != NULL || count != NULL
                         ? move_limit(e, &f, &o, c, &out->to, err)
                         : nearest(e, &f, &o, c, false, &out->to, err);
    out->from = value_of(e, c);
    arena_release(&scratch);
    return st;
}

/* --- the plan that violates least ---------------------------------------- */

/* In the order in which they are given up, the first one first. */
static const int ORDER[] = {
    CAUSE_BAND,           PLAN_LIMIT_MOVES,    PLAN_LIMIT_OIL_TARGET,
    PLAN_LIMIT_SALES_MIN, PLAN_LIMIT_PURCHASE, PLAN_LIMIT_SALES_MAX,
    CAUSE_MUST_RUN,       PLAN_LIMIT_FLARE,
};
#define N_ORDER (sizeof ORDER / sizeof ORDER[0])

static void free_class(struct field *f, struct plan_options *o, int kind,
                       struct arena *a)
{
    struct cause c = {kind, N_GROUP_KINDS, 0};
    conflict_leave_away(f, &c, o, a);
    if (kind == PLAN_LIMIT_MOVES)
        f->limits.caps.moves = MOVES_ENDLESS;
    for (int k = 0; k < N_GROUP_KINDS && kind == PLAN_LIMIT_MOVES; k++)
        for (size_t i = 0; i < f->groups[k].n; i++)
            f->groups[k].group[i].caps.moves = SIZE_MAX;
}

/* As entered again. */
static void restore_class(const struct easer *e, struct field *f,
                          struct plan_options *o, int kind)
{
    const struct field *from = e->field;
    struct cause c = {kind, N_GROUP_KINDS, 0};
    struct field entered = *from;
    struct plan_options asked = *e->ask;
    double *place = place_of(f, o, &c);
    if (kind == CAUSE_BAND)
        f->limits.dead_band_sm3s = from->limits.dead_band_sm3s;
    else if (kind == CAUSE_MUST_RUN)
        for (size_t i = 0; i < f->n_wells; i++)
            f->well[i].may_stop = from->well[i].may_stop;
    else if (kind == PLAN_LIMIT_MOVES) {
        f->limits.caps.moves = from->limits.caps.moves;
        for (int k = 0; k < N_GROUP_KINDS; k++)
            for (size_t i = 0; i < f->groups[k].n; i++)
                f->groups[k].group[i].caps.moves =
                    from->groups[k].group[i].caps.moves;
    } else if (place != NULL) {
        *place = *place_of(&entered, &asked, &c);
    }
}

/* Wells that must run, one after another in the field's order, as long as a
 * plan exists. */
static enum status restore_wells(const struct easer *e, struct field *f,
                                 const struct plan_options *o, struct err *err)
{
    for (size_t i = 0; i < f->n_wells; i++) {
        if (e->field->well[i].may_stop)
            continue;
        bool possible;
        f->well[i].may_stop = false;
        enum status st =
            conflict_is_possible(f, e->curves, o, e->arena, &possible, err);
        if (st != ST_OK)
            return st;
        f->well[i].may_stop = !possible;
    }
    return ST_OK;
}

static void add_moved(const struct easer *e, int kind, double from, double to,
                      struct plan_relax *out)
{
    struct cause c = {kind, N_GROUP_KINDS, 0};
    out->moved[out->n_moved++] = (struct relaxed_limit){
        .what = conflict_words(e->field, e->curves, e->ask, &c, e->arena),
        .kind = has_amount(&c) ? (enum plan_limit_kind)kind : PLAN_LIMIT_MOVES,
        .has_amount = has_amount(&c),
        .from = from,
        .to = to,
    };
}

/* As near to what was entered as leaves a plan. */
static enum status tighten(const struct easer *e, struct field *f,
                           struct plan_options *o, int kind,
                           struct plan_relax *out, struct err *err)
{
    struct cause c = {kind, N_GROUP_KINDS, 0};
    struct field trial = conflict_copy(f, e->arena);
    struct plan_options ask = *o;
    bool possible;
    restore_class(e, &trial, &ask, kind);
    enum status st =
        conflict_is_possible(&trial, e->curves, &ask, e->arena, &possible, err);
    if (st != ST_OK)
        return st;
    if (possible) {
        *f = trial;
        *o = ask;
        return ST_OK;
    }
    double to = (double)NAN;
    if (kind == CAUSE_MUST_RUN)
        st = restore_wells(e, f, o, err);
    else if (has_amount(&c))
        st = move_limit(e, f, o, &c, &to, err);
    if (st == ST_OK)
        add_moved(e, kind, value_of(e, &c), to, out);
    return st;
}

/* The best plan with the limits as moved; where rounding leaves none, each a
 * hair further. */
static enum status solve_moved(const struct easer *e, struct field *f,
                               struct plan_options *o, struct plan_relax *out,
                               struct err *err)
{
    for (size_t k = 0; k < N_HAIRS; k++) {
        enum status st = plan_solve(f, e->curves, o, e->arena, &out->plan, err);
        out->has_plan = st == ST_OK && out->plan.outcome != PLAN_IMPOSSIBLE;
        if (st != ST_OK || out->has_plan)
            return st;
        for (size_t i = 0; i < out->n_moved; i++) {
            struct relaxed_limit *l = &out->moved[i];
            struct cause c = {(int)l->kind, N_GROUP_KINDS, 0};
            if (!l->has_amount || l->kind == PLAN_LIMIT_MOVES ||
                !isfinite(l->to))
                continue;
            l->to += (is_least(c.kind) ? -1 : 1) * HAIRS[k] * fabs(l->to);
            set_value(f, o, &c, l->to);
        }
    }
    return ST_OK;
}

static enum status least_violating(const struct easer *e,
                                   struct plan_relax *out, struct err *err)
{
    struct field f = conflict_copy(e->field, e->arena);
    struct plan_options o = *e->ask;
    for (size_t k = 0; k < N_ORDER; k++)
        free_class(&f, &o, ORDER[k], e->arena);
    enum status st =
        conflict_is_possible(&f, e->curves, &o, e->arena, &out->has_plan, err);
    out->moved = ARENA_NEW(e->arena, N_ORDER, struct relaxed_limit);
    for (size_t k = N_ORDER; k > 0 && st == ST_OK && out->has_plan; k--)
        st = tighten(e, &f, &o, ORDER[k - 1], out, err);
    if (st != ST_OK || !out->has_plan)
        return st;
    if (o.objective == PLAN_GAS && !(o.oil_target_sm3s > 0))
        o.objective = PLAN_OIL;
    return solve_moved(e, &f, &o, out, err);
}

static enum status relax(const struct easer *e, const struct conflict *c,
                         struct plan_relax *out, struct err *err)
{
    *out = (struct plan_relax){.n_alone = c->n};
    out->alone = ARENA_NEW(e->arena, c->n, struct relaxed_limit);
    for (size_t i = 0; i < c->n; i++) {
        enum status st = ease_alone(e, &c->cause[i], &out->alone[i], err);
        if (st != ST_OK)
            return st;
    }
    return least_violating(e, out, err);
}

enum status plan_reasons(const struct field *f, const struct curve *curves,
                         const struct plan_options *o, struct arena *a,
                         struct plan *p, struct err *err)
{
    if (p->outcome != PLAN_IMPOSSIBLE)
        return ST_OK;
    struct conflict conflict = {0};
    enum status st = conflict_find(f, curves, o, a, &conflict, err);
    if (st != ST_OK)
        return st;
    const struct easer e = {f, curves, o, a};
    struct plan_relax *found = ARENA_NEW(a, 1, struct plan_relax);
    p->conflict = conflict.sentence;
    p->relax = found;
    return relax(&e, &conflict, found, err);
}
