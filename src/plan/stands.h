/* From where wells stand and what flows in the station, in a problem's units
 * and order, to a plan in the field's. */
#ifndef PLAN_STANDS_H
#define PLAN_STANDS_H

#include "problem.h"

struct stands {
    const struct stand *stand; /* [n_wells] in name order */
    const double *column;      /* [n_columns] */
    const bool *unit_runs;     /* [n_units] */
};

/* The plan's sums and limits, set points put on the curves: the same oil with
 * the least gas. */
void stands_plan(const struct problem *p, const struct stands *s,
                 struct arena *a, struct plan *out);

/* Least gas on the mode that makes the stand's oil; a mode that is no chain
 * is taken as it stands. */
double stand_gas(const struct mode *mode, const struct stand *s);

#endif
