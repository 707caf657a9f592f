/* The small linear program, against a solver library on random programs. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "../../../src/plan/lp_glpk.h"
#include "../../../src/plan/tableau.h"
#include "support/dice.h"

static const struct lp_limits NO_LIMITS = {0, 100000, (double)INFINITY};

enum { MOST_ROWS = 20, MOST_COLUMNS = 60 };

/* Plain numbers of a program, from which both are made. */
struct sums {
    size_t n_rows, n_columns;
    double row_low[MOST_ROWS], row_high[MOST_ROWS];
    double least[MOST_ROWS], most[MOST_ROWS];
    double low[MOST_COLUMNS], high[MOST_COLUMNS], cost[MOST_COLUMNS];
    double term[MOST_COLUMNS][MOST_ROWS];
};

/* Few different numbers make many ties. */
static double number(struct dice *d, bool is_coarse, double least, double most)
{
    double x = dice_between(d, least, most);
    return is_coarse ? round(2 * x) / 2 : x;
}

static void draw_bounds(struct dice *d, struct sums *s, size_t r, bool coarse)
{
    double level = number(d, coarse, -2, 3), none = (double)INFINITY;
    double width = number(d, coarse, 0, 2);
    size_t kind = dice_index(d, 5);
    s->row_low[r] = kind == 0 || kind == 1 ? -none : level;
    s->row_high[r] = kind == 2 ? none : level + (kind == 4 ? 0 : width);
    double box = dice_index(d, 3) == 0 ? number(d, coarse, 0, 2) : 50;
    s->least[r] = -box;
    s->most[r] = box;
}

static void draw(struct dice *d, struct sums *s)
{
    bool coarse = dice_index(d, 2) == 0;
    s->n_rows = 1 + dice_index(d, dice_index(d, 8) == 0 ? MOST_ROWS : 6);
    s->n_columns = 1 + dice_index(d, MOST_COLUMNS);
    for (size_t r = 0; r < s->n_rows; r++)
        draw_bounds(d, s, r, coarse);
    for (size_t j = 0; j < s->n_columns; j++) {
        s->low[j] = dice_index(d, 3) == 0 ? number(d, coarse, -1, 1) : 0;
        s->high[j] = s->low[j] + number(d, coarse, 0, 2);
        s->cost[j] = number(d, coarse, -2, 4);
        for (size_t r = 0; r < s->n_rows; r++)
            s->term[j][r] =
                dice_index(d, 3) == 0 ? 0 : number(d, coarse, -1, 2);
    }
}

static struct tableau *tableau_of(const struct sums *s, struct arena *a)
{
    struct tableau *t = tableau_new(s->n_rows, 1, a);
    for (size_t r = 0; r < s->n_rows; r++) {
        tableau_row(t, r, s->row_low[r], s->row_high[r]);
        tableau_box(t, r, s->least[r], s->most[r]);
    }
    for (size_t j = 0; j < s->n_columns; j++)
        tableau_add(t, s->low[j], s->high[j], s->cost[j], s->term[j]);
    return t;
}

/* The same with explicit columns for what goes past a bound. A price box that
 * does not hold 0 pays for what stays inside; then `past` is not alone. */
static double value_by_library(const struct sums *s, struct arena *a)
{
    static const double FAR = 1e5;
    struct milp m;
    struct milp_answer answer;
    struct err err = {0};
    milp_init(&m, a);
    for (size_t r = 0; r < s->n_rows; r++)
        milp_add_row(&m, s->row_low[r], s->row_high[r]);
    for (size_t j = 0; j < s->n_columns; j++) {
        milp_add_column(&m, s->low[j], s->high[j], s->cost[j], false);
        for (size_t r = 0; r < s->n_rows; r++)
            milp_add_term(&m, r, s->term[j][r]);
    }
    for (size_t r = 0; r < s->n_rows; r++) {
        milp_add_column(&m, 0, FAR, -s->most[r], false);
        milp_add_term(&m, r, -1);
        milp_add_column(&m, 0, FAR, s->least[r], false);
        milp_add_term(&m, r, 1);
    }
    cr_assert(eq(int, lp_solve(&m, &NO_LIMITS, a, &answer, &err), ST_OK), "%s",
              err.msg);
    cr_assert(eq(int, answer.state, MILP_SOLVED));
    return answer.value;
}

/* Weak duality from the numbers alone: no x is worth more at these prices. */
static double bound_at(const struct sums *s, const double *price)
{
    double sum = 0;
    for (size_t r = 0; r < s->n_rows; r++)
        if (price[r] != 0)
            sum += price[r] * (price[r] > 0 ? s->row_high[r] : s->row_low[r]);
    for (size_t j = 0; j < s->n_columns; j++) {
        double gain = s->cost[j];
        for (size_t r = 0; r < s->n_rows; r++)
            gain -= price[r] * s->term[j][r];
        sum += fmax(gain * s->low[j], gain * s->high[j]);
    }
    return sum;
}

static void judge(const struct sums *s, struct tableau *t, size_t seed)
{
    struct arena a;
    arena_init(&a);
    struct tableau_answer got = tableau_solve(t);
    double want = value_by_library(s, &a);
    double tol = 1e-8 * (1 + fabs(want));
    cr_expect(got.solved, "seed %zu", seed);
    cr_expect(epsilon_eq(dbl, got.value, want, tol), "seed %zu", seed);
    cr_expect(epsilon_eq(dbl, bound_at(s, got.row_price), got.value,
                         1e-10 * (1 + fabs(want))),
              "seed %zu: prices", seed);
    for (size_t r = 0; r < s->n_rows; r++)
        cr_expect(got.row_price[r] >= s->least[r] - 1e-9 &&
                      got.row_price[r] <= s->most[r] + 1e-9,
                  "seed %zu: row %zu leaves its box", seed, r);
    for (size_t j = 0; j < s->n_columns; j++)
        cr_expect(got.x[j] >= s->low[j] - 1e-9 && got.x[j] <= s->high[j] + 1e-9,
                  "seed %zu: column %zu", seed, j);
    arena_release(&a);
}

Test(tableau, agrees_with_a_solver_library, .timeout = 60)
{
    for (size_t seed = 0; seed < 3000; seed++) {
        struct arena a;
        arena_init(&a);
        struct dice d = {seed};
        struct sums s;
        draw(&d, &s);
        judge(&s, tableau_of(&s, &a), seed);
        arena_release(&a);
    }
}

/* A change of anything that has a call. */
static void change(struct dice *d, struct sums *s, struct tableau *t)
{
    size_t r = dice_index(d, s->n_rows), j = dice_index(d, s->n_columns);
    switch (dice_index(d, 5)) {
    case 0:
        draw_bounds(d, s, r, false);
        tableau_row(t, r, s->row_low[r], s->row_high[r]);
        tableau_box(t, r, s->least[r], s->most[r]);
        break;
    case 1:
        s->least[r] = -dice_between(d, 0, 3);
        s->most[r] = dice_between(d, 0, 3);
        tableau_box(t, r, s->least[r], s->most[r]);
        break;
    case 2:
        s->low[j] = dice_between(d, -2, 1);
        s->high[j] = s->low[j] + (double)dice_index(d, 3);
        tableau_bound(t, j, s->low[j], s->high[j]);
        break;
    case 3:
        tableau_cost(t, j, s->cost[j] = dice_between(d, -3, 3));
        break;
    default:
        if (s->n_columns == MOST_COLUMNS)
            break;
        j = s->n_columns++;
        s->low[j] = 0;
        s->high[j] = 1;
        s->cost[j] = dice_between(d, 0, 5);
        for (r = 0; r < s->n_rows; r++)
            s->term[j][r] = dice_between(d, -1, 2);
        tableau_add(t, 0, 1, s->cost[j], s->term[j]);
    }
}

Test(tableau, goes_on_from_its_last_basis_after_any_change, .timeout = 60)
{
    for (size_t seed = 0; seed < 200; seed++) {
        struct arena a;
        arena_init(&a);
        struct dice d = {seed + 50000};
        struct sums s;
        draw(&d, &s);
        struct tableau *t = tableau_of(&s, &a);
        for (int step = 0; step < 15; step++) {
            judge(&s, t, seed);
            for (size_t n = 1 + dice_index(&d, 3); n > 0; n--)
                change(&d, &s, t);
        }
        arena_release(&a);
    }
}

/* Columns at their lower bound that leave change nothing else. */
Test(tableau, forgets_columns_that_are_not_used, .timeout = 10)
{
    for (size_t seed = 0; seed < 300; seed++) {
        struct arena a;
        arena_init(&a);
        struct dice d = {seed + 90000};
        struct sums s;
        draw(&d, &s);
        for (size_t j = 0; j < s.n_columns; j++) {
            s.high[j] -= s.low[j];
            s.low[j] = 0;
        }
        struct tableau *t = tableau_of(&s, &a);
        struct tableau_answer before = tableau_solve(t);
        double value = before.value;
        bool keep[MOST_COLUMNS];
        for (size_t j = 0; j < s.n_columns; j++)
            keep[j] = before.x[j] > 0;
        tableau_drop(t, keep);
        struct tableau_answer after = tableau_solve(t);
        cr_expect(after.solved);
        cr_expect(
            epsilon_eq(dbl, after.value, value, 1e-10 * (1 + fabs(value))),
            "seed %zu", seed);
        cr_expect(le(long, after.iterations, 3), "seed %zu", seed);
        arena_release(&a);
    }
}

/* By hand: x0 + x1 <= 1.5 at most, worth 3 and 1; x0 = 1, x1 = 0.5. The price
 * 1 of the row is inside 0.5 to 2; a box of 2 to 4 keeps it at 2, where x1 is
 * no longer worth it and what is left, 0.5, is paid 2 per unit. */
Test(tableau, a_price_box_without_zero_pays_for_what_is_left, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct tableau *t = tableau_new(1, 100, &a);
    double one = 1;
    tableau_row(t, 0, -(double)INFINITY, 1.5);
    tableau_add(t, 0, 1, 3, &one);
    tableau_add(t, 0, 1, 1, &one);
    tableau_box(t, 0, 0.5, 2);
    struct tableau_answer answer = tableau_solve(t);
    cr_expect(epsilon_eq(dbl, answer.value, 3.5, 1e-12));
    cr_expect(epsilon_eq(dbl, answer.row_price[0], 1, 1e-12));
    tableau_box(t, 0, 2, 4);
    answer = tableau_solve(t);
    cr_expect(epsilon_eq(dbl, answer.value, 3 + 2 * 0.5, 1e-12));
    cr_expect(epsilon_eq(dbl, answer.x[1], 0, 1e-12));
    /* From 1 to 3 every price is right; it is in the box. */
    cr_expect(answer.row_price[0] >= 2 && answer.row_price[0] <= 3);
    cr_expect(epsilon_eq(dbl, answer.past, 0, 1e-12));
    arena_release(&a);
}

Test(tableau, says_how_far_it_had_to_go_past_a_row, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct tableau *t = tableau_new(1, 100, &a);
    double one = 1;
    tableau_row(t, 0, 3, 3);
    tableau_add(t, 0, 2, -1, &one);
    struct tableau_answer answer = tableau_solve(t);
    cr_expect(answer.solved);
    cr_expect(epsilon_eq(dbl, answer.past, 1, 1e-12));
    /* Raised, the bound costs 100 more per unit. */
    cr_expect(epsilon_eq(dbl, answer.row_price[0], -100, 1e-9));
    cr_expect(epsilon_eq(dbl, answer.value, -2 - 100, 1e-9));
    arena_release(&a);
}

Test(tableau, an_endless_gain_or_no_number_is_not_solved, .timeout = 10)
{
    double none = (double)NAN, no_end = (double)INFINITY;
    double spoilt[][4] = {
        /* high, cost, term, row_high */
        {no_end, 1, -1, 1}, {none, 1, 1, 1},   {1, none, 1, 1},
        {1, 1, none, 1},    {1, no_end, 1, 1}, {1, 1, no_end, 1},
        {no_end, 1, 0, 1},
    };
    for (size_t i = 0; i < sizeof spoilt / sizeof *spoilt; i++) {
        struct arena a;
        arena_init(&a);
        struct tableau *t = tableau_new(1, 10, &a);
        const double *k = spoilt[i];
        tableau_row(t, 0, -no_end, k[3]);
        tableau_add(t, 0, k[0], k[1], &k[2]);
        cr_expect(not(tableau_solve(t).solved), "case %zu", i);
        arena_release(&a);
    }
}

/* Beale's program (1955), on which the first rule of the simplex goes round
 * for ever: 0.05 by his paper. The box is wide enough never to be used. */
Test(tableau, does_not_go_round_in_circles, .timeout = 10)
{
    static const double TERM[4][3] = {
        {0.25, 0.5, 0}, {-60, -90, 0}, {-0.04, -0.02, 1}, {9, 3, 0}};
    static const double COST[4] = {0.75, -150, 0.02, -6};
    struct arena a;
    arena_init(&a);
    struct tableau *t = tableau_new(3, 1e6, &a);
    for (size_t r = 0; r < 3; r++)
        tableau_row(t, r, -(double)INFINITY, r == 2 ? 1 : 0);
    for (size_t j = 0; j < 4; j++)
        tableau_add(t, 0, (double)INFINITY, COST[j], TERM[j]);
    struct tableau_answer answer = tableau_solve(t);
    cr_expect(answer.solved);
    cr_expect(epsilon_eq(dbl, answer.value, 0.05, 1e-12));
    arena_release(&a);
}
