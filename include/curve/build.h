/* A well model sampled into a curve: adaptive until the straight lines are
 * within TOL_CURVE_PEAK of peak oil, with the threshold where flow starts and
 * the peak on the curve. */
#ifndef CURVE_BUILD_H
#define CURVE_BUILD_H

#include "curve/curve.h"
#include "num/march.h"
#include "well/well.h"

struct arena;

struct curve_count {
    struct march_count march;
    int traverses;
};

/* A curve of w from no gas to gas_max_sm3s, or to what ports, header and
 * annulus limit allow. Where they allow nothing at the operating valve, the
 * gas enters at the deepest one above that is reached. A dead well gives n = 0.
 * Owner of the arrays: a. *count is added to; may be NULL. */
enum status curve_build(const struct well *w, double gas_max_sm3s,
                        struct arena *a, struct curve *out,
                        struct curve_count *count, struct err *err) ST_CHECKED;

/* The well as its curve has it: gas at the valve that is reached. */
struct well curve_well(const struct curve *c, const struct well *w);

/* How far the curve can be trusted at a gas rate: oil when the outflow
 * pressure is 2 % higher (low) and 2 % lower (high). */
enum status curve_trust(const struct well *w, double gas_sm3s,
                        double *oil_low_sm3s, double *oil_high_sm3s,
                        struct err *err) ST_CHECKED;

#endif
