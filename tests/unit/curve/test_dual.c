#include "curve/dual.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"

/* Arms of invented numbers: casing pressure straight between a few corners,
 * oil a parabola in gas. What two of them do together follows by hand. */
enum { CORNERS = 4, FINE = 10, MOST = CORNERS * FINE };

struct arm {
    double gas[MOST], p[MOST], oil[MOST], water[MOST], formation[MOST];
    double steady[MOST];
    size_t n;
};

struct shape {
    size_t corners;
    double gas[CORNERS], p[CORNERS];
    double oil[3]; /* oil[0] + oil[1] gas - oil[2] gas^2 */
};

/* Each straight piece in FINE parts. Steadiness is 1 + gas. */
static struct curve make_arm(const struct shape *s, struct arm *to)
{
    size_t n = (s->corners - 1) * FINE + 1, peak = 0;

    for (size_t k = 0; k < n; k++) {
        size_t i = k / FINE;
        size_t j = i + 1 < s->corners ? i + 1 : i;
        double part = (double)(k % FINE) / FINE;
        double gas = s->gas[i] + part * (s->gas[j] - s->gas[i]);

        to->gas[k] = gas;
        to->p[k] = s->p[i] + part * (s->p[j] - s->p[i]);
        to->oil[k] = s->oil[0] + gas * (s->oil[1] - gas * s->oil[2]);
        to->water[k] = to->oil[k] / 2;
        to->formation[k] = to->oil[k] * 3;
        to->steady[k] = 1 + gas;
        peak = to->oil[k] > to->oil[peak] ? k : peak;
    }
    return (struct curve){
        .well = "D-1",
        .p_head_pa = 7,
        .n = n,
        .gas_sm3s = to->gas,
        .oil_sm3s = to->oil,
        .water_sm3s = to->water,
        .formation_sm3s = to->formation,
        .p_casing_pa = to->p,
        .steady = to->steady,
        .gas_min_sm3s = to->gas[0],
        .peak = peak,
        .gas_max_sm3s = to->gas[n - 1],
        .tolerance_sm3s = 0.25,
    };
}

struct dual {
    struct arm store[2];
    struct curve arm[2], out;
    struct dual_split split;
    struct arena arena;
};

static void shape_arms(struct dual *d, const struct shape *s0,
                       const struct shape *s1)
{
    d->arm[0] = make_arm(s0, &d->store[0]);
    d->arm[1] = make_arm(s1, &d->store[1]);
    arena_init(&d->arena);
}

static void build(struct dual *d, double gas_max)
{
    struct err err = {0};

    cr_assert(eq(int,
                 curve_build_dual(d->arm, gas_max, &d->arena, &d->out,
                                  &d->split, &err),
                 ST_OK),
              "%s", err.msg);
}

/* A column of the combined curve at a total rate. */
static double read_at(const struct curve *c, const double *column, double gas)
{
    size_t k = 0;

    cr_assert(ge(dbl, gas, c->gas_sm3s[0]));
    cr_assert(le(dbl, gas, c->gas_sm3s[c->n - 1]));
    while (k + 2 < c->n && c->gas_sm3s[k + 1] <= gas)
        k++;
    if (c->n == 1)
        return column[0];
    double run = c->gas_sm3s[k + 1] - c->gas_sm3s[k];
    double part = (gas - c->gas_sm3s[k]) / run;
    return (1 - part) * column[k] + part * column[k + 1];
}

static struct curve_point arm_at(const struct curve *c, double gas)
{
    struct curve_point p = {0};
    struct err err = {0};

    cr_assert(eq(int, curve_at(c, gas, &p, &err), ST_OK), "%s", err.msg);
    return p;
}

/* At a total rate each arm has this gas, and makes what its curve says. */
static void expect_split(const struct dual *d, double total, double gas_0,
                         double gas_1, double p_pa)
{
    const struct curve *c = &d->out;
    struct curve_point p0 = arm_at(&d->arm[0], gas_0);
    struct curve_point p1 = arm_at(&d->arm[1], gas_1);

    cr_expect(
        epsilon_eq(dbl, read_at(c, d->split.gas_sm3s[0], total), gas_0, 1e-11),
        "first arm's gas at %g", total);
    cr_expect(
        epsilon_eq(dbl, read_at(c, d->split.gas_sm3s[1], total), gas_1, 1e-11),
        "second arm's gas at %g", total);
    cr_expect(epsilon_eq(dbl, read_at(c, c->p_casing_pa, total), p_pa, 1e-11),
              "casing pressure at %g", total);
    cr_expect(epsilon_eq(dbl, read_at(c, c->oil_sm3s, total),
                         p0.oil_sm3s + p1.oil_sm3s, 1e-9),
              "oil at %g", total);
    cr_expect(epsilon_eq(dbl, read_at(c, c->water_sm3s, total),
                         p0.water_sm3s + p1.water_sm3s, 1e-9),
              "water at %g", total);
    cr_expect(epsilon_eq(dbl, read_at(c, c->formation_sm3s, total),
                         p0.formation_sm3s + p1.formation_sm3s, 1e-9),
              "formation gas at %g", total);
}

/* Rising from no gas on: p = 50 + 2 gas and p = 60 + gas. */
static const struct shape LOW = {2, {0, 20}, {50, 90}, {10, 8, 0.2}};
static const struct shape HIGH = {2, {0, 20}, {60, 80}, {20, 6, 0.1}};

/* Falling first, as a lightened tubing does: least pressure 45 at 2 and 60 at
 * 4; then 2 and 1 per unit of gas. */
static const struct shape LOW_U = {3, {0, 2, 27}, {55, 45, 95}, {10, 5, 0}};
static const struct shape HIGH_U = {3, {0, 4, 24}, {90, 60, 80}, {20, 10, 0}};

/* Alone the first is at 70, where the second's curve starts, with 5. Both
 * are lifted from 60 on, with 2.5 and 4. */
static const struct shape STEEP = {2, {0, 10}, {50, 90}, {10, 5, 0}};
static const struct shape SECOND = {3, {0, 4, 24}, {70, 60, 80}, {20, 10, 0}};

Test(dual, arms_share_the_gas_at_one_casing_pressure, .timeout = 5)
{
    struct dual d;

    shape_arms(&d, &LOW, &HIGH);
    build(&d, 100);
    /* From a casing pressure p of 60 on: p - 60 and (p - 50) / 2, in all
     * 1.5 p - 85. */
    for (double p = 60; p <= 80; p += 0.37)
        expect_split(&d, 1.5 * p - 85, (p - 50) / 2, p - 60, p);
    cr_expect(eq(dbl, d.split.gas_both_sm3s, 5));
    arena_release(&d.arena);
}

Test(dual, the_arm_of_high_pressure_starves_until_the_other_needs_as_much,
     .timeout = 5)
{
    struct dual d;

    shape_arms(&d, &LOW, &HIGH);
    build(&d, 100);
    for (double gas = 0; gas <= 5; gas += 0.31)
        expect_split(&d, gas, gas, 0, 50 + 2 * gas);
    cr_expect(eq(int, d.split.starved, 1));
    /* Nothing jumps: no two points closer than the arms' own. */
    for (size_t k = 1; k < d.out.n; k++)
        cr_expect(gt(dbl, d.out.gas_sm3s[k] - d.out.gas_sm3s[k - 1], 0.01));
    arena_release(&d.arena);
}

Test(dual, an_arm_that_needs_a_least_rate_comes_in_with_a_jump, .timeout = 5)
{
    struct dual d;
    double step = TOL_CURVE_GAS * 100;

    shape_arms(&d, &LOW_U, &HIGH_U);
    build(&d, 100);
    /* At 60 both are lifted: 2 + 15 / 2 and 4. */
    cr_expect(epsilon_eq(dbl, d.split.gas_both_sm3s, 13.5, 1e-12));
    cr_expect(eq(int, d.split.starved, 1));
    expect_split(&d, 1, 1, 0, 50);
    expect_split(&d, 13.4, 13.4, 0, 45 + 2 * 11.4);
    expect_split(&d, 13.5 - step, 13.5 - step, 0, 45 + 2 * (11.5 - step));
    expect_split(&d, 13.5, 9.5, 4, 60);
    expect_split(&d, 28.5, 14.5, 14, 70);
    /* 10 + 5 * 13.5 + 20 to 10 + 5 * 9.5 + 20 + 10 * 4 */
    cr_expect(epsilon_eq(dbl,
                         read_at(&d.out, d.out.oil_sm3s, 13.5) -
                             read_at(&d.out, d.out.oil_sm3s, 13.5 - step),
                         20, 1e-2));
    size_t k = 0;
    while (d.out.gas_sm3s[k] < 13.5 - 1e-9)
        k++;
    cr_expect(epsilon_eq(dbl, d.out.gas_sm3s[k] - d.out.gas_sm3s[k - 1], step,
                         1e-12));
    arena_release(&d.arena);
}

/* Between two rates below gas_both the second arm takes what the first leaves
 * and makes no more than without gas. */
static void expect_idle(const struct dual *d, double total, double gas_0,
                        double p_pa)
{
    const struct curve *c = &d->out;
    double oil =
        arm_at(&d->arm[0], gas_0).oil_sm3s + arm_at(&d->arm[1], 0).oil_sm3s;

    cr_expect(
        epsilon_eq(dbl, read_at(c, d->split.gas_sm3s[0], total), gas_0, 1e-11),
        "first arm's gas at %g", total);
    cr_expect(epsilon_eq(dbl, read_at(c, d->split.gas_sm3s[1], total),
                         total - gas_0, 1e-11),
              "second arm's gas at %g", total);
    cr_expect(epsilon_eq(dbl, read_at(c, c->p_casing_pa, total), p_pa, 1e-11),
              "casing pressure at %g", total);
    cr_expect(epsilon_eq(dbl, read_at(c, c->oil_sm3s, total), oil, 1e-9),
              "oil at %g", total);
}

Test(dual, gas_that_an_arm_takes_before_it_is_lifted_lifts_nothing,
     .timeout = 5)
{
    /* Its curve ends with 6, before both are lifted, with 2.5 and 4. */
    static const struct shape SHORT = {2, {0, 6}, {50, 74}, {10, 5, 0}};
    static const struct shape HEAVY = {
        3, {0, 4, 24}, {90, 60, 80}, {20, 10, 0}};
    struct dual d;

    shape_arms(&d, &STEEP, &SECOND);
    build(&d, 100);
    expect_split(&d, 4.9, 4.9, 0, 50 + 4 * 4.9);
    expect_split(&d, 5, 5, 0, 70);
    expect_idle(&d, 5.75, 5, 70);
    expect_idle(&d, 6.5 - 1e-4, 5, 70);
    expect_split(&d, 6.5, 2.5, 4, 60);
    cr_expect(lt(dbl, read_at(&d.out, d.out.steady, 6.4), 1));
    arena_release(&d.arena);

    shape_arms(&d, &SHORT, &HEAVY);
    build(&d, 100);
    expect_split(&d, 6, 6, 0, 74);
    expect_idle(&d, 6.25, 6, 74);
    expect_split(&d, 6.5, 2.5, 4, 60);
    arena_release(&d.arena);
}

Test(dual, pressure_that_falls_at_greater_rates_is_counted_level, .timeout = 5)
{
    /* Up to 60 at 4, down to 50 at 5: from 2 on, where it is 50 first, it
     * counts 50. */
    static const struct shape DIP = {
        4, {0, 4, 5, 10}, {40, 60, 50, 70}, {0, 5, 0}};
    static const struct shape PLAIN = {2, {0, 40}, {40, 80}, {0, 5, 0}};
    struct dual d;

    shape_arms(&d, &DIP, &PLAIN);
    build(&d, 100);
    expect_split(&d, 1.6 + 8, 1.6, 8, 48);
    expect_split(&d, 12, 2, 10, 50);
    expect_split(&d, 13.5, 3.5, 10, 50);
    expect_split(&d, 15, 5, 10, 50);
    expect_split(&d, 25, 7, 18, 58);
    arena_release(&d.arena);
}

Test(dual, gas_of_the_arms_adds_up_on_many_wells, .timeout = 60)
{
    uint64_t seed = 1;

    for (int i = 0; i < 300; i++) {
        struct shape s[2];
        struct dual d;

        for (int j = 0; j < 2; j++) {
            double u[8];

            for (int k = 0; k < 8; k++) {
                seed = seed * 6364136223846793005u + 1442695040888963407u;
                u[k] = (double)(seed >> 11) / 9007199254740992.0;
            }
            double threshold = u[0] < 0.3 ? 4 * u[1] : 0;
            double least = threshold + 6 * u[2], p = 40 + 40 * u[3];
            s[j] =
                (struct shape){3,
                               {threshold, least + 0.1, least + 30 * u[4] + 1},
                               {p + 20 * u[5], p, p + 40 * u[6] + 1},
                               {5, 5, 0.1 * u[7]}};
        }
        shape_arms(&d, &s[0], &s[1]);
        build(&d, 60);
        const struct curve *c = &d.out;
        for (size_t k = 0; k < c->n; k++) {
            double gas[2] = {d.split.gas_sm3s[0][k], d.split.gas_sm3s[1][k]};
            bool both = c->gas_sm3s[k] >= d.split.gas_both_sm3s - 1e-9;
            double oil = 0;

            for (int j = 0; j < 2; j++) {
                bool starved = !both && d.split.starved == j;

                oil += arm_at(&d.arm[j], starved ? 0 : gas[j]).oil_sm3s;
                if (both)
                    cr_expect(epsilon_eq(dbl,
                                         read_at(&d.arm[j],
                                                 d.arm[j].p_casing_pa, gas[j]),
                                         c->p_casing_pa[k], 1e-9),
                              "pair %d, point %zu, arm %d", i, k, j);
            }
            cr_expect(
                epsilon_eq(dbl, gas[0] + gas[1], c->gas_sm3s[k], 1e-12 * 60),
                "pair %d, point %zu", i, k);
            cr_expect(epsilon_eq(dbl, c->oil_sm3s[k], oil, 1e-9),
                      "pair %d, point %zu", i, k);
            cr_expect(k == 0 || c->gas_sm3s[k] > c->gas_sm3s[k - 1],
                      "pair %d, point %zu", i, k);
            cr_expect(le(dbl, c->oil_sm3s[k], c->oil_sm3s[c->peak]),
                      "pair %d, point %zu", i, k);
        }
        arena_release(&d.arena);
    }
}

static void expect_same(const double *a, const double *b, size_t n)
{
    cr_expect(eq(int, memcmp(a, b, n * sizeof a[0]), 0));
}

static void expect_same_curve(const struct curve *a, const struct curve *b)
{
    cr_assert(eq(sz, a->n, b->n));
    expect_same(a->gas_sm3s, b->gas_sm3s, a->n);
    expect_same(a->oil_sm3s, b->oil_sm3s, a->n);
    expect_same(a->water_sm3s, b->water_sm3s, a->n);
    expect_same(a->formation_sm3s, b->formation_sm3s, a->n);
    expect_same(a->p_casing_pa, b->p_casing_pa, a->n);
    expect_same(a->steady, b->steady, a->n);
    expect_same(&a->gas_min_sm3s, &b->gas_min_sm3s, 1);
    cr_expect(eq(int, (int)a->end, (int)b->end));
    cr_expect(eq(int, (int)a->start, (int)b->start));
}

Test(dual, swapped_arms_swap_their_gas_and_repeats_are_bit_equal, .timeout = 5)
{
    static const struct shape *const PAIR[][2] = {
        {&LOW, &HIGH}, {&LOW_U, &HIGH_U}, {&LOW, &HIGH_U}, {&LOW_U, &HIGH}};

    for (size_t i = 0; i < sizeof PAIR / sizeof PAIR[0]; i++) {
        struct dual d, again, swapped;

        shape_arms(&d, PAIR[i][0], PAIR[i][1]);
        shape_arms(&again, PAIR[i][0], PAIR[i][1]);
        shape_arms(&swapped, PAIR[i][1], PAIR[i][0]);
        build(&d, 40);
        build(&again, 40);
        build(&swapped, 40);
        expect_same_curve(&d.out, &again.out);
        expect_same_curve(&d.out, &swapped.out);
        for (int j = 0; j < 2; j++) {
            expect_same(d.split.gas_sm3s[j], again.split.gas_sm3s[j], d.out.n);
            expect_same(d.split.gas_sm3s[j], swapped.split.gas_sm3s[1 - j],
                        d.out.n);
        }
        cr_expect(eq(int, d.split.starved, 1));
        cr_expect(eq(int, swapped.split.starved, 0));
        arena_release(&d.arena);
        arena_release(&again.arena);
        arena_release(&swapped.arena);
    }
}

Test(dual, equal_arms_lifted_together_are_twice_one, .timeout = 5)
{
    struct dual d;

    shape_arms(&d, &LOW_U, &LOW_U);
    build(&d, 100);
    cr_expect(eq(dbl, d.split.gas_both_sm3s, 4));
    for (double gas = 4; gas <= 54; gas += 1.3)
        expect_split(&d, gas, gas / 2, gas / 2, 45 + 2 * (gas / 2 - 2));
    cr_expect(eq(dbl, d.out.gas_max_sm3s, 54));
    arena_release(&d.arena);

    shape_arms(&d, &LOW, &LOW);
    build(&d, 100);
    cr_expect(eq(dbl, d.split.gas_both_sm3s, 0));
    cr_expect(eq(int, d.split.starved, -1));
    expect_split(&d, 0, 0, 0, 50);
    expect_split(&d, 16, 8, 8, 66);
    arena_release(&d.arena);
}

Test(dual, arms_equal_but_for_rounding_have_no_points_on_each_other,
     .timeout = 5)
{
    static const struct shape NEAR = {
        2, {0, 20}, {50, 90 + 1e-9}, {10, 8, 0.2}};
    struct dual d;

    shape_arms(&d, &LOW, &NEAR);
    build(&d, 100);
    for (size_t k = 1; k < d.out.n; k++)
        cr_expect(gt(dbl, d.out.gas_sm3s[k] - d.out.gas_sm3s[k - 1],
                     0.5 * TOL_CURVE_GAS * 100),
                  "point %zu", k);
    arena_release(&d.arena);
}

Test(dual, beside_an_arm_that_is_dead_at_every_rate_the_other_takes_all,
     .timeout = 5)
{
    for (int dead = 0; dead < 2; dead++) {
        struct dual d;

        shape_arms(&d, &LOW_U, &LOW_U);
        d.arm[dead] = (struct curve){.well = "D-2", .gas_max_sm3s = 9};
        d.arm[1 - dead].end = CURVE_END_ANNULUS;
        build(&d, 100);
        cr_assert(eq(sz, d.out.n, d.arm[1 - dead].n));
        expect_same(d.out.gas_sm3s, d.arm[1 - dead].gas_sm3s, d.out.n);
        expect_same(d.out.oil_sm3s, d.arm[1 - dead].oil_sm3s, d.out.n);
        expect_same(d.out.p_casing_pa, d.arm[1 - dead].p_casing_pa, d.out.n);
        cr_expect(eq(int, d.split.starved, dead));
        cr_expect(isinf(d.split.gas_both_sm3s));
        cr_expect(eq(dbl, d.split.gas_sm3s[dead][d.out.n - 1], 0));
        cr_expect(eq(int, (int)d.out.end, CURVE_END_ANNULUS));
        arena_release(&d.arena);
    }
}

Test(dual, of_two_dead_arms_is_dead_up_to_its_maximum, .timeout = 5)
{
    struct dual d;

    shape_arms(&d, &LOW, &LOW);
    d.arm[0] = d.arm[1] = (struct curve){.well = "D-2", .gas_max_sm3s = 9};
    build(&d, 12);
    cr_expect(eq(sz, d.out.n, 0));
    cr_expect(eq(dbl, d.out.gas_max_sm3s, 12));
    arena_release(&d.arena);
}

Test(dual, gas_below_an_arms_threshold_lifts_nothing, .timeout = 5)
{
    /* Dead below 3, at the lowest pressure of the two. */
    static const struct shape WEAK = {2, {3, 23}, {40, 60}, {1, 5, 0}};
    double step = TOL_CURVE_GAS * 20;
    struct dual d;

    shape_arms(&d, &WEAK, &HIGH_U);
    build(&d, 20);
    cr_expect(eq(dbl, d.out.gas_sm3s[0], 0));
    expect_split(&d, 0, 0, 0, 40);
    expect_split(&d, 2, 2, 0, 40);
    cr_expect(eq(dbl, read_at(&d.out, d.out.oil_sm3s, 2), 20));
    cr_expect(eq(dbl, read_at(&d.out, d.out.steady, 2), 0));
    cr_expect(
        epsilon_eq(dbl, read_at(&d.out, d.out.oil_sm3s, 3 - step), 20, 1e-9));
    expect_split(&d, 3, 3, 0, 40);
    cr_expect(epsilon_eq(dbl, d.out.gas_min_sm3s, 3, 1e-12));
    arena_release(&d.arena);

    /* Beside a dead one: flow starts at the threshold. */
    shape_arms(&d, &WEAK, &WEAK);
    build(&d, 20);
    cr_expect(eq(dbl, d.out.gas_sm3s[0], 3));
    cr_expect(eq(dbl, d.split.gas_both_sm3s, 6));
    expect_idle(&d, 5, 3, 40);
    expect_split(&d, 8, 4, 4, 41);
    arena_release(&d.arena);
}

Test(dual, ends_where_the_first_arm_ends_and_gives_its_reason, .timeout = 5)
{
    /* Never lifted together: the second ends at 38, the first needs 45. Its
     * curve starts at 60; the first is there with 9.5. */
    static const struct shape APART = {3, {0, 2, 4}, {60, 34, 38}, {20, 10, 0}};
    /* Never lifted together: the second needs 100. */
    static const struct shape ABOVE = {2, {0, 5}, {100, 110}, {20, 10, 0}};
    static const struct {
        const struct shape *arm[2];
        double gas_max, last;
        enum curve_end end;
    } ROWS[] = {
        {{&LOW, &HIGH}, 100, 35, CURVE_END_HEADER},
        {{&HIGH, &LOW}, 100, 35, CURVE_END_ANNULUS},
        {{&LOW, &HIGH}, 22, 22, CURVE_END_MAXIMUM},
        {{&LOW, &HIGH}, 3.3, 3.3, CURVE_END_MAXIMUM},
        {{&LOW_U, &HIGH_U}, 13.4, 13.4, CURVE_END_MAXIMUM},
        {{&LOW, &HIGH}, 0, 0, CURVE_END_MAXIMUM},
        {{&LOW, &HIGH}, 4, 4, CURVE_END_MAXIMUM},
        {{&STEEP, &SECOND}, 6, 6, CURVE_END_MAXIMUM},
        {{&LOW_U, &APART}, 100, 9.5, CURVE_END_HEADER},
        {{&LOW_U, &ABOVE}, 100, 27, CURVE_END_ANNULUS},
    };

    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct dual d;

        shape_arms(&d, ROWS[i].arm[0], ROWS[i].arm[1]);
        d.arm[0].end = CURVE_END_ANNULUS;
        d.arm[1].end = CURVE_END_HEADER;
        build(&d, ROWS[i].gas_max);
        cr_assert(ge(sz, d.out.n, 1), "row %zu", i);
        cr_expect(
            epsilon_eq(dbl, d.out.gas_sm3s[d.out.n - 1], ROWS[i].last, 1e-12),
            "row %zu", i);
        cr_expect(eq(dbl, d.out.gas_max_sm3s, d.out.gas_sm3s[d.out.n - 1]),
                  "row %zu", i);
        cr_expect(eq(int, (int)d.out.end, (int)ROWS[i].end), "row %zu", i);
        for (size_t k = 1; k < d.out.n; k++)
            cr_expect(lt(dbl, d.out.gas_sm3s[k - 1], d.out.gas_sm3s[k]),
                      "row %zu, point %zu", i, k);
        arena_release(&d.arena);
    }
}

Test(dual, both_arms_have_their_least_rates_at_the_least_rate, .timeout = 5)
{
    static const struct shape ABOVE = {2, {0, 5}, {100, 110}, {20, 10, 0}};
    /* Of LOW_U and HIGH_U together: 11 is at 63, where the other has 7;
     * 6 is at 62, where the other has 10.5. */
    static const struct {
        const struct shape *second;
        double own[2], least;
        enum curve_start start;
    } ROWS[] = {
        {&HIGH_U, {0, 0}, 13.5, CURVE_START_CASING},
        {&HIGH_U, {11, 6}, 18, CURVE_START_STEADY},
        {&HIGH_U, {9.6, 0}, 13.8, CURVE_START_STEADY},
        {&HIGH_U, {10, 6}, 16.5, CURVE_START_FLOW},
        {&HIGH_U, {11, 25}, (double)INFINITY, CURVE_START_FLOW},
        {&ABOVE, {7, 1}, 7, CURVE_START_STEADY},
        {&ABOVE, {0, 1}, 0, CURVE_START_FLOW},
    };

    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct dual d;

        shape_arms(&d, &LOW_U, ROWS[i].second);
        for (int j = 0; j < 2; j++) {
            d.arm[j].gas_min_sm3s = ROWS[i].own[j];
            d.arm[j].start = j == 0 ? CURVE_START_STEADY : CURVE_START_FLOW;
        }
        build(&d, 100);
        if (isinf(ROWS[i].least))
            cr_expect(gt(dbl, d.out.gas_min_sm3s, d.out.gas_sm3s[d.out.n - 1]),
                      "row %zu", i);
        else
            cr_expect(epsilon_eq(dbl, d.out.gas_min_sm3s, ROWS[i].least, 1e-11),
                      "row %zu", i);
        cr_expect(eq(int, (int)d.out.start, (int)ROWS[i].start), "row %zu", i);
        arena_release(&d.arena);
    }
}

Test(dual, is_as_steady_as_the_less_steady_lifted_arm, .timeout = 5)
{
    struct dual d;

    shape_arms(&d, &LOW_U, &HIGH_U);
    /* Critical flow through the first arm's port from one point on. */
    for (size_t k = 15; k < d.arm[0].n; k++)
        d.store[0].steady[k] = (double)INFINITY;
    build(&d, 100);
    /* Steadiness is 1 + gas: the second's 4 at the jump, then the second's;
     * alone the first's, of which between a finite and an infinite one the
     * finite counts. */
    cr_expect(epsilon_eq(dbl, read_at(&d.out, d.out.steady, 1), 2, 1e-9));
    cr_expect(epsilon_eq(dbl, read_at(&d.out, d.out.steady, 13), 13, 1e-9));
    cr_expect(epsilon_eq(dbl, read_at(&d.out, d.out.steady, 13.5), 5, 1e-9));
    cr_expect(epsilon_eq(dbl, read_at(&d.out, d.out.steady, 28.5), 15, 1e-9));
    arena_release(&d.arena);
}

Test(dual, sums_the_tolerances_and_keeps_what_both_arms_have, .timeout = 5)
{
    struct dual d;

    shape_arms(&d, &LOW, &HIGH);
    build(&d, 100);
    cr_expect(eq(dbl, d.out.tolerance_sm3s, 0.5));
    cr_expect(eq(dbl, d.out.p_head_pa, 7));
    cr_expect(d.out.p_bottom_pa == NULL && d.out.p_inject_pa == NULL);
    d.arm[1].p_head_pa = 8;
    build(&d, 100);
    cr_expect(eq(dbl, d.out.p_head_pa, 0));
    arena_release(&d.arena);
}

Test(dual, refuses_an_arm_without_casing_pressure_and_a_wrong_maximum,
     .timeout = 5)
{
    static const double WRONG[] = {-1, (double)NAN, (double)INFINITY};
    struct dual d;
    struct err err = {0};

    shape_arms(&d, &LOW, &HIGH);
    for (size_t i = 0; i < sizeof WRONG / sizeof WRONG[0]; i++)
        cr_expect(eq(int,
                     curve_build_dual(d.arm, WRONG[i], &d.arena, &d.out,
                                      &d.split, &err),
                     ST_RANGE),
                  "row %zu", i);
    d.arm[1].p_casing_pa = NULL;
    d.arm[1].well = "D-1 short";
    cr_expect(eq(int,
                 curve_build_dual(d.arm, 100, &d.arena, &d.out, &d.split, &err),
                 ST_RANGE));
    cr_expect(strstr(err.msg, "D-1 short") != NULL, "%s", err.msg);
    arena_release(&d.arena);
}
