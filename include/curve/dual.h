/* Two strings that share one annulus: one casing-head pressure, one injection
 * rate at the surface, which the strings (arms) divide by what each passes at
 * that pressure. Friction of the shared gas between the arms is neglected.
 *
 * An arm is lifted where its casing pressure rises with its rate, or starved:
 * without gas, where it makes what it makes alone or nothing. Where its
 * casing pressure falls with more gas the annulus empties into it and is
 * filled again: not steady. Which of these states a total rate has:
 *
 * 1. Both lifted, wherever one casing pressure gives both together the total.
 * 2. Below that, one arm takes all and the other is starved: the arm that
 *    comes in first when the annulus is filled, which is the one whose curve
 *    starts at the lower casing pressure (the first of equals). It may do so
 *    where its casing pressure falls, as one well may: gas_min_sm3s tells.
 * 3. It takes all until its curve ends or the casing pressure is what the
 *    other's curve starts at. What more is injected goes to the other, comes
 *    and goes, and is counted to lift nothing, up to the rate that lifts both.
 *
 * More than one state may fit a total rate. The first rule then supposes that
 * the crew brings in both arms; the second, that nobody favours an arm, which
 * is common practice, no source: the arm that comes in first takes the gas. */
#ifndef CURVE_DUAL_H
#define CURVE_DUAL_H

#include "curve/curve.h"

struct arena;

struct dual_split {
    /* [n] of the combined curve: gas of each arm, straight between points.
     * What an arm makes with it is on the arm's curve, except that the starved
     * arm makes what it makes without gas. */
    const double *gas_sm3s[2];
    /* Least total that lifts both: the other arm is starved below.
     * INFINITY: no rate of the curve lifts both. */
    double gas_both_sm3s;
    int starved; /* the arm starved below gas_both_sm3s; -1: neither */
};

/* The combined curve for total rates up to gas_max_sm3s, of two arms' curves
 * that have casing pressure and steadiness, or are dead at every rate: such an
 * arm takes no gas. Owner of all arrays: a.
 *
 * It has the points of both arms, so that it is straight where both are;
 * where an arm comes in it jumps between two points TOL_CURVE_GAS of the range
 * apart. It ends where the first arm ends, which cannot be held back: out->end
 * is that arm's reason. The loss in the gas line was counted when the arms'
 * curves were cut, at each arm's own rate. Where an arm's casing pressure falls
 * at a greater rate than its least, it is counted level at the later low.
 *
 * out: well is the first arm's name; p_head_pa the arms' own where it is the
 * same, else 0; bottom and injection pressures NULL, for they are the arms'.
 * steady: the smaller of the lifted arms', 0 where none is or where gas comes
 * and goes in the other. gas_min_sm3s: the least rate that lifts both with each
 * at or above its own least rate, where any rate lifts both; else the least
 * rate at which the arm that takes gas is at or above its own; INFINITY when
 * there is none. start: the reason of the arm that gets there last,
 * CURVE_START_CASING where an arm is starved with less.
 *
 * ST_RANGE: gas_max_sm3s below 0 or not finite, or a curve without casing
 * pressure or steadiness. */
enum status curve_build_dual(const struct curve arm[2], double gas_max_sm3s,
                             struct arena *a, struct curve *out,
                             struct dual_split *split,
                             struct err *err) ST_CHECKED;

#endif
