/* One first-order equation dy/dx = slope(x, y), marched from x0 to x1 by the
 * embedded Runge-Kutta pair of Dormand & Prince (1980) with error control
 * and event location.
 *
 * The slope may jump where a regime changes. The march freezes the regime
 * inside a step; when the margin at the end of a step is below 0, the step is
 * taken again to end on the boundary, and the regime is asked for anew. Where
 * both regimes lead back into the other, the march slides along the boundary.
 * So the answer stays smooth in the parameters of the problem. */
#ifndef NUM_MARCH_H
#define NUM_MARCH_H

#include <stddef.h>

#include "base/err.h"

struct march_point {
    double slope;  /* dy/dx; NaN: outside the model, ends the march */
    double margin; /* above 0 inside the regime, continuous */
    int regime;    /* the regime used */
};

#define MARCH_NATURAL (-1)

struct march_problem {
    /* Slope and margin at (x, y), with the regime frozen or, when it is
     * MARCH_NATURAL, the one that holds there by itself. */
    void (*at)(double x, double y, int regime, void *context,
               struct march_point *out);
    /* Called at the start, after each step and at each event; may be NULL. */
    void (*seen)(double x, double y, const struct march_point *p,
                 void *context);
    void *context;
    double rel_tol;   /* error per step, relative to y */
    double step_hint; /* first step to try, absolute; 0: the whole way */
};

struct march_count {
    int calls, steps, rejected, events;
};

static inline void march_count_add(struct march_count *sum,
                                   const struct march_count *c)
{
    sum->calls += c->calls;
    sum->steps += c->steps;
    sum->rejected += c->rejected;
    sum->events += c->events;
}

/* y at x1, or where the march failed; x1 may be below x0. Counts are added to
 * *count. step_out, if not NULL, gets the last full step's length as a hint
 * for the next leg. ST_RANGE: the way leads out of the model. ST_NUMERIC: no
 * step is short enough, or there are too many. */
enum status march_run(const struct march_problem *problem, double x0, double x1,
                      double y0, double *y1, double *step_out,
                      struct march_count *count, struct err *err) ST_CHECKED;

#endif
