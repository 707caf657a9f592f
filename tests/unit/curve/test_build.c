#include "curve/build.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <stdbool.h>

#include "base/arena.h"
#include "support/random_wells.h"
#include "support/sample_wells.h"
#include "well/operate.h"

#define GAS_MOST (3000 * MSCF_D)

struct built {
    struct arena arena;
    struct curve curve;
    struct curve_count count;
};

static void build(const struct well *w, double gas_max, const char *name,
                  struct built *b)
{
    struct err err = {0};

    arena_init(&b->arena);
    b->count = (struct curve_count){0};
    cr_expect(eq(int,
                 curve_build(w, gas_max, &b->arena, &b->curve, &b->count, &err),
                 ST_OK),
              "%s: %s", name, err.msg);
}

/* Oil at a gas rate, found from nothing. */
static double model_oil(const struct well *w, double gas)
{
    struct operating o = {.stable = -1};
    struct err err = {0};

    cr_expect(eq(int, operate_highest(w, gas, 1, &o, &err), ST_OK), "%s: %s",
              w->name, err.msg);
    double liquid = o.stable < 0 ? 0 : o.crossing[o.stable].liquid_sm3s;
    return liquid * (1 - w->water_cut);
}

static double curve_oil(const struct curve *c, double gas)
{
    struct curve_point p = {0};
    struct err err = {0};

    cr_expect(eq(int, curve_at(c, gas, &p, &err), ST_OK), "%s", err.msg);
    return p.oil_sm3s;
}

/* Between two points so near in gas a jump is enclosed. */
static bool in_jump(const struct curve *c, double gas)
{
    for (size_t i = 0; i + 1 < c->n; i++)
        if (c->gas_sm3s[i] <= gas && gas <= c->gas_sm3s[i + 1])
            return c->gas_sm3s[i + 1] - c->gas_sm3s[i] <=
                   1e-6 * c->gas_max_sm3s;
    return false;
}

Test(build, straight_lines_are_within_a_thousandth_of_the_peak, .timeout = 300)
{
    enum { DENSE = 200 };

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        struct built b;

        sample_well(i, &s);
        build(&s.well, GAS_MOST, s.well.name, &b);
        double peak = curve_peak_oil_sm3s(&b.curve);
        cr_assert(lt(dbl, 0, peak));
        cr_expect(
            epsilon_eq(dbl, b.curve.tolerance_sm3s, 1e-3 * peak, 1e-12 * peak));
        for (int k = 0; k <= DENSE; k++) {
            /* Denser towards no gas, where curves bend. */
            double part = (double)k / DENSE, gas = GAS_MOST * part * part;

            if (in_jump(&b.curve, gas))
                continue;
            double want = model_oil(&s.well, gas);
            double got = curve_oil(&b.curve, gas);
            cr_expect(epsilon_eq(dbl, got, want, 1e-3 * peak),
                      "%s at %g Mscf/d", s.well.name, gas / MSCF_D);
            cr_expect(le(dbl, want, peak * (1 + 1e-6)), "%s at %g Mscf/d",
                      s.well.name, gas / MSCF_D);
        }
        arena_release(&b.arena);
    }
}

Test(build, flow_starts_at_the_first_point, .timeout = 60)
{
    int tried = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        struct built b;

        sample_well(i, &s);
        build(&s.well, GAS_MOST, s.well.name, &b);
        double first = b.curve.gas_sm3s[0];
        if (first > 0) {
            tried++;
            cr_expect(eq(dbl, model_oil(&s.well, first * (1 - 1e-3)), 0), "%s",
                      s.well.name);
            cr_expect(lt(dbl, 0, model_oil(&s.well, first * (1 + 1e-3))), "%s",
                      s.well.name);
        } else {
            cr_expect(lt(dbl, 0, model_oil(&s.well, 0)), "%s", s.well.name);
        }
        arena_release(&b.arena);
    }
    cr_assert(ge(int, tried, 6));
}

static void check_shape(const struct well *w, const struct curve *c,
                        const char *name)
{
    double wc = w->water_cut, peak = curve_peak_oil_sm3s(c);

    for (size_t i = 0; i < c->n; i++) {
        double oil = c->oil_sm3s[i];

        cr_expect(ge(dbl, c->gas_sm3s[i], 0), "%s point %zu", name, i);
        if (i > 0)
            cr_expect(lt(dbl, c->gas_sm3s[i - 1], c->gas_sm3s[i]),
                      "%s point %zu", name, i);
        cr_expect(lt(dbl, 0, oil), "%s point %zu", name, i);
        cr_expect(le(dbl, oil, peak), "%s point %zu", name, i);
        cr_expect(epsilon_eq(dbl, c->water_sm3s[i], oil * wc / (1 - wc),
                             1e-12 * (oil + c->water_sm3s[i])),
                  "%s point %zu", name, i);
        cr_expect(epsilon_eq(dbl, c->formation_sm3s[i], oil * w->gor_sm3sm3,
                             1e-12 * (c->formation_sm3s[i] + oil)),
                  "%s point %zu", name, i);
        /* Not by the inverse that the curve used. */
        double inflow = inflow_rate_sm3s(&w->inflow, c->p_bottom_pa[i]);
        cr_expect(epsilon_eq(dbl, inflow * (1 - wc), oil, 1e-9 * peak),
                  "%s point %zu", name, i);
        cr_expect(ge(dbl, c->p_inject_pa[i], w->p_head_pa));
        cr_expect(le(dbl, c->p_inject_pa[i], c->p_bottom_pa[i] * (1 + 1e-5)),
                  "%s point %zu", name, i);
        cr_expect(le(dbl, c->p_bottom_pa[i], w->inflow.p_res_pa));
    }
}

Test(build, every_column_belongs_to_the_oil_of_its_point, .timeout = 60)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        struct built b;

        sample_well(i, &s);
        build(&s.well, GAS_MOST, s.well.name, &b);
        check_shape(&s.well, &b.curve, s.well.name);
        cr_expect(eq(int, b.curve.end, CURVE_END_MAXIMUM));
        cr_expect(eq(dbl, b.curve.gas_max_sm3s, GAS_MOST));
        cr_expect(eq(dbl, b.curve.gas_sm3s[b.curve.n - 1], GAS_MOST));
        cr_expect(eq(dbl, b.curve.p_head_pa, s.well.p_head_pa));
        arena_release(&b.arena);
    }
}

/* Root mean square of the fourth differences of oil over 100 gas rates, 0.05 %
 * apart, relative: sqrt(70) times the jitter. */
static double roughness(const struct well *w)
{
    enum { N = 100 };
    double oil[N], sum = 0, mean = 0;

    for (int i = 0; i < N; i++) {
        oil[i] = model_oil(w, 800 * MSCF_D * (1 + 0.0005 * i));
        mean += oil[i] / N;
    }
    for (int i = 2; i < N - 2; i++) {
        double d = oil[i + 2] - 4 * oil[i + 1] + 6 * oil[i] - 4 * oil[i - 1] +
                   oil[i - 2];
        sum += d * d;
    }
    return sqrt(sum / (N - 4)) / mean;
}

/* Measured: 2e-11 to 3e-7 of the mean rate. */
Test(build, oil_does_not_jitter_between_neighbouring_gas_rates, .timeout = 300)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;

        sample_well(i, &s);
        cr_expect(lt(dbl, roughness(&s.well), 1e-6), "%s", s.well.name);
    }
}

Test(build, small_tubing_dies_before_an_absurd_maximum, .timeout = 60)
{
    struct sample_well s;
    struct built b;

    sample_well(9, &s);
    build(&s.well, 200000 * MSCF_D, s.well.name, &b);
    cr_assert(eq(int, b.curve.end, CURVE_END_DIES));
    double last = b.curve.gas_max_sm3s;
    cr_assert(eq(dbl, last, b.curve.gas_sm3s[b.curve.n - 1]));
    cr_assert(lt(dbl, last, 200000 * MSCF_D));
    cr_assert(eq(dbl, model_oil(&s.well, last * (1 + 1e-3)), 0));
    cr_assert(lt(dbl, 0, model_oil(&s.well, last * (1 - 1e-3))));
    /* The peak is where it was without the absurd part. */
    struct built sane;
    build(&s.well, GAS_MOST, s.well.name, &sane);
    double peak = curve_peak_oil_sm3s(&sane.curve);
    cr_assert(
        epsilon_eq(dbl, curve_peak_oil_sm3s(&b.curve), peak, 1e-3 * peak));
    arena_release(&b.arena);
    arena_release(&sane.arena);
}

Test(build, a_well_that_flows_alone_and_takes_no_gas_is_one_point,
     .timeout = 10)
{
    struct sample_well s;
    struct built b;

    sample_well(3, &s);
    build(&s.well, 0, s.well.name, &b);
    cr_assert(eq(sz, b.curve.n, 1));
    cr_assert(eq(dbl, b.curve.gas_sm3s[0], 0));
    cr_assert(eq(dbl, b.curve.gas_max_sm3s, 0));
    cr_assert(eq(int, b.curve.end, CURVE_END_MAXIMUM));
    double oil = model_oil(&s.well, 0);
    cr_assert(epsilon_eq(dbl, b.curve.oil_sm3s[0], oil, 1e-6 * oil));
    arena_release(&b.arena);
}

Test(build, a_well_that_flows_alone_makes_a_little_more_with_a_little_gas,
     .timeout = 10)
{
    struct sample_well s;
    struct built b;

    sample_well(3, &s);
    build(&s.well, 1e-3 * MSCF_D, s.well.name, &b);
    cr_assert(ge(sz, b.curve.n, 2));
    cr_assert(eq(dbl, b.curve.gas_sm3s[0], 0));
    cr_assert(eq(dbl, b.curve.gas_max_sm3s, 1e-3 * MSCF_D));
    check_shape(&s.well, &b.curve, s.well.name);
    arena_release(&b.arena);
}

Test(build, a_dead_well_has_no_points_and_the_whole_range, .timeout = 10)
{
    for (int i = 0; i < 5; i++) {
        struct sample_well s;
        struct built b;
        double gas_max = 800 * MSCF_D;

        sample_well(1, &s);
        if (i == 0)
            gas_max = 0;
        else if (i == 1)
            gas_max = 1 * MSCF_D;
        else if (i == 2)
            s.well.inflow.p_res_pa = s.well.p_head_pa;
        else if (i == 3)
            s.well.water_cut = 1;
        else
            s.well.inflow.j_sm3spa = 0;
        build(&s.well, gas_max, s.well.name, &b);
        cr_expect(eq(sz, b.curve.n, 0), "case %d", i);
        cr_expect(eq(dbl, b.curve.gas_max_sm3s, gas_max), "case %d", i);
        arena_release(&b.arena);
    }
}

Test(build, oil_lies_between_low_and_high_trust, .timeout = 60)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (double gas = 200 * MSCF_D; gas < GAS_MOST; gas *= 2) {
            struct sample_well s;
            double low = -1, high = -1;
            struct err err = {0};

            sample_well(i, &s);
            enum status st = curve_trust(&s.well, gas, &low, &high, &err);
            cr_assert(eq(int, st, ST_OK));
            double oil = model_oil(&s.well, gas);
            cr_expect(le(dbl, low, oil), "%s", s.well.name);
            cr_expect(ge(dbl, high, oil), "%s", s.well.name);
            if (oil > 0)
                cr_expect(lt(dbl, low, high), "%s", s.well.name);
        }
}

Test(build, what_is_not_a_number_is_an_error, .timeout = 10)
{
    for (int field = 0; field < 6; field++) {
        struct sample_well s;
        struct arena a;
        struct curve c;
        struct err err = {0};

        arena_init(&a);
        sample_well(0, &s);
        double *broken[] = {&s.well.p_head_pa,       &s.well.water_cut,
                            &s.well.gor_sm3sm3,      &s.section[0].d_m,
                            &s.well.inflow.j_sm3spa, &s.well.inflow.p_res_pa};
        *broken[field] = (double)NAN;
        enum status st = curve_build(&s.well, GAS_MOST, &a, &c, NULL, &err);
        cr_expect(ne(int, st, ST_OK), "field %d", field);
        arena_release(&a);
    }
}

/* --- random wells ---------------------------------------------------------*/

static void check_random(uint64_t first, uint64_t last)
{
    int flowing = 0;

    for (uint64_t seed = first; seed <= last; seed++) {
        struct random_well r;
        struct built b;
        struct draw d = {seed};

        random_well(seed, &r);
        struct random_text name = random_well_text(seed, &r);
        build(&r.well, r.gas_max_sm3s, name.text, &b);
        check_shape(&r.well, &b.curve, name.text);
        cr_expect(lt(sz, b.curve.n, 400), "%s", name.text);
        double peak = curve_peak_oil_sm3s(&b.curve);
        /* Against the model from nothing, at one rate per well. */
        double gas = draw_between(&d, 0, b.curve.gas_max_sm3s);
        if (!in_jump(&b.curve, gas)) {
            double want = model_oil(&r.well, gas);

            cr_expect(
                epsilon_eq(dbl, curve_oil(&b.curve, gas), want, 4e-3 * peak),
                "at %g Mscf/d: %s", gas / MSCF_D, name.text);
        }
        flowing += b.curve.n > 0;
        arena_release(&b.arena);
    }
    cr_assert(lt(int, (int)(last - first) / 2, flowing));
}

Test(build, random_wells_have_sound_curves, .timeout = 600)
{
    check_random(1, 150);
}

Test(build, more_wellhead_pressure_never_gives_more, .timeout = 300)
{
    for (uint64_t seed = 1; seed <= 150; seed++) {
        struct random_well r;
        struct draw d = {seed};

        random_well(seed, &r);
        double gas = draw_between(&d, 0, r.gas_max_sm3s);
        double before = model_oil(&r.well, gas);
        r.well.p_head_pa *= 1.2;
        double after = model_oil(&r.well, gas);
        cr_expect(le(dbl, after, before * (1 + 1e-4)), "%s",
                  random_well_text(seed, &r).text);
    }
}
