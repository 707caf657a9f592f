/* Is the injection steady? Asheim (1988), SPE 16468, two criteria, formulas
 * from memory and derived again from the orifice's equation, linear inflow
 * and an annulus that empties at constant temperature. Limits: subcritical
 * port, constant gas rate at the surface, no wellhead choke that matters. */
#ifndef WELL_STABILITY_H
#define WELL_STABILITY_H

#include <stdbool.h>

struct asheim {
    double rho_gas_std_kgm3;  /* lift gas at standard conditions */
    double gas_volume_factor; /* in situ at the injection point, m3/Sm3 */
    double gas_sm3s, liquid_sm3s;
    double j_sm3spa;    /* productivity: slope of the inflow at this point */
    double port_m2;     /* discharge coefficient times area */
    double tubing_m3;   /* volume of the tubing above the injection point */
    double casing_m3;   /* volume of the gas path down to it */
    double depth_m;     /* of the injection point, true vertical */
    double p_tubing_pa; /* at the injection point */
    double rho_liquid_kgm3, rho_gas_kgm3; /* reservoir fluid and lift gas at
                                             the injection point */
    double q_liquid_m3s, q_gas_m3s;       /* in situ there */
};

struct steadiness {
    double f1; /* inflow response: above 1 steady */
    /* Pressure depletion: above 1 steady; INFINITY where f1 is above 1 and it
     * is not asked. */
    double f2;
    bool critical; /* the port's flow is critical: the tubing cannot act back
                      on the gas, steady whatever f1 and f2 */
};

void stability_asheim(const struct asheim *a, struct steadiness *out);

static inline bool is_steady(const struct steadiness *s)
{
    return s->critical || s->f1 > 1 || s->f2 > 1;
}

#endif
