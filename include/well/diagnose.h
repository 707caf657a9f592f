/* What this morning's pressures and injection rate are consistent with: where
 * the gas goes in, and what may be wrong. Explanations, each with how far it
 * misses the readings, best first: never a verdict.
 *
 * An explanation is judged by the casing-head pressure that it needs against
 * the reading, in parts of what gauge and meter leave open; added is what it
 * costs to believe it at all, more where a number is free to fit and the
 * further that number is from 1. The costs are ours, no source: they put the
 * simplest explanation first. */
#ifndef WELL_DIAGNOSE_H
#define WELL_DIAGNOSE_H

#include "base/units.h"
#include "well/valve_string.h"

#define DIAGNOSE_LIST(X)                                                \
    X(AS_MEANT, "injects at the operating station, as meant")           \
    X(ABOVE, "injects at a station above the operating one")            \
    X(SEVERAL, "injects at several stations")                           \
    X(STUCK, "a valve above stands open, and the gas enters there too") \
    X(HOLE, "gas enters through a hole in the tubing")                  \
    X(PLUGGED, "the operating port is smaller than it should be")       \
    X(CUT, "the operating port is larger than it should be")            \
    X(METER, "the meter of the injection rate is wrong")

enum diagnose_kind {
#define DIAGNOSE_ENUM(name, text) DIAGNOSE_##name,
    DIAGNOSE_LIST(DIAGNOSE_ENUM)
#undef DIAGNOSE_ENUM
        DIAGNOSE_COUNT
};

const char *diagnose_text(enum diagnose_kind kind);

/* What a reading shows at best: common practice, no source. */
#define DIAGNOSE_GAUGE_PA (10 * UNIT_PSI_PA)
#define DIAGNOSE_METER_PART 0.03

struct diagnose_reading {
    double p_casing_pa; /* at the casing head */
    double gas_sm3s;    /* above 0 */
    double p_head_pa;   /* tubing; NaN: the model's */
};

struct explanation {
    enum diagnose_kind kind;
    double md_m; /* where the gas enters, or most of it */
    /* PLUGGED, CUT: port over the port it should be, in diameter. METER: meter
     * over true rate. Else NaN. */
    double ratio;
    double miss_pa;   /* casing pressure it needs less the reading */
    double miss_sm3s; /* gas it takes at the read pressure less the meter's */
    double score;     /* 0: fits */
};

struct diagnosis {
    size_t n; /* rising in score */
    struct explanation at[DIAGNOSE_COUNT + 2 * STRING_MAX];
};

/* w with valves. What cannot be worked out (a well that would be dead, a
 * pressure that the correlations do not reach) is not listed: n may be 0.
 * ST_RANGE: casing pressure or rate is missing; neither judges alone. */
enum status diagnose_solve(const struct well *w,
                           const struct diagnose_reading *r,
                           struct diagnosis *out, struct err *err) ST_CHECKED;

#endif
