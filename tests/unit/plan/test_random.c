/* Small random fields against a dynamic program: see support/whole_gas.h. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <stdio.h>

#include "support/plan_case.h"
#include "support/whole_gas.h"

struct tally {
    size_t n, n_impossible, n_open;
};

static void compare(uint64_t seed, bool has_moves, struct tally *tally)
{
    struct whole_gas f;
    whole_gas_draw(seed, has_moves, &f);
    struct arena a;
    arena_init(&a);
    struct builder b;
    whole_gas_build(&f, &a, &b);
    char label[64];
    snprintf(label, sizeof label, "seed %lu", (unsigned long)seed);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, label);
    double want = whole_gas_best(&f, &a);
    tally->n++;
    tally->n_open += p.open_wells > 0;
    if (want < 0) {
        tally->n_impossible++;
        cr_expect(eq(int, p.outcome, PLAN_IMPOSSIBLE), "%s: oil %g", label,
                  case_oil_stb_d(&p));
    } else {
        cr_expect(eq(int, p.outcome, PLAN_OPTIMAL), "%s", label);
        cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), want, 1e-6), "%s", label);
    }
    arena_release(&a);
}

Test(random, six_hundred_fields_meet_the_dynamic_program, .timeout = 120)
{
    struct tally t = {0};
    for (uint64_t seed = 1; seed <= 600; seed++)
        compare(seed, false, &t);
    /* The draw must not have gone soft. */
    cr_assert(ge(sz, t.n_impossible, 50));
    cr_assert(ge(sz, t.n_open, 100));
}

Test(random, three_hundred_fields_with_few_moves_and_a_dead_band_do_too,
     .timeout = 120)
{
    struct tally t = {0};
    for (uint64_t seed = 1001; seed <= 1300; seed++)
        compare(seed, true, &t);
    cr_assert(ge(sz, t.n_impossible, 50));
    cr_assert(ge(sz, t.n_open, 50));
}
