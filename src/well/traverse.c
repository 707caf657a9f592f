/* The well is cut into legs in which diameter, inclination and stream do not
 * change; each leg is one march in measured depth. */
#include "well/traverse.h"

#include <math.h>
#include <stdbool.h>

#include "num/tol.h"

/* Specific heats for the flowing-temperature model, J/kg/K: common values
 * (from memory); they enter through the stream's mean only. */
#define HEAT_OIL 2000.0
#define HEAT_WATER 4180.0
#define HEAT_GAS 2300.0

/* Pressures that the fluid correlations are asked for, Pa. */
#define P_LEAST_PA 1e4
#define P_MOST_PA 2e8

struct leg {
    const struct well *well;
    const struct mix *mix;
    struct pipe pipe;
    struct thermal_stream heat;
    double md_top_m, tvd_top_m;
    struct traverse_profile *profile;
};

static double leg_tvd_m(const struct leg *leg, double md_m)
{
    return leg->tvd_top_m + (md_m - leg->md_top_m) * leg->pipe.sin_incline;
}

static void leg_at(double md_m, double p_pa, int regime, void *context,
                   struct march_point *out)
{
    const struct leg *leg = context;
    struct mix_state mix;
    struct gradient g;

    if (!(p_pa >= P_LEAST_PA && p_pa <= P_MOST_PA)) {
        *out = (struct march_point){(double)NAN, 1, regime};
        return;
    }
    mix_at(leg->mix, p_pa,
           thermal_at_k(&leg->well->thermal, &leg->heat, leg_tvd_m(leg, md_m)),
           &mix);
    gradient_at(leg->well->gradient, &leg->pipe, &mix, regime, &g);
    *out = (struct march_point){g.total_pam, g.margin, g.regime};
}

static void leg_seen(double md_m, double p_pa, const struct march_point *p,
                     void *context)
{
    const struct leg *leg = context;
    struct traverse_profile *out = leg->profile;
    double tvd_m = leg_tvd_m(leg, md_m);
    double t_k = thermal_at_k(&leg->well->thermal, &leg->heat, tvd_m);
    struct mix_state mix;
    struct gradient g;

    if (out->n++ >= out->cap)
        return;
    mix_at(leg->mix, p_pa, t_k, &mix);
    gradient_at(leg->well->gradient, &leg->pipe, &mix, p->regime, &g);
    out->point[out->n - 1] = (struct traverse_point){
        md_m, tvd_m, p_pa, t_k, g.holdup, g.total_pam, g.regime};
}

static double stream_heat_jkgk(const struct mix *m)
{
    const struct stream *s = &m->stream;
    double oil = s->oil_sm3s * m->fluid.oil.spec.gravity * 1000;
    double water = s->water_sm3s * 1000;
    double gas = s->gas_sm3s * m->fluid.formation_gas.rho_std_kgm3 +
                 s->lift_sm3s * m->fluid.lift_gas.rho_std_kgm3;

    return (oil * HEAT_OIL + water * HEAT_WATER + gas * HEAT_GAS) /
           (oil + water + gas);
}

static const struct well_section *section_at(const struct well *w, double md_m)
{
    const struct well_section *s = w->section;

    while (s < w->section + w->n_sections - 1 && s->to_md_m <= md_m)
        s++;
    return s;
}

/* Heat streams below and above the injection point, [0] and [1]. Ramey's
 * length is one along the pipe: in true vertical depth it shrinks with the
 * mean inclination. */
static void heat_streams(const struct well *w, const struct mix mix[2],
                         struct thermal_stream heat[2])
{
    double md_deep = well_bottom_m(w), tvd_deep = w->thermal.tvd_bottom_m;
    double t_deep_k = w->thermal.t_bottom_k;

    for (int above = 0; above < 2; above++) {
        double md_top = above ? 0 : w->md_inject_m;
        double tvd_top = well_tvd_m(w, md_top), length = md_deep - md_top;

        heat[above] = thermal_enter(
            &w->thermal, mix[above].mass_kgs, stream_heat_jkgk(&mix[above]),
            section_at(w, 0.5 * (md_deep + md_top))->d_m, tvd_deep, t_deep_k);
        if (length > 0)
            heat[above].relaxation_m *= (tvd_deep - tvd_top) / length;
        md_deep = md_top;
        tvd_deep = tvd_top;
        t_deep_k = thermal_at_k(&w->thermal, &heat[above], tvd_top);
    }
}

/* dTVD/dMD between stations i - 1 and i. */
static double incline(const struct well *w, size_t i)
{
    const struct well_station *a = &w->station[i - 1], *b = a + 1;

    return fmin(1, (b->tvd_m - a->tvd_m) / (b->md_m - a->md_m));
}

/* The leg that starts at its md_top_m; returns where it ends. */
static double next_leg(const struct well *w, struct leg *leg)
{
    const struct well_section *section = section_at(w, leg->md_top_m);
    size_t i = 1;

    while (i < w->n_stations - 1 && w->station[i].md_m <= leg->md_top_m)
        i++;
    leg->pipe = (struct pipe){section->d_m, section->roughness_m, incline(w, i),
                              section->core_m};
    /* Stations on one straight line are no reason to stop. */
    while (i < w->n_stations - 1 &&
           fabs(incline(w, i + 1) - leg->pipe.sin_incline) < TOL_INCLINE)
        i++;
    double end = fmin(w->station[i].md_m, section->to_md_m);
    return leg->md_top_m < w->md_inject_m ? fmin(end, w->md_inject_m) : end;
}

enum status traverse_solve(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, struct traverse *out,
                           struct traverse_profile *profile, struct err *err)
{
    struct mix mix[2]; /* below and above the injection point */
    struct thermal_stream heat[2];
    struct leg leg = {.well = w, .profile = profile};
    struct march_problem march = {leg_at, profile ? leg_seen : NULL, &leg,
                                  TOL_MARCH_REL, 0};
    double bottom = well_bottom_m(w), p_pa = w->p_head_pa;
    struct stream above = well_stream(w, liquid_sm3s, lift_sm3s);
    struct stream below = well_stream(w, liquid_sm3s, 0);

    *out = (struct traverse){.p_inject_pa = p_pa};
    mix_init(&mix[0], &w->fluid, &below);
    mix_init(&mix[1], &w->fluid, &above);
    if (!(mix[1].mass_kgs > 0))
        return err_set(err, ST_RANGE, "a stream of %g kg/s", mix[1].mass_kgs);
    heat_streams(w, mix, heat);
    while (leg.md_top_m < bottom) {
        bool is_above = leg.md_top_m < w->md_inject_m;
        double md_end = next_leg(w, &leg);

        leg.mix = &mix[is_above];
        leg.heat = heat[is_above];
        enum status st = march_run(&march, leg.md_top_m, md_end, p_pa, &p_pa,
                                   &march.step_hint, &out->count, err);

        out->p_bottom_pa = p_pa;
        if (st != ST_OK)
            return st;
        leg.tvd_top_m = leg_tvd_m(&leg, md_end);
        leg.md_top_m = md_end;
        if (is_above && md_end >= w->md_inject_m)
            out->p_inject_pa = p_pa;
    }
    return ST_OK;
}
