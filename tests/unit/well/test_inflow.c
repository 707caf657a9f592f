/* Printed values are in tests/published; here is what must hold of any. */
#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "well/inflow.h"

TestSuite(inflow, .timeout = 20);

static const struct inflow every[] = {
    {INFLOW_LINEAR, 2e7, 3e-10, 1e7, 0, 0, -1},
    {INFLOW_VOGEL, 2e7, 3e-10, 1e7, 0, 0, -1},
    {INFLOW_COMPOSITE, 2e7, 3e-10, 1.2e7, 0, 0, -1},
    {INFLOW_COMPOSITE, 2e7, 3e-10, 3e7, 0, 0, -1}, /* saturated */
    {INFLOW_COMPOSITE, 2e7, 3e-10, 0, 0, 0, -1},   /* never */
    {INFLOW_COMPOSITE, 2e7, 3e-10, 1.2e7, 0, 0, 0},
    {INFLOW_COMPOSITE, 2e7, 3e-10, 1.2e7, 0, 0, 0.4},
    {INFLOW_COMPOSITE, 2e7, 3e-10, 3e7, 0, 0, 0.9},
    {INFLOW_COMPOSITE, 2e7, 3e-10, 1.2e7, 0, 0, 1},
    {INFLOW_FETKOVICH, 2e7, 0, 0, 2e-14, 0.8, -1},
};
#define N_EVERY (sizeof every / sizeof every[0])

Test(inflow, rate_and_pressure_are_inverse_over_the_whole_range)
{
    for (size_t i = 0; i < N_EVERY; i++)
        for (double p = 0; p <= 2e7; p += 1e5) {
            double q = inflow_rate_sm3s(&every[i], p);
            double tol = i == N_EVERY - 1 && p > 1.99e7 ? 1 : 1e-2;
            cr_expect(epsilon_eq(dbl, inflow_pressure_pa(&every[i], q), p, tol),
                      "row %zu p %g", i, p);
        }
}

Test(inflow, more_pressure_gives_less_rate_without_a_break)
{
    for (size_t i = 0; i < N_EVERY; i++) {
        double step = 1e4, before = inflow_max_sm3s(&every[i]), slope = 0;
        double mean = before / 2e7;
        for (double p = step; p < 1.9e7; p += step) {
            double q = inflow_rate_sm3s(&every[i], p);
            double now = (before - q) / step;
            cr_assert(q < before, "row %zu p %g", i, p);
            cr_assert(p < 2 * step || fabs(now - slope) < 0.01 * mean,
                      "row %zu p %g: the slope breaks", i, p);
            before = q;
            slope = now;
        }
    }
}

Test(inflow, nothing_flows_at_or_above_reservoir_pressure)
{
    for (size_t i = 0; i < N_EVERY; i++) {
        cr_expect(eq(dbl, inflow_rate_sm3s(&every[i], 2e7), 0));
        cr_expect(eq(dbl, inflow_rate_sm3s(&every[i], 3e7), 0));
    }
}

Test(inflow, a_rate_outside_the_range_has_no_pressure)
{
    for (size_t i = 0; i < N_EVERY; i++) {
        double most = inflow_max_sm3s(&every[i]);
        cr_expect(isnan(inflow_pressure_pa(&every[i], -1e-9)));
        cr_expect(isnan(inflow_pressure_pa(&every[i], most * 1.0001)));
        cr_expect(isnan(inflow_pressure_pa(&every[i], (double)NAN)));
        cr_expect(not(isnan(inflow_pressure_pa(&every[i], most))));
    }
}

/* Vogel 1968: q_max = J p / 1.8. */
Test(inflow, the_productivity_is_the_slope_at_reservoir_pressure)
{
    cr_assert(
        epsilon_eq(dbl, inflow_max_sm3s(&every[1]), 3e-10 * 2e7 / 1.8, 1e-15));
    for (size_t i = 0; i < N_EVERY - 1; i++)
        cr_expect(epsilon_eq(dbl, inflow_rate_sm3s(&every[i], 2e7 - 10),
                             3e-10 * 10, 1e-14),
                  "row %zu", i);
}

Test(inflow, bounds_of_the_bubble_point_give_the_plain_models)
{
    for (double p = 0; p < 2e7; p += 1e6) {
        cr_expect(epsilon_eq(dbl, inflow_rate_sm3s(&every[3], p),
                             inflow_rate_sm3s(&every[1], p), 1e-15));
        cr_expect(epsilon_eq(dbl, inflow_rate_sm3s(&every[4], p),
                             inflow_rate_sm3s(&every[0], p), 1e-15));
    }
}

Test(inflow, water_cut_runs_from_the_curve_to_the_straight_line)
{
    for (double p = 0; p < 2e7; p += 1e6)
        cr_expect(epsilon_eq(dbl, inflow_rate_sm3s(&every[5], p),
                             inflow_rate_sm3s(&every[2], p), 1e-14),
                  "p %g", p);
    /* All water follows the straight line to the end of the oil's curve; its
     * continuation is the line itself. */
    for (double p = 0; p < 2e7; p += 1e6)
        cr_expect(epsilon_eq(dbl, inflow_rate_sm3s(&every[8], p),
                             inflow_rate_sm3s(&every[0], p), 1e-14),
                  "p %g", p);
}

/* From Brown's relation: beyond the oil's end the pressure falls by
 * (f_w + 9 f_o) / J per rate, 9 being the slope of Vogel's inverse there. */
Test(inflow, beyond_the_oils_end_the_composite_goes_straight_on)
{
    const struct inflow *f = &every[6];
    double end = 3e-10 * (0.8e7 + 1.2e7 / 1.8);
    double p_end = 0.4 * (2e7 - end / 3e-10);

    cr_assert(epsilon_eq(dbl, inflow_rate_sm3s(f, p_end), end, 1e-12));
    cr_assert(epsilon_eq(dbl, inflow_max_sm3s(f),
                         end + p_end * 3e-10 / (0.4 + 9 * 0.6), 1e-12));
}

Test(inflow, a_test_point_is_met_and_the_factor_returned)
{
    for (size_t i = 0; i < N_EVERY; i++) {
        struct inflow f = every[i];
        double twice = 2 * inflow_rate_sm3s(&f, 1.1e7);

        cr_expect(epsilon_eq(dbl, inflow_match(&f, twice, 1.1e7), 2, 1e-12),
                  "row %zu", i);
        cr_expect(
            epsilon_eq(dbl, inflow_rate_sm3s(&f, 1.1e7), twice, 1e-12 * twice),
            "row %zu", i);
        cr_expect(isnan(inflow_match(&f, 1, 2e7)));
        cr_expect(isnan(inflow_match(&f, 1, (double)NAN)));
    }
}
