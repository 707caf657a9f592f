/* Room in annulus and tubing, and the gas in it. Depths are measured. */
#ifndef ROOM_H
#define ROOM_H

#include "well/traverse.h"

double room_annulus_m3(const struct well *w, double md_from, double md_to);
double room_tubing_m3(const struct well *w, double md_from, double md_to);

/* Where liquid that stands in the tubing at a depth stands after so much more
 * has come from below; 0 when it runs over. */
double room_risen_md(const struct well *w, double md, double m3);

/* Standard volume of the lift gas at rest in the annulus down to a level.
 * Errors as gas_path_pressure. */
enum status room_annulus_gas(const struct well *w, double p_head_pa,
                             double level_md, double *sm3,
                             struct err *err) ST_CHECKED;

/* Gas above a depth of the tubing, as lift gas, and the room it takes. */
void room_tubing_gas(const struct well *w, const struct traverse_profile *p,
                     double md_to, double *gas_sm3, double *gas_m3);

#endif
