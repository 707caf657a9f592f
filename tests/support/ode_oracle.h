/* Bottom-hole pressure by other marches than ours, from the same gradients:
 * the regime that holds by itself at every call, no event location. */
#ifndef SUPPORT_ODE_ORACLE_H
#define SUPPORT_ODE_ORACLE_H

#include "well/well.h"

/* Runge-Kutta of order 4 in `steps` equal steps per leg. */
double oracle_fixed_steps_pa(const struct well *w, double liquid_sm3s,
                             double lift_sm3s, int steps);
/* SUNDIALS CVODE, Adams, tolerances 1e-10. */
double oracle_cvode_pa(const struct well *w, double liquid_sm3s,
                       double lift_sm3s);

#endif
