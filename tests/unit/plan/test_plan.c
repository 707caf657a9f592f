#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "../../../src/plan/account.h"
#include "plan/verify.h"
#include "support/plan_case.h"
#include "support/random_field.h"

static const double GAS[] = {0, 500, 1000}, OIL[] = {100, 500, 600};

static const struct plan_limit *limit_of(const struct plan *p,
                                         enum plan_limit_kind kind)
{
    for (size_t i = 0; i < p->n_limits; i++)
        if (p->limit[i].kind == kind)
            return &p->limit[i];
    return NULL;
}

Test(plan, a_thousand_wells_are_proven_within_a_hundredth_of_a_percent,
     .timeout = 120)
{
    for (uint64_t seed = 1; seed <= 3; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        struct random_field_options ro = random_field_hard(1000);
        random_field(seed, &ro, &b);
        struct plan_options o = plan_options_default();
        struct plan p = case_solve(&b, &o, "1,000 wells");
        cr_expect(le(dbl, p.gap, 1e-4), "seed %d: %g", (int)seed, p.gap);
        cr_expect(ne(int, p.outcome, PLAN_STOPPED), "seed %d", (int)seed);
        arena_release(&a);
    }
}

Test(plan, fifty_wells_with_few_moves_are_proven_to_a_thousandth_of_a_percent,
     .timeout = 120)
{
    for (uint64_t seed = 1; seed <= 12; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        struct random_field_options ro = random_field_hard(50);
        ro.has_readings = true;
        random_field(seed, &ro, &b);
        b.field.limits.caps.moves = seed % 2 == 0 ? 5 : 10;
        struct plan_options o = plan_options_default();
        struct plan p = case_solve(&b, &o, "50 wells");
        cr_expect(le(dbl, p.gap, 1e-5), "seed %d: %g", (int)seed, p.gap);
        arena_release(&a);
    }
}

/* One node: a worse plan perhaps, or none and the words for it; but a bound
 * that the optimum keeps to. */
Test(plan, stopped_early_still_has_a_true_bound, .timeout = 60)
{
    size_t n_plans = 0, n_worse = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        struct random_field_options ro = random_field_hard(40);
        ro.has_readings = true;
        random_field(seed, &ro, &b);
        b.field.limits.caps.moves = 6;
        struct plan_options o = case_exact();
        struct plan best = case_solve(&b, &o, "to the end"), early;
        o.nodes_max = 1;
        struct err err = {0};
        enum status st = plan_solve(&b.field, b.curves, &o, &a, &early, &err);
        if (st == ST_OK) {
            double slack = 1e-9 * best.value;
            cr_expect(le(dbl, early.value, best.value + slack), "seed %d",
                      (int)seed);
            cr_expect(le(dbl, best.value - slack, early.bound), "seed %d",
                      (int)seed);
            n_plans++;
            n_worse += early.outcome == PLAN_STOPPED;
        } else {
            cr_expect(strstr(err.msg, "no plan was found") != NULL, "seed %d",
                      (int)seed);
        }
        arena_release(&a);
    }
    cr_expect(ge(sz, n_plans, 15));
    cr_expect(ge(sz, n_worse, 3));
}

Test(plan, without_time_it_says_so_and_keeps_what_is_safe, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    struct random_field_options ro = random_field_hard(1000);
    random_field(1, &ro, &b);
    struct plan_options o = plan_options_default();
    o.time_s = 0;
    struct plan p = case_solve(&b, &o, "no time");
    cr_expect(eq(int, p.outcome, PLAN_STOPPED));
    arena_release(&a);
}

/* The slope of the curve past 500 Mscf/d is 0.2 stb/Mscf, and 10 % of what is
 * compressed is burnt, at discharge. */
Test(plan, a_binding_limit_has_its_price_and_no_other_has, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    struct field_compressor c = {.name = "C-1",
                                 .capacity_sm3s = builder_gas(800)};
    b.field.station.has_compressors = true;
    b.field.station.n_compressors = 1;
    b.field.station.compressor = &c;
    b.field.station.fuel_fraction = 0.1;
    b.field.station.fuel_from = SIDE_DISCHARGE;
    b.field.limits.caps.lift_sm3s = builder_gas(900);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "prices");
    double per_gas = builder_oil(1) / builder_gas(1);
    /* 720 lifted and 80 burnt are 800. */
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.lift), 720, 1e-6));
    cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 544, 1e-6));
    cr_expect(epsilon_eq(dbl, limit_of(&p, PLAN_LIMIT_COMPRESSION)->price,
                         0.2 * 0.9 * per_gas, 1e-9 * per_gas));
    cr_expect(limit_of(&p, PLAN_LIMIT_COMPRESSION)->binding);
    cr_expect(eq(dbl, limit_of(&p, PLAN_LIMIT_LIFT)->price, 0));
    cr_expect(not(limit_of(&p, PLAN_LIMIT_LIFT)->binding));
    /* A unit of gas lifted is worth the slope at the well. */
    cr_expect(epsilon_eq(dbl, p.gas_price_oil, 0.2 * per_gas, 1e-9 * per_gas));
    arena_release(&a);
}

/* Gas bought behind the compressors is lifted without them: 300 compressed
 * and 100 bought are 400 Mscf/d, 420 stb/d. */
Test(plan, gas_bought_at_discharge_relieves_the_compressors, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    struct field_compressor c = {.name = "C-1",
                                 .capacity_sm3s = builder_gas(300)};
    b.field.station.has_compressors = true;
    b.field.station.n_compressors = 1;
    b.field.station.compressor = &c;
    b.field.market.max_sm3s = builder_gas(100);
    b.field.market.enters = SIDE_DISCHARGE;
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "bought");
    double per_gas = builder_oil(1) / builder_gas(1);
    cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 420, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.lift), 400, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.bought), 100, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.sales), 520, 1e-6));
    cr_expect(epsilon_eq(dbl, limit_of(&p, PLAN_LIMIT_PURCHASE)->price,
                         0.8 * per_gas, 1e-9 * per_gas));
    arena_release(&a);
}

/* Bought at 1 $/Mscf behind the compressors, sold at 4 before them: as much
 * as is lifted, for the compressors do not run backwards. */
Test(plan, no_more_is_bought_at_discharge_than_can_be_lifted, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    b.field.limits.caps.lift_sm3s = builder_gas(600);
    b.field.market.max_sm3s = (double)INFINITY;
    b.field.market.enters = SIDE_DISCHARGE;
    double per_mscf = 1 / (builder_gas(1) * UNIT_DAY_S);
    b.field.market.price_sm3 = per_mscf;
    b.field.sales.price_sm3 = 4 * per_mscf;
    b.field.prices.given = true;
    b.field.prices.oil_sm3 = 50 / (builder_oil(1) * UNIT_DAY_S);
    struct plan_options o = case_exact();
    o.objective = PLAN_MONEY;
    struct plan p = case_solve(&b, &o, "resold");
    cr_expect(eq(int, p.outcome, PLAN_OPTIMAL));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.lift), 600, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.bought), 600, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.compressed), 0, 1e-6));
    /* 520 stb/d at 50; 520 of formation gas and the 600 sold; bought. */
    double money = 520 * 50 + 1120 * 4 - 600;
    cr_expect(epsilon_eq(dbl, p.money_s * UNIT_DAY_S, money, 1e-3));
    arena_release(&a);
}

/* One more of a limit, solved again: the change is the price. */
Test(plan, prices_are_what_a_little_more_of_a_limit_brings, .timeout = 30)
{
    static const enum plan_limit_kind KIND[] = {
        PLAN_LIMIT_LIFT, PLAN_LIMIT_WATER, PLAN_LIMIT_LIQUID};
    static const double BOUND[] = {1230, 1500, 2100};
    for (size_t i = 0; i < 3; i++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        builder_well(&b, "A", 3, GAS, OIL, 1, 1);
        builder_well(&b, "B", 3, GAS, OIL, 3, 0.5);
        double *limit[] = {&b.field.limits.caps.lift_sm3s,
                           &b.field.limits.caps.water_sm3s,
                           &b.field.limits.caps.liquid_sm3s};
        *limit[i] = i == 0 ? builder_gas(BOUND[i]) : builder_oil(BOUND[i]);
        struct plan_options o = case_exact();
        struct plan p = case_solve(&b, &o, "base");
        double step = 1e-3 * *limit[i];
        *limit[i] += step;
        struct plan more = case_solve(&b, &o, "more");
        double gained = (more.value - p.value) / step;
        const struct plan_limit *l = limit_of(&p, KIND[i]);
        cr_expect(l->binding, "limit %zu", i);
        cr_expect(lt(dbl, 0, gained), "limit %zu", i);
        cr_expect(epsilon_eq(dbl, l->price, gained, 1e-6 * gained), "limit %zu",
                  i);
        arena_release(&a);
    }
}

/* What is given, and what is too little or too much of it. By hand: 600 of
 * formation gas, no fuel. */
Test(plan, a_station_is_settled_with_as_little_change_as_it_takes,
     .timeout = 10)
{
    static const struct {
        struct gas_balance from, to;
    } ROWS[] = {
        /* missing: not flared, then not sold down to 100, then bought, then
         * not sold at all, then bought whatever it takes */
        {{.sales = 500, .flare = 130}, {.sales = 500, .flare = 100}},
        {{.sales = 700, .flare = 20}, {.sales = 600}},
        {{.formation = -550, .sales = 200}, {.sales = 100, .bought = 50}},
        {{.formation = -580, .sales = 200}, {.sales = 70, .bought = 50}},
        {{.formation = -680, .sales = 200}, {.bought = 80}},
        /* over: not bought, then sold up to 800, then flared */
        {{.bought = 40, .sales = 620}, {.bought = 20, .sales = 620}},
        {{.bought = 10, .sales = 500}, {.sales = 600}},
        {{.formation = 300, .sales = 500}, {.sales = 800, .flare = 100}},
    };
    struct field f = {
        .sales = {.min_sm3s = 100, .max_sm3s = 800},
        .market = {.max_sm3s = 50},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct gas_balance b = ROWS[i].from;
        b.formation += 600; /* a row tells the difference */
        account_settle(&f, &b, NULL);
        cr_expect(epsilon_eq(dbl, b.sales, ROWS[i].to.sales, 1e-9), "row %zu",
                  i);
        cr_expect(epsilon_eq(dbl, b.bought, ROWS[i].to.bought, 1e-9), "row %zu",
                  i);
        cr_expect(epsilon_eq(dbl, b.flare, ROWS[i].to.flare, 1e-9), "row %zu",
                  i);
        cr_expect(epsilon_eq(dbl, b.error, 0, 1e-9), "row %zu", i);
    }
}

/* A half-open well would do, and there is none: off it makes no gas to sell,
 * on it takes more than there is. */
Test(plan, what_only_half_a_well_could_do_is_impossible, .timeout = 10)
{
    static const double LATE[] = {400, 900}, LATE_OIL[] = {200, 260};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 2, LATE, LATE_OIL, 0, 1);
    b.field.limits.caps.lift_sm3s = builder_gas(300);
    b.field.sales.min_sm3s = builder_gas(100);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "half");
    cr_assert(eq(int, p.outcome, PLAN_IMPOSSIBLE));
    arena_release(&a);
}

Test(plan, a_locked_well_takes_its_gas_even_where_it_is_dead, .timeout = 10)
{
    static const double LATE[] = {400, 900}, LATE_OIL[] = {200, 260};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    struct field_well *w = builder_well(&b, "L", 2, LATE, LATE_OIL, 0, 0);
    builder_reading(w, 300, WELL_HELD);
    w->lift_min_sm3s = builder_gas(500);
    builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    b.field.limits.caps.lift_sm3s = builder_gas(800);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "locked");
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[0].gas_sm3s), 300, 1e-9));
    cr_expect(eq(dbl, p.well[0].oil_sm3s, 0));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[1].gas_sm3s), 500, 1e-6));
    arena_release(&a);
}

Test(plan, a_rate_that_is_not_allowed_moves_and_counts, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    struct field_well *w = builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    w->lift_min_sm3s = builder_gas(400);
    builder_reading(w, 390, WELL_FLOWING);
    b.field.limits.caps.moves = 1;
    /* Smaller than the band, yet it must. */
    b.field.limits.dead_band_sm3s = builder_gas(50);
    b.field.limits.caps.lift_sm3s = builder_gas(400);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "must move");
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[0].gas_sm3s), 400, 1e-6));
    cr_expect(eq(sz, p.n_moves, 1));
    arena_release(&a);
}

Test(plan, rates_past_a_curve_count_as_its_end_and_are_counted, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    builder_well(&b, "B", 3, GAS, OIL, 1, 1);
    double rate[] = {builder_gas(1500), builder_gas(250)};
    struct plan p;
    size_t n_beyond;
    plan_at_rates(&b.field, b.curves, rate, &a, &p, &n_beyond);
    cr_expect(eq(sz, n_beyond, 1));
    cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 600 + 300, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.lift), 1750, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.sales), 900, 1e-6));
    cr_expect(le(dbl, fabs(p.balance.error), 1e-12));
    arena_release(&a);
}

/* Formation gas 100 + 100; 100 must be sold and 300 of fuel are wanted: what
 * is missing is bought, past the 50 that may be, for the rates are given. */
Test(plan, given_rates_close_the_balance_whatever_it_takes, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    b.field.station.fuel_fraction = 0.5;
    b.field.station.fuel_from = SIDE_SUCTION;
    b.field.sales.min_sm3s = builder_gas(100);
    b.field.market.max_sm3s = builder_gas(50);
    double rate[] = {builder_gas(1000)};
    struct plan p;
    size_t n_beyond;
    plan_at_rates(&b.field, b.curves, rate, &a, &p, &n_beyond);
    /* 600 in; 500 fuel, 100 sold. */
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.bought), 0, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.sales), 100, 1e-6));
    b.field.station.fuel_fraction = 0.8;
    plan_at_rates(&b.field, b.curves, rate, &a, &p, &n_beyond);
    /* 600 in; 800 fuel: 50 bought, nothing sold, and 150 more bought. */
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.sales), 0, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.bought), 200, 1e-6));
    cr_expect(le(dbl, fabs(p.balance.error), 1e-12));
    arena_release(&a);
}

/* The same field with every volume 1e-9 to 1e9 times as large. */
Test(plan, does_not_depend_on_the_size_of_the_field, .timeout = 30)
{
    double want = 0;
    for (int power = -9; power <= 9; power += 3) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        double factor = pow(10, power);
        for (size_t i = 0; i < 5; i++) {
            double gas[3], oil[3];
            for (size_t k = 0; k < 3; k++) {
                gas[k] = (GAS[k] + 50 * (double)i) * factor;
                oil[k] = OIL[k] * (1 + 0.1 * (double)i) * factor;
            }
            static const char *const NAMES[] = {"A", "B", "C", "D", "E"};
            builder_well(&b, NAMES[i], 3, gas, oil, 1, 0.5);
        }
        b.field.limits.caps.lift_sm3s = builder_gas(2100 * factor);
        struct plan_options o = case_exact();
        struct plan p;
        struct err err = {0};
        cr_assert(
            eq(int, plan_solve(&b.field, b.curves, &o, &a, &p, &err), ST_OK));
        cr_expect(eq(int, p.outcome, PLAN_OPTIMAL), "1e%d", power);
        double oil = case_oil_stb_d(&p) / factor;
        if (want == 0)
            want = oil;
        cr_expect(epsilon_eq(dbl, oil, want, 1e-6 * want), "1e%d", power);
        arena_release(&a);
    }
}

Test(plan, money_without_an_oil_price_is_refused, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 3, GAS, OIL, 1, 1);
    struct plan_options o = plan_options_default();
    o.objective = PLAN_MONEY;
    struct plan p;
    struct err err = {0};
    cr_expect(
        eq(int, plan_solve(&b.field, b.curves, &o, &a, &p, &err), ST_INPUT));
    cr_expect(strstr(err.msg, "price of oil") != NULL);
    arena_release(&a);
}

Test(plan, a_field_without_a_live_well_has_an_empty_plan, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "dead", 0, GAS, OIL, 1, 1)->may_stop = false;
    struct plan_options o = plan_options_default();
    struct plan p = case_solve(&b, &o, "dead");
    cr_expect(eq(int, p.outcome, PLAN_OPTIMAL));
    cr_expect(eq(dbl, p.value, 0));
    cr_expect(eq(dbl, p.well[0].gas_sm3s, 0));
    b.field.n_wells = 0;
    p = case_solve(&b, &o, "no wells");
    cr_expect(eq(int, p.outcome, PLAN_OPTIMAL));
    arena_release(&a);
}
