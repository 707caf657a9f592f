/* What gas, units, contracts and limits are worth today: plans solved again
 * with one thing changed. */
#include "plan/market.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/units.h"
#include "num/tol.h"
#include "order.h"

#define CURVE_POINTS_MOST 160
/* Of bought gas and of sold gas, each; and how far past what gas is worth. */
#define PRICES_TRIED 30
#define MARKET_PRICES_PAST 1.5
/* Contracts and limits that are tried, beside the units. */
#define WORTHS_BESIDE 8

struct trader {
    const struct field *field;
    const struct curve *curves;
    const struct plan_options *ask;
    struct arena *arena;
    const struct plan *today; /* by the objective asked for */
    struct market *out;
};

/* --- objectives side by side --------------------------------------------- */

static enum status solve_objectives(struct trader *t, struct err *err)
{
    struct market *out = t->out;
    double oil_now_sm3s = 0;
    for (int k = PLAN_OIL; k <= PLAN_GAS; k++) {
        struct plan_options o = *t->ask;
        o.objective = (enum plan_objective)k;
        if (k == PLAN_MONEY && !t->field->prices.given)
            continue;
        if (k == PLAN_GAS && !(o.oil_target_sm3s > 0))
            o.oil_target_sm3s = oil_now_sm3s;
        if (k == PLAN_GAS && !(o.oil_target_sm3s > 0))
            continue;
        enum status st = plan_solve(t->field, t->curves, &o, t->arena,
                                    &out->by_objective[k], err);
        if (st != ST_OK)
            return st;
        out->has_objective[k] = true;
        if (k == PLAN_OIL) {
            struct plan now;
            size_t n_beyond;
            double *gas_sm3s = ARENA_NEW(t->arena, t->field->n_wells, double);
            for (size_t i = 0; i < t->field->n_wells; i++)
                gas_sm3s[i] = field_well_now_sm3s(&t->field->well[i]);
            plan_at_rates(t->field, t->curves, gas_sm3s, t->arena, &now,
                          &n_beyond);
            double best_sm3s = out->by_objective[PLAN_OIL].oil_sm3s;
            oil_now_sm3s = fmin(now.oil_sm3s, best_sm3s);
        }
    }
    return ST_OK;
}

/* --- one thing changed --------------------------------------------------- */

static enum status add_worth(struct trader *t, const struct field *changed,
                             const struct curve *curves, const char *what,
                             struct err *err)
{
    struct arena scratch;
    arena_init(&scratch);
    struct plan p;
    enum status st = plan_solve(changed, curves, t->ask, &scratch, &p, err);
    double none = (double)NAN;
    bool has_plan = st == ST_OK && p.outcome != PLAN_IMPOSSIBLE;
    if (st == ST_OK)
        t->out->worth[t->out->n_worths++] = (struct market_worth){
            .what = what,
            .oil_sm3s = has_plan ? p.oil_sm3s - t->today->oil_sm3s : none,
            .money_s = has_plan ? p.money_s - t->today->money_s : none,
            .lift_sm3s =
                has_plan ? p.balance.lift - t->today->balance.lift : none,
        };
    arena_release(&scratch);
    return st;
}

/* A unit that runs is taken away, one that stands is added. */
static enum status try_unit(struct trader *t, size_t i, struct err *err)
{
    struct field changed = *t->field;
    size_t n = changed.station.n_compressors;
    struct field_compressor *all =
        ARENA_NEW(t->arena, n, struct field_compressor);
    memcpy(all, t->field->station.compressor, n * sizeof *all);
    bool runs = field_unit_may_run(&all[i]);
    all[i].state = runs ? UNIT_DOWN : UNIT_RUNNING;
    changed.station.compressor = all;
    return add_worth(t, &changed, t->curves,
                     arena_printf(t->arena, "%s compressor %s",
                                  runs ? "without" : "with", all[i].name),
                     err);
}

static enum status try_units(struct trader *t, struct err *err)
{
    for (size_t i = 0; i < t->field->station.n_compressors; i++) {
        enum status st = try_unit(t, i, err);
        if (st != ST_OK)
            return st;
    }
    return ST_OK;
}

static enum status try_limits(struct trader *t, struct err *err)
{
    const struct field *f = t->field;
    enum status st = ST_OK;
    if (isfinite(f->limits.caps.water_sm3s)) {
        struct field changed = *f;
        changed.limits.caps.water_sm3s *= MARKET_WATER;
        st = add_worth(t, &changed, t->curves, "10 % more water handling", err);
    }
    if (st == ST_OK && f->sales.min_sm3s > 0) {
        struct field changed = *f;
        changed.sales.min_sm3s = 0;
        st =
            add_worth(t, &changed, t->curves, "without the sales minimum", err);
    }
    if (st == ST_OK && isfinite(f->sales.max_sm3s)) {
        struct field changed = *f;
        changed.sales.max_sm3s = (double)INFINITY;
        st =
            add_worth(t, &changed, t->curves, "without the sales maximum", err);
    }
    if (st == ST_OK && f->market.max_sm3s > 0) {
        struct field changed = *f;
        changed.market.max_sm3s = 0;
        st = add_worth(t, &changed, t->curves, "without gas to buy", err);
    }
    if (st == ST_OK && f->limits.caps.moves != SIZE_MAX) {
        struct field changed = *f;
        changed.limits.caps.moves++;
        st = add_worth(t, &changed, t->curves, "one more move", err);
    }
    return st;
}

static enum status try_header(struct trader *t,
                              const struct market_header *header,
                              struct err *err)
{
    if (header == NULL)
        return ST_OK;
    double psi = unit_from_si(unit_named(DIM_PRESSURE_DIFFERENCE, "psi"),
                              header->rise_pa, &t->field->frame);
    return add_worth(
        t, header->field, header->curves,
        arena_printf(t->arena, "%.0f psi more header pressure", psi), err);
}

/* --- wells and the price of gas ------------------------------------------ */

/* Money that a well's oil and water make at a point of its curve. */
static double money_at(const struct field *f, const struct curve *c, size_t k)
{
    return c->oil_sm3s[k] * f->prices.oil_sm3 -
           c->water_sm3s[k] * f->prices.water_sm3;
}

/* The money on the straight line between points; before them the well is
 * dead. */
static double money_with(const struct field *f, const struct curve *c,
                         double gas_sm3s)
{
    if (gas_sm3s < c->gas_sm3s[0])
        return 0;
    size_t k = 0;
    while (k + 2 < c->n && c->gas_sm3s[k + 1] < gas_sm3s * (1 - TOL_SAME_RATE))
        k++;
    double part =
        (gas_sm3s - c->gas_sm3s[k]) / (c->gas_sm3s[k + 1] - c->gas_sm3s[k]);
    return money_at(f, c, k) +
           part * (money_at(f, c, k + 1) - money_at(f, c, k));
}

/* The rate below its own that a well would fall back to first when gas gets
 * dear: a point of its curve, its minimum, or none. The price of that;
 * INFINITY: it cannot. */
static double price_to_leave(const struct field *f, const struct field_well *w,
                             const struct curve *c, double gas_sm3s,
                             double *to_sm3s)
{
    double price_sm3 = (double)INFINITY, here = money_with(f, c, gas_sm3s);
    for (size_t j = 0; j < c->n + 2; j++) {
        double to = j < c->n    ? c->gas_sm3s[j]
                    : j == c->n ? w->lift_min_sm3s
                                : 0;
        bool may = to > 0 ? to >= w->lift_min_sm3s && to >= c->gas_sm3s[0]
                          : w->may_stop;
        double less_sm3s = gas_sm3s - to;
        if (!(less_sm3s > TOL_SAME_RATE * gas_sm3s) || !may)
            continue;
        double price = (here - money_with(f, c, to)) / less_sm3s;
        if (price < price_sm3) {
            price_sm3 = price;
            *to_sm3s = to;
        }
    }
    return price_sm3;
}

/* From this price on no rate above none is worth its gas. */
static double price_to_stop(const struct field *f, const struct field_well *w,
                            const struct curve *c)
{
    double price_sm3 = 0, alone = money_with(f, c, 0);
    for (size_t j = 0; j <= c->n; j++) {
        double at = j < c->n ? c->gas_sm3s[j] : w->lift_min_sm3s;
        if (at > 0 && at >= w->lift_min_sm3s)
            price_sm3 = fmax(price_sm3, (money_with(f, c, at) - alone) / at);
    }
    return price_sm3;
}

static struct market_well price_well(const struct trader *t, size_t i)
{
    static const struct field OIL_ONLY = {.prices.oil_sm3 = 1};
    const struct field *f = t->field->prices.given ? t->field : &OIL_ONLY;
    const struct field_well *w = &t->field->well[i];
    const struct curve *c = &t->curves[i];
    double gas_sm3s = t->today->well[i].gas_sm3s, to_sm3s = gas_sm3s;
    double never = (double)INFINITY;
    struct market_well m = {i, gas_sm3s, never, never, (double)NAN};
    if (field_well_locked(w))
        return m;
    m.price_to_give = price_to_leave(f, w, c, gas_sm3s, &to_sm3s);
    if (to_sm3s < gas_sm3s)
        m.oil_per_gas = (money_with(&OIL_ONLY, c, gas_sm3s) -
                         money_with(&OIL_ONLY, c, to_sm3s)) /
                        (gas_sm3s - to_sm3s);
    if (w->may_stop)
        m.price_to_stop = fmax(price_to_stop(f, w, c), m.price_to_give);
    return m;
}

static void price_wells(struct trader *t)
{
    const size_t *order = order_wells(t->field, t->arena);
    struct market *out = t->out;
    out->well = ARENA_NEW(t->arena, t->field->n_wells, struct market_well);
    for (size_t n = 0; n < t->field->n_wells; n++) {
        size_t i = order[n];
        if (!(t->today->well[i].gas_sm3s > 0) || t->curves[i].n < 2)
            continue;
        struct market_well m = price_well(t, i);
        size_t at = out->n_wells++;
        for (; at > 0 && out->well[at - 1].price_to_give > m.price_to_give;
             at--)
            out->well[at] = out->well[at - 1];
        out->well[at] = m;
    }
}

/* --- bought and sold against their price --------------------------------- */

/* What is bought and sold by rising price of one of the two. */
struct scan {
    struct trader *trader;
    bool is_sale;
    double top_sm3; /* the highest price tried */
    size_t n;
    struct market_quantity *quantity; /* [PRICES_TRIED] */
};

static enum status try_price(struct scan *s, double price_sm3, struct err *err)
{
    struct trader *t = s->trader;
    struct plan_options o = *t->ask;
    o.objective = PLAN_MONEY;
    struct field changed = *t->field;
    *(s->is_sale ? &changed.sales.price_sm3 : &changed.market.price_sm3) =
        price_sm3;
    struct arena scratch;
    arena_init(&scratch);
    struct plan p;
    enum status st = plan_solve(&changed, t->curves, &o, &scratch, &p, err);
    size_t at = s->n;
    for (; at > 0 && s->quantity[at - 1].price_sm3 > price_sm3; at--)
        s->quantity[at] = s->quantity[at - 1];
    if (st == ST_OK)
        s->quantity[at] =
            (struct market_quantity){price_sm3, p.balance.bought,
                                     p.balance.sales, p.oil_sm3s, p.money_s};
    s->n++;
    arena_release(&scratch);
    return st;
}

/* How much is not known between two prices: quantities change in steps, and
 * one way only. */
static double unknown(const struct scan *s, size_t i)
{
    const struct market_quantity *a = &s->quantity[i], *b = a + 1;
    double step_sm3s = s->is_sale ? b->sales_sm3s - a->sales_sm3s
                                  : a->bought_sm3s - b->bought_sm3s;
    double width_sm3 = b->price_sm3 - a->price_sm3;
    bool is_one = !(step_sm3s > TOL_MARKET_SM3S) ||
                  width_sm3 <= MARKET_PRICE_STEP * s->top_sm3;
    return is_one ? 0 : step_sm3s * width_sm3;
}

static enum status scan_prices(struct scan *s, double given_sm3,
                               struct err *err)
{
    s->quantity =
        ARENA_NEW(s->trader->arena, PRICES_TRIED + 1, struct market_quantity);
    enum status st = try_price(s, 0, err);
    if (st == ST_OK)
        st = try_price(s, s->top_sm3, err);
    if (st == ST_OK && given_sm3 > 0)
        st = try_price(s, given_sm3, err);
    while (st == ST_OK && s->n < PRICES_TRIED) {
        size_t widest = 0;
        for (size_t i = 1; i + 1 < s->n; i++)
            if (unknown(s, i) > unknown(s, widest))
                widest = i;
        if (!(unknown(s, widest) > 0))
            break;
        st = try_price(s,
                       0.5 * (s->quantity[widest].price_sm3 +
                              s->quantity[widest + 1].price_sm3),
                       err);
    }
    return st;
}

/* Prices from nothing to beyond what gas is worth today. */
static enum status try_prices(struct trader *t, struct err *err)
{
    struct market *out = t->out;
    const struct plan *money = &out->by_objective[PLAN_MONEY];
    if (!out->has_objective[PLAN_MONEY] || money->outcome == PLAN_IMPOSSIBLE)
        return ST_OK;
    double market_sm3 = t->field->market.price_sm3;
    double sales_sm3 = t->field->sales.price_sm3;
    double top_sm3 = MARKET_PRICES_PAST *
                     fmax(money->gas_price_money, fmax(market_sm3, sales_sm3));
    struct scan buy = {t, false, top_sm3, 0, NULL};
    struct scan sell = {t, true, top_sm3, 0, NULL};
    enum status st = ST_OK;
    if (top_sm3 > 0 && t->field->market.max_sm3s > 0)
        st = scan_prices(&buy, market_sm3, err);
    if (top_sm3 > 0 && st == ST_OK)
        st = scan_prices(&sell, sales_sm3, err);
    out->n_buys = buy.n;
    out->buy = buy.quantity;
    out->n_sells = sell.n;
    out->sell = sell.quantity;
    return st;
}

/* What lifting a Sm3 costs, by where the gas comes from. */
static void set_costs(struct trader *t)
{
    const struct field *f = t->field;
    struct market *out = t->out;
    const struct field_prices *price = &f->prices;
    double none = (double)NAN, fuel = f->station.fuel_fraction;
    out->cost_recirculated = out->cost_full = none;
    out->cost_displaced = out->cost_bought = none;
    if (!price->given)
        return;
    for (size_t i = 0; i < f->station.n_compressors; i++)
        fuel = fmax(fuel, field_unit_fuel(f, &f->station.compressor[i]));
    double gross = f->station.fuel_from == SIDE_DISCHARGE ? 1 / (1 - fuel) : 1;
    out->cost_recirculated =
        gross * (price->compression_sm3 + fuel * price->carbon_sm3 +
                 fuel * fmax(f->sales.price_sm3, 0));
    out->cost_displaced = out->cost_recirculated + f->sales.price_sm3;
    if (f->market.max_sm3s > 0)
        out->cost_bought = out->cost_recirculated + f->market.price_sm3;
    if (out->has_objective[PLAN_MONEY])
        out->cost_full = out->by_objective[PLAN_MONEY].gas_price_money;
}

enum status market_solve(const struct field *f, const struct curve *curves,
                         const struct market_header *header,
                         const struct plan_options *o, struct arena *a,
                         struct market *out, struct err *err)
{
    *out = (struct market){.curve.objective = o->objective};
    struct plan today;
    enum status st = plan_solve(f, curves, o, a, &today, err);
    struct trader t = {f, curves, o, a, &today, out};
    out->worth = ARENA_NEW(a, f->station.n_compressors + WORTHS_BESIDE,
                           struct market_worth);
    if (st == ST_OK)
        st = solve_objectives(&t, err);
    if (st != ST_OK || today.outcome == PLAN_IMPOSSIBLE)
        return st;
    st = market_curve(f, curves, o, CURVE_POINTS_MOST, a, &out->curve, err);
    if (st == ST_OK)
        st = try_units(&t, err);
    if (st == ST_OK)
        st = try_header(&t, header, err);
    if (st == ST_OK)
        st = try_limits(&t, err);
    if (st == ST_OK)
        st = try_prices(&t, err);
    if (st != ST_OK)
        return st;
    price_wells(&t);
    set_costs(&t);
    return ST_OK;
}
