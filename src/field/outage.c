#include "field/outage.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "field/compressor.h"

/* What events are about: cause, and which unit, manifold or well. */
struct thing {
    enum outage_cause cause;
    size_t index;
};

struct span {
    double from_s, to_s;
};

/* --- events on one thing -------------------------------------------------- */

static bool concerns(const struct outage_event *e, struct thing t)
{
    bool has_index = t.cause == CAUSE_UNIT || t.cause == CAUSE_MANIFOLD ||
                     t.cause == CAUSE_WELL;
    return e->cause == t.cause && (!has_index || e->index == t.index);
}

static bool touches(const struct outage *o, struct thing t, struct span s)
{
    for (size_t i = 0; i < o->n_events; i++) {
        const struct outage_event *e = &o->event[i];
        if (concerns(e, t) && e->from_s < s.to_s && e->to_s > s.from_s)
            return true;
    }
    return false;
}

/* The first moment after at_s when an event begins or ends; at most end_s. */
static double next_change(const struct outage *o, struct thing t, double at_s,
                          double end_s)
{
    double next_s = end_s;
    for (size_t i = 0; i < o->n_events; i++) {
        const struct outage_event *e = &o->event[i];
        if (concerns(e, t) && e->from_s > at_s)
            next_s = fmin(next_s, e->from_s);
        if (concerns(e, t) && e->to_s > at_s)
            next_s = fmin(next_s, e->to_s);
    }
    return next_s;
}

static bool is_on(const struct outage_event *e, struct thing t, double at_s)
{
    return concerns(e, t) && e->from_s <= at_s && e->to_s > at_s;
}

/* Of what is there without any event. */
static double left_at(const struct outage *o, struct thing t, double whole,
                      double at_s)
{
    double least = (double)INFINITY;
    bool is_changed = false;
    for (size_t i = 0; i < o->n_events; i++) {
        const struct outage_event *e = &o->event[i];
        bool has_amount = !isnan(e->amount);
        if (!is_on(e, t, at_s) || (!has_amount && isnan(e->part)))
            continue;
        /* A part of no limit is none, but nothing of it is nothing. */
        double left = has_amount    ? e->amount
                      : e->part > 0 ? e->part * whole
                                    : 0;
        least = fmin(least, left);
        is_changed = true;
    }
    return is_changed ? least : whole;
}

/* The mean over the span. */
static double mean_left(const struct outage *o, struct thing t, double whole,
                        struct span s)
{
    double sum = 0, least = whole, at_s = s.from_s;
    if (!touches(o, t, s))
        return whole;
    while (at_s < s.to_s) {
        double next_s = next_change(o, t, at_s, s.to_s);
        double left = left_at(o, t, whole, at_s);
        sum += left * (next_s - at_s);
        least = fmin(least, left);
        at_s = next_s;
    }
    return isfinite(sum) ? sum / (s.to_s - s.from_s) : least;
}

/* The last event that gives a value has the word; otherwise, as without. */
static double last_price(const struct outage *o, struct thing t, double plain,
                         double at_s)
{
    double price_sm3 = plain;
    for (size_t i = 0; i < o->n_events; i++)
        if (is_on(&o->event[i], t, at_s) && !isnan(o->event[i].price_sm3))
            price_sm3 = o->event[i].price_sm3;
    return price_sm3;
}

static double mean_price(const struct outage *o, struct thing t, double plain,
                         struct span s)
{
    double sum = 0, at_s = s.from_s;
    if (!touches(o, t, s))
        return plain;
    while (at_s < s.to_s) {
        double next_s = next_change(o, t, at_s, s.to_s);
        sum += last_price(o, t, plain, at_s) * (next_s - at_s);
        at_s = next_s;
    }
    return sum / (s.to_s - s.from_s);
}

/* --- the field in a period ------------------------------------------------ */

/* What the unit moves in the weather of that moment. */
static double rated_at(const struct outage *o, const struct field_compressor *u,
                       double at_s)
{
    struct compressor_rating r;
    struct err err;
    double capacity_sm3s = u->capacity_sm3s;
    for (size_t i = 0; i < o->n_events; i++)
        /* The gas does not depend on the weather: a unit that could be rated
         * for the day can be for any hour. */
        if (is_on(&o->event[i], (struct thing){CAUSE_AMBIENT, 0}, at_s) &&
            compressor_rate(u->spec, o->event[i].amount, &r, &err) == ST_OK)
            capacity_sm3s = r.capacity_sm3s;
    return capacity_sm3s;
}

static void change_unit(const struct outage *o, size_t index, struct span s,
                        struct field_compressor *u)
{
    struct thing unit = {CAUSE_UNIT, index}, weather = {CAUSE_AMBIENT, 0};
    bool is_rated = u->spec != NULL && touches(o, weather, s);
    if (!field_unit_may_run(u) || (!is_rated && !touches(o, unit, s)))
        return;
    double sum_sm3 = 0, up_s = 0, at_s = s.from_s;
    while (at_s < s.to_s) {
        double next_s = next_change(o, unit, at_s, s.to_s);
        if (is_rated)
            next_s = next_change(o, weather, at_s, next_s);
        double whole_sm3s = is_rated ? rated_at(o, u, at_s) : u->capacity_sm3s;
        double left_sm3s = fmin(left_at(o, unit, whole_sm3s, at_s), whole_sm3s);
        sum_sm3 += left_sm3s * (next_s - at_s);
        up_s += left_sm3s > 0 ? next_s - at_s : 0;
        at_s = next_s;
    }
    double up = up_s / (s.to_s - s.from_s);
    u->capacity_sm3s = sum_sm3 / (s.to_s - s.from_s);
    u->least_sm3s *= up;
    u->fuel_fixed_sm3s *= up;
    u->power_fixed_w *= up;
    if (!(u->capacity_sm3s > 0 && u->least_sm3s <= u->capacity_sm3s))
        u->state = UNIT_DOWN;
}

static void change_units(const struct outage *o, struct span s, struct arena *a,
                         struct field *f)
{
    struct field_station *st = &f->station;
    struct field_compressor *unit =
        ARENA_NEW(a, st->n_compressors, struct field_compressor);
    for (size_t i = 0; i < st->n_compressors; i++) {
        unit[i] = st->compressor[i];
        change_unit(o, i, s, &unit[i]);
    }
    st->compressor = unit;
}

static void change_manifolds(const struct outage *o, struct span s,
                             struct arena *a, struct field *f)
{
    struct field_groups *g = &f->groups[GROUP_MANIFOLD];
    struct field_group *group = ARENA_NEW(a, g->n, struct field_group);
    for (size_t i = 0; i < g->n; i++) {
        group[i] = g->group[i];
        group[i].caps.lift_sm3s = mean_left(
            o, (struct thing){CAUSE_MANIFOLD, i}, group[i].caps.lift_sm3s, s);
    }
    g->group = group;
}

static void change_wells(const struct outage *o, struct span s, struct arena *a,
                         struct field *f)
{
    struct field_well *well = NULL;
    for (size_t i = 0; i < f->n_wells; i++) {
        if (!touches(o, (struct thing){CAUSE_WELL, i}, s))
            continue;
        if (well == NULL) {
            well = ARENA_NEW(a, f->n_wells, struct field_well);
            memcpy(well, f->well, f->n_wells * sizeof *well);
        }
        well[i].reading.status = WELL_DOWN;
    }
    if (well != NULL)
        f->well = well;
}

static void change_limits(const struct outage *o, struct span s,
                          struct field *f)
{
    const struct {
        enum outage_cause cause;
        double *limit;
    } limits[] = {
        {CAUSE_SALES, &f->sales.max_sm3s},
        {CAUSE_MARKET, &f->market.max_sm3s},
        {CAUSE_FLARE, &f->station.flare_max_sm3s},
        {CAUSE_LIFT, &f->limits.caps.lift_sm3s},
        {CAUSE_LIQUID, &f->limits.caps.liquid_sm3s},
        {CAUSE_WATER, &f->limits.caps.water_sm3s},
        {CAUSE_GAS, &f->limits.caps.gas_sm3s},
    };
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        *limits[i].limit = mean_left(o, (struct thing){limits[i].cause, 0},
                                     *limits[i].limit, s);
    f->sales.min_sm3s = fmin(f->sales.min_sm3s, f->sales.max_sm3s);
    f->market.price_sm3 =
        mean_price(o, (struct thing){CAUSE_MARKET, 0}, f->market.price_sm3, s);
}

void outage_periods(const struct field *f, struct outage *o, struct arena *a)
{
    o->period = ARENA_NEW(a, o->n_periods, struct field);
    for (size_t p = 0; p < o->n_periods; p++) {
        struct field *now = &o->period[p];
        struct span s = {(double)p * o->period_s,
                         (double)(p + 1) * o->period_s};
        *now = *f;
        change_limits(o, s, now);
        change_units(o, s, a, now);
        change_manifolds(o, s, a, now);
        change_wells(o, s, a, now);
    }
}

/* --- bringing wells back -------------------------------------------------- */

/* What the model of a string says; its tubing only is to be lifted. */
static enum status unload_string(const struct field_well *w,
                                 struct well_restart *sum, struct err *err)
{
    struct unload_spec kill = w->kill;
    struct unload u;
    kill.annulus_is_full = true;
    enum status st = unload_solve(w->model, &kill, &u, err);
    if (st != ST_OK)
        return st;
    sum->comes_back = sum->comes_back && u.comes_back;
    sum->unload_s =
        u.comes_back ? fmax(sum->unload_s, u.time_s) : (double)INFINITY;
    sum->gas_sm3 += u.gas_sm3;
    return ST_OK;
}

static bool has_string(const struct field_well *w)
{
    return (w->kind == KIND_CONTINUOUS || w->kind == KIND_DUAL) &&
           w->model != NULL && w->model->n_valves > 0;
}

static enum status ask_model(const struct field_well *w, struct well_restart *r,
                             struct err *err)
{
    struct well_restart sum = {.comes_back = true};
    if (!has_string(w))
        return ST_OK;
    enum status st = unload_string(w, &sum, err);
    if (st == ST_OK && w->second != NULL && has_string(w->second))
        st = unload_string(w->second, &sum, err);
    if (st == ST_RANGE) /* no pressure is known to do it with */
        return ST_OK;
    r->unload_s = sum.unload_s;
    r->gas_sm3 = sum.gas_sm3;
    r->comes_back = sum.comes_back;
    return st;
}

static void fill_rest(const struct field_well *w, const struct outage *o,
                      struct well_restart *r)
{
    bool is_instant = w->kind == KIND_INTERMITTENT || w->kind == KIND_PUMPED;
    struct well_restart rest = o->restart_else;
    if (is_instant)
        rest = (struct well_restart){0};
    if (isnan(r->unload_s)) {
        r->unload_s = rest.unload_s;
        r->gas_sm3 = rest.gas_sm3;
    }
    if (isnan(r->build_up_s))
        r->build_up_s = rest.build_up_s;
    if (isnan(r->alone_s))
        r->alone_s = is_instant ? (double)INFINITY : rest.alone_s;
}

enum status outage_restarts(const struct field *f, struct outage *o,
                            struct err *err)
{
    enum status worst = ST_OK;
    size_t failed = f->n_wells; /* the first by index, whatever thread met it */
#pragma omp parallel for schedule(dynamic)
    for (size_t i = 0; i < f->n_wells; i++) {
        struct well_restart *r = &o->restart[i];
        struct err own;
        r->is_input = !isnan(r->unload_s);
        enum status st = r->is_input ? ST_OK : ask_model(&f->well[i], r, &own);
#pragma omp critical
        if (st != ST_OK && i < failed) {
            failed = i;
            worst = err_set(err, st, "how well %s comes back: %s",
                            f->well[i].name, own.msg);
        }
        fill_rest(&f->well[i], o, r);
    }
    return worst;
}
