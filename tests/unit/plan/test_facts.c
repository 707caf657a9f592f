/* Facts that hold for every division of gas, whatever the solver. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "support/dice.h"
#include "support/plan_case.h"
#include "support/random_field.h"

/* Problem C1 (tests/problems): q = a + b x - c x^2, five concave wells. */
#define C1_WELLS 5
static const double C1[C1_WELLS][3] = {
    {200, 0.8, 0.0003}, {150, 0.6, 0.0002}, {100, 0.5, 0.00015},
    {120, 0.4, 0.0002}, {80, 0.3, 0.0001},
};
#define C1_END 1700
#define C1_POINTS_MOST 351

static void build_C1(struct builder *b, int step)
{
    for (size_t i = 0; i < C1_WELLS; i++) {
        double gas[C1_POINTS_MOST], oil[C1_POINTS_MOST];
        size_t n = 0;
        for (int x = 0; x <= C1_END; x += step, n++) {
            gas[n] = x;
            oil[n] = C1[i][0] + C1[i][1] * x - C1[i][2] * x * x;
        }
        char name[32];
        snprintf(name, sizeof name, "%zu", i + 1);
        builder_well(b, name, n, gas, oil, 0, 0);
    }
}

/* C2: see test_constructed.c. */
static void build_C2(struct builder *b)
{
    static const double GAS_A[] = {500, 800, 1200}, OIL_A[] = {250, 310, 350};
    static const double GAS_B[] = {900, 1300, 1800}, OIL_B[] = {500, 600, 660};
    static const double GAS_C[] = {0, 200, 600, 1200},
                        OIL_C[] = {120, 220, 320, 380};
    builder_well(b, "A", 3, GAS_A, OIL_A, 0, 0);
    builder_well(b, "B", 3, GAS_B, OIL_B, 0, 0);
    builder_well(b, "C", 4, GAS_C, OIL_C, 0, 0);
}

static struct plan solve_with_gas(struct builder *b, double mscf_d)
{
    char label[64];
    snprintf(label, sizeof label, "%g Mscf/d", mscf_d);
    b->field.limits.caps.lift_sm3s = builder_gas(mscf_d);
    struct plan_options o = case_exact();
    return case_solve(b, &o, label);
}

static double oil_with_gas(struct builder *b, double mscf_d)
{
    struct plan p = solve_with_gas(b, mscf_d);
    return case_oil_stb_d(&p);
}

/* Price of lift gas, stb per Mscf. */
static double price_of(const struct plan *p)
{
    return p->gas_price_oil * builder_gas(1) / builder_oil(1);
}

static void random_small(struct builder *b, uint64_t seed, size_t n_wells)
{
    struct random_field_options o = random_field_hard(n_wells);
    random_field(seed, &o, b);
}

/* Closed form at the table's points 5 Mscf/d apart: a table under-reads by at
 * most c (5/2)^2 = 0.002 stb/d a well. */
Test(facts, T0_concave_wells_meet_the_closed_form, .timeout = 30)
{
    static const struct {
        double gas, oil;
    } ROWS[] = {
        {0, 650},     {500, 980},   {1000, 1233.333333}, {1500, 1450},
        {2500, 1800}, {4000, 2175}, {5000, 2341.666667}, {6000, 2441.666667},
        {7000, 2475}, {8000, 2475},
    };
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C1(&b, 5);
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        cr_expect(
            epsilon_eq(dbl, oil_with_gas(&b, ROWS[i].gas), ROWS[i].oil, 0.01),
            "row %zu", i);
    arena_release(&a);
}

Test(facts, T1_every_plan_keeps_its_limits_on_300_random_fields, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 300; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        random_small(&b, seed, 3 + seed % 30);
        char label[32];
        snprintf(label, sizeof label, "seed %d", (int)seed);
        struct plan_options o = case_exact();
        struct plan p = case_solve(&b, &o, label); /* verifies */
        cr_expect(ne(int, p.outcome, PLAN_IMPOSSIBLE), "%s", label);
        arena_release(&a);
    }
}

/* Left slope >= price >= right slope, where the well's manifold is not at its
 * limit and the well runs above its minimum. */
Test(facts, T2_wells_inside_a_smooth_part_share_the_price, .timeout = 60)
{
    size_t n_checked = 0;
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C1(&b, 10);
    for (double gas = 600; gas < 7000; gas += 700) {
        struct plan p = solve_with_gas(&b, gas);
        for (size_t i = 0; i < C1_WELLS; i++) {
            double x = builder_mscf_d(p.well[i].gas_sm3s);
            double slope = C1[i][1] - 2 * C1[i][2] * x;
            double slack = 2 * C1[i][2] * 10;
            if (x > 0)
                cr_expect(le(dbl, price_of(&p), slope + slack),
                          "%g Mscf/d, well %zu", gas, i);
            cr_expect(le(dbl, slope - slack, price_of(&p)),
                      "%g Mscf/d, well %zu", gas, i);
            n_checked++;
        }
    }
    cr_assert(ge(sz, n_checked, 45));
    arena_release(&a);
}

Test(facts, T3_more_gas_never_lowers_the_oil, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        random_small(&b, seed, 12);
        double before = -1;
        for (double gas = 0; gas <= 12000; gas += 500) {
            double oil = oil_with_gas(&b, gas);
            cr_expect(le(dbl, before - 1e-6, oil), "seed %d, %g Mscf/d",
                      (int)seed, gas);
            before = oil;
        }
        arena_release(&a);
    }
}

Test(facts, T4_with_concave_curves_the_price_never_rises_with_gas,
     .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C1(&b, 10);
    double before = 10;
    for (double gas = 100; gas <= 8000; gas += 100) {
        struct plan p = solve_with_gas(&b, gas);
        cr_expect(le(dbl, price_of(&p), before + 1e-9), "%g Mscf/d", gas);
        before = price_of(&p);
    }
    arena_release(&a);
}

/* Exact slopes of the closed form: 0.3 at 2,500 and 0.2 at 4,000 Mscf/d; on a
 * table the price is the slope of a line, 2 c step around it. */
Test(facts, T5_the_price_is_the_slope_of_oil_against_gas, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C1(&b, 5);
    struct plan p = solve_with_gas(&b, 2500);
    cr_expect(epsilon_eq(dbl, price_of(&p), 0.3, 0.003));
    p = solve_with_gas(&b, 4000);
    cr_expect(epsilon_eq(dbl, price_of(&p), 0.2, 0.003));
    /* A finite difference, off the tables' corners. */
    p = solve_with_gas(&b, 2502.3);
    double rise = oil_with_gas(&b, 2502.4) - oil_with_gas(&b, 2502.2);
    cr_expect(epsilon_eq(dbl, price_of(&p), rise / 0.2, 1e-6));
    arena_release(&a);
}

/* Peaks together take 7,000 Mscf/d and make 2,475 stb/d. */
Test(facts, T6_past_all_peaks_gas_is_left_and_worth_nothing, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C1(&b, 5);
    struct plan p = solve_with_gas(&b, 8000);
    cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 2475, 0.01));
    cr_expect(eq(dbl, price_of(&p), 0));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.lift), 7000, 15));
    arena_release(&a);
}

Test(facts, T7_no_well_runs_past_its_peak_unless_its_minimum_forces_it,
     .timeout = 30)
{
    static const double GAS[] = {0, 100, 200, 300}, OIL[] = {10, 90, 80, 60};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "free", 4, GAS, OIL, 0, 0);
    struct field_well *forced = builder_well(&b, "forced", 4, GAS, OIL, 0, 0);
    forced->lift_min_sm3s = builder_gas(250);
    forced->may_stop = false;
    struct plan p = solve_with_gas(&b, 1000);
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[0].gas_sm3s), 100, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[1].gas_sm3s), 250, 1e-6));
    cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 90 + 70, 1e-6));
    arena_release(&a);
}

/* 50 $/stb and 5 $/Mscf: slope 0.1, 5,500 Mscf/d, 2,400 stb/d, 92,500 $/d by
 * the closed form; more gas changes nothing. */
Test(facts, T8_money_stops_where_the_slope_is_cost_over_price, .timeout = 30)
{
    static const double GAS[] = {5500, 6000, 9000};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C1(&b, 5);
    b.field.prices = (struct field_prices){
        .given = true,
        .oil_sm3 = 50 / (builder_oil(1) * UNIT_DAY_S),
        .compression_sm3 = 5 / (builder_gas(1) * UNIT_DAY_S),
    };
    struct plan_options o = case_exact();
    o.objective = PLAN_MONEY;
    for (size_t i = 0; i < sizeof GAS / sizeof GAS[0]; i++) {
        b.field.limits.caps.lift_sm3s = builder_gas(GAS[i]);
        struct plan p = case_solve(&b, &o, "money");
        cr_expect(epsilon_eq(dbl, p.money_s * UNIT_DAY_S, 92500, 1));
        cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 2400, 3));
        cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.lift), 5500, 25));
        /* The last gas is worth what its compression costs, and no limit is
         * worth anything. */
        double cost = b.field.prices.compression_sm3;
        cr_expect(epsilon_eq(dbl, p.gas_price_money, cost, 1e-12));
        cr_expect(epsilon_eq(dbl, p.limit[0].price, 0, 1e-12));
    }
    arena_release(&a);
}

/* Where the oil rises with gas, no less gas makes the same oil. */
Test(facts, T9_a_plan_takes_no_more_gas_than_its_oil_needs, .timeout = 30)
{
    static const double GAS[] = {2500, 4000};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C1(&b, 5);
    for (size_t i = 0; i < 2; i++) {
        double oil = oil_with_gas(&b, GAS[i]);
        cr_expect(lt(dbl, oil_with_gas(&b, GAS[i] - 1), oil - 0.1));
    }
    arena_release(&a);
}

/* The same wells in another order, under the same names. */
static void add_in_order(struct builder *b, const struct builder *from,
                         const size_t *order)
{
    for (size_t i = 0; i < from->field.n_wells; i++) {
        b->curves[i] = from->curves[order[i]];
        b->field.well[i] = from->field.well[order[i]];
    }
    b->field.n_wells = from->field.n_wells;
    b->field.limits = from->field.limits;
    b->field.groups[GROUP_MANIFOLD] = from->field.groups[GROUP_MANIFOLD];
}

Test(facts, T10_the_order_of_wells_does_not_change_a_bit_of_the_plan,
     .timeout = 60)
{
    enum { N = 25 };
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    struct random_field_options ro = random_field_hard(N);
    ro.has_readings = true;
    random_field(7, &ro, &b);
    b.field.limits.caps.moves = 9;
    struct plan_options o = case_exact();
    struct plan first = case_solve(&b, &o, "in order");
    cr_assert(ge(sz, first.n_moves, 1));

    struct dice d = {99};
    for (int shuffle = 0; shuffle < 20; shuffle++) {
        size_t order[N];
        for (size_t i = 0; i < N; i++)
            order[i] = i;
        for (size_t i = N - 1; i > 0; i--) {
            size_t k = dice_index(&d, i + 1), other = order[k];
            order[k] = order[i];
            order[i] = other;
        }
        struct builder other;
        builder_init(&other, &a);
        add_in_order(&other, &b, order);
        struct plan p = case_solve(&other, &o, "shuffled");
        cr_expect(eq(dbl, p.value, first.value), "shuffle %d", shuffle);
        cr_expect(eq(dbl, p.bound, first.bound), "shuffle %d", shuffle);
        for (size_t i = 0; i < N; i++)
            cr_expect(memcmp(&p.well[i].gas_sm3s,
                             &first.well[order[i]].gas_sm3s,
                             sizeof(double)) == 0,
                      "shuffle %d, well %zu", shuffle, i);
        cr_expect(memcmp(&p.balance, &first.balance, sizeof p.balance) == 0,
                  "shuffle %d", shuffle);
    }
    arena_release(&a);
}

Test(facts, T10_adding_a_well_never_lowers_the_oil, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        random_small(&b, seed, 9);
        double all = oil_with_gas(&b, 2000);
        b.field.n_wells--;
        cr_expect(le(dbl, oil_with_gas(&b, 2000), all + 1e-6), "seed %d",
                  (int)seed);
        arena_release(&a);
    }
}

Test(facts, T10_two_copies_and_double_gas_give_at_least_double_oil,
     .timeout = 60)
{
    for (double gas = 100; gas < 3000; gas += 150) {
        struct arena a;
        arena_init(&a);
        struct builder once, twice;
        builder_init(&once, &a);
        build_C2(&once);
        builder_init(&twice, &a);
        build_C2(&twice);
        build_C2(&twice);
        static const char *const COPIES[] = {"A2", "B2", "C2"};
        for (size_t i = 0; i < 3; i++)
            twice.field.well[3 + i].name = COPIES[i];
        cr_expect(le(dbl, 2 * oil_with_gas(&once, gas) - 1e-6,
                     oil_with_gas(&twice, 2 * gas)),
                  "%g Mscf/d", gas);
        arena_release(&a);
    }
}

/* C2 at 899 Mscf/d: envelopes promise 619.44, the optimum is 519.75; only the
 * whole numbers close it. */
Test(facts, T11_the_proof_closes_what_envelopes_leave_open, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C2(&b);
    struct plan p = solve_with_gas(&b, 899);
    cr_expect(epsilon_eq(dbl, builder_stb_d(p.bound), 519.75, 1e-3));
    cr_expect(eq(int, p.outcome, PLAN_OPTIMAL));
    arena_release(&a);
}

/* C2: from 899 to 900 Mscf/d well A goes from 500 to 0 and C from 399 to 0. */
Test(facts, T12_with_on_off_wells_more_gas_can_take_gas_from_a_well,
     .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C2(&b);
    struct plan p = solve_with_gas(&b, 899);
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[0].gas_sm3s), 500, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[2].gas_sm3s), 399, 1e-6));
    p = solve_with_gas(&b, 900);
    cr_expect(eq(dbl, p.well[0].gas_sm3s, 0));
    cr_expect(eq(dbl, p.well[2].gas_sm3s, 0));
    arena_release(&a);
}

static bool is_table_point(const struct curve *c, double gas_sm3s)
{
    if (gas_sm3s == 0)
        return true;
    for (size_t i = 0; i < c->n; i++)
        if (fabs(c->gas_sm3s[i] - gas_sm3s) <= 1e-9 * gas_sm3s)
            return true;
    return false;
}

Test(facts, T13_with_one_limit_at_most_one_well_is_off_a_table_point,
     .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 30; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        random_small(&b, seed, 40);
        for (size_t i = 0; i < b.field.n_wells; i++)
            b.field.well[i].lift_min_sm3s = 0;
        b.field.limits.caps.water_sm3s = (double)INFINITY;
        for (size_t m = 0; m < b.field.groups[GROUP_MANIFOLD].n; m++)
            b.field.groups[GROUP_MANIFOLD].group[m].caps.lift_sm3s =
                (double)INFINITY;
        struct plan p = solve_with_gas(&b, 9000);
        size_t n_off = 0;
        for (size_t i = 0; i < p.n_wells; i++)
            n_off += !is_table_point(&b.curves[i], p.well[i].gas_sm3s);
        cr_expect(le(sz, n_off, 1), "seed %d: %zu", (int)seed, n_off);
        arena_release(&a);
    }
}

Test(facts, T14_a_coarse_table_of_a_concave_curve_under_reads, .timeout = 20)
{
    static const struct {
        int step;
        double oil;
    } ROWS[] = {{500, 1762.5}, {250, 1796.9}, {125, 1799.2}, {50, 1799.9}};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        build_C1(&b, ROWS[i].step);
        double oil = oil_with_gas(&b, 2500);
        cr_expect(epsilon_eq(dbl, oil, ROWS[i].oil, 0.06), "step %d",
                  ROWS[i].step);
        cr_expect(lt(dbl, oil, 1800));
        arena_release(&a);
    }
}

/* A claim above the optimum of the same table and gas is refused by the
 * proof: the bound is below it. */
Test(facts, T16_no_plan_can_claim_more_than_the_bound, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C2(&b);
    struct plan p = solve_with_gas(&b, 1400);
    cr_expect(lt(dbl, builder_stb_d(p.bound), 870.001));
    cr_expect(le(dbl, p.value, p.bound));
    arena_release(&a);
}
