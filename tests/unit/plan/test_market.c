/* Two wells of straight pieces: sorted by slope they take 400 Mscf/d at 0.5,
 * 500 at 0.3, 400 at 0.2 and 400 at 0.1 stb/Mscf, on 150 stb/d without gas. */
#include "plan/market.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "support/plan_case.h"
#include "support/random_field.h"

static void two_wells(struct builder *b, double gas_mscf_d)
{
    static const double GAS_A[] = {0, 400, 800}, OIL_A[] = {100, 300, 380};
    static const double GAS_B[] = {0, 500, 900}, OIL_B[] = {50, 200, 240};
    builder_reading(builder_well(b, "A", 3, GAS_A, OIL_A, 1, 0.5), 300,
                    WELL_FLOWING);
    builder_reading(builder_well(b, "B", 3, GAS_B, OIL_B, 1, 0.5), 300,
                    WELL_FLOWING);
    b->field.limits.caps.lift_sm3s = builder_gas(gas_mscf_d);
}

/* By the sorted slopes. */
static double oil_with(double gas_mscf_d)
{
    static const double LENGTH[] = {400, 500, 400, 400};
    static const double SLOPE[] = {0.5, 0.3, 0.2, 0.1};
    double oil = 150;
    for (int i = 0; i < 4; i++) {
        double part = fmin(fmax(gas_mscf_d, 0), LENGTH[i]);
        oil += SLOPE[i] * part;
        gas_mscf_d -= part;
    }
    return oil;
}

static const struct market_point *point_at(const struct market_curve *m,
                                           double change_mscf_d)
{
    for (size_t i = 0; i < m->n; i++)
        if (fabs(builder_mscf_d(m->point[i].gas_sm3s) - change_mscf_d) < 1e-3)
            return &m->point[i];
    return NULL;
}

Test(market, the_curve_is_the_sorted_slopes_of_concave_wells, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b, 1000);
    struct plan_options o = case_exact();
    struct market_curve m;
    struct err err = {0};
    cr_assert(
        eq(int, market_curve(&b.field, b.curves, &o, 80, &a, &m, &err), ST_OK),
        "%s", err.msg);
    for (size_t i = 0; i < m.n; i++) {
        double gas = 1000 + builder_mscf_d(m.point[i].gas_sm3s);
        cr_expect(epsilon_eq(dbl, builder_stb_d(m.point[i].oil_sm3s),
                             oil_with(gas), 1e-6),
                  "at %g", gas);
        cr_expect(i == 0 || m.point[i].oil_sm3s >= m.point[i - 1].oil_sm3s);
    }
    cr_expect(
        epsilon_eq(dbl, builder_mscf_d(m.point[0].gas_sm3s), -1000, 1e-6));
    cr_expect(eq(dbl, m.point[m.today].gas_sm3s, 0));
    /* Today's price ends at 900 and 1,300: both are points, to the last
     * digits. */
    const struct market_point *below = point_at(&m, -100);
    const struct market_point *above = point_at(&m, 300);
    cr_assert(below != NULL && above != NULL);
    double one = builder_oil(1) / builder_gas(1);
    cr_expect(epsilon_eq(dbl, below->slope_above / one, 0.2, 1e-6));
    cr_expect(epsilon_eq(dbl, below->slope_below / one, 0.3, 1e-6));
    cr_expect(epsilon_eq(dbl, above->slope_above / one, 0.1, 1e-6));
    cr_expect(epsilon_eq(dbl, above->slope_below / one, 0.2, 1e-6));
    /* It ends where more gas is worth nothing: 380 + 240 stb/d. */
    cr_expect(
        epsilon_eq(dbl, builder_stb_d(m.point[m.n - 1].oil_sm3s), 620, 1e-3));
    cr_expect(m.widest_gap < 0.1);
    arena_release(&a);
}

Test(market, every_point_is_the_plan_with_that_gas, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    struct random_field_options draw = random_field_hard(30);
    random_field(4, &draw, &b);
    struct plan_options o = plan_options_default();
    struct market_curve m;
    struct err err = {0};
    cr_assert(
        eq(int, market_curve(&b.field, b.curves, &o, 40, &a, &m, &err), ST_OK));
    double lift_sm3s = b.field.limits.caps.lift_sm3s;
    for (size_t i = 0; i < m.n; i++) {
        b.field.limits.caps.lift_sm3s = lift_sm3s + m.point[i].gas_sm3s;
        struct plan p = case_solve(&b, &o, "point");
        const struct market_point *at = &m.point[i];
        cr_expect(epsilon_eq(dbl, at->oil_sm3s, p.oil_sm3s, 1e-12), "point %zu",
                  i);
        cr_expect(epsilon_eq(dbl, at->lift_sm3s, p.balance.lift, 1e-12));
        cr_expect(epsilon_eq(dbl, at->sales_sm3s, p.balance.sales, 1e-12));
        cr_expect(epsilon_eq(dbl, at->bought_sm3s, p.balance.bought, 1e-12));
        cr_expect(epsilon_eq(dbl, at->fuel_sm3s, p.balance.fuel, 1e-12));
        cr_expect(epsilon_eq(dbl, at->money_s, p.money_s, 1e-12));
        cr_expect(eq(sz, at->n_moves, p.n_moves));
        cr_expect(i == 0 || m.point[i].oil_sm3s >=
                                m.point[i - 1].oil_sm3s - o.gap * p.oil_sm3s);
    }
    arena_release(&a);
}

/* 62 $/stb of oil and 2 $/stb of water: a piece of 0.2 stb/Mscf with as much
 * water is worth 12 $/Mscf, and A's whole gas 30 at best. */
Test(market, prices_and_worths_are_those_by_hand, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b, 1000);
    struct field_compressor unit[2] = {
        {.name = "K-1", .capacity_sm3s = builder_gas(700)},
        {.name = "K-2", .capacity_sm3s = builder_gas(500)},
    };
    b.field.station = (struct field_station){
        .n_compressors = 2,
        .compressor = unit,
        .has_compressors = true,
        .power_max_w = (double)INFINITY,
    };
    b.field.sales.from = SIDE_SUCTION;
    double stb = builder_oil(1) * 86400, mscf = builder_gas(1) * 86400;
    b.field.prices = (struct field_prices){
        .given = true,
        .oil_sm3 = 62 / stb,
        .water_sm3 = 2 / stb,
        .compression_sm3 = 0.5 / mscf,
    };
    b.field.sales.price_sm3 = 3 / mscf;
    struct plan_options o = plan_options_default();
    struct market m;
    struct err err = {0};
    cr_assert(eq(int, market_solve(&b.field, b.curves, NULL, &o, &a, &m, &err),
                 ST_OK),
              "%s", err.msg);
    /* Without K-1 only 500 can be compressed: 400 at 0.5, 100 at 0.3, for 380
     * of 520 stb/d; without K-2 700: 440. */
    cr_assert(eq(sz, m.n_worths, 2));
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.worth[0].oil_sm3s),
                         oil_with(500) - oil_with(1000), 1e-6));
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.worth[1].oil_sm3s),
                         oil_with(700) - oil_with(1000), 1e-6));
    cr_assert(eq(sz, m.n_wells, 2));
    cr_expect(eq(sz, m.well[0].well, 0), "A gives first");
    cr_expect(epsilon_eq(dbl, m.well[0].price_to_give * mscf, 12, 1e-6));
    cr_expect(epsilon_eq(dbl, m.well[0].price_to_stop * mscf, 30, 1e-6));
    cr_expect(epsilon_eq(dbl, m.well[1].price_to_give * mscf, 18, 1e-6));
    cr_expect(epsilon_eq(dbl, m.cost_recirculated * mscf, 0.5, 1e-9));
    cr_expect(epsilon_eq(dbl, m.cost_displaced * mscf, 3.5, 1e-9));
    cr_expect(isnan(m.cost_bought));
    /* The oil of 300 Mscf/d each, 100 + 150 and 50 + 90, takes 400 at 0.5 and
     * the rest at 0.3. */
    cr_assert(m.has_objective[PLAN_GAS]);
    cr_expect(epsilon_eq(dbl,
                         builder_mscf_d(m.by_objective[PLAN_GAS].balance.lift),
                         400 + (390 - 350) / 0.3, 1e-3));
    arena_release(&a);
}

/* A must have 300 Mscf/d and B 200: with less than 500 there is no plan. */
Test(market, the_least_gas_that_a_plan_needs_is_found, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b, 1000);
    b.field.well[0].lift_min_sm3s = builder_gas(300);
    b.field.well[1].lift_min_sm3s = builder_gas(200);
    b.field.well[0].may_stop = b.field.well[1].may_stop = false;
    struct plan_options o = case_exact();
    struct market_curve m;
    struct err err = {0};
    cr_assert(
        eq(int, market_curve(&b.field, b.curves, &o, 40, &a, &m, &err), ST_OK),
        "%s", err.msg);
    size_t i = 0;
    while (i < m.n && m.point[i].is_impossible)
        i++;
    cr_assert(i > 0 && i < m.n);
    /* Two points that a meter can just tell apart: 0.6 Mscf/d. */
    cr_expect(epsilon_eq(dbl, builder_mscf_d(m.point[i].gas_sm3s), -500, 0.6));
    cr_expect(
        epsilon_eq(dbl, builder_mscf_d(m.point[i - 1].gas_sm3s), -500, 0.6));
    cr_expect(isnan(m.point[i].slope_below));
    /* 250 and 110 stb/d, by the curves. */
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.point[i].oil_sm3s), 360, 0.3));
    arena_release(&a);
}

static void give_prices(struct builder *b, double sales_usd_mscf)
{
    double stb = builder_oil(1) * 86400, mscf = builder_gas(1) * 86400;
    b->field.prices = (struct field_prices){
        .given = true, .oil_sm3 = 62 / stb, .water_sm3 = 2 / stb};
    b->field.sales.price_sm3 = sales_usd_mscf / mscf;
}

static struct market solve(struct builder *b, struct arena *a)
{
    struct plan_options o = plan_options_default();
    struct market m;
    struct err err = {0};
    cr_assert(eq(int, market_solve(&b->field, b->curves, NULL, &o, a, &m, &err),
                 ST_OK),
              "%s", err.msg);
    return m;
}

/* 1,000 Mscf/d can be compressed, to lift with or to sell. A's last 100 make
 * 0.2 stb each, at 60 $/stb 12 $: above that price they are sold. */
Test(market, gas_is_sold_from_the_price_on_that_it_lifts_for, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b, 2000);
    struct field_compressor unit = {.name = "K-1",
                                    .capacity_sm3s = builder_gas(1000)};
    b.field.station = (struct field_station){
        .n_compressors = 1,
        .compressor = &unit,
        .has_compressors = true,
        .power_max_w = (double)INFINITY,
        .flare_max_sm3s = builder_gas(1000),
    };
    b.field.sales.from = SIDE_DISCHARGE;
    give_prices(&b, 3);
    struct market m = solve(&b, &a);
    double mscf = builder_gas(1) * 86400, below = 0, above = 100;
    cr_assert(m.n_sells > 5);
    for (size_t i = 0; i < m.n_sells; i++) {
        double price = m.sell[i].price_sm3 * mscf;
        double sold = builder_mscf_d(m.sell[i].sales_sm3s);
        cr_expect(i == 0 || m.sell[i].price_sm3 > m.sell[i - 1].price_sm3);
        /* At 18 B's gas is worth no more than that. */
        if (price > 17.99)
            continue;
        cr_expect(epsilon_eq(dbl, sold, price < 12 ? 0 : 100, 0.1),
                  "%g Mscf/d at %g $/Mscf", sold, price);
        if (price < 12)
            below = fmax(below, price);
        else
            above = fmin(above, price);
    }
    cr_expect(above - below < 0.02, "the step is at %g to %g $/Mscf", below,
              above);
    cr_expect(eq(sz, m.n_buys, 0));
    arena_release(&a);
}

/* A has 500 Mscf/d, B 500, but for the last row. */
Test(market, a_well_gives_gas_up_to_a_rate_that_it_may_have, .timeout = 60)
{
    static const struct {
        double least_mscf_d;
        bool may_stop;
        double give, stop; /* $/Mscf */
    } CASES[] = {
        {0, true, 12, 30},
        /* 100 stb/d of 0.2 each down to its minimum. */
        {450, true, 12, 210.0 * 60 / 450},
        /* Off or 500: 220 stb/d of 60 $ for 500 Mscf/d. */
        {500, true, 220.0 * 60 / 500, 220.0 * 60 / 500},
        {500, false, (double)INFINITY, (double)INFINITY},
        /* Held at 300. */
        {0, true, (double)INFINITY, (double)INFINITY},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        two_wells(&b, 1000);
        give_prices(&b, 0);
        b.field.well[0].lift_min_sm3s = builder_gas(CASES[i].least_mscf_d);
        b.field.well[0].may_stop = CASES[i].may_stop;
        if (i == 4)
            b.field.well[0].reading.status = WELL_HELD;
        struct market m = solve(&b, &a);
        double mscf = builder_gas(1) * 86400;
        cr_assert(eq(sz, m.n_wells, 2));
        const struct market_well *w = &m.well[m.well[0].well == 0 ? 0 : 1];
        cr_expect(isinf(CASES[i].give)
                      ? isinf(w->price_to_give)
                      : fabs(w->price_to_give * mscf - CASES[i].give) < 1e-4,
                  "row %zu: %g", i, w->price_to_give * mscf);
        cr_expect(isinf(CASES[i].stop)
                      ? isinf(w->price_to_stop)
                      : fabs(w->price_to_stop * mscf - CASES[i].stop) < 1e-4,
                  "row %zu: %g", i, w->price_to_stop * mscf);
        arena_release(&a);
    }
}

/* Of the one worth in m that is asked about, stb/d. */
static double worth_of(const struct market *m, const char *what)
{
    for (size_t i = 0; i < m->n_worths; i++)
        if (strcmp(m->worth[i].what, what) == 0)
            return builder_stb_d(m->worth[i].oil_sm3s);
    return (double)NAN;
}

static double worth(struct builder *b, struct arena *a, const char *what)
{
    struct market m = solve(b, a);
    return worth_of(&m, what);
}

Test(market, limits_are_worth_what_is_made_without_them, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    /* One move: A to 700 makes 360 + 140, both make 300 + 20 + 200. */
    builder_init(&b, &a);
    two_wells(&b, 1000);
    b.field.limits.caps.moves = 1;
    cr_expect(epsilon_eq(dbl, worth(&b, &a, "one more move"), 20, 1e-3));
    /* As much water as oil: 500 of 520 stb/d. */
    builder_init(&b, &a);
    two_wells(&b, 1000);
    b.field.limits.caps.water_sm3s = builder_oil(500);
    cr_expect(
        epsilon_eq(dbl, worth(&b, &a, "10 % more water handling"), 20, 1e-3));
    /* 100 to sell leave 900 to lift with, 500 stb/d of 520. */
    builder_init(&b, &a);
    two_wells(&b, 1000);
    struct field_compressor unit = {.name = "K-1",
                                    .capacity_sm3s = builder_gas(1000)};
    b.field.station = (struct field_station){
        .n_compressors = 1,
        .compressor = &unit,
        .has_compressors = true,
        .power_max_w = (double)INFINITY,
        .flare_max_sm3s = builder_gas(1000),
    };
    b.field.sales.from = SIDE_DISCHARGE;
    b.field.sales.min_sm3s = builder_gas(100);
    cr_expect(
        epsilon_eq(dbl, worth(&b, &a, "without the sales minimum"), 20, 1e-3));
    arena_release(&a);
}

/* A takes 400 Mscf/d at most today, and more with more pressure: 100 Mscf/d
 * make 0.2 instead of 0.1 stb each. */
Test(market, header_pressure_is_worth_what_wells_then_take, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b, 1000);
    struct field_well raised_well[2] = {b.field.well[0], b.field.well[1]};
    struct field raised = b.field;
    raised.well = raised_well;
    b.field.well[0].lift_max_sm3s = builder_gas(400);
    const struct market_header header = {&raised, b.curves, 344737.9};
    struct plan_options o = plan_options_default();
    struct market m;
    struct err err = {0};
    cr_assert(eq(int,
                 market_solve(&b.field, b.curves, &header, &o, &a, &m, &err),
                 ST_OK),
              "%s", err.msg);
    cr_expect(
        epsilon_eq(dbl, worth_of(&m, "50 psi more header pressure"), 10, 1e-3));
    arena_release(&a);
}

/* 0.5 $/Mscf of compression, and the gas bought for 4. */
Test(market, bought_gas_costs_its_price_and_its_compression, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b, 1000);
    give_prices(&b, 3);
    double mscf = builder_gas(1) * 86400;
    b.field.prices.compression_sm3 = 0.5 / mscf;
    b.field.market = (struct field_market){.max_sm3s = builder_gas(100),
                                           .price_sm3 = 4 / mscf};
    struct market m = solve(&b, &a);
    cr_expect(epsilon_eq(dbl, m.cost_bought * mscf, 4.5, 1e-9));
    cr_expect(epsilon_eq(dbl, m.cost_displaced * mscf, 3.5, 1e-9));
    arena_release(&a);
}
