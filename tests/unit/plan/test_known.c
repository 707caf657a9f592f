/* Fields whose optimum is known by construction: it is found and proven. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>

#include "support/known_field.h"
#include "support/plan_case.h"

static void find(uint64_t seed, size_t n_wells, double gap)
{
    struct arena a;
    struct builder b;
    char label[64];
    struct known_field_options of = {
        .n_wells = n_wells,
        .n_tied = seed % 7,
        .is_money = seed % 2 == 0,
        .has_units = seed % 3 != 0,
        .has_moves = seed % 5 == 0,
    };
    arena_init(&a);
    builder_init_for(&b, n_wells, &a);
    double value = known_field(seed, &of, &b);
    struct plan_options o = plan_options_default();
    o.objective = of.is_money ? PLAN_MONEY : PLAN_OIL;
    o.gap = gap;
    snprintf(label, sizeof label, "%zu wells, seed %lu", n_wells,
             (unsigned long)seed);
    struct plan p = case_solve(&b, &o, label);
    double slack = 1e-8 * fabs(value);
    cr_expect(p.outcome == PLAN_OPTIMAL || p.outcome == PLAN_WITHIN_GAP,
              "%s: outcome %d, gap %g", label, (int)p.outcome, p.gap);
    cr_expect(le(dbl, p.value, value + slack), "%s", label);
    cr_expect(ge(dbl, p.value, value - slack - gap * fabs(value)), "%s", label);
    cr_expect(ge(dbl, p.bound, value - slack), "%s", label);
    arena_release(&a);
}

Test(known, optimum_is_found_with_6_wells, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 200; seed++)
        find(seed, 6, 1e-9);
}

Test(known, optimum_is_found_with_20_wells, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 100; seed++)
        find(seed, 20, 1e-9);
}

Test(known, optimum_is_found_with_60_wells, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 30; seed++)
        find(seed, 60, 1e-6);
}

Test(known, optimum_is_found_with_200_wells, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 60; seed++)
        find(seed, 200, 1e-6);
}

Test(known, optimum_is_found_with_600_wells, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 30; seed++)
        find(seed, 600, 1e-6);
}

/* Limits that one plan just meets, all at once. */
Test(known, optimum_is_found_where_only_one_plan_fits, .timeout = 60)
{
    find(170, 200, 1e-6);
    find(85, 200, 1e-6);
    find(76, 600, 1e-6);
    find(59, 2000, 1e-6);
}

Test(known, optimum_is_found_with_2000_wells, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 12; seed++)
        find(seed, 2000, 1e-6);
}
