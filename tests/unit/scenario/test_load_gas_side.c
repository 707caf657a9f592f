/* The way of the lift gas: casing, valves, supply line and pressure limits. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fixture.h"

#include <math.h>
#include <string.h>

#include "base/strbuf.h"
#include "support/text.h"

/* Exact definitions (NIST SP 811), at 14.696 psia. */
#define FT 0.3048
#define INCH 0.0254
#define PSI 6894.757293168
#define PSIG(p) (((p) + 14.696) * PSI)
#define MSCF_D (28.26246 / 86400.0) /* seven digits */

static const char STRING[] =
    "format: 1\n"
    "field: {name: N, date: 2026-11-25}\n"
    "lift_gas: {gravity: 0.65}\n"
    "fluids: {F: {oil_gravity: 34 API, gas_gravity: 0.78}}\n"
    "manifolds: {M: {header_pressure: 1000 psig}}\n"
    "wells:\n"
    "  W:\n"
    "    manifold: M\n"
    "    fluid: F\n"
    "    gas_oil_ratio: 450 scf/stb\n"
    "    water_cut: 50 %\n"
    "    wellhead: {pressure: 140 psig}\n"
    "    survey: [{md: 0 ft, tvd: 0 ft}, {md: 6200 ft, tvd: 6200 ft}]\n"
    "    temperature: {wellhead: 95 F, bottomhole: 180 F}\n"
    "    inflow: {model: vogel, reservoir_pressure: 2200 psig,"
    " productivity: 1.5 stb/d/psi}\n"
    "    tubing:\n"
    "      - {to: 4000 ft, inside_diameter: 2.441 in,"
    " outside_diameter: 2.875 in}\n"
    "      - {to: 6200 ft, inside_diameter: 1.995 in,"
    " outside_diameter: 2.375 in}\n"
    "    casing:\n"
    "      - {to: 3000 ft, inside_diameter: 6.366 in}\n"
    "      - {to: 6200 ft, inside_diameter: 6.276 in, roughness: 0.003 in}\n"
    "    gas_temperature: 80 F\n"
    "    casing_pressure_maximum: 1400 psig\n"
    "    supply_line: {loss: 50 psi, at: 1000 Mscf/d}\n"
    "    valves:\n"
    "      - {depth: 2000 ft, type: injection-pressure, port: 1/4 in,"
    " bellows_area: 0.77 in2, test_rack_pressure: 900 psig}\n"
    "      - {depth: 3600 ft, type: production-pressure, port: 12/64 in,"
    " bellows_area: 0.31 in2, dome_pressure: 700 psig}\n"
    "      - {depth: 4800 ft, type: dummy}\n"
    "      - {depth: 5800 ft, type: orifice, port: 16 64ths,"
    " discharge_coefficient: 0.8}\n";

/* STRING with one part exchanged. */
static void load_changed(struct fixture *s, const char *from, const char *to)
{
    fixture_open(s);
    fixture_write_text(s, "scenario.yaml",
                       fixture_exchange(&s->arena, STRING, from, to));
    fixture_load(s);
}

static bool is_near(double got, double want)
{
    return fabs(got - want) <= 3e-7 * fabs(want);
}

static bool is_section(const struct well_section *s, double to_ft,
                       double casing_in, double tubing_in, double rough_in)
{
    return is_near(s->to_md_m, to_ft * FT) &&
           is_near(s->d_m, casing_in * INCH) &&
           is_near(s->core_m, tubing_in * INCH) &&
           is_near(s->roughness_m, rough_in * INCH);
}

Test(load_gas_side, casing_and_tubing_make_the_pieces_of_the_annulus,
     .timeout = 30)
{
    struct fixture s;
    fixture_load_yaml(&s, STRING);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct well *w = s.field->well[0].model;
    const struct gas_path *g = &w->gas_path;
    cr_assert(eq(sz, g->n_sections, 3));
    cr_expect(is_section(&g->section[0], 3000, 6.366, 2.875, 0.0018));
    cr_expect(is_section(&g->section[1], 4000, 6.276, 2.875, 0.003));
    cr_expect(is_section(&g->section[2], 5800, 6.276, 2.375, 0.003));
    cr_assert(eq(sz, w->n_sections, 2));
    cr_expect(is_section(&w->section[0], 4000, 2.441, 0, 0.0018));
    cr_expect(is_section(&w->section[1], 6200, 1.995, 0, 0.0018));
    fixture_close(&s);
}

Test(load_gas_side, pressures_and_the_line_reach_the_gas_path, .timeout = 30)
{
    struct fixture s;
    fixture_load_yaml(&s, STRING);
    const struct gas_path *g = &s.field->well[0].model->gas_path;
    cr_expect(is_near(g->t_head_k, 539.67 / 1.8));
    cr_expect(is_near(g->p_header_pa, PSIG(1000)));
    cr_expect(is_near(g->p_casing_max_pa, PSIG(1400)));
    double lost = PSIG(1000) * PSIG(1000) - PSIG(950) * PSIG(950);
    double rate = 1000 * MSCF_D;
    cr_expect(is_near(sqrt(g->line_pa2_sm3s2) * rate, sqrt(lost)));
    cr_expect(isinf(s.field->well[0].lift_max_sm3s));
    fixture_close(&s);
}

Test(load_gas_side, a_line_given_by_its_size_loses_more_when_it_is_longer,
     .timeout = 30)
{
    double got[2];
    for (int i = 0; i < 2; i++) {
        struct fixture s;
        load_changed(&s, "{loss: 50 psi, at: 1000 Mscf/d}",
                     i == 0 ? "{length: 3000 ft, inside_diameter: 2.067 in}"
                            : "{length: 6000 ft, inside_diameter: 2.067 in}");
        cr_assert(text_is(fixture_messages(&s), ""));
        got[i] = s.field->well[0].model->gas_path.line_pa2_sm3s2;
        fixture_close(&s);
    }
    cr_expect(got[0] > 0);
    cr_expect(is_near(got[1], 2 * got[0]));
}

Test(load_gas_side, what_is_not_given_sets_no_limit, .timeout = 30)
{
    struct fixture s;
    load_changed(&s,
                 "    gas_temperature: 80 F\n"
                 "    casing_pressure_maximum: 1400 psig\n"
                 "    supply_line: {loss: 50 psi, at: 1000 Mscf/d}\n",
                 "");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct gas_path *g = &s.field->well[0].model->gas_path;
    cr_expect(is_near(g->t_head_k, 554.67 / 1.8));
    cr_expect(isinf(g->p_casing_max_pa) && g->line_pa2_sm3s2 == 0);
    fixture_close(&s);
    load_changed(&s, "{M: {header_pressure: 1000 psig}}", "{M: {}}");
    cr_expect(text_has(fixture_messages(&s), "supply_line"));
    fixture_close(&s);
}

Test(load_gas_side, stations_become_valves, .timeout = 30)
{
    struct fixture s;
    fixture_load_yaml(&s, STRING);
    const struct well *w = s.field->well[0].model;
    const struct valve *v = w->valve;
    cr_assert(w->n_valves == 4 && w->operating == 3);
    cr_expect(is_near(w->md_inject_m, 5800 * FT));
    cr_expect(v[0].kind == VALVE_INJECTION && v[1].kind == VALVE_PRODUCTION &&
              v[2].kind == VALVE_DUMMY && v[3].kind == VALVE_ORIFICE);
    cr_expect(is_near(v[1].md_m, 3600 * FT));
    cr_expect(is_near(v[0].port.area_m2, M_PI / 4 * 0.0625 * INCH * INCH));
    cr_expect(
        is_near(v[1].port.area_m2, M_PI / 4 * 0.1875 * 0.1875 * INCH * INCH));
    cr_expect(is_near(v[3].port.area_m2, v[0].port.area_m2));
    cr_expect(v[2].port.area_m2 == 0 && v[3].bellows_area_m2 == 0);
    cr_expect(is_near(v[0].port.discharge, 0.865));
    cr_expect(is_near(v[3].port.discharge, 0.8));
    cr_expect(is_near(v[0].bellows_area_m2, 0.77 * INCH * INCH));
    /* The force balance on the tester: the dome holds the tester's pressure
     * on the bellows less the port, and the atmosphere on the port. */
    double r = M_PI / 4 * 0.0625 / 0.77;
    cr_expect(
        is_near(v[0].p_dome_60f_pa, PSIG(900) * (1 - r) + 14.696 * PSI * r));
    cr_expect(is_near(v[1].p_dome_60f_pa, PSIG(700)));
    fixture_close(&s);
}

Test(load_gas_side, the_intended_valve_is_named_by_its_depth, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "    gas_temperature: 80 F\n",
                 "    injection_depth: 609.65 m\n"); /* 2000.2 ft */
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct well *w = s.field->well[0].model;
    cr_expect(w->operating == 0 && w->md_inject_m == w->valve[0].md_m);
    fixture_close(&s);
    load_changed(&s,
                 "type: orifice, port: 16 64ths,"
                 " discharge_coefficient: 0.8",
                 "type: dummy");
    cr_assert(text_is(fixture_messages(&s), ""));
    cr_expect(eq(sz, s.field->well[0].model->operating, 1));
    fixture_close(&s);
}

Test(load_gas_side, depths_that_part_by_rounding_are_one_place, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "{to: 6200 ft, inside_diameter: 6.276 in",
                 "{to: 1767.8 m, inside_diameter: 6.276 in"); /* 5799.9 ft */
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct well *w = s.field->well[0].model;
    cr_expect(w->gas_path.section[2].to_md_m == w->md_inject_m);
    fixture_close(&s);
}

Test(load_gas_side, an_unsteady_rate_is_allowed_by_the_field_or_the_minimum,
     .timeout = 30)
{
    static const struct {
        const char *to;
        bool want;
    } ROWS[] = {
        {"wells:\n", false},
        {"limits: {unsteady: forbid}\nwells:\n", false},
        {"limits: {unsteady: allow}\nwells:\n", true},
    };
    struct fixture s;
    for (size_t i = 0; i < 3; i++) {
        load_changed(&s, "wells:\n", ROWS[i].to);
        cr_expect(s.field->limits.allow_unsteady == ROWS[i].want, "row %zu", i);
        cr_expect(s.field->well[0].model->gas_path.allow_unsteady ==
                      ROWS[i].want,
                  "row %zu", i);
        fixture_close(&s);
    }
    load_changed(&s, "    gas_temperature: 80 F\n",
                 "    lift_gas: {minimum: 300 Mscf/d}\n");
    cr_expect(s.field->well[0].model->gas_path.allow_unsteady);
    cr_expect(is_near(s.field->well[0].lift_min_sm3s, 300 * MSCF_D));
    fixture_close(&s);
}

#define SHUT                                                     \
    "; check the valve's pressure, the header pressure and the " \
    "annulus limit\n"

/* By hand: at 2,000 ft the gas has 112 F, so the dome has 1.11 times its
 * pressure at 60 F (1 / 0.901 in the trade's tables, from memory); and the
 * casing has some 52 psi more than the header: 0.0188 psi/ft x 0.65 x 1040 psia
 * / (z 0.87 x 560 R) makes 0.026 psi/ft. The dome of a valve tested at 1020
 * psig then has 1061 psig, of one at 990 psig 1030 psig, against 1052 psig. */
Test(load_gas_side, a_valve_that_never_opens_is_told, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, "test_rack_pressure: 900", "test_rack_pressure: 990");
    cr_expect(text_is(fixture_messages(&s), ""));
    fixture_close(&s);

    load_changed(&s, "test_rack_pressure: 900", "test_rack_pressure: 1020");
    cr_expect(eq(int, (int)s.status, ST_OK));
    cr_expect(text_has(fixture_messages(&s),
                       "scenario.yaml:26:9: warning: wells.W.valves[1]: the "
                       "valve never opens: at its depth the dome has 10"));
    cr_expect(text_has(fixture_messages(&s), " psig and the casing 105"));
    cr_expect(text_has(fixture_messages(&s), SHUT));
    fixture_close(&s);

    load_changed(&s, "dome_pressure: 700", "dome_pressure: 1050");
    cr_expect(text_has(fixture_messages(&s), "warning: wells.W.valves[2]: the "
                                             "valve never opens"));
    fixture_close(&s);

    load_changed(&s,
                 "type: orifice, port: 16 64ths,"
                 " discharge_coefficient: 0.8",
                 "type: injection-pressure, port: 1/4 in, "
                 "bellows_area: 0.77 in2, test_rack_pressure: 1100 psig");
    /* A well that gets no gas today is no reason to refuse the others. */
    cr_expect(eq(int, (int)s.status, ST_OK));
    cr_expect(text_has(fixture_messages(&s),
                       "scenario.yaml:29:9: warning: wells.W.valves[4]: the "
                       "valve never"));
    fixture_close(&s);
}

Test(load_gas_side, kick_off_gas_opens_upper_valves, .timeout = 30)
{
    struct fixture s;
    fixture_open(&s);
    const char *high =
        fixture_exchange(&s.arena, STRING, "test_rack_pressure: 900",
                         "test_rack_pressure: 1050");
    fixture_write_text(
        &s, "scenario.yaml",
        fixture_exchange(&s.arena, high, "    gas_temperature: 80 F\n",
                         "    kill: {kickoff_pressure: 1350 psig}\n"));
    fixture_load(&s);
    cr_expect(text_is(fixture_messages(&s), ""));
    fixture_close(&s);
}

Test(load_gas_side, what_does_not_fit_together_is_refused_at_its_place,
     .timeout = 30)
{
    static const struct {
        const char *from, *to, *want;
    } ROWS[] = {
        /* valves */
        {"port: 1/4 in", "port: 1 in",
         "scenario.yaml:26:78: wells.W.valves[1].bellows_area: the bellows is "
         "not larger than the port; check the bellows' area and the port's "
         "diameter\n"},
        {"port: 1/4 in, ", "",
         "scenario.yaml:26:9: wells.W.valves[1]: key port is missing; gas goes "
         "through it\n"},
        {"bellows_area: 0.77 in2, ", "",
         "scenario.yaml:26:9: wells.W.valves[1]: key bellows_area is missing; "
         "a bellows valve opens by it\n"},
        {", test_rack_pressure: 900 psig", "",
         "scenario.yaml:26:9: wells.W.valves[1]: neither test_rack_pressure "
         "nor dome_pressure; a bellows valve needs exactly one of them\n"},
        {"test_rack_pressure: 900 psig",
         "test_rack_pressure: 900 psig, dome_pressure: 850 psig",
         "scenario.yaml:26:9: wells.W.valves[1]: test_rack_pressure and "
         "dome_pressure are both given; a bellows valve needs exactly one of "
         "them\n"},
        {"depth: 3600 ft", "depth: 1900 ft",
         "scenario.yaml:27:9: wells.W.valves[2]: depth does not rise from "
         "valve to valve; sort the valves from the wellhead down\n"},
        {"depth: 3600 ft", "depth: 2000 ft",
         "scenario.yaml:27:9: wells.W.valves[2]: depth does not rise from "
         "valve to valve; sort the valves from the wellhead down\n"},
        {"depth: 5800 ft", "depth: 6300 ft",
         "scenario.yaml:29:9: wells.W.valves[4]: the valve is below the end of "
         "the survey; check both depths\n"},
        {"type: dummy}", "type: dummy, port: 1/4 in}",
         "scenario.yaml:28:45: wells.W.valves[3].port: a dummy has none; "
         "delete this key, or correct the type\n"},
        {"type: dummy}", "type: dummy, bellows_area: 0.31 in2}",
         "scenario.yaml:28:53: wells.W.valves[3].bellows_area: a dummy has "
         "none; delete this key, or correct the type\n"},
        {"discharge_coefficient: 0.8}", "test_rack_pressure: 900 psig}",
         "scenario.yaml:29:77: wells.W.valves[4].test_rack_pressure: an "
         "orifice has none; delete this key, or correct the type\n"},
        {"discharge_coefficient: 0.8}", "dome_pressure: 900 psig}",
         "scenario.yaml:29:72: wells.W.valves[4].dome_pressure: an orifice has "
         "none; delete this key, or correct the type\n"},
        {"    gas_temperature: 80 F\n", "    injection_depth: 4800 ft\n",
         "scenario.yaml:22:22: wells.W.injection_depth: a dummy is at this "
         "depth; give the depth of a valve that passes gas\n"},
        {"    gas_temperature: 80 F\n", "    injection_depth: 5000 ft\n",
         "scenario.yaml:22:22: wells.W.injection_depth: no valve is at this "
         "depth; give the depth of one of the valves\n"},
        /* casing */
        {", outside_diameter: 2.375 in", "",
         "scenario.yaml:17:7: wells.W.tubing: casing is given and the tubing "
         "in it has no outside_diameter; give it for every piece above where "
         "the gas enters\n"},
        {"outside_diameter: 2.375 in", "outside_diameter: 1.995 in",
         "scenario.yaml:18:9: wells.W.tubing[2]: the outside diameter is not "
         "above the inside one; check both\n"},
        {"inside_diameter: 6.276 in", "inside_diameter: 2.875 in",
         "scenario.yaml:20:7: wells.W.casing: the casing is not wider inside "
         "than the tubing is outside; check both diameters\n"},
        {"{to: 6200 ft, inside_diameter: 6.276",
         "{to: 5700 ft, inside_diameter: 6.276",
         "scenario.yaml:20:7: wells.W.casing: the casing ends above where the "
         "gas enters; give it down to there at least\n"},
        {"{to: 3000 ft", "{to: 6200 ft",
         "scenario.yaml:21:9: wells.W.casing[2]: depth does not rise from "
         "piece to piece; sort the pieces from the wellhead down\n"},
        /* supply line */
        {"{M: {header_pressure: 1000 psig}}", "{M: {}}",
         "scenario.yaml:24:18: wells.W.supply_line: the manifold has no "
         "header_pressure; give it: the loss in the line counts from it\n"},
        {"loss: 50 psi", "loss: 1014.7 psi",
         "scenario.yaml:24:25: wells.W.supply_line.loss: the loss is not below "
         "the header pressure; check both pressures\n"},
        {", at: 1000 Mscf/d", "",
         "scenario.yaml:24:18: wells.W.supply_line: key at is missing; a loss "
         "belongs to a rate\n"},
        {"loss: 50 psi, ", "",
         "scenario.yaml:24:18: wells.W.supply_line: key loss is missing; a "
         "measured loss has both\n"},
        {"{loss: 50 psi, at: 1000 Mscf/d}", "{length: 3000 ft}",
         "scenario.yaml:24:18: wells.W.supply_line: key inside_diameter is "
         "missing; or give loss and at\n"},
        {"{loss: 50 psi, at: 1000 Mscf/d}", "{inside_diameter: 2 in}",
         "scenario.yaml:24:18: wells.W.supply_line: key length is missing; or "
         "give loss and at\n"},
        {"{loss: 50 psi, ", "{length: 3000 ft, loss: 50 psi, ",
         "scenario.yaml:24:18: wells.W.supply_line: the line is given twice; "
         "give length and inside_diameter, or loss and at\n"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct fixture s;
        load_changed(&s, ROWS[i].from, ROWS[i].to);
        cr_expect(eq(int, (int)s.status, ST_INPUT), "row %zu", i);
        cr_expect(text_has(fixture_messages(&s), ROWS[i].want));
        cr_expect(eq(sz, s.diag.n_errors, 1), "row %zu: %s", i,
                  fixture_messages(&s));
        fixture_close(&s);
    }
}

/* A list without any valve, and one too long, have their own texts. */
static void load_valves(struct fixture *s, const char *list)
{
    fixture_open(s);
    const char *end = strstr(STRING, "    valves:\n");
    fixture_write_text(s, "scenario.yaml",
                       arena_printf(&s->arena, "%.*s    valves: %s\n",
                                    (int)(end - STRING), STRING, list));
    fixture_load(s);
}

Test(load_gas_side, the_number_of_valves_has_its_limits, .timeout = 30)
{
    struct fixture s;
    load_valves(&s, "[]");
    cr_expect(text_is(fixture_messages(&s),
                      "scenario.yaml:25:13: wells.W.valves: no valve; give the "
                      "stations that can pass gas\n"));
    fixture_close(&s);
    load_valves(&s, "[{depth: 5000 ft, type: dummy}]");
    cr_expect(
        text_is(fixture_messages(&s),
                "scenario.yaml:25:13: wells.W.valves: no gas gets through "
                "dummies; give the valve that is meant to pass the gas\n"));
    fixture_close(&s);
    for (int n = 16; n <= 17; n++) {
        struct strbuf list;
        struct arena a;
        arena_init(&a);
        strbuf_init(&list, &a);
        for (int i = 0; i < n; i++)
            strbuf_addf(&list, "%c{depth: %d ft, type: orifice, port: 1/4 in}",
                        i == 0 ? '[' : ',', 1000 + 100 * i);
        strbuf_add(&list, "]");
        load_valves(&s, list.text);
        cr_expect(text_is(
            fixture_messages(&s),
            n == 16
                ? ""
                : "scenario.yaml:25:13: wells.W.valves: more valves than the "
                  "program takes (16); give the stations that can pass gas\n"));
        fixture_close(&s);
        arena_release(&a);
    }
}

Test(load_gas_side, without_casing_there_is_no_way_to_the_valves, .timeout = 30)
{
    struct fixture s;
    load_changed(&s,
                 "    casing:\n"
                 "      - {to: 3000 ft, inside_diameter: 6.366 in}\n"
                 "      - {to: 6200 ft, inside_diameter: 6.276 in,"
                 " roughness: 0.003 in}\n",
                 "");
    cr_expect(text_is(fixture_messages(&s),
                      "scenario.yaml:23:7: wells.W.valves: valves without "
                      "casing; give casing and the tubing's outside_diameter: "
                      "the gas goes down between them\n"));
    fixture_close(&s);
}

Test(load_gas_side, a_path_has_at_least_two_rows_and_its_pipes_one,
     .timeout = 30)
{
    static const struct {
        const char *from, *to, *want;
    } ROWS[] = {
        {"{md: 0 ft, tvd: 0 ft}, ", "",
         "scenario.yaml:13:13: wells.W.survey: fewer than 2 rows; give the "
         "wellhead and the perforations\n"},
        {"    casing:\n"
         "      - {to: 3000 ft, inside_diameter: 6.366 in}\n"
         "      - {to: 6200 ft, inside_diameter: 6.276 in,"
         " roughness: 0.003 in}\n",
         "    casing: []\n",
         "scenario.yaml:19:13: wells.W.casing: no piece of casing; give at "
         "least one\n"},
        {"    tubing:\n"
         "      - {to: 4000 ft, inside_diameter: 2.441 in,"
         " outside_diameter: 2.875 in}\n"
         "      - {to: 6200 ft, inside_diameter: 1.995 in,"
         " outside_diameter: 2.375 in}\n",
         "    tubing: []\n",
         "scenario.yaml:16:13: wells.W.tubing: no piece of tubing; give at "
         "least one\n"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct fixture s;
        load_changed(&s, ROWS[i].from, ROWS[i].to);
        cr_expect(eq(int, (int)s.status, ST_INPUT), "row %zu", i);
        cr_expect(text_is(fixture_messages(&s), ROWS[i].want));
        fixture_close(&s);
    }
}

Test(load_gas_side, without_valves_the_depth_of_the_gas_is_asked_for,
     .timeout = 30)
{
    struct fixture s;
    fixture_open(&s);
    const char *end = strstr(STRING, "    valves:\n");
    fixture_write_text(
        &s, "scenario.yaml",
        arena_printf(&s.arena, "%.*s", (int)(end - STRING), STRING));
    fixture_load(&s);
    cr_expect(text_has(fixture_messages(&s),
                       "scenario.yaml:8:5: wells.W: key injection_depth is "
                       "missing; the lift gas enters there, unless valves are "
                       "given\n"));
    fixture_close(&s);
}
