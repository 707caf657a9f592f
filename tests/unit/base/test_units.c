#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "base/units.h"

#include <math.h>
#include <string.h>

#include "support/text.h"

static double to_si(enum dim d, const char *unit, double value)
{
    struct unit_frame f = unit_frame_default();
    return unit_to_si(unit_named(d, unit), value, &f);
}

Test(units, factors_equal_the_published_ones, .timeout = 5)
{
    /* tol is relative: half a unit of the last digit in print, 1e-12 where
     * the definition is exact. */
    static const struct {
        enum dim dim;
        const char *unit;
        double value, si, tol;
        const char *source;
    } ROWS[] = {
        {DIM_LENGTH, "ft", 1.0, 0.3048, 1e-12, "NIST SP 811"},
        {DIM_LENGTH, "in", 1.0, 0.0254, 1e-12, "NIST SP 811"},
        {DIM_PRESSURE, "psia", 1.0, 6894.757293168, 1e-12, "NIST SP 811"},
        {DIM_PRESSURE_DIFFERENCE, "psi", 1.0, 6894.757293168, 1e-12,
         "NIST SP 811"},
        {DIM_PRESSURE, "psia", 14.695949, 101325.0, 1e-7, "1 atm in psi"},
        {DIM_PRESSURE, "bara", 1.0, 1e5, 1e-12, "NIST SP 811"},
        {DIM_PRESSURE, "MPaa", 2.0, 2e6, 1e-12, "SI"},
        {DIM_TEMPERATURE, "F", 60.0, 288.70555555555556, 1e-12,
         "t_K = (t_F + 459.67) / 1.8, NIST SP 811"},
        {DIM_TEMPERATURE, "C", 15.0, 288.15, 1e-12, "NIST SP 811"},
        {DIM_TEMPERATURE, "R", 491.67, 273.15, 1e-12, "NIST SP 811"},
        {DIM_TEMPERATURE_GRADIENT, "F/100ft", 1.0, 0.0182269, 3e-6,
         "5/9 K in 30.48 m"},
        {DIM_TEMPERATURE_GRADIENT, "C/100m", 3.0, 0.03, 1e-12, "SI"},
        {DIM_LIQUID_RATE, "stb/d", 1.0, 0.158987294928 / 86400.0, 1e-12,
         "1 bbl = 42 US gal, NIST SP 811: 1.589873 E-01 m3"},
        {DIM_GAS_LIQUID_RATIO, "scf/stb", 1.0, 0.1777655, 3e-7,
         "exact conversions, 14.696 psia and 60 F"},
        {DIM_GAS_RATE, "Mscf/d", 1.0, 28.26246 / 86400.0, 2e-7,
         "exact conversions, 14.696 psia and 60 F"},
        {DIM_GAS_RATE, "MMscf/d", 1.0, 28262.46 / 86400.0, 2e-7, "the same"},
        {DIM_GAS_RATE, "scf/d", 35.38263, 1.0 / 86400.0, 2e-7,
         "35.38263 scf in 1 Sm3"},
        {DIM_GAS_RATE, "kSm3/d", 86.4, 1.0, 1e-12, "definition"},
        {DIM_PRODUCTIVITY, "Sm3/d/bar", 1.0, 1.0 / 8.64e9, 1e-12, "definition"},
        {DIM_PRODUCTIVITY, "stb/d/psi", 1.0, 2.668884e-10, 3e-7,
         "0.158987294928 m3, 86400 s, 6894.757293168 Pa by hand"},
        {DIM_OIL_GRAVITY, "API", 10.0, 1.0, 1e-12, "definition of API"},
        {DIM_OIL_GRAVITY, "API", 35.0, 0.8498, 6e-5, "API tables"},
        {DIM_POWER, "hp", 1.0, 745.6999, 7e-8, "NIST SP 811"},
        {DIM_HEAT_TRANSFER, "Btu/h/ft2/F", 1.0, 5.678263, 9e-8, "NIST SP 811"},
        {DIM_CONDUCTIVITY, "Btu/h/ft/F", 1.0, 1.730735, 3e-7, "NIST SP 811"},
        {DIM_HEAT_CAPACITY, "Btu/lb/F", 1.0, 4186.8, 1e-12, "NIST SP 811"},
        {DIM_DIFFUSIVITY, "ft2/h", 1.0, 2.58064e-5, 1e-12, "NIST SP 811"},
        {DIM_SALINITY, "wt%", 6.0, 0.06, 1e-12, "definition"},
        {DIM_FRACTION, "ppm", 250.0, 0.00025, 1e-12, "definition"},
        {DIM_LIQUID_PRICE, "$/stb", 62.0, 389.96827, 2e-7,
         "62 / 0.158987294928"},
        {DIM_GAS_PRICE, "$/Mscf", 2.2, 0.0778418, 1e-6, "2.2 / 28.26246"},
        {DIM_GAS_PRICE, "$/kSm3", 80.0, 0.08, 1e-12, "definition"},
        {DIM_GAS_PER_ENERGY, "Sm3/kWh", 0.36, 1e-7, 1e-12, "definition"},
        {DIM_POWER_PER_GAS, "hp per MMscf/d", 1.0, 2279.648, 1e-5,
         "745.6999 W over 0.3271118 Sm3/s"},
        {DIM_HEAT_RATE, "kJ/kWh", 3600.0, 1.0, 1e-12, "definition"},
        {DIM_HEAT_RATE, "Btu/hp-h", 2544.43, 1.0, 2e-6,
         "1 hp h is 2544.43 Btu, handbooks, from memory"},
        {DIM_HEATING_VALUE, "MJ/Sm3", 37.0, 37e6, 1e-12, "definition"},
        {DIM_HEATING_VALUE, "Btu/scf", 1000.0, 37.33066e6, 1e-6,
         "1055.056 J, NIST SP 811, over 0.02826246 Sm3"},
        {DIM_LOSS_PER_DEGREE, "%/C", 1.0, 0.01, 1e-12, "definition"},
        {DIM_LOSS_PER_DEGREE, "%/F", 0.5, 0.009, 1e-12, "1 C is 1.8 F"},
        {DIM_LIQUID_VOLUME, "stb", 1.0, 0.158987294928, 1e-12, "NIST SP 811"},
        {DIM_GAS_VOLUME, "Mscf", 1.0, 28.26246, 2e-7, "as Mscf/d"},
        {DIM_GAS_VOLUME, "MMscf", 1.0, 28262.46, 2e-7, "the same"},
        {DIM_GAS_VOLUME, "kSm3", 3.0, 3000.0, 1e-12, "definition"},
        {DIM_MONEY, "$", 150.0, 150.0, 1e-12, "definition"},
        {DIM_ENERGY_PRICE, "$/kWh", 0.09, 2.5e-8, 1e-12, "0.09 / 3.6e6"},
        {DIM_ENERGY_PRICE, "$/MWh", 90.0, 2.5e-8, 1e-12, "0.09 / 3.6e6"},
        {DIM_OIL_PER_GAS, "stb/Mscf", 1.0, 5.625388e-3, 3e-7,
         "1 / 0.1777655 scf/stb, per Mscf"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        double got = to_si(ROWS[i].dim, ROWS[i].unit, ROWS[i].value);
        cr_expect(
            epsilon_eq(dbl, got, ROWS[i].si, ROWS[i].tol * fabs(ROWS[i].si)),
            "row %zu: %s of %s", i, ROWS[i].unit, ROWS[i].source);
    }
}

Test(units, a_pound_mole_fills_379_4828_standard_cubic_feet, .timeout = 5)
{
    /* Ideal gas at 14.696 psia and 60 F; exact conversions. */
    double sm3_per_lbmol =
        UNIT_LBM_KG * 1000.0 * UNIT_R_J_MOLK * UNIT_STD_K / UNIT_STD_PA;
    double sm3_per_scf = UNIT_DAY_S * to_si(DIM_GAS_RATE, "scf/d", 1.0);
    cr_assert(epsilon_eq(dbl, sm3_per_lbmol / sm3_per_scf, 379.4828, 1e-4));
}

Test(units, a_barrel_holds_5_6145833_cubic_feet, .timeout = 5)
{
    /* 42 US gallons of 231 in3 are 9702 in3 (NIST SP 811). */
    double ft3_m3 = UNIT_FT_M * UNIT_FT_M * UNIT_FT_M;
    cr_assert(epsilon_eq(dbl, UNIT_BBL_M3 / ft3_m3, 9702.0 / 1728.0, 1e-12));
}

Test(units, gauge_pressure_adds_the_local_atmosphere, .timeout = 5)
{
    struct unit_frame f = unit_frame_default();
    f.p_atm_pa = 85000.0;
    const struct unit *barg = unit_named(DIM_PRESSURE, "barg");
    const struct unit *psig = unit_named(DIM_PRESSURE, "psig");
    cr_assert(epsilon_eq(dbl, unit_to_si(barg, 10.0, &f), 1085000.0, 1e-6));
    cr_assert(epsilon_eq(dbl, unit_to_si(psig, 0.0, &f), 85000.0, 1e-6));
    cr_assert(epsilon_eq(dbl, unit_from_si(barg, 85000.0, &f), 0.0, 1e-12));
}

Test(units, the_gas_base_of_the_frame_sets_what_a_cubic_foot_holds,
     .timeout = 5)
{
    /* At twice the pressure the same volume holds twice the gas, at twice the
     * temperature half of it (ideal gas). */
    struct unit_frame f = unit_frame_default(), dense = f, hot = f;
    dense.p_base_pa *= 2.0;
    hot.t_base_k *= 2.0;
    const struct unit *rate = unit_named(DIM_GAS_RATE, "Mscf/d");
    const struct unit *price = unit_named(DIM_GAS_PRICE, "$/Mscf");
    const struct unit *metric = unit_named(DIM_GAS_RATE, "Sm3/d");
    double q = unit_to_si(rate, 1.0, &f), c = unit_to_si(price, 1.0, &f);
    cr_assert(epsilon_eq(dbl, unit_to_si(rate, 1.0, &dense) / q, 2.0, 1e-12));
    cr_assert(epsilon_eq(dbl, unit_to_si(rate, 1.0, &hot) / q, 0.5, 1e-12));
    cr_assert(epsilon_eq(dbl, unit_to_si(price, 1.0, &dense) / c, 0.5, 1e-12));
    cr_assert(epsilon_eq(dbl, unit_to_si(metric, 86400.0, &dense), 1.0, 1e-12));
}

Test(units, every_unit_comes_back_from_si_unchanged, .timeout = 5)
{
    static const double VALUES[] = {0.37, 12.5, 6200.0};
    struct unit_frame f = unit_frame_default();
    f.p_base_pa = 15.025 * UNIT_PSI_PA;
    const struct unit *u;
    for (size_t i = 0; (u = unit_by_index(i)) != NULL; i++)
        for (size_t k = 0; k < 3; k++) {
            double back = unit_from_si(u, unit_to_si(u, VALUES[k], &f), &f);
            /* A small gauge pressure or temperature loses digits to the
             * offset that is added: 460 at most of these. */
            double tol = 1e-12 * (VALUES[k] + 460.0);
            cr_expect(epsilon_eq(dbl, back, VALUES[k], tol), "%s", u->name);
        }
    cr_assert(lt(sz, 0, strlen(unit_choices(DIM_PRESSURE))));
}

Test(units, the_choices_of_a_dimension_are_its_rows_in_order, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    for (int d = 0; d < DIM_COUNT; d++) {
        struct strbuf want;
        strbuf_init(&want, &a);
        const struct unit *u;
        for (size_t i = 0; (u = unit_by_index(i)) != NULL; i++)
            if ((int)u->dim == d)
                strbuf_addf(&want, "%s%s", want.len > 0 ? ", " : "", u->name);
        cr_expect(text_is(unit_choices((enum dim)d), want.text));
    }
    arena_release(&a);
}

Test(units, a_name_is_unique_within_its_dimension, .timeout = 5)
{
    const struct unit *u;
    for (size_t i = 0; (u = unit_by_index(i)) != NULL; i++)
        cr_expect(unit_find(u->dim, u->name, strlen(u->name)) == u, "%s",
                  u->name);
}

Test(units, names_are_found_by_dimension_and_exact_spelling, .timeout = 5)
{
    cr_assert(unit_find(DIM_LIQUID_RATE, "Sm3/d", 5) !=
              unit_find(DIM_GAS_RATE, "Sm3/d", 5));
    cr_assert(unit_find(DIM_PRESSURE, "psi", 3) == NULL);
    cr_assert(unit_find(DIM_PRESSURE, "PSIG", 4) == NULL);
    cr_assert(unit_find(DIM_PRESSURE, "psigx", 4) ==
              unit_named(DIM_PRESSURE, "psig"));
    cr_assert(unit_find_any("psi", 3) ==
              unit_named(DIM_PRESSURE_DIFFERENCE, "psi"));
    cr_assert(unit_find_any("furlong", 7) == NULL);
    cr_assert(unit_by_index(100000) == NULL);
}

Test(units, every_dimension_has_words_and_an_si_unit, .timeout = 5)
{
    for (int d = 0; d < DIM_COUNT; d++) {
        cr_expect(strlen(dim_words((enum dim)d)) > 0, "dimension %d", d);
        cr_expect(strlen(dim_si((enum dim)d)) > 0, "dimension %d", d);
    }
    cr_assert(text_is(dim_words(DIM_GAS_RATE), "a gas rate"));
    cr_assert(text_is(dim_si(DIM_GAS_RATE), "Sm3/s"));
}
