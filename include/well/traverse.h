/* Pressure along the tubing at given rates, from the wellhead down. Lift gas
 * enters at one depth unless inlets say otherwise. */
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

/* Where gas may enter on the way down, from the top. */
struct inlets {
    size_t n;
    const struct valve *at; /* [n], only their depths are used */
    /* How much of the lift gas that flows above inlet i enters there, given
     * pressure and temperature of the stream; 0 to gas_sm3s. What is left
     * below the last one is not lifted with. */
    double (*enters)(size_t i, double p_pa, double t_k, double gas_sm3s,
                     void *context);
    void *context;
};

/* ST_RANGE when the pressure leaves what the correlations can do; ST_NUMERIC
 * when the march does not advance. liquid above 0, lift 0 or more, Sm3/s.
 * profile may be NULL. */
enum status traverse_solve(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, struct traverse *out,
                           struct traverse_profile *profile,
                           struct err *err) ST_CHECKED;

/* The same with several inlets; p_inject_pa is at the well's md_inject_m,
 * which is one of them. The flowing-temperature model takes all gas as if it
 * entered there. */
enum status traverse_inlets(const struct well *w, double liquid_sm3s,
                            double lift_sm3s, const struct inlets *inlets,
                            struct traverse *out,
                            struct traverse_profile *profile,
                            struct err *err) ST_CHECKED;

#endif
