/* A lift curve: what a well makes against injected gas, at one wellhead
 * pressure. Straight between points, undefined past the last one, and the
 * well is dead (all rates 0) below the first. Rates in Sm3/s.
 * The arrays belong to the arena the curve was built in. */
#ifndef CURVE_CURVE_H
#define CURVE_CURVE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"

enum curve_source { CURVE_MODEL, CURVE_TABLE };

/* Why a curve ends where it ends. */
enum curve_end {
    CURVE_END_MAXIMUM, /* the well's greatest injection rate */
    CURVE_END_DIES,    /* more gas than this stops the flow by friction */
    CURVE_END_TABLE,   /* the table's last row */
    CURVE_END_HEADER,  /* the header cannot push more through line and ports */
    CURVE_END_ANNULUS, /* more takes the casing head above its limit */
    CURVE_END_VALVE,   /* more opens a valve above the operating one */
    CURVE_END_CYCLES   /* intermittent: more cycles a day do not fit */
};

/* Why a well gets no less than the curve's gas_min_sm3s, unless nothing. */
enum curve_start {
    CURVE_START_FLOW,   /* less does not lift: gas[0], the threshold */
    CURVE_START_CASING, /* with less, the tubing is too heavy for the casing
                           pressure there is */
    CURVE_START_STEADY  /* less is not steady */
};

struct curve {
    const char *well; /* name, for messages */
    enum curve_source source;
    double p_head_pa; /* 0 for a table */
    size_t n; /* points, at least 1; 0: the well is dead at every rate */
    const double *gas_sm3s;   /* [n] strictly rising; gas[0] starts the flow */
    const double *oil_sm3s;   /* [n] */
    const double *water_sm3s; /* [n] */
    const double *formation_sm3s; /* [n] formation gas */
    const double *p_bottom_pa;    /* [n] flowing pressure, NULL for a table */
    const double *p_inject_pa;    /* [n] in the tubing at the injection
                                     point, NULL for a table */
    /* [n] each, NULL where the gas path is not described: the casing-head
     * pressure that the rate needs, and Asheim's larger criterion: steady
     * above 1, INFINITY where the port's flow is critical. */
    const double *p_casing_pa, *steady;
    const double *arm_sm3s; /* [n] of a dual: gas into its first string; NULL
                               for other wells */
    /* Least rate that the casing pressure allows and that is steady: at least
     * gas[0]; above gas[n - 1] when none is. */
    double gas_min_sm3s;
    enum curve_start start;
    /* The valve that is meant to pass the gas: the well's own, or the deepest
     * that the casing pressure reaches. */
    size_t operating;
    size_t operating_second; /* of a dual's second string */
    size_t peak; /* index of the greatest oil, the lowest gas of equals */
    double gas_max_sm3s; /* the last gas rate asked for: gas[n - 1], or the
                            whole range of a dead well */
    enum curve_end end;
    double tolerance_sm3s; /* the straight lines are within this of the model */
};

/* One point between the curve's points. */
struct curve_point {
    double gas_sm3s, oil_sm3s, water_sm3s, formation_sm3s;
    /* Slope of oil against gas to the right (left at the last point). 0 where
     * dead. */
    double slope;
    bool flows;
};

/* ST_RANGE past the last point or below 0 gas: never extrapolated. *out is
 * written only on ST_OK. */
enum status curve_at(const struct curve *c, double gas_sm3s,
                     struct curve_point *out, struct err *err) ST_CHECKED;

/* The well makes oil without any gas. */
bool curve_flows_alone(const struct curve *c);

/* Most oil on the curve, 0 when dead. */
double curve_peak_oil_sm3s(const struct curve *c);

#endif
