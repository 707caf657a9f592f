/* A disturbance and the time round it: what is lost when, cut into periods of
 * equal length, each with the field as it is then; what crews, wells and lines
 * allow while rates change; and what it takes to bring a well back. */
#ifndef FIELD_OUTAGE_H
#define FIELD_OUTAGE_H

#include "field/field.h"

/* What an event takes away or changes: key, words. */
#define OUTAGE_CAUSE_LIST(X)               \
    X(UNIT, "unit", "compressor")          \
    X(AMBIENT, "ambient", "weather")       \
    X(SALES, "sales", "sales line")        \
    X(MARKET, "market", "gas bought")      \
    X(FLARE, "flare", "flare")             \
    X(LIFT, "lift_gas", "lift gas")        \
    X(LIQUID, "liquid", "liquid handling") \
    X(WATER, "water", "water plant")       \
    X(GAS, "gas", "gas handling")          \
    X(MANIFOLD, "manifold", "manifold")    \
    X(WELL, "well", "well")

enum outage_cause {
#define OUTAGE_CAUSE_ENUM(name, key, words) CAUSE_##name,
    OUTAGE_CAUSE_LIST(OUTAGE_CAUSE_ENUM)
#undef OUTAGE_CAUSE_ENUM
        N_OUTAGE_CAUSES
};

struct outage_event {
    struct place at;
    enum outage_cause cause;
    size_t index;        /* of the unit, manifold or well; else not used */
    double from_s, to_s; /* after the start of the horizon; may lie outside */
    /* What is left of it: a part (0: nothing), or, when not NaN, an amount in
     * SI (Sm3/s; ambient: K; a price of bought gas is price_sm3). */
    double part, amount, price_sm3; /* NaN: not given */
    bool is_planned;
};

struct outage_shift {
    double from_s, to_s; /* of the horizon */
    size_t moves_max;    /* SIZE_MAX: no limit */
};

/* What it takes to bring a well back that has stood without gas. NaN: not
 * given, until outage_restarts has filled it. */
struct well_restart {
    double unload_s;   /* until it makes oil; INFINITY: never */
    double gas_sm3;    /* let in until then */
    double build_up_s; /* until it makes all its oil, in a straight line */
    double alone_s;    /* it may stand or flow without gas so long without
                          harm; INFINITY: as long as you like */
    bool comes_back;   /* false: it must not be stopped, or has to be brought
                          back by other means */
    bool is_input;     /* its time and gas are given, not the model's */
};

struct outage {
    const char *name;
    double start_s; /* of the horizon, after midnight of the field's day */
    size_t n_periods;
    double period_s;
    size_t n_events, n_shifts;
    struct outage_event *event;
    struct outage_shift *shift;       /* cover the horizon, in order */
    double stop_least_s, run_least_s; /* once stopped, once started: at least */
    /* Largest change of a manifold's lift gas from period to period, by
     * manifold; INFINITY: none. */
    double *ramp_sm3s;
    double flare_hours_max, flare_most_sm3; /* over the horizon; INFINITY */
    /* Gas in headers and lines above what they need, now and at most. */
    double store_sm3, store_most_sm3;
    struct well_restart *restart; /* [n_wells] */
    /* Of wells without input whose model does not tell. */
    struct well_restart restart_else;
    bool *never_stops;    /* [n_wells] */
    struct field *period; /* [n_periods] the field in each */
};

/* Fill what is NaN in restart: time and gas of a continuous well with valves
 * from unload_solve with the annulus full of gas, in parallel; the rest, and
 * wells whose model knows no casing pressure, from restart_else; intermittent
 * and pumped wells are back at once. A well that does not come back is an
 * answer. */
enum status outage_restarts(const struct field *f, struct outage *o,
                            struct err *err) ST_CHECKED;

/* Fill period: the field with each event that touches the period, by the part
 * of the period that it covers; of events on the same thing at once the one
 * that leaves least counts, and the last price. Exceptions:
 * - units with a spec are rated anew for the weather; a unit that is left less
 *   than its turndown is down;
 * - what has no limit outside the event is limited as in the event for the
 *   whole period;
 * - the sales minimum falls with the maximum;
 * - a well that stands for a part of a period is down in all of it.
 * In the arena; everything not changed is shared with f. */
void outage_periods(const struct field *f, struct outage *o, struct arena *a);

#endif
