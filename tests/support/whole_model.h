/* A field written once more as a mixed-integer program, from the words of
 * field.h and plan.h alone: one whole-numbered choice for every straight line
 * of every curve, nothing cut, ordered or merged. For referees: nothing of the
 * plan's own problem, menus or model is used, only the arrays of struct milp
 * to hold the program. */
#ifndef SUPPORT_WHOLE_MODEL_H
#define SUPPORT_WHOLE_MODEL_H

#include <stdbool.h>

#include "plan/plan.h"

struct milp;

/* Returns the size of the program's value in the objective's SI. */
double whole_model(const struct field *f, const struct curve *curves,
                   const struct plan_options *o, struct arena *a,
                   struct milp *out);

/* What a referee says, in the objective's SI. */
struct verdict {
    bool is_impossible;
    bool has_plan;
    double value, bound; /* when it has a plan */
};

/* Branch and bound of the whole model by GLPK, to the optimum or until the
 * nodes are spent. */
struct verdict whole_by_glpk(const struct field *f, const struct curve *curves,
                             const struct plan_options *o, long nodes_max,
                             struct arena *a);

/* The program cbc, through a file. */
bool cbc_is_installed(void);
struct verdict whole_by_cbc(const struct field *f, const struct curve *curves,
                            const struct plan_options *o, int seconds,
                            struct arena *a);

/* Any program by cbc. The value is that of the program. */
struct verdict cbc_solve(const struct milp *m, int seconds, struct arena *a);

#endif
