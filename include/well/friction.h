/* Moody (Darcy) friction factor. */
#ifndef WELL_FRICTION_H
#define WELL_FRICTION_H

/* Reynolds number at which the law changes. */
#define FRICTION_RE_LAMINAR 2000.0

/* Of a pipe: 64/Re below Re = 2000, Colebrook & White above. */
double friction_moody(double reynolds, double relative_roughness);

/* One of the two laws, whatever the Reynolds number: for a march that keeps
 * the law until it reaches the boundary. */

/* Slow flow around a core of core_part times the outer diameter, 0 to 0.999,
 * Reynolds number on the hydraulic diameter: 64/Re without a core, towards
 * 96/Re in a narrow gap. Exact in a concentric annulus; as in Caetano et al.
 * (1992). */
double friction_laminar(double reynolds, double core_part);
/* Colebrook & White (1939), solved to TOL_FRICTION_REL. */
double friction_turbulent(double reynolds, double relative_roughness);

#endif
