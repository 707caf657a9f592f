/* Traps that were met when methods for this problem were compared, each with
 * the test that guards against it:
 *  1  a solver says "impossible" of a field that has a plan: here
 *  2  a master without a feasible point loops or aborts:
 *     auction/contradicting_limits..., tableau/does_not_go_round_in_circles,
 *     lp_glpk/thirteen_forced_faults...
 *  3  plain dual simplex is a hundred times slower than the long step: a
 *     setting, seen in make bench
 *  4  the library's interior point method takes minutes: not used
 *  5  a branch and bound that is stopped forgets its bound:
 *     lp_glpk/stopped_early_it_keeps_a_true_bound
 *  6  a time limit is passed by far:
 *     plan/without_time_it_says_so_and_keeps_what_is_safe
 *  7  a first plan cannot be handed over: fixing by bound does without
 *  8  a column whose bounds are equal is refused: here
 *  9  a constant of the goal turns its sign between programs: here
 * 10  where gas is worth nothing a mixture lies below the curve:
 *     auction/plans_stand_on_their_curves_when_gas_costs_nothing,
 *     block/stays_on_the_chain_at_no_price_at_all
 * 11  a bound below the value by rounding: support/plan_case.c, in every test
 * 12  fixing by bound must use the absolute gap of the units that run:
 *     auction/units_that_may_stop_are_run_as_the_best_way_by_itself
 * 13  rounded tables are full of false kinks:
 *     auction/rounded_tables_with_many_kinks_are_proven_too
 * 14  units of very different size: plan/does_not_depend_on_the_size... */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "../../../src/plan/lp_glpk.h"
#include "base/strbuf.h"
#include "support/plan_case.h"
#include "support/random_field.h"

static const struct lp_limits ALL = {0, 1000, (double)INFINITY};

/* This morning's rates keep every limit of these fields. */
static void field_as_it_is(uint64_t seed, size_t n, struct arena *a,
                           struct builder *b)
{
    builder_init_for(b, n, a);
    struct random_field_options o = random_field_hard(n);
    o.has_readings = true;
    random_field(seed, &o, b);
    struct field *f = &b->field;
    struct plan now;
    size_t n_beyond;
    double *gas_sm3s = ARENA_NEW(a, n, double);
    for (size_t i = 0; i < n; i++)
        gas_sm3s[i] = field_well_now_sm3s(&f->well[i]);
    plan_at_rates(f, b->curves, gas_sm3s, a, &now, &n_beyond);
    for (size_t i = 0; i < now.n_limits; i++) {
        const struct plan_limit *l = &now.limit[i];
        double used = l->used * (1 + 1e-12);
        if (l->kind == PLAN_LIMIT_LIFT && l->scope == N_GROUP_KINDS)
            f->limits.caps.lift_sm3s = fmin(l->bound, used);
        else if (l->kind == PLAN_LIMIT_LIFT)
            f->groups[l->scope].group[l->group].caps.lift_sm3s = used;
        else if (l->kind == PLAN_LIMIT_WATER)
            f->limits.caps.water_sm3s = used;
    }
    f->limits.caps.moves = n / 4;
}

Test(traps, number_1_a_field_that_can_stay_as_it_is_has_a_plan, .timeout = 120)
{
    static const size_t SIZES[] = {6, 30, 100};
    for (size_t k = 0; k < sizeof SIZES / sizeof SIZES[0]; k++)
        for (uint64_t seed = 1; seed <= 25; seed++) {
            struct arena a;
            arena_init(&a);
            struct builder b;
            field_as_it_is(seed, SIZES[k], &a, &b);
            struct plan_options o = plan_options_default();
            o.gap = 1e-3;
            char label[48];
            snprintf(label, sizeof label, "%zu wells, seed %d", SIZES[k],
                     (int)seed);
            struct plan p = case_solve(&b, &o, label);
            cr_expect(ne(int, p.outcome, PLAN_IMPOSSIBLE), "%s", label);
            arena_release(&a);
        }
}

Test(traps, number_8_a_column_may_have_equal_bounds, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    struct milp m;
    milp_init(&m, &a);
    size_t row = milp_add_row(&m, -(double)INFINITY, 10);
    milp_add_column(&m, 3, 3, 2, false);
    milp_add_term(&m, row, 1);
    milp_add_column(&m, 0, 100, 1, false);
    milp_add_term(&m, row, 1);
    struct milp_answer answer;
    struct err err = {0};
    cr_assert(eq(int, lp_solve(&m, &ALL, &a, &answer, &err), ST_OK));
    cr_assert(eq(int, answer.state, MILP_SOLVED));
    cr_expect(epsilon_eq(dbl, answer.value, 13, 1e-9));
    arena_release(&a);
}

Test(traps, number_9_the_text_for_other_programs_has_no_constant, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    struct milp m;
    milp_init(&m, &a);
    size_t row = milp_add_row(&m, -(double)INFINITY, 10);
    milp_add_column(&m, 0, 4, 2, false);
    milp_add_term(&m, row, 1);
    m.constant = 987;
    struct strbuf text;
    strbuf_init(&text, &a);
    milp_write_lp(&m, &text);
    cr_expect(eq(ptr, strstr(text.text, "987"), NULL), "%s", text.text);
    /* Yet the library counts it. */
    struct milp_answer answer;
    struct err err = {0};
    cr_assert(eq(int, lp_solve(&m, &ALL, &a, &answer, &err), ST_OK));
    cr_expect(epsilon_eq(dbl, answer.value, 995, 1e-9));
    arena_release(&a);
}
