#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/units.h"
#include "well/stability.h"

TestSuite(stability, .timeout = 10);

/* Round numbers: F1 = 1 * 0.01 * 1^2 * 5e-9 / (0.01 * (1e-4)^2) = 0.5 and
 * F2 = 0.5 * 7.4e6 / (1000 * 740) * (0.01 + 0.03) / (0.01 * 0.5) = 40. */
static const struct asheim example = {.rho_gas_std_kgm3 = 1,
                                      .gas_volume_factor = 0.01,
                                      .gas_sm3s = 1,
                                      .liquid_sm3s = 0.01,
                                      .j_sm3spa = 5e-9,
                                      .port_m2 = 1e-4,
                                      .tubing_m3 = 10,
                                      .casing_m3 = 20,
                                      .depth_m = 1000 / UNIT_GRAVITY_MS2,
                                      .p_tubing_pa = 7.4e6,
                                      .rho_liquid_kgm3 = 800,
                                      .rho_gas_kgm3 = 60,
                                      .q_liquid_m3s = 0.01,
                                      .q_gas_m3s = 0.03};

static struct steadiness judged(const struct asheim *a)
{
    struct steadiness s;

    stability_asheim(a, &s);
    return s;
}

Test(stability, both_criteria_are_as_reckoned_by_hand)
{
    struct steadiness s = judged(&example);

    cr_assert(epsilon_eq(dbl, s.f1, 0.5, 1e-12));
    cr_assert(epsilon_eq(dbl, s.f2, 40, 1e-10));
    cr_assert(not(s.critical));
}

Test(stability, inflow_response_has_its_powers)
{
    struct asheim port = example, gas = example, inflow = example;
    struct asheim liquid = example;

    port.port_m2 *= 2;
    gas.gas_sm3s *= 3;
    inflow.j_sm3spa *= 1.5;
    liquid.liquid_sm3s *= 5;
    cr_assert(epsilon_eq(dbl, judged(&port).f1, 0.5 / 4, 1e-12));
    cr_assert(epsilon_eq(dbl, judged(&gas).f1, 0.5 * 9, 1e-12));
    cr_assert(epsilon_eq(dbl, judged(&inflow).f1, 0.5 * 1.5, 1e-12));
    cr_assert(epsilon_eq(dbl, judged(&liquid).f1, 0.5 / 5, 1e-12));
}

Test(stability, depletion_has_its_powers)
{
    struct asheim casing = example, depth = example, gas = example;

    casing.casing_m3 *= 10;
    depth.depth_m *= 2;
    gas.q_gas_m3s = 0.07;
    cr_assert(epsilon_eq(dbl, judged(&casing).f2, 4, 1e-10));
    cr_assert(epsilon_eq(dbl, judged(&depth).f2, 20, 1e-10));
    cr_assert(epsilon_eq(dbl, judged(&gas).f2, 80, 1e-10));
}

Test(stability, depletion_is_not_asked_where_the_inflow_answers)
{
    struct asheim a = example;

    a.j_sm3spa *= 2.2;
    cr_assert(epsilon_eq(dbl, judged(&a).f1, 1.1, 1e-12));
    cr_assert(eq(dbl, judged(&a).f2, (double)INFINITY));
}

Test(stability, one_criterion_or_critical_flow_is_enough)
{
    static const struct {
        struct steadiness s;
        bool steady;
    } rows[] = {
        {{0.9, 0.9, false}, false}, {{1, 1, false}, false},
        {{1.1, 0, false}, true},    {{0.1, 1.1, false}, true},
        {{0.1, 0.1, true}, true},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        cr_expect(eq(int, is_steady(&rows[i].s), rows[i].steady), "row %zu", i);
}
