/* What more lift gas would yield: the value of the field against the gas that
 * there is, bought or sold gas against its price, and what each limit, unit
 * and contract is worth today. */
#ifndef PLAN_MARKET_H
#define PLAN_MARKET_H

#include "plan/plan.h"

/* A plan of the curve. gas: the change of the lift limit and of the units'
 * capacity against today's, Sm3/s, as morning's "one more MMscf/d" has it. */
struct market_point {
    double gas_sm3s;
    double lift_sm3s, oil_sm3s, money_s, sales_sm3s, bought_sm3s, fuel_sm3s;
    double value, bound; /* of the objective asked for */
    /* Value per Sm3 of gas up to this point and from it on: the slope of the
     * straight line to the neighbour, the price of gas where it is one. */
    double slope_below, slope_above;
    size_t n_flowing, n_moves;
    bool is_impossible; /* no plan with so little; the sums are 0 */
    bool is_jump;       /* other wells or units run from here on */
};

struct market_curve {
    enum plan_objective objective;
    size_t n, today;            /* index of today's point */
    struct market_point *point; /* [n] rising gas, from none to more than the
                                   wells can use */
    bool is_thinned; /* there are more breakpoints than were asked for */
    /* No plan between two points is better than the lower one by more,
     * relative to today's value; but for jumps, which lie between points so
     * near that no meter tells them apart. */
    double widest_gap;
};

/* From no gas to where more is worth nothing, at most n_most points: every
 * breakpoint of today's modes first, then halving where bound and line are
 * furthest apart. */
enum status market_curve(const struct field *f, const struct curve *curves,
                         const struct plan_options *o, size_t n_most,
                         struct arena *a, struct market_curve *out,
                         struct err *err) ST_CHECKED;

/* A well of the plan and the price of gas at which it would give up a part. */
struct market_well {
    size_t well;
    double gas_sm3s;      /* that it has today */
    double price_to_give; /* money per Sm3 from which it would rather have the
                             next lower rate that it may have */
    double price_to_stop; /* and be off; both INFINITY: never */
    double oil_per_gas;   /* that the gas down to that rate brings; NaN: it
                             cannot go down */
};

/* What something is worth today: the plan solved again with and without. */
struct market_worth {
    const char *what;         /* in words, such as "compressor K-101" */
    double oil_sm3s, money_s; /* change against today's plan, NaN: no plan */
    double lift_sm3s;
};

/* What is bought and sold in plans for the most money, when one of the two has
 * this price. Between two of them quantities change in one direction. */
struct market_quantity {
    double price_sm3, bought_sm3s, sales_sm3s, oil_sm3s, money_s;
};

struct market {
    struct market_curve curve;
    /* Most oil, most money, least gas for the oil of today's rates. */
    struct plan by_objective[3];
    bool has_objective[3]; /* money needs prices */
    size_t n_wells, n_worths, n_buys, n_sells;
    /* Dearest gas last. Without an oil price their prices are in oil. */
    struct market_well *well;
    struct market_worth *worth;
    struct market_quantity *buy, *sell; /* by rising price; none without an
                                           oil price */
    /* Cost of one Sm3 of lift gas as money counts it, by where it comes from;
     * NaN: does not apply today. */
    double cost_recirculated, cost_full, cost_displaced, cost_bought;
};

/* The field and its curves with rise_pa more header pressure. */
struct market_header {
    const struct field *field;
    const struct curve *curves;
    double rise_pa;
};

/* header: NULL when there is no such pressure. Without any plan only
 * by_objective and has_objective are filled. */
enum status market_solve(const struct field *f, const struct curve *curves,
                         const struct market_header *header,
                         const struct plan_options *o, struct arena *a,
                         struct market *out, struct err *err) ST_CHECKED;

#endif
