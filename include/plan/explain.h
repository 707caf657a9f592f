/* Why a well gets what it gets: its bid at the plan's prices. */
#ifndef PLAN_EXPLAIN_H
#define PLAN_EXPLAIN_H

#include "plan/plan.h"

enum explain_kind { WAY_OFF, WAY_SHUT, WAY_NOW, WAY_CURVE };

/* A way to run the well, at its best point for today's prices. */
struct explain_way {
    enum explain_kind kind;
    double from_sm3s, to_sm3s; /* of the piece of the curve */
    double gas_sm3s, oil_sm3s;
    double worth; /* of the objective, SI per s, after all charges */
};

/* What keeps a well from another rate, beside the prices. */
#define EXPLAIN_HOLD_LIST(X)                                               \
    X(NOTHING, "")                                                         \
    X(DOWN, "it is down")                                                  \
    X(LOCKED, "it is locked at its rate")                                  \
    X(MINIMUM, "it is at its minimum")                                     \
    X(MAXIMUM, "it is at its maximum")                                     \
    X(CHANGE, "a larger change in one step is not allowed")                \
    X(STEP, "its rate is set in steps")                                    \
    X(STEADY, "with less it would not be steady")                          \
    X(CASING, "with less the tubing is too heavy for the casing pressure") \
    X(HEADER, "the header cannot push more gas in")                        \
    X(ANNULUS, "more would take the casing above its limit")               \
    X(VALVE, "more would open a valve above the operating one")            \
    X(END, "its curve ends there")                                         \
    X(PEAK, "more gas makes no more oil")

enum explain_hold {
#define EXPLAIN_HOLD_ENUM(name, words) HOLD_##name,
    EXPLAIN_HOLD_LIST(EXPLAIN_HOLD_ENUM)
#undef EXPLAIN_HOLD_ENUM
};

struct explanation {
    size_t well;
    enum plan_objective objective;
    size_t n_ways; /* best first; equals in the order of the curve */
    struct explain_way *way;
    size_t chosen; /* index in way: how the plan runs it */
    size_t next;   /* the best of the others; n_ways: there is none */
    /* Oil for gas, Sm3 per Sm3: below and above the set point on the piece
     * that it stands on (NaN: none), and what a Sm3 of gas costs this well:
     * the field's charges, its groups', and those on what its oil brings with
     * it. INFINITY: its oil is worth nothing. */
    double slope_below, slope_above, slope_charged;
    /* Cost of gas, as slope_charged, at which the next way is as good; and the
     * part of its oil at every rate at which it is. NaN: at none. */
    double charge_to_switch, oil_part_to_switch;
    double move_charge; /* of the objective per s: what one move costs */
    enum explain_hold hold;
};

/* p: of plan_solve for this field, these curves and these options, with a
 * plan; impossible or not proven by prices: slopes and worths are then 0.
 * The lists belong to the arena. */
void plan_explain(const struct field *f, const struct curve *curves,
                  const struct plan_options *o, const struct plan *p,
                  size_t well, struct arena *a, struct explanation *out);

#endif
