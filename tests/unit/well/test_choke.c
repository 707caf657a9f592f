#include <math.h>
#include <string.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/units.h"
#include "well/choke.h"

TestSuite(choke, .timeout = 20);

#define P_ATM_PA 97000.0

static double si(enum dim d, const char *unit, double value)
{
    struct unit_frame frame = unit_frame_default();

    return unit_to_si(unit_named(d, unit), value, &frame);
}

static double bean_m(double in_64ths)
{
    return si(DIM_LENGTH, "in", in_64ths / 64);
}

static struct choke_stream stream(double stbd, double scf_stb)
{
    return (struct choke_stream){si(DIM_LIQUID_RATE, "stb/d", stbd),
                                 si(DIM_GAS_LIQUID_RATIO, "scf/stb", scf_stb)};
}

static double psi(enum choke_model model, struct choke_stream s,
                  double in_64ths)
{
    double p = choke_pressure_pa(model, &s, bean_m(in_64ths), P_ATM_PA);

    return (p - (model == CHOKE_GILBERT ? P_ATM_PA : 0)) /
           si(DIM_PRESSURE_DIFFERENCE, "psi", 1);
}

/* Guo, Lyons & Ghalambor (2007) table 5.1 (from memory). The base of our scf
 * is 60 F and 14.696 psia, so the ratio is exact. */
Test(choke, every_formula_has_its_printed_constants)
{
    static const struct {
        const char *text;
        double c, m, n;
    } rows[CHOKE_COUNT] = {
        [CHOKE_GILBERT] = {"Gilbert", 10.00, 0.546, 1.89},
        [CHOKE_ROS] = {"Ros", 17.40, 0.500, 2.00},
        [CHOKE_BAXENDELL] = {"Baxendell", 9.56, 0.546, 1.93},
        [CHOKE_ACHONG] = {"Achong", 3.82, 0.650, 1.88},
        [CHOKE_PILEHVARI] = {"Pilehvari", 46.67, 0.313, 2.11},
    };

    for (int i = 0; i < CHOKE_COUNT; i++) {
        enum choke_model model = (enum choke_model)i;
        double c = rows[i].c, m = rows[i].m, n = rows[i].n;

        cr_expect(strcmp(choke_text(model), rows[i].text) == 0);
        cr_expect(epsilon_eq(dbl, psi(model, stream(1, 1), 1), c, 1e-9 * c),
                  "%s", rows[i].text);
        cr_expect(epsilon_eq(dbl, psi(model, stream(30, 100), 8) / c,
                             30 * pow(100, m) / pow(8, n), 1e-7),
                  "%s", rows[i].text);
    }
}

Test(choke, the_bean_that_holds_a_pressure_is_the_one_that_made_it)
{
    for (int i = 0; i < CHOKE_COUNT; i++)
        for (double stbd = 20; stbd < 9000; stbd *= 3)
            for (double bean = 8; bean <= 128; bean += 20) {
                enum choke_model model = (enum choke_model)i;
                struct choke_stream s = stream(stbd, 700);
                double p = choke_pressure_pa(model, &s, bean_m(bean), P_ATM_PA);
                double got = choke_bean_m(model, &s, p, P_ATM_PA);

                cr_expect(
                    epsilon_eq(dbl, got, bean_m(bean), 1e-9 * bean_m(bean)),
                    "%s %g stb/d bean %g", choke_text(model), stbd, bean);
            }
}

Test(choke, gilbert_alone_counts_from_the_atmosphere)
{
    struct choke_stream s = stream(600, 400);

    for (int i = 0; i < CHOKE_COUNT; i++) {
        enum choke_model model = (enum choke_model)i;
        double high = choke_pressure_pa(model, &s, bean_m(22), 101325);
        double low = choke_pressure_pa(model, &s, bean_m(22), 81325);

        cr_expect(
            epsilon_eq(dbl, high - low, i == CHOKE_GILBERT ? 20000 : 0, 1e-6),
            "%s", choke_text(model));
    }
}

Test(choke, no_bean_is_wide_enough_for_a_pressure_below_the_atmosphere)
{
    struct choke_stream s = stream(600, 400);

    cr_assert(
        eq(dbl, choke_bean_m(CHOKE_GILBERT, &s, P_ATM_PA, P_ATM_PA), HUGE_VAL));
    cr_assert(eq(dbl, choke_bean_m(CHOKE_GILBERT, &s, 0.9 * P_ATM_PA, P_ATM_PA),
                 HUGE_VAL));
    cr_assert(
        lt(dbl, choke_bean_m(CHOKE_ROS, &s, P_ATM_PA, P_ATM_PA), HUGE_VAL));
    cr_assert(eq(dbl, choke_bean_m(CHOKE_ROS, &s, 0, P_ATM_PA), HUGE_VAL));
    s.liquid_sm3s = 0;
    cr_assert(eq(dbl, choke_bean_m(CHOKE_ROS, &s, 0, P_ATM_PA), HUGE_VAL));
}

Test(choke, a_well_that_makes_nothing_needs_no_opening)
{
    struct choke_stream none = stream(0, 400);

    for (int i = 0; i < CHOKE_COUNT; i++)
        cr_expect(eq(
            dbl, choke_bean_m((enum choke_model)i, &none, 5e6, P_ATM_PA), 0));
}
