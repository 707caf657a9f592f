/* Values found in print, from tests/published. Each row carries its source. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fluid/gas.h"
#include "fluid/oil.h"
#include "fluid/paper_units.h"
#include "published.h"
#include "well/friction.h"
#include "well/gradient.h"
#include "well/inflow.h"
#include "well/valve.h"

static struct arena arena;

static void open_arena(void)
{
    arena_init(&arena);
}

static void close_arena(void)
{
    arena_release(&arena);
}

TestSuite(published, .init = open_arena, .fini = close_arena, .timeout = 60);

static struct check check_at(const struct sheet *s, size_t row)
{
    struct check c = {s, row, sheet_text(s, row, "id"), 0};
    c.number = atoi(strrchr(c.id, '-') + 1);
    return c;
}

/* "0.3%" of the value, or an absolute number. */
static double tolerance(const char *text, double expected)
{
    char *end;
    double value = strtod(text, &end);

    cr_assert(end != text, "%s is no tolerance", text);
    return *end == '%' ? 0.01 * value * fabs(expected) : value;
}

Test(published, every_row_of_the_checks_is_computed_and_agrees)
{
    struct sheet s = sheet_read(&arena, "checks");
    size_t computed = 0;

    for (size_t i = 0; i < s.n_rows; i++) {
        struct check c = check_at(&s, i);
        double want = sheet_number(&s, i, "expected"), got = (double)NAN;
        double tol = tolerance(sheet_text(&s, i, "tolerance"), want);
        bool known =
            published_fluid(&c, &got) || published_well(&c, &got) ||
            published_gradient(&c, &got) || published_annulus(&c, &got) ||
            published_gas_side(&c, &got) || published_intermittent(&c, &got) ||
            published_unload(&c, &got);

        cr_expect(known, "%s: no function knows this row", c.id);
        cr_expect(epsilon_eq(dbl, got, want, tol), "%s %s: %s", c.id,
                  sheet_text(&s, i, "quantity"), sheet_text(&s, i, "source"));
        computed += known;
    }
    cr_assert(eq(sz, computed, 215));
}

Test(published, the_profile_of_the_printed_well_is_met_within_1_percent)
{
    struct sheet s = sheet_read(&arena, "hb_profile");
    struct sheet checks = sheet_read(&arena, "checks");
    struct check c = check_at(&checks, 0);
    double p[HB_STEPS + 1];

    hb_march(&c, HB_ORIGINAL, p);
    cr_assert(eq(sz, s.n_rows, HB_STEPS + 1));
    for (size_t i = 0; i < s.n_rows; i++) {
        double want = sheet_number(&s, i, "p_psia");
        cr_expect(epsilon_eq(dbl, p[i], want, 0.01 * want), "depth %s ft",
                  sheet_text(&s, i, "depth_ft"));
    }
}

static enum oil_correlation correlation_named(const char *name)
{
    return *name == 'S'   ? OIL_STANDING
           : *name == 'V' ? OIL_VASQUEZ_BEGGS
                          : OIL_GLASO;
}

Test(published, five_oils_by_three_correlations_agree_within_0_3_percent)
{
    struct sheet s = sheet_read(&arena, "black_oil_examples");

    cr_assert(eq(sz, s.n_rows, 45));
    for (size_t i = 0; i < s.n_rows; i++) {
        struct oil_spec spec = {
            .gravity = 141.5 / (sheet_number(&s, i, "api") + 131.5),
            .gas_gravity = sheet_number(&s, i, "gas_gravity"),
            .correlation = correlation_named(sheet_text(&s, i, "correlation")),
            .p_separator_pa =
                (sheet_number(&s, i, "p_sep_psig") + 14.7) * UNIT_PSI_PA,
            .t_separator_k = (sheet_number(&s, i, "t_sep_f") + 459.67) / 1.8};
        struct oil o;
        oil_init(&o, &spec);
        const char *quantity = sheet_text(&s, i, "quantity");
        double t = (sheet_number(&s, i, "t_f") + 459.67) / 1.8;
        double rs = sheet_number(&s, i, "rs_scfstb") * PAPER_SCFSTB_SM3SM3;
        double p = (sheet_number(&s, i, "p_sat_psig") + 15) * UNIT_PSI_PA;
        double want = sheet_number(&s, i, "expected");
        double got =
            *quantity == 'R' ? oil_solution_gas(&o, p, t) / PAPER_SCFSTB_SM3SM3
            : *quantity == 'p' ? oil_bubble_point_pa(&o, rs, t) / UNIT_PSI_PA
                               : oil_volume_factor(&o, rs, 0, 0, t);
        cr_expect(epsilon_eq(dbl, got, want, 0.003 * want), "oil %s %s %s",
                  sheet_text(&s, i, "oil"), quantity,
                  sheet_text(&s, i, "correlation"));
    }
}

/* The chart was digitised; under T_pr 1.2 both equations leave it, at 1.05 and
 * p_pr 1.5 to 2.5 by 13 and 22 %, as is known. */
Test(published, z_meets_the_digitised_chart)
{
    struct sheet s = sheet_read(&arena, "standing_katz_z");
    int near = 0;

    cr_assert(eq(sz, s.n_rows, 52));
    for (size_t i = 0; i < s.n_rows; i++) {
        double p = sheet_number(&s, i, "p_pr"), t = sheet_number(&s, i, "t_pr");
        double want = sheet_number(&s, i, "z_chart");
        double tol = t >= 1.2 ? 0.013 : 0.14, tol_hall = t >= 1.2 ? 0.01 : 0.23;

        near += t >= 1.2;
        cr_expect(epsilon_eq(dbl, gas_z_dranchuk(p, t), want, tol * want),
                  "T_pr %g p_pr %g", t, p);
        cr_expect(
            epsilon_eq(dbl, gas_z_hall_yarborough(p, t), want, tol_hall * want),
            "T_pr %g p_pr %g", t, p);
    }
    cr_assert(eq(int, near, 38));
}

/* Sutton and Dranchuk & Abou-Kassem against the real gas: 1.3 % from 100 F and
 * to 2000 psia, 2.5 % at 60 F, where 2000 psia is near the critical point. */
Test(published, z_of_a_lean_gas_is_the_real_one_within_1_3_percent)
{
    struct sheet s = sheet_read(&arena, "gerg_lean_gas");
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = 0.65});
    cr_assert(eq(sz, s.n_rows, 50));
    for (size_t i = 0; i < s.n_rows; i++) {
        double p = sheet_number(&s, i, "p_psia") * UNIT_PSI_PA;
        double t = (sheet_number(&s, i, "t_f") + 459.67) / 1.8;
        double z = sheet_number(&s, i, "z");
        double rho = sheet_number(&s, i, "rho_kgm3");
        double tol = t < 310 ? 0.025 : p < 1.4e7 ? 0.013 : 0.02;
        double got = gas_z(&g, p, t);

        cr_expect(epsilon_eq(dbl, got, z, tol * z), "row %zu", i);
        cr_expect(
            epsilon_eq(dbl, gas_density_kgm3(&g, p, t, got), rho, tol * rho),
            "row %zu", i);
    }
}

/* Methane, gravity 0.5539, lies just under Sutton's range of 0.57 and needs no
 * pseudo-critical point at all: what is left is Sutton's error there. */
Test(published, methane_is_met_within_3_percent)
{
    struct sheet s = sheet_read(&arena, "methane_sw91");
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = 0.5539});
    cr_assert(eq(sz, s.n_rows, 60));
    for (size_t i = 0; i < s.n_rows; i++) {
        double p = sheet_number(&s, i, "p_mpa") * 1e6;
        double t = sheet_number(&s, i, "t_k");
        double rho = sheet_number(&s, i, "rho_kgm3");
        double got = gas_density_kgm3(&g, p, t, gas_z(&g, p, t));

        cr_expect(epsilon_eq(dbl, got, rho, 0.03 * rho), "%g K %g Pa", t, p);
    }
}

Test(published, static_gas_columns_agree_within_0_4_percent)
{
    struct sheet s = sheet_read(&arena, "gas_column");

    cr_assert(eq(sz, s.n_rows, 25));
    for (size_t i = 0; i < s.n_rows; i++) {
        struct straight_column c = {
            .gravity = 0.65,
            .p_head_pa =
                (sheet_number(&s, i, "p_surface_psig") + 14.7) * UNIT_PSI_PA,
            .depth_m = sheet_number(&s, i, "depth_ft") * UNIT_FT_M,
            .t_head_k = (70 + 459.67) / 1.8,
            .t_slope_km = 0.016 / 1.8 / UNIT_FT_M,
            .d_m = 0.1};
        double want = sheet_number(&s, i, "p_psig") + 14.7;

        cr_expect(epsilon_eq(dbl, straight_column_pa(&c, 0) / UNIT_PSI_PA, want,
                             0.004 * want),
                  "row %zu", i);
    }
}

/* The 155.5 form took 520 R for 60 F; its rates are printed to 0.1. */
Test(published, ports_pass_what_the_formula_and_first_principles_say)
{
    struct sheet s = sheet_read(&arena, "orifice_thornhill_craver");

    cr_assert(eq(sz, s.n_rows, 42));
    for (size_t i = 0; i < s.n_rows; i++) {
        double got = round_port_mscfd(
            sheet_number(&s, i, "port_in") * UNIT_INCH_M, 0.65,
            (sheet_number(&s, i, "p1_psig") + 14.7) * UNIT_PSI_PA,
            (sheet_number(&s, i, "p2_psig") + 14.7) * UNIT_PSI_PA, 520 / 1.8);
        double want = sheet_number(&s, i, "q_mscfd");
        double first = sheet_number(&s, i, "q_first_principles_mscfd");

        cr_expect(epsilon_eq(dbl, got, want, 0.06), "row %zu", i);
        cr_expect(epsilon_eq(dbl, got, first, 0.004 * first), "row %zu", i);
    }
}

/* The fit's own digits too: the equation of state leaves its constants room. */
Test(published, nitrogen_in_a_dome_agrees_within_0_25_percent)
{
    struct sheet s = sheet_read(&arena, "nitrogen_dome");

    cr_assert(eq(sz, s.n_rows, 81));
    for (size_t i = 0; i < s.n_rows; i++) {
        double charge_pa = sheet_number(&s, i, "p_60f_psia") * UNIT_PSI_PA;
        double t_k = (sheet_number(&s, i, "t_f") + 459.67) / 1.8;
        double got = nitrogen_pressure_pa(charge_pa, t_k) / UNIT_PSI_PA;
        double want = sheet_number(&s, i, "p_psia");
        double fit = sheet_number(&s, i, "p_fit_psia");

        cr_expect(epsilon_eq(dbl, got, want, 0.0025 * want), "row %zu", i);
        cr_expect(epsilon_eq(dbl, got, fit, 0.0051), "row %zu", i);
    }
}

Test(published, the_printed_table_after_vogel_is_met_to_its_digits)
{
    struct sheet s = sheet_read(&arena, "vogel_table");
    struct inflow f = {.model = INFLOW_VOGEL, .p_res_pa = 2000, .j_sm3spa = 1};

    inflow_match(&f, 1000, 500);
    cr_assert(eq(sz, s.n_rows, 11));
    for (size_t i = 0; i < s.n_rows; i++)
        cr_expect(
            epsilon_eq(dbl,
                       inflow_rate_sm3s(&f, sheet_number(&s, i, "p_wf_psi")),
                       sheet_number(&s, i, "rate_stbd"), 0.06),
            "row %zu", i);
}

/* Beggs & Brill 1973 with Colebrook's rough pipe, as another program has it:
 * every pattern, level to upright, with acceleration. */
Test(published, beggs_brill_agrees_with_the_recorded_grid_to_1e_9)
{
    struct sheet s = sheet_read(&arena, "fluids_beggs_brill");
    size_t seen[4] = {0};
    static const char *const pattern[] = {"segregated", "transition",
                                          "intermittent", "distributed"};

    cr_assert(eq(sz, s.n_rows, 420));
    for (size_t i = 0; i < s.n_rows; i++) {
        struct pipe pipe = {sheet_number(&s, i, "d_m"),
                            sheet_number(&s, i, "roughness_m"),
                            sin(sheet_number(&s, i, "angle_deg") * M_PI / 180)};
        double area = 0.25 * M_PI * pipe.d_m * pipe.d_m;
        struct mix_state m = {
            .p_pa = sheet_number(&s, i, "p_pa"),
            .q_liquid_m3s = sheet_number(&s, i, "v_liquid_ms") * area,
            .q_gas_m3s = sheet_number(&s, i, "v_gas_ms") * area,
            .rho_liquid_kgm3 = sheet_number(&s, i, "rho_liquid_kgm3"),
            .rho_gas_kgm3 = sheet_number(&s, i, "rho_gas_kgm3"),
            .mu_liquid_pas = sheet_number(&s, i, "mu_liquid_pas"),
            .mu_gas_pas = sheet_number(&s, i, "mu_gas_pas"),
            .tension_nm = sheet_number(&s, i, "tension_nm"),
            .free_gas_margin = 1};
        double want = sheet_number(&s, i, "gradient_pam");
        const char *name = sheet_text(&s, i, "pattern");
        struct gradient g;

        gradient_at(GRADIENT_BEGGS_BRILL_1973, &pipe, &m, REGIME_NATURAL, &g);
        const char *ours =
            gradient_regime_text(GRADIENT_BEGGS_BRILL_1973, g.regime);
        cr_expect(epsilon_eq(dbl, g.total_pam, want, 1e-9 * want), "row %zu %s",
                  i, name);
        cr_expect(strncmp(ours, name, strlen(name)) == 0, "row %zu %s: %s", i,
                  name, ours);
        for (size_t k = 0; k < 4; k++)
            seen[k] += strcmp(name, pattern[k]) == 0;
    }
    for (size_t k = 0; k < 4; k++)
        cr_expect(eq(sz, seen[k], 105), "%s", pattern[k]);
}

Test(published, colebrook_agrees_with_the_recorded_grid_to_1e_9)
{
    struct sheet s = sheet_read(&arena, "fluids_colebrook");

    cr_assert(eq(sz, s.n_rows, 110));
    for (size_t i = 0; i < s.n_rows; i++) {
        double want = sheet_number(&s, i, "moody");
        double re = sheet_number(&s, i, "reynolds");
        double roughness = sheet_number(&s, i, "relative_roughness");

        cr_expect(
            epsilon_eq(dbl, friction_moody(re, roughness), want, 1e-9 * want),
            "Re %g e/d %g", re, roughness);
    }
}

/* Holdup of Hagedorn & Brown 1965 in a stream made so that its groups are the
 * given ones and H is h if the curve for C N_L gives cnl. */
static double holdup_for(double n_l, double cnl, double h, double b)
{
    const struct pipe pipe = {0.06, 0, 1};
    const double rho = 800, sigma = 0.02, g = UNIT_GRAVITY_MS2;
    double per_velocity = pow(rho / (g * sigma), 0.25);
    double n_d = pipe.d_m * sqrt(rho * g / sigma);
    double n_gv = b * pow(n_d, 2.14) / pow(n_l, 0.38);
    double n_lv = h * n_d * pow(n_gv, 0.575) / cnl;
    double area = 0.25 * M_PI * pipe.d_m * pipe.d_m;
    struct mix_state m = {.p_pa = UNIT_ATM_PA,
                          .q_liquid_m3s = n_lv / per_velocity * area,
                          .q_gas_m3s = n_gv / per_velocity * area,
                          .rho_liquid_kgm3 = rho,
                          .rho_gas_kgm3 = 1,
                          .mu_liquid_pas =
                              n_l / pow(g / (rho * pow(sigma, 3)), 0.25),
                          .mu_gas_pas = 1e-5,
                          .tension_nm = sigma,
                          .free_gas_margin = 1};
    struct gradient out;

    gradient_at(GRADIENT_HAGEDORN_BROWN_1965, &pipe, &m, REGIME_NATURAL, &out);
    return out.holdup;
}

/* The curves were read by eye, from memory: 0.03 in holdup, 6 % in psi. The
 * chart's C N_L at N_L 0.03 is the fit's to the digit, so it is used for the
 * other two; an error of 12 % in C N_L moves the holdup by 0.02. */
Test(published, the_three_curves_of_hagedorn_brown_are_followed)
{
    struct sheet s = sheet_read(&arena, "hb_curves");
    const double small_b = 1e-4, h = 1e-4;
    double at_h = holdup_for(0.03, 0.0033, h, small_b);

    cr_assert(eq(sz, s.n_rows, 34));
    for (size_t i = 0; i < s.n_rows; i++) {
        const char *curve = sheet_text(&s, i, "curve");
        double x = sheet_number(&s, i, "abscissa");
        double want = sheet_number(&s, i, "expected");

        if (*curve == 'C')
            cr_expect(
                epsilon_eq(dbl, holdup_for(x, want, h, small_b), at_h, 0.02),
                "%s %g", curve, x);
        else if (*curve == 'H')
            cr_expect(epsilon_eq(dbl, holdup_for(0.03, 0.0033, x, small_b),
                                 want, 0.03),
                      "%s %g", curve, x);
        else
            cr_expect(epsilon_eq(dbl, holdup_for(0.03, 0.0033, h, x) / at_h,
                                 want, 0.06 * want),
                      "%s %g", curve, x);
    }
}
