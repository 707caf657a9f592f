/* Gas through a square-edged orifice or a valve's port: Thornhill & Craver
 * (1946), subcritical and critical. One direction only: a check valve stops
 * what would flow back. */
#ifndef WELL_ORIFICE_H
#define WELL_ORIFICE_H

#include "fluid/gas.h"

/* Common values of the trade (from memory): discharge coefficient, and the
 * ratio of specific heats of the ideal gas that the formula was fitted with. */
#define ORIFICE_DISCHARGE 0.865
#define ORIFICE_HEAT_RATIO 1.27

struct orifice {
    double area_m2;
    double discharge; /* above 0 */
};

/* Downstream over upstream pressure at which the flow turns critical. */
double orifice_critical_ratio(void);

/* Rate, Sm3/s; 0 when p_down is not below p_up. t is the gas's upstream. */
double orifice_rate_sm3s(const struct orifice *o, const struct gas *gas,
                         double p_up_pa, double p_down_pa, double t_k);

/* Inverse: the upstream pressure that passes rate (0 or more); p_down for
 * rate 0. Always there: the rate rises without end in p_up. INFINITY when the
 * area is 0 and the rate is not. */
double orifice_upstream_pa(const struct orifice *o, const struct gas *gas,
                           double gas_sm3s, double p_down_pa, double t_k);

#endif
