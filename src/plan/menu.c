#include "menu.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/arena.h"
#include "num/tol.h"

/* A list under construction; its room is known beforehand. */
struct points {
    size_t n;
    struct use *point;
};

struct maker {
    const struct curve *curve;
    const struct plan_units *units;
    struct arena *arena;
    struct menu *menu;
    double step_sm3s; /* between set points; 0: any */
    bool is_proportional, makes_chains;
};

struct span {
    double low_sm3s, high_sm3s;
};

/* Not below, but for the last digits that a change of units moves. */
static bool is_at_least(double a_sm3s, double b_sm3s)
{
    return a_sm3s >= b_sm3s * (1 - TOL_SAME_RATE);
}

struct curve_point menu_point_at(const struct curve *c, double gas_sm3s)
{
    double first_sm3s = c->n > 0 ? c->gas_sm3s[0] : 0;
    double last_sm3s = c->n > 0 ? c->gas_sm3s[c->n - 1] : c->gas_max_sm3s;
    double known_sm3s = fmin(gas_sm3s, last_sm3s);
    if (is_at_least(known_sm3s, first_sm3s))
        known_sm3s = fmax(known_sm3s, first_sm3s);
    struct curve_point p = {0};
    struct err err;
    if (curve_at(c, known_sm3s, &p, &err) != ST_OK)
        p = (struct curve_point){0};
    p.gas_sm3s = gas_sm3s;
    return p;
}

static struct use use_at(const struct maker *k, double gas_sm3s)
{
    struct curve_point p = menu_point_at(k->curve, gas_sm3s);
    return (struct use){
        .gas = gas_sm3s / k->units->gas_sm3s,
        .oil = p.oil_sm3s / k->units->oil_sm3s,
        .water = p.water_sm3s / k->units->oil_sm3s,
        .formation = p.formation_sm3s / k->units->gas_sm3s,
    };
}

static bool is_in_ratio(const double *part, const double *oil, size_t n,
                        size_t peak)
{
    if (!(oil[peak] > 0))
        return true;
    double ratio = part[peak] / oil[peak];
    for (size_t i = 0; i < n; i++)
        if (!(fabs(part[i] - ratio * oil[i]) <=
              TOL_PLAN_RATIO * ratio * oil[peak]))
            return false;
    return true;
}

static bool is_proportional(const struct curve *c)
{
    return c->n == 0 ||
           (is_in_ratio(c->water_sm3s, c->oil_sm3s, c->n, c->peak) &&
            is_in_ratio(c->formation_sm3s, c->oil_sm3s, c->n, c->peak));
}

static void add_mode(struct maker *k, const struct use *point, size_t n,
                     bool moved, bool runs)
{
    size_t i = k->menu->n_modes++;
    k->menu->mode[i] = (struct mode){
        .n = n,
        .point = point,
        .moved = moved,
        .runs = runs,
        .is_chain = k->makes_chains,
        .origin = i,
    };
}

static void add_rate(struct maker *k, double gas_sm3s, bool moved)
{
    struct use *point = ARENA_NEW(k->arena, 1, struct use);
    *point = use_at(k, gas_sm3s);
    bool flows = menu_point_at(k->curve, gas_sm3s).flows;
    add_mode(k, point, 1, moved, flows || gas_sm3s > 0);
}

/* The middle of three lies on or under the line through the others. */
static bool is_under(const struct use *a, const struct use *b,
                     const struct use *c)
{
    return (b->oil - a->oil) * (c->gas - a->gas) <=
           (c->oil - a->oil) * (b->gas - a->gas);
}

/* Add a point of more gas to the upper hull of the earlier ones. */
static void push_hull(struct points *hull, const struct use *p)
{
    while (hull->n >= 2 &&
           is_under(&hull->point[hull->n - 2], &hull->point[hull->n - 1], p))
        hull->n--;
    hull->point[hull->n++] = *p;
}

/* How far the points lie under their hull at most. */
static double depth_under(const struct points *hull, const struct use *p,
                          size_t n)
{
    double depth = 0;
    for (size_t i = 0, h = 0; i < n && hull->n > 1; i++) {
        while (h + 2 < hull->n && hull->point[h + 1].gas < p[i].gas)
            h++;
        const struct use *a = &hull->point[h], *b = &hull->point[h + 1];
        double part = (p[i].gas - a->gas) / (b->gas - a->gas);
        depth = fmax(depth, a->oil + part * (b->oil - a->oil) - p[i].oil);
    }
    return depth;
}

/* Points of the longest piece from p[0] that its hull covers within the kinks
 * that noise makes; *hull is that hull. */
static size_t take_concave(const struct use *p, size_t n, double kink,
                           struct points *hull)
{
    hull->n = 0;
    push_hull(hull, &p[0]);
    size_t taken = 1;
    while (taken < n) {
        size_t before = hull->n;
        push_hull(hull, &p[taken]);
        bool is_bent = hull->n <= before;
        if (is_bent && depth_under(hull, p, taken + 1) > kink)
            break;
        taken++;
    }
    /* A last point that did not fit has spoilt the hull: make it again. */
    hull->n = 0;
    for (size_t i = 0; i < taken; i++)
        push_hull(hull, &p[i]);
    return taken;
}

static void add_concave_pieces(struct maker *k, const struct use *p, size_t n)
{
    double kink =
        TOL_PLAN_KINK * curve_peak_oil_sm3s(k->curve) / k->units->oil_sm3s;
    size_t first = 0;
    do {
        struct points hull = {0, ARENA_NEW(k->arena, n - first, struct use)};
        size_t taken = take_concave(p + first, n - first, kink, &hull);
        add_mode(k, hull.point, hull.n, true, true);
        first += taken - 1;
    } while (first + 1 < n);
}

/* Without proportions a mixture of distant points lies off the curve: each
 * straight line is a mode of its own. */
static void add_lines(struct maker *k, const struct use *p, size_t n)
{
    if (n == 1)
        add_mode(k, p, 1, true, true);
    for (size_t i = 0; i + 1 < n; i++)
        add_mode(k, p + i, 2, true, true);
}

static size_t peak_of(const struct points *list)
{
    size_t peak = 0;
    for (size_t i = 1; i < list->n; i++)
        if (list->point[i].oil > list->point[peak].oil)
            peak = i;
    return peak;
}

/* The curve's points in the span. Past the peak there is less of everything
 * for more gas, unless water or formation gas go their own way. */
static struct points points_of(const struct maker *k, struct span s)
{
    const struct curve *c = k->curve;
    struct points list = {0, ARENA_NEW(k->arena, c->n + 2, struct use)};
    list.point[list.n++] = use_at(k, s.low_sm3s);
    for (size_t i = 0; i < c->n; i++)
        if (c->gas_sm3s[i] > s.low_sm3s && c->gas_sm3s[i] < s.high_sm3s)
            list.point[list.n++] = use_at(k, c->gas_sm3s[i]);
    if (s.high_sm3s > s.low_sm3s)
        list.point[list.n++] = use_at(k, s.high_sm3s);

    if (k->is_proportional)
        list.n = peak_of(&list) + 1;
    return list;
}

/* Multiples of the step in the span: each is a mode of its own. */
static void add_steps(struct maker *k, struct span s)
{
    double most_oil = -1;
    double first = ceil(s.low_sm3s / k->step_sm3s * (1 - TOL_SAME_RATE));
    double last = floor(s.high_sm3s / k->step_sm3s * (1 + TOL_SAME_RATE));
    for (size_t i = 0; first + (double)i <= last; i++) {
        double gas_sm3s = (first + (double)i) * k->step_sm3s;
        double oil_sm3s = menu_point_at(k->curve, gas_sm3s).oil_sm3s;
        if (k->is_proportional && oil_sm3s <= most_oil)
            continue;
        add_rate(k, gas_sm3s, true);
        most_oil = oil_sm3s;
    }
}

static void add_span(struct maker *k, struct span s)
{
    if (!(s.low_sm3s <= s.high_sm3s))
        return;
    if (k->step_sm3s > 0) {
        add_steps(k, s);
        return;
    }
    struct points list = points_of(k, s);
    if (k->makes_chains)
        add_concave_pieces(k, list.point, list.n);
    else
        add_lines(k, list.point, list.n);
}

/* Empty when low is above high, unless only by the last digits: then the one
 * rate is the high one. */
static struct span span_of(double low_sm3s, double high_sm3s)
{
    bool is_one_rate = low_sm3s > high_sm3s && is_at_least(high_sm3s, low_sm3s);
    return (struct span){is_one_rate ? high_sm3s : low_sm3s, high_sm3s};
}

/* Empty when the well cannot run. With steps, from the first multiple to the
 * last. */
static struct span running_span(const struct field_well *w,
                                const struct curve *c)
{
    if (c->n == 0)
        return (struct span){1, 0};
    struct span run = span_of(fmax(w->lift_min_sm3s, c->gas_sm3s[0]),
                              fmin(w->lift_max_sm3s, c->gas_sm3s[c->n - 1]));
    double step = w->step_sm3s;
    if (step > 0 && run.low_sm3s <= run.high_sm3s) {
        run.low_sm3s = ceil(run.low_sm3s / step * (1 - TOL_SAME_RATE)) * step;
        run.high_sm3s =
            floor(run.high_sm3s / step * (1 + TOL_SAME_RATE)) * step;
    }
    return run;
}

static bool may_be_off(const struct field_well *w, const struct curve *c)
{
    struct span run = running_span(w, c);
    return w->may_stop || run.low_sm3s > run.high_sm3s;
}

bool menu_moves_count(const struct field *f, const struct field_well *w)
{
    size_t route = w->group[GROUP_ROUTE];
    bool has_route = route < f->groups[GROUP_ROUTE].n;
    return f->limits.dead_band_sm3s > 0 || f->limits.caps.moves != SIZE_MAX ||
           f->prices.move > 0 ||
           (has_route &&
            f->groups[GROUP_ROUTE].group[route].caps.moves != SIZE_MAX);
}

bool menu_now_allowed(const struct field_well *w, const struct curve *c)
{
    double now_sm3s = field_well_now_sm3s(w);
    if (w->reading.status != WELL_FLOWING)
        return true;
    if (now_sm3s <= 0)
        return may_be_off(w, c) || running_span(w, c).low_sm3s <= 0;
    return is_at_least(now_sm3s, w->lift_min_sm3s) &&
           is_at_least(w->lift_max_sm3s, now_sm3s) &&
           is_at_least(c->gas_max_sm3s, now_sm3s);
}

/* Between two running rates a change may be too large; one that is needed to
 * come into the range is made as small as it can be. */
static struct span within_change(const struct field_well *w, struct span run)
{
    double now_sm3s = field_well_now_sm3s(w);
    if (!(w->change_max_sm3s > 0) || !(now_sm3s > 0) ||
        run.low_sm3s > run.high_sm3s)
        return run;
    double low_sm3s = fmax(run.low_sm3s, now_sm3s - w->change_max_sm3s);
    double high_sm3s = fmin(run.high_sm3s, now_sm3s + w->change_max_sm3s);
    return span_of(fmin(low_sm3s, run.high_sm3s),
                   fmax(high_sm3s, run.low_sm3s));
}

/* The well would flow without gas, and its valves may be closed. */
static void add_shut(struct maker *k, const struct field_well *w)
{
    if (!w->may_shut || !curve_flows_alone(k->curve))
        return;
    add_mode(k, ARENA_NEW(k->arena, 1, struct use), 1, true, false);
    k->menu->mode[k->menu->n_modes - 1].shut = true;
}

static void add_free_modes(struct maker *k, const struct field *f,
                           const struct field_well *w)
{
    double now_sm3s = field_well_now_sm3s(w);
    double band_sm3s = f->limits.dead_band_sm3s;
    bool may_stay = menu_moves_count(f, w) && menu_now_allowed(w, k->curve);
    struct span all = running_span(w, k->curve);
    struct span run = within_change(w, all);
    bool runs_from_none = run.low_sm3s <= 0 && run.high_sm3s >= 0;

    if (may_stay)
        add_rate(k, now_sm3s, false);
    if (!may_stay)
        band_sm3s = 0;
    bool is_new = !(may_stay && now_sm3s <= 0) && now_sm3s >= band_sm3s;
    bool is_own_mode = !runs_from_none || k->step_sm3s > 0;
    bool may_be_none = may_be_off(w, k->curve) || all.low_sm3s <= 0;
    if (may_be_none && is_own_mode && is_new)
        add_rate(k, 0, now_sm3s > 0);
    if (k->step_sm3s > 0 && is_own_mode)
        run.low_sm3s = fmax(run.low_sm3s, k->step_sm3s);
    if (band_sm3s > 0) {
        double below_sm3s = fmin(run.high_sm3s, now_sm3s - band_sm3s);
        double above_sm3s = fmax(run.low_sm3s, now_sm3s + band_sm3s);
        add_span(k, span_of(run.low_sm3s, below_sm3s));
        add_span(k, span_of(above_sm3s, run.high_sm3s));
    } else {
        add_span(k, run);
    }
    add_shut(k, w);
    /* A well that must run and has no rate left is left as it is. */
    if (k->menu->n_modes == 0)
        add_rate(k, now_sm3s, false);
}

/* Modes at most: off, as now, shut, and pieces or steps on both sides of
 * now. */
static size_t modes_most(const struct field_well *w, const struct curve *c)
{
    double steps = w->step_sm3s > 0 ? c->gas_max_sm3s / w->step_sm3s : 0;
    return c->n + 8 + (size_t)steps;
}

void menu_make(const struct field *f, const struct curve *c, size_t well,
               const struct plan_units *units, bool lines_only, struct arena *a,
               struct menu *out)
{
    const struct field_well *w = &f->well[well];
    *out = (struct menu){
        .well = well,
        .mode = ARENA_NEW(a, modes_most(w, c), struct mode),
    };
    bool follows = is_proportional(c);
    struct maker k = {
        .curve = c,
        .units = units,
        .arena = a,
        .menu = out,
        .step_sm3s = w->step_sm3s,
        .is_proportional = follows,
        .makes_chains = follows && !lines_only,
    };
    if (w->reading.status == WELL_DOWN) {
        add_mode(&k, ARENA_NEW(a, 1, struct use), 1, false, false);
    } else if (field_well_locked(w)) {
        add_rate(&k, field_well_now_sm3s(w), false);
    } else {
        add_free_modes(&k, f, w);
    }
}

static int compare_use(const void *a, const void *b)
{
    const struct use *x = a, *y = b;
    if (x->gas != y->gas)
        return x->gas < y->gas ? -1 : 1;
    return x->oil < y->oil ? 1 : x->oil > y->oil ? -1 : 0;
}

/* The modes that a relaxed one stands for. */
static bool is_like(const struct mode *m, const struct mode *other,
                    const struct menu_kinds *kinds)
{
    return (!kinds->moves || m->moved == other->moved) &&
           (!kinds->runs || m->runs == other->runs);
}

/* All points of the modes like m, by rising gas. */
static struct points gather(const struct menu *full, const struct mode *m,
                            const struct menu_kinds *kinds, struct arena *a)
{
    size_t room = 0;
    for (size_t i = 0; i < full->n_modes; i++)
        room += full->mode[i].n;
    struct points all = {0, ARENA_NEW(a, room, struct use)};
    for (size_t i = 0; i < full->n_modes; i++)
        for (size_t j = 0; j < full->mode[i].n; j++)
            if (is_like(&full->mode[i], m, kinds))
                all.point[all.n++] = full->mode[i].point[j];
    qsort(all.point, all.n, sizeof *all.point, compare_use);
    return all;
}

/* Each gas once, the most oil of it, and no point under the others' hull. */
static struct points hull_of(const struct points *all, struct arena *a)
{
    struct points hull = {0, ARENA_NEW(a, all->n, struct use)};
    for (size_t i = 0; i < all->n; i++)
        if (i == 0 || all->point[i].gas > all->point[i - 1].gas)
            push_hull(&hull, &all->point[i]);
    return hull;
}

void menu_relax(const struct menu *full, const struct menu_kinds *kinds,
                struct arena *a, struct menu *out)
{
    *out = (struct menu){
        .well = full->well,
        .mode = ARENA_NEW(a, MENU_KINDS_MOST, struct mode),
    };
    for (size_t i = 0; i < full->n_modes; i++) {
        const struct mode *m = &full->mode[i];
        size_t earlier = 0;
        while (earlier < out->n_modes &&
               !is_like(&out->mode[earlier], m, kinds))
            earlier++;
        if (earlier < out->n_modes)
            continue;
        struct points all = gather(full, m, kinds, a);
        if (m->is_chain)
            all = hull_of(&all, a);
        out->mode[out->n_modes++] = (struct mode){
            .n = all.n,
            .point = all.point,
            .moved = m->moved,
            .runs = m->runs,
            .is_chain = m->is_chain,
        };
    }
}
