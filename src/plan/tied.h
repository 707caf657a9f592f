/* Wells as the rows of their block see them: what each set point counts in
 * these rows, and what it yields at their prices. */
#ifndef PLAN_TIED_H
#define PLAN_TIED_H

#include "problem.h"

/* What a well counts in a row, per use. */
struct tie {
    size_t row;
    struct well_worth count;
};

struct tied_well {
    const struct menu *menu;
    struct well_worth worth; /* without these rows */
    size_t n_ties;
    const struct tie *tie;
};

struct tied_wells {
    size_t n, n_rows;
    struct tied_well *well; /* [n] */
    double *high;           /* [n_rows] what rows may add up to at most */
};

/* Modes of a menu, by their places in it: first to end - 1. */
struct range {
    size_t first, end;
};

struct pick {
    size_t mode, point; /* places in the menu, in the mode */
    double worth;
};

/* Adds what a point counts to part[n_rows]. */
void tied_part(const struct tied_well *w, const struct pick *pick,
               double *part);

/* What a point is worth without the rows; and per use, with them. */
double tied_worth(const struct tied_well *w, const struct pick *pick);
struct well_worth tied_charged(const struct tied_well *w,
                               const double *row_price);

/* The point of these modes that is worth most. near: a point that may be near
 * it, or NULL. */
struct pick best_pick(const struct menu *menu, struct range range,
                      const struct well_worth *worth, const struct pick *near);

#endif
