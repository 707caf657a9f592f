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
#define PRICES_TRIED 12
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

/* --- objectives side by side -----------------------------------------------
 */

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

/* --- one thing changed -----------------------------------------------------
 */

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
                              const struct curve *header_curves,
                              double header_pa, struct err *err)
{
    if (header_curves == NULL)
        return ST_OK;
    double psi = unit_from_si(unit_named(DIM_PRESSURE_DIFFERENCE, "psi"),
                              header_pa, &t->field->frame);
    return add_worth(
        t, t->field, header_curves,
        arena_printf(t->arena, "%.0f psi more header pressure", psi), err);
}

/* --- wells and the price of gas --------------------------------------------
 */

/* Money that a well's oil and water make at a point of its curve. */
static double money_at(const struct field *f, const struct curve *c, size_t k)
{
    return c->oil_sm3s[k] * f->prices.oil_sm3 -
           c->water_sm3s[k] * f->prices.water_sm3;
}

/* The last point below a rate. */
static size_t piece_of(const struct curve *c, double gas_sm3s)
{
    size_t k = 0;
    while (k + 2 < c->n && c->gas_sm3s[k + 1] < gas_sm3s * (1 - TOL_SAME_RATE))
        k++;
    return k;
}

static struct market_well price_well(const struct trader *t, size_t i)
{
    const struct curve *c = &t->curves[i];
    const struct plan_well *w = &t->today->well[i];
    struct market_well m = {.well = i, .gas_sm3s = w->gas_sm3s};
    size_t k = piece_of(c, w->gas_sm3s);
    double step = c->gas_sm3s[k + 1] - c->gas_sm3s[k];
    double alone = c->gas_sm3s[0] <= 0 ? money_at(t->field, c, 0) : 0;
    m.oil_per_gas = (c->oil_sm3s[k + 1] - c->oil_sm3s[k]) / step;
    m.price_to_give =
        (money_at(t->field, c, k + 1) - money_at(t->field, c, k)) / step;
    for (size_t j = 0; j < c->n; j++)
        if (c->gas_sm3s[j] > 0)
            m.price_to_stop =
                fmax(m.price_to_stop,
                     (money_at(t->field, c, j) - alone) / c->gas_sm3s[j]);
    if (!t->field->well[i].may_stop || field_well_locked(&t->field->well[i]))
        m.price_to_stop = (double)INFINITY;
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

/* --- bought and sold against their price -----------------------------------
 */

static enum status try_price(struct trader *t, double *price, double value,
                             const struct field *changed,
                             struct market_quantity *out, struct err *err)
{
    struct plan_options o = *t->ask;
    o.objective = PLAN_MONEY;
    struct arena scratch;
    arena_init(&scratch);
    *price = value;
    struct plan p;
    enum status st = plan_solve(changed, t->curves, &o, &scratch, &p, err);
    *out = (struct market_quantity){.price_sm3 = value,
                                    .bought_sm3s = (double)NAN,
                                    .sales_sm3s = (double)NAN,
                                    .oil_sm3s = (double)NAN,
                                    .money_s = (double)NAN};
    if (st == ST_OK && p.outcome != PLAN_IMPOSSIBLE)
        *out = (struct market_quantity){value, p.balance.bought,
                                        p.balance.sales, p.oil_sm3s, p.money_s};
    arena_release(&scratch);
    return st;
}

/* Prices from nothing to beyond what gas is worth today. */
static enum status try_prices(struct trader *t, struct err *err)
{
    struct market *out = t->out;
    if (!out->has_objective[PLAN_MONEY])
        return ST_OK;
    const struct plan *money = &out->by_objective[PLAN_MONEY];
    double given = fmax(t->field->market.price_sm3, t->field->sales.price_sm3);
    double top = 1.5 * fmax(money->gas_price_money, given);
    bool can_buy = t->field->market.max_sm3s > 0 && top > 0;
    out->buy = ARENA_NEW(t->arena, PRICES_TRIED, struct market_quantity);
    out->sell = ARENA_NEW(t->arena, PRICES_TRIED, struct market_quantity);
    for (size_t i = 0; i < PRICES_TRIED && top > 0; i++) {
        double price = top * (double)i / (PRICES_TRIED - 1);
        struct field changed = *t->field;
        enum status st = ST_OK;
        if (can_buy)
            st = try_price(t, &changed.market.price_sm3, price, &changed,
                           &out->buy[out->n_buys++], err);
        changed = *t->field;
        if (st == ST_OK)
            st = try_price(t, &changed.sales.price_sm3, price, &changed,
                           &out->sell[out->n_sells++], err);
        if (st != ST_OK)
            return st;
    }
    return ST_OK;
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
                         const struct curve *header_curves, double header_pa,
                         const struct plan_options *o, struct arena *a,
                         struct market *out, struct err *err)
{
    *out = (struct market){0};
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
        st = try_header(&t, header_curves, header_pa, err);
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
