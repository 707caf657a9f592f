#include "well/stability.h"

#include <math.h>

#include "base/units.h"

void stability_asheim(const struct asheim *a, struct steadiness *out)
{
    double part = a->gas_sm3s / (a->liquid_sm3s * a->port_m2);
    double f1 = a->rho_gas_std_kgm3 * a->gas_volume_factor * a->j_sm3spa *
                a->liquid_sm3s * part * part;
    double head_pa =
        UNIT_GRAVITY_MS2 * a->depth_m * (a->rho_liquid_kgm3 - a->rho_gas_kgm3);
    double f2 = a->tubing_m3 / a->casing_m3 * a->p_tubing_pa / head_pa *
                (a->q_liquid_m3s + a->q_gas_m3s) / (a->q_liquid_m3s * (1 - f1));

    *out = (struct steadiness){f1, f1 < 1 ? f2 : (double)INFINITY, false};
}
