/* Pressure along the tubing at given rates, from the wellhead down. */
#ifndef WELL_TRAVERSE_H
#define WELL_TRAVERSE_H

#include "num/march.h"
#include "well/well.h"

struct traverse {
    double p_inject_pa; /* in the tubing at the injection point */
    double p_bottom_pa; /* at the perforations: the outflow pressure; on
                           failure the pressure met last */
    struct march_count count;
};

struct traverse_point {
    double md_m, tvd_m, p_pa, t_k;
    double holdup, gradient_pam; /* per metre of measured depth */
    int regime;
};

/* Where a caller wants the way as well as the end. */
struct traverse_profile {
    size_t n, cap; /* points beyond cap are counted and not kept */
    struct traverse_point *point; /* [cap], from the top */
};

/* ST_RANGE when the pressure leaves what the correlations can do; ST_NUMERIC
 * when the march does not advance. liquid above 0, lift 0 or more, Sm3/s.
 * profile may be NULL. */
enum status traverse_solve(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, struct traverse *out,
                           struct traverse_profile *profile,
                           struct err *err) ST_CHECKED;

#endif
