/* The explicit inverse of a small basis, as simplex methods keep it: [n][n],
 * row by row. */
#ifndef PLAN_INVERSE_H
#define PLAN_INVERSE_H

#include <stdbool.h>
#include <stddef.h>

/* work [n][2 n] holds the matrix and, to its right, the unit matrix; spoilt.
 * false: singular, or not numbers; the inverse is then as it was. */
bool inverse_make(size_t n, double *work, double *inverse);

/* Another column at place `at`; rate[n]: the inverse times that column, its
 * number at `at` not 0. */
void inverse_exchange(size_t n, double *inverse, size_t at, const double *rate);

#endif
