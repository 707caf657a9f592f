/* The division of the gas: problem, answer, proof. */
#ifndef PLAN_PLAN_H
#define PLAN_PLAN_H

#include "base/arena.h"
#include "field/balance.h"
#include "field/field.h"

/* name, exit state, words. Answers, kept apart from failures. */
#define PLAN_OUTCOME_LIST(X)                            \
    X(OPTIMAL, 0, "proven optimal")                     \
    X(WITHIN_GAP, 0, "proven within the gap asked for") \
    X(IMPOSSIBLE, 4, "no plan can meet every limit")    \
    X(STOPPED, 5, "stopped before the optimum was proven")

enum plan_outcome {
#define PLAN_OUTCOME_ENUM(name, exit_state, words) PLAN_##name,
    PLAN_OUTCOME_LIST(PLAN_OUTCOME_ENUM)
#undef PLAN_OUTCOME_ENUM
};

/* Most oil, most money, or least lift gas for a target of oil. */
enum plan_objective { PLAN_OIL, PLAN_MONEY, PLAN_GAS };

struct plan_options {
    enum plan_objective objective;
    double oil_target_sm3s; /* at least so much oil; 0: none */
    double gap;             /* relative, at which the proof may end */
    long nodes_max;         /* of the branch and bound */
    double time_s;          /* clock limit as a last resort, INFINITY: none */
};

struct plan_options plan_options_default(void);

/* How the bound was proven. */
#define PLAN_PROOF_LIST(X)                                                 \
    X(NONE, "not proven")                                                  \
    X(PRICES, "at these prices no way of running the wells is worth more") \
    X(TREE, "branch and bound over units and wells' modes")                \
    X(FLAT, "branch and bound of the whole problem")

enum plan_proof {
#define PLAN_PROOF_ENUM(name, words) PROOF_##name,
    PLAN_PROOF_LIST(PLAN_PROOF_ENUM)
#undef PLAN_PROOF_ENUM
};

/* What the plan asks of a well. Rates Sm3/s. */
struct plan_well {
    double gas_sm3s, oil_sm3s, water_sm3s, formation_sm3s;
    bool moved; /* another rate than this morning's */
    bool shut;  /* shut in, though it would flow by itself */
};

#define PLAN_LIMIT_LIST(X)             \
    X(LIFT, "lift gas")                \
    X(LIQUID, "liquid")                \
    X(WATER, "water")                  \
    X(GAS, "gas handled")              \
    X(COMPRESSION, "gas compressed")   \
    X(POWER, "electric power")         \
    X(SALES_MIN, "sales gas, minimum") \
    X(SALES_MAX, "sales gas, maximum") \
    X(PURCHASE, "gas bought")          \
    X(FLARE, "gas flared")             \
    X(OIL_TARGET, "oil, at least")     \
    X(MOVES, "moves")

enum plan_limit_kind {
#define PLAN_LIMIT_ENUM(name, words) PLAN_LIMIT_##name,
    PLAN_LIMIT_LIST(PLAN_LIMIT_ENUM)
#undef PLAN_LIMIT_ENUM
};

struct plan_limit {
    enum plan_limit_kind kind;
    int scope;          /* an enum group_kind; N_GROUP_KINDS: the field */
    size_t group;       /* of that kind */
    const char *name;   /* of the group, or "" */
    double used, bound; /* Sm3/s; moves: a count; power: W */
    bool binding;       /* used is at the bound */
    double price; /* objective gained per unit by which the limit is relaxed,
                     0 or more: Sm3 oil per Sm3, or $ per Sm3; per move of the
                     field an estimate of the relaxation, of a group 0; 0 when
                     not binding */
    /* Bounds between which the price holds with the same wells in the same
     * modes, others as they are; both the bound itself at a corner. */
    double price_from, price_to;
    size_t n_setters; /* wells that stand between points and set prices */
    const size_t *setter;
};

/* A compressor. */
struct plan_unit {
    struct unit_load load;
    bool chosen; /* the plan decided whether it runs */
};

struct plan_relax;

struct plan {
    enum plan_outcome outcome;
    enum plan_objective objective;
    double oil_target_sm3s; /* that was asked for; 0: none */
    /* Sm3 oil per s, or $ per s, or less lift gas: minus Sm3/s. bound: no plan
     * can be better. */
    double value, bound, gap; /* gap relative, 0 or more */
    double oil_sm3s, water_sm3s, money_s;
    /* The slope at which a free well is indifferent: what the field's rows
     * charge a well for a Sm3 of gas (lift gas, compression with its cost and
     * fuel, the gas balance; the rows of its groups are not in it). Money (0
     * when no prices) is oil times its price and the other way round. Dual
     * values of the linear program with the plan's modes fixed; at a corner of
     * a curve any slope between the two sides is right. */
    double gas_price_oil, gas_price_money;
    size_t n_moves;
    size_t n_wells, n_limits;
    struct plan_well *well;   /* [n_wells] in the field's order */
    struct plan_limit *limit; /* [n_limits] */
    struct gas_balance balance;
    size_t n_units;
    struct plan_unit *unit; /* [n_units] in the field's order */
    /* After plan_reasons: the limits that conflict, in words, and what would
     * make a plan possible (plan/relax.h); else NULL. */
    const char *conflict;
    const struct plan_relax *relax;
    /* Prices of the solver's rows in its own units and order, that of a move
     * from before modes were fixed: for plan_explain. */
    size_t n_rows;
    double *row_price;
    bool lines_only;
    /* Work done, for the report and the bench. */
    enum plan_proof proof;
    long nodes, iterations;
    size_t open_wells; /* wells left to the integer program */
};

/* Divide the gas. curves[n_wells] in the field's order. The answer does not
 * depend on the order of wells: among equal plans the one with least lift
 * gas, then least bought, then least flared, then the one that gives the gas
 * to the wells first in name order.
 *
 * What is asked of a well: nothing when it is down; its reading when locked,
 * whatever else holds; otherwise no gas (if it may stop, has no minimum, or
 * cannot run), or a rate between minimum and maximum where it flows. Not
 * past its peak, where water and formation gas follow the oil, unless the
 * minimum or the dead band force it: a limit on liquids or on the gas outlet
 * is no reason to drown a well in gas. With a dead band or a limit of moves
 * the present rate may stay, even a dead one; a present rate that breaks the
 * minimum or the maximum must move, by however little.
 *
 * Impossible: *out holds this morning's rates, bound and gap INFINITY.
 * ST_SOLVER: the library failed in every way tried, or nothing was found or
 * proven within the limits of work. ST_INPUT: money without an oil price. */
enum status plan_solve(const struct field *f, const struct curve *curves,
                       const struct plan_options *o, struct arena *a,
                       struct plan *out, struct err *err) ST_CHECKED;

/* Why a plan is impossible and what would make one possible, in p's conflict
 * and relax; p of plan_solve for the same. Nothing for another plan. */
enum status plan_reasons(const struct field *f, const struct curve *curves,
                         const struct plan_options *o, struct arena *a,
                         struct plan *p, struct err *err) ST_CHECKED;

/* The same figures for given rates (this morning's): no solver. Rates past a
 * curve's end make what its end makes, take their own gas, and are counted in
 * *n_beyond. What is over is sold, then flared; what is missing is taken from
 * sales down to their minimum, then bought; the balance closes even if a
 * limit does not hold. Nothing is proven: stopped, bound and gap INFINITY. */
void plan_at_rates(const struct field *f, const struct curve *curves,
                   const double *gas_sm3s, struct arena *a, struct plan *out,
                   size_t *n_beyond);

#endif
