/* Moody (Darcy) friction factor of a pipe: 64/Re below Re = 2000, above it
 * Colebrook & White (1939), solved to TOL_FRICTION_REL. */
#ifndef WELL_FRICTION_H
#define WELL_FRICTION_H

#include <stdbool.h>

/* Reynolds number at which the law changes. */
#define FRICTION_RE_LAMINAR 2000.0

double friction_moody(double reynolds, double relative_roughness);
/* One of the two laws, whatever the Reynolds number: for a march that keeps
 * the law until it reaches the boundary. */
double friction_moody_law(double reynolds, double relative_roughness,
                          bool laminar);

#endif
