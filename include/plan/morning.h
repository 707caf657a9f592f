/* The answer to "what should every well's rate be today": the plan, what it
 * changes, in the order of worth, and what gas is worth. */
#ifndef PLAN_MORNING_H
#define PLAN_MORNING_H

#include "plan/plan.h"
#include "plan/verify.h"

enum move_kind { MOVE_START, MOVE_MORE, MOVE_LESS, MOVE_STOP };

struct move {
    size_t well; /* index in the field */
    enum move_kind kind;
    double from_sm3s, to_sm3s;
    double oil_change_sm3s;
    /* oil gained per gas added, or lost per gas freed; both signs as they
     * are; NaN when no gas changes */
    double oil_per_gas;
    const char *reason; /* one sentence without closing point */
};

struct kept_well {
    size_t well;
    const char *reason; /* locked for a test: ..., down: ... */
};

struct morning {
    struct plan now; /* this morning's rates */
    struct plan plan;
    /* The plan solved again with 1 MMscf/d (field base) more and less gas
     * to compress and to lift with (both limits, each where there is one;
     * manifolds and contracts as they are); value differences from plan, same
     * sense (more: usually above 0; less: below 0). NaN when impossible. */
    double more_oil_sm3s, less_oil_sm3s;
    double more_money_s, less_money_s;
    size_t n_moves, n_kept;
    struct move *move;      /* most oil gained first; gas freed last */
    struct kept_well *kept; /* name order */
    struct verify verify;
    size_t n_beyond; /* wells whose present rate lies past their curve */
};

enum status morning_solve(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct arena *a,
                          struct morning *out, struct err *err) ST_CHECKED;

#endif
