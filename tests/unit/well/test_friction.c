#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "well/friction.h"

TestSuite(friction, .timeout = 20);

Test(friction, slow_flow_has_64_over_reynolds)
{
    cr_assert(eq(dbl, friction_moody(64, 0.05), 1));
    cr_assert(epsilon_eq(dbl, friction_moody(1999.9, 0), 0.032, 2e-6));
}

Test(friction, the_law_changes_at_2000)
{
    cr_assert(lt(dbl, friction_moody(1999.999, 0), 0.033));
    cr_assert(lt(dbl, 0.049, friction_moody(2000, 0)));
}

Test(friction, every_factor_solves_the_equation_of_colebrook_and_white)
{
    for (double re = 1; re < 1e9; re *= 3)
        for (double e = 0; e < 0.06; e = 2 * e + 1e-6) {
            double x = 1 / sqrt(friction_turbulent(re, e));
            cr_expect(epsilon_eq(dbl, -2 * log10(e / 3.7 + 2.51 / re * x), x,
                                 2e-10 * x),
                      "Re %g e/d %g", re, e);
        }
}

Test(friction, each_law_goes_on_past_its_bound)
{
    cr_assert(eq(dbl, friction_laminar(4000, 0), 0.016));
    cr_assert(eq(dbl, friction_laminar(1000, 0), 0.064));
    cr_assert(lt(dbl, 0.067, friction_turbulent(1000, 0.01)));
}

/* Fully rough: f = (2 log10(3.7 d/e))^-2; 0.0379 at e/d 0.01 (Moody 1944). */
Test(friction, a_rough_pipe_forgets_viscosity)
{
    cr_assert(epsilon_eq(dbl, friction_moody(1e12, 0.01), 0.0379, 1e-4));
}
