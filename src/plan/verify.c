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

struct checker {
    const struct field *field;
    const struct curve *curves;
    const struct plan *plan;
    struct arena *arena;
    struct verify *out;
    size_t cap;
    /* Our own sums. */
    double oil, water, lift, formation;
    double *manifold; /* [n_manifolds] lift gas */
    size_t n_moves;
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
    if (k->field->well[i].reading.status == WELL_DOWN || !(gas_sm3s >= 0))
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

static bool can_run(const struct field_well *w, const struct curve *c)
{
    return c->n > 0 && start_of(w, c) * (1 - TOL_SAME_RATE) <=
                           fmin(w->lift_max_sm3s, end_of(c));
}

static bool may_be_off(const struct field_well *w, const struct curve *c)
{
    return w->may_stop || w->lift_min_sm3s <= 0 || !can_run(w, c);
}

/* Why a free well may not be at that rate, or NULL. */
static const char *free_fault(const struct checker *k, size_t i,
                              double gas_sm3s)
{
    const struct field_well *w = &k->field->well[i];
    const struct curve *c = &k->curves[i];
    double now_sm3s = field_well_now_sm3s(w);
    double near = TOL_LIMIT_REL * fmax(gas_sm3s, TOL_LIMIT_SM3S);
    /* Where changes are limited a dead well may stay as it is. */
    const struct field_limits *l = &k->field->limits;
    bool may_stay = l->caps.moves != SIZE_MAX || l->dead_band_sm3s > 0;
    bool unchanged = may_stay && fabs(gas_sm3s - now_sm3s) <= TOL_MOVE_SM3S;
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
    return NULL;
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
    const char *fault = free_fault(k, i, gas_sm3s);
    return fault != NULL ? fault : band_fault(k, i, gas_sm3s);
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
    bool moved = fabs(change_sm3s) > TOL_MOVE_SM3S;
    if (got->moved != moved)
        well_fault(k, i, "wrongly marked as moved or not");

    k->oil += p.oil_sm3s;
    k->water += p.water_sm3s;
    k->formation += p.formation_sm3s;
    k->lift += got->gas_sm3s;
    k->manifold[w->group[GROUP_MANIFOLD]] += got->gas_sm3s;
    k->n_moves += moved;
}

static void check_sum(struct checker *k, const char *what, double got,
                      double want, double scale)
{
    if (!is_near(got, want, scale))
        add_fault(k, arena_printf(k->arena, "%s: %.10g stated, %.10g counted",
                                  what, got, want));
}

/* What the plan states against our sums; the balance is written out here
 * once more on purpose. */
static void check_balance(struct checker *k)
{
    const struct field *f = k->field;
    const struct gas_balance *b = &k->plan->balance;
    double through = k->formation + k->lift + fabs(b->bought);
    check_sum(k, "lift gas", b->lift, k->lift, through);
    check_sum(k, "formation gas", b->formation, k->formation, through);

    double out_of_discharge = k->lift;
    if (f->sales.from == SIDE_DISCHARGE)
        out_of_discharge += b->sales;
    if (f->market.enters == SIDE_DISCHARGE)
        out_of_discharge -= b->bought;
    if (f->station.fuel_from == SIDE_DISCHARGE)
        out_of_discharge += b->fuel;
    check_sum(k, "gas compressed", b->compressed, out_of_discharge, through);
    check_sum(k, "fuel", b->fuel, b->compressed * f->station.fuel_fraction,
              through);
    check_sum(k, "shrinkage", b->shrinkage,
              k->formation * f->station.shrinkage_fraction, through);
    double in = k->formation + k->lift + b->bought;
    double out = k->lift + b->sales + b->fuel + b->flare + b->shrinkage;
    if (!(fabs(in - out) <= TOL_BALANCE_REL * fmax(in, TOL_LIMIT_SM3S)))
        add_fault(k, arena_printf(k->arena,
                                  "gas balance: in %.10g, out %.10g Sm3/s", in,
                                  out));
    if (!(fabs(b->error - (in - out)) <= TOL_BALANCE_REL * through))
        add_fault(k, "gas balance: its error is misstated");
}

static double money_of(const struct field *f, const struct gas_balance *b,
                       double oil_sm3s, double water_sm3s)
{
    if (!f->prices.given)
        return 0;
    double income =
        oil_sm3s * f->prices.oil_sm3 + b->sales * f->sales.price_sm3;
    double cost = water_sm3s * f->prices.water_sm3 +
                  b->bought * f->market.price_sm3 +
                  b->compressed * f->prices.compression_sm3;
    return income - cost;
}

static void check_value(struct checker *k)
{
    const struct plan *p = k->plan;
    const struct field *f = k->field;
    check_sum(k, "oil", p->oil_sm3s, k->oil, k->oil);
    check_sum(k, "water", p->water_sm3s, k->water, k->water);
    double money = money_of(f, &p->balance, k->oil, k->water);
    double turnover = fabs(k->oil * f->prices.oil_sm3) + fabs(money);
    check_sum(k, "money", p->money_s, money, turnover);
    double value = p->objective == PLAN_MONEY ? money : k->oil;
    check_sum(k, "value", p->value, value,
              p->objective == PLAN_MONEY ? turnover : k->oil);
    if (p->n_moves != k->n_moves)
        add_fault(k, arena_printf(k->arena, "moves: %zu stated, %zu counted",
                                  p->n_moves, k->n_moves));
    if (!(p->bound >= value - TOL_PLAN_SUM_REL * fabs(value)))
        add_fault(k, "the bound is below the plan's own value");
    bool is_proven =
        p->outcome == PLAN_OPTIMAL || p->outcome == PLAN_WITHIN_GAP;
    double gap = (p->bound - value) / fabs(value);
    if (is_proven && value != 0 && !(gap <= p->gap + TOL_PLAN_SUM_REL))
        add_fault(k, "the gap is smaller than bound less value");
}

struct use_of_limit {
    const char *name; /* of the manifold, or "" */
    enum plan_limit_kind kind;
    double used, low, high;
    enum dim dim;
    const char *unit;
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

static void check_stated(struct checker *k, const struct use_of_limit *u)
{
    for (size_t i = 0; i < k->plan->n_limits; i++) {
        const struct plan_limit *l = &k->plan->limit[i];
        if (l->kind != u->kind || strcmp(l->name, u->name) != 0)
            continue;
        double bound = l->kind == PLAN_LIMIT_SALES_MIN ? u->low : u->high;
        double scale = fabs(bound) + fabs(u->used) + TOL_LIMIT_SM3S;
        if (!is_near(l->used, u->used, scale) ||
            !is_near(l->bound, bound, scale) || !(l->price >= 0))
            add_fault(k, arena_printf(k->arena, "%s %s: misstated",
                                      limit_words(u->kind), u->name));
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
    add_fault(
        k, arena_printf(k->arena, "%s%s%s: %s of %s", limit_words(u.kind),
                        u.name[0] != '\0' ? " " : "", u.name,
                        rate_text(k, u.dim, u.unit, u.used),
                        rate_text(k, u.dim, u.unit, is_low ? u.low : u.high)));
}

static void check_gas(struct checker *k, enum plan_limit_kind kind,
                      const char *name, double used, double low, double high)
{
    check_use(k, (struct use_of_limit){name, kind, used, low, high,
                                       DIM_GAS_RATE, "MMscf/d"});
}

static void check_liquid(struct checker *k, enum plan_limit_kind kind,
                         double used, double high)
{
    check_use(k, (struct use_of_limit){"", kind, used, -(double)INFINITY, high,
                                       DIM_LIQUID_RATE, "stb/d"});
}

static void check_limits(struct checker *k)
{
    const struct field *f = k->field;
    const struct gas_balance *b = &k->plan->balance;
    double none = (double)INFINITY;
    check_gas(k, PLAN_LIMIT_LIFT, "", k->lift, 0, f->limits.caps.lift_sm3s);
    for (size_t m = 0; m < f->groups[GROUP_MANIFOLD].n; m++)
        check_gas(k, PLAN_LIMIT_MANIFOLD,
                  f->groups[GROUP_MANIFOLD].group[m].name, k->manifold[m], 0,
                  f->groups[GROUP_MANIFOLD].group[m].caps.lift_sm3s);
    check_gas(k, PLAN_LIMIT_COMPRESSION, "", b->compressed, 0,
              field_capacity_sm3s(f));
    check_liquid(k, PLAN_LIMIT_LIQUID, k->oil + k->water,
                 f->limits.caps.liquid_sm3s);
    check_liquid(k, PLAN_LIMIT_WATER, k->water, f->limits.caps.water_sm3s);
    check_gas(k, PLAN_LIMIT_SALES_MIN, "", b->sales, f->sales.min_sm3s, none);
    check_gas(k, PLAN_LIMIT_SALES_MAX, "", b->sales, 0, f->sales.max_sm3s);
    check_gas(k, PLAN_LIMIT_PURCHASE, "", b->bought, 0, f->market.max_sm3s);
    check_gas(k, PLAN_LIMIT_FLARE, "", b->flare, 0, f->station.flare_max_sm3s);
    if (k->n_moves > f->limits.caps.moves)
        add_fault(k, arena_printf(k->arena, "moves: %zu of %zu", k->n_moves,
                                  f->limits.caps.moves));
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
        .manifold = ARENA_NEW(a, f->groups[GROUP_MANIFOLD].n, double),
    };
    if (p->n_wells != f->n_wells) {
        add_fault(&k, "the plan is not for these wells");
        return;
    }
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
