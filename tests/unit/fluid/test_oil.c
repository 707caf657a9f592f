/* Where no other source stands beside a number, the printed equation was
 * evaluated apart from the program. */
#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fluid/oil.h"
#include "fluid/paper_units.h"

TestSuite(oil, .timeout = 20);

#define PSI UNIT_PSI_PA
#define SCFSTB PAPER_SCFSTB_SM3SM3

static double k_of_f(double t_f)
{
    return (t_f + 459.67) / 1.8;
}

static struct oil_spec spec_of(double api, double gas_gravity,
                               enum oil_correlation correlation)
{
    return (struct oil_spec){.gravity = 141.5 / (api + 131.5),
                             .gas_gravity = gas_gravity,
                             .correlation = correlation};
}

static struct oil oil_of(double api, double gas_gravity,
                         enum oil_correlation correlation)
{
    struct oil_spec s = spec_of(api, gas_gravity, correlation);
    struct oil o;

    oil_init(&o, &s);
    return o;
}

Test(oil, each_correlation_follows_its_printed_equations)
{
    static const struct {
        enum oil_correlation model;
        double api, gas, t_f, p_psia, rs, p_above;
        double want_rs, want_pb, want_bob, want_bo;
    } rows[] = {
        {OIL_STANDING, 24, 0.7, 160, 1500, 220, 4000, 223.04545, 1482.6919,
         1.1316379, 1.1105474},
        {OIL_VASQUEZ_BEGGS, 24, 0.7, 160, 1500, 220, 4000, 204.26048, 1605.3423,
         1.1492682, 1.1295496},
        {OIL_GLASO, 24, 0.7, 160, 1500, 220, 4000, 175.09737, 1852.6183,
         1.1067209, 1.0906903},
        {OIL_STANDING, 38, 0.8, 220, 2500, 700, 5000, 653.46989, 2648.3764,
         1.4309331, 1.3827829},
        {OIL_VASQUEZ_BEGGS, 38, 0.8, 220, 2500, 700, 5000, 586.05412, 2903.6515,
         1.4176128, 1.3767176},
        {OIL_GLASO, 38, 0.8, 220, 2500, 700, 5000, 577.95579, 2929.9446,
         1.4016378, 1.3618646},
        {OIL_STANDING, 30, 0.9, 120, 600, 60, 3000, 133.43108, 296.71266,
         1.0496654, 1.0436768},
        {OIL_VASQUEZ_BEGGS, 30, 0.9, 120, 600, 60, 3000, 134.77065, 286.29664,
         1.0609088, 1.0547629},
        {OIL_GLASO, 30, 0.9, 120, 600, 60, 3000, 128.01287, 247.687, 1.0367294,
         1.0303544},
        /* Just on the light side of 30 API. */
        {OIL_VASQUEZ_BEGGS, 30.3, 0.75, 180, 1800, 350, 3500, 303.24382,
         2031.1295, 1.2190466, 1.1998941},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct oil o = oil_of(rows[i].api, rows[i].gas, rows[i].model);
        double t = k_of_f(rows[i].t_f), rs = rows[i].rs * SCFSTB;
        double pb = oil_bubble_point_pa(&o, rs, t);

        cr_expect(epsilon_eq(dbl, oil_solution_gas(&o, rows[i].p_psia * PSI, t),
                             rows[i].want_rs * SCFSTB,
                             1e-7 * rows[i].want_rs * SCFSTB),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, pb, rows[i].want_pb * PSI,
                             1e-7 * rows[i].want_pb * PSI),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, oil_volume_factor(&o, rs, pb, pb, t),
                             rows[i].want_bob, 1e-7),
                  "row %zu", i);
        cr_expect(
            epsilon_eq(dbl,
                       oil_volume_factor(&o, rs, rows[i].p_above * PSI, pb, t),
                       rows[i].want_bo, 1e-7),
            "row %zu", i);
    }
}

Test(oil, the_bubble_point_is_the_inverse_of_solution_gas)
{
    for (int model = OIL_STANDING; model <= OIL_GLASO; model++) {
        struct oil o = oil_of(33, 0.75, (enum oil_correlation)model);
        for (double p = 100 * PSI; p < 6000 * PSI; p *= 1.3) {
            double rs = oil_solution_gas(&o, p, 350);
            cr_expect(
                epsilon_eq(dbl, oil_bubble_point_pa(&o, rs, 350), p, 1e-10 * p),
                "model %d p %g", model, p);
        }
    }
}

Test(oil, a_measured_bubble_point_and_volume_factor_are_met)
{
    for (int model = OIL_STANDING; model <= OIL_GLASO; model++) {
        struct oil_spec s = spec_of(33, 0.75, (enum oil_correlation)model);
        struct oil o;

        s.p_bubble_pa = 1.7e7;
        s.t_bubble_k = 365;
        s.gor_sm3sm3 = 110;
        s.volume_factor_bubble = 1.37;
        oil_init(&o, &s);
        cr_expect(
            epsilon_eq(dbl, oil_bubble_point_pa(&o, 110, 365), 1.7e7, 1e-2));
        cr_expect(epsilon_eq(dbl, oil_solution_gas(&o, 1.7e7, 365), 110, 1e-7));
        cr_expect(epsilon_eq(dbl, oil_volume_factor(&o, 110, 1.7e7, 1.7e7, 365),
                             1.37, 1e-12));
    }
}

/* Vasquez & Beggs: g (1 + 5.912e-5 API T log10(p / 114.7)) at 100 F, 200 psia
 * and 40 API is 1.0571020 g. */
Test(oil, only_vasquez_beggs_corrects_the_gas_gravity_for_the_separator)
{
    for (int model = OIL_STANDING; model <= OIL_GLASO; model++) {
        struct oil_spec s = spec_of(40, 0.8, (enum oil_correlation)model);
        struct oil o;
        double want = model == OIL_VASQUEZ_BEGGS ? 0.8 * 1.0571020 : 0.8;

        s.p_separator_pa = 200 * PSI;
        s.t_separator_k = k_of_f(100);
        oil_init(&o, &s);
        cr_expect(epsilon_eq(dbl, o.gas_gravity_used, want, 1e-7), "model %d",
                  model);
    }
}

Test(oil, oil_with_hardly_any_gas_has_the_bubble_point_of_the_tank)
{
    for (int model = OIL_STANDING; model <= OIL_GLASO; model++) {
        struct oil o = oil_of(30, 0.75, (enum oil_correlation)model);
        cr_expect(epsilon_eq(dbl, oil_bubble_point_pa(&o, 0, 330), 14.696 * PSI,
                             1e-6),
                  "model %d", model);
    }
}

Test(oil, heavy_dead_oil_does_not_swell_under_pressure_when_cold)
{
    struct oil o = oil_of(15, 0.75, OIL_STANDING);
    double low = oil_volume_factor(&o, 1, 1e5, 1e5, k_of_f(60));
    double high = oil_volume_factor(&o, 1, 3e7, 1e5, k_of_f(60));

    cr_assert(eq(dbl, high, low));
}

/* Water 62.366 lb/ft3 and 0.8 air 1.2250 kg/Sm3 in 1.3 volumes. */
Test(oil, density_is_the_mass_of_oil_and_its_gas_in_their_volume)
{
    struct oil o = oil_of(35, 0.8, OIL_STANDING);
    double want =
        (141.5 / 166.5 * 62.366 * 16.018463 + 100 * 0.8 * 1.22500) / 1.3;

    cr_assert(
        epsilon_eq(dbl, oil_density_kgm3(&o, 100, 1.3), want, 2e-5 * want));
}

Test(oil, viscosity_follows_beggs_robinson_and_vasquez_beggs)
{
    static const struct {
        double api, rs, t_f, p_psia, pb_psia, mu_cp;
    } rows[] = {
        {18, 50, 110, 500, 500, 49.1374227},
        {35, 650, 200, 2600, 2600, 0.492408002},
        {45, 900, 250, 6000, 3000, 0.334728047},
        {28, 300, 150, 4500, 2000, 2.35743667},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct oil o = oil_of(rows[i].api, 0.75, OIL_STANDING);
        double mu =
            oil_viscosity_pas(&o, rows[i].rs * SCFSTB, rows[i].p_psia * PSI,
                              rows[i].pb_psia * PSI, k_of_f(rows[i].t_f));
        cr_expect(epsilon_eq(dbl, mu, rows[i].mu_cp * 1e-3,
                             1e-8 * rows[i].mu_cp * 1e-3),
                  "row %zu", i);
    }
}

Test(oil, tension_follows_baker_swerdloff_to_a_floor_of_1_dyncm)
{
    static const struct {
        double api, t_f, p_psia, dyncm;
    } rows[] = {
        {30, 60, 100, 25.3224846},   {30, 84, 500, 18.5261398},
        {45, 180, 1500, 9.20946333}, {20, 100, 3500, 1.80713351},
        {35, 200, 8000, 1},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct oil o = oil_of(rows[i].api, 0.75, OIL_STANDING);
        cr_expect(epsilon_eq(dbl,
                             oil_tension_nm(&o, rows[i].p_psia * PSI,
                                            k_of_f(rows[i].t_f)),
                             rows[i].dyncm * 1e-3, 1e-8 * rows[i].dyncm),
                  "row %zu", i);
    }
}

Test(oil, every_property_stays_finite_from_vacuum_to_2000_bar)
{
    for (int model = OIL_STANDING; model <= OIL_GLASO; model++) {
        struct oil o = oil_of(35, 0.75, (enum oil_correlation)model);
        for (double p = 1e4; p <= 2e8; p *= 1.5) {
            double rs = oil_solution_gas(&o, p, 330);
            double pb = oil_bubble_point_pa(&o, fmin(rs, 100), 330);
            cr_expect(isfinite(rs) && rs > 0, "model %d p %g", model, p);
            cr_expect(isfinite(pb), "model %d p %g", model, p);
            cr_expect(oil_volume_factor(&o, 100, p, fmin(p, pb), 330) > 0.5);
            cr_expect(oil_viscosity_pas(&o, 100, p, fmin(p, pb), 330) > 0);
        }
    }
}
