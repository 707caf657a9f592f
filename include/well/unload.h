/* Unloading a killed well valve by valve: gas let into the annulus pushes the
 * kill liquid down and round through the valves into the tubing; each valve
 * that is uncovered lightens the tubing above it, so that the next is reached
 * (the order of API RP 11V6; common practice where no source is named).
 *
 * Quasi-steady, stage by stage. While valve k passes gas, the casing is held at
 * what there is without keeping a valve above open: no more than closes each
 * injection-pressure valve. (Other stations above are taken as closed;
 * above_sm3s tells what they pass.) The next valve is reached if that pressure
 * balances the tubing with the annulus level there. Liquid goes round at the
 * allowed rate, or less where the tubing is then too heavy, and leaves at the
 * wellhead; where the bottom pressure is below the reservoir's, inflow comes
 * with it: at the valve it is kill liquid until as much has come as the tubing
 * below held, then reservoir fluid. Where the tubing is too heavy for any
 * liquid to go round, the well flows at the valve until that is so. Gas through
 * the valve is what it passes at that casing pressure. Gas in what is empty at
 * the start is at next to no pressure and not counted. */
#ifndef WELL_UNLOAD_H
#define WELL_UNLOAD_H

#include "well/valve_string.h"

struct unload_spec {
    double rho_kgm3;     /* kill liquid, 960 to 1,200 */
    double p_kickoff_pa; /* at the casing head; 0: what the gas path has */
    double liquid_m3s;   /* most liquid through a valve */
    double level_m; /* measured depth of the liquid in tubing and annulus; 0:
                       full */
    /* Of gas: the well was not killed, only its tubing is to be lifted; the
     * level does not count. */
    bool annulus_is_full;
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
     * that the next valve would take with the ones above closed. */
    double p_first_pa, p_next_pa;
    /* Until the tubing holds what the well makes; NaN unless it comes back. */
    double time_s;
    /* What stations above the operating one would pass at the end: they do not
     * close, and the well cannot work as it is meant to. */
    double above_sm3s;
    /* Let in = added to the annulus + in the tubing + produced; gas in the
     * tubing of a well that does not come back counts as produced. */
    double gas_sm3, annulus_sm3, tubing_sm3, produced_sm3;
    /* Out = displaced by gas in annulus and tubing + inflow - filled: what
     * stays in a tubing that was not full. */
    double liquid_out_m3, displaced_m3, inflow_m3, filled_m3;
};

/* w with valves and gas path. A well that cannot be unloaded is an answer.
 * ST_RANGE: no casing pressure is known, a density or level out of range. */
enum status unload_solve(const struct well *w, const struct unload_spec *s,
                         struct unload *out, struct err *err) ST_CHECKED;

#endif
