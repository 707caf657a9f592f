/* What the two-phase correlations share: superficial velocities, the mixture
 * as if both phases moved together, and the dimensionless groups. */
#ifndef WELL_GROUPS_H
#define WELL_GROUPS_H

#include "fluid/mix.h"
#include "well/gradient.h"

struct groups {
    double d_m;                   /* hydraulic, as in all the groups below */
    double v_liquid_ms, v_gas_ms; /* superficial, over the whole area */
    double v_mix_ms;
    double no_slip; /* liquid part of the flowing volume, 1 when all is still */
    double rho_no_slip_kgm3, mu_no_slip_pas;
    double reynolds_no_slip;
    double froude; /* v_mix^2 / (g d) */
    /* Duns & Ros (1963): velocity numbers of liquid and gas, diameter number,
     * viscosity number of the liquid. Exact in any units; the papers' 1.938,
     * 120.872 and 0.15726 are these for ft, lb/ft3, dyn/cm and cp. */
    double n_lv, n_gv, n_d, n_l;
};

void groups_at(const struct pipe *pipe, const struct mix_state *mix,
               struct groups *out);

#endif
