/* A field: wells and what they share. Plain data, SI inside (rates Sm3/s,
 * prices $/Sm3). All of it belongs to the scenario's arena. A limit that is
 * not set is INFINITY (maxima) or 0 (minima). */
#ifndef FIELD_FIELD_H
#define FIELD_FIELD_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"
#include "base/units.h"
#include "curve/curve.h"
#include "well/intermittent.h"
#include "well/unload.h"
#include "well/well.h"

/* What wells may take, make and be changed together. moves SIZE_MAX: no
 * limit. */
struct field_caps {
    double lift_sm3s;
    double liquid_sm3s, water_sm3s;
    double gas_sm3s; /* handled: formation gas, and lift gas that returns */
    size_t moves;    /* wells whose rate is changed */
};

/* Wells that share something: lift gas parts at a manifold, lines meet on a
 * pad, fluids in a separator; a crew drives a route. */
#define GROUP_LIST(X)         \
    X(MANIFOLD, "manifold")   \
    X(PAD, "pad")             \
    X(SEPARATOR, "separator") \
    X(ROUTE, "route")

enum group_kind {
#define GROUP_ENUM(name, words) GROUP_##name,
    GROUP_LIST(GROUP_ENUM)
#undef GROUP_ENUM
        N_GROUP_KINDS
};

struct field_group {
    const char *name;
    struct place at;
    struct field_caps caps;
    double p_header_pa; /* of a manifold's lift gas; 0: not given */
};

struct field_groups {
    size_t n;
    struct field_group *group;
};

/* The plan decides about a unit that is available. */
#define UNIT_STATE_LIST(X) \
    X(RUNNING, "running")  \
    X(STOPPED, "stopped")  \
    X(DOWN, "down")        \
    X(AVAILABLE, "available")

enum unit_state {
#define UNIT_STATE_ENUM(name, key) UNIT_##name,
    UNIT_STATE_LIST(UNIT_STATE_ENUM)
#undef UNIT_STATE_ENUM
};

struct field_compressor {
    const char *name;
    struct place at;
    enum unit_state state;
    /* Gas through it when it runs, at the day's pressures and weather. */
    double least_sm3s, capacity_sm3s;
    bool recycles; /* gas may go round it, so that less leaves than it needs */
    /* Running it burns fuel_fixed + fuel_fraction * through; the station's
     * fraction unless has_fuel. */
    bool has_fuel;
    double fuel_fixed_sm3s, fuel_fraction;
    /* Shaft power: fixed + J per Sm3 through it; 0 when not known. Electric:
     * it counts against the station's supply and has a price. */
    double power_fixed_w, power_j_sm3;
    bool electric;
    const struct compressor_spec *spec; /* what that was worked out from, or
                                           NULL */
};

/* Before the compressors, or behind them. */
enum station_side { SIDE_SUCTION, SIDE_DISCHARGE };

struct field_station {
    size_t n_compressors;
    struct field_compressor *compressor;
    bool has_compressors; /* false: capacity has no limit */
    double power_max_w;   /* of the electric units together, or INFINITY */
    double fuel_fraction; /* of the gas compressed */
    enum station_side fuel_from;
    double shrinkage_fraction; /* of the formation gas */
    double flare_max_sm3s;     /* 0 when not given */
};

struct field_sales {
    double min_sm3s, max_sm3s;
    double price_sm3; /* may be below 0 */
    enum station_side from;
};

struct field_market {
    double max_sm3s; /* 0: nothing can be bought */
    double price_sm3;
    enum station_side enters;
};

struct field_limits {
    struct field_caps caps;
    bool allow_unsteady;   /* less than a well's least steady rate */
    double dead_band_sm3s; /* a smaller change is no move and is not made */
};

struct field_prices {
    double oil_sm3, water_sm3, compression_sm3;
    double move;       /* $ per well changed, spread over the day: $/s */
    double carbon_sm3; /* of gas burnt as fuel or flared */
    double power_j;    /* of the electric units */
    bool given;        /* an oil price was given: money can be counted */
};

#define WELL_STATUS_LIST(X)              \
    X(FLOWING, "flowing", "")            \
    X(DOWN, "down", "down")              \
    X(TEST, "test", "locked for a test") \
    X(HELD, "held", "held by hand")

enum well_status {
#define WELL_STATUS_ENUM(name, key, text) WELL_##name,
    WELL_STATUS_LIST(WELL_STATUS_ENUM)
#undef WELL_STATUS_ENUM
};

/* This morning's line of readings.csv. NaN: not read. */
struct field_reading {
    bool given;
    struct place at;
    double lift_sm3s, p_casing_pa, p_tubing_pa;
    enum well_status status;
    const char *reason; /* "" when none */
};

/* A line of tests.csv. NaN: not measured. day counts from 1970-01-01. */
struct field_test {
    struct place at;
    long day;
    double liquid_sm3s, water_cut, gas_sm3s /* all gas, with lift gas */,
        lift_sm3s, p_head_pa;
    bool accepted;
    const char *note; /* "" when none */
};

#define MATCH_LIST(X) \
    X(NONE, "none")   \
    X(RATES, "rates") \
    X(PRODUCTIVITY, "productivity")

/* What the newest accepted test sets: nothing; water cut and gas-oil ratio;
 * these and the productivity, so that the model meets the test. */
enum match_kind {
#define MATCH_ENUM(name, key) MATCH_##name,
    MATCH_LIST(MATCH_ENUM)
#undef MATCH_ENUM
};

#define WELL_KIND_LIST(X)                                \
    X(CONTINUOUS, "continuous", "continuous lift")       \
    X(ANNULAR, "annular", "flow up the annulus")         \
    X(INTERMITTENT, "intermittent", "intermittent lift") \
    X(DUAL, "dual", "two strings in one annulus")        \
    X(PUMPED, "pumped", "a pump; only loads the facilities")

enum well_kind {
#define WELL_KIND_ENUM(name, key, text) KIND_##name,
    WELL_KIND_LIST(WELL_KIND_ENUM)
#undef WELL_KIND_ENUM
};

struct field_well {
    const char *name;
    struct place at;
    size_t group[N_GROUP_KINDS]; /* of no group: n or more; always on a
                                    manifold */
    enum well_kind kind;
    /* Exactly one of the two: a model, or a measured curve. */
    struct well *model;
    struct curve *table;
    struct field_well *second; /* of a dual: the other string, with its own
                                  model, tests and reading; else NULL. It is
                                  not one of the field's wells. */
    const struct intermittent *intermitter; /* NULL unless intermittent */
    /* Running: at least, at most. The curve's gas_min_sm3s may ask for more.
     * INFINITY: as far as the curve goes. */
    double lift_min_sm3s, lift_max_sm3s;
    struct unload_spec kill; /* of a well with a model */
    double change_max_sm3s;  /* between two running rates; 0: any */
    double step_sm3s;        /* rates are multiples of it; 0: any rate */
    bool may_stop;           /* may be left without gas */
    bool may_shut;           /* may be shut in although it flows by itself */
    const char *runs_with;   /* makes oil only while the well of this name
                                does; NULL: alone too */
    enum match_kind match;
    size_t n_tests;
    struct field_test *test;          /* in the order of the file */
    const struct field_test *matched; /* the test in use, or NULL */
    struct field_reading reading;
};

struct field {
    const char *name;
    struct unit_frame frame;
    long day;                 /* the day of the plan, days from 1970-01-01 */
    double hydrogen_sulphide; /* of the lift gas, for the cautions */
    struct field_groups groups[N_GROUP_KINDS];
    size_t n_wells;
    struct field_well *well;
    struct field_station station;
    struct field_sales sales;
    struct field_market market;
    struct field_limits limits;
    struct field_prices prices;
    long test_age_max_days; /* older tests are stale */
};

struct field_caps field_caps_none(void);

/* A unit that compresses, or may if the plan wants it. */
static inline bool field_unit_may_run(const struct field_compressor *u)
{
    return u->state == UNIT_RUNNING || u->state == UNIT_AVAILABLE;
}

/* Sum of the capacity of the units that may run, or INFINITY without any. */
double field_capacity_sm3s(const struct field *f);

/* Another lift gas pressure on every manifold, for all wells. */
void field_set_header(struct field *f, double p_header_pa);
/* More lift gas pressure, where a pressure is given. */
void field_raise_header(struct field *f, double rise_pa);

static inline const struct field_group *
field_manifold(const struct field *f, const struct field_well *w)
{
    return &f->groups[GROUP_MANIFOLD].group[w->group[GROUP_MANIFOLD]];
}

/* The well's rate is fixed by its status (test, held). */
static inline bool field_well_locked(const struct field_well *w)
{
    return w->reading.status == WELL_TEST || w->reading.status == WELL_HELD;
}

/* Injection rate this morning; 0 for a well that is down or not read. */
static inline double field_well_now_sm3s(const struct field_well *w)
{
    bool known = w->reading.given && w->reading.status != WELL_DOWN &&
                 w->reading.lift_sm3s >= 0;
    return known ? w->reading.lift_sm3s : 0;
}

#endif
