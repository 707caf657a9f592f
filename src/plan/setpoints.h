/* Modes fixed: the best set points for them, on the curves. */
#ifndef PLAN_SETPOINTS_H
#define PLAN_SETPOINTS_H

#include "prices.h"

/* A plan: where each well stands, what flows, which units run. */
struct candidate {
    double value;            /* goal, ties with it */
    struct stand *stand;     /* [n_wells] in name order */
    double *column;          /* [n_columns] */
    bool *unit_runs;         /* [n_units] */
    const double *row_price; /* [n_rows] of shared rows */
};

/* mode[n_wells]: origins. Of units that q leaves open first all run that the
 * set points want at all, then those that they want by half. Starts from q's
 * prices.
 * false: no plan, or none worth more than `least`; when its wells would have
 * to stand below their curves, *below is what it would be worth, else
 * -INFINITY. */
bool set_points(const struct prices *q, const size_t *mode, double least,
                struct candidate *out, double *below);

#endif
