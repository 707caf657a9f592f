/* What would make an impossible plan possible. */
#ifndef PLAN_RELAX_H
#define PLAN_RELAX_H

#include "plan/plan.h"

/* A limit that moves. kind and values as in struct plan_limit; of wells that
 * must run or are locked, and of the dead band, only what. */
struct relaxed_limit {
    const char *what; /* "at least 2 MMscf/d sold (sales.minimum)" */
    enum plan_limit_kind kind;
    bool has_amount;
    double from, to;
};

struct plan_relax {
    /* Each limit of the conflict by itself: how far it alone has to move. */
    size_t n_alone;
    struct relaxed_limit *alone;
    /* The plan that violates least, the less important given up first: the
     * dead band and moves, then a target of oil, the sales minimum, the
     * purchase maximum, the sales maximum, wells that must run, the flare.
     * Never: lift gas, machines, power, groups' limits, liquids and gas
     * handled, a well's own range and lock. has_plan false: these alone leave
     * none. */
    bool has_plan;
    struct plan plan; /* of the field with the limits moved */
    size_t n_moved;
    struct relaxed_limit *moved;
};

#endif
