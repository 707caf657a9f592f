/* What flows in the tubing at a pressure and a temperature. */
#ifndef FLUID_MIX_H
#define FLUID_MIX_H

#include <stdbool.h>

#include "fluid/gas.h"
#include "fluid/oil.h"

/* The fluids of one well. */
struct fluid {
    struct oil oil;
    struct gas formation_gas;
    struct gas lift_gas;
    double salinity;    /* mass fraction */
    bool log_viscosity; /* liquid viscosity mixed in logarithms */
};

/* Standard rates, Sm3/s, none below 0. Formation gas is all gas that comes
 * with the oil, dissolved or free; water carries none. */
struct stream {
    double oil_sm3s, water_sm3s, gas_sm3s, lift_sm3s;
};

/* A stream prepared for many pressures. Holds no pointer. */
struct mix {
    struct fluid fluid;
    struct stream stream;
    struct gas free_gas;  /* formation and lift gas, volume-weighted */
    double rs_all_sm3sm3; /* all gas per oil: lift gas may dissolve */
    double mass_kgs;
};

void mix_init(struct mix *m, const struct fluid *fluid,
              const struct stream *stream);

struct mix_state {
    double p_pa, t_k;
    double q_liquid_m3s, q_gas_m3s; /* in situ */
    double rho_liquid_kgm3, rho_gas_kgm3;
    double mu_liquid_pas, mu_gas_pas;
    double tension_nm;
    double rs_sm3sm3;
    /* Above 0: free gas is there; below 0: all gas is dissolved, and it says
     * how far: (all gas - what the oil could hold) / all gas. Continuous. +1
     * without oil, -1 without any gas. */
    double free_gas_margin;
};

/* Range: p above 0, t within the correlations; nothing is checked here, the
 * schema's ranges keep the input inside. Oil takes gas up to the correlation
 * at (p, T), capped by all gas present. Liquid properties are weighted by
 * in-situ volume. Free gas never below 0. */
void mix_at(const struct mix *m, double p_pa, double t_k,
            struct mix_state *out);

#endif
