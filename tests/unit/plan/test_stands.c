#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "../../../src/plan/stands.h"

/* Rises by 2, then by 1 oil per gas, then not at all; starts at 1. */
static const struct use CHAIN[] = {
    {.gas = 1, .oil = 10},
    {.gas = 3, .oil = 14},
    {.gas = 5, .oil = 16},
    {.gas = 9, .oil = 16},
};

Test(stands, a_set_point_takes_the_least_gas_that_makes_its_oil, .timeout = 5)
{
    static const struct {
        double gas, oil, want;
    } ROWS[] = {
        {1, 10, 1},
        {2, 12, 2},
        {3, 14, 3},
        {4, 13, 2.5}, /* a mixture below the chain */
        {9, 16, 5},   /* no more oil past 5 */
        {4, 14 + 1e-12, 3},
        {3, 14 - 1e-12, 3},
        /* The solver's oil is off where the chain is flat. */
        {5, 16 + 1e-9, 5},
        {3, 16 + 1e-9, 3},
        {0.9, 9.9, 1},
    };
    struct mode mode = {.n = 4, .point = CHAIN, .is_chain = true};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct stand s = {.use = {.gas = ROWS[i].gas, .oil = ROWS[i].oil}};
        /* The last digits of the oil, over the least slope. */
        cr_expect(epsilon_eq(dbl, stand_gas(&mode, &s), ROWS[i].want, 1e-11),
                  "row %zu", i);
    }
}

/* A straight line that is no chain: the gas says where the well stands, and
 * an end is hit exactly. */
Test(stands, a_line_is_read_by_its_gas, .timeout = 5)
{
    static const struct use LINE[] = {{.gas = 2, .oil = 9},
                                      {.gas = 6, .oil = 5}};
    struct mode mode = {.n = 2, .point = LINE};
    struct stand s = {.use = {.gas = 3, .oil = 8}};
    cr_expect(epsilon_eq(dbl, stand_gas(&mode, &s), 3, 1e-13));
    s.use.gas = 6 - 1e-11;
    cr_expect(eq(dbl, stand_gas(&mode, &s), 6));
    s.use.gas = 2 + 1e-11;
    cr_expect(eq(dbl, stand_gas(&mode, &s), 2));
}
