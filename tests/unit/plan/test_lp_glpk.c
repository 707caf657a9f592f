/* The solver's door: right answers, and no way for a fault to get out. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <criterion/redirect.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "../../../src/plan/lp_glpk.h"
#include "base/strbuf.h"
#include "support/text.h"

static const struct lp_limits NO_LIMITS = {0, 100000, (double)INFINITY};

/* x0 + x1 <= 4, x0 + 3 x1 <= 6, 0 <= x <= 3; greatest 3 x0 + 2 x1: at (3, 1)
 * it is 11, by hand. */
static void corner(struct milp *m, struct arena *a)
{
    milp_init(m, a);
    size_t first = milp_add_row(m, -(double)INFINITY, 4);
    size_t second = milp_add_row(m, -(double)INFINITY, 6);
    milp_add_column(m, 0, 3, 3, false);
    milp_add_term(m, first, 1);
    milp_add_term(m, second, 1);
    milp_add_column(m, 0, 3, 2, false);
    milp_add_term(m, first, 1);
    milp_add_term(m, second, 3);
}

Test(lp_glpk, finds_a_corner_and_its_prices, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct milp m;
    struct milp_answer answer;
    struct err err = {0};
    corner(&m, &a);
    m.constant = 100;
    cr_assert(eq(int, lp_solve(&m, &NO_LIMITS, &a, &answer, &err), ST_OK));
    cr_assert(eq(int, answer.state, MILP_SOLVED));
    cr_expect(epsilon_eq(dbl, answer.value, 111, 1e-9));
    cr_expect(epsilon_eq(dbl, answer.x[0], 3, 1e-9));
    cr_expect(epsilon_eq(dbl, answer.x[1], 1, 1e-9));
    /* Both rows bind at x1; the price splits between them: only 2 = y0 + 3 y1
     * is sure, with both at least 0. */
    cr_expect(epsilon_eq(dbl, answer.row_price[0] + 3 * answer.row_price[1], 2,
                         1e-9));
    cr_expect(le(dbl, 0, answer.row_price[0]));
    cr_expect(le(dbl, 0, answer.row_price[1]));
    arena_release(&a);
}

/* A knapsack by hand: values 5, 4, 3, weights 2, 3, 1, room 4: 5 + 3. */
static void knapsack(struct milp *m, struct arena *a)
{
    static const double VALUE[] = {5, 4, 3}, WEIGHT[] = {2, 3, 1};
    milp_init(m, a);
    size_t room = milp_add_row(m, 0, 4);
    for (size_t i = 0; i < 3; i++) {
        milp_add_column(m, 0, 1, VALUE[i], true);
        milp_add_term(m, room, WEIGHT[i]);
    }
}

Test(lp_glpk, finds_whole_numbers, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct milp m;
    struct milp_answer answer;
    struct err err = {0};
    knapsack(&m, &a);
    cr_assert(eq(int, lp_solve(&m, &NO_LIMITS, &a, &answer, &err), ST_OK));
    cr_assert(answer.has_point);
    cr_expect(epsilon_eq(dbl, answer.value, 8, 1e-9));
    cr_expect(epsilon_eq(dbl, answer.bound, 8, 1e-9));
    arena_release(&a);
}

Test(lp_glpk, an_impossible_program_is_an_answer, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct milp m;
    struct milp_answer answer;
    struct err err = {0};
    corner(&m, &a);
    size_t row = milp_add_row(&m, 7, 8);
    milp_add_column(&m, 0, 1, 0, true);
    milp_add_term(&m, row, 1);
    cr_assert(eq(int, lp_solve(&m, &NO_LIMITS, &a, &answer, &err), ST_OK));
    cr_assert(eq(int, answer.state, MILP_IMPOSSIBLE));
    cr_assert(not(answer.has_point));
    arena_release(&a);
}

/* Equal weights and one room short: the tree must be searched. */
static void hard(struct milp *m, struct arena *a)
{
    milp_init(m, a);
    size_t room = milp_add_row(m, 0, 2 * 15 + 1);
    for (size_t i = 0; i < 40; i++) {
        milp_add_column(m, 0, 1, 2, true);
        milp_add_term(m, room, 2);
    }
}

Test(lp_glpk, stopped_early_it_keeps_a_true_bound, .timeout = 20)
{
    static const struct lp_limits FEW = {0, 1, (double)INFINITY};
    struct arena a;
    arena_init(&a);
    struct milp m;
    struct milp_answer answer;
    struct err err = {0};
    hard(&m, &a);
    cr_assert(eq(int, lp_solve(&m, &FEW, &a, &answer, &err), ST_OK));
    /* 15 whole ones fit: 30; without whole numbers 31. */
    cr_expect(le(dbl, 30 - 1e-9, answer.bound));
    cr_expect(le(dbl, answer.bound, 31 + 1e-9));
    arena_release(&a);
}

/* One forced fault; false past the last. */
static bool spoil(struct milp *m, struct arena *a, int which)
{
    double none = (double)NAN, no_end = (double)INFINITY;
    corner(m, a);
    switch (which) {
    case 0:
        m->cost[0] = none;
        break;
    case 1:
        m->cost[1] = no_end;
        break;
    case 2:
        m->term[0] = none;
        break;
    case 3:
        m->term[1] = -no_end;
        break;
    case 4:
        m->row_high[0] = none;
        break;
    case 5:
        m->row_low[1] = none;
        break;
    case 6:
        m->low[0] = 4;
        break; /* above its 3 */
    case 7:
        m->row_low[0] = 5;
        break; /* above its 4 */
    case 8:
        m->high[1] = no_end;
        break; /* unbounded is a fault of ours */
    case 9:
        m->term_row[0] = 77;
        break; /* no such row: GLPK would abort */
    case 10:
        m->term_row[1] = 0;
        break; /* the same row twice: the same */
    case 11:
        m->n_columns = m->n_terms = 0;
        break; /* the same */
    case 12:
        m->whole[0] = true;
        m->high[0] = 2.5;
        break;
    default:
        return false;
    }
    return true;
}

Test(lp_glpk, thirteen_forced_faults_end_in_a_message_and_nothing_else,
     .timeout = 20, .init = cr_redirect_stdout)
{
    struct arena a;
    arena_init(&a);
    struct milp m;
    int which = 0;
    for (; spoil(&m, &a, which); which++) {
        struct milp_answer answer;
        struct err err = {0};
        cr_expect(
            eq(int, lp_solve(&m, &NO_LIMITS, &a, &answer, &err), ST_SOLVER),
            "fault %d", which);
        cr_expect(ne(sz, strlen(err.msg), 0), "fault %d", which);
        /* The library is sound again afterwards. */
        corner(&m, &a);
        cr_expect(eq(int, lp_solve(&m, &NO_LIMITS, &a, &answer, &err), ST_OK),
                  "fault %d", which);
        cr_expect(epsilon_eq(dbl, answer.value, 11, 1e-9), "fault %d", which);
    }
    cr_assert(eq(int, which, 13));
    fflush(stdout);
    cr_assert_stdout_eq_str("");
    arena_release(&a);
}

Test(milp, is_written_as_text_that_solvers_read, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct milp m;
    struct strbuf text;
    knapsack(&m, &a);
    strbuf_init(&text, &a);
    milp_write_lp(&m, &text);
    cr_assert(text_is(text.text, "Maximize\n"
                                 " obj: + 5 x0 + 4 x1 + 3 x2\n"
                                 "Subject To\n"
                                 " r0: + 2 x0 + 3 x1 + 1 x2 <= 4\n"
                                 " l0: + 2 x0 + 3 x1 + 1 x2 >= 0\n"
                                 "Bounds\n"
                                 " 0 <= x0 <= 1\n"
                                 " 0 <= x1 <= 1\n"
                                 " 0 <= x2 <= 1\n"
                                 "Generals\n"
                                 " x0\n"
                                 " x1\n"
                                 " x2\n"
                                 "End\n"));
    arena_release(&a);
}
