#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "well/thermal.h"

TestSuite(thermal, .timeout = 20);

static const struct thermal well = {.model = THERMAL_FLOWING,
                                    .t_head_k = 288,
                                    .t_bottom_k = 368,
                                    .tvd_bottom_m = 2000,
                                    .u_wm2k = 20,
                                    .k_earth_wmk = 2.4,
                                    .diffusivity_m2s = 1e-6,
                                    .r_wellbore_m = 0.15,
                                    .time_s = 30 * 86400};

Test(thermal, linear_temperature_is_straight_in_depth)
{
    struct thermal t = well;
    t.model = THERMAL_LINEAR;
    struct thermal_stream s = thermal_enter(&t, 10, 3000, 0.06, 2000, 368);

    cr_assert(epsilon_eq(dbl, thermal_at_k(&t, &s, 0), 288, 1e-9));
    cr_assert(epsilon_eq(dbl, thermal_at_k(&t, &s, 500), 308, 1e-9));
    cr_assert(epsilon_eq(dbl, thermal_at_k(&t, &s, 2000), 368, 1e-9));
}

/* Hasan & Kabir: A = w c / (2 pi) (1 / (r U) + T_D / k), r the tubing's inside
 * radius. t_D = 1e-6 * 2592000 / 0.15^2 = 115.2, T_D = ln(1.5 sqrt(115.2)) =
 * 2.7788000, so A = 2 * 3000 / (2 pi) (1 / 0.6 + 1.1578333) = 2697.1988 m. */
Test(thermal, the_relaxation_length_adds_the_well_and_the_ground)
{
    struct thermal_stream s = thermal_enter(&well, 2, 3000, 0.06, 2000, 368);

    cr_assert(epsilon_eq(dbl, s.relaxation_m, 2697.1988, 0.001));
}

Test(thermal, a_slow_stream_takes_the_temperature_of_the_ground)
{
    struct thermal_stream s = thermal_enter(&well, 1e-6, 3000, 0.06, 2000, 368);
    struct thermal_stream still =
        thermal_enter(&well, 0, 3000, 0.06, 2000, 368);

    for (double tvd = 0; tvd <= 2000; tvd += 100) {
        cr_expect(epsilon_eq(dbl, thermal_at_k(&well, &s, tvd),
                             thermal_ground_k(&well, tvd), 1e-3));
        cr_expect(eq(dbl, thermal_at_k(&well, &still, tvd),
                     thermal_ground_k(&well, tvd)));
    }
}

Test(thermal, a_fast_stream_keeps_the_temperature_it_came_with)
{
    struct thermal_stream s = thermal_enter(&well, 1e6, 3000, 0.06, 2000, 368);

    cr_assert(epsilon_eq(dbl, thermal_at_k(&well, &s, 0), 368, 1e-3));
}

/* A stream that enters off the ground's temperature loses the difference over
 * A: after one A, e^-1 of it is left. */
Test(thermal, what_the_stream_brings_fades_over_the_relaxation_length)
{
    struct thermal_stream warm = {500, 1500, 360}, cool = {500, 1500, 350};
    double left =
        thermal_at_k(&well, &warm, 1000) - thermal_at_k(&well, &cool, 1000);

    cr_assert(epsilon_eq(dbl, left, 10 * exp(-1), 1e-9));
    cr_assert(epsilon_eq(dbl, thermal_at_k(&well, &warm, 1500), 360, 1e-9));
}

/* dT/dz = -(T - T_ground) / A upwards, the balance itself. */
Test(thermal, the_profile_satisfies_the_heat_balance)
{
    struct thermal_stream s = {700, 2000, 375};

    for (double tvd = 100; tvd < 1900; tvd += 100) {
        double h = 0.1;
        double slope = (thermal_at_k(&well, &s, tvd - h) -
                        thermal_at_k(&well, &s, tvd + h)) /
                       (2 * h);
        double want =
            -(thermal_at_k(&well, &s, tvd) - thermal_ground_k(&well, tvd)) /
            700;
        cr_expect(epsilon_eq(dbl, slope, want, 1e-7), "tvd %g", tvd);
    }
}
