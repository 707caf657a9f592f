/* The curve of an intermittent well: oil against gas, both means over the
 * cycle, from few long cycles with long slugs to many short ones. */
#ifndef CURVE_INTERMITTENT_H
#define CURVE_INTERMITTENT_H

#include "curve/curve.h"
#include "well/intermittent.h"

struct arena;

/* It starts at one cycle a day (CURVE_START_FLOW; fewer are not considered) or
 * with the slug at rest, or at the fewest cycles that keep the slug light
 * enough for the casing pressure (CURVE_START_CASING); with less gas nothing is
 * counted. It ends at the most cycles that fit or where more of them, with
 * smaller slugs, take no more gas (CURVE_END_CYCLES), or at gas_max_sm3s. Of
 * two cycles that take the same gas it has the one with more oil, the longer
 * one. With open_s 0 it gives each cycle just the gas it needs: past the peak
 * longer cycles that waste gas would make more, but never more than the peak.
 * n = 0 where nothing is lifted, or not with gas_max_sm3s.
 *
 * Bottom pressure: at which the reservoir gives the mean rate; injection
 * pressure: in the tubing when the valve opens; casing pressure: when the
 * intermitter opens; steady: INFINITY. Owner of the arrays: a. Errors as of
 * intermittent_prepare; ST_RANGE: gas_max_sm3s below 0 or not finite. */
enum status curve_build_intermittent(const struct well *w,
                                     const struct intermittent *m,
                                     double gas_max_sm3s, struct arena *a,
                                     struct curve *out,
                                     struct err *err) ST_CHECKED;

/* The cycle that takes gas_sm3s, by the model and not by the curve's straight
 * lines. Nothing is lifted, and the outcome says why, where the curve would not
 * have started; more gas than the curve could end at is not taken. */
enum status curve_cycle_at(const struct well *w, const struct intermittent *m,
                           double gas_sm3s, struct intermittent_cycle *out,
                           struct err *err) ST_CHECKED;

#endif
