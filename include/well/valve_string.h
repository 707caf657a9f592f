/* The gas side joined to the tubing: for an injection rate the casing-head
 * pressure it needs, which stations pass gas, and what the tubing then needs
 * at the bottom.
 *
 * The gas is meant to enter at the operating station, which is open. A
 * station above it is closed until casing and tubing pressure open it; where
 * the pressure that the operating one needs opens others, the gas enters at
 * several depths, and the casing pressure is the one at which all together
 * pass the rate. Stations below the operating one pass nothing. */
#ifndef WELL_VALVE_STRING_H
#define WELL_VALVE_STRING_H

#include "well/stability.h"
#include "well/traverse.h"

#define STRING_MAX 16

/* A station at work. Pressures at its depth. */
struct station_state {
    double p_tubing_pa, p_casing_pa, t_k;
    double opens_pa, closes_pa; /* casing pressures, at this tubing pressure */
    double gas_sm3s;            /* that enters here */
};

struct string_state {
    size_t n; /* stations down to the operating one; 1 without valves */
    struct station_state station[STRING_MAX];
    size_t n_passing;
    /* At the casing head; INFINITY: no pressure passes the rate. */
    double p_head_pa;
    /* How far the casing pressures stay below what opens a station above the
     * operating one, the least of them; below 0 one opens. INFINITY: none. */
    double to_open_pa;
    /* At the station that passes most; all 0 without a port. */
    struct steadiness steady;
};

/* Outflow at given rates with all gas at the operating station, whatever the
 * casing pressure opens above: to_open_pa tells. Without valves, the gas
 * enters through no port; state->n is then 0 and p_head_pa NaN unless the gas
 * path is described. ST_RANGE and ST_NUMERIC as traverse_solve and
 * gas_path_pressure. */
enum status string_single(const struct well *w, double liquid_sm3s,
                          double lift_sm3s, struct traverse *out,
                          struct string_state *state,
                          struct err *err) ST_CHECKED;

/* The same with the gas where the valves let it in: at several stations where
 * string_single would open one above. p_inject_pa is at the operating
 * one. Several answers may fit (less gas below makes the tubing there heavier,
 * which sends more gas to the stations above); one of them is given. */
enum status string_outflow(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, struct traverse *out,
                           struct string_state *state,
                           struct err *err) ST_CHECKED;

/* Gas that each station passes into the tubing as it stands in state, if the
 * casing head had p_head; column at rest. rate[state->n], Sm3/s. A station is
 * open when p_head opens it, or when it is the operating one. */
enum status string_rates(const struct well *w, const struct string_state *state,
                         double p_head_pa, double *rate_sm3s,
                         struct err *err) ST_CHECKED;

/* Most gas that the ports down to the operating one can pass with what header
 * and annulus limit allow: critical flow through all. INFINITY where neither
 * is given or there are no ports. */
enum status string_most_sm3s(const struct well *w, double *most_sm3s,
                             struct err *err) ST_CHECKED;

#endif
