/* Unloading a killed well valve by valve: gas let into the annulus pushes the
 * kill liquid down and round through the valves into the tubing; each valve
 * that is uncovered lightens the tubing above it, so that the next is reached
 * (the order of API RP 11V6; common practice where no source is named).
 *
 * Quasi-steady, stage by stage. While valve k passes gas, the casing is held at
 * what there is without opening a valve above again: no more than closes each
 * of them. The annulus level stands where that pressure and the tubing balance;
 * the next valve is reached if the balance lies below it. Liquid goes round at
 * the allowed rate and leaves at the wellhead; where the bottom pressure is
 * below the reservoir's, inflow comes with it, counted as kill liquid. Gas
 * through the valve is what it passes at that casing pressure. */
#ifndef WELL_UNLOAD_H
#define WELL_UNLOAD_H

#include "well/valve_string.h"

struct unload_spec {
    double rho_kgm3;     /* kill liquid, 960 to 1,200 */
    double p_kickoff_pa; /* at the casing head; 0: what the gas path has */
    double liquid_m3s;   /* most liquid through a valve */
    double level_m; /* measured depth of the liquid in tubing and annulus; 0:
                       full */
    bool annulus_is_full; /* of gas: only the tubing is to be lifted */
};

/* Common practice, no source: 1 bbl/min spares the valves. */
#define UNLOAD_LIQUID_M3S (0.158987294928 / 60)

struct unload_stage {
    size_t valve;       /* that takes gas from now on */
    double time_s;      /* since the start, as all sums below */
    double p_casing_pa; /* held at the casing head from now on */
    double p_tubing_pa; /* at the valve, with gas above it */
    double rate_sm3s;   /* gas through the valve */
    double gas_sm3;     /* let in */
    double liquid_out_m3, inflow_m3;
};

struct unload {
    size_t n; /* valves reached */
    struct unload_stage stage[STRING_MAX];
    bool reaches;    /* the operating valve passes gas */
    bool comes_back; /* and the reservoir then pushes the kill liquid out */
    /* Casing-head pressure that the first valve takes, and, unless it reaches,
     * that the next valve would take. */
    double p_first_pa, p_next_pa;
    /* Until the tubing holds what the well makes; NaN unless it comes back. */
    double time_s;
    /* Let in = added to the annulus + in the tubing + produced. */
    double gas_sm3, annulus_sm3, tubing_sm3, produced_sm3;
    /* Out = displaced by gas in annulus and tubing + inflow - filled: what
     * stays in a tubing that was not full. */
    double liquid_out_m3, displaced_m3, inflow_m3, filled_m3;
};

/* w with valves and gas path. A well that cannot be unloaded is an answer.
 * ST_RANGE: no casing pressure is known, a density out of range. */
enum status unload_solve(const struct well *w, const struct unload_spec *s,
                         struct unload *out, struct err *err) ST_CHECKED;

#endif
