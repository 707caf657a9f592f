/* Black oil: solution gas, bubble point, volume factor, viscosity, tension.
 * Each correlation keeps its paper's units inside. */
#ifndef FLUID_OIL_H
#define FLUID_OIL_H

/* name in files, what it is */
#define OIL_CORRELATION_LIST(X)                               \
    X(STANDING, "standing", "Standing 1947")                  \
    X(VASQUEZ_BEGGS, "vasquez-beggs", "Vasquez & Beggs 1980") \
    X(GLASO, "glaso", "Glaso 1980")

enum oil_correlation {
#define OIL_ENUM(name, key, text) OIL_##name,
    OIL_CORRELATION_LIST(OIL_ENUM)
#undef OIL_ENUM
};

struct oil_spec {
    double gravity;     /* specific, water = 1, at standard conditions */
    double gas_gravity; /* of the formation gas, air = 1 */
    enum oil_correlation correlation;
    /* Separator at which gas_gravity was measured; Vasquez & Beggs only.
     * 0: no correction. */
    double p_separator_pa, t_separator_k;
    /* Measured bubble point of oil holding gor_sm3sm3, and volume factor
     * there; 0: none. They scale the correlation. */
    double p_bubble_pa, t_bubble_k, gor_sm3sm3;
    double volume_factor_bubble;
};

struct oil {
    struct oil_spec spec;
    double api;
    double gas_gravity_used; /* after the separator correction */
    double swell;            /* what the gravities make of dissolved gas in the
                                volume factor */
    double dead_viscosity;   /* factor of Beggs & Robinson's dead oil */
    double p_scale;          /* pressures are divided by it: measured over
                                calculated bubble point, 1 without one */
    double bo_scale;         /* on (Bo - 1), 1 without a measurement */
};

void oil_init(struct oil *o, const struct oil_spec *spec);

/* Gas that saturated oil holds, Sm3/Sm3. */
double oil_solution_gas(const struct oil *o, double p_pa, double t_k);
/* Pressure at which oil with that much gas is saturated. */
double oil_bubble_point_pa(const struct oil *o, double rs_sm3sm3, double t_k);
/* m3/Sm3 of oil that holds rs at its bubble point p_bubble; above it shrunk
 * by Bo = Bob (pb/p)^A, Vasquez & Beggs 1980 compressibility. Pass p_pa ==
 * p_bubble_pa for saturated oil. */
double oil_volume_factor(const struct oil *o, double rs_sm3sm3, double p_pa,
                         double p_bubble_pa, double t_k);
/* rs is dissolved gas of formation gravity. */
double oil_density_kgm3(const struct oil *o, double rs_sm3sm3, double bo);
/* Beggs & Robinson 1975; above the bubble point Vasquez & Beggs 1980. */
double oil_viscosity_pas(const struct oil *o, double rs_sm3sm3, double p_pa,
                         double p_bubble_pa, double t_k);
/* Against gas: Baker & Swerdloff 1956, floor 1 dyn/cm. N/m */
double oil_tension_nm(const struct oil *o, double p_pa, double t_k);

#endif
