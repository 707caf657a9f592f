/* A way through an outage, counted again from fields, curves and rules. */
#include "plan/outage.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/units.h"
#include "num/tol.h"

struct check {
    const struct field *field;
    const struct curve *curves;
    const struct outage *outage;
    const struct outage_plan *plan;
    struct arena *arena;
    size_t n, cap;
    const char **fault;
};

static void add_fault(struct check *c, const char *words)
{
    if (c->n + 1 >= c->cap) {
        c->cap = 2 * c->cap + 16;
        const char **more = ARENA_NEW(c->arena, c->cap, const char *);
        if (c->n > 0)
            memcpy(more, c->fault, c->n * sizeof *more);
        c->fault = more;
    }
    c->fault[c->n++] = words;
}

static void well_fault(struct check *c, size_t k, size_t i, const char *words)
{
    add_fault(c, arena_printf(c->arena, "period %zu, well %s: %s", k + 1,
                              c->field->well[i].name, words));
}

static void period_fault(struct check *c, size_t k, const char *words,
                         double used, double bound)
{
    add_fault(c, arena_printf(c->arena, "period %zu, %s: %.9g of %.9g", k + 1,
                              words, used, bound));
}

static double slack_at(double bound)
{
    return TOL_LIMIT_REL * fmax(fabs(bound), TOL_LIMIT_SM3S);
}

static bool is_within(double used, double most)
{
    return used <= most + (isfinite(most) ? slack_at(most) : 0);
}

static void at_most(struct check *c, size_t k, const char *words, double used,
                    double most)
{
    if (!is_within(used, most))
        period_fault(c, k, words, used, most);
}

static bool is_same(double a, double b, double size)
{
    return fabs(a - b) <= TOL_LIMIT_REL * fmax(fabs(size), TOL_LIMIT_SM3S);
}

static const struct outage_well *at(const struct check *c, size_t k, size_t i)
{
    return &c->plan->well[k * c->plan->n_wells + i];
}

static bool is_down(const struct check *c, size_t k, size_t i)
{
    return c->outage->period[k].well[i].reading.status == WELL_DOWN;
}

/* --- a well --------------------------------------------------------------- */

static struct curve_point on_curve(const struct check *c, size_t i,
                                   double gas_sm3s)
{
    const struct curve *curve = &c->curves[i];
    struct curve_point p = {0};
    struct err err;
    double first = curve->n > 0 ? curve->gas_sm3s[0] : 0;
    double last = curve->n > 0 ? curve->gas_sm3s[curve->n - 1] : 0;
    /* Rounding may keep a rate off the ends. */
    if (gas_sm3s >= first - slack_at(first))
        gas_sm3s = fmax(gas_sm3s, first);
    if (curve_at(curve, fmin(gas_sm3s, last), &p, &err) != ST_OK)
        p = (struct curve_point){0};
    return p;
}

static bool flows_alone(const struct check *c, size_t i)
{
    return c->curves[i].n > 0 && curve_flows_alone(&c->curves[i]);
}

/* Makes what its curve says, times the part that is back. */
static bool is_as_curve(const struct check *c, size_t i, double gas_sm3s,
                        double part, const struct outage_well *w)
{
    struct curve_point p = on_curve(c, i, gas_sm3s);
    double size = curve_peak_oil_sm3s(&c->curves[i]);
    return is_same(w->oil_sm3s, part * p.oil_sm3s, size) &&
           is_same(w->water_sm3s, part * p.water_sm3s,
                   fmax(size, p.water_sm3s)) &&
           is_same(w->formation_sm3s, part * p.formation_sm3s,
                   fmax(p.formation_sm3s, 1));
}

static void check_rate(struct check *c, size_t k, size_t i, double gas_sm3s)
{
    const struct field_well *f = &c->field->well[i];
    double now_sm3s = field_well_now_sm3s(f);
    bool stays = fabs(gas_sm3s - now_sm3s) <= slack_at(now_sm3s);
    if (field_well_locked(f)) {
        if (!stays)
            well_fault(c, k, i, "locked, yet its rate is changed");
        return;
    }
    bool is_none = gas_sm3s <= slack_at(f->lift_min_sm3s);
    bool is_low = gas_sm3s < f->lift_min_sm3s - slack_at(f->lift_min_sm3s);
    if (is_low && !is_none && !stays)
        well_fault(c, k, i, "less gas than its minimum");
    if (is_low && is_none && !f->may_stop && !stays)
        well_fault(c, k, i, "without gas, yet it must run");
    if (!is_within(gas_sm3s, f->lift_max_sm3s) && !stays)
        well_fault(c, k, i, "more gas than its maximum");
    double steps = f->step_sm3s > 0 ? gas_sm3s / f->step_sm3s : 0;
    if (fabs(steps - round(steps)) > TOL_LIMIT_REL * fmax(steps, 1) && !stays)
        well_fault(c, k, i, "not a multiple of its step");
    if (f->change_max_sm3s > 0 && now_sm3s > 0 && gas_sm3s > 0 &&
        fabs(gas_sm3s - now_sm3s) >
            f->change_max_sm3s + slack_at(f->change_max_sm3s) &&
        now_sm3s >= f->lift_min_sm3s && now_sm3s <= f->lift_max_sm3s)
        well_fault(c, k, i, "a larger change than allowed");
}

static bool is_nothing(const struct outage_well *w)
{
    return w->gas_sm3s == 0 && w->oil_sm3s == 0 && w->water_sm3s == 0 &&
           w->formation_sm3s == 0;
}

/* Seconds of full rate that are lost from a moment after the start on. */
static double lost_from(const struct well_restart *r, double s)
{
    double dead_s = fmax(r->unload_s - s, 0);
    double into_s = fmax(s - r->unload_s, 0);
    double left_s = fmax(r->build_up_s - into_s, 0);
    return dead_s + (left_s > 0 ? left_s * left_s / r->build_up_s / 2 : 0);
}

/* Periods from k on in which a start fixes the well. */
static size_t periods_back(const struct check *c, size_t i)
{
    const struct well_restart *r = &c->outage->restart[i];
    bool alone = flows_alone(c, i);
    double back_s = alone ? 0 : r->unload_s + r->build_up_s;
    return (size_t)ceil(back_s / c->outage->period_s - TOL_INPUT_RANGE);
}

/* A return that begins at k: gas and oil of each of its periods. The rate that
 * it leads to; NaN: not to be seen. */
static double check_return(struct check *c, size_t k, size_t i, size_t n)
{
    const struct well_restart *r = &c->outage->restart[i];
    double period_s = c->outage->period_s, rate_sm3s = (double)NAN;
    for (size_t t = 0; t < n && k + t < c->plan->n_periods; t++) {
        const struct outage_well *w = at(c, k + t, i);
        double from_s = (double)t * period_s;
        double dead = fmin(fmax(r->unload_s - from_s, 0) / period_s, 1);
        double part =
            1 -
            (lost_from(r, from_s) - lost_from(r, from_s + period_s)) / period_s;
        double kick = r->unload_s > 0 ? dead * r->gas_sm3 / r->unload_s : 0;
        if (is_down(c, k + t, i)) {
            well_fault(c, k + t, i, "down while it comes back");
            return rate_sm3s;
        }
        if (dead == 1 && !is_same(w->gas_sm3s, kick, kick))
            well_fault(c, k + t, i, "another kick-off rate");
        if (dead < 1) {
            double to_sm3s = (w->gas_sm3s - kick) / (1 - dead);
            if (!isnan(rate_sm3s) && !is_same(to_sm3s, rate_sm3s, rate_sm3s))
                well_fault(c, k + t, i, "its rate changes while it comes back");
            rate_sm3s = to_sm3s;
            check_rate(c, k + t, i, rate_sm3s);
        }
        double gas_sm3s = isnan(rate_sm3s) ? 0 : rate_sm3s;
        if (!is_as_curve(c, i, gas_sm3s, part, w))
            well_fault(c, k + t, i, "makes other than its return allows");
    }
    return rate_sm3s;
}

static void check_stop(struct check *c, size_t k, size_t i, bool flowed)
{
    const struct field_well *f = &c->field->well[i];
    const struct outage *o = c->outage;
    if (!is_nothing(at(c, k, i)))
        well_fault(c, k, i, "stopped, yet it takes or makes something");
    if (is_down(c, k, i) || !flowed)
        return;
    if (o->never_stops[i] || !o->restart[i].comes_back)
        well_fault(c, k, i, "stopped, though it must not be");
    bool alone = flows_alone(c, i);
    bool may = alone ? f->may_shut : f->may_stop;
    if (!may && c->curves[i].n > 0 &&
        c->curves[i].gas_sm3s[0] <= f->lift_max_sm3s)
        well_fault(c, k, i, "stopped, though it may not");
}

static void check_start(struct check *c, size_t k, size_t i, size_t stood)
{
    const struct outage *o = c->outage;
    double stood_s = (double)stood * o->period_s;
    bool alone = flows_alone(c, i);
    if (is_down(c, k, i))
        well_fault(c, k, i, "down, yet it flows");
    if (!alone && !o->restart[i].comes_back)
        well_fault(c, k, i, "started, though it does not come back");
    if (!alone && stood_s < o->stop_least_s * (1 - TOL_INPUT_RANGE))
        well_fault(c, k, i, "started sooner than allowed");
}

/* Its periods one after the other. */
static void check_well(struct check *c, size_t i)
{
    const struct field_well *f = &c->field->well[i];
    double target_sm3s = field_well_now_sm3s(f);
    bool flows = f->reading.status != WELL_DOWN &&
                 on_curve(c, i, target_sm3s).oil_sm3s > 0;
    size_t stood = c->plan->n_periods +
                   (size_t)ceil(c->outage->stop_least_s / c->outage->period_s);
    size_t ran = stood;
    for (size_t k = 0; k < c->plan->n_periods; k++) {
        const struct outage_well *w = at(c, k, i);
        bool stops = w->phase == PHASE_STOPPED;
        double ran_s = (double)ran * c->outage->period_s;
        if (stops) {
            check_stop(c, k, i, flows);
            bool by_choice = flows && !is_down(c, k, i);
            if (by_choice && ran_s < c->outage->run_least_s)
                well_fault(c, k, i, "stopped sooner than allowed");
            if (by_choice && !w->moved)
                well_fault(c, k, i, "stopped without a move");
            stood = flows ? 1 : stood + 1;
            flows = false;
            continue;
        }
        size_t n = flows ? 0 : periods_back(c, i);
        double back_sm3s = (double)NAN;
        if (!flows) {
            check_start(c, k, i, stood);
            back_sm3s = check_return(c, k, i, n);
            ran = n > 0 ? n : 1;
            if (!w->moved)
                well_fault(c, k, i, "started without a move");
        }
        k += n > 0 ? n - 1 : 0;
        if (k >= c->plan->n_periods)
            break;
        w = at(c, k, i);
        bool is_steady = n == 0;
        if (is_steady && is_down(c, k, i))
            well_fault(c, k, i, "down, yet it flows");
        if (is_steady) {
            check_rate(c, k, i, w->gas_sm3s);
            if (!is_as_curve(c, i, w->gas_sm3s, 1, w))
                well_fault(c, k, i, "makes other than its curve says");
            bool changes = fabs(w->gas_sm3s - target_sm3s) >
                           TOL_MOVE_SM3S + slack_at(target_sm3s);
            if (flows && changes && !w->moved)
                well_fault(c, k, i, "changed without a move");
            ran += flows ? 1 : 0;
        }
        target_sm3s = is_steady ? w->gas_sm3s : back_sm3s;
        flows = true;
    }
}

/* --- a period ------------------------------------------------------------- */

struct sums {
    double gas, oil, water, formation;
    size_t moves, stopped, unloading;
};

/* kind N_GROUP_KINDS: all wells. */
static struct sums sums_of(const struct check *c, size_t k, int kind,
                           size_t group)
{
    struct sums s = {0};
    for (size_t i = 0; i < c->plan->n_wells; i++) {
        const struct outage_well *w = at(c, k, i);
        if (kind < N_GROUP_KINDS && c->field->well[i].group[kind] != group)
            continue;
        s.gas += w->gas_sm3s;
        s.oil += w->oil_sm3s;
        s.water += w->water_sm3s;
        s.formation += w->formation_sm3s;
        s.moves += w->moved;
        s.stopped += w->phase == PHASE_STOPPED;
        s.unloading += w->phase == PHASE_UNLOADS;
    }
    return s;
}

static void check_caps(struct check *c, size_t k, const struct field_caps *caps,
                       const struct sums *s, const char *name)
{
    const struct {
        const char *words;
        double used, most;
    } limits[] = {
        {"lift gas", s->gas, caps->lift_sm3s},
        {"liquid", s->oil + s->water, caps->liquid_sm3s},
        {"water", s->water, caps->water_sm3s},
        {"gas handled", s->gas + s->formation, caps->gas_sm3s},
    };
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        at_most(c, k, arena_printf(c->arena, "%s %s", name, limits[i].words),
                limits[i].used, limits[i].most);
}

static void check_units(struct check *c, size_t k)
{
    const struct field *f = &c->outage->period[k];
    const struct outage_period *p = &c->plan->period[k];
    double power_w = 0;
    for (size_t i = 0; i < p->n_units; i++) {
        const struct field_compressor *u = &f->station.compressor[i];
        const struct unit_load *l = &p->unit[i].load;
        if (l->runs && !field_unit_may_run(u))
            period_fault(c, k, u->name, l->through_sm3s, 0);
        if (!l->runs && u->state == UNIT_RUNNING)
            period_fault(c, k, "a running unit that stands", 0, 1);
        at_most(c, k, u->name, l->runs ? l->through_sm3s : 0, u->capacity_sm3s);
        at_most(c, k, "a unit's least rate", l->runs ? u->least_sm3s : 0,
                l->through_sm3s);
        at_most(c, k, "gas that goes round", l->recycled_sm3s,
                u->recycles ? u->least_sm3s : 0);
        power_w += u->electric ? l->power_w : 0;
        double part = u->has_fuel ? u->fuel_fraction : f->station.fuel_fraction;
        double fuel = u->fuel_fixed_sm3s + part * l->through_sm3s;
        double shaft_w = u->power_fixed_w + u->power_j_sm3 * l->through_sm3s;
        if (!is_same(l->fuel_sm3s, l->runs ? fuel : 0, u->capacity_sm3s))
            period_fault(c, k, "fuel of a unit", l->fuel_sm3s, fuel);
        if (!is_same(l->power_w, l->runs ? shaft_w : 0, shaft_w))
            period_fault(c, k, "power of a unit", l->power_w, shaft_w);
    }
    at_most(c, k, "electric power", power_w, f->station.power_max_w);
}

static void check_gas(struct check *c, size_t k)
{
    const struct field *f = &c->outage->period[k];
    const struct outage_period *p = &c->plan->period[k];
    const struct gas_balance *b = &p->balance;
    struct unit_load *load = balance_units(f, c->arena);
    for (size_t i = 0; i < p->n_units && load != NULL; i++)
        load[i] = p->unit[i].load;
    struct gas_balance again = *b;
    balance_close(f, &again, load);
    double size = b->lift + b->formation + b->bought;
    if (!(fabs(again.error) <= TOL_BALANCE_REL * fmax(size, TOL_LIMIT_SM3S)))
        period_fault(c, k, "the gas balance is open by", again.error, size);
    if (!is_same(again.fuel, b->fuel, size) ||
        !is_same(again.compressed, b->compressed, size))
        period_fault(c, k, "fuel", b->fuel, again.fuel);
    at_most(c, k, "sales", b->sales, f->sales.max_sm3s);
    at_most(c, k, "sales, at least", f->sales.min_sm3s, b->sales);
    at_most(c, k, "gas bought", b->bought, f->market.max_sm3s);
    at_most(c, k, "gas flared", b->flare, f->station.flare_max_sm3s);
    at_most(c, k, "a flow below 0", -fmin(fmin(b->sales, b->bought), b->flare),
            0);
}

static void check_store(struct check *c, size_t k)
{
    const struct outage *o = c->outage;
    const struct outage_period *p = &c->plan->period[k];
    double before_sm3 = k > 0 ? p[-1].stored_sm3 : o->store_sm3;
    double after_sm3 = before_sm3 - p->balance.drawn * o->period_s;
    if (!is_same(after_sm3, p->stored_sm3, fmax(before_sm3, 1)))
        period_fault(c, k, "gas stored", p->stored_sm3, after_sm3);
    at_most(c, k, "gas stored", p->stored_sm3,
            fmax(o->store_most_sm3, o->store_sm3));
    at_most(c, k, "gas stored below 0", -p->stored_sm3, 0);
    if (k + 1 == o->n_periods)
        at_most(c, k, "gas stored, as at the start", o->store_sm3,
                p->stored_sm3);
}

static void check_pairs(struct check *c, size_t k)
{
    for (size_t i = 0; i < c->plan->n_wells; i++) {
        const char *with = c->field->well[i].runs_with;
        for (size_t j = 0; j < c->plan->n_wells && with != NULL; j++)
            if (j != i && strcmp(c->field->well[j].name, with) == 0 &&
                at(c, k, i)->phase != PHASE_STOPPED &&
                at(c, k, j)->phase == PHASE_STOPPED)
                well_fault(c, k, i, "runs without its partner");
    }
}

/* Income less what gas, water, wear, carbon, power and moves cost. */
static void check_money(struct check *c, size_t k, const struct sums *all)
{
    const struct field *f = &c->outage->period[k];
    const struct outage_period *p = &c->plan->period[k];
    const struct field_prices *price = &f->prices;
    double passed = 0, power_w = 0, day_s = UNIT_DAY_S;
    for (size_t i = 0; i < p->n_units; i++) {
        const struct unit_load *l = &p->unit[i].load;
        passed += l->through_sm3s;
        power_w += f->station.compressor[i].electric ? l->power_w : 0;
    }
    if (p->n_units == 0)
        passed = p->balance.compressed;
    double income =
        all->oil * price->oil_sm3 + p->balance.sales * f->sales.price_sm3;
    double cost =
        all->water * price->water_sm3 +
        p->balance.bought * f->market.price_sm3 +
        passed * price->compression_sm3 +
        (p->balance.fuel + p->balance.flare) * price->carbon_sm3 +
        power_w * price->power_j +
        (double)all->moves * price->move * day_s / c->outage->period_s;
    double money = price->given ? income - cost : 0;
    if (!is_same(p->money_s, money, income + cost))
        period_fault(c, k, "money", p->money_s, money);
}

static void check_period(struct check *c, size_t k)
{
    const struct field *f = &c->outage->period[k];
    const struct outage_period *p = &c->plan->period[k];
    struct sums all = sums_of(c, k, N_GROUP_KINDS, 0);
    check_caps(c, k, &f->limits.caps, &all, "field");
    for (int kind = 0; kind < N_GROUP_KINDS; kind++)
        for (size_t g = 0; g < f->groups[kind].n; g++) {
            const struct field_group *group = &f->groups[kind].group[g];
            struct sums own = sums_of(c, k, kind, g);
            check_caps(c, k, &group->caps, &own, group->name);
        }
    if (!is_same(p->oil_sm3s, all.oil, all.oil) ||
        !is_same(p->water_sm3s, all.water, all.water) ||
        !is_same(p->balance.lift, all.gas, all.gas) ||
        !is_same(p->balance.formation, all.formation, all.formation) ||
        p->n_moves != all.moves || p->n_stopped != all.stopped ||
        p->n_unloading != all.unloading)
        period_fault(c, k, "sums of the wells", p->oil_sm3s, all.oil);
    double deferred = c->plan->undisturbed.oil_sm3s - all.oil;
    if (!is_same(p->deferred_sm3s, deferred, c->plan->undisturbed.oil_sm3s))
        period_fault(c, k, "oil deferred", p->deferred_sm3s, deferred);
    check_money(c, k, &all);
    check_units(c, k);
    check_gas(c, k);
    check_store(c, k);
    check_pairs(c, k);
}

/* --- over the horizon ----------------------------------------------------- */

static void check_shifts(struct check *c)
{
    const struct outage *o = c->outage;
    for (size_t i = 0; i < o->n_shifts; i++) {
        size_t n = 0;
        double slack_s = TOL_INPUT_RANGE * o->period_s;
        for (size_t k = 0; k < o->n_periods; k++) {
            double at_s = (double)k * o->period_s + slack_s;
            if (at_s >= o->shift[i].from_s && at_s < o->shift[i].to_s)
                n += c->plan->period[k].n_moves;
        }
        if (n > o->shift[i].moves_max)
            add_fault(c, arena_printf(c->arena, "shift %zu: %zu of %zu moves",
                                      i + 1, n, o->shift[i].moves_max));
    }
}

static void check_ramps(struct check *c)
{
    const struct outage *o = c->outage;
    const struct field_groups *g = &c->field->groups[GROUP_MANIFOLD];
    for (size_t m = 0; m < g->n; m++)
        for (size_t k = 1; k < o->n_periods; k++) {
            double change = sums_of(c, k, GROUP_MANIFOLD, m).gas -
                            sums_of(c, k - 1, GROUP_MANIFOLD, m).gas;
            at_most(c, k, g->group[m].name, fabs(change), o->ramp_sm3s[m]);
        }
}

/* Oil that wells not back at the end still lose. */
static double oil_after(const struct check *c)
{
    const struct outage *o = c->outage;
    size_t n = o->n_periods;
    double sum_sm3 = 0;
    for (size_t i = 0; i < c->plan->n_wells; i++) {
        if (flows_alone(c, i) || !o->restart[i].comes_back)
            continue;
        size_t since = 0;
        while (since < n && at(c, n - 1 - since, i)->phase != PHASE_STOPPED)
            since++;
        /* Never stopped and flowing this morning: nothing to come back. */
        double now_sm3s = field_well_now_sm3s(&c->field->well[i]);
        bool flowed = on_curve(c, i, now_sm3s).oil_sm3s > 0 &&
                      c->field->well[i].reading.status != WELL_DOWN;
        if (since == n && flowed)
            continue;
        double s = (double)since * o->period_s;
        sum_sm3 += lost_from(&o->restart[i], s) *
                   c->plan->undisturbed.well[i].oil_sm3s;
    }
    return sum_sm3;
}

static void check_total(struct check *c, const char *words, double said,
                        double counted, double size)
{
    if (!is_same(said, counted, size))
        add_fault(c, arena_printf(c->arena, "%s: %.9g stated, %.9g counted",
                                  words, said, counted));
}

/* What the periods add up to beside oil; what is lost, by all causes. */
static void check_gas_and_money(struct check *c, double after_sm3)
{
    const struct outage_plan *p = c->plan;
    double bought = 0, sold = 0, money = 0, lost_oil = 0, lost_money = 0;
    double period_s = c->outage->period_s;
    for (size_t k = 0; k < p->n_periods; k++) {
        bought += p->period[k].balance.bought * period_s;
        sold += p->period[k].balance.sales * period_s;
        money += p->period[k].money_s * period_s;
    }
    for (size_t i = 0; i < p->n_losses; i++) {
        lost_oil += p->loss[i].oil_sm3;
        lost_money += p->loss[i].money;
    }
    double today = p->undisturbed.money_s * period_s * (double)p->n_periods;
    const struct field_prices *price = &c->field->prices;
    double after = price->given ? after_sm3 * price->oil_sm3 : 0;
    check_total(c, "gas bought", p->bought_sm3, bought, bought);
    check_total(c, "gas sold", p->sold_sm3, sold, sold);
    check_total(c, "money", p->money, money, today);
    check_total(c, "money lost", p->money_lost, today - money + after, today);
    check_total(c, "oil lost by cause", lost_oil, p->deferred_sm3,
                p->potential_sm3);
    check_total(c, "money lost by cause", lost_money, p->money_lost, today);
}

static void check_totals(struct check *c)
{
    const struct outage *o = c->outage;
    const struct outage_plan *p = c->plan;
    double oil_sm3 = 0, flared_sm3 = 0, hours = 0;
    for (size_t k = 0; k < o->n_periods; k++) {
        oil_sm3 += p->period[k].oil_sm3s * o->period_s;
        flared_sm3 += p->period[k].balance.flare * o->period_s;
        bool flares = p->period[k].balance.flare > TOL_LIMIT_SM3S;
        hours += flares ? o->period_s / 3600 : 0;
    }
    double after_sm3 = oil_after(c);
    double deferred_sm3 = p->potential_sm3 - oil_sm3 + after_sm3;
    if (!is_same(oil_sm3, p->oil_sm3, oil_sm3) ||
        !is_same(deferred_sm3, p->deferred_sm3, p->potential_sm3))
        add_fault(c, "oil made and deferred do not add up");
    if (p->objective == PLAN_OIL &&
        !is_same(p->value, oil_sm3 - after_sm3, oil_sm3))
        add_fault(c, "the value is not the oil made less that of returns");
    if (!(p->bound >= p->value))
        add_fault(c, "the plan is better than its bound");
    check_total(c, "gas flared", p->flared_sm3, flared_sm3, flared_sm3);
    check_total(c, "hours of flaring", p->flare_hours, hours, hours);
    check_gas_and_money(c, after_sm3);
    if (!is_within(hours, o->flare_hours_max) ||
        !is_within(flared_sm3, o->flare_most_sm3))
        add_fault(c, "more is flared than the outage allows");
}

const char *const *outage_verify(const struct field *f,
                                 const struct curve *curves,
                                 const struct outage *o,
                                 const struct outage_plan *p, struct arena *a)
{
    struct check c = {f, curves, o, p, a, 0, 0, ARENA_NEW(a, 1, const char *)};
    for (size_t i = 0; i < p->n_wells; i++)
        check_well(&c, i);
    for (size_t k = 0; k < p->n_periods; k++)
        check_period(&c, k);
    check_shifts(&c);
    check_ramps(&c);
    check_totals(&c);
    if (c.n == 0)
        return ARENA_NEW(a, 1, const char *);
    c.fault[c.n] = NULL;
    return c.fault;
}
