#include "well/traverse.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "support/ode_oracle.h"
#include "support/random_wells.h"
#include "support/sample_wells.h"

/* Parts of the reservoir's greatest rate, and Mscf/d. */
static const struct {
    double part, lift_mscfd;
} pairs[] = {{0.05, 200}, {0.3, 0}, {0.3, 800}, {0.7, 2500}};
#define PAIRS (sizeof pairs / sizeof pairs[0])

static double liquid_of(const struct well *w, double part)
{
    return part * inflow_max_sm3s(&w->inflow);
}

static double bottom_pa(const struct well *w, double liquid, double lift,
                        struct march_count *count)
{
    struct traverse t;
    struct err err = {0};
    enum status st = traverse_solve(w, liquid, lift, &t, NULL, &err);

    cr_expect(eq(int, st, ST_OK), "%s: %s", w->name, err.msg);
    if (count)
        *count = t.count;
    return t.p_bottom_pa;
}

/* The march is right to 1e-6 in each of some ten to thirty steps; where the
 * stream is near to choking at the wellhead the first ones count twice. The
 * fixed march is off by 2e-5: half a step of 0.4 m at a jump of a third of the
 * slope, three times. */
#define TOL_ORACLE 2.5e-5

Test(traverse, agrees_with_fine_fixed_steps, .timeout = 300)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (size_t k = 0; k < PAIRS; k++) {
            struct sample_well s;

            sample_well(i, &s);
            double liquid = liquid_of(&s.well, pairs[k].part);
            double lift = pairs[k].lift_mscfd * MSCF_D;
            double want = oracle_fixed_steps_pa(&s.well, liquid, lift, 3000);
            double got = bottom_pa(&s.well, liquid, lift, NULL);

            cr_expect(epsilon_eq(dbl, got, want, TOL_ORACLE * want),
                      "%s pair %zu", s.well.name, k);
        }
}

Test(traverse, agrees_with_cvode, .timeout = 300)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (size_t k = 0; k < PAIRS; k++) {
            struct sample_well s;

            sample_well(i, &s);
            double liquid = liquid_of(&s.well, pairs[k].part);
            double lift = pairs[k].lift_mscfd * MSCF_D;
            double want = oracle_cvode_pa(&s.well, liquid, lift);
            double got = bottom_pa(&s.well, liquid, lift, NULL);

            cr_expect(epsilon_eq(dbl, got, want, TOL_ORACLE * want),
                      "%s pair %zu", s.well.name, k);
        }
}

/* A well full of still fresh water at 60 F, half of it at 60 degrees off the
 * vertical. */
struct water_well {
    struct sample_well s;
    struct well_station station[3];
};

static void water_well(struct water_well *ww)
{
    struct well *w = &ww->s.well;

    sample_well(0, &ww->s);
    w->fluid.salinity = 0;
    w->water_cut = 1;
    w->thermal.t_head_k = w->thermal.t_bottom_k = 288.706;
    w->thermal.model = THERMAL_LINEAR;
    ww->station[0] = (struct well_station){0, 0};
    ww->station[1] = (struct well_station){500 * 0.3048, 500 * 0.3048};
    ww->station[2] = (struct well_station){1500 * 0.3048, 1000 * 0.3048};
    w->station = ww->station;
    w->thermal.tvd_bottom_m = 1000 * 0.3048;
    ww->s.section[0].to_md_m = well_bottom_m(w);
    w->md_inject_m = 1000 * 0.3048;
}

Test(traverse, still_water_weighs_0433_psi_per_foot_of_vertical_depth,
     .timeout = 5)
{
    struct water_well ww;

    water_well(&ww);
    double p = bottom_pa(&ww.s.well, 1 * STB_D, 0, NULL);
    /* Fresh water at 60 F: 62.37 lb/ft3 / 144 (common practice, no source),
     * 0.1 % denser at 400 psi; correlations differ by 0.1 %. */
    cr_assert(epsilon_eq(dbl, (p - ww.s.well.p_head_pa) / PSI, 433.1, 1.0));
}

Test(traverse, friction_counts_along_measured_depth, .timeout = 5)
{
    struct water_well ww;

    water_well(&ww);
    double still = bottom_pa(&ww.s.well, 1 * STB_D, 0, NULL);
    double moving = bottom_pa(&ww.s.well, 8000 * STB_D, 0, NULL);
    /* By hand: v = 0.014721 m3/s / 0.0045360 m2 = 3.2453 m/s; Re = 999 * v *
     * 0.0759968 / 1.1e-3 = 2.2e5; e/d = 0.0006; Colebrook-White f = 0.0190;
     * f rho v^2 / (2 d) = 1318 Pa/m over 457.2 m. The viscosity of water at
     * 60 F (1.1 to 1.2 cp) moves f by 1 %. */
    cr_assert(epsilon_eq(dbl, moving - still, 602e3, 15e3));
}

Test(traverse, the_profile_runs_from_head_to_bottom, .timeout = 5)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        struct traverse_point point[200];
        struct traverse_profile profile = {0, 200, point};
        struct traverse t;
        struct err err = {0};
        bool has_injection = false;

        sample_well(i, &s);
        const struct well *w = &s.well;
        double liquid = liquid_of(w, 0.3);
        enum status st =
            traverse_solve(w, liquid, 500 * MSCF_D, &t, &profile, &err);
        cr_assert(eq(int, st, ST_OK));
        cr_assert(lt(sz, 4, profile.n));
        cr_assert(lt(sz, profile.n, profile.cap));
        const struct traverse_point *last = &point[profile.n - 1];
        double depth = well_bottom_m(w);

        cr_expect(eq(dbl, point[0].md_m, 0));
        cr_expect(eq(dbl, point[0].p_pa, w->p_head_pa));
        cr_expect(epsilon_eq(dbl, last->md_m, depth, 1e-9 * depth));
        cr_expect(epsilon_eq(dbl, last->tvd_m, w->thermal.tvd_bottom_m,
                             1e-9 * depth));
        cr_expect(eq(dbl, last->p_pa, t.p_bottom_pa));
        for (size_t k = 0; k < profile.n; k++) {
            const struct traverse_point *p = &point[k];

            if (fabs(p->md_m - w->md_inject_m) < 1e-6) {
                has_injection = true;
                cr_expect(eq(dbl, p->p_pa, t.p_inject_pa));
            }
            cr_expect(lt(dbl, 0, p->holdup));
            cr_expect(le(dbl, p->holdup, 1));
            cr_expect(lt(dbl, w->thermal.t_head_k - 0.01, p->t_k));
            cr_expect(lt(dbl, p->t_k, w->thermal.t_bottom_k + 0.01));
            if (k == 0)
                continue;
            cr_expect(ge(dbl, p->md_m, p[-1].md_m), "%s %zu", w->name, k);
            cr_expect(ge(dbl, p->p_pa, p[-1].p_pa), "%s %zu", w->name, k);
        }
        cr_expect(has_injection, "%s", w->name);
    }
}

Test(traverse, points_past_the_room_are_counted_and_not_kept, .timeout = 5)
{
    struct sample_well s;
    struct traverse_point point[4] = {
        {.md_m = -1}, {.md_m = -1}, {.md_m = -1}, {.md_m = -1}};
    struct traverse_profile profile = {0, 3, point};
    struct traverse t;
    struct err err = {0};

    sample_well(0, &s);
    double liquid = liquid_of(&s.well, 0.3);
    cr_assert(
        eq(int, traverse_solve(&s.well, liquid, 0, &t, &profile, &err), ST_OK));
    cr_assert(lt(sz, 3, profile.n));
    cr_assert(eq(dbl, point[3].md_m, -1));
    cr_assert(ne(dbl, point[2].md_m, -1));
}

#define MANY 200

/* The two stations a and b with MANY parts between them. */
static size_t split(struct well_station *out, struct well_station a,
                    struct well_station b)
{
    for (int i = 1; i <= MANY; i++) {
        double part = (double)i / MANY;

        out[i - 1] =
            (struct well_station){a.md_m + part * (b.md_m - a.md_m),
                                  a.tvd_m + part * (b.tvd_m - a.tvd_m)};
    }
    return MANY;
}

Test(traverse, stations_on_a_straight_line_change_nothing, .timeout = 10)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        struct well_station many[2 * MANY + 1] = {{0, 0}};
        struct march_count few_count, many_count;

        sample_well(i, &s);
        double liquid = liquid_of(&s.well, 0.3);
        double few = bottom_pa(&s.well, liquid, 500 * MSCF_D, &few_count);
        split(many + 1, s.station[0], s.station[1]);
        split(many + 1 + MANY, s.station[1], s.station[2]);
        s.well.station = many;
        s.well.n_stations = 2 * MANY + 1;
        double fine = bottom_pa(&s.well, liquid, 500 * MSCF_D, &many_count);

        cr_expect(epsilon_eq(dbl, fine, few, 1e-9 * few), "%s", s.well.name);
        cr_expect(le(int, many_count.calls, few_count.calls + 20));
    }
}

Test(traverse, a_survey_with_a_station_every_10_m_costs_7_calls_a_station,
     .timeout = 10)
{
    struct sample_well s;
    struct well_station arc[MANY + 1] = {{0, 0}};
    struct march_count count;

    /* From vertical to 60 degrees over 2000 m. */
    sample_well(0, &s);
    for (int i = 1; i <= MANY; i++) {
        arc[i].md_m = 10.0 * i;
        arc[i].tvd_m = arc[i - 1].tvd_m + 10 * cos(1.05 * (i - 0.5) / MANY);
    }
    s.well.station = arc;
    s.well.n_stations = MANY + 1;
    s.well.thermal.tvd_bottom_m = arc[MANY].tvd_m;
    s.section[0].to_md_m = arc[MANY].md_m;
    s.well.md_inject_m = 1800;
    double got =
        bottom_pa(&s.well, liquid_of(&s.well, 0.3), 500 * MSCF_D, &count);
    double want = oracle_fixed_steps_pa(&s.well, liquid_of(&s.well, 0.3),
                                        500 * MSCF_D, 50);

    cr_assert(epsilon_eq(dbl, got, want, 5e-6 * want));
    cr_assert(le(int, count.calls, 7 * MANY + 100));
}

/* Root mean square of the fourth differences, relative to the mean: nothing
 * of a smooth curve is left in them, and sqrt(70) times the jitter. */
static double roughness(const double *y, int n)
{
    double sum = 0, mean = 0;

    for (int i = 0; i < n; i++)
        mean += y[i] / n;
    for (int i = 2; i < n - 2; i++) {
        double d = y[i + 2] - 4 * y[i + 1] + 6 * y[i] - 4 * y[i - 1] + y[i - 2];
        sum += d * d;
    }
    return sqrt(sum / (n - 4)) / mean;
}

Test(traverse, neighbouring_rates_do_not_jitter, .timeout = 300)
{
    enum { N = 400 };

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        double by_liquid[N], by_lift[N];
        const struct well *w = &s.well;

        sample_well(i, &s);
        double liquid = liquid_of(w, 0.3);
        for (int k = 0; k < N; k++) {
            double more = 1 + 0.0005 * k;

            by_liquid[k] = bottom_pa(w, liquid * more, 500 * MSCF_D, NULL);
            by_lift[k] = bottom_pa(w, liquid, 500 * MSCF_D * more, NULL);
        }
        /* Measured: 2e-14 to 1.2e-6 of the pressure; neighbours differ by
         * 1e-4 of it and more. */
        cr_expect(lt(dbl, roughness(by_liquid, N), 3e-6), "%s", s.well.name);
        cr_expect(lt(dbl, roughness(by_lift, N), 3e-6), "%s", s.well.name);
    }
}

Test(traverse, takes_fewer_than_120_calls_on_average, .timeout = 10)
{
    int calls = 0, n = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (size_t k = 0; k < PAIRS; k++) {
            struct sample_well s;
            struct march_count count;

            sample_well(i, &s);
            bottom_pa(&s.well, liquid_of(&s.well, pairs[k].part),
                      pairs[k].lift_mscfd * MSCF_D, &count);
            calls += count.calls;
            n++;
        }
    cr_assert(lt(int, calls, 120 * n), "%d calls in %d traverses", calls, n);
}

Test(traverse, a_pressure_beyond_the_correlations_is_out_of_range,
     .timeout = 10)
{
    struct sample_well s;
    struct traverse t;
    struct err err = {0};

    /* 100,000 stb/d through 1.61 in. */
    sample_well(9, &s);
    enum status st = traverse_solve(&s.well, 100000 * STB_D, 0, &t, NULL, &err);
    cr_assert(eq(int, st, ST_RANGE));
    cr_assert(lt(dbl, 1e8, t.p_bottom_pa));
    cr_assert(lt(sz, 0, strlen(err.msg)));
}

Test(traverse, what_is_not_a_number_is_out_of_range, .timeout = 10)
{
    for (int field = 0; field < 5; field++) {
        struct sample_well s;
        struct traverse t;
        struct err err = {0};

        sample_well(0, &s);
        double *broken[] = {&s.well.p_head_pa, &s.well.water_cut,
                            &s.well.gor_sm3sm3, &s.section[0].d_m,
                            &s.well.thermal.t_head_k};
        *broken[field] = (double)NAN;
        enum status st =
            traverse_solve(&s.well, 500 * STB_D, 0, &t, NULL, &err);
        cr_expect(eq(int, st, ST_RANGE), "field %d", field);
    }
}

/* The friction law changes at a Reynolds number of 2000, and the slower rise
 * of pressure beyond leads back over it: the stream stays at the boundary. */
Test(traverse, a_stream_that_stays_at_reynolds_2000_is_followed, .timeout = 10)
{
    struct random_well r;
    struct march_count count;

    random_well(3, &r);
    for (int i = 0; i < 10; i++) {
        double liquid = liquid_of(&r.well, 0.922 + 0.002 * i);

        bottom_pa(&r.well, liquid, 1142.658 * MSCF_D, &count);
        cr_expect(le(int, count.events, 20));
    }
}
