/* What to cut when gas fails: plans with less and less gas, each made from the
 * one before by the fewest changes and without giving any well more, so that
 * the list can be followed downwards. */
#include "plan/outage.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"

struct cutter {
    const struct field *field;
    const struct curve *curves;
    const struct outage *outage;
    struct plan_options ask;
    double lasts_s;
    double value_today;
    struct plan_well *well; /* [n_wells] as the last step leaves them */
    struct arena *arena;
};

/* --- the field of a step -------------------------------------------------- */

static bool takes_too_long(const struct well_restart *r, double lasts_s)
{
    return r->unload_s + r->build_up_s > lasts_s;
}

static bool may_be_stopped(const struct cutter *c, size_t i)
{
    const struct well_restart *r = &c->outage->restart[i];
    return c->field->well[i].may_stop && !c->outage->never_stops[i] &&
           r->comes_back && !takes_too_long(r, c->lasts_s);
}

/* The well as it stands: it keeps its rate or gets less. */
static struct field_well well_to_cut(const struct cutter *c, size_t i)
{
    struct field_well w = c->field->well[i];
    double gas_sm3s = c->well[i].gas_sm3s;
    if (w.reading.status == WELL_DOWN || field_well_locked(&w))
        return w;
    w.reading.given = true;
    w.reading.lift_sm3s = gas_sm3s;
    w.lift_max_sm3s = fmin(w.lift_max_sm3s, gas_sm3s);
    w.may_stop = may_be_stopped(c, i);
    if (c->well[i].shut)
        w.reading.status = WELL_DOWN;
    else if (!(gas_sm3s > 0))
        w.reading.status = WELL_HELD;
    return w;
}

/* In an emergency the crews make as many changes as it takes. */
static void free_crews(struct field *f, struct arena *a)
{
    struct field_groups *routes = &f->groups[GROUP_ROUTE];
    struct field_group *group = ARENA_NEW(a, routes->n, struct field_group);
    for (size_t i = 0; i < routes->n; i++) {
        group[i] = routes->group[i];
        group[i].caps.moves = SIZE_MAX;
    }
    routes->group = group;
}

static struct field field_to_cut(const struct cutter *c, double gas_sm3s)
{
    struct field f = *c->field;
    f.well = ARENA_NEW(c->arena, f.n_wells, struct field_well);
    for (size_t i = 0; i < f.n_wells; i++)
        f.well[i] = well_to_cut(c, i);
    f.limits.caps.lift_sm3s = gas_sm3s;
    f.limits.caps.moves = SIZE_MAX;
    free_crews(&f, c->arena);
    return f;
}

/* --- a step --------------------------------------------------------------- */

/* The least oil for its gas first. */
static int by_oil_per_gas(const void *left, const void *right)
{
    const struct ladder_change *a = left, *b = right;
    double x = a->oil_lost_sm3s * (b->from_sm3s - b->to_sm3s);
    double y = b->oil_lost_sm3s * (a->from_sm3s - a->to_sm3s);
    return x != y ? (x > y) - (x < y)
                  : (a->well > b->well) - (a->well < b->well);
}

static void note_changes(const struct cutter *c, const struct plan *p,
                         struct ladder_step *step)
{
    step->change = ARENA_NEW(c->arena, p->n_wells, struct ladder_change);
    for (size_t i = 0; i < p->n_wells; i++) {
        const struct plan_well *was = &c->well[i], *is = &p->well[i];
        if (was->gas_sm3s - is->gas_sm3s > TOL_MOVE_SM3S)
            step->change[step->n_changes++] = (struct ladder_change){
                i, was->gas_sm3s, is->gas_sm3s, was->oil_sm3s - is->oil_sm3s};
    }
    if (step->n_changes > 0)
        qsort(step->change, step->n_changes, sizeof *step->change,
              by_oil_per_gas);
}

static bool is_near(const struct cutter *c, const struct plan *p, double best)
{
    return p->outcome != PLAN_IMPOSSIBLE &&
           p->value >= best - LADDER_LOSS * fabs(c->value_today);
}

/* The plan with the fewest changes that is nearly as good as any with so much
 * gas. */
static enum status fewest_changes(const struct cutter *c, struct field *f,
                                  struct plan *out, struct err *err)
{
    enum status st = plan_solve(f, c->curves, &c->ask, c->arena, out, err);
    if (st != ST_OK || out->outcome == PLAN_IMPOSSIBLE)
        return st;
    double best = out->value;
    size_t most = 0;
    for (size_t i = 0; i < out->n_wells; i++)
        most += out->well[i].moved;
    for (size_t n = 1; n < most; n++) {
        struct plan fewer;
        f->limits.caps.moves = n;
        st = plan_solve(f, c->curves, &c->ask, c->arena, &fewer, err);
        if (st != ST_OK)
            return st;
        if (is_near(c, &fewer, best)) {
            *out = fewer;
            break;
        }
    }
    return ST_OK;
}

static enum status add_step(struct cutter *c, double gas_sm3s,
                            double missing_sm3s, struct ladder *out,
                            struct err *err)
{
    struct field f = field_to_cut(c, gas_sm3s);
    struct plan p;
    enum status st = fewest_changes(c, &f, &p, err);
    if (st != ST_OK || p.outcome == PLAN_IMPOSSIBLE)
        return st;
    struct ladder_step *step = &out->step[out->n++];
    *step = (struct ladder_step){.gas_sm3s = gas_sm3s,
                                 .oil_sm3s = p.oil_sm3s,
                                 .minutes =
                                     c->outage->store_sm3 / missing_sm3s / 60};
    note_changes(c, &p, step);
    memcpy(c->well, p.well, p.n_wells * sizeof *p.well);
    return ST_OK;
}

/* -------------------------------------------------------------------------- */

static bool any_too_long(const struct cutter *c)
{
    for (size_t i = 0; i < c->field->n_wells; i++)
        if (c->well[i].gas_sm3s > 0 &&
            takes_too_long(&c->outage->restart[i], c->lasts_s))
            return true;
    return false;
}

enum status outage_ladder(const struct field *f, const struct curve *curves,
                          const struct outage *o,
                          const struct plan_options *ask, double lasts_s,
                          size_t n_steps, struct arena *a, struct ladder *out,
                          struct err *err)
{
    struct plan today;
    *out = (struct ladder){.lasts_s = lasts_s};
    enum status st = plan_solve(f, curves, ask, a, &today, err);
    if (st != ST_OK || today.outcome == PLAN_IMPOSSIBLE)
        return st;
    struct cutter c = {f, curves, o, *ask, lasts_s, today.value, today.well, a};
    double gas_sm3s = today.balance.lift;
    out->is_short = any_too_long(&c);
    out->step = ARENA_NEW(a, n_steps + 1, struct ladder_step);
    out->step[out->n++] = (struct ladder_step){.gas_sm3s = gas_sm3s,
                                               .oil_sm3s = today.oil_sm3s,
                                               .minutes = (double)INFINITY};
    for (size_t k = 1; k <= n_steps && out->n == k && st == ST_OK; k++) {
        double missing_sm3s = gas_sm3s * (double)k / (double)n_steps;
        st = add_step(&c, gas_sm3s - missing_sm3s, missing_sm3s, out, err);
    }
    return st;
}
