/* Produced water, McCain 1991; gas-water tension Beggs 1991 (from memory). */
#ifndef FLUID_WATER_H
#define FLUID_WATER_H

/* salinity as mass fraction of solids, 0 to 0.26 */
double water_density_std_kgm3(double salinity);
double water_volume_factor(double p_pa, double t_k);
double water_viscosity_pas(double salinity, double p_pa, double t_k);
double water_tension_nm(double p_pa, double t_k);

#endif
