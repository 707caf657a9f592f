/* A root of one continuous function between two points of opposite sign. */
#ifndef NUM_ROOT_H
#define NUM_ROOT_H

#include "base/err.h"

struct root_end {
    double x, f;
};

struct root {
    double x, f; /* the best point and its function value */
    int calls;
};

/* f(x, context); a NaN result stops the search with ST_RANGE. */
typedef double root_function(double x, void *context);

/* One step of the search below, for a caller with an end of its own: puts next,
 * a point between a and b, which have f of opposite sign, among them, so that
 * they still do; c is the point given up. Returns where to look next, as a
 * part of the way from a to b. */
double root_narrow(struct root_end *a, struct root_end *b, struct root_end *c,
                   struct root_end next);

/* Chandrupatla (1997): inverse quadratic steps, bisection when they do not
 * pay. Ends when the bracket is narrower than x_tol (absolute, above 0) or f
 * is 0. ST_NUMERIC: no change of sign between a and b, or too many calls. */
enum status root_find(root_function *f, void *context, struct root_end a,
                      struct root_end b, double x_tol, struct root *out,
                      struct err *err) ST_CHECKED;

/* Greatest value of a function with one hump between lo and hi, by Brent's
 * parabolic steps; ends at x_tol. out->x, out->f: place and value. */
enum status root_hump(root_function *f, void *context, double lo, double hi,
                      double x_tol, struct root *out,
                      struct err *err) ST_CHECKED;

#endif
