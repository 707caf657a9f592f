/* The contract between gradient.c and the correlations. */
#ifndef WELL_GRADIENT_MODEL_H
#define WELL_GRADIENT_MODEL_H

#include "well/gradient.h"
#include "well/groups.h"

/* A flow pattern: one phase alone, or the correlation's own, whose numbers
 * start at PATTERN_TWO_PHASE in the order of the lists below. */
enum {
    PATTERN_NATURAL = -1,
    PATTERN_LIQUID,
    PATTERN_GAS,
    PATTERN_TWO_PHASE,
};

#define HAGEDORN_BROWN_PATTERNS(X) \
    X(BUBBLE, "bubble")            \
    X(CURVES, "slug")              \
    X(NO_SLIP, "no slip")
#define BEGGS_BRILL_PATTERNS(X)     \
    X(SEGREGATED, "segregated")     \
    X(TRANSITION, "transition")     \
    X(INTERMITTENT, "intermittent") \
    X(DISTRIBUTED, "distributed")
#define DRIFT_FLUX_PATTERNS(X) X(DRIFT, "gas and liquid")

/* What a correlation says of the stream. */
struct slip {
    int pattern;
    /* Above 0 inside the pattern, below 0 outside, continuous. */
    double margin;
    double holdup;
    /* Friction gradient = Moody's factor at reynolds * friction_pa / (2 d). */
    double reynolds, friction_pa;
};

/* With the pattern frozen, or PATTERN_NATURAL. There is liquid; a frozen
 * pattern may meet a stream whose gas is just dissolved. */
typedef void slip_rule(const struct pipe *pipe, const struct mix_state *mix,
                       const struct groups *g, int pattern, struct slip *out);

slip_rule slip_hagedorn_brown, slip_hagedorn_brown_1965;
slip_rule slip_beggs_brill, slip_beggs_brill_1973;
slip_rule slip_drift_flux;

/* Density of what stands in the pipe. */
static inline double slip_rho_kgm3(const struct mix_state *mix, double holdup)
{
    return holdup * mix->rho_liquid_kgm3 + (1 - holdup) * mix->rho_gas_kgm3;
}

#endif
