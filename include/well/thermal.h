/* Temperature of the stream along the well. */
#ifndef WELL_THERMAL_H
#define WELL_THERMAL_H

#define THERMAL_LIST(X)                                   \
    X(LINEAR, "linear",                                   \
      "straight in true vertical depth from wellhead to " \
      "bottom")                                           \
    X(FLOWING, "flowing",                                 \
      "Ramey 1962 with the time function of Hasan & "     \
      "Kabir 1991")

enum thermal_model {
#define THERMAL_ENUM(name, key, text) THERMAL_##name,
    THERMAL_LIST(THERMAL_ENUM)
#undef THERMAL_ENUM
};

struct thermal {
    enum thermal_model model;
    double t_head_k;   /* linear: flowing wellhead. flowing: undisturbed
                          ground at the surface */
    double t_bottom_k; /* at the perforations, both */
    double tvd_bottom_m;
    /* flowing only */
    double u_wm2k;          /* overall coefficient on the tubing's inside */
    double k_earth_wmk;     /* conductivity of the ground */
    double diffusivity_m2s; /* of the ground */
    double r_wellbore_m;    /* outer radius of cement */
    double time_s;          /* of steady production */
};

/* The heat stream of a section, prepared once per rate. */
struct thermal_stream {
    double relaxation_m; /* A of Ramey; 0 for the linear model */
    double tvd_in_m;     /* where the stream enters the section, deep end */
    double t_in_k;       /* its temperature there */
};

/* mass rate in kg/s, specific heat in J/kg/K, inside diameter in m. */
struct thermal_stream thermal_enter(const struct thermal *t, double mass_kgs,
                                    double heat_jkgk, double d_m,
                                    double tvd_in_m, double t_in_k);
double thermal_at_k(const struct thermal *t, const struct thermal_stream *s,
                    double tvd_m);
/* Undisturbed ground. */
double thermal_ground_k(const struct thermal *t, double tvd_m);

/* Dimensionless temperature T_D(t_D), Hasan & Kabir. */
double thermal_time_function(double t_d);

#endif
