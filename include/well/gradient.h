/* Pressure gradient of a gas-liquid stream in a pipe, by named correlation.
 * One file src/well/gradient_<author>.c each, one row in gradient.c.
 *
 * The correlations were made for pipes. In an annulus they take the true area
 * and the hydraulic diameter (common practice, no source); what is known of
 * annuli is used where it is: laminar friction, the rise of gas plugs. */
#ifndef WELL_GRADIENT_H
#define WELL_GRADIENT_H

#include <math.h>

#include "fluid/mix.h"

/* name in files, source and variant */
#define GRADIENT_LIST(X)                                                   \
    X(HAGEDORN_BROWN, "hagedorn-brown",                                    \
      "Hagedorn & Brown 1965, Griffith bubble flow, holdup not below "     \
      "no-slip")                                                           \
    X(HAGEDORN_BROWN_1965, "hagedorn-brown-1965",                          \
      "Hagedorn & Brown 1965 as published")                                \
    X(BEGGS_BRILL, "beggs-brill", "Beggs & Brill 1973, Payne et al. 1979") \
    X(BEGGS_BRILL_1973, "beggs-brill-1973", "Beggs & Brill 1973")          \
    X(DRIFT_FLUX, "drift-flux", "drift flux, Hasan & Kabir 1988")

enum gradient_model {
#define GRADIENT_ENUM(name, key, text) GRADIENT_##name,
    GRADIENT_LIST(GRADIENT_ENUM)
#undef GRADIENT_ENUM
        GRADIENT_COUNT
};

struct pipe {
    double d_m;         /* inside diameter */
    double roughness_m; /* absolute */
    double sin_incline; /* 1 straight up, 0 level: dTVD/dMD; flow is up */
    double core_m;      /* outside diameter of a pipe inside it that the stream
                           flows around; 0: none */
};

/* The stream's cross-section, and the diameter that friction sees: 4 areas
 * over the wetted perimeter. core 0: a pipe. */
static inline double annulus_area_m2(double d_m, double core_m)
{
    return 0.25 * M_PI * (d_m - core_m) * (d_m + core_m);
}

static inline double annulus_hydraulic_m(double d_m, double core_m)
{
    return d_m - core_m;
}

/* Choose the branches that hold by themselves. */
#define REGIME_NATURAL (-1)

/* All gradients in Pa per metre of pipe, positive when pressure rises
 * against the flow (downwards in a producing well). */
struct gradient {
    double total_pam; /* (elevation + friction) / (1 - kinetic) */
    double elevation_pam;
    double friction_pam;
    double kinetic; /* E_k, below 1 */
    double holdup;  /* liquid part of the pipe's volume */
    /* The set of branches used: flow pattern, laminar or not, free gas or
     * not. Its meaning belongs to the correlation. */
    int regime;
    /* Above 0 while the stream is inside that set, below 0 outside it,
     * continuous along a path: a march that freezes the regime finds the
     * boundary as its zero. Dimensionless, of order 1. */
    double margin;
};

/* The gradient with the given regime frozen, or the natural one. A frozen
 * regime may be used slightly outside its bounds; the result stays finite. */
void gradient_at(enum gradient_model model, const struct pipe *pipe,
                 const struct mix_state *mix, int regime, struct gradient *out);

/* What a regime is called in reports: "bubble", "slug", "liquid only", ... */
const char *gradient_regime_text(enum gradient_model model, int regime);

const char *gradient_key(enum gradient_model model);
const char *gradient_text(enum gradient_model model);

#endif
