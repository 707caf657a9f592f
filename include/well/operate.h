/* Where inflow and outflow meet at one injection rate.
 *
 * Outflow falls and then rises with rate, so the two curves meet never (the
 * well is dead at that gas rate), once, or several times. A meeting is stable
 * where outflow rises faster than inflow falls; the well works at the stable
 * one of highest rate. */
#ifndef WELL_OPERATE_H
#define WELL_OPERATE_H

#include <stdbool.h>

#include "well/traverse.h"

#define OPERATE_MAX 8

struct crossing {
    double liquid_sm3s;
    double p_bottom_pa, p_inject_pa;
    bool stable;
};

struct operating {
    int n; /* crossings found, rising in rate */
    struct crossing crossing[OPERATE_MAX];
    int stable; /* index of the stable one of highest rate, or -1: dead */
    int traverses;
    struct march_count count;
};

/* All crossings at lift_sm3s. A dead well is an answer: ST_OK, stable -1. */
enum status operate_at(const struct well *w, double lift_sm3s,
                       struct operating *out, struct err *err) ST_CHECKED;

/* Inflow less outflow pressure at a liquid rate, the function whose roots are
 * the crossings. *t may be NULL. */
enum status operate_excess(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, double *excess_pa,
                           struct traverse *t, struct err *err) ST_CHECKED;

/* The same, but only the highest crossing is looked for and found: much
 * cheaper. outflow_factor multiplies the outflow pressure, 1 for the model as
 * it is; others show how far an answer can be trusted. */
enum status operate_highest(const struct well *w, double lift_sm3s,
                            double outflow_factor, struct operating *out,
                            struct err *err) ST_CHECKED;

#endif
