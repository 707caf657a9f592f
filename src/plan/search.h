/* The whole problem as one mixed-integer program of the solver library: exact
 * for small fields, and a second opinion. */
#ifndef PLAN_SEARCH_H
#define PLAN_SEARCH_H

#include "problem.h"

struct search_result {
    bool is_impossible; /* the solver says so, twice */
    bool is_stopped;    /* by the limits of nodes, work or time */
    bool has_plan;
    struct plan plan;   /* rates, sums and limits; in the arena */
    double bound;       /* in the plan's value */
    double *row_price;  /* [problem.n_rows] of the plan with its modes fixed */
    double moves_price; /* of the relaxation: with modes fixed there is none */
    enum plan_proof proof; /* of the bound */
    long nodes, iterations;
    size_t open_wells; /* most wells left to the branch and bound at once */
};

/* any_plan: stop at the first plan. */
enum status search_run(const struct problem *problem, bool any_plan,
                       struct arena *a, struct search_result *out,
                       struct err *err) ST_CHECKED;

#endif
