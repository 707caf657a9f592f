/* One gas-lifted well: plain data. Gas enters the tubing at one given depth.
 * The arrays belong to the arena of the scenario. */
#ifndef WELL_WELL_H
#define WELL_WELL_H

#include <stddef.h>

#include "fluid/mix.h"
#include "well/gradient.h"
#include "well/inflow.h"
#include "well/thermal.h"

/* The path, from the wellhead (0, 0) to the perforations: measured depth
 * strictly rising, true vertical depth rising and never faster than it. */
struct well_station {
    double md_m, tvd_m;
};

/* Tubing from the end of the section above down to to_md_m. */
struct well_section {
    double to_md_m, d_m, roughness_m;
};

struct well {
    const char *name;
    struct fluid fluid;
    double gor_sm3sm3; /* formation gas per stock-tank oil, 0 or more */
    double water_cut;  /* of the liquid, 0 to 1 */
    struct inflow inflow;
    enum gradient_model gradient;
    struct thermal thermal;
    size_t n_stations, n_sections;
    const struct well_station *station;
    const struct well_section *section; /* the last reaches the last station */
    double md_inject_m;                 /* above or at the last station */
    double p_head_pa;
};

static inline double well_bottom_m(const struct well *w)
{
    return w->station[w->n_stations - 1].md_m;
}

/* True vertical depth at a measured depth inside the survey. */
double well_tvd_m(const struct well *w, double md_m);

/* What flows above (with lift gas) or below the injection point. */
struct stream well_stream(const struct well *w, double liquid_sm3s,
                          double lift_sm3s);

#endif
