#include "well/groups.h"

#include <math.h>

#include "base/units.h"

static double fourth_root(double x)
{
    return sqrt(sqrt(x));
}

void groups_at(const struct pipe *pipe, const struct mix_state *mix,
               struct groups *out)
{
    const double g = UNIT_GRAVITY_MS2;
    double area_m2 = annulus_area_m2(pipe->d_m, pipe->core_m);
    double d_m = annulus_hydraulic_m(pipe->d_m, pipe->core_m);
    double v_liquid = mix->q_liquid_m3s / area_m2;
    double v_gas = mix->q_gas_m3s / area_m2, v_mix = v_liquid + v_gas;
    double part = v_mix > 0 ? v_liquid / v_mix : 1;
    double rho_liquid = mix->rho_liquid_kgm3, sigma = mix->tension_nm;
    double weight = rho_liquid * g / sigma; /* 1/m2 */
    double per_velocity = fourth_root(rho_liquid / (g * sigma));

    out->d_m = d_m;
    out->v_liquid_ms = v_liquid;
    out->v_gas_ms = v_gas;
    out->v_mix_ms = v_mix;
    out->no_slip = part;
    out->rho_no_slip_kgm3 = part * rho_liquid + (1 - part) * mix->rho_gas_kgm3;
    out->mu_no_slip_pas =
        part * mix->mu_liquid_pas + (1 - part) * mix->mu_gas_pas;
    out->reynolds_no_slip =
        out->rho_no_slip_kgm3 * v_mix * d_m / out->mu_no_slip_pas;
    out->froude = v_mix * v_mix / (g * d_m);
    out->n_lv = v_liquid * per_velocity;
    out->n_gv = v_gas * per_velocity;
    out->n_d = d_m * sqrt(weight);
    out->n_l = mix->mu_liquid_pas *
               fourth_root(g / (rho_liquid * sigma * sigma * sigma));
}
