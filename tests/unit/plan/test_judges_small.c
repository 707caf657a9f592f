/* Small fields with every limit at random: all ways to a plan agree. Groups of
 * some hundred fields a test, so that they run side by side. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <stdio.h>

#include "support/judges.h"
#include "support/plan_case.h"
#include "support/random_limits.h"
#include "support/whole_gas.h"
#include "support/whole_model.h"

struct tally {
    size_t n, n_impossible, n_unproven, n_silent;
};

static void count(const struct judges *j, struct tally *t)
{
    const struct opinion *plan = &j->of[JUDGE_PLAN];
    t->n++;
    t->n_impossible += plan->is_impossible;
    t->n_unproven += plan->has_plan && !plan->is_proven;
    for (enum judge k = 0; k < N_JUDGES; k++) {
        const struct opinion *o = &j->of[k];
        t->n_silent += o->was_asked && !o->has_plan && !o->is_impossible;
    }
}

/* The draw must be neither soft nor hopeless, and proofs are the rule. */
static void expect_sound(const struct tally *t)
{
    cr_expect(ge(sz, t->n_impossible, t->n / 20));
    cr_expect(le(sz, t->n_impossible, t->n / 2));
    cr_expect(le(sz, t->n_unproven, t->n / 100));
    cr_expect(le(sz, t->n_silent, t->n / 100));
}

static void judge(uint64_t seed, bool with_cbc, struct tally *t)
{
    struct arena a;
    struct builder b;
    struct judges j = {0};
    char label[64];
    arena_init(&a);
    builder_init_for(&b, 16, &a);
    random_limits(seed, 3 + seed % 10, &b);
    struct plan_options o = random_limits_options(seed, &b);
    snprintf(label, sizeof label, "seed %lu", (unsigned long)seed);
    for (enum judge k = JUDGE_PLAN; k <= JUDGE_WHOLE; k++)
        judge_ask(&j, k, &b, &o, label);
    if (with_cbc)
        judge_ask(&j, JUDGE_CBC, &b, &o, label);
    judges_compare(&j, &b, label);
    count(&j, t);
    arena_release(&a);
}

static void judge_all(uint64_t first, uint64_t last, bool with_cbc)
{
    struct tally t = {0};
    for (uint64_t seed = first; seed <= last; seed++)
        judge(seed, with_cbc, &t);
    expect_sound(&t);
}

Test(judges_small, four_ways_agree_on_fields_with_all_limits, .timeout = 120)
{
    judge_all(1, 700, false);
}

Test(judges_small, four_ways_agree_on_more_fields_with_all_limits,
     .timeout = 120)
{
    judge_all(701, 1350, false);
}

Test(judges_small, four_ways_agree_on_still_more_fields_with_all_limits,
     .timeout = 120)
{
    judge_all(1351, 2000, false);
}

Test(judges_small, cbc_agrees_with_all_of_them, .timeout = 300)
{
    if (!cbc_is_installed())
        cr_skip_test("cbc is not installed");
    judge_all(2001, 2150, true);
}

static void judge_with_dynamic_program(uint64_t seed, struct tally *t)
{
    struct arena a;
    struct builder b;
    struct judges j = {0};
    struct whole_gas f;
    char label[64];
    arena_init(&a);
    whole_gas_draw(seed, seed % 2 == 0, &f);
    whole_gas_build(&f, &a, &b);
    struct plan_options o = case_exact();
    snprintf(label, sizeof label, "seed %lu", (unsigned long)seed);
    for (enum judge k = JUDGE_PLAN; k <= JUDGE_WHOLE; k++)
        judge_ask(&j, k, &b, &o, label);
    double best = builder_oil(whole_gas_best(&f, &a));
    j.of[JUDGE_DYNAMIC] = (struct opinion){
        .was_asked = true,
        .is_impossible = best < 0,
        .has_plan = best >= 0,
        .is_proven = best >= 0,
        .value = best,
        .bound = best,
    };
    judges_compare(&j, &b, label);
    count(&j, t);
    arena_release(&a);
}

Test(judges_small, the_dynamic_program_agrees_with_all_of_them, .timeout = 120)
{
    struct tally t = {0};
    for (uint64_t seed = 2001; seed <= 2300; seed++)
        judge_with_dynamic_program(seed, &t);
    expect_sound(&t);
}
