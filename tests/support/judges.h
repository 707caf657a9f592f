/* Several independent ways to the same plan, and what they must agree on. */
#ifndef SUPPORT_JUDGES_H
#define SUPPORT_JUDGES_H

#include "plan/plan.h"
#include "support/field_builder.h"

#define JUDGES_ALL(X)                                                 \
    X(PLAN, "plan_solve")            /* what people get */            \
    X(AUCTION, "the auction")        /* prices and blocks alone */    \
    X(FLAT, "the flat model")        /* the plan's own, by GLPK */    \
    X(WHOLE, "the whole model")      /* see whole_model.h, by GLPK */ \
    X(CBC, "the whole model in cbc") /* likewise */                   \
    X(DYNAMIC, "the dynamic program")

enum judge {
#define JUDGE_ENUM(name, words) JUDGE_##name,
    JUDGES_ALL(JUDGE_ENUM)
#undef JUDGE_ENUM
        N_JUDGES
};

struct opinion {
    bool was_asked;
    bool is_impossible, has_plan;
    bool is_proven; /* claims that its plan is the optimum within the gap */
    double value, bound, gap; /* in the objective's SI; gap relative */
};

struct judges {
    struct opinion of[N_JUDGES];
    struct plan plan; /* of JUDGE_PLAN */
};

/* Asks one judge, and fails the test when its plan has a fault of its own. */
void judge_ask(struct judges *j, enum judge who, const struct builder *b,
               const struct plan_options *o, const char *label);

/* Fails the test when a bound lies below a plan of another, when an optimum
 * that is claimed is not the best, or when only some say impossible. Returns
 * the number of faults. */
size_t judges_compare(const struct judges *j, const struct builder *b,
                      const char *label);

#endif
