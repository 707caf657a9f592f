/* A problem's menus as a linear program, and its solution read back. */
#ifndef PLAN_MODEL_H
#define PLAN_MODEL_H

#include "milp.h"
#include "problem.h"

struct model {
    const struct problem *problem;
    const struct menu *menu; /* [n_wells], perhaps trimmed or relaxed */
    bool whole;
    struct milp lp;
    size_t *first;   /* [n_wells] first column */
    size_t station;  /* first of the station's columns */
    size_t *unit;    /* [n_units] column of its running; SIZE_MAX: fixed */
    bool *unit_runs; /* [n_units] what is fixed */
};

/* Units that may run or not are a whole number with `whole`; unit_runs
 * [n_units], when given, fixes them. A well with one chain becomes bounded
 * segments; the others choose: weights of points that sum to 1, and with
 * `whole` a whole number for each mode that has several points, one linking row
 * each. */
void model_make(const struct problem *p, const struct menu *menu, bool whole,
                const bool *unit_runs, struct arena *a, struct model *out);

/* stand[n_wells] for a point of the program: of a well that mixes modes, the
 * one of greatest weight, and the mixture. */
void model_read(const struct model *m, const double *x, struct stand *stand);

/* unit_runs[n_units]; half counts as running. */
void model_read_units(const struct model *m, const double *x, bool *unit_runs);

#endif
