/* A linear program with some whole-numbered columns: the greatest sum of
 * cost * column, with rows and columns between bounds (INFINITY: none).
 * Plain arrays, stored column by column; no solver's types. */
#ifndef PLAN_MILP_H
#define PLAN_MILP_H

#include <stdbool.h>
#include <stddef.h>

struct arena;
struct strbuf;

struct milp {
    struct arena *arena; /* owns the arrays */
    size_t n_rows, n_columns, n_terms;
    double *row_low, *row_high;
    double *low, *high, *cost;
    double constant; /* added to every value; left out of the text */
    bool *whole;
    size_t *start; /* [n_columns] first term of each column */
    size_t *term_row;
    double *term;
    size_t cap_rows, cap_columns, cap_terms;
};

enum milp_state { MILP_SOLVED, MILP_IMPOSSIBLE, MILP_STOPPED };

/* Arrays in the arena given to the solver. */
struct milp_answer {
    enum milp_state state;
    bool has_point;      /* always when solved, perhaps when stopped */
    double value, bound; /* no point is better than bound */
    double *x;           /* [n_columns] */
    /* Prices of rows, without whole columns only: value gained per unit that
     * the bound in force is moved up. */
    double *row_price; /* [n_rows] */
    long iterations, nodes;
};

void milp_init(struct milp *m, struct arena *a);

/* Index of the new row. */
size_t milp_add_row(struct milp *m, double low, double high);

/* Index of the new column; milp_add_term then fills it. */
size_t milp_add_column(struct milp *m, double low, double high, double cost,
                       bool whole);

/* The last column's value in a row; at most once per row. 0 adds nothing. */
void milp_add_term(struct milp *m, size_t row, double value);

/* End of a column's terms. */
size_t milp_column_end(const struct milp *m, size_t column);

/* As text in the LP format that most solvers read, for a second opinion:
 * columns x0, x1, ..., rows r0, r1, ... (l0, l1, ... for a lower bound). */
void milp_write_lp(const struct milp *m, struct strbuf *out);

#endif
