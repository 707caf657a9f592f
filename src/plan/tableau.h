/* A small dense linear program that grows by columns: the greatest sum of
 * cost * x, rows and columns between bounds. Each row's price is kept in a
 * box: past its bounds a row may go, at the cost that the box's ends say. So
 * there is always an answer, and a box drawn tight round good prices is a
 * trust region. Bounded primal simplex on an explicit inverse, from the last
 * basis on. Meant for up to some 40 rows and 200 columns. */
#ifndef PLAN_TABLEAU_H
#define PLAN_TABLEAU_H

#include <stdbool.h>
#include <stddef.h>

struct arena;
struct tableau;

/* Rows all with bounds -INFINITY..INFINITY and prices -box..box. */
struct tableau *tableau_new(size_t n_rows, double box, struct arena *a);

void tableau_row(struct tableau *t, size_t row, double low, double high);

/* The price of the row stays between these; least <= most. A price that no
 * bound could have (above 0 without high, below 0 without low) counts as 0. */
void tableau_box(struct tableau *t, size_t row, double least, double most);

/* Index of the new column; low finite, high >= low, INFINITY: none.
 * term[n_rows] is copied. */
size_t tableau_add(struct tableau *t, double low, double high, double cost,
                   const double *term);

void tableau_bound(struct tableau *t, size_t column, double low, double high);
void tableau_cost(struct tableau *t, size_t column, double cost);

/* Columns for which `keep` is false and that stand at their lower bound leave;
 * the others are numbered anew, in their order. */
void tableau_drop(struct tableau *t, const bool *keep);

struct tableau_answer {
    bool solved;  /* false: stuck or unbounded; the rest is where it stood */
    double value; /* less what rows past their bounds cost; with a box that does
                     not hold 0, plus its price for what is left of a bound */
    const double *x;         /* [n_columns], valid until the next call */
    const double *row_price; /* [n_rows]: value gained per unit by which the
                                bound in force is raised */
    double past;             /* how far rows are past their bounds, summed */
    long iterations;
};

struct tableau_answer tableau_solve(struct tableau *t);

#endif
