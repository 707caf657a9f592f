/* Fields of 50 to 200 wells: plan_solve, the auction by itself and the flat
 * model, which need not come to an end here, do not contradict each other. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <stdio.h>

#include "support/judges.h"
#include "support/pad_field.h"
#include "support/random_limits.h"

struct tally {
    size_t n, n_impossible, n_unproven;
};

static void judge(const struct builder *b, const struct plan_options *o,
                  const char *label, struct tally *t)
{
    struct judges j = {0};
    for (enum judge k = JUDGE_PLAN; k <= JUDGE_FLAT; k++)
        judge_ask(&j, k, b, o, label);
    judges_compare(&j, b, label);
    t->n++;
    t->n_impossible += j.of[JUDGE_PLAN].is_impossible;
    t->n_unproven += j.of[JUDGE_PLAN].has_plan && !j.of[JUDGE_PLAN].is_proven;
}

static void judge_limits(uint64_t first, uint64_t last)
{
    struct tally t = {0};
    for (uint64_t seed = first; seed <= last; seed++) {
        struct arena a;
        struct builder b;
        char label[64];
        arena_init(&a);
        builder_init_for(&b, 200, &a);
        random_limits(seed, 50 + 30 * (seed % 6), &b);
        struct plan_options o = random_limits_options(seed, &b);
        o.gap = 1e-5;
        snprintf(label, sizeof label, "limits, seed %lu", (unsigned long)seed);
        judge(&b, &o, label, &t);
        arena_release(&a);
    }
    cr_expect(ge(sz, t.n_impossible, t.n / 50));
    cr_expect(le(sz, t.n_impossible, t.n / 2));
    cr_expect(le(sz, t.n_unproven, t.n / 50));
}

Test(judges_mid, agree_on_fields_with_all_limits, .timeout = 300)
{
    judge_limits(1, 80);
}

Test(judges_mid, agree_on_more_fields_with_all_limits, .timeout = 300)
{
    judge_limits(81, 160);
}

static void judge_pads(uint64_t first, uint64_t last)
{
    struct tally t = {0};
    for (uint64_t seed = first; seed <= last; seed++) {
        struct arena a;
        struct builder b;
        char label[64];
        struct pad_field_options of = {
            .n_wells = 50 + 10 * (seed % 4),
            .is_hard = seed % 2 == 0,
            .has_units = seed % 3 != 0,
            .has_moves = seed % 5 != 0,
        };
        arena_init(&a);
        builder_init_for(&b, of.n_wells, &a);
        struct plan_options o = pad_field(seed, &of, &b);
        snprintf(label, sizeof label, "pads, seed %lu", (unsigned long)seed);
        judge(&b, &o, label, &t);
        arena_release(&a);
    }
    /* Yesterday's rates are a plan of each. */
    cr_expect(eq(sz, t.n_impossible, 0));
    cr_expect(eq(sz, t.n_unproven, 0));
}

Test(judges_mid, agree_on_fields_of_pads, .timeout = 300)
{
    judge_pads(1, 20);
}

Test(judges_mid, agree_on_more_fields_of_pads, .timeout = 300)
{
    judge_pads(21, 40);
}
