#include "curve/intermittent.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "num/tol.h"
#include "support/sample_wells.h"

TestSuite(intermittent_curve, .timeout = 120);

/* The sample wells as they are near their end: less reservoir pressure, a
 * tenth of the productivity, 80 psi at the wellhead; 900 psi in the casing. */
struct weak {
    struct sample_well sample;
    struct intermittent how;
    struct arena arena;
    struct curve curve;
};

#define GAS_MAX (5000 * MSCF_D)
#define DAY_S 86400.0

static void weaken(struct weak *k, size_t i)
{
    struct well *w = &k->sample.well;

    sample_well(i, &k->sample);
    arena_init(&k->arena);
    w->p_head_pa = 80 * PSI;
    w->inflow.p_res_pa *= 0.6;
    w->inflow.p_bubble_pa *= 0.6;
    w->inflow.j_sm3spa *= 0.1;
    w->inflow.c_sm3s_pa2n *= 0.1;
    k->how = intermittent_default(600 * MSCF_D);
    k->how.p_casing_pa = 900 * PSI;
}

static const struct curve *build(struct weak *k, double gas_max)
{
    struct err err = {0};

    cr_assert(eq(int,
                 curve_build_intermittent(&k->sample.well, &k->how, gas_max,
                                          &k->arena, &k->curve, &err),
                 ST_OK),
              "%s", err.msg);
    return &k->curve;
}

static struct intermittent_cycle cycle_at(const struct weak *k, double gas)
{
    struct intermittent_cycle c;
    struct err err = {0};

    cr_assert(
        eq(int, curve_cycle_at(&k->sample.well, &k->how, gas, &c, &err), ST_OK),
        "%s", err.msg);
    return c;
}

static struct intermittent_well prepared(const struct weak *k)
{
    struct intermittent_well x;
    struct err err = {0};

    cr_assert(eq(int, intermittent_prepare(&k->sample.well, &k->how, &x, &err),
                 ST_OK),
              "%s", err.msg);
    return x;
}

static struct intermittent_cycle of_period(const struct weak *k, double s)
{
    struct intermittent_well x = prepared(k);
    struct intermittent_cycle c;
    struct err err = {0};

    cr_assert(eq(int, intermittent_of_period(&x, s, &c, &err), ST_OK), "%s",
              err.msg);
    return c;
}

Test(intermittent_curve, straight_lines_meet_the_model_within_the_tolerance)
{
    enum { FINE = 200 };

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct weak k;
        weaken(&k, i);
        const struct curve *c = build(&k, GAS_MAX);
        double peak = curve_peak_oil_sm3s(c), run = c->gas_max_sm3s;
        cr_assert(gt(sz, c->n, 4), "%s", c->well);
        run -= c->gas_sm3s[0];
        for (int j = 0; j <= FINE; j++) {
            double gas = fmin(c->gas_sm3s[0] + run * j / FINE, c->gas_max_sm3s);
            struct intermittent_cycle cycle = cycle_at(&k, gas);
            double oil = cycle.liquid_sm3s * (1 - k.sample.well.water_cut);
            struct curve_point p;
            struct err err = {0};
            cr_assert(eq(int, curve_at(c, gas, &p, &err), ST_OK));
            cr_expect(epsilon_eq(dbl, p.oil_sm3s, oil, TOL_CURVE_PEAK * peak),
                      "%s at %g Sm3/s", c->well, gas);
            cr_expect(epsilon_eq(dbl, cycle.gas_sm3s, gas, 1e-8 * gas));
        }
        arena_release(&k.arena);
    }
}

Test(intermittent_curve, no_period_that_fits_makes_more_of_the_same_gas)
{
    int seen = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct weak k;
        weaken(&k, i);
        const struct curve *c = build(&k, GAS_MAX);
        double least = prepared(&k).period_least_s;
        double tol = TOL_CURVE_PEAK * curve_peak_oil_sm3s(c);
        for (double period = least; period < DAY_S; period *= 1.07) {
            struct intermittent_cycle cycle = of_period(&k, period);
            double oil = cycle.liquid_sm3s * (1 - k.sample.well.water_cut);
            struct curve_point p;
            struct err err = {0};
            /* With the slug at rest a well may also wait: straight to 0. */
            if (cycle.outcome != INTERMITTENT_LIFTS ||
                cycle.gas_sm3s < c->gas_sm3s[0])
                continue;
            seen++;
            /* A curve that ends where gas turns back ends a little early. */
            double gas = fmin(cycle.gas_sm3s, c->gas_max_sm3s);
            cr_expect(le(dbl, cycle.gas_sm3s, c->gas_max_sm3s * (1 + 1e-6)));
            cr_assert(eq(int, curve_at(c, gas, &p, &err), ST_OK));
            cr_expect(le(dbl, oil, p.oil_sm3s + tol), "%s, %g s", c->well,
                      period);
        }
        arena_release(&k.arena);
    }
    cr_assert(gt(int, seen, 12 * SAMPLE_WELLS));
}

/* What a point of the curve is, from its own gas. */
Test(intermittent_curve, each_point_is_a_cycle_of_the_model)
{
    struct weak k;

    weaken(&k, 7);
    const struct well *w = &k.sample.well;
    const struct curve *c = build(&k, GAS_MAX);
    struct intermittent_well x = prepared(&k);
    for (size_t i = 0; i < c->n; i++) {
        struct intermittent_cycle cycle = cycle_at(&k, c->gas_sm3s[i]);
        double liquid = c->oil_sm3s[i] + c->water_sm3s[i];

        cr_expect(i == 0 || c->gas_sm3s[i] > c->gas_sm3s[i - 1]);
        cr_expect(epsilon_eq(dbl, liquid, cycle.liquid_sm3s, 1e-7 * liquid));
        cr_expect(
            epsilon_eq(dbl, c->water_sm3s[i], liquid * w->water_cut, 1e-12));
        cr_expect(epsilon_eq(dbl, c->formation_sm3s[i],
                             c->oil_sm3s[i] * w->gor_sm3sm3, 1e-12));
        cr_expect(epsilon_eq(dbl,
                             inflow_rate_sm3s(&w->inflow, c->p_bottom_pa[i]),
                             liquid, 1e-9 * liquid));
        cr_expect(epsilon_eq(dbl, c->p_inject_pa[i], cycle.p_valve_pa, 10));
        cr_expect(le(dbl, c->p_inject_pa[i], 0.75 * x.p_casing_valve_pa + 1));
        cr_expect(eq(dbl, c->p_casing_pa[i], 900 * PSI));
        cr_expect(isinf(c->steady[i]));
        cr_expect(le(dbl, c->oil_sm3s[i], c->oil_sm3s[c->peak]));
    }
    cr_assert(eq(dbl, c->gas_min_sm3s, c->gas_sm3s[0]));
    cr_assert(eq(dbl, c->gas_max_sm3s, c->gas_sm3s[c->n - 1]));
    cr_assert(
        eq(dbl, c->tolerance_sm3s, TOL_CURVE_PEAK * c->oil_sm3s[c->peak]));
    arena_release(&k.arena);
}

/* The peak over a dense grid of periods. */
Test(intermittent_curve, the_peak_is_the_most_oil_of_any_period)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct weak k;
        weaken(&k, i);
        const struct curve *c = build(&k, GAS_MAX);
        double most = 0;
        for (double s = prepared(&k).period_least_s; s < DAY_S; s *= 1.005)
            most = fmax(most, of_period(&k, s).liquid_sm3s);
        most *= 1 - k.sample.well.water_cut;
        /* A peak at the first point lies between two periods of the grid. */
        cr_expect(ge(dbl, curve_peak_oil_sm3s(c), most * (1 - 1e-5)), "%s",
                  c->well);
        cr_expect(le(dbl, curve_peak_oil_sm3s(c), most * (1 + 3e-4)), "%s",
                  c->well);
        arena_release(&k.arena);
    }
}

Test(intermittent_curve, it_starts_at_a_cycle_a_day_where_slugs_stay_light)
{
    struct weak k;

    weaken(&k, 2);
    k.sample.well.inflow.j_sm3spa *= 0.02; /* a day does not fill it */
    const struct curve *c = build(&k, GAS_MAX);
    cr_assert(eq(int, c->start, CURVE_START_FLOW));
    cr_assert(epsilon_eq(dbl, cycle_at(&k, c->gas_sm3s[0]).period_s, DAY_S,
                         1e-5 * DAY_S));
    arena_release(&k.arena);
}

Test(intermittent_curve, it_starts_with_the_slug_at_rest_where_a_day_fills_it)
{
    struct weak k;

    weaken(&k, 2);
    const struct curve *c = build(&k, GAS_MAX);
    cr_assert(eq(int, c->start, CURVE_START_FLOW));
    cr_assert(epsilon_eq(dbl, cycle_at(&k, c->gas_sm3s[0]).slug_m,
                         prepared(&k).slug_rest_m, 1e-3));
    arena_release(&k.arena);
}

Test(intermittent_curve, it_starts_at_the_heaviest_slug_that_the_casing_lifts)
{
    struct weak k;

    weaken(&k, 2);
    k.how.p_casing_pa = 400 * PSI;
    k.how.slug_ms /= 4; /* so that its friction is no limit */
    const struct curve *c = build(&k, GAS_MAX);
    struct intermittent_well x = prepared(&k);
    cr_assert(eq(int, c->start, CURVE_START_CASING));
    cr_assert(lt(dbl, x.slug_most_m, 0.9 * x.slug_rest_m));
    cr_assert(
        epsilon_eq(dbl, c->p_inject_pa[0], 0.75 * x.p_casing_valve_pa, 100));
    arena_release(&k.arena);
}

Test(intermittent_curve, it_ends_at_the_most_cycles_that_fit)
{
    struct weak k;

    weaken(&k, 2);
    const struct curve *c = build(&k, GAS_MAX);
    cr_assert(eq(int, c->end, CURVE_END_CYCLES));
    /* 3 min per 1,000 ft of the way. */
    double least_s = 180 * k.sample.well.md_inject_m / 304.8;
    struct intermittent_cycle last = cycle_at(&k, c->gas_max_sm3s);
    cr_assert(epsilon_eq(dbl, last.period_s, least_s, 1e-5 * least_s));
    arena_release(&k.arena);
}

Test(intermittent_curve, it_ends_where_shorter_cycles_take_no_more_gas)
{
    struct weak k;

    weaken(&k, 0);
    const struct curve *c = build(&k, GAS_MAX);
    struct intermittent_cycle last = cycle_at(&k, c->gas_max_sm3s);
    cr_assert(eq(int, c->end, CURVE_END_CYCLES));
    cr_assert(gt(dbl, last.period_s, 1.2 * prepared(&k).period_least_s));
    for (int i = -1; i <= 1; i += 2) {
        struct intermittent_cycle near =
            of_period(&k, last.period_s * (1 + 0.05 * i));
        cr_expect(lt(dbl, near.gas_sm3s, c->gas_max_sm3s), "%d", i);
    }
    arena_release(&k.arena);
}

Test(intermittent_curve, it_ends_at_the_greatest_rate_asked_for)
{
    struct weak k;

    weaken(&k, 2);
    double most = build(&k, GAS_MAX)->gas_max_sm3s;
    const struct curve *c = build(&k, most / 2);
    cr_assert(eq(int, c->end, CURVE_END_MAXIMUM));
    cr_assert(epsilon_eq(dbl, c->gas_max_sm3s, most / 2, 1e-8 * most));
    cr_assert(le(dbl, c->gas_max_sm3s, most / 2));
    double liquid = cycle_at(&k, most / 2).liquid_sm3s;
    cr_assert(epsilon_eq(dbl, c->oil_sm3s[c->n - 1],
                         liquid * (1 - k.sample.well.water_cut),
                         1e-7 * liquid));
    arena_release(&k.arena);
}

Test(intermittent_curve, with_a_set_open_time_gas_goes_with_the_cycles)
{
    struct weak k;

    weaken(&k, 7);
    k.how.open_s = 900;
    const struct curve *c = build(&k, GAS_MAX);
    cr_assert(gt(sz, c->n, 4));
    for (size_t i = 0; i < c->n; i++) {
        struct intermittent_cycle cycle = cycle_at(&k, c->gas_sm3s[i]);
        double gas = 600 * MSCF_D * 900;
        cr_expect(epsilon_eq(dbl, c->gas_sm3s[i], gas / cycle.period_s,
                             1e-6 * c->gas_sm3s[i]));
    }
    arena_release(&k.arena);
}

/* At every gas rate of a curve with a set open time, up to the peak. */
Test(intermittent_curve, no_set_open_time_makes_more_than_the_best)
{
    const double open_s[] = {300, 600, 900, 1500};

    for (size_t j = 0; j < 4; j++) {
        struct weak best, set;
        weaken(&best, 7);
        weaken(&set, 7);
        set.how.open_s = open_s[j];
        const struct curve *a = build(&best, GAS_MAX);
        const struct curve *b = build(&set, GAS_MAX);
        cr_assert(gt(sz, b->n, 4));
        cr_assert(lt(dbl, curve_peak_oil_sm3s(b), curve_peak_oil_sm3s(a)));
        for (size_t i = 0; i < b->n; i++) {
            struct curve_point p = {0};
            struct err err = {0};
            if (b->gas_sm3s[i] > a->gas_sm3s[a->peak] ||
                b->gas_sm3s[i] < a->gas_sm3s[0])
                continue;
            cr_assert(eq(int, curve_at(a, b->gas_sm3s[i], &p, &err), ST_OK));
            cr_expect(le(dbl, b->oil_sm3s[i], p.oil_sm3s + a->tolerance_sm3s),
                      "open %g s, gas %g", open_s[j], b->gas_sm3s[i]);
        }
        arena_release(&best.arena);
        arena_release(&set.arena);
    }
}

/* --- nothing to lift ------------------------------------------------------ */

Test(intermittent_curve, a_well_that_cannot_be_lifted_has_no_points)
{
    for (int i = 0; i < 6; i++) {
        struct weak k;
        weaken(&k, 2);
        if (i == 0)
            k.how.p_casing_pa = 100 * PSI; /* too little */
        if (i == 1)
            k.sample.well.inflow.p_res_pa = 100 * PSI; /* no slug */
        if (i == 2)
            k.how.fallback_per_m = 1; /* all falls back */
        if (i == 3)
            k.how.cycle_sm = 1e5; /* no cycle fits a day */
        if (i == 4)
            k.sample.well.water_cut = 1; /* no oil */
        const struct curve *c = build(&k, i == 5 ? 0 : GAS_MAX);
        cr_expect(eq(sz, c->n, 0), "case %d", i);
        cr_expect(eq(dbl, c->gas_max_sm3s, i == 5 ? 0 : GAS_MAX));
        cr_expect(eq(dbl, curve_peak_oil_sm3s(c), 0));
        arena_release(&k.arena);
    }
}

Test(intermittent_curve, outside_the_curve_gas_lifts_nothing_or_is_not_taken)
{
    struct weak k;

    weaken(&k, 2);
    const struct curve *c = build(&k, GAS_MAX);
    struct intermittent_cycle last = cycle_at(&k, c->gas_max_sm3s);
    struct intermittent_cycle more = cycle_at(&k, 2 * c->gas_max_sm3s);
    cr_assert(epsilon_eq(dbl, more.gas_sm3s, last.gas_sm3s, 1e-9));
    cr_assert(epsilon_eq(dbl, more.liquid_sm3s, last.liquid_sm3s, 1e-12));

    double few = c->gas_sm3s[0];
    cr_assert(
        eq(int, cycle_at(&k, few * (1 - 1e-12)).outcome, INTERMITTENT_LIFTS));
    struct intermittent_cycle none = cycle_at(&k, 0.99 * few);
    cr_assert(eq(int, none.outcome, INTERMITTENT_NO_SLUG));
    cr_assert(eq(dbl, none.liquid_sm3s, 0));
    k.how.p_casing_pa = 400 * PSI;
    few = build(&k, GAS_MAX)->gas_sm3s[0];
    cr_assert(
        eq(int, cycle_at(&k, 0.99 * few).outcome, INTERMITTENT_TOO_HEAVY));
    cr_assert(eq(int, cycle_at(&k, 0).outcome, INTERMITTENT_TOO_HEAVY));
    k.how.fallback_per_m = 1;
    cr_assert(eq(int, cycle_at(&k, few).outcome, INTERMITTENT_FALLS_BACK));
    arena_release(&k.arena);
}

Test(intermittent_curve, a_range_of_gas_that_is_none_is_refused)
{
    const double gas[] = {-1e-9, (double)NAN, HUGE_VAL};

    for (size_t i = 0; i < 3; i++) {
        struct weak k;
        struct err err = {0};
        weaken(&k, 2);
        cr_expect(eq(int,
                     curve_build_intermittent(&k.sample.well, &k.how, gas[i],
                                              &k.arena, &k.curve, &err),
                     ST_RANGE));
        cr_expect(strstr(err.msg, "S-03") != NULL);
        arena_release(&k.arena);
    }
}

Test(intermittent_curve, the_same_curve_twice_is_equal_to_the_last_bit)
{
    struct weak k, l;

    weaken(&k, 5);
    weaken(&l, 5);
    const struct curve *a = build(&k, GAS_MAX), *b = build(&l, GAS_MAX);
    cr_assert(eq(sz, a->n, b->n));
    cr_assert(memcmp(a->gas_sm3s, b->gas_sm3s, a->n * sizeof(double)) == 0);
    cr_assert(memcmp(a->oil_sm3s, b->oil_sm3s, a->n * sizeof(double)) == 0);
    arena_release(&k.arena);
    arena_release(&l.arena);
}
