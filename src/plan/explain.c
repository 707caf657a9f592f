#include "plan/explain.h"

#include <math.h>
#include <string.h>

#include "num/tol.h"
#include "problem.h"

struct teller {
    const struct problem *problem;
    const struct plan *plan;
    size_t bidder;
    const struct menu *menu;
    struct well_worth worth;
    struct explanation *out;
};

static double value_of(const struct teller *t, double worth)
{
    return worth * t->problem->value_unit;
}

static enum explain_kind kind_of(const struct mode *m)
{
    if (m->shut)
        return WAY_SHUT;
    if (!m->moved && m->n == 1)
        return WAY_NOW;
    return m->n == 1 && !(m->point[0].gas > 0) ? WAY_OFF : WAY_CURVE;
}

static struct explain_way way_of(const struct teller *t, const struct mode *m)
{
    double gas = t->problem->units.gas_sm3s, oil = t->problem->units.oil_sm3s;
    size_t best = 0;
    for (size_t k = 1; k < m->n; k++)
        if (worth_of_point(&t->worth, &m->point[k], m) >
            worth_of_point(&t->worth, &m->point[best], m))
            best = k;
    return (struct explain_way){
        .kind = kind_of(m),
        .from_sm3s = m->point[0].gas * gas,
        .to_sm3s = m->point[m->n - 1].gas * gas,
        .gas_sm3s = m->point[best].gas * gas,
        .oil_sm3s = m->point[best].oil * oil,
        .worth = value_of(t, worth_of_point(&t->worth, &m->point[best], m)),
    };
}

/* The mode in which the plan runs the well. */
static bool is_chosen(const struct teller *t, const struct mode *m)
{
    const struct plan_well *w = &t->plan->well[t->menu->well];
    double gas = w->gas_sm3s / t->problem->units.gas_sm3s;
    double near = TOL_RANGE_END * (1 + gas);
    return m->moved == w->moved && m->shut == w->shut &&
           gas >= m->point[0].gas - near &&
           gas <= m->point[m->n - 1].gas + near;
}

/* Lines of one curve are one way: the best of them stands for all, but the one
 * that is chosen. Put in by falling worth. */
static void add_way(struct teller *t, const struct mode *m, bool chosen)
{
    struct explanation *out = t->out;
    struct explain_way way = way_of(t, m);
    size_t at = out->n_ways++;
    for (; at > 0 && out->way[at - 1].worth < way.worth; at--)
        out->way[at] = out->way[at - 1];
    out->way[at] = way;
    if (chosen)
        out->chosen = at;
    else if (out->n_ways > 1 && at <= out->chosen)
        out->chosen++;
}

static void list_ways(struct teller *t, struct arena *a)
{
    struct explanation *out = t->out;
    const struct menu *menu = t->menu;
    out->way = ARENA_NEW(a, menu->n_modes, struct explain_way);
    size_t chosen = 0;
    while (chosen + 1 < menu->n_modes && !is_chosen(t, &menu->mode[chosen]))
        chosen++;
    add_way(t, &menu->mode[chosen], true);
    for (size_t k = 0; k < menu->n_modes; k++)
        if (k != chosen)
            add_way(t, &menu->mode[k], false);
    out->next = out->n_ways > 1 ? (out->chosen == 0 ? 1 : 0) : out->n_ways;
}

/* --- slopes -------------------------------------------------------------- */

static double oil_at(const struct curve *c, size_t k)
{
    return c->oil_sm3s[k];
}

static void set_slopes(struct explanation *out, const struct curve *c,
                       double gas_sm3s)
{
    double near = TOL_RANGE_END * fmax(gas_sm3s, TOL_LIMIT_SM3S);
    for (size_t k = 0; k + 1 < c->n; k++) {
        double slope = (oil_at(c, k + 1) - oil_at(c, k)) /
                       (c->gas_sm3s[k + 1] - c->gas_sm3s[k]);
        if (gas_sm3s > c->gas_sm3s[k] + near &&
            gas_sm3s <= c->gas_sm3s[k + 1] + near)
            out->slope_below = slope;
        if (gas_sm3s >= c->gas_sm3s[k] - near &&
            gas_sm3s < c->gas_sm3s[k + 1] - near)
            out->slope_above = slope;
    }
}

/* What a Sm3 of gas has to return in oil: the charge for gas over what a Sm3
 * of oil is worth with what comes with it. */
static void set_charge(struct teller *t, const struct curve *c)
{
    struct explanation *out = t->out;
    const struct plan_units *u = &t->problem->units;
    double water = 0, formation = 0, oil = curve_peak_oil_sm3s(c);
    if (oil > 0) {
        water = c->water_sm3s[c->peak] / oil;
        formation =
            c->formation_sm3s[c->peak] / oil * u->oil_sm3s / u->gas_sm3s;
    }
    const double *use = t->worth.use;
    double oil_worth =
        use[USE_OIL] + water * use[USE_WATER] + formation * use[USE_FORMATION];
    double charged = -use[USE_GAS] * u->oil_sm3s / u->gas_sm3s;
    out->slope_charged = oil_worth > 0 ? charged / oil_worth : (double)INFINITY;
    out->move_charge = value_of(t, -use[USE_MOVED]);
    out->charge_to_switch = out->oil_part_to_switch = (double)NAN;
    if (out->next == out->n_ways || !(oil_worth > 0))
        return;
    const struct explain_way *a = &out->way[out->chosen];
    const struct explain_way *b = &out->way[out->next];
    double lead = (a->worth - b->worth) / (t->problem->value_unit * oil_worth);
    double gas = (a->gas_sm3s - b->gas_sm3s) / u->oil_sm3s;
    double more = (a->oil_sm3s - b->oil_sm3s) / u->oil_sm3s;
    if (gas != 0 && out->slope_charged + lead / gas >= 0)
        out->charge_to_switch = out->slope_charged + lead / gas;
    if (more != 0 && 1 - lead / more > 0)
        out->oil_part_to_switch = 1 - lead / more;
}

/* --- what holds it ------------------------------------------------------- */

static bool is_same_rate(double a_sm3s, double b_sm3s)
{
    return fabs(a_sm3s - b_sm3s) <=
           TOL_LIMIT_REL * fmax(fabs(a_sm3s), TOL_LIMIT_SM3S);
}

static enum explain_hold hold_of_end(const struct curve *c)
{
    switch (c->end) {
    case CURVE_END_HEADER:
        return HOLD_HEADER;
    case CURVE_END_ANNULUS:
        return HOLD_ANNULUS;
    case CURVE_END_VALVE:
        return HOLD_VALVE;
    case CURVE_END_MAXIMUM:
        return HOLD_MAXIMUM;
    case CURVE_END_DIES:
    case CURVE_END_TABLE:
    case CURVE_END_CYCLES:
        break;
    }
    return HOLD_END;
}

static enum explain_hold hold_of_minimum(const struct field_well *w,
                                         const struct curve *c)
{
    if (c->gas_min_sm3s < w->lift_min_sm3s)
        return HOLD_MINIMUM;
    return c->start == CURVE_START_STEADY   ? HOLD_STEADY
           : c->start == CURVE_START_CASING ? HOLD_CASING
                                            : HOLD_MINIMUM;
}

static enum explain_hold hold_of(const struct field_well *w,
                                 const struct curve *c, double gas_sm3s)
{
    double now_sm3s = field_well_now_sm3s(w);
    if (w->reading.status == WELL_DOWN)
        return HOLD_DOWN;
    if (field_well_locked(w))
        return HOLD_LOCKED;
    if (!(gas_sm3s > 0) || c->n == 0)
        return HOLD_NOTHING;
    if (is_same_rate(gas_sm3s, w->lift_max_sm3s))
        return HOLD_MAXIMUM;
    if (is_same_rate(gas_sm3s, c->gas_sm3s[c->n - 1]))
        return c->peak + 1 == c->n ? hold_of_end(c) : HOLD_PEAK;
    if (is_same_rate(gas_sm3s, c->gas_sm3s[c->peak]))
        return HOLD_PEAK;
    if (is_same_rate(gas_sm3s, fmax(w->lift_min_sm3s, c->gas_sm3s[0])))
        return hold_of_minimum(w, c);
    if (w->change_max_sm3s > 0 &&
        is_same_rate(fabs(gas_sm3s - now_sm3s), w->change_max_sm3s))
        return HOLD_CHANGE;
    return w->step_sm3s > 0 ? HOLD_STEP : HOLD_NOTHING;
}

void plan_explain(const struct field *f, const struct curve *curves,
                  const struct plan_options *o, const struct plan *p,
                  size_t well, struct arena *a, struct explanation *out)
{
    *out = (struct explanation){
        .well = well,
        .objective = p->objective,
        .slope_below = (double)NAN,
        .slope_above = (double)NAN,
        .hold = hold_of(&f->well[well], &curves[well], p->well[well].gas_sm3s),
    };
    struct problem problem;
    problem_make(f, curves, o, p->lines_only, a, &problem);
    double *price = ARENA_NEW(a, problem.n_rows, double);
    if (p->n_rows == problem.n_rows)
        memcpy(price, p->row_price, p->n_rows * sizeof *price);
    struct worth w = worth_at(&problem, price);
    struct teller t = {.problem = &problem, .plan = p, .out = out};
    while (problem.bidder[t.bidder].menu.well != well)
        t.bidder++;
    t.menu = &problem.bidder[t.bidder].menu;
    t.worth = worth_for(&w, &problem.bidder[t.bidder]);
    list_ways(&t, a);
    set_slopes(out, &curves[well], p->well[well].gas_sm3s);
    set_charge(&t, &curves[well]);
}
