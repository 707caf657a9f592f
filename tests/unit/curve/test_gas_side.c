#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "curve/build.h"
#include "curve/cures.h"
#include "support/string_wells.h"
#include "well/gas_path.h"
#include "well/operate.h"
#include "well/valve_string.h"

TestSuite(gas_side, .timeout = 120);

#define GAS_MAX (3000 * MSCF_D)

static struct curve built(const struct well *w, struct arena *a,
                          struct curve_count *count)
{
    struct curve c;
    struct err err = {0};

    cr_assert(eq(int, curve_build(w, GAS_MAX, a, &c, count, &err), ST_OK), "%s",
              err.msg);
    return c;
}

/* Casing-head pressure and room below what opens a valve, by the model. */
static struct string_state at_rate(const struct curve *c, const struct well *w,
                                   double gas)
{
    struct well at = curve_well(c, w);
    struct operating o;
    struct traverse t;
    struct string_state s;
    struct err err = {0};

    cr_assert(eq(int, operate_at(&at, gas, &o, &err), ST_OK));
    cr_assert(le(int, 0, o.stable));
    cr_assert(eq(
        int,
        string_single(&at, o.crossing[o.stable].liquid_sm3s, gas, &t, &s, &err),
        ST_OK));
    return s;
}

static bool steady_at(const struct curve *c, const struct well *w, double gas)
{
    struct string_state s = at_rate(c, w, gas);

    return is_steady(&s.steady);
}

Test(gas_side, a_curve_ends_where_the_header_or_a_valve_above_ends_it)
{
    int by_valve = 0, by_header = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        for (int strong = 0; strong < 2; strong++) {
            struct string_well s;
            struct arena a;

            arena_init(&a);
            string_well(i, 1700 * PSI, 12, &s);
            for (size_t k = 0; strong && k + 1 < STRING_VALVES; k++)
                s.valve[k].p_dome_60f_pa *= 3; /* never opens */
            const struct well *w = &s.sample.well;
            struct curve c = built(w, &a, NULL);

            if (c.n > 1 &&
                (c.end == CURVE_END_HEADER || c.end == CURVE_END_VALVE)) {
                struct string_state at = at_rate(&c, w, c.gas_max_sm3s);
                double p = at.p_head_pa;

                if (c.end == CURVE_END_HEADER) {
                    cr_expect(epsilon_eq(dbl, p, 1700 * PSI, 2e-5 * p),
                              "well %zu", i);
                    cr_expect(le(dbl, 0, at.to_open_pa));
                    by_header++;
                } else {
                    cr_expect(epsilon_eq(dbl, at.to_open_pa, 0, 2e-5 * p),
                              "well %zu", i);
                    cr_expect(le(dbl, p, 1700 * PSI));
                    by_valve++;
                }
            }
            arena_release(&a);
        }
    }
    cr_assert(lt(int, 3, by_valve));
    cr_assert(lt(int, 3, by_header));
}

Test(gas_side, the_annulus_limit_ends_it_and_names_itself)
{
    struct string_well s;
    struct arena a;

    arena_init(&a);
    string_well(1, 2600 * PSI, 12, &s);
    struct well *w = &s.sample.well;
    struct curve free_one = built(w, &a, NULL);
    double limit = 0.5 * (free_one.p_casing_pa[free_one.n - 1] +
                          free_one.p_casing_pa[free_one.n / 2]);
    w->gas_path.p_casing_max_pa = limit;
    struct curve c = built(w, &a, NULL);
    cr_assert(eq(int, (int)c.end, CURVE_END_ANNULUS));
    cr_assert(lt(dbl, c.gas_max_sm3s, free_one.gas_max_sm3s));
    double p = at_rate(&c, w, c.gas_max_sm3s).p_head_pa;
    cr_assert(epsilon_eq(dbl, p, limit, 2e-5 * limit));
    arena_release(&a);
}

Test(gas_side, the_line_takes_its_part_of_the_header)
{
    struct string_well s;
    struct arena a;

    arena_init(&a);
    string_well(1, 1700 * PSI, 12, &s);
    for (size_t k = 0; k + 1 < STRING_VALVES; k++)
        s.valve[k].p_dome_60f_pa *= 3;
    struct well *w = &s.sample.well;
    struct curve without = built(w, &a, NULL);
    double q = without.gas_max_sm3s, p = 1700 * PSI;
    w->gas_path.line_pa2_sm3s2 = 0.1 * p * p / (q * q);
    struct curve with = built(w, &a, NULL);
    cr_assert(lt(dbl, with.gas_max_sm3s, 0.98 * q));
    q = with.gas_max_sm3s;
    double left = sqrt(p * p - w->gas_path.line_pa2_sm3s2 * q * q);
    cr_assert(
        epsilon_eq(dbl, at_rate(&with, w, q).p_head_pa, left, 2e-5 * left));
    arena_release(&a);
}

Test(gas_side, more_header_never_ends_a_curve_earlier)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i += 3) {
        double last = 0;

        for (double header = 1200; header < 2500; header += 300) {
            struct string_well s;
            struct arena a;

            arena_init(&a);
            string_well(i, 2600 * PSI, 12, &s);
            s.sample.well.gas_path.p_header_pa = header * PSI;
            struct curve c = built(&s.sample.well, &a, NULL);
            if (c.operating == STRING_VALVES - 1 && c.n > 0) {
                cr_expect(le(dbl, last * (1 - 1e-5), c.gas_max_sm3s));
                last = c.gas_max_sm3s;
            }
            arena_release(&a);
        }
    }
}

Test(gas_side, the_least_rate_is_where_steadiness_begins)
{
    int seen = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;

        arena_init(&a);
        string_well(i, 2600 * PSI, 12, &s);
        struct well *w = &s.sample.well;
        struct curve c = built(w, &a, NULL);
        if (c.start == CURVE_START_STEADY && isfinite(c.gas_min_sm3s)) {
            struct string_state at = at_rate(&c, w, c.gas_min_sm3s);
            struct string_state below = at_rate(&c, w, 0.99 * c.gas_min_sm3s);

            cr_expect(is_steady(&at.steady), "well %zu", i);
            cr_expect(not(is_steady(&below.steady)), "well %zu", i);
            seen++;
        }
        w->gas_path.allow_unsteady = true;
        struct curve allowed = built(w, &a, NULL);
        cr_expect(ne(int, (int)allowed.start, CURVE_START_STEADY));
        arena_release(&a);
    }
    cr_assert(lt(int, 3, seen));
}

Test(gas_side, out_of_reach_the_gas_enters_at_the_deepest_valve_that_is_reached)
{
    int higher = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;

        arena_init(&a);
        string_well(i, 1000 * PSI, 16, &s);
        const struct well *w = &s.sample.well;
        struct curve c = built(w, &a, NULL);
        if (c.n > 1) {
            higher += c.operating < w->operating;
            for (size_t k = 0; k < c.n; k++)
                if (c.gas_sm3s[k] >= c.gas_min_sm3s && c.gas_sm3s[k] > 0)
                    cr_expect(
                        le(dbl, c.p_casing_pa[k], 1000 * PSI * (1 + 1e-5)));
        }
        arena_release(&a);
    }
    cr_assert(lt(int, 2, higher));
}

Test(gas_side, without_pressure_only_what_flows_alone_is_left)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;

        arena_init(&a);
        string_well(i, 2600 * PSI, 16, &s);
        struct well *w = &s.sample.well;
        struct curve full = built(w, &a, NULL);
        bool alone = curve_flows_alone(&full);
        w->gas_path.p_header_pa = 2e5;
        struct curve c = built(w, &a, NULL);
        cr_expect(eq(sz, c.n, alone ? 1 : 0), "well %zu", i);
        if (alone)
            cr_expect(epsilon_eq(dbl, c.oil_sm3s[0], full.oil_sm3s[0],
                                 1e-3 * full.oil_sm3s[full.peak]));
        arena_release(&a);
    }
}

Test(gas_side, a_string_costs_at_most_three_times_one_depth)
{
    double sum = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;
        struct curve_count with = {0}, without = {0};

        arena_init(&a);
        string_well(i, 2600 * PSI, 16, &s);
        built(&s.sample.well, &a, &with);
        sample_well(i, &s.sample);
        built(&s.sample.well, &a, &without);
        double ratio = (double)with.march.calls / without.march.calls;
        cr_expect(lt(dbl, ratio, 3), "well %zu: %.2f", i, ratio);
        sum += ratio;
        arena_release(&a);
    }
    cr_assert(lt(dbl, sum / SAMPLE_WELLS, 2));
}

Test(gas_side, cures_are_steady_and_what_they_replace_is_not)
{
    int ports = 0, heads = 0, gases = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;
        struct cures cure;
        struct err err = {0};

        arena_init(&a);
        string_well(i, 2600 * PSI, 20, &s);
        struct well *w = &s.sample.well;
        w->gas_path.allow_unsteady = true;
        struct curve c = built(w, &a, NULL);
        double gas = 500 * MSCF_D;
        if (c.n < 2 || gas < c.gas_sm3s[0] || gas > c.gas_max_sm3s ||
            steady_at(&c, w, gas))
            continue;
        cr_assert(eq(int, cures_find(w, &c, gas, &cure, &err), ST_OK));
        if (cure.port_64ths > 0) {
            double d = cure.port_64ths / 64.0 * 0.0254;
            cr_expect(lt(int, cure.port_64ths, 20));
            s.valve[3].port.area_m2 = M_PI / 4 * d * d;
            cr_expect(steady_at(&c, w, gas));
            d = (cure.port_64ths + 1) / 64.0 * 0.0254;
            s.valve[3].port.area_m2 = M_PI / 4 * d * d;
            cr_expect(not(steady_at(&c, w, gas)));
            d = 20 / 64.0 * 0.0254;
            s.valve[3].port.area_m2 = M_PI / 4 * d * d;
            ports++;
        }
        if (isfinite(cure.p_head_pa)) {
            double p = w->p_head_pa;
            w->p_head_pa = cure.p_head_pa;
            cr_expect(steady_at(&c, w, gas));
            w->p_head_pa = p;
            heads++;
        }
        if (isfinite(cure.gas_sm3s)) {
            cr_expect(lt(dbl, gas, cure.gas_sm3s));
            gases++;
        }
        arena_release(&a);
    }
    cr_assert(lt(int, 3, ports));
    cr_assert(lt(int, 3, gases));
    (void)heads;
}
