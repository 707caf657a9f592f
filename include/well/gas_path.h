/* The column of lift gas between the casing head and a depth: weight and
 * friction of real gas along the survey. */
#ifndef WELL_GAS_PATH_H
#define WELL_GAS_PATH_H

#include "num/march.h"
#include "well/well.h"

/* Gas temperature in the path: straight in true vertical depth from the head
 * to the well's bottom. */
double gas_path_temperature_k(const struct well *w, double md_m);

/* Pressure at md_to of gas that has p_from at md_from and flows down at
 * gas_sm3s: 0 a column at rest, below 0 it flows up. md_to may be above
 * md_from. *count is added to, may be NULL. ST_RANGE: friction takes all the
 * pressure there is. Source of the gradient: weight at Dranchuk &
 * Abou-Kassem's z; friction by friction_moody on the hydraulic diameter and
 * the true area; speed of the gas is neglected (below 0.1 % at 5 MMscf/d in a
 * 7 in casing). */
enum status gas_path_pressure(const struct well *w, double md_from_m,
                              double md_to_m, double gas_sm3s, double p_from_pa,
                              double *p_to_pa, struct march_count *count,
                              struct err *err) ST_CHECKED;

/* What the header can bring to the casing head at a rate, after the loss in
 * the line, and not more than the annulus may have; 0 when the line takes it
 * all. */
double gas_path_available_pa(const struct gas_path *g, double gas_sm3s);

/* The loss of a line of length and inside diameter as gas_path.line_pa2_sm3s2:
 * general flow equation at mean conditions, fully rough friction, z from the
 * header's pressure. */
double gas_path_line_pa2_sm3s2(const struct gas *gas, double length_m,
                               double d_m, double roughness_m,
                               double p_header_pa, double t_k);

#endif
