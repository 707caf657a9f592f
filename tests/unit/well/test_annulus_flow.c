/* Streams that flow around a pipe. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/units.h"
#include "support/ode_oracle.h"
#include "support/sample_wells.h"
#include "well/friction.h"
#include "well/gradient.h"
#include "well/groups.h"
#include "well/traverse.h"

TestSuite(annulus_flow, .timeout = 120);

/* Tubing of 2 3/8 in in a casing of 4.892 in; the roughness is common. */
#define CASING_M (4.892 * UNIT_INCH_M)
#define TUBING_M (2.375 * UNIT_INCH_M)
static const struct pipe annulus = {CASING_M, 2e-5, 1, TUBING_M};

/* Water and air near 10 atm. */
static struct mix_state stream(const struct pipe *pipe, double v_liquid,
                               double v_gas)
{
    double r = 0.5 * pipe->d_m, r_core = 0.5 * pipe->core_m;
    double area = M_PI * r * r - M_PI * r_core * r_core;

    return (struct mix_state){.p_pa = 1e6,
                              .t_k = 300,
                              .q_liquid_m3s = v_liquid * area,
                              .q_gas_m3s = v_gas * area,
                              .rho_liquid_kgm3 = 1000,
                              .rho_gas_kgm3 = 12,
                              .mu_liquid_pas = 1e-3,
                              .mu_gas_pas = 1.8e-5,
                              .tension_nm = 0.07,
                              .free_gas_margin = v_gas > 0 ? 1 : -1};
}

static struct gradient natural(int model, const struct pipe *pipe,
                               const struct mix_state *mix)
{
    struct gradient g;

    gradient_at((enum gradient_model)model, pipe, mix, REGIME_NATURAL, &g);
    return g;
}

Test(annulus_flow, a_hair_in_the_middle_of_a_pipe_changes_nothing)
{
    const struct pipe empty = {0.08, 2e-5, 0.9, 0};
    const struct pipe hair = {0.08, 2e-5, 0.9, 1e-9};
    int turbulent = 0;

    for (int m = 0; m < GRADIENT_COUNT; m++)
        for (double vl = 0.05; vl < 5; vl *= 2.3)
            for (double vg = 0; vg < 30; vg = 2.7 * vg + 0.05) {
                struct mix_state mix = stream(&empty, vl, vg);
                struct gradient a = natural(m, &empty, &mix);
                struct gradient b = natural(m, &hair, &mix);

                /* Slow flow feels a hair: no slip on it. */
                if (strstr(
                        gradient_regime_text((enum gradient_model)m, a.regime),
                        "laminar"))
                    continue;
                turbulent++;
                cr_expect(eq(int, a.regime, b.regime));
                cr_expect(epsilon_eq(dbl, a.total_pam, b.total_pam,
                                     1e-6 * a.total_pam),
                          "model %d v %g %g", m, vl, vg);
                cr_expect(epsilon_eq(dbl, a.friction_pam, b.friction_pam,
                                     1e-6 * a.friction_pam),
                          "model %d v %g %g", m, vl, vg);
                cr_expect(epsilon_eq(dbl, a.holdup, b.holdup, 1e-6),
                          "model %d v %g %g", m, vl, vg);
            }
    cr_assert(lt(int, 150, turbulent));
}

/* Rough flow, equal relative roughness: the factor is the same, and a pipe of
 * d^5 = (D_c - d_t)^3 (D_c + d_t)^2 loses as much at the same rate. 3.847 in
 * here. */
Test(annulus_flow, fast_liquid_loses_as_much_as_in_the_equivalent_pipe)
{
    const double d_m = 3.847 * UNIT_INCH_M;
    struct pipe rough = annulus, pipe = {d_m, 0.01 * d_m, 1, 0};

    rough.roughness_m = 0.01 * (CASING_M - TUBING_M);
    struct mix_state mix = stream(&rough, 2, 0);
    mix.mu_liquid_pas = 1e-9;
    for (int m = 0; m < GRADIENT_COUNT; m++) {
        double want = natural(m, &pipe, &mix).friction_pam;
        double got = natural(m, &rough, &mix).friction_pam;

        /* Four printed digits to the fifth power. */
        cr_expect(epsilon_eq(dbl, got, want, 7e-4 * want), "model %d", m);
    }
}

/* The velocity profile integrated: q = pi G / (8 mu) (R^4 - r^4 - (R^2 -
 * r^2)^2 / ln(R/r)) (Bird, Stewart & Lightfoot, from memory). */
Test(annulus_flow, slow_liquid_has_the_friction_of_the_exact_profile)
{
    static const double core_part[] = {0.001, 0.1, 0.4854, 0.8, 0.98};

    for (size_t i = 0; i < sizeof core_part / sizeof core_part[0]; i++) {
        struct pipe pipe = {CASING_M, 2e-5, 1, core_part[i] * CASING_M};
        struct mix_state mix = stream(&pipe, 0.005, 0);
        double r = 0.5 * pipe.core_m, big = 0.5 * pipe.d_m;
        double square = big * big - r * r;
        double want =
            mix.q_liquid_m3s * 8 * mix.mu_liquid_pas / M_PI /
            (pow(big, 4) - pow(r, 4) - square * square / log(big / r));

        for (int m = 0; m < GRADIENT_COUNT; m++) {
            struct gradient g = natural(m, &pipe, &mix);
            cr_expect(epsilon_eq(dbl, g.friction_pam, want, 1e-9 * want),
                      "model %d core %g", m, core_part[i]);
            cr_expect(eq(int, g.regime % 2, 1), "model %d core %g", m,
                      core_part[i]);
        }
    }
}

/* 4.892 - 2.375 = 2.517 in and 14.366 in2. */
Test(annulus_flow, groups_stand_on_the_gap_and_the_true_area)
{
    const double gap_m = 2.517 * UNIT_INCH_M;
    const double area_m2 = 14.366 * UNIT_INCH_M * UNIT_INCH_M;
    struct mix_state mix = stream(&annulus, 0.5, 1.5);
    struct groups g;

    mix.q_liquid_m3s = 0.5 * area_m2;
    mix.q_gas_m3s = 1.5 * area_m2;
    groups_at(&annulus, &mix, &g);
    /* Five printed digits. */
    cr_assert(epsilon_eq(dbl, g.v_liquid_ms, 0.5, 3e-5));
    cr_assert(epsilon_eq(dbl, g.v_gas_ms, 1.5, 9e-5));
    cr_assert(epsilon_eq(dbl, g.d_m, gap_m, 1e-9));
    cr_assert(
        epsilon_eq(dbl, g.froude, 4 / (9.80665 * gap_m), 1e-4 * g.froude));
    /* (0.25 * 1000 + 0.75 * 12) * 2 * d / (0.25 * 1e-3 + 0.75 * 1.8e-5) */
    cr_assert(epsilon_eq(dbl, g.reynolds_no_slip, 259 * 2 * gap_m / 2.635e-4,
                         1e-4 * g.reynolds_no_slip));
    cr_assert(
        epsilon_eq(dbl, g.n_d, gap_m * sqrt(1000 * 9.80665 / 0.07), 1e-6));
}

/* Slugs: gas at 1.2 v_mix + 0.345 sqrt(g (D_c + d_t) drho / rho), the
 * diameters' sum 7.267 in. */
Test(annulus_flow, gas_plugs_rise_by_the_sum_of_the_diameters)
{
    struct mix_state mix = stream(&annulus, 0.1, 0.4);
    double rise =
        0.345 * sqrt(9.80665 * 7.267 * UNIT_INCH_M * (1000 - 12) / 1000);
    struct gradient g = natural(GRADIENT_DRIFT_FLUX, &annulus, &mix);

    cr_assert(epsilon_eq(dbl, g.holdup, 1 - 0.4 / (1.2 * 0.5 + rise), 1e-9));
}

/* Griffith & Wallis on the gap: 1.071 - 0.2218 v^2 / d (ft/s, ft). */
Test(annulus_flow, bubble_flow_ends_by_the_width_of_the_gap)
{
    double gap_ft = 2.517 / 12, v_fts = 0.75;
    double line = 1.071 - 0.2218 * v_fts * v_fts / gap_ft;

    for (int side = -1; side <= 1; side += 2) {
        double gas = line + side * 0.001, v = v_fts * UNIT_FT_M;
        struct mix_state mix = stream(&annulus, (1 - gas) * v, gas * v);
        struct gradient g = natural(GRADIENT_HAGEDORN_BROWN, &annulus, &mix);
        const char *text =
            gradient_regime_text(GRADIENT_HAGEDORN_BROWN, g.regime);

        cr_expect(eq(int, strncmp(text, "bubble", 6) == 0, side < 0), "%s",
                  text);
    }
}

/* At the same speeds, turbulent, the gap is all that the correlations know;
 * the rise of plugs alone asks for more, and fast gas has none. */
Test(annulus_flow, a_fast_stream_loses_as_much_as_in_a_pipe_of_the_gaps_width)
{
    const struct pipe pipe = {CASING_M - TUBING_M, 2e-5, 1, 0};

    for (int m = 0; m < GRADIENT_COUNT; m++)
        for (double vl = 0.1; vl < 1; vl *= 2.3)
            for (double vg = 12; vg < 30; vg *= 1.3) {
                struct mix_state in_gap = stream(&annulus, vl, vg);
                struct mix_state in_pipe = stream(&pipe, vl, vg);
                struct gradient got = natural(m, &annulus, &in_gap);
                struct gradient want = natural(m, &pipe, &in_pipe);

                cr_expect(eq(int, got.regime, want.regime));
                cr_expect(epsilon_eq(dbl, got.friction_pam, want.friction_pam,
                                     1e-9 * want.friction_pam),
                          "model %d v %g %g", m, vl, vg);
                cr_expect(epsilon_eq(dbl, got.elevation_pam, want.elevation_pam,
                                     1e-9 * want.elevation_pam),
                          "model %d v %g %g", m, vl, vg);
            }
}

/* --- whole wells ----------------------------------------------------------*/

static void annular_well(size_t i, double core_m, struct sample_well *s)
{
    sample_well(i, s);
    s->section[0].d_m = CASING_M;
    s->section[0].core_m = core_m;
}

static double bottom_pa(const struct well *w, double liquid, double lift)
{
    struct traverse t;
    struct err err = {0};
    enum status st = traverse_solve(w, liquid, lift, &t, NULL, &err);

    cr_assert(eq(int, st, ST_OK), "%s: %s", w->name, err.msg);
    return t.p_bottom_pa;
}

/* Right to 1e-6 in each step of the march, some tens of steps. */
Test(annulus_flow, the_march_agrees_with_cvode)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (double part = 0.1; part < 1; part += 0.5) {
            struct sample_well s;

            annular_well(i, TUBING_M, &s);
            double liquid = part * inflow_max_sm3s(&s.well.inflow);
            double lift = 900 * part * MSCF_D;
            double want = oracle_cvode_pa(&s.well, liquid, lift);

            cr_expect(epsilon_eq(dbl, bottom_pa(&s.well, liquid, lift), want,
                                 2.5e-5 * want),
                      "%s part %g", s.well.name, part);
        }
}

/* In a wide annulus friction is small: gas makes the column lighter. */
Test(annulus_flow, more_gas_makes_a_slow_column_lighter)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        double before = HUGE_VAL;

        annular_well(i, TUBING_M, &s);
        for (double lift = 0; lift <= 800; lift += 100) {
            double p = bottom_pa(&s.well, 300 * STB_D, lift * MSCF_D);
            cr_expect(lt(dbl, p, before), "%s lift %g", s.well.name, lift);
            before = p;
        }
    }
}

/* Much gas moves too fast to slip: what a core takes away of the area is
 * friction. */
Test(annulus_flow, a_thicker_core_costs_a_fast_stream_more)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        double before = 0;

        for (double core = 0; core <= 0.8; core += 0.2) {
            annular_well(i, core * CASING_M, &s);
            double p = bottom_pa(&s.well, 6000 * STB_D, 8000 * MSCF_D);
            cr_expect(lt(dbl, before, p), "%s core %g", s.well.name, core);
            before = p;
        }
    }
}
