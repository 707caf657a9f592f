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

static double available_pa(const struct well *w, double gas)
{
    return gas_path_available_pa(&w->gas_path, gas);
}

/* How far the casing pressure stays below what there is and below what opens
 * a valve above, with gas at the operating valve of w; below 0 where w is
 * dead. */
static double margin_pa(const struct well *w, double gas)
{
    struct operating o;
    struct traverse t;
    struct string_state s;
    struct err err = {0};

    cr_assert(eq(int, operate_highest(w, gas, 1, &o, &err), ST_OK));
    if (o.stable < 0)
        return -1;
    cr_assert(eq(
        int,
        string_single(w, o.crossing[o.stable].liquid_sm3s, gas, &t, &s, &err),
        ST_OK));
    return fmin(available_pa(w, gas) - s.p_head_pa, s.to_open_pa);
}

/* Some rate at which the pressure that station v needs is there. */
static bool reaches(const struct well *w, size_t v)
{
    struct well at = *w;

    at.operating = v;
    at.md_inject_m = w->valve[v].md_m;
    for (int k = 1; k <= 12; k++)
        if (margin_pa(&at, GAS_MAX * pow(0.6, k)) >= 0)
            return true;
    return false;
}

static void expect_column(size_t well, const double *got, const double *want,
                          size_t n, double part)
{
    for (size_t k = 0; k < n; k++)
        cr_expect(epsilon_eq(dbl, got[k], want[k], part * want[k] + 1e-15),
                  "well %zu, point %zu", well, k);
}

Test(gas_side, with_one_orifice_and_no_limit_it_is_the_curve_of_one_depth)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;

        arena_init(&a);
        string_well(i, (double)INFINITY, 16, &s);
        struct well w = s.sample.well;
        w.valve = &s.valve[STRING_VALVES - 1];
        w.n_valves = 1;
        w.operating = 0;
        struct well plain = w;
        plain.n_valves = 0;
        plain.gas_path = (struct gas_path){0};
        struct curve c = built(&w, &a, NULL), d = built(&plain, &a, NULL);
        cr_assert(eq(sz, c.n, d.n), "well %zu", i);
        cr_expect(eq(int, (int)c.end, (int)d.end), "well %zu", i);
        cr_expect(eq(sz, c.peak, d.peak));
        expect_column(i, c.gas_sm3s, d.gas_sm3s, c.n, 1e-6);
        expect_column(i, c.oil_sm3s, d.oil_sm3s, c.n, 1e-6);
        expect_column(i, c.p_bottom_pa, d.p_bottom_pa, c.n, 1e-6);
        /* Worked out again at the point, there taken from its search. */
        expect_column(i, c.p_inject_pa, d.p_inject_pa, c.n, 1e-3);
        cr_expect(d.p_casing_pa == NULL && d.steady == NULL);
        arena_release(&a);
    }
}

/* Tubing, port and annulus put together here, point by point. */
Test(gas_side, casing_pressure_at_a_point_is_tubing_port_and_annulus_joined)
{
    int points = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;
        struct err err = {0};

        arena_init(&a);
        string_well(i, 2600 * PSI, 12, &s);
        const struct well *w = &s.sample.well;
        struct curve c = built(w, &a, NULL);
        for (size_t k = 0; c.operating == 3 && k < c.n; k++) {
            double gas = c.gas_sm3s[k], p;
            double liquid = c.oil_sm3s[k] + c.water_sm3s[k];
            struct traverse t;
            struct string_state at;

            if (!(gas > 0))
                continue;
            /* For the port's temperature. */
            cr_assert(
                eq(int, string_single(w, liquid, gas, &t, &at, &err), ST_OK));
            cr_assert(
                eq(int, traverse_solve(w, liquid, gas, &t, NULL, &err), ST_OK));
            p = orifice_upstream_pa(&w->valve[3].port, &w->fluid.lift_gas, gas,
                                    t.p_inject_pa, at.station[3].t_k);
            cr_assert(eq(
                int,
                gas_path_pressure(w, w->md_inject_m, 0, gas, p, &p, NULL, &err),
                ST_OK));
            cr_expect(epsilon_eq(dbl, c.p_casing_pa[k], p, 1e-5 * p),
                      "well %zu, point %zu: %.3f psi off", i, k,
                      (c.p_casing_pa[k] - p) / PSI);
            points++;
        }
        arena_release(&a);
    }
    cr_assert(lt(int, 200, points));
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
    int seen = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;

        arena_init(&a);
        string_well(i, 2600 * PSI, 12, &s);
        struct well *w = &s.sample.well;
        struct curve whole = built(w, &a, NULL);
        double least = (double)INFINITY;
        for (size_t k = 0; k < whole.n; k++)
            least = fmin(least, whole.p_casing_pa[k]);
        double limit = 0.5 * (whole.p_casing_pa[whole.n - 1] + least);
        if (limit > 0.999 * whole.p_casing_pa[whole.n - 1])
            continue;
        w->gas_path.p_casing_max_pa = limit;
        struct curve c = built(w, &a, NULL);
        cr_assert(lt(sz, 1, c.n));
        cr_expect(eq(int, (int)c.end, CURVE_END_ANNULUS));
        cr_expect(lt(dbl, c.gas_max_sm3s, whole.gas_max_sm3s));
        double p = at_rate(&c, w, c.gas_max_sm3s).p_head_pa;
        cr_expect(epsilon_eq(dbl, p, limit, 1e-5 * limit));
        /* Past its end there is a rate that no limit allows. */
        struct well at = curve_well(&c, w);
        cr_expect(lt(dbl, margin_pa(&at, 1.001 * c.gas_max_sm3s), 0));
        seen++;
        arena_release(&a);
    }
    cr_assert(lt(int, 8, seen));
}

/* A limit that is just below the header, which loses more in the line. */
Test(gas_side, of_two_limits_the_one_that_binds_is_named)
{
    static const struct {
        double line_part; /* of the header's square at 1 MMscf/d */
        double limit_part;
        enum curve_end end;
    } ROWS[] = {{0, 0.95, CURVE_END_ANNULUS},
                {0, 1.05, CURVE_END_HEADER},
                {1.0, 0.95, CURVE_END_HEADER},
                {0.01, 0.9, CURVE_END_ANNULUS}};

    for (size_t k = 0; k < sizeof ROWS / sizeof ROWS[0]; k++) {
        struct string_well s;
        struct arena a;
        double p = 1700 * PSI, q = 1000 * MSCF_D;

        arena_init(&a);
        string_well(1, p, 12, &s);
        for (size_t v = 0; v + 1 < STRING_VALVES; v++)
            s.valve[v].p_dome_60f_pa *= 3; /* never opens */
        struct well *w = &s.sample.well;
        w->gas_path.line_pa2_sm3s2 = ROWS[k].line_part * p * p / (q * q);
        w->gas_path.p_casing_max_pa = ROWS[k].limit_part * p;
        struct curve c = built(w, &a, NULL);
        cr_assert(lt(sz, 1, c.n));
        cr_expect(eq(int, (int)c.end, (int)ROWS[k].end), "row %zu", k);
        double needs = at_rate(&c, w, c.gas_max_sm3s).p_head_pa;
        double has = sqrt(p * p *
                          (1 - ROWS[k].line_part * c.gas_max_sm3s *
                                   c.gas_max_sm3s / (q * q)));
        cr_expect(epsilon_eq(dbl, needs, fmin(has, ROWS[k].limit_part * p),
                             1e-5 * needs),
                  "row %zu", k);
        arena_release(&a);
    }
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
            for (size_t k = 0; k < c.n; k++)
                if (c.gas_sm3s[k] >= c.gas_min_sm3s)
                    cr_expect(le(dbl, 1, c.steady[k]), "well %zu", i);
            seen++;
        }
        w->gas_path.allow_unsteady = true;
        struct curve allowed = built(w, &a, NULL);
        cr_expect(ne(int, (int)allowed.start, CURVE_START_STEADY));
        arena_release(&a);
    }
    cr_assert(lt(int, 3, seen));
}

Test(gas_side, below_its_least_rate_the_casing_pressure_is_not_enough)
{
    int seen = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (double header = 1000; header < 2000; header += 200) {
            struct string_well s;
            struct arena a;

            arena_init(&a);
            string_well(i, header * PSI, 16, &s);
            struct well *w = &s.sample.well;
            w->gas_path.allow_unsteady = true;
            struct curve c = built(w, &a, NULL);
            if (c.n > 1 && c.start == CURVE_START_CASING) {
                struct well at = curve_well(&c, w);

                cr_expect(le(dbl, c.gas_min_sm3s, c.gas_max_sm3s));
                /* A jump is closed in to a millionth of the range. */
                double least = c.gas_min_sm3s + 2e-6 * GAS_MAX;
                cr_expect(le(dbl, -1, margin_pa(&at, least)), "well %zu", i);
                cr_expect(lt(dbl, margin_pa(&at, 0.998 * c.gas_min_sm3s), 0),
                          "well %zu at %g psi", i, header);
                seen++;
            }
            arena_release(&a);
        }
    cr_assert(lt(int, 3, seen));
}

/* From the deepest up, every valve that the curve passes over has no rate for
 * which the pressure is there. */
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
        for (size_t v = c.n > 0 ? c.operating + 1 : 0; v < STRING_VALVES; v++)
            cr_expect(not(reaches(w, v)), "well %zu, station %zu", i, v);
        arena_release(&a);
    }
    cr_assert(lt(int, 2, higher));
}

Test(gas_side, no_gas_is_put_through_a_dummy)
{
    int seen = 0, alive = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;

        arena_init(&a);
        string_well(i, 1000 * PSI, 16, &s);
        struct curve c = built(&s.sample.well, &a, NULL);
        if (c.n > 1 && c.operating > 0 && c.operating < STRING_VALVES - 1) {
            struct valve *v = &s.valve[c.operating];

            *v = (struct valve){.kind = VALVE_DUMMY, .md_m = v->md_m};
            struct curve d = built(&s.sample.well, &a, NULL);
            cr_expect(ne(sz, d.operating, c.operating), "well %zu", i);
            alive += d.n > 1;
            seen++;
        }
        arena_release(&a);
    }
    cr_assert(lt(int, 1, seen));
    cr_assert(lt(int, 0, alive));
}

Test(gas_side, without_pressure_only_what_flows_alone_is_left)
{
    int dead = 0, flowing = 0;

    for (size_t i = 0; i < 2 * SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;

        arena_init(&a);
        string_well(i / 2, 2600 * PSI, 16, &s);
        struct well *w = &s.sample.well;
        struct curve full = built(w, &a, NULL);
        bool alone = curve_flows_alone(&full), is_reached = false;
        w->gas_path.p_header_pa = i % 2 ? 700 * PSI : 200 * PSI;
        struct curve c = built(w, &a, NULL);
        for (size_t v = 0; v < STRING_VALVES; v++)
            is_reached = is_reached || c.n > 1 || reaches(w, v);
        if (!is_reached) {
            cr_expect(eq(sz, c.n, alone ? 1 : 0), "well %zu", i / 2);
            dead += !alone;
            flowing += alone;
        }
        if (!is_reached && alone) {
            cr_expect(epsilon_eq(dbl, c.gas_max_sm3s, 0, 0));
            cr_expect(epsilon_eq(dbl, c.oil_sm3s[0], full.oil_sm3s[0],
                                 1e-3 * full.oil_sm3s[full.peak]));
        }
        arena_release(&a);
    }
    cr_assert(lt(int, 3, dead));
    cr_assert(lt(int, 3, flowing));
}

/* Such a valve closes when more gas makes the tubing light. */
Test(gas_side, where_a_production_valve_closes_the_curve_ends)
{
    int closed = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (double header = 1100; header < 2000; header += 400) {
            struct string_well s;
            struct arena a;

            arena_init(&a);
            string_well(i, header * PSI, 14, &s);
            for (size_t k = 0; k + 1 < STRING_VALVES; k++) {
                s.valve[k].p_dome_60f_pa *= 0.9;
                s.valve[k].kind = VALVE_PRODUCTION;
            }
            struct well *w = &s.sample.well;
            w->operating = 2;
            w->md_inject_m = w->valve[2].md_m;
            struct curve c = built(w, &a, NULL);
            for (size_t k = 0; k < c.n; k++)
                if (c.gas_sm3s[k] >= c.gas_min_sm3s && c.gas_sm3s[k] > 0)
                    cr_expect(le(dbl, c.p_casing_pa[k], header * PSI * 1.00001),
                              "well %zu, point %zu", i, k);
            if (c.n > 1 && c.end != CURVE_END_MAXIMUM) {
                double more = 1.001 * c.gas_max_sm3s;
                double p = at_rate(&c, w, more).p_head_pa;

                if (c.end == CURVE_END_HEADER)
                    cr_expect(lt(dbl, header * PSI, p), "well %zu", i);
                else /* a valve above opens: at a pressure that there is */
                    cr_expect(lt(dbl, p, header * PSI * 1.001), "well %zu", i);
                closed += isinf(p);
            }
            arena_release(&a);
        }
    cr_assert(lt(int, 0, closed));
}

Test(gas_side, a_string_costs_at_most_three_times_one_depth)
{
    static const double HEADERS[] = {1800, 2600};
    double sum = 0;
    int n = 0;

    for (size_t i = 0; i < 2 * SAMPLE_WELLS; i++) {
        struct string_well s;
        struct arena a;
        struct curve_count with = {0}, without = {0};

        arena_init(&a);
        string_well(i / 2, HEADERS[i % 2] * PSI, 16, &s);
        struct curve c = built(&s.sample.well, &a, &with);
        sample_well(i / 2, &s.sample);
        built(&s.sample.well, &a, &without);
        double ratio = (double)with.march.calls / without.march.calls;
        if (c.operating == STRING_VALVES - 1) {
            cr_expect(lt(dbl, ratio, 3), "well %zu: %.2f", i / 2, ratio);
            sum += ratio;
            n++;
        }
        arena_release(&a);
    }
    cr_assert(lt(int, 20, n));
    cr_assert(lt(dbl, sum / n, 2));
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
            steady_at(&c, w, gas)) {
            arena_release(&a);
            continue;
        }
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
    cr_assert(lt(int, 3, heads));
}
