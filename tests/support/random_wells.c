#include "support/random_wells.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "base/units.h"
#include "support/sample_wells.h"

static uint64_t draw_bits(struct draw *d)
{
    uint64_t z = d->state += 0x9e3779b97f4a7c15u;

    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

double draw_between(struct draw *d, double least, double most)
{
    return least + (most - least) * (double)(draw_bits(d) >> 11) * 0x1p-53;
}

double draw_log(struct draw *d, double least, double most)
{
    return least * exp(draw_between(d, 0, log(most / least)));
}

size_t draw_index(struct draw *d, size_t n)
{
    return (size_t)(draw_bits(d) % n);
}

static bool draw_chance(struct draw *d, double part)
{
    return draw_between(d, 0, 1) < part;
}

static void draw_fluid(struct draw *d, struct fluid *f)
{
    double api = draw_between(d, 12, 48);
    struct gas_spec formation = {.gravity = draw_between(d, 0.6, 1.1)};
    struct gas_spec lift = {.gravity = draw_between(d, 0.58, 0.9),
                            .nitrogen = draw_between(d, 0, 0.03),
                            .carbon_dioxide = draw_between(d, 0, 0.04)};
    struct oil_spec oil = {.gravity = 141.5 / (131.5 + api),
                           .gas_gravity = formation.gravity,
                           .correlation = (int)draw_index(d, 3)};

    *f = (struct fluid){.salinity = draw_between(d, 0, 0.2),
                        .log_viscosity = draw_chance(d, 0.3)};
    oil_init(&f->oil, &oil);
    gas_init(&f->formation_gas, &formation);
    gas_init(&f->lift_gas, &lift);
}

/* Straight down, then bent station by station to at most 60 degrees. */
static void draw_path(struct draw *d, struct random_well *r)
{
    struct well *w = &r->well;
    size_t n = 2 + draw_index(d, RANDOM_STATIONS - 1);
    double depth_m = draw_log(d, 600, 4500), step_m = depth_m / (double)n;
    double angle = 0;

    r->station[0] = (struct well_station){0, 0};
    for (size_t i = 1; i < n; i++) {
        if (i > 1)
            angle = fmin(1.05, angle + draw_between(d, 0, 0.3));
        r->station[i] = (struct well_station){r->station[i - 1].md_m + step_m,
                                              r->station[i - 1].tvd_m +
                                                  step_m * cos(angle)};
    }
    w->station = r->station;
    w->n_stations = n;
    w->md_inject_m = well_bottom_m(w) * draw_between(d, 0.3, 1);
}

static void draw_tubing(struct draw *d, struct random_well *r)
{
    static const double size_in[] = {1.38, 1.61, 1.995, 2.441, 2.992, 3.958, 5};
    double bottom_m = well_bottom_m(&r->well);
    size_t i = draw_index(d, sizeof size_in / sizeof size_in[0]);
    double roughness_m = draw_log(d, 1e-6, 3e-4);

    r->section[1] =
        (struct well_section){bottom_m, size_in[i] * UNIT_INCH_M, roughness_m};
    r->section[0] = r->section[1];
    if (draw_chance(d, 0.3)) {
        r->section[0].to_md_m = bottom_m * draw_between(d, 0.2, 0.9);
        r->section[1].d_m = 1.5 * r->section[0].d_m;
        r->well.n_sections = 2;
    } else {
        r->well.n_sections = 1;
    }
    r->well.section = r->section;
}

static void draw_heat(struct draw *d, struct well *w)
{
    double tvd_m = w->station[w->n_stations - 1].tvd_m;
    double head_k = draw_between(d, 283, 320);

    w->thermal = (struct thermal){
        .model = draw_chance(d, 0.5) ? THERMAL_FLOWING : THERMAL_LINEAR,
        .t_head_k = head_k,
        .t_bottom_k = head_k + tvd_m * draw_between(d, 0.015, 0.035),
        .tvd_bottom_m = tvd_m,
        .u_wm2k = draw_log(d, 3, 100),
        .k_earth_wmk = draw_between(d, 1.2, 4),
        .diffusivity_m2s = draw_between(d, 5e-7, 2e-6),
        .r_wellbore_m = draw_between(d, 0.08, 0.2),
        .time_s = UNIT_DAY_S * draw_log(d, 1, 5000),
    };
}

static void draw_inflow(struct draw *d, struct well *w)
{
    double water_pa = 1000 * UNIT_GRAVITY_MS2 * w->thermal.tvd_bottom_m;
    double p_pa = draw_between(d, 0.25, 1.1) * water_pa;
    double j = draw_log(d, 0.05, 60) * STB_D / PSI;
    double n = draw_between(d, 0.5, 1);

    w->inflow = (struct inflow){
        .model = (int)draw_index(d, 4),
        .p_res_pa = p_pa,
        .j_sm3spa = j,
        .p_bubble_pa = p_pa * draw_between(d, 0.1, 1.2),
        .c_sm3s_pa2n = 0.5 * j * p_pa / pow(p_pa, 2 * n),
        .exponent = n,
        .water_cut = draw_chance(d, 0.3) ? w->water_cut : -1,
    };
}

void random_well(uint64_t seed, struct random_well *r)
{
    struct draw d = {seed};
    struct well *w = &r->well;

    *r = (struct random_well){.well = {.name = "R"}};
    draw_fluid(&d, &w->fluid);
    w->water_cut = draw_chance(&d, 0.1) ? 0 : draw_between(&d, 0, 0.98);
    w->gor_sm3sm3 = draw_chance(&d, 0.05) ? 0 : draw_log(&d, 4, 900);
    w->gradient = (int)draw_index(&d, GRADIENT_COUNT);
    w->p_head_pa = draw_log(&d, 3e5, 40e5);
    draw_path(&d, r);
    draw_tubing(&d, r);
    draw_heat(&d, w);
    draw_inflow(&d, w);
    r->gas_max_sm3s = draw_log(&d, 100, 10000) * MSCF_D;
}

struct random_text random_well_text(uint64_t seed, const struct random_well *r)
{
    const struct well *w = &r->well;
    struct random_text out;

    snprintf(out.text, sizeof out.text,
             "random well %llu: API %.0f, water cut %.3f, GOR %.0f, %s, %.2f "
             "in, %.0f m TVD, gas in at %.0f of %.0f m, head %.0f psi, "
             "reservoir %.0f psi, inflow %d, %.2g stb/d/psi, most gas %.0f "
             "Mscf/d",
             (unsigned long long)seed, w->fluid.oil.api, w->water_cut,
             w->gor_sm3sm3, gradient_key(w->gradient),
             w->section[0].d_m / UNIT_INCH_M, w->thermal.tvd_bottom_m,
             w->md_inject_m, well_bottom_m(w), w->p_head_pa / PSI,
             w->inflow.p_res_pa / PSI, (int)w->inflow.model,
             w->inflow.j_sm3spa / STB_D * PSI, r->gas_max_sm3s / MSCF_D);
    return out;
}
