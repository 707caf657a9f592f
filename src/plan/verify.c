/* Everything is computed here again, from the field and the curves. Only the
 * struct plan is read; no code of the solver's side is called. */
#include "plan/verify.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/numtext.h"
#include "base/units.h"
#include "field/deliver.h"
#include "num/tol.h"

struct tally {
    double oil, water, lift, formation;
    size_t n_moves;
};

struct checker {
    const struct field *field;
    const struct curve *curves;
    const struct plan *plan;
    struct arena *arena;
    struct verify *out;
    size_t cap;
    /* Our own sums: of the field, and of each group. */
    struct tally field_tally, *tally[N_GROUP_KINDS];
};

static void add_fault(struct checker *k, const char *what)
{
    struct verify *v = k->out;
    if (v->n_faults == k->cap) {
        size_t cap = k->cap > 0 ? 2 * k->cap : 8;
        struct verify_fault *more =
            ARENA_NEW(k->arena, cap, struct verify_fault);
        for (size_t i = 0; i < v->n_faults; i++)
            more[i] = v->fault[i];
        v->fault = more;
        k->cap = cap;
    }
    v->fault[v->n_faults++].what = what;
}

static const char *rate_text(const struct checker *k, enum dim dim,
                             const char *unit, double si)
{
    double value = unit_from_si(unit_named(dim, unit), si, &k->field->frame);
    char number[40];
    numtext_short(value, 6, number, sizeof number);
    return arena_printf(k->arena, "%s %s", number, unit);
}

static const char *gas_text(const struct checker *k, double gas_sm3s)
{
    return rate_text(k, DIM_GAS_RATE, "MMscf/d", gas_sm3s);
}

static void well_fault(struct checker *k, size_t i, const char *what)
{
    add_fault(k, arena_printf(k->arena, "well %s at %s: %s",
                              k->field->well[i].name,
                              gas_text(k, k->plan->well[i].gas_sm3s), what));
}

static bool is_near(double got, double want, double scale)
{
    return fabs(got - want) <= TOL_PLAN_SUM_REL * scale;
}

static double end_of(const struct curve *c)
{
    return c->n > 0 ? c->gas_sm3s[c->n - 1] : c->gas_max_sm3s;
}

static struct curve_point promised(const struct checker *k, size_t i)
{
    struct curve_point p = {0};
    struct err err;
    double gas_sm3s = k->plan->well[i].gas_sm3s;
    if (k->field->well[i].reading.status == WELL_DOWN || !(gas_sm3s >= 0) ||
        k->plan->well[i].shut)
        return p;
    const struct curve *c = &k->curves[i];
    /* At the very start of flow the last digits must not kill the well. */
    if (c->n > 0 && gas_sm3s < c->gas_sm3s[0] &&
        gas_sm3s >= c->gas_sm3s[0] * (1 - TOL_SAME_RATE))
        gas_sm3s = c->gas_sm3s[0];
    if (curve_at(c, fmin(gas_sm3s, end_of(c)), &p, &err) != ST_OK)
        p = (struct curve_point){0};
    return p;
}

/* The lowest rate at which the well may run. */
static double start_of(const struct field_well *w, const struct curve *c)
{
    return c->n > 0 ? fmax(w->lift_min_sm3s, c->gas_sm3s[0]) : w->lift_min_sm3s;
}

/* Some rate between its limits, of those that its steps allow. */
static bool can_run(const struct field_well *w, const struct curve *c)
{
    double low = start_of(w, c) * (1 - TOL_SAME_RATE);
    double high = fmin(w->lift_max_sm3s, end_of(c)) * (1 + TOL_SAME_RATE);
    if (w->step_sm3s > 0)
        low = ceil(low / w->step_sm3s) * w->step_sm3s;
    return c->n > 0 && low <= high;
}

static bool may_be_off(const struct field_well *w, const struct curve *c)
{
    return w->may_stop || !can_run(w, c) || start_of(w, c) <= 0;
}

static bool is_multiple(double gas_sm3s, double step_sm3s)
{
    double n = round(gas_sm3s / step_sm3s);
    return fabs(gas_sm3s - n * step_sm3s) <=
           TOL_LIMIT_REL * fmax(gas_sm3s, TOL_LIMIT_SM3S);
}

/* Something asks for few changes: then a well may stay as it is. */
static bool changes_count(const struct checker *k, const struct field_well *w)
{
    const struct field *f = k->field;
    const struct field_groups *routes = &f->groups[GROUP_ROUTE];
    size_t route = w->group[GROUP_ROUTE];
    return f->limits.caps.moves != SIZE_MAX || f->limits.dead_band_sm3s > 0 ||
           f->prices.move > 0 ||
           (route < routes->n && routes->group[route].caps.moves != SIZE_MAX);
}

/* Why a free well may not be at that rate, or NULL. */
static const char *free_fault(const struct checker *k, size_t i,
                              double gas_sm3s)
{
    const struct field_well *w = &k->field->well[i];
    const struct curve *c = &k->curves[i];
    double now_sm3s = field_well_now_sm3s(w);
    double near = TOL_LIMIT_REL * fmax(gas_sm3s, TOL_LIMIT_SM3S);
    /* Where changes are limited or cost something a dead well may stay as it
     * is, and one off its steps. */
    bool unchanged =
        changes_count(k, w) && fabs(gas_sm3s - now_sm3s) <= TOL_MOVE_SM3S;
    if (gas_sm3s == 0)
        return may_be_off(w, c) ? NULL : "it may not stop";
    if (gas_sm3s > end_of(c) + near)
        return "past the end of its curve";
    if (gas_sm3s < w->lift_min_sm3s - near)
        return "below its minimum";
    if (gas_sm3s > w->lift_max_sm3s + near)
        return "above its maximum";
    if (gas_sm3s < start_of(w, c) - near && !unchanged)
        return "dead, yet given gas";
    if (w->step_sm3s > 0 && !unchanged && !is_multiple(gas_sm3s, w->step_sm3s))
        return "not a multiple of its step";
    return NULL;
}

/* A change between two running rates may be too large, unless it is the
 * smallest that brings the well into its range, or onto its steps. */
static const char *change_fault(const struct checker *k, size_t i,
                                double gas_sm3s)
{
    const struct field_well *w = &k->field->well[i];
    const struct curve *c = &k->curves[i];
    double now_sm3s = field_well_now_sm3s(w);
    double most_sm3s =
        fmax(w->change_max_sm3s, w->step_sm3s) * (1 + TOL_LIMIT_REL);
    if (!(w->change_max_sm3s > 0) || !(now_sm3s > 0) || !(gas_sm3s > 0) ||
        fabs(gas_sm3s - now_sm3s) <= most_sm3s)
        return NULL;
    double low = start_of(w, c), high = fmin(w->lift_max_sm3s, end_of(c));
    double slack = fmax(w->step_sm3s, TOL_LIMIT_REL * gas_sm3s);
    bool comes_in = (now_sm3s < low && gas_sm3s <= low + slack) ||
                    (now_sm3s > high && gas_sm3s >= high - slack);
    return comes_in ? NULL : "changed by more than its largest change";
}

static const char *band_fault(const struct checker *k, size_t i,
                              double gas_sm3s)
{
    const struct field_well *w = &k->field->well[i];
    double now_sm3s = field_well_now_sm3s(w);
    double change_sm3s = fabs(gas_sm3s - now_sm3s);
    double band_sm3s = k->field->limits.dead_band_sm3s;
    bool is_small = change_sm3s > TOL_MOVE_SM3S &&
                    change_sm3s < band_sm3s * (1 - TOL_LIMIT_REL);
    /* A rate that may not stay must change by however little. */
    if (!is_small || free_fault(k, i, now_sm3s) != NULL)
        return NULL;
    return "changed by less than the dead band";
}

static const char *rate_fault(const struct checker *k, size_t i)
{
    const struct field_well *w = &k->field->well[i];
    double gas_sm3s = k->plan->well[i].gas_sm3s;
    if (!(gas_sm3s >= 0 && gas_sm3s < (double)INFINITY))
        return "not a rate";
    if (w->reading.status == WELL_DOWN)
        return gas_sm3s == 0 ? NULL : "down, yet given gas";
    if (field_well_locked(w))
        return is_near(gas_sm3s, field_well_now_sm3s(w), gas_sm3s)
                   ? NULL
                   : "locked, yet changed";
    if (k->plan->well[i].shut)
        return gas_sm3s == 0 && w->may_shut ? NULL : "shut in, and it may not";
    const char *fault = free_fault(k, i, gas_sm3s);
    if (fault == NULL)
        fault = band_fault(k, i, gas_sm3s);
    return fault != NULL ? fault : change_fault(k, i, gas_sm3s);
}

static size_t well_named(const struct field *f, const char *name)
{
    size_t i = 0;
    while (i < f->n_wells && strcmp(f->well[i].name, name) != 0)
        i++;
    return i;
}

/* Flows or takes gas. */
static bool runs(const struct checker *k, size_t i)
{
    return promised(k, i).flows || k->plan->well[i].gas_sm3s > 0;
}

static void check_partner(struct checker *k, size_t i)
{
    const char *name = k->field->well[i].runs_with;
    size_t other = name != NULL ? well_named(k->field, name) : i;
    if (other != i && other < k->field->n_wells && runs(k, i) &&
        !runs(k, other))
        well_fault(k, i,
                   "it runs, yet the well that must run with it does not");
}

static void count(struct tally *t, const struct curve_point *p, double gas_sm3s,
                  bool moved)
{
    t->oil += p->oil_sm3s;
    t->water += p->water_sm3s;
    t->formation += p->formation_sm3s;
    t->lift += gas_sm3s;
    t->n_moves += moved;
}

static void check_well(struct checker *k, size_t i)
{
    const struct field_well *w = &k->field->well[i];
    const struct plan_well *got = &k->plan->well[i];
    const char *fault = rate_fault(k, i);
    if (fault != NULL)
        well_fault(k, i, fault);

    struct curve_point p = promised(k, i);
    double peak = curve_peak_oil_sm3s(&k->curves[i]);
    if (!is_near(got->oil_sm3s, p.oil_sm3s, peak))
        well_fault(k, i, "its oil is not its curve's");
    if (!is_near(got->water_sm3s, p.water_sm3s, fmax(p.water_sm3s, peak)))
        well_fault(k, i, "its water is not its curve's");
    if (!is_near(got->formation_sm3s, p.formation_sm3s,
                 fmax(p.formation_sm3s, peak)))
        well_fault(k, i, "its formation gas is not its curve's");
    double change_sm3s = got->gas_sm3s - field_well_now_sm3s(w);
    bool moved = fabs(change_sm3s) > TOL_MOVE_SM3S || got->shut;
    if (got->moved != moved)
        well_fault(k, i, "wrongly marked as moved or not");
    check_partner(k, i);

    count(&k->field_tally, &p, got->gas_sm3s, moved);
    for (int g = 0; g < N_GROUP_KINDS; g++)
        if (w->group[g] < k->field->groups[g].n)
            count(&k->tally[g][w->group[g]], &p, got->gas_sm3s, moved);
}

static void check_sum(struct checker *k, const char *what, double got,
                      double want, double scale)
{
    if (!is_near(got, want, scale))
        add_fault(k, arena_printf(k->arena, "%s: %.10g stated, %.10g counted",
                                  what, got, want));
}

static void unit_fault(struct checker *k, size_t i, const char *what)
{
    add_fault(k, arena_printf(k->arena, "compressor %s: %s",
                              k->field->station.compressor[i].name, what));
}

/* Within its range, or standing still. */
static void check_unit(struct checker *k, size_t i)
{
    const struct field_compressor *u = &k->field->station.compressor[i];
    const struct unit_load *l = &k->plan->unit[i].load;
    double margin = TOL_LIMIT_REL * fmax(u->capacity_sm3s, TOL_LIMIT_SM3S);
    bool may_run = u->state == UNIT_RUNNING || u->state == UNIT_AVAILABLE;
    if (l->runs && !may_run)
        unit_fault(k, i, "runs, yet it may not");
    if (!l->runs && u->state == UNIT_RUNNING)
        unit_fault(k, i, "stands still, yet it is to run");
    if (!l->runs && (l->through_sm3s != 0 || l->recycled_sm3s != 0 ||
                     l->fuel_sm3s != 0 || l->power_w != 0))
        unit_fault(k, i, "stands still, yet takes gas or power");
    if (!l->runs)
        return;
    if (!(l->through_sm3s <= u->capacity_sm3s + margin))
        unit_fault(k, i, "passes more than it can");
    if (!(l->through_sm3s >= u->least_sm3s - margin))
        unit_fault(k, i, "passes less than it needs");
    double round_most = u->recycles ? u->least_sm3s + margin : 0;
    if (!(l->recycled_sm3s >= 0 && l->recycled_sm3s <= round_most))
        unit_fault(k, i, "sends more gas round than it can");
    double part =
        u->has_fuel ? u->fuel_fraction : k->field->station.fuel_fraction;
    double fuel = u->fuel_fixed_sm3s + part * l->through_sm3s;
    double power = u->power_fixed_w + u->power_j_sm3 * l->through_sm3s;
    if (!is_near(l->fuel_sm3s, fuel, u->capacity_sm3s) ||
        !is_near(l->power_w, power, power))
        unit_fault(k, i, "its fuel or power is misstated");
}

/* Gas that leaves the units, and what they burn. Without units a part of what
 * is asked of them. */
static void add_units(struct checker *k, double *compressed, double *fuel)
{
    const struct field *f = k->field;
    if (!f->station.has_compressors) {
        *compressed = k->plan->balance.compressed;
        *fuel = *compressed * f->station.fuel_fraction;
        return;
    }
    *compressed = *fuel = 0;
    if (k->plan->n_units != f->station.n_compressors) {
        add_fault(k, "the plan is not for these compressors");
        return;
    }
    for (size_t i = 0; i < k->plan->n_units; i++) {
        const struct unit_load *l = &k->plan->unit[i].load;
        check_unit(k, i);
        *compressed += l->through_sm3s - l->recycled_sm3s;
        *fuel += l->fuel_sm3s;
    }
}

/* What the plan states against our sums; the balance is written out here
 * once more on purpose. */
static void check_balance(struct checker *k)
{
    const struct field *f = k->field;
    const struct gas_balance *b = &k->plan->balance;
    const struct tally *t = &k->field_tally;
    double through = t->formation + t->lift + fabs(b->bought);
    check_sum(k, "lift gas", b->lift, t->lift, through);
    check_sum(k, "formation gas", b->formation, t->formation, through);

    double out_of_discharge = t->lift;
    if (f->sales.from == SIDE_DISCHARGE)
        out_of_discharge += b->sales;
    if (f->market.enters == SIDE_DISCHARGE)
        out_of_discharge -= b->bought;
    if (f->station.fuel_from == SIDE_DISCHARGE)
        out_of_discharge += b->fuel;
    double compressed, fuel;
    add_units(k, &compressed, &fuel);
    check_sum(k, "gas compressed", b->compressed, out_of_discharge, through);
    check_sum(k, "gas from the units", b->compressed, compressed, through);
    check_sum(k, "fuel", b->fuel, fuel, through);
    check_sum(k, "shrinkage", b->shrinkage,
              t->formation * f->station.shrinkage_fraction, through);
    double in = t->formation + t->lift + b->bought;
    double out = t->lift + b->sales + b->fuel + b->flare + b->shrinkage;
    if (!(fabs(in - out) <= TOL_BALANCE_REL * fmax(in, TOL_LIMIT_SM3S)))
        add_fault(k, arena_printf(k->arena,
                                  "gas balance: in %.10g, out %.10g Sm3/s", in,
                                  out));
    if (!(fabs(b->error - (in - out)) <= TOL_BALANCE_REL * through))
        add_fault(k, "gas balance: its error is misstated");
}

static double electric_w(const struct checker *k)
{
    double sum_w = 0;
    for (size_t i = 0; i < k->plan->n_units; i++)
        if (k->field->station.compressor[i].electric)
            sum_w += k->plan->unit[i].load.power_w;
    return sum_w;
}

static double money_of(const struct checker *k)
{
    const struct field *f = k->field;
    const struct field_prices *price = &f->prices;
    const struct gas_balance *b = &k->plan->balance;
    const struct tally *t = &k->field_tally;
    if (!price->given)
        return 0;
    double through = b->compressed;
    for (size_t i = 0; i < k->plan->n_units; i++)
        through += k->plan->unit[i].load.recycled_sm3s;
    double income = t->oil * price->oil_sm3 + b->sales * f->sales.price_sm3;
    double cost =
        t->water * price->water_sm3 + b->bought * f->market.price_sm3 +
        through * price->compression_sm3 +
        (b->fuel + b->flare) * price->carbon_sm3 +
        electric_w(k) * price->power_j + (double)t->n_moves * price->move;
    return income - cost;
}

static void check_value(struct checker *k)
{
    const struct plan *p = k->plan;
    const struct field *f = k->field;
    const struct tally *t = &k->field_tally;
    check_sum(k, "oil", p->oil_sm3s, t->oil, t->oil);
    check_sum(k, "water", p->water_sm3s, t->water, t->water);
    double money = money_of(k);
    double turnover = fabs(t->oil * f->prices.oil_sm3) + fabs(money);
    check_sum(k, "money", p->money_s, money, turnover);
    double value = p->objective == PLAN_MONEY ? money
                   : p->objective == PLAN_GAS ? -t->lift
                                              : t->oil;
    check_sum(k, "value", p->value, value,
              p->objective == PLAN_MONEY ? turnover : fabs(value));
    if (p->n_moves != t->n_moves)
        add_fault(k, arena_printf(k->arena, "moves: %zu stated, %zu counted",
                                  p->n_moves, t->n_moves));
    if (!(p->bound >= value - TOL_PLAN_SUM_REL * fabs(value)))
        add_fault(k, "the bound is below the plan's own value");
    bool is_proven =
        p->outcome == PLAN_OPTIMAL || p->outcome == PLAN_WITHIN_GAP;
    double gap = (p->bound - value) / fabs(value);
    if (is_proven && value != 0 && !(gap <= p->gap + TOL_PLAN_SUM_REL))
        add_fault(k, "the gap is smaller than bound less value");
}

struct use_of_limit {
    enum plan_limit_kind kind;
    int scope;
    size_t group;
    double used, low, high;
};

static const char *limit_words(enum plan_limit_kind kind)
{
    static const char *const WORDS[] = {
#define WORDS_OF(name, words) words,
        PLAN_LIMIT_LIST(WORDS_OF)
#undef WORDS_OF
    };
    return WORDS[kind];
}

/* ", pad P-3"; of lift gas ", field". */
static const char *scope_words(const struct checker *k,
                               const struct use_of_limit *u)
{
    static const char *const WORDS[] = {
#define WORDS_OF(name, words) words,
        GROUP_LIST(WORDS_OF)
#undef WORDS_OF
    };
    if (u->scope == N_GROUP_KINDS)
        return u->kind == PLAN_LIMIT_LIFT ? ", field" : "";
    const struct field_groups *g = &k->field->groups[u->scope];
    return arena_printf(k->arena, ", %s %s", WORDS[u->scope],
                        g->group[u->group].name);
}

static const char *amount_text(const struct checker *k,
                               enum plan_limit_kind kind, double si)
{
    switch ((int)kind) {
    case PLAN_LIMIT_MOVES:
        return arena_printf(k->arena, "%.0f", si);
    case PLAN_LIMIT_POWER:
        return arena_printf(k->arena, "%.6g kW", si / 1000);
    case PLAN_LIMIT_LIQUID:
    case PLAN_LIMIT_WATER:
    case PLAN_LIMIT_OIL_TARGET:
        return rate_text(k, DIM_LIQUID_RATE, "stb/d", si);
    default:
        return gas_text(k, si);
    }
}

static void check_stated(struct checker *k, const struct use_of_limit *u)
{
    for (size_t i = 0; i < k->plan->n_limits; i++) {
        const struct plan_limit *l = &k->plan->limit[i];
        if (l->kind != u->kind || l->scope != u->scope || l->group != u->group)
            continue;
        double bound = u->high < (double)INFINITY ? u->high : u->low;
        double scale = fabs(bound) + fabs(u->used) + TOL_LIMIT_SM3S;
        if (!is_near(l->used, u->used, scale) ||
            !is_near(l->bound, bound, scale) || !(l->price >= 0))
            add_fault(k, arena_printf(k->arena, "%s%s: misstated",
                                      limit_words(u->kind), scope_words(k, u)));
    }
}

/* What a limit may be passed by. */
static double margin_of(double limit)
{
    return isfinite(limit) ? TOL_LIMIT_REL * fmax(fabs(limit), TOL_LIMIT_SM3S)
                           : 0;
}

static void check_use(struct checker *k, struct use_of_limit u)
{
    check_stated(k, &u);
    bool is_low = !(u.used >= u.low - margin_of(u.low));
    bool is_high = !(u.used <= u.high + margin_of(u.high));
    if (!is_low && !is_high)
        return;
    add_fault(k,
              arena_printf(k->arena, "%s%s: %s of %s", limit_words(u.kind),
                           scope_words(k, &u), amount_text(k, u.kind, u.used),
                           amount_text(k, u.kind, is_low ? u.low : u.high)));
}

static void check_cap(struct checker *k, enum plan_limit_kind kind, int scope,
                      size_t group, double used, double high)
{
    check_use(k, (struct use_of_limit){kind, scope, group, used,
                                       -(double)INFINITY, high});
}

static void check_caps(struct checker *k, const struct field_caps *c,
                       const struct tally *t, int scope, size_t group)
{
    double moves = c->moves == SIZE_MAX ? (double)INFINITY : (double)c->moves;
    check_cap(k, PLAN_LIMIT_LIFT, scope, group, t->lift, c->lift_sm3s);
    check_cap(k, PLAN_LIMIT_LIQUID, scope, group, t->oil + t->water,
              c->liquid_sm3s);
    check_cap(k, PLAN_LIMIT_WATER, scope, group, t->water, c->water_sm3s);
    check_cap(k, PLAN_LIMIT_GAS, scope, group, t->lift + t->formation,
              c->gas_sm3s);
    check_cap(k, PLAN_LIMIT_MOVES, scope, group, (double)t->n_moves, moves);
}

static double units_capacity(const struct checker *k)
{
    const struct field_station *s = &k->field->station;
    double sum_sm3s = 0;
    if (!s->has_compressors)
        return (double)INFINITY;
    for (size_t i = 0; i < k->plan->n_units && i < s->n_compressors; i++)
        if (k->plan->unit[i].load.runs)
            sum_sm3s += s->compressor[i].capacity_sm3s;
    return sum_sm3s;
}

static void check_range(struct checker *k, enum plan_limit_kind kind,
                        double used, double low, double high)
{
    check_use(k,
              (struct use_of_limit){kind, N_GROUP_KINDS, 0, used, low, high});
}

static void check_limits(struct checker *k)
{
    const struct field *f = k->field;
    const struct gas_balance *b = &k->plan->balance;
    double none = (double)INFINITY;
    check_caps(k, &f->limits.caps, &k->field_tally, N_GROUP_KINDS, 0);
    for (int g = 0; g < N_GROUP_KINDS; g++)
        for (size_t i = 0; i < f->groups[g].n; i++)
            check_caps(k, &f->groups[g].group[i].caps, &k->tally[g][i], g, i);
    check_range(k, PLAN_LIMIT_COMPRESSION, b->compressed, 0, units_capacity(k));
    check_range(k, PLAN_LIMIT_POWER, electric_w(k), 0, f->station.power_max_w);
    check_range(k, PLAN_LIMIT_SALES_MIN, b->sales, f->sales.min_sm3s, none);
    check_range(k, PLAN_LIMIT_SALES_MAX, b->sales, 0, f->sales.max_sm3s);
    check_range(k, PLAN_LIMIT_PURCHASE, b->bought, 0, f->market.max_sm3s);
    check_range(k, PLAN_LIMIT_FLARE, b->flare, 0, f->station.flare_max_sm3s);
    check_range(k, PLAN_LIMIT_OIL_TARGET, k->field_tally.oil,
                k->plan->oil_target_sm3s, none);
}

void plan_verify(const struct field *f, const struct curve *curves,
                 const struct plan *p, struct arena *a, struct verify *out)
{
    *out = (struct verify){
        .well = ARENA_NEW(a, f->n_wells, struct verify_well),
        .worst = f->n_wells,
    };
    struct checker k = {
        .field = f,
        .curves = curves,
        .plan = p,
        .arena = a,
        .out = out,
    };
    if (p->n_wells != f->n_wells) {
        add_fault(&k, "the plan is not for these wells");
        return;
    }
    for (int g = 0; g < N_GROUP_KINDS; g++)
        k.tally[g] = ARENA_NEW(a, f->groups[g].n, struct tally);
    for (size_t i = 0; i < f->n_wells; i++)
        check_well(&k, i);
    check_balance(&k);
    check_value(&k);
    check_limits(&k);
    out->promised_oil_sm3s = p->oil_sm3s;
}

/* The annulus limit is one of safety: the model says at which casing pressure
 * the planned rate stands. */
static void check_casing(const struct field_well *w, double p_casing_pa,
                         struct arena *a, struct verify *out)
{
    const struct unit *psi = unit_named(DIM_PRESSURE_DIFFERENCE, "psi");
    double most_pa = w->model->gas_path.p_casing_max_pa;

    if (!(p_casing_pa > most_pa * (1 + TOL_LIMIT_CASING)))
        return;
    struct verify_fault *more =
        ARENA_NEW(a, out->n_faults + 1, struct verify_fault);
    for (size_t i = 0; i < out->n_faults; i++)
        more[i] = out->fault[i];
    more[out->n_faults++].what = arena_printf(
        a, "well %s: casing pressure %.1f psi above its limit", w->name,
        (p_casing_pa - most_pa) *
            unit_from_si(psi, 1, &(struct unit_frame){0}));
    out->fault = more;
}

enum status plan_verify_models(const struct field *f,
                               const struct curve *curves, const struct plan *p,
                               struct arena *a, struct verify *out,
                               struct err *err)
{
    double worst_sm3s = 0;
    out->promised_oil_sm3s = out->delivered_oil_sm3s = 0;
    for (size_t i = 0; i < f->n_wells; i++) {
        const struct field_well *w = &f->well[i];
        struct verify_well *v = &out->well[i];
        double oil_sm3s = p->well[i].oil_sm3s;
        *v = (struct verify_well){oil_sm3s, oil_sm3s, (double)NAN, false};
        v->checked = w->model != NULL && w->reading.status != WELL_DOWN &&
                     (p->well[i].gas_sm3s > 0 || oil_sm3s > 0);
        if (v->checked) {
            struct delivery at;
            enum status st =
                field_deliver(w, &curves[i], p->well[i].gas_sm3s, &at, err);
            if (st != ST_OK)
                return st;
            v->delivered_oil_sm3s = at.oil_sm3s;
            v->p_casing_pa = at.p_casing_pa;
            check_casing(w, at.p_casing_pa, a, out);
        }
        out->promised_oil_sm3s += v->promised_oil_sm3s;
        out->delivered_oil_sm3s += v->delivered_oil_sm3s;
        double off_sm3s = fabs(v->delivered_oil_sm3s - v->promised_oil_sm3s);
        if (off_sm3s > worst_sm3s) {
            worst_sm3s = off_sm3s;
            out->worst = i;
        }
    }
    return ST_OK;
}
