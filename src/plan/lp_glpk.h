/* Solving a milp with GLPK: guarded against its aborts, silent, limited. */
#ifndef PLAN_LP_GLPK_H
#define PLAN_LP_GLPK_H

#include "base/arena.h"
#include "base/err.h"
#include "milp.h"

struct lp_limits {
    double gap;     /* relative, at which whole columns are good enough */
    long nodes_max; /* of the branch and bound */
    double time_s;  /* INFINITY: none */
};

/* Impossible and stopped are answers. ST_SOLVER: a number that is not finite,
 * crossed bounds, or the library failed by both of its methods; the err says
 * which. Safe in several threads; leaves no memory of the library behind. */
enum status lp_solve(const struct milp *m, const struct lp_limits *limits,
                     struct arena *a, struct milp_answer *out,
                     struct err *err) ST_CHECKED;

#endif
