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
#include "well/inflow.h"

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
        bool known = published_fluid(&c, &got) || published_well(&c, &got) ||
                     published_gradient(&c, &got);

        cr_expect(known, "%s: no function knows this row", c.id);
        cr_expect(epsilon_eq(dbl, got, want, tol), "%s %s: %s", c.id,
                  sheet_text(&s, i, "quantity"), sheet_text(&s, i, "source"));
        computed += known;
    }
    cr_assert(eq(sz, computed, 178));
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
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = 0.65});
    cr_assert(eq(sz, s.n_rows, 25));
    for (size_t i = 0; i < s.n_rows; i++) {
        double p = sheet_number(&s, i, "p_surface_psig") + 14.7;
        double depth = sheet_number(&s, i, "depth_ft");
        double want = sheet_number(&s, i, "p_psig") + 14.7, step = 10;

        p *= UNIT_PSI_PA;
        for (double x = 0.5 * step; x < depth; x += step) {
            double t = (70 + 0.016 * x + 459.67) / 1.8;
            double rho = gas_density_kgm3(&g, p, t, gas_z(&g, p, t));
            p *= exp(rho * UNIT_GRAVITY_MS2 * step * UNIT_FT_M / p);
        }
        cr_expect(epsilon_eq(dbl, p / UNIT_PSI_PA, want, 0.004 * want),
                  "row %zu", i);
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
