#include "support/ode_oracle.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <cvode/cvode.h>
#include <cvode/cvode_diag.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdbool.h>

struct oracle {
    const struct well *well;
    struct mix mix[2]; /* below and above the injection point */
    struct thermal_stream heat[2];
    bool above;
    size_t section, station; /* the leg's, station at its lower end */
};

static double specific_heat(const struct oracle *o, const struct stream *s)
{
    const struct fluid *f = &o->well->fluid;
    double mass[] = {s->oil_sm3s * f->oil.spec.gravity * 1000,
                     s->water_sm3s * 1000,
                     s->gas_sm3s * f->formation_gas.rho_std_kgm3 +
                         s->lift_sm3s * f->lift_gas.rho_std_kgm3};
    /* Common values, from memory: J/kg/K. */
    double heat[] = {2000, 4180, 2300}, sum = 0, all = 0;

    for (int i = 0; i < 3; i++) {
        sum += mass[i] * heat[i];
        all += mass[i];
    }
    return sum / all;
}

static void oracle_init(struct oracle *o, const struct well *w, double liquid,
                        double lift)
{
    double oil = liquid * (1 - w->water_cut);
    struct stream s = {oil, liquid - oil, oil * w->gor_sm3sm3, 0};
    double tvd_in = w->station[w->n_stations - 1].tvd_m;
    double t_in = w->thermal.t_bottom_k;
    double inject_tvd = well_tvd_m(w, w->md_inject_m);
    double bottom_md = w->station[w->n_stations - 1].md_m;
    double incline[] = {(tvd_in - inject_tvd) / (bottom_md - w->md_inject_m),
                        inject_tvd / w->md_inject_m};

    *o = (struct oracle){.well = w};
    for (int i = 0; i < 2; i++) {
        s.lift_sm3s = i ? lift : 0;
        mix_init(&o->mix[i], &w->fluid, &s);
        /* All wells here have one diameter where the temperature needs it. */
        o->heat[i] =
            thermal_enter(&w->thermal, o->mix[i].mass_kgs, specific_heat(o, &s),
                          w->section[0].d_m, tvd_in, t_in);
        o->heat[i].relaxation_m *= incline[i];
        tvd_in = inject_tvd;
        t_in = thermal_at_k(&w->thermal, &o->heat[i], tvd_in);
    }
}

static double slope(const struct oracle *o, double md, double p)
{
    const struct well *w = o->well;
    const struct well_station *b = &w->station[o->station], *a = b - 1;
    const struct well_section *s = &w->section[o->section];
    double incline = (b->tvd_m - a->tvd_m) / (b->md_m - a->md_m);
    struct pipe pipe = {s->d_m, s->roughness_m, incline, s->core_m};
    double tvd = a->tvd_m + incline * (md - a->md_m);
    struct mix_state mix;
    struct gradient g;

    mix_at(&o->mix[o->above], p,
           thermal_at_k(&w->thermal, &o->heat[o->above], tvd), &mix);
    gradient_at(w->gradient, &pipe, &mix, REGIME_NATURAL, &g);
    return g.total_pam;
}

/* The end of the leg that starts at md. */
static double leg_end(struct oracle *o, double md)
{
    const struct well *w = o->well;

    while (w->station[o->station].md_m <= md)
        o->station++;
    while (w->section[o->section].to_md_m <= md)
        o->section++;
    o->above = md < w->md_inject_m;
    double end =
        fmin(w->station[o->station].md_m, w->section[o->section].to_md_m);
    return o->above ? fmin(end, w->md_inject_m) : end;
}

double oracle_fixed_steps_pa(const struct well *w, double liquid_sm3s,
                             double lift_sm3s, int steps)
{
    struct oracle o;
    double md = 0, p = w->p_head_pa;

    oracle_init(&o, w, liquid_sm3s, lift_sm3s);
    while (md < well_bottom_m(w)) {
        double end = leg_end(&o, md), h = (end - md) / steps;

        for (int i = 0; i < steps; i++) {
            double x = md + i * h;
            double k1 = slope(&o, x, p);
            double k2 = slope(&o, x + h / 2, p + h / 2 * k1);
            double k3 = slope(&o, x + h / 2, p + h / 2 * k2);
            double k4 = slope(&o, x + h, p + h * k3);

            p += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
        }
        md = end;
    }
    return p;
}

static int cvode_slope(realtype x, N_Vector y, N_Vector out, void *context)
{
    NV_Ith_S(out, 0) = slope(context, x, NV_Ith_S(y, 0));
    return 0;
}

double oracle_cvode_pa(const struct well *w, double liquid_sm3s,
                       double lift_sm3s)
{
    struct oracle o;
    SUNContext sun;
    double md = 0;

    oracle_init(&o, w, liquid_sm3s, lift_sm3s);
    SUNContext_Create(NULL, &sun);
    N_Vector y = N_VNew_Serial(1, sun);
    NV_Ith_S(y, 0) = w->p_head_pa;
    while (md < well_bottom_m(w)) {
        double end = leg_end(&o, md);
        void *mem = CVodeCreate(CV_ADAMS, sun);

        CVodeInit(mem, cvode_slope, md, y);
        CVodeSStolerances(mem, 1e-10, 1e-10 * w->p_head_pa);
        CVDiag(mem);
        CVodeSetUserData(mem, &o);
        CVodeSetMaxNumSteps(mem, 1000000);
        CVodeSetStopTime(mem, end);
        cr_assert(ge(int, CVode(mem, end, y, &md, CV_NORMAL), 0));
        CVodeFree(&mem);
        md = end;
    }
    double p = NV_Ith_S(y, 0);
    N_VDestroy(y);
    SUNContext_Free(&sun);
    return p;
}
