/* One gas-lifted well: plain data. The arrays belong to the arena of the
 * scenario. */
#ifndef WELL_WELL_H
#define WELL_WELL_H

#include <stdbool.h>
#include <stddef.h>

#include "fluid/mix.h"
#include "well/gradient.h"
#include "well/inflow.h"
#include "well/thermal.h"
#include "well/valve.h"

/* The path, from the wellhead (0, 0) to the perforations: measured depth
 * strictly rising, true vertical depth rising and never faster than it. */
struct well_station {
    double md_m, tvd_m;
};

/* Pipe from the end of the section above down to to_md_m. The stream flows
 * inside d_m, around a core of outside diameter core_m when that is above 0:
 * an annulus. */
struct well_section {
    double to_md_m, d_m, roughness_m, core_m;
};

/* How the lift gas gets to the well and down: from the header through the
 * line to the casing head, and along its sections (the annulus; the tubing in
 * a well that produces up the annulus). */
struct gas_path {
    size_t n_sections; /* 0: not described, the gas side sets no limit */
    const struct well_section *section; /* reach the deepest valve */
    double t_head_k;        /* of the gas at the casing head; straight in true
                               vertical depth from there to the well's bottom */
    double p_header_pa;     /* INFINITY: not given */
    double line_pa2_sm3s2;  /* header^2 - casing head^2 = this * rate^2 */
    double p_casing_max_pa; /* the annulus pressure limit at the casing head;
                               INFINITY: not given */
    bool allow_unsteady;    /* the least steady rate is no minimum */
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
    double p_head_pa;
    struct gas_path gas_path;
    /* Without valves the gas enters at md_inject_m, through no port. With
     * them (from the top; the gas path is then described) md_inject_m is the
     * depth of the one that is meant to pass the gas, operating. */
    double md_inject_m; /* above or at the last station */
    size_t n_valves, operating;
    const struct valve *valve;
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
