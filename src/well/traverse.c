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
static void heat_streams(const struct well *w, const struct mix *below_inlet,
                         const struct mix *above_inlet,
                         struct thermal_stream heat[2])
{
    double md_deep = well_bottom_m(w), tvd_deep = w->thermal.tvd_bottom_m;
    double t_deep_k = w->thermal.t_bottom_k;

    for (int above = 0; above < 2; above++) {
        double md_top = above ? 0 : w->md_inject_m;
        double tvd_top = well_tvd_m(w, md_top), length = md_deep - md_top;
        const struct mix *mix = above ? above_inlet : below_inlet;

        heat[above] = thermal_enter(
            &w->thermal, mix->mass_kgs, stream_heat_jkgk(mix),
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

/* The leg that starts at its md_top_m; returns where it ends, no deeper than
 * md_stop_m. */
static double next_leg(const struct well *w, struct leg *leg, double md_stop_m)
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
    return fmin(fmin(w->station[i].md_m, section->to_md_m), md_stop_m);
}

/* The way down, and what flows where it has got to. */
struct descent {
    const struct well *well;
    const struct inlets *inlets;
    size_t inlet; /* the next one */
    double liquid_sm3s, lift_sm3s, p_pa;
    struct mix mix;
    struct leg leg;
    struct traverse *out;
};

/* At the depth of the next inlet, if it is reached: its gas is left behind. */
static void pass_inlet(struct descent *d)
{
    const struct inlets *in = d->inlets;
    const struct leg *leg = &d->leg;

    if (leg->md_top_m >= d->well->md_inject_m && isnan(d->out->p_inject_pa))
        d->out->p_inject_pa = d->p_pa;
    while (d->inlet < in->n && in->at[d->inlet].md_m <= leg->md_top_m) {
        double t_k =
            thermal_at_k(&d->well->thermal, &leg->heat, leg->tvd_top_m);
        double gas =
            in->enters(d->inlet++, d->p_pa, t_k, d->lift_sm3s, in->context);

        if (!(gas > 0))
            continue;
        d->lift_sm3s = fmax(0, d->lift_sm3s - gas);
        struct stream below =
            well_stream(d->well, d->liquid_sm3s, d->lift_sm3s);
        mix_init(&d->mix, &d->well->fluid, &below);
    }
}

static enum status go_down(struct descent *d, struct march_problem *march,
                           const struct thermal_stream heat[2], struct err *err)
{
    const struct well *w = d->well;
    struct leg *leg = &d->leg;
    enum status st = ST_OK;

    while (leg->md_top_m < well_bottom_m(w) && st == ST_OK) {
        double md_inlet = d->inlet < d->inlets->n ? d->inlets->at[d->inlet].md_m
                                                  : well_bottom_m(w);
        bool is_above = leg->md_top_m < w->md_inject_m;
        double md_end = next_leg(
            w, leg, is_above ? fmin(md_inlet, w->md_inject_m) : md_inlet);

        leg->heat = heat[is_above];
        st = march_run(march, leg->md_top_m, md_end, d->p_pa, &d->p_pa,
                       &march->step_hint, &d->out->count, err);
        leg->tvd_top_m = leg_tvd_m(leg, md_end);
        leg->md_top_m = md_end;
        if (st == ST_OK)
            pass_inlet(d);
    }
    d->out->p_bottom_pa = d->p_pa;
    return st;
}

enum status traverse_inlets(const struct well *w, double liquid_sm3s,
                            double lift_sm3s, const struct inlets *inlets,
                            struct traverse *out,
                            struct traverse_profile *profile, struct err *err)
{
    struct mix below; /* the injection point */
    struct thermal_stream heat[2];
    struct descent d = {.well = w,
                        .inlets = inlets,
                        .liquid_sm3s = liquid_sm3s,
                        .lift_sm3s = lift_sm3s,
                        .p_pa = w->p_head_pa,
                        .leg = {.well = w, .profile = profile},
                        .out = out};
    struct march_problem march = {leg_at, profile ? leg_seen : NULL, &d.leg,
                                  TOL_MARCH_REL, 0};
    struct stream with = well_stream(w, liquid_sm3s, lift_sm3s);
    struct stream without = well_stream(w, liquid_sm3s, 0);

    *out = (struct traverse){.p_inject_pa = (double)NAN};
    mix_init(&d.mix, &w->fluid, &with);
    mix_init(&below, &w->fluid, &without);
    if (!(d.mix.mass_kgs > 0))
        return err_set(err, ST_RANGE, "a stream of %g kg/s", d.mix.mass_kgs);
    heat_streams(w, &below, &d.mix, heat);
    d.leg.mix = &d.mix;
    return go_down(&d, &march, heat, err);
}

static double all_enters(size_t i, double p_pa, double t_k, double gas_sm3s,
                         void *context)
{
    (void)i, (void)p_pa, (void)t_k, (void)context;
    return gas_sm3s;
}

enum status traverse_solve(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, struct traverse *out,
                           struct traverse_profile *profile, struct err *err)
{
    const struct valve at = {.md_m = w->md_inject_m};
    const struct inlets one = {1, &at, all_enters, NULL};

    return traverse_inlets(w, liquid_sm3s, lift_sm3s, &one, out, profile, err);
}
