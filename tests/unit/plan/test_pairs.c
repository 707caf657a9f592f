/* Wells that run only with another one, more of them than fit in a block. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "num/tol.h"
#include "support/plan_case.h"

TestSuite(pairs, .timeout = 60);

/* All but the first run only with it; it makes 1 stb/d, each of them 10, all of
 * 100 Mscf/d. */
static void add_wells(struct builder *b, size_t n)
{
    static const double GAS[] = {100, 101}, ONE[] = {1, 1}, TEN[] = {10, 10};
    for (size_t i = 0; i < n; i++) {
        const char *name = arena_printf(b->arena, "W-%03zu", i);
        struct field_well *w =
            builder_well(b, name, 2, GAS, i == 0 ? ONE : TEN, 1, 0);
        if (i > 0)
            w->runs_with = "W-000";
    }
}

/* Gas for the half of them, the first one with them; for one, it alone. */
Test(pairs, the_well_that_others_need_runs_with_as_many_as_there_is_gas_for)
{
    static const size_t N[] = {5, BLOCK_WELLS + 10, 2 * BLOCK_WELLS + 10};
    for (size_t i = 0; i < sizeof N / sizeof N[0]; i++)
        for (int half = 0; half < 2; half++) {
            struct arena a;
            arena_init(&a);
            struct builder b;
            builder_init(&b, &a);
            add_wells(&b, N[i]);
            size_t run = half ? N[i] / 2 : 1;
            b.field.limits.caps.lift_sm3s = builder_gas(100.0 * (double)run);
            struct plan_options o = case_exact();
            struct plan p = case_solve(&b, &o, "pairs");
            double want = 10 * (double)(run - 1) + 1;
            cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), want, 1e-6 * want),
                      "%zu wells, %zu run", N[i], run);
            arena_release(&a);
        }
}
