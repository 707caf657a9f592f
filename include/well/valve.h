/* A station of the valve string. Pressures are absolute, at the valve's depth
 * unless the name says head.
 *
 * A bellows valve is open when casing and tubing pressure on bellows and port
 * overcome the nitrogen in its dome (API RP 11V6 style force balance):
 * injection-pressure operated: p_casing (A_b - A_p) + p_tubing A_p = p_dome A_b
 * when it just opens; open, the port sees casing pressure, so it closes at
 * p_casing = p_dome. Production-pressure operated: the two change places. */
#ifndef WELL_VALVE_H
#define WELL_VALVE_H

#include <stdbool.h>

#include "fluid/gas.h"
#include "well/orifice.h"

#define VALVE_LIST(X)                                        \
    X(ORIFICE, "orifice", "orifice")                         \
    X(INJECTION, "injection-pressure", "injection valve")    \
    X(PRODUCTION, "production-pressure", "production valve") \
    X(DUMMY, "dummy", "dummy")

enum valve_kind {
#define VALVE_ENUM(name, key, text) VALVE_##name,
    VALVE_LIST(VALVE_ENUM)
#undef VALVE_ENUM
};

struct valve {
    enum valve_kind kind;
    double md_m;
    struct orifice port;    /* dummy: area 0 */
    double bellows_area_m2; /* bellows valves: above the port's area */
    double p_dome_60f_pa;   /* bellows valves: nitrogen at 60 F */
};

/* Nitrogen at constant volume, charged to p_60f at 60 F, at t: Winkler & Eads
 * (1989). Range: 300 to 2,000 psia, 60 to 300 F; outside, the formula goes on:
 * straight in temperature. */
double nitrogen_pressure_pa(double p_60f_pa, double t_k);

/* Dome pressure at 60 F of a valve whose tester at 60 F opened it at p_tro
 * with p_atm on the other side. */
double valve_dome_60f_pa(double p_tro_pa, double p_atm_pa, double port_area_m2,
                         double bellows_area_m2);

/* Casing pressure at which a closed valve just opens, at a tubing pressure.
 * Orifice: the tubing pressure. Dummy: INFINITY. Bellows valves: what the
 * tubing pressure leaves to do, 0 or more. */
double valve_opens_pa(const struct valve *v, double p_tubing_pa, double t_k);
/* Casing pressure below which an open valve closes: injection-pressure the
 * dome's, at any tubing pressure. Production-pressure: 0 when the tubing
 * pressure holds it open, else INFINITY. Orifice: the tubing pressure. Dummy:
 * INFINITY. */
double valve_closes_pa(const struct valve *v, double p_tubing_pa, double t_k);

/* Above its threshold (opening for a closed valve, closing for an open one) a
 * bellows valve lifts its stem over this much casing pressure, common
 * practice, no source: the passage grows straight with it. */
#define VALVE_TRAVEL_PA 137895.14586336 /* 20 psi */

/* Gas that passes at casing and tubing pressure, Sm3/s; was_open says which
 * threshold counts. */
double valve_rate_sm3s(const struct valve *v, const struct gas *gas,
                       bool was_open, double p_casing_pa, double p_tubing_pa,
                       double t_k);
/* Inverse of it for rate above 0: the casing pressure needed; INFINITY when
 * no pressure does it. */
double valve_casing_pa(const struct valve *v, const struct gas *gas,
                       bool was_open, double gas_sm3s, double p_tubing_pa,
                       double t_k);

#endif
