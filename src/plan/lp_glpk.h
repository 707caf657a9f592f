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

/* How rows and columns stood when a program was solved: where to start from
 * when it is solved again with other prices, bounds, rows or columns. */
enum lp_stand {
    LP_NEW, /* of a row: not binding; of a column: at its lower bound */
    LP_BASIC,
    LP_LOW,
    LP_HIGH,
    LP_FREE
};
struct lp_basis {
    unsigned char *row, *column; /* [n_rows], [n_columns] enum lp_stand */
};

/* The same for a program without whole columns, by the primal method from the
 * basis given; *basis is how things stand at the end. */
enum status lp_solve_from(const struct milp *m, const struct lp_limits *limits,
                          struct lp_basis *basis, struct arena *a,
                          struct milp_answer *out, struct err *err) ST_CHECKED;

#endif
