#include "support/sample_wells.h"

#include <math.h>
#include <stdbool.h>

/* In field units, as such wells are spoken of. */
struct sample_row {
    const char *name;
    double api, water_cut, gor_scf_stb;
    double tvd_ft, inject_ft, d_in; /* measured depth is 1.02 x TVD below a
                                       kick-off at 0.4 */
    double p_head_psia, p_res_psia, j_stb_d_psi, t_bottom_f;
    enum inflow_model inflow;
    enum gradient_model gradient;
    enum thermal_model thermal;
};

static const struct sample_row rows[SAMPLE_WELLS] = {
    {"S-01 strong", 36, 0.30, 450, 7000, 6300, 2.992, 165, 2600, 4.0, 185,
     INFLOW_COMPOSITE, GRADIENT_HAGEDORN_BROWN, THERMAL_LINEAR},
    {"S-02 dead without gas", 32, 0.70, 250, 7500, 6800, 2.441, 150, 2300, 2.0,
     190, INFLOW_VOGEL, GRADIENT_HAGEDORN_BROWN, THERMAL_LINEAR},
    {"S-03 shallow", 28, 0.55, 180, 3800, 3300, 2.441, 120, 1250, 2.5, 130,
     INFLOW_VOGEL, GRADIENT_BEGGS_BRILL, THERMAL_LINEAR},
    {"S-04 flows alone", 38, 0.10, 750, 8000, 7000, 2.992, 200, 3400, 2.5, 200,
     INFLOW_COMPOSITE, GRADIENT_BEGGS_BRILL, THERMAL_LINEAR},
    {"S-05 watered out", 34, 0.95, 400, 7200, 6500, 2.992, 160, 2700, 6.0, 185,
     INFLOW_LINEAR, GRADIENT_HAGEDORN_BROWN, THERMAL_FLOWING},
    {"S-06 deep", 40, 0.40, 600, 11000, 9800, 2.441, 180, 3600, 1.2, 245,
     INFLOW_COMPOSITE, GRADIENT_HAGEDORN_BROWN, THERMAL_FLOWING},
    {"S-07 weak", 30, 0.60, 220, 6000, 5400, 1.995, 110, 1500, 0.5, 160,
     INFLOW_FETKOVICH, GRADIENT_HAGEDORN_BROWN, THERMAL_LINEAR},
    {"S-08 drift flux", 35, 0.50, 350, 6800, 6100, 2.992, 150, 2300, 3.0, 180,
     INFLOW_VOGEL, GRADIENT_DRIFT_FLUX, THERMAL_LINEAR},
    {"S-09 big tubing", 36, 0.65, 420, 7000, 6400, 3.958, 190, 2500, 9.0, 185,
     INFLOW_COMPOSITE, GRADIENT_BEGGS_BRILL, THERMAL_LINEAR},
    {"S-10 small tubing", 33, 0.20, 500, 6500, 5900, 1.610, 150, 2500, 3.0, 170,
     INFLOW_VOGEL, GRADIENT_HAGEDORN_BROWN, THERMAL_LINEAR},
    {"S-11 heavy oil", 20, 0.35, 120, 4500, 4000, 2.992, 100, 1700, 1.5, 140,
     INFLOW_LINEAR, GRADIENT_BEGGS_BRILL_1973, THERMAL_LINEAR},
    {"S-12 as published", 37, 0.45, 380, 7600, 6900, 2.441, 170, 2600, 2.2, 195,
     INFLOW_VOGEL, GRADIENT_HAGEDORN_BROWN_1965, THERMAL_LINEAR},
};

static double kelvin(double t_f)
{
    return (t_f + 459.67) / 1.8;
}

static void set_fluid(const struct sample_row *r, struct fluid *f)
{
    double gravity = 141.5 / (131.5 + r->api);
    struct oil_spec oil = {
        .gravity = gravity, .gas_gravity = 0.75, .correlation = OIL_STANDING};
    struct gas_spec formation = {.gravity = 0.75};
    struct gas_spec lift = {.gravity = 0.65, .carbon_dioxide = 0.01};

    *f = (struct fluid){.salinity = 0.04};
    oil_init(&f->oil, &oil);
    gas_init(&f->formation_gas, &formation);
    gas_init(&f->lift_gas, &lift);
}

static void set_inflow(const struct sample_row *r, struct inflow *f)
{
    double p = r->p_res_psia * PSI, j = r->j_stb_d_psi * STB_D / PSI;

    *f = (struct inflow){.model = r->inflow,
                         .p_res_pa = p,
                         .j_sm3spa = j,
                         .p_bubble_pa = 0.7 * p,
                         .exponent = 0.85,
                         .water_cut = -1};
    /* Fetkovich with the same rate at half the reservoir pressure. */
    f->c_sm3s_pa2n = j * 0.5 * p / pow(0.75 * p * p, f->exponent);
}

/* Straight down to 0.4 of the depth, then 11 degrees off. */
static void set_path(const struct sample_row *r, struct sample_well *s)
{
    double ft = 0.3048, kick = 0.4 * r->tvd_ft;
    double bottom_md = kick + (r->tvd_ft - kick) / cos(11 * acos(-1.0) / 180);
    double inject = kick + (r->inject_ft - kick) / cos(11 * acos(-1.0) / 180);
    struct well *w = &s->well;

    s->station[0] = (struct well_station){0, 0};
    s->station[1] = (struct well_station){kick * ft, kick * ft};
    s->station[2] = (struct well_station){bottom_md * ft, r->tvd_ft * ft};
    s->section[0] = (struct well_section){bottom_md * ft, r->d_in * 0.0254,
                                          0.0018 * 0.0254};
    w->station = s->station;
    w->n_stations = 3;
    w->section = s->section;
    w->n_sections = 1;
    w->md_inject_m = inject * ft;
}

static void set_heat(const struct sample_row *r, struct thermal *t)
{
    bool flowing = r->thermal == THERMAL_FLOWING;

    *t = (struct thermal){.model = r->thermal,
                          .t_head_k = kelvin(flowing ? 70 : 100),
                          .t_bottom_k = kelvin(r->t_bottom_f),
                          .tvd_bottom_m = r->tvd_ft * 0.3048,
                          .u_wm2k = 25,
                          .k_earth_wmk = 2.4,
                          .diffusivity_m2s = 1.0e-6,
                          .r_wellbore_m = 0.108,
                          .time_s = 180 * 86400.0};
}

void sample_well(size_t i, struct sample_well *s)
{
    const struct sample_row *r = &rows[i];

    s->well = (struct well){.name = r->name,
                            .gor_sm3sm3 = r->gor_scf_stb * 0.1777655,
                            .water_cut = r->water_cut,
                            .gradient = r->gradient,
                            .p_head_pa = r->p_head_psia * PSI};
    set_fluid(r, &s->well.fluid);
    set_inflow(r, &s->well.inflow);
    set_path(r, s);
    set_heat(r, &s->well.thermal);
}
