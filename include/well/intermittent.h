/* Intermittent lift. While a surface intermitter is shut, the reservoir fills
 * the tubing above the operating valve; when it opens, gas lifts this slug to
 * the surface, and a part falls back. A standing valve keeps the gas from
 * pushing liquid into the reservoir.
 *
 * One cycle, in the periodic state, follows from its slug alone:
 * 1. Lift: the gas below moves the slug at slug_ms, or as slowly as the draw
 *    fills the tubing behind it. It needs the gas that fills the tubing behind
 *    the slug when its top is at the surface, at the mean of the pressures
 *    below the slug at the start and then: weight, wall friction and wellhead.
 *    A slug that all but fills the tubing needs the gas that fills it behind
 *    the slug's tail in the end, at the mean pressure of the empty tubing.
 *    Less gas lifts less in proportion (our assumption, no source): so the best
 *    open time gives just what is needed. More is lost. The slug is taken to
 *    be as long at the surface as it was at the valve.
 * 2. Blow-down: the tubing empties of gas. No inflow so far.
 * 3. Build-up, from what fell back to the slug, against the weight of liquid
 *    that holds no gas and of a column of gas as if it reached the valve (its
 *    gradient is some 1 % of the liquid's). Formation gas is not counted as a
 *    help. Below the valve the tubing is full of liquid.
 *
 * A slug is lifted when the casing pressure at the valve moves it at slug_ms,
 * and when its pressure at the valve is not above load_max of that. The casing
 * is filled while the valve is shut: its gas is at rest. Ways are measured
 * depth, weights go by true vertical depth. */
#ifndef WELL_INTERMITTENT_H
#define WELL_INTERMITTENT_H

#include <stdbool.h>

#include "base/err.h"
#include "well/well.h"

struct intermittent {
    double draw_sm3s;      /* gas while open, above 0: the surface choke's */
    double open_s;         /* 0: the best for each cycle */
    double p_casing_pa;    /* at the casing head when it opens; 0: what the gas
                              path has at that draw */
    double fallback_per_m; /* part of the slug that falls back, of its way */
    double slug_ms;
    double cycle_sm;    /* least time of a cycle per metre of way */
    double blowdown_sm; /* per metre of way */
    double load_max;    /* tubing over casing pressure at the valve, below 1 */
};

/* Common practice as remembered, no source read (API RP 11V10, Brown, Winkler
 * are named for it): fallback 6 % per 1,000 ft (5 to 7 are seen), 1,000
 * ft/min, 3 min per 1,000 ft, load 0.75 (0.5 to 0.75 are seen). Blow-down of 1
 * min per 1,000 ft is our assumption, no source. */
struct intermittent intermittent_default(double draw_sm3s);

/* Most cycles a day by cycle_sm, and the part of a slug that falls back on a
 * way of that length, not above 1. */
double intermittent_cycles_most(const struct intermittent *m, double way_m);
double intermittent_fallback(const struct intermittent *m, double way_m);

/* A well and its intermitter, with what does not depend on the slug. */
struct intermittent_well {
    const struct well *well;
    struct intermittent how;
    /* Liquid without dissolved gas, at the valve: m3/Sm3. */
    double liquid_factor, rho_liquid_kgm3, mu_liquid_pas;
    double t_mean_k;          /* of the ground, half-way to the valve */
    double p_casing_pa;       /* at the casing head */
    double p_casing_valve_pa; /* and at the valve */
    double p_empty_pa;        /* in the tubing at the valve, no slug there */
    double period_least_s;    /* by cycle_sm */
    double slug_rest_m; /* where inflow ends, not above the surface; 0: the
                           reservoir does not lift liquid to the valve */
    double slug_most_m; /* the longest that can be lifted, short of slug_rest_m
                           by TOL_SLUG_REST of it or more */
    bool is_heavy;      /* the reservoir builds longer ones than that */
};

/* ST_RANGE: no casing pressure is known, or a value out of its range. *out
 * points at w. */
enum status intermittent_prepare(const struct well *w,
                                 const struct intermittent *m,
                                 struct intermittent_well *out,
                                 struct err *err) ST_CHECKED;

enum intermittent_outcome {
    INTERMITTENT_LIFTS,
    INTERMITTENT_NO_SLUG,    /* no liquid comes above the valve, or not in the
                                time that lift and blow-down leave */
    INTERMITTENT_TOO_HEAVY,  /* for the casing pressure */
    INTERMITTENT_FALLS_BACK, /* all of it */
};

/* Unless it lifts, all is 0 but outcome and period. */
struct intermittent_cycle {
    enum intermittent_outcome outcome;
    double period_s, open_s;
    double idle_s; /* of the period, lift and blow-down: no inflow */
    double slug_m; /* above the valve when it opens */
    /* Liquid: the slug, what comes out, what falls back. */
    double slug_sm3, produced_sm3, left_sm3;
    double gas_sm3, gas_needed_sm3;
    double p_valve_pa; /* in the tubing, when the valve opens */
    double p_bottom_start_pa, p_bottom_end_pa; /* of the build-up */
    /* Means over the cycle, and the bottom pressure at which the reservoir
     * gives that rate steadily. */
    double liquid_sm3s, gas_sm3s, p_bottom_mean_pa;
    double draw_sm3s; /* while open */
};

/* The cycle whose slug is slug_m long, 0 to slug_most_m, at the period that
 * this takes; ST_RANGE for another. */
enum status intermittent_of_slug(const struct intermittent_well *x,
                                 double slug_m, struct intermittent_cycle *out,
                                 struct err *err) ST_CHECKED;

/* The cycle of a period above 0, also of one below period_least_s. Longer than
 * to the slug at rest the well waits with it. */
enum status intermittent_of_period(const struct intermittent_well *x,
                                   double period_s,
                                   struct intermittent_cycle *out,
                                   struct err *err) ST_CHECKED;

#endif
