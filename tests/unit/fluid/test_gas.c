/* Where no other source stands beside a number, the printed equation was
 * evaluated apart from the program (Z by bisection). */
#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fluid/gas.h"
#include "fluid/paper_units.h"

TestSuite(gas, .timeout = 20);

static struct gas gas_of(double gravity)
{
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = gravity});
    return g;
}

Test(gas, both_equations_of_state_are_solved_over_their_range)
{
    static const struct {
        double p_pr, t_pr, z_dranchuk, z_hall;
    } rows[] = {
        {0.3, 1.15, 0.9289096339, 0.9275258833},
        {2.5, 1.25, 0.5808846262, 0.5841104096},
        {6, 1.4, 0.8313901749, 0.8311841381},
        {12, 1.8, 1.244546132, 1.247244658},
        {25, 2.5, 1.751414915, 1.727307164},
        {1, 3, 0.9983029102, 1.001809893},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double p = rows[i].p_pr, t = rows[i].t_pr;
        cr_expect(epsilon_eq(dbl, gas_z_dranchuk(p, t), rows[i].z_dranchuk,
                             1e-9 * rows[i].z_dranchuk),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, gas_z_hall_yarborough(p, t), rows[i].z_hall,
                             1e-9 * rows[i].z_hall),
                  "row %zu", i);
    }
}

Test(gas, z_is_found_and_smooth_everywhere_in_its_range)
{
    for (double t = 1.05; t <= 3; t *= 1.01) {
        double before = 1, slope_before = 0;
        for (double p = 1e-3; p < 30; p += 0.02) {
            double z = gas_z_dranchuk(p, t), slope = (z - before) / 0.02;
            cr_assert(z > 0.1 && z < 4, "p %g t %g", p, t);
            /* The chart's sharpest bend, at T_pr 1.05 near p_pr 1.2. */
            if (p > 0.1)
                cr_assert(fabs(slope - slope_before) < 0.2, "p %g t %g", p, t);
            before = z;
            slope_before = slope;
        }
    }
}

Test(gas, a_gas_without_pressure_is_ideal)
{
    cr_assert(epsilon_eq(dbl, gas_z_dranchuk(1e-9, 1.5), 1, 1e-8));
    cr_assert(epsilon_eq(dbl, gas_z_hall_yarborough(1e-9, 1.5), 1, 1e-8));
}

Test(gas, no_number_gives_no_z)
{
    cr_assert(isnan(gas_z_dranchuk((double)NAN, 1.5)));
    cr_assert(isnan(gas_z_hall_yarborough((double)NAN, 1.5)));
}

Test(gas, the_pseudo_critical_point_counts_every_component)
{
    static const struct {
        struct gas_spec spec;
        double t_k, p_pa;
    } rows[] = {
        {{0.7, 0, 0, 0}, 209.772222, 4573540.72},
        {{0.8, 0.05, 0.1, 0}, 208.960303, 4642266.32},
        {{0.9, 0.02, 0.1, 0.2}, 236.066845, 5272008.24},
        {{1.2, 0, 0, 0.05}, 267.382967, 4245921.00},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct gas g;
        gas_init(&g, &rows[i].spec);
        cr_expect(epsilon_eq(dbl, g.t_pc_k, rows[i].t_k, 1e-8 * rows[i].t_k),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, g.p_pc_pa, rows[i].p_pa, 1e-8 * rows[i].p_pa),
                  "row %zu", i);
    }
}

/* CO2 44.0095 g/mol (IUPAC); air 28.9647. */
Test(gas, what_is_left_of_pure_carbon_dioxide_in_half_is_the_other_half)
{
    struct gas_spec s = {0.5 * 44.0095 / 28.9647 + 0.5 * 0.6, 0, 0.5, 0};

    cr_assert(epsilon_eq(dbl, gas_hydrocarbon_gravity(&s), 0.6, 1e-12));
}

/* Air at 15 C and 1 atm as ideal gas: 1.2250 kg/m3 (ICAO standard
 * atmosphere). */
Test(gas, gravity_1_weighs_as_much_as_air)
{
    struct gas g = gas_of(1);

    cr_assert(epsilon_eq(dbl, g.rho_std_kgm3, 1.2250, 1e-4));
}

/* Methane at 15 C, 1 atm: 0.6785 kg/m3 as real gas, z 0.9981 (ISO 6976:1995;
 * from memory). */
Test(gas, density_follows_mass_pressure_and_z)
{
    struct gas g = gas_of(16.0425 / 28.9647);

    cr_assert(epsilon_eq(dbl,
                         gas_density_kgm3(&g, UNIT_STD_PA, UNIT_STD_K, 0.9981),
                         0.6798, 2e-4));
}

Test(gas, the_volume_factor_is_the_inverse_of_the_density_ratio)
{
    struct gas g = gas_of(0.7);
    double p = 5e6, t = 340, z = gas_z(&g, p, t);

    cr_assert(epsilon_eq(dbl, gas_volume_factor(p, t, z),
                         g.rho_std_kgm3 / gas_density_kgm3(&g, p, t, z),
                         1e-12));
}

Test(gas, viscosity_follows_lee_with_the_refined_constants)
{
    static const struct {
        double gravity, t_k, rho_kgm3, mu_pas;
    } rows[] = {
        {0.65, 350, 60, 1.46263946e-05},
        {0.9, 300, 20, 1.03057787e-05},
        {1.2, 400, 250, 2.82533148e-05},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct gas g = gas_of(rows[i].gravity);
        cr_expect(epsilon_eq(
                      dbl, gas_viscosity_pas(&g, rows[i].t_k, rows[i].rho_kgm3),
                      rows[i].mu_pas, 1e-8 * rows[i].mu_pas),
                  "row %zu", i);
    }
}

/* Ahmed, Reservoir Engineering Handbook, gas viscosity example: 0.0173 cp at
 * 140 F, 8.30 lb/ft3, molar mass 20.85, with the rounded constants (from
 * memory). */
Test(gas, the_refined_constants_stay_within_3_percent_of_the_first_print)
{
    struct gas g = gas_of(20.85 / 28.9647);
    double mu = gas_viscosity_pas(&g, 599.67 / 1.8, 8.30 * PAPER_LBFT3_KGM3);

    cr_assert(epsilon_eq(dbl, mu, 0.0173e-3, 0.03 * 0.0173e-3));
}

Test(gas, a_blend_weighs_each_gas_by_its_part)
{
    struct gas_spec a = {0.6, 0.01, 0.02, 0.03}, b = {1.0, 0.05, 0.06, 0.07};
    struct gas_spec c = gas_blend(&a, &b, 0.25);

    cr_assert(epsilon_eq(dbl, c.gravity, 0.7, 1e-12));
    cr_assert(epsilon_eq(dbl, c.nitrogen, 0.02, 1e-12));
    cr_assert(epsilon_eq(dbl, c.carbon_dioxide, 0.03, 1e-12));
    cr_assert(epsilon_eq(dbl, c.hydrogen_sulphide, 0.04, 1e-12));
}
