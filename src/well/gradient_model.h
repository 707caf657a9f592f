/* The contract between gradient.c and the correlations. */
#ifndef WELL_GRADIENT_MODEL_H
#define WELL_GRADIENT_MODEL_H

#include <math.h>
#include <stdbool.h>

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

/* The either-ors inside a pattern at which the slope breaks: ends of fitted
 * curves, bounds of a holdup. The answers, one bit each in the order in which
 * they are asked, are frozen with the pattern, so that a march never steps
 * over a break. */
struct branches {
    bool natural;
    unsigned frozen; /* the answers to keep, unless natural */
    unsigned taken;  /* the answers given */
    int n;
    double margin; /* the least of all */
};

/* The next either-or. The margin is above 0 on the side of yes, of order 1. */
static inline bool branch(struct branches *b, double margin)
{
    bool yes = b->natural ? margin > 0 : b->frozen >> b->n & 1u;

    b->taken |= (unsigned)yes << b->n++;
    b->margin = fmin(b->margin, yes ? margin : -margin);
    return yes;
}

static inline double branch_max(struct branches *b, double x, double y)
{
    return branch(b, x - y) ? x : y;
}

static inline double branch_min(struct branches *b, double x, double y)
{
    return branch(b, y - x) ? x : y;
}

/* x held between the ends of a fitted curve; frozen inside, a tenth of its
 * length past them, no further. */
static inline double branch_within(struct branches *b, double x, double least,
                                   double most)
{
    double length = most - least, past = 0.1 * length;
    double near = fmin(most + past, fmax(least - past, x));
    double above = branch(b, (near - least) / length) ? near : least;

    return branch(b, (most - near) / length) ? above : most;
}

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
                       const struct groups *g, int pattern, struct branches *b,
                       struct slip *out);

slip_rule slip_hagedorn_brown, slip_hagedorn_brown_1965;
slip_rule slip_beggs_brill, slip_beggs_brill_1973;
slip_rule slip_drift_flux;

/* Density of what stands in the pipe. */
static inline double slip_rho_kgm3(const struct mix_state *mix, double holdup)
{
    return holdup * mix->rho_liquid_kgm3 + (1 - holdup) * mix->rho_gas_kgm3;
}

#endif
