/* The curve of an intermittent well: oil against gas, both means over the
 * cycle, from few long cycles with long slugs to many short ones. */
#ifndef CURVE_INTERMITTENT_H
#define CURVE_INTERMITTENT_H

#include "curve/curve.h"
#include "well/intermittent.h"

struct arena;

/* What the curve was made from. */
struct curve_intermittent {
    struct intermittent_well well;
    const struct intermittent_cycle *cycle; /* [n] of the curve's points */
};

/* It starts at one cycle a day (CURVE_START_FLOW; fewer are not considered),
 * or at the fewest that keep the slug light enough for the casing pressure
 * (CURVE_START_CASING); with less gas nothing is counted. It ends at the most
 * cycles that fit or where more of them, with smaller slugs, take no more gas
 * (CURVE_END_CYCLES), or at gas_max_sm3s. Of two cycles that take the same gas
 * it has the one with more oil, the longer one. n = 0 where nothing is lifted.
 *
 * Bottom pressure: at which the reservoir gives the mean rate; injection
 * pressure: in the tubing when the valve opens; casing pressure: when the
 * intermitter opens; steady: INFINITY. Owner of the arrays: a. *detail points
 * at w. Errors as of intermittent_prepare; gas_max_sm3s below 0 or not
 * finite. */
enum status curve_build_intermittent(const struct well *w,
                                     const struct intermittent *m,
                                     double gas_max_sm3s, struct arena *a,
                                     struct curve *out,
                                     struct curve_intermittent *detail,
                                     struct err *err) ST_CHECKED;

/* The cycle that takes gas_sm3s on c, which was built with d. ST_RANGE outside
 * its points. */
enum status curve_intermittent_at(const struct curve *c,
                                  const struct curve_intermittent *d,
                                  double gas_sm3s,
                                  struct intermittent_cycle *out,
                                  struct err *err) ST_CHECKED;

#endif
