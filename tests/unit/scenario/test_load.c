#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fixture.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/strbuf.h"
#include "scenario/load.h"
#include "support/text.h"

/* Exact definitions (NIST SP 811) and the frame of FIXTURE_FULL: 14.65 psia
 * and 60 F make a Mscf of 14.65 / 14.696 times 28.26246 Sm3 (exact
 * conversions). */
#define FT 0.3048
#define PSI 6894.757293168
#define STB_D (0.158987294928 / 86400.0)
#define MSCF_SM3 (28.26246 * 14.65 / 14.696)
#define MSCF_D (MSCF_SM3 / 86400.0)
/* 28.26246 has seven digits. */
#define GAS_TOL 3e-7

static bool is_near(double got, double want, double tol_rel)
{
    if (fabs(got - want) <= tol_rel * fabs(want))
        return true;
    fprintf(stderr, "got %.17g, want %.17g\n", got, want);
    return false;
}

Test(load, every_section_reaches_the_field, .timeout = 30)
{
    struct fixture s;
    fixture_load_yaml(&s, FIXTURE_FULL);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field *f = s.field;
    cr_expect(text_is(f->name, "Full"));
    cr_expect(eq(long, f->day, 20782)); /* 56 * 365 + 14 + 328 */
    cr_expect(is_near(f->frame.p_atm_pa, 14.5 * PSI, 1e-12));
    cr_expect(is_near(f->hydrogen_sulphide, 20e-6, 1e-12));
    cr_expect(eq(long, f->test_age_max_days, 60));

    cr_assert(eq(sz, f->groups[GROUP_MANIFOLD].n, 1));
    const struct field_group *m = f->groups[GROUP_MANIFOLD].group;
    cr_expect(text_is(m->name, "north") && m->at.line == 20);
    cr_expect(is_near(m->caps.lift_sm3s, 14e3 * MSCF_D, GAS_TOL));
    cr_expect(is_near(m->p_header_pa, 1164.5 * PSI, 1e-12));

    const struct field_station *st = &f->station;
    cr_assert(st->n_compressors == 2 && st->has_compressors);
    cr_expect(text_is(st->compressor[1].name, "C-2"));
    cr_expect(eq(int, (int)st->compressor[0].state, UNIT_RUNNING));
    cr_expect(eq(int, (int)st->compressor[1].state, UNIT_DOWN));
    cr_expect(is_near(st->compressor[0].capacity_sm3s, 9e3 * MSCF_D, GAS_TOL));
    cr_expect(is_near(st->fuel_fraction, 0.037, 1e-12));
    cr_expect(eq(int, (int)st->fuel_from, SIDE_SUCTION));
    cr_expect(is_near(st->shrinkage_fraction, 0.015, 1e-12));
    cr_expect(is_near(st->flare_max_sm3s, 400 * MSCF_D, GAS_TOL));

    cr_expect(is_near(f->sales.min_sm3s, 2e3 * MSCF_D, GAS_TOL));
    cr_expect(is_near(f->sales.max_sm3s, 8e3 * MSCF_D, GAS_TOL));
    cr_expect(is_near(f->sales.price_sm3, 2.2 / MSCF_SM3, GAS_TOL));
    cr_expect(eq(int, (int)f->sales.from, SIDE_SUCTION));
    cr_expect(is_near(f->market.max_sm3s, 3e3 * MSCF_D, GAS_TOL));
    cr_expect(is_near(f->market.price_sm3, 3.1 / MSCF_SM3, GAS_TOL));
    cr_expect(eq(int, (int)f->market.enters, SIDE_SUCTION));
    cr_expect(is_near(f->limits.caps.lift_sm3s, 28e3 * MSCF_D, GAS_TOL));
    cr_expect(is_near(f->limits.caps.liquid_sm3s, 6e4 * STB_D, 1e-12));
    cr_expect(is_near(f->limits.caps.water_sm3s, 4.8e4 * STB_D, 1e-12));
    cr_expect(eq(sz, f->limits.caps.moves, 8));
    cr_expect(is_near(f->limits.dead_band_sm3s, 25 * MSCF_D, GAS_TOL));
    cr_expect(is_near(f->prices.oil_sm3, 62 / 0.158987294928, 1e-12));
    cr_expect(is_near(f->prices.water_sm3, 0.5 / 0.158987294928, 1e-12));
    cr_expect(is_near(f->prices.compression_sm3, 0.12 / MSCF_SM3, GAS_TOL));
    cr_expect(f->prices.given);
    fixture_close(&s);
}

Test(load, every_key_of_a_well_reaches_its_model, .timeout = 30)
{
    struct fixture s;
    fixture_load_yaml(&s, FIXTURE_FULL);
    cr_assert(eq(int, (int)s.status, ST_OK));
    const struct field_well *fw = &s.field->well[0];
    cr_expect(text_is(fw->name, "W-1"));
    cr_expect(eq(int, fw->at.line, 31));
    cr_expect(fw->group[GROUP_MANIFOLD] == 0 && fw->table == NULL &&
              !fw->may_stop);
    cr_expect(is_near(fw->lift_min_sm3s, 250 * MSCF_D, GAS_TOL));
    cr_expect(is_near(fw->lift_max_sm3s, 1500 * MSCF_D, GAS_TOL));
    cr_expect(eq(int, (int)fw->match, MATCH_PRODUCTIVITY));
    cr_expect(isnan(fw->reading.lift_sm3s) && !fw->reading.given);
    cr_expect(fw->n_tests == 0 && fw->matched == NULL);

    const struct well *w = fw->model;
    double scf_stb = MSCF_SM3 / 1000 / 0.158987294928;
    cr_expect(text_is(w->name, "W-1"));
    cr_expect(is_near(w->gor_sm3sm3, 450 * scf_stb, GAS_TOL));
    cr_expect(is_near(w->water_cut, 0.72, 1e-12));
    cr_expect(is_near(w->p_head_pa, 154.5 * PSI, 1e-12));
    cr_expect(eq(int, (int)w->gradient, GRADIENT_BEGGS_BRILL));
    cr_assert(w->n_stations == 3 && w->n_sections == 2);
    cr_expect(is_near(w->station[2].md_m, 6200 * FT, 1e-12));
    cr_expect(is_near(w->station[2].tvd_m, 5900 * FT, 1e-12));
    cr_expect(is_near(w->section[0].to_md_m, 6000 * FT, 1e-12));
    cr_expect(is_near(w->section[0].d_m, 2.441 * 0.0254, 1e-12));
    cr_expect(is_near(w->section[0].roughness_m, 0.0018 * 0.0254, 1e-12));
    cr_expect(is_near(w->section[1].roughness_m, 0.002 * 0.0254, 1e-12));
    cr_expect(w->section[1].to_md_m == w->station[2].md_m);
    cr_expect(is_near(w->md_inject_m, 5600 * FT, 1e-12));

    const struct oil_spec *oil = &w->fluid.oil.spec;
    cr_expect(is_near(oil->gravity, 141.5 / 165.5, 1e-12));
    cr_expect(is_near(oil->gas_gravity, 0.78, 1e-12));
    cr_expect(eq(int, (int)oil->correlation, OIL_VASQUEZ_BEGGS));
    cr_expect(is_near(oil->p_separator_pa, 99.5 * PSI, 1e-12));
    cr_expect(is_near(oil->t_separator_k, 549.67 / 1.8, 1e-12));
    cr_expect(is_near(oil->p_bubble_pa, 1914.5 * PSI, 1e-12));
    cr_expect(is_near(oil->t_bubble_k, 639.67 / 1.8, 1e-12));
    cr_expect(oil->gor_sm3sm3 == w->gor_sm3sm3);
    cr_expect(is_near(oil->volume_factor_bubble, 1.25, 1e-12));
    cr_expect(is_near(w->fluid.oil.api, 34, 1e-9)); /* prepared */
    cr_expect(is_near(w->fluid.salinity, 0.06, 1e-12));
    cr_expect(w->fluid.log_viscosity);
    cr_expect(is_near(w->fluid.lift_gas.spec.gravity, 0.65, 1e-12));
    cr_expect(is_near(w->fluid.lift_gas.spec.nitrogen, 0.005, 1e-12));
    cr_expect(is_near(w->fluid.lift_gas.spec.carbon_dioxide, 0.01, 1e-12));
    cr_expect(is_near(w->fluid.lift_gas.spec.hydrogen_sulphide, 20e-6, 1e-12));
    cr_expect(w->fluid.lift_gas.p_pc_pa > 0); /* prepared */
    cr_expect(is_near(w->fluid.formation_gas.spec.gravity, 0.78, 1e-12));
    cr_expect(w->fluid.formation_gas.spec.nitrogen == 0);
    cr_expect(w->fluid.formation_gas.p_pc_pa > 0);

    cr_expect(eq(int, (int)w->thermal.model, THERMAL_LINEAR));
    cr_expect(is_near(w->thermal.t_head_k, 554.67 / 1.8, 1e-12));
    cr_expect(is_near(w->thermal.t_bottom_k, 639.67 / 1.8, 1e-12));
    cr_expect(is_near(w->thermal.tvd_bottom_m, 5900 * FT, 1e-12));

    cr_expect(eq(int, (int)w->inflow.model, INFLOW_VOGEL));
    cr_expect(is_near(w->inflow.p_res_pa, 2214.5 * PSI, 1e-12));
    cr_expect(is_near(w->inflow.j_sm3spa, 1.5 * STB_D / PSI, 1e-12));
    cr_expect(w->inflow.water_cut < 0);
    fixture_close(&s);
}

Test(load, what_is_not_given_means_no_limit, .timeout = 30)
{
    struct fixture s;
    fixture_load_table(&s, "curve.csv", FIXTURE_CURVE);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field *f = s.field;
    cr_expect(isinf(f->groups[GROUP_MANIFOLD].group[0].caps.lift_sm3s));
    cr_expect(f->groups[GROUP_MANIFOLD].group[0].p_header_pa == 0);
    cr_expect(f->station.n_compressors == 0 && !f->station.has_compressors);
    cr_expect(f->station.fuel_fraction == 0);
    cr_expect(eq(int, (int)f->station.fuel_from, SIDE_DISCHARGE));
    cr_expect(f->station.flare_max_sm3s == 0);
    cr_expect(f->sales.min_sm3s == 0 && isinf(f->sales.max_sm3s));
    cr_expect(f->sales.price_sm3 == 0);
    cr_expect(f->market.max_sm3s == 0);
    cr_expect(isinf(f->limits.caps.lift_sm3s));
    cr_expect(isinf(f->limits.caps.liquid_sm3s));
    cr_expect(isinf(f->limits.caps.water_sm3s));
    cr_expect(f->limits.caps.moves == SIZE_MAX);
    cr_expect(f->limits.dead_band_sm3s == 0);
    cr_expect(not(f->prices.given));
    cr_expect(eq(long, f->test_age_max_days, 90));
    cr_expect(is_near(f->frame.p_atm_pa, 14.696 * PSI, 1e-12));
    cr_expect(f->well[0].may_stop && f->well[0].lift_min_sm3s == 0);
    fixture_close(&s);
}

/* FIXTURE_FULL with one part exchanged. */
static void load_changed(struct fixture *s, const char *from, const char *to)
{
    fixture_open(s);
    fixture_write_text(s, "scenario.yaml",
                       fixture_exchange(&s->arena, FIXTURE_FULL, from, to));
    fixture_load(s);
}

Test(load, an_inflow_can_be_given_by_a_point_of_it, .timeout = 30)
{
    /* Vogel (1968): q / q_max = 1 - 0.2 r - 0.8 r^2. At half the pressure,
     * 0.7 of the open flow; the slope at the reservoir pressure is
     * 1.8 q_max / p_res. */
    static const char *const POINTS[] = {
        "open_flow: 1000 stb/d}",
        "test: {liquid: 700 stb/d, pressure: 1107.25 psia}}",
    };
    double want = 1.8 * 1000 * STB_D / (2214.5 * PSI);
    for (size_t i = 0; i < 2; i++) {
        struct fixture s;
        load_changed(&s, "productivity: 1.5 stb/d/psi}", POINTS[i]);
        cr_assert(text_is(fixture_messages(&s), ""));
        cr_expect(is_near(s.field->well[0].model->inflow.j_sm3spa, want, 1e-9));
        fixture_close(&s);
    }
}

Test(load, the_formation_gas_has_a_composition_of_its_own, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "    gas_gravity: 0.78\n",
                 "    gas_gravity: 0.78\n"
                 "    nitrogen: 0.2 %\n"
                 "    carbon_dioxide: 2 %\n"
                 "    hydrogen_sulphide: 10 ppm\n"
                 "    bubble_point_gas_oil_ratio: 90 Sm3/Sm3\n");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct fluid *f = &s.field->well[0].model->fluid;
    cr_expect(is_near(f->formation_gas.spec.nitrogen, 0.002, 1e-12));
    cr_expect(is_near(f->formation_gas.spec.carbon_dioxide, 0.02, 1e-12));
    cr_expect(is_near(f->formation_gas.spec.hydrogen_sulphide, 1e-5, 1e-12));
    cr_expect(is_near(f->oil.spec.gor_sm3sm3, 90, 1e-12));
    fixture_close(&s);
}

Test(load, fetkovich_is_scaled_to_its_open_flow, .timeout = 30)
{
    /* Fetkovich (1973): q = c (p_res^2 - p_wf^2)^n. */
    struct fixture s;
    load_changed(&s,
                 "{model: vogel, reservoir_pressure: 2200 psig, "
                 "productivity: 1.5 stb/d/psi}",
                 "{model: fetkovich, reservoir_pressure: 2200 psig, "
                 "exponent: 0.8, open_flow: 1000 stb/d}");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct inflow *f = &s.field->well[0].model->inflow;
    double want = 1000 * STB_D / pow(2214.5 * PSI, 1.6);
    cr_expect(is_near(f->c_sm3s_pa2n, want, 1e-9));
    fixture_close(&s);
}

Test(load, the_separate_water_rule_takes_the_water_cut_along, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "{model: vogel,",
                 "{model: composite, bubble_point: 1500 psig, "
                 "water_rule: separate,");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct inflow *f = &s.field->well[0].model->inflow;
    cr_expect(is_near(f->water_cut, 0.72, 1e-12));
    cr_expect(is_near(f->p_bubble_pa, 1514.5 * PSI, 1e-12));
    fixture_close(&s);
}

Test(load, the_flowing_temperature_takes_its_own_keys, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "{wellhead: 95 F, bottomhole: 180 F}",
                 "{model: flowing, surface: 75 F, bottomhole: 180 F, "
                 "heat_transfer: 3 W/m2/K, wellbore_diameter: 10 in}");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct thermal *t = &s.field->well[0].model->thermal;
    cr_expect(eq(int, (int)t->model, THERMAL_FLOWING));
    cr_expect(is_near(t->t_head_k, 534.67 / 1.8, 1e-12));
    cr_expect(is_near(t->u_wm2k, 3, 1e-12));
    cr_expect(is_near(t->k_earth_wmk, 1.4 * 1.730735, 1e-6)); /* SP 811 */
    cr_expect(is_near(t->diffusivity_m2s, 0.04 * 2.58064e-5, 1e-9));
    cr_expect(is_near(t->r_wellbore_m, 0.127, 1e-12));
    cr_expect(is_near(t->time_s, 365 * 86400.0, 1e-12));
    fixture_close(&s);
}

Test(load, depths_that_part_by_rounding_are_one_place, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "to: 6200 ft", "to: 1889.8 m"); /* 6200.1 ft */
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct well *w = s.field->well[0].model;
    cr_expect(w->section[1].to_md_m == w->station[2].md_m);
    fixture_close(&s);
}

Test(load, what_does_not_fit_together_is_refused_at_its_place, .timeout = 30)
{
    static const struct {
        const char *from, *to, *want;
    } ROWS[] = {
        {"manifold: north", "manifold: nroth",
         "scenario.yaml:32:15: wells.W-1.manifold: there is no manifold "
         "\"nroth\"; did you mean \"north\"?\n"},
        {"fluid: oil A", "fluid: gas condensate",
         "scenario.yaml:33:12: wells.W-1.fluid: there is no fluid \"gas "
         "condensate\"\n"},
        {"- {md: 0 ft, tvd: 0 ft}", "- {md: 10 ft, tvd: 10 ft}",
         "scenario.yaml:38:9: wells.W-1.survey[1]: the first row is not the "
         "wellhead; begin with md 0 and tvd 0\n"},
        {"{md: 3000 ft, tvd: 3000 ft}", "{md: 6200 ft, tvd: 3000 ft}",
         "scenario.yaml:40:9: wells.W-1.survey[3]: measured depth does not "
         "rise from row to row; sort the rows from the wellhead down\n"},
        {"{md: 3000 ft, tvd: 3000 ft}", "{md: 3000 ft, tvd: 3100 ft}",
         "scenario.yaml:39:9: wells.W-1.survey[2]: true vertical depth grows "
         "faster than measured depth; check both numbers\n"},
        {"tvd: 5900 ft}", "tvd: 2900 ft}",
         "scenario.yaml:40:9: wells.W-1.survey[3]: true vertical depth "
         "falls; a well that climbs is not modelled\n"},
        {"- {to: 6000 ft", "- {to: 6200 ft",
         "scenario.yaml:43:9: wells.W-1.tubing[2]: depth does not rise from "
         "piece to piece; sort the pieces from the wellhead down\n"},
        {"to: 6200 ft", "to: 6199 ft",
         "scenario.yaml:42:7: wells.W-1.tubing: the last piece does not end "
         "where the survey ends; let its to be the last md of the survey\n"},
        {"injection_depth: 5600 ft", "injection_depth: 6300 ft",
         "scenario.yaml:44:22: wells.W-1.injection_depth: the gas would "
         "enter below the end of the survey; check both depths\n"},
        {"{wellhead: 95 F,", "{",
         "scenario.yaml:45:18: wells.W-1.temperature: key wellhead is "
         "missing; the linear model needs both ends\n"},
        {"{wellhead: 95 F,", "{model: flowing, surface: 70 F,",
         "scenario.yaml:45:18: wells.W-1.temperature: key heat_transfer is "
         "missing; the flowing model needs it\n"},
        {", productivity: 1.5 stb/d/psi", "",
         "scenario.yaml:46:13: wells.W-1.inflow: none of productivity, "
         "open_flow and test; give exactly one of them\n"},
        {"productivity: 1.5 stb/d/psi",
         "productivity: 1.5 stb/d/psi, open_flow: 1000 stb/d",
         "scenario.yaml:46:13: wells.W-1.inflow: more than one of "
         "productivity, open_flow and test; give exactly one of them\n"},
        {"model: vogel", "model: fetkovich",
         "scenario.yaml:46:77: wells.W-1.inflow.productivity: fetkovich has "
         "no productivity index; give open_flow or test\n"},
        {"model: vogel", "model: composite",
         "scenario.yaml:46:13: wells.W-1.inflow: key bubble_point is "
         "missing; the composite curve bends there\n"},
        {"productivity: 1.5 stb/d/psi",
         "test: {liquid: 700 stb/d, pressure: 2200 psig}",
         "scenario.yaml:46:95: wells.W-1.inflow.test.pressure: not below "
         "the reservoir pressure; check both pressures\n"},
        {", maximum: 1500 Mscf/d", "",
         "scenario.yaml:48:15: wells.W-1.lift_gas: key maximum of lift_gas "
         "is missing; a model's curve ends there, unless valves and a header "
         "pressure or annulus limit end it\n"},
        {"    bubble_point_temperature: 180 F\n", "",
         "scenario.yaml:10:5: fluids.oil A: key bubble_point_temperature is "
         "missing; a measured bubble point belongs to a temperature\n"},
        {"    bubble_point: 1900 psig\n", "",
         "scenario.yaml:10:5: fluids.oil A: key bubble_point is missing; the "
         "volume factor is that of a measured bubble point\n"},
        {"gas_oil_ratio: 450 scf/stb", "gas_oil_ratio: 0 scf/stb",
         "scenario.yaml:33:12: wells.W-1.fluid: oil without gas has no "
         "bubble point; give bubble_point_gas_oil_ratio in the fluid\n"},
        {"lift_gas: {gravity: 0.65, nitrogen: 0.5 %, carbon_dioxide: 1 %, "
         "hydrogen_sulphide: 20 ppm}\n",
         "",
         "scenario.yaml:1:1: key lift_gas is missing; the wells' models need "
         "the gas that is injected\n"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct fixture s;
        load_changed(&s, ROWS[i].from, ROWS[i].to);
        cr_expect(eq(int, (int)s.status, ST_INPUT), "row %zu", i);
        cr_expect(s.field == NULL, "row %zu", i);
        cr_expect(text_has(fixture_messages(&s), ROWS[i].want));
        cr_expect(text_has(s.err.msg, "has 1 error"), "row %zu", i);
        fixture_close(&s);
    }
}

/* --- measured curves ------------------------------------------------------ */

#define SCF_MSCF_D (28.26246 / 86400.0) /* at 14.696 psia and 60 F */

Test(load, a_measured_curve_keeps_its_points, .timeout = 30)
{
    struct fixture s;
    fixture_load_table(&s, "curve.csv", FIXTURE_CURVE);
    const struct field_well *w = &s.field->well[1];
    cr_assert(w->model == NULL && w->match == MATCH_NONE);
    const struct curve *c = w->table;
    cr_expect(text_is(c->well, "A-2"));
    cr_assert(c->source == CURVE_TABLE && c->n == 3 && c->peak == 1);
    cr_expect(eq(int, (int)c->end, CURVE_END_TABLE));
    cr_expect(is_near(c->gas_sm3s[0], 200 * SCF_MSCF_D, GAS_TOL));
    cr_expect(is_near(c->oil_sm3s[1], 150 * STB_D, 1e-12));
    cr_expect(is_near(c->water_sm3s[2], 70 * STB_D, 1e-12));
    cr_expect(is_near(c->formation_sm3s[0], 40 * SCF_MSCF_D, GAS_TOL));
    cr_expect(is_near(c->gas_max_sm3s, 600 * SCF_MSCF_D, GAS_TOL));
    cr_expect(w->lift_max_sm3s == c->gas_max_sm3s);
    cr_expect(c->p_bottom_pa == NULL && c->p_inject_pa == NULL);
    fixture_close(&s);
}

static void load_curve_with(struct fixture *s, const char *keys,
                            const char *csv)
{
    fixture_open(s);
    fixture_write_text(
        s, "scenario.yaml",
        arena_printf(&s->arena,
                     "format: 1\n"
                     "field: {name: N, date: 2026-11-25}\n"
                     "manifolds: {M: {}}\n"
                     "wells: {A: {manifold: M, curve: curve.csv%s}}\n",
                     keys));
    fixture_write_text(s, "curve.csv", csv);
    fixture_load(s);
}

Test(load, missing_columns_come_from_the_ratios_of_the_well, .timeout = 30)
{
    struct fixture s;
    load_curve_with(&s, ", water_cut: 75 %, gas_oil_ratio: 100 Sm3/Sm3",
                    "lift gas (kSm3/d),oil (Sm3/d)\n10,20\n");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct curve *c = s.field->well[0].table;
    cr_expect(is_near(c->water_sm3s[0], 60 / 86400.0, 1e-12));
    cr_expect(is_near(c->formation_sm3s[0], 2000 / 86400.0, 1e-12));
    fixture_close(&s);
}

Test(load, no_maximum_goes_past_the_last_point_of_a_curve, .timeout = 30)
{
    static const char CSV[] = "lift gas (kSm3/d),oil (Sm3/d),water (Sm3/d),"
                              "formation gas (kSm3/d)\n10,20,60,2\n";
    struct fixture s;
    load_curve_with(&s, ", lift_gas: {maximum: 12 kSm3/d}", CSV);
    cr_expect(text_is(fixture_messages(&s),
                      "scenario.yaml:4:64: warning: wells.A.lift_gas.maximum: "
                      "\"12 kSm3/d\" is past the last point of the measured "
                      "curve; no plan goes further than the curve\n"));
    cr_expect(is_near(s.field->well[0].lift_max_sm3s, 1e4 / 86400, 1e-12));
    fixture_close(&s);
    load_curve_with(&s, ", lift_gas: {maximum: 8 kSm3/d}", CSV);
    cr_expect(text_is(fixture_messages(&s), ""));
    cr_expect(is_near(s.field->well[0].lift_max_sm3s, 8e3 / 86400, 1e-12));
    fixture_close(&s);
}

Test(load, thousands_of_unknown_wells_are_refused_in_time, .timeout = 30)
{
    struct fixture s;
    struct strbuf wells, csv;
    fixture_open(&s);
    strbuf_init(&wells, &s.arena);
    strbuf_init(&csv, &s.arena);
    strbuf_add(&wells, "format: 1\n"
                       "field: {name: N, date: 2026-11-25}\n"
                       "manifolds: {M: {}}\n"
                       "wells:\n");
    strbuf_add(&csv, "well,status\n");
    for (int i = 0; i < 5000; i++) {
        strbuf_addf(&wells, "  North-%d: {manifold: M, curve: ..}\n", i);
        strbuf_addf(&csv, "Suoth-%d,flowing\n", i);
    }
    fixture_write_text(&s, "scenario.yaml", wells.text);
    fixture_write_text(&s, "readings.csv", csv.text);
    clock_t start = clock();
    fixture_load(&s);
    double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
    cr_expect(lt(dbl, seconds, 5.0));
    cr_expect(eq(sz, s.diag.n_errors, 10000));
    fixture_close(&s);
}

Test(load, of_equal_peaks_the_one_with_the_least_gas_counts, .timeout = 30)
{
    struct fixture s;
    load_curve_with(&s, ", water_cut: 75 %, gas_oil_ratio: 100 Sm3/Sm3",
                    "lift gas (kSm3/d),oil (Sm3/d)\n"
                    "10,20\n20,30\n30,30\n40,10\n");
    cr_assert(eq(sz, s.field->well[0].table->peak, 1));
    fixture_close(&s);
}

Test(load, a_curve_without_oil_is_that_of_a_dead_well, .timeout = 30)
{
    struct fixture s;
    load_curve_with(&s, ", water_cut: 75 %, gas_oil_ratio: 100 Sm3/Sm3",
                    "lift gas (kSm3/d),oil (Sm3/d)\n10,0\n20,0\n");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct curve *c = s.field->well[0].table;
    cr_assert(eq(sz, c->n, 0));
    cr_expect(is_near(c->gas_max_sm3s, 20e3 / 86400.0, 1e-12));
    fixture_close(&s);
}

Test(load, a_faulty_curve_is_refused_at_its_place, .timeout = 30)
{
#define RATIOS ", water_cut: 75 %, gas_oil_ratio: 100 Sm3/Sm3"
    static const struct {
        const char *keys, *csv, *want;
    } ROWS[] = {
        {RATIOS, "lift gas (kSm3/d),oil (Sm3/d)\n10,20\n10,30\n",
         "curve.csv:3:1: lift gas: does not rise from row to row; sort the "
         "rows and keep one of equals\n"},
        {RATIOS, "lift gas (kSm3/d),oil (Sm3/d)\n10,\n",
         "curve.csv:2:4: oil: the value is missing; write it\n"},
        {RATIOS, "lift gas (kSm3/d),oil (Sm3/d)\n10,NaN\n",
         "curve.csv:2:4: oil: \"NaN\" is not a finite number"},
        {RATIOS, "lift gas (kSm3/d),oil (Sm3/d)\n",
         "curve.csv:1:1: no rows below the header\n"},
        {RATIOS, "lift gas (kSm3/d)\n10\n",
         "curve.csv:1:1: column oil is missing; add it\n"},
        {", gas_oil_ratio: 100 Sm3/Sm3",
         "lift gas (kSm3/d),oil (Sm3/d)\n10,20\n",
         "scenario.yaml:4:33: wells.A.curve: the curve has no column of "
         "water; add it, or a water_cut below 100 % to the well\n"},
        {", water_cut: 100 %, gas_oil_ratio: 100 Sm3/Sm3",
         "lift gas (kSm3/d),oil (Sm3/d)\n10,20\n",
         "scenario.yaml:4:33: wells.A.curve: the curve has no column of "
         "water; add it, or a water_cut below 100 % to the well\n"},
        {", water_cut: 75 %", "lift gas (kSm3/d),oil (Sm3/d)\n10,20\n",
         "scenario.yaml:4:33: wells.A.curve: the curve has no column of "
         "formation gas; add it, or a gas_oil_ratio to the well\n"},
        {RATIOS ", inflow: {model: vogel, reservoir_pressure: 90 barg}",
         "lift gas (kSm3/d),oil (Sm3/d)\n10,20\n",
         "wells.A.inflow: a well with a measured curve has no model; delete "
         "this key, or the curve\n"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct fixture s;
        load_curve_with(&s, ROWS[i].keys, ROWS[i].csv);
        cr_expect(eq(int, (int)s.status, ST_INPUT), "row %zu", i);
        cr_expect(text_has(fixture_messages(&s), ROWS[i].want));
        cr_expect(eq(sz, s.diag.n_errors, 1), "row %zu: %s", i,
                  fixture_messages(&s));
        fixture_close(&s);
    }
}

/* --- tests and readings --------------------------------------------------- */

Test(load, tests_reach_their_wells_in_the_order_of_the_file, .timeout = 30)
{
    struct fixture s;
    fixture_load_table(
        &s, "tests.csv",
        "well,date,oil (stb/d),water (stb/d),liquid (stb/d),gas (Mscf/d),"
        "lift gas (Mscf/d),wellhead pressure (psig),accepted,note\n"
        "A-2,2026-10-02,100,300,,900,600,140,yes,good\n"
        "A-1,2026-10-03,-,-,500,,,,,\n"
        "A-2,2026-09-02,50,,200,800,600,150,no,slugging\n"
        "A-2,2026-08-02,,90,100,,,,yes,\n");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field_well *w = s.field->well;
    cr_assert(w[0].n_tests == 1 && w[1].n_tests == 3);
    const struct field_test *t = w[1].test;
    cr_expect(eq(int, t[0].at.line, 2));
    cr_expect(eq(long, t[0].day, 20728)); /* 54 days before 2026-11-25 */
    cr_expect(is_near(t[0].liquid_sm3s, 400 * STB_D, 1e-12));
    cr_expect(is_near(t[0].water_cut, 0.75, 1e-12));
    cr_expect(is_near(t[0].gas_sm3s, 900 * SCF_MSCF_D, GAS_TOL));
    cr_expect(is_near(t[0].lift_sm3s, 600 * SCF_MSCF_D, GAS_TOL));
    cr_expect(is_near(t[0].p_head_pa, 154.696 * PSI, 1e-12));
    cr_expect(t[0].accepted && text_is(t[0].note, "good"));
    cr_expect(text_is(t[1].note, "slugging") && !t[1].accepted);
    cr_expect(is_near(t[1].water_cut, 0.75, 1e-12));
    cr_expect(is_near(t[2].water_cut, 0.9, 1e-12));
    cr_expect(text_is(t[2].note, ""));
    cr_expect(is_near(w[0].test[0].liquid_sm3s, 500 * STB_D, 1e-12));
    cr_expect(isnan(w[0].test[0].water_cut) && isnan(w[0].test[0].gas_sm3s));
    cr_expect(w[0].test[0].accepted);
    fixture_close(&s);
}

Test(load, rates_of_a_test_that_contradict_each_other_are_told, .timeout = 30)
{
    struct fixture s;
    fixture_load_table(&s, "tests.csv",
                       "well,date,oil (stb/d),water (stb/d),liquid (stb/d)\n"
                       "A-1,2026-10-02,100,300,450\n"
                       "A-1,2026-10-03,100,300,401\n"
                       "A-1,2026-10-04,200,,150\n");
    cr_assert(text_is(fixture_messages(&s),
                      "tests.csv:2:24: warning: liquid: oil and water do not "
                      "add up to the liquid; oil and water are used\n"
                      "tests.csv:4:21: liquid: oil or water is above the "
                      "liquid; check the three rates\n"));
    fixture_close(&s);
}

Test(load, readings_reach_their_wells, .timeout = 30)
{
    struct fixture s;
    fixture_load_table(&s, "readings.csv",
                       "well,lift gas (Mscf/d),casing pressure (psig),"
                       "tubing pressure (psig),status,reason\n"
                       "A-2,600,900,140,held,hydrates\n");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field_reading *r = &s.field->well[1].reading;
    cr_expect(r->given && r->at.line == 2);
    cr_expect(is_near(r->lift_sm3s, 600 * SCF_MSCF_D, GAS_TOL));
    cr_expect(is_near(r->p_casing_pa, 914.696 * PSI, 1e-12));
    cr_expect(is_near(r->p_tubing_pa, 154.696 * PSI, 1e-12));
    cr_expect(eq(int, (int)r->status, WELL_HELD));
    cr_expect(text_is(r->reason, "hydrates"));
    cr_expect(not(s.field->well[0].reading.given));
    fixture_close(&s);
}

Test(load, a_reading_may_be_a_status_alone, .timeout = 30)
{
    struct fixture s;
    fixture_load_table(&s, "readings.csv", "well,status\nA-1,down\nA-2,\n");
    cr_assert(text_is(fixture_messages(&s), ""));
    cr_expect(eq(int, (int)s.field->well[0].reading.status, WELL_DOWN));
    cr_expect(isnan(s.field->well[0].reading.lift_sm3s));
    cr_expect(text_is(s.field->well[0].reading.reason, ""));
    cr_expect(eq(int, (int)s.field->well[1].reading.status, WELL_FLOWING));
    fixture_close(&s);
}

Test(load, a_second_reading_of_a_well_is_refused, .timeout = 30)
{
    struct fixture s;
    fixture_load_table(&s, "readings.csv",
                       "well,status\nA-1,down\nA-2,test\nA-1,flowing\n");
    cr_assert(text_is(fixture_messages(&s),
                      "readings.csv:4:1: well: a reading of this well is "
                      "already given in line 2; keep one row\n"));
    fixture_close(&s);
}

Test(load, faults_of_all_files_are_shown_in_one_run, .timeout = 30)
{
    struct fixture s;
    fixture_open(&s);
    fixture_write_text(&s, "scenario.yaml",
                       "format: 1\n"
                       "field: {name: N, date: 2026-11-25}\n"
                       "manifolds: {M: {}}\n"
                       "limits: {water: 5}\n"
                       "wells: {A: {manifold: M, curve: curve.csv}}\n");
    fixture_write_text(&s, "curve.csv", "lift gas (Mscf/d),oil (stb/d)\n");
    fixture_write_text(&s, "tests.csv", "well,date\nA,2026-01-01\n");
    fixture_write_text(&s, "readings.csv", "well,status\nB,down\n");
    fixture_load(&s);
    const char *all = fixture_messages(&s);
    cr_expect(text_has(all, "scenario.yaml:4:17: limits.water: "));
    cr_expect(text_has(all, "curve.csv:1:1: no rows"));
    cr_expect(text_has(all, "tests.csv:1:1: no column tells"));
    cr_expect(text_has(all, "readings.csv:2:1: well: there is no well"));
    fixture_close(&s);
}

/* --- files ---------------------------------------------------------------- */

Test(load, a_folder_without_a_scenario_is_a_failure_of_files, .timeout = 30)
{
    struct fixture s;
    fixture_open(&s);
    fixture_load(&s);
    cr_assert(eq(int, (int)s.status, ST_IO));
    cr_assert(text_has(s.err.msg, "scenario.yaml: No such file"));
    cr_assert(eq(sz, s.diag.n, 0));
    fixture_close(&s);
}

Test(load, a_curve_that_is_no_regular_file_is_refused_where_it_is_named,
     .timeout = 30)
{
    struct fixture s;
    char path[128];
    fixture_open(&s);
    fixture_write_text(&s, "scenario.yaml", FIXTURE_SMALL);
    fixture_load(&s);
    cr_expect(text_has(fixture_messages(&s), "scenario.yaml:5:29: "));
    cr_expect(text_has(fixture_messages(&s), "No such file"));

    snprintf(path, sizeof path, "%s/curve.csv", s.folder);
    cr_assert(eq(int, mkfifo(path, 0600), 0));
    s.diag.n = s.diag.n_errors = 0;
    fixture_load(&s);
    cr_expect(text_has(fixture_messages(&s), "it is no regular file"));
    fixture_close(&s);
}

Test(load, a_file_above_the_cap_is_not_read, .timeout = 30)
{
    struct fixture s;
    char path[128];
    fixture_open(&s);
    fixture_write_text(&s, "scenario.yaml", "");
    snprintf(path, sizeof path, "%s/scenario.yaml", s.folder);
    cr_assert(eq(int, truncate(path, 64L * 1024 * 1024 + 1), 0));
    fixture_load(&s);
    cr_assert(eq(int, (int)s.status, ST_IO));
    cr_assert(text_has(s.err.msg, "larger than 64 MiB"));
    fixture_close(&s);
}

Test(load, a_warning_does_not_stop_the_load, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "{pressure: 140 psig}", "{pressure: 1400 psig}");
    cr_assert(eq(int, (int)s.status, ST_OK));
    cr_assert(text_is(fixture_messages(&s),
                      "scenario.yaml:36:26: warning: wells.W-1.wellhead."
                      "pressure: \"1400 psig\" is outside the usual 20 to "
                      "1000 psig; check the value and its unit\n"));
    fixture_close(&s);
}
