#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "well/orifice.h"

#define T_K 330.0

static struct gas gas_of(double gravity)
{
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = gravity});
    return g;
}

static double rate(const struct orifice *o, double p_up_pa, double p_down_pa)
{
    struct gas g = gas_of(0.7);

    return orifice_rate_sm3s(o, &g, p_up_pa, p_down_pa, T_K);
}

static double upstream(const struct orifice *o, double gas_sm3s,
                       double p_down_pa)
{
    struct gas g = gas_of(0.7);

    return orifice_upstream_pa(o, &g, gas_sm3s, p_down_pa, T_K);
}

/* 1/4 in. */
static const struct orifice quarter = {3.16692174e-5, 0.865};

TestSuite(orifice, .timeout = 10);

Test(orifice, nothing_flows_without_a_higher_pressure_upstream)
{
    cr_assert(eq(dbl, rate(&quarter, 5e6, 5e6), 0));
    cr_assert(eq(dbl, rate(&quarter, 5e6, 6e6), 0));
    cr_assert(eq(dbl, rate(&quarter, 0, 0), 0));
}

Test(orifice, critical_flow_knows_only_the_pressure_upstream)
{
    double r = orifice_critical_ratio(), all = rate(&quarter, 8e6, 0);

    cr_assert(lt(dbl, 0, all));
    cr_assert(eq(dbl, rate(&quarter, 8e6, 0.5 * r * 8e6), all));
    cr_assert(epsilon_eq(dbl, rate(&quarter, 4e6, 0), 0.5 * all, 1e-12));
    /* The top of the curve is flat: a part of 1e-4 is not seen, of 0.3 is. */
    cr_assert(epsilon_eq(dbl, rate(&quarter, 8e6, 1.0001 * r * 8e6), all,
                         1e-7 * all));
    cr_assert(lt(dbl, rate(&quarter, 8e6, 1.3 * r * 8e6), 0.98 * all));
}

Test(orifice, the_rate_falls_all_the_way_to_equal_pressures)
{
    double before = rate(&quarter, 7e6, 0.56 * 7e6);

    for (double part = 0.57; part < 1.0001; part += 0.01) {
        double now = rate(&quarter, 7e6, part * 7e6);
        cr_expect(lt(dbl, now, before), "ratio %g", part);
        before = now;
    }
}

/* Bernoulli: Cd A sqrt(2 rho dp), of an ideal gas at z = 1. The rounded 155.5
 * is 0.3 % more than its derivation. */
Test(orifice, a_small_difference_gives_the_flow_of_a_liquid)
{
    struct gas g = gas_of(0.7);
    double p = 6e6, dp = 600;
    double rho = gas_density_kgm3(&g, p, T_K, 1);
    double want = quarter.discharge * quarter.area_m2 * sqrt(2 * rho * dp) /
                  g.rho_std_kgm3;

    cr_assert(epsilon_eq(dbl, rate(&quarter, p + dp, p), want, 0.005 * want));
}

Test(orifice, tiny_differences_keep_their_digits)
{
    double much = rate(&quarter, 6e6, 6e6 - 1);
    double little = rate(&quarter, 6e6, 6e6 - 0.01);

    cr_assert(epsilon_eq(dbl, much / little, 10, 1e-6));
}

Test(orifice, area_discharge_gravity_and_temperature_enter_as_they_should)
{
    struct orifice twice = {2 * quarter.area_m2, quarter.discharge};
    struct orifice half = {quarter.area_m2, 0.5 * quarter.discharge};
    struct gas light = gas_of(0.6), heavy = gas_of(0.9);
    double one = rate(&quarter, 7e6, 6e6);

    cr_assert(epsilon_eq(dbl, rate(&twice, 7e6, 6e6), 2 * one, 1e-12));
    cr_assert(epsilon_eq(dbl, rate(&half, 7e6, 6e6), 0.5 * one, 1e-12));
    double of_light = orifice_rate_sm3s(&quarter, &light, 7e6, 6e6, 300);
    double of_heavy = orifice_rate_sm3s(&quarter, &heavy, 7e6, 6e6, 400);
    cr_assert(epsilon_eq(dbl, of_light / of_heavy, sqrt(2), 1e-12));
}

Test(orifice, the_inverse_gives_the_pressure_back)
{
    for (double up = 1e5; up < 5e7; up *= 1.7)
        for (double part = 0; part < 1; part += 0.0624) {
            double p =
                upstream(&quarter, rate(&quarter, up, part * up), part * up);
            cr_expect(epsilon_eq(dbl, p, up, 1e-10 * up), "%g Pa, ratio %g", up,
                      part);
        }
}

Test(orifice, the_inverse_does_not_jump_where_flow_turns_critical)
{
    double r = orifice_critical_ratio(), q = rate(&quarter, 6e6, 0);
    double critical = upstream(&quarter, q, r * 6e6 * (1 - 1e-9));
    double not_critical = upstream(&quarter, q, r * 6e6 * (1 + 1e-9));

    cr_assert(epsilon_eq(dbl, critical, 6e6, 1e-3));
    cr_assert(epsilon_eq(dbl, not_critical, critical, 1e-3));
}

Test(orifice, no_gas_needs_no_pressure_and_no_hole_lets_nothing_pass)
{
    struct orifice shut = {0, 0.865};

    cr_assert(eq(dbl, upstream(&quarter, 0, 3e6), 3e6));
    cr_assert(eq(dbl, upstream(&shut, 0, 3e6), 3e6));
    cr_assert(eq(dbl, upstream(&shut, 0.1, 3e6), (double)INFINITY));
    cr_assert(eq(dbl, rate(&shut, 5e6, 3e6), 0));
}
