/* The printed equations were evaluated apart from the program, unless a source
 * stands beside the number. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fluid/paper_units.h"
#include "fluid/water.h"

TestSuite(water, .timeout = 20);

Test(water, every_property_follows_its_printed_equation)
{
    static const struct {
        double salinity, p_psia, t_f;
        double rho_kgm3, bw, mu_cp, dyncm;
    } rows[] = {
        {0, 500, 80, 999.039524, 1.00387576, 0.820022416, 64.7881502},
        {0.05, 2000, 150, 1034.80929, 1.02003684, 0.522995907, 52.0612482},
        {0.20, 5000, 250, 1149.811, 1.04618054, 0.517485865, 32.7155065},
        {0, 1000, 60, 999.039524, 1.0, 1.0, 62.6536166},
        {0, 2000, 300, 999.039524, 1.0, 1.0, 39.7224670},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double s = rows[i].salinity, p = rows[i].p_psia * UNIT_PSI_PA;
        double t = (rows[i].t_f + 459.67) / 1.8;

        cr_expect(epsilon_eq(dbl, water_tension_nm(p, t), rows[i].dyncm * 1e-3,
                             1e-8 * rows[i].dyncm),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, water_density_std_kgm3(s), rows[i].rho_kgm3,
                             1e-6 * rows[i].rho_kgm3),
                  "row %zu", i);
        if (rows[i].t_f < 74 || rows[i].t_f > 280)
            continue; /* for the tension outside its temperatures only */
        cr_expect(epsilon_eq(dbl, water_volume_factor(p, t), rows[i].bw, 1e-8),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, water_viscosity_pas(s, p, t),
                             rows[i].mu_cp * 1e-3, 1e-8 * rows[i].mu_cp),
                  "row %zu", i);
    }
}

/* Water at 1 atm: 965.3 kg/m3 and 0.315 mPa s at 90 C (common tables, from
 * memory). McCain states 5 % for the viscosity. */
Test(water, fresh_water_is_water)
{
    double p = UNIT_ATM_PA, t = 363.15;
    double rho = water_density_std_kgm3(0) / water_volume_factor(p, t);

    cr_assert(epsilon_eq(dbl, rho, 965.3, 0.005 * 965.3));
    cr_assert(epsilon_eq(dbl, water_viscosity_pas(0, p, t), 0.315e-3,
                         0.06 * 0.315e-3));
}

Test(water, tension_never_falls_under_1_dyncm)
{
    cr_assert(eq(dbl, water_tension_nm(2e8, 420), 1e-3));
}
