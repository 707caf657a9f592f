/* Wells that are not continuously lifted, and killed ones. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fixture.h"

#include <math.h>
#include <string.h>

#include "support/text.h"

/* Exact definitions (NIST SP 811), at 14.696 psia. */
#define FT 0.3048
#define INCH 0.0254
#define PSI 6894.757293168
#define PSIG(p) (((p) + 14.696) * PSI)
#define BBL 0.158987294928
#define MSCF_D (28.26246 / 86400.0) /* seven digits */

#define HEAD                               \
    "format: 1\n"                          \
    "field: {name: N, date: 2026-11-25}\n" \
    "lift_gas: {gravity: 0.65}\n"          \
    "fluids: {F: {oil_gravity: 34 API, gas_gravity: 0.78}}\n"
#define HEADER "manifolds: {M: {header_pressure: 1000 psig}, P: {}}\n"
#define BODY                                                             \
    "    manifold: M\n"                                                  \
    "    fluid: F\n"                                                     \
    "    gas_oil_ratio: 450 scf/stb\n"                                   \
    "    water_cut: 50 %\n"                                              \
    "    wellhead: {pressure: 140 psig}\n"                               \
    "    survey: [{md: 0 ft, tvd: 0 ft}, {md: 6200 ft, tvd: 6200 ft}]\n" \
    "    temperature: {wellhead: 95 F, bottomhole: 180 F}\n"             \
    "    inflow: {model: vogel, reservoir_pressure: 2200 psig,"          \
    " productivity: 1.5 stb/d/psi}\n"
#define TUBING                                              \
    "    tubing: [{to: 6200 ft, inside_diameter: 1.995 in," \
    " outside_diameter: 2.375 in}]\n"
#define CASING "    casing: [{to: 6200 ft, inside_diameter: 8.681 in}]\n"
#define VALVE "    valves: [{depth: 5800 ft, type: orifice, port: 1/4 in}]\n"

static const char ANNULAR[] =
    HEAD HEADER "wells:\n"
                "  W:\n"
                "    kind: annular\n" BODY
                "    tubing: [{to: 4000 ft, inside_diameter: 2.441 in,"
                " outside_diameter: 2.875 in}, {to: 5600 ft,"
                " inside_diameter: 1.995 in, outside_diameter: 2.375 in}]\n"
                "    casing: [{to: 5800 ft, inside_diameter: 6.366 in},"
                " {to: 6200 ft, inside_diameter: 4.494 in}]\n"
                "    injection_depth: 5500 ft\n"
                "    lift_gas: {maximum: 2000 Mscf/d}\n";

static const char DUAL[] =
    HEAD HEADER "wells:\n"
                "  A:\n"
                "    manifold: P\n"
                "    curve: curve.csv\n"
                "  S:\n"
                "    kind: dual\n"
                "    partner: L\n" BODY TUBING CASING VALVE
                "    lift_gas: {minimum: 300 Mscf/d}\n"
                "  L:\n"
                "    kind: dual\n"
                "    partner: S\n" BODY TUBING CASING VALVE "  Z:\n"
                "    manifold: P\n"
                "    curve: curve.csv\n";

static const char INTERMITTENT[] = HEAD HEADER
    "wells:\n"
    "  W:\n"
    "    kind: intermittent\n" BODY TUBING "    injection_depth: 5800 ft\n"
    "    intermitter: {gas_rate_open: 2200 Mscf/d,"
    " casing_pressure: 700 psig}\n"
    "    lift_gas: {maximum: 400 Mscf/d}\n";

static const char PUMPED[] =
    HEAD HEADER "wells:\n"
                "  W:\n"
                "    kind: pumped\n"
                "    manifold: M\n"
                "    output: {oil: 100 stb/d, water: 300 stb/d,"
                " formation_gas: 40 Mscf/d}\n";

static const char KILLED[] =
    HEAD HEADER "wells:\n"
                "  W:\n" BODY TUBING CASING VALVE "    kill: {}\n";

/* text with one part exchanged; from NULL: none. */
static void load_changed(struct fixture *s, const char *text, const char *from,
                         const char *to)
{
    fixture_open(s);
    if (from != NULL)
        text = fixture_exchange(&s->arena, text, from, to);
    fixture_write_text(s, "scenario.yaml", text);
    fixture_write_text(s, "curve.csv", FIXTURE_CURVE);
    fixture_load(s);
}

static bool is_near(double got, double want)
{
    return fabs(got - want) <= 3e-7 * fabs(want);
}

static bool is_section(const struct well_section *s, double to_ft, double d_in,
                       double core_in)
{
    return is_near(s->to_md_m, to_ft * FT) && is_near(s->d_m, d_in * INCH) &&
           is_near(s->core_m, core_in * INCH);
}

/* --- annular -------------------------------------------------------------- */

Test(load_kinds, an_annular_well_flows_around_its_tubing_and_below_it,
     .timeout = 30)
{
    struct fixture s;
    load_changed(&s, ANNULAR, NULL, NULL);
    cr_assert(text_is(fixture_messages(&s), ""));
    cr_expect(eq(int, (int)s.field->well[0].kind, KIND_ANNULAR));
    const struct well *w = s.field->well[0].model;
    cr_assert(eq(sz, w->n_sections, 4));
    cr_expect(is_section(&w->section[0], 4000, 6.366, 2.875));
    cr_expect(is_section(&w->section[1], 5600, 6.366, 2.375));
    cr_expect(is_section(&w->section[2], 5800, 6.366, 0));
    cr_expect(is_section(&w->section[3], 6200, 4.494, 0));
    const struct gas_path *g = &w->gas_path;
    cr_assert(eq(sz, g->n_sections, 2));
    cr_expect(is_section(&g->section[0], 4000, 2.441, 0));
    cr_expect(is_section(&g->section[1], 5600, 1.995, 0));
    cr_expect(is_near(w->md_inject_m, 5500 * FT));
    cr_expect(eq(int, (int)w->gradient, GRADIENT_DRIFT_FLUX));
    fixture_close(&s);
}

Test(load_kinds, casing_pieces_beside_the_tubing_are_in_the_annulus_alone,
     .timeout = 30)
{
    struct fixture s;
    load_changed(&s, ANNULAR, "casing: [",
                 "casing: [{to: 3000 ft, inside_diameter: 6.456 in}, ");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct well *w = s.field->well[0].model;
    cr_assert(eq(sz, w->n_sections, 5));
    cr_expect(is_section(&w->section[0], 3000, 6.456, 2.875));
    cr_expect(is_section(&w->section[1], 4000, 6.366, 2.875));
    cr_expect(is_section(&w->section[2], 5600, 6.366, 2.375));
    cr_expect(is_section(&w->section[3], 5800, 6.366, 0));
    cr_expect(is_section(&w->section[4], 6200, 4.494, 0));
    fixture_close(&s);
}

Test(load_kinds, gas_may_leave_at_the_very_end_of_the_tubing, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, ANNULAR, "injection_depth: 5500 ft",
                 "injection_depth: 1706.9 m"); /* 5600.07 ft */
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct well *w = s.field->well[0].model;
    cr_expect(w->gas_path.section[1].to_md_m == w->md_inject_m);
    cr_expect(w->section[1].to_md_m == w->md_inject_m);
    fixture_close(&s);
}

Test(load_kinds, an_annular_well_takes_the_gradient_it_is_given, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, ANNULAR, "    injection",
                 "    gradient: beggs-brill\n    injection");
    cr_assert(text_is(fixture_messages(&s), ""));
    cr_expect(
        eq(int, (int)s.field->well[0].model->gradient, GRADIENT_BEGGS_BRILL));
    fixture_close(&s);
}

/* --- dual ----------------------------------------------------------------- */

Test(load_kinds, a_pair_is_one_well_with_a_second, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, DUAL, NULL, NULL);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field *f = s.field;
    cr_assert(eq(sz, f->n_wells, 3));
    cr_expect(text_is(f->well[0].name, "A") && text_is(f->well[2].name, "Z"));
    const struct field_well *w = &f->well[1];
    cr_expect(text_is(w->name, "S"));
    cr_expect(is_near(w->lift_min_sm3s, 300 * MSCF_D));
    cr_assert(w->second != NULL && f->well[0].second == NULL);
    cr_expect(text_is(w->second->name, "L"));
    cr_expect(text_is(w->second->model->name, "L"));
    cr_expect(w->second->model->fluid.lift_gas.p_pc_pa > 0); /* prepared */
    cr_expect(is_near(w->second->model->gas_path.p_header_pa, PSIG(1000)));
    /* The minimum of the pair is that of both. */
    cr_expect(w->model->gas_path.allow_unsteady);
    cr_expect(w->second->model->gas_path.allow_unsteady);
    fixture_close(&s);
}

Test(load_kinds, each_string_has_its_own_tests_and_reading, .timeout = 30)
{
    struct fixture s;
    fixture_open(&s);
    fixture_write_text(&s, "scenario.yaml", DUAL);
    fixture_write_text(&s, "curve.csv", FIXTURE_CURVE);
    fixture_write_text(&s, "tests.csv",
                       "well,date,liquid (stb/d)\n"
                       "L,2026-10-02,400\nS,2026-10-03,500\n"
                       "L,2026-10-04,450\n");
    fixture_write_text(&s, "readings.csv",
                       "well,lift gas (Mscf/d),tubing pressure (psig)\n"
                       "S,900,150\nL,,120\n");
    fixture_load(&s);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field_well *w = &s.field->well[1];
    cr_expect(w->n_tests == 1 && w->second->n_tests == 2);
    cr_expect(is_near(w->reading.lift_sm3s, 900 * MSCF_D));
    cr_expect(is_near(w->second->reading.p_tubing_pa, PSIG(120)));
    fixture_close(&s);
}

Test(load_kinds, the_gas_of_a_pair_is_read_in_one_row, .timeout = 30)
{
    struct fixture s;
    fixture_open(&s);
    fixture_write_text(&s, "scenario.yaml", DUAL);
    fixture_write_text(&s, "curve.csv", FIXTURE_CURVE);
    fixture_write_text(&s, "readings.csv",
                       "well,lift gas (Mscf/d)\nS,900\nL,400\n");
    fixture_load(&s);
    cr_expect(text_is(fixture_messages(&s),
                      "readings.csv:3:1: L: the lift gas of both strings "
                      "stands in the row of S; leave it empty in this row\n"));
    fixture_close(&s);
}

/* --- intermittent --------------------------------------------------------- */

Test(load_kinds, the_keys_of_the_intermitter_arrive, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, INTERMITTENT, ", casing_pressure: 700 psig",
                 ", casing_pressure: 700 psig, open_time: 12 min,"
                 " fallback_per_1000ft: 5 %, slug_velocity: 900 ft/min,"
                 " cycle_per_1000ft: 4 min");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct intermittent *m = s.field->well[0].intermitter;
    cr_expect(is_near(m->draw_sm3s, 2200 * MSCF_D));
    cr_expect(is_near(m->p_casing_pa, PSIG(700)));
    cr_expect(is_near(m->open_s, 720));
    cr_expect(is_near(m->fallback_per_m, 0.05 / (1000 * FT)));
    cr_expect(is_near(m->slug_ms, 900 * FT / 60));
    cr_expect(is_near(m->cycle_sm, 240 / (1000 * FT)));
    fixture_close(&s);
}

Test(load_kinds, an_intermitter_has_the_usual_values, .timeout = 30)
{
    /* Common practice, no source: 6 % and 3 min per 1,000 ft, 1,000 ft/min. */
    struct fixture s;
    load_changed(&s, INTERMITTENT, NULL, NULL);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct intermittent *m = s.field->well[0].intermitter;
    cr_expect(m->open_s == 0);
    cr_expect(is_near(m->fallback_per_m, 0.06 / (1000 * FT)));
    cr_expect(is_near(m->slug_ms, 1000 * FT / 60));
    cr_expect(is_near(m->cycle_sm, 180 / (1000 * FT)));
    cr_expect(is_near(s.field->well[0].lift_max_sm3s, 400 * MSCF_D));
    fixture_close(&s);
}

Test(load_kinds, header_and_casing_give_an_intermitter_its_pressure,
     .timeout = 30)
{
    struct fixture s;
    load_changed(&s, INTERMITTENT,
                 "    intermitter: {gas_rate_open: 2200 Mscf/d,"
                 " casing_pressure: 700 psig}\n",
                 CASING "    intermitter: {gas_rate_open: 2200 Mscf/d}\n");
    cr_assert(text_is(fixture_messages(&s), ""));
    cr_expect(s.field->well[0].intermitter->p_casing_pa == 0);
    fixture_close(&s);
}

/* --- pumped --------------------------------------------------------------- */

Test(load_kinds, a_pumped_well_is_one_point_without_gas, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, PUMPED, NULL, NULL);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field_well *w = &s.field->well[0];
    cr_assert(w->model == NULL && w->table != NULL);
    cr_expect(w->lift_min_sm3s == 0 && w->lift_max_sm3s == 0);
    cr_expect(not(w->may_stop));
    const struct curve *c = w->table;
    cr_assert(c->n == 1 && c->gas_sm3s[0] == 0 && c->gas_max_sm3s == 0);
    cr_expect(is_near(c->oil_sm3s[0], 100 * BBL / 86400));
    cr_expect(is_near(c->water_sm3s[0], 300 * BBL / 86400));
    cr_expect(is_near(c->formation_sm3s[0], 40 * MSCF_D));
    cr_expect(curve_flows_alone(c));
    fixture_close(&s);
}

Test(load_kinds, a_pump_may_lift_only_oil, .timeout = 30)
{
    struct fixture s;
    load_changed(&s, PUMPED, ", water: 300 stb/d, formation_gas: 40 Mscf/d",
                 "");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct curve *c = s.field->well[0].table;
    cr_expect(c->water_sm3s[0] == 0 && c->formation_sm3s[0] == 0);
    fixture_close(&s);
}

/* --- kill ----------------------------------------------------------------- */

Test(load_kinds, what_a_well_is_killed_with_arrives, .timeout = 30)
{
    struct fixture s;
    load_changed(
        &s, KILLED, "kill: {}",
        "kill: {density: 9 lb/gal, level: 900 ft, kickoff_pressure: 1200 psig,"
        " liquid_through_valves: 1000 bbl/d}");
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct unload_spec *k = &s.field->well[0].kill;
    /* NIST SP 811: 1 lb/gal is 119.8264 kg/m3. */
    cr_expect(is_near(k->rho_kgm3, 9 * 119.8264));
    cr_expect(is_near(k->p_kickoff_pa, PSIG(1200)));
    cr_expect(is_near(k->level_m, 900 * FT));
    cr_expect(is_near(k->liquid_m3s, 1000 * BBL / 86400));
    fixture_close(&s);
    load_changed(&s, KILLED, NULL, NULL);
    k = &s.field->well[0].kill;
    cr_expect(is_near(k->rho_kgm3, 8.8 * 119.8264));
    cr_expect(k->p_kickoff_pa == 0 && k->level_m == 0);
    cr_expect(is_near(k->liquid_m3s, BBL / 60));
    fixture_close(&s);
}

/* --- faults --------------------------------------------------------------- */

Test(load_kinds, what_does_not_fit_the_kind_is_refused_at_its_place,
     .timeout = 60)
{
    static const struct {
        const char *text, *from, *to, *want;
        size_t n_more; /* errors that follow from the first */
    } ROWS[] = {
        {KILLED, "  W:\n", "  W:\n    kind: dul\n",
         "scenario.yaml:8:11: wells.W.kind: \"dul\" is not one of the choices; "
         "write one of: continuous, annular, intermittent, dual, pumped\n"},
        /* annular */
        {ANNULAR, "inside_diameter: 6.366 in", "inside_diameter: 2.875 in",
         "scenario.yaml:18:13: wells.W.casing: the casing is not wider inside "
         "than the tubing is outside; check both diameters\n"},
        {ANNULAR, "injection_depth: 5500 ft", "injection_depth: 5700 ft",
         "scenario.yaml:17:13: wells.W.tubing: the tubing ends above where the "
         "gas leaves it; check both depths\n"},
        {ANNULAR, "{to: 5600 ft,", "{to: 6300 ft,",
         "scenario.yaml:17:13: wells.W.tubing: the tubing ends below the "
         "survey; check both depths\n"},
        {ANNULAR, "{to: 6200 ft,", "{to: 6100 ft,",
         "scenario.yaml:18:13: wells.W.casing: the last piece does not end "
         "where the survey ends; let its to be the last md of the survey\n"},
        {ANNULAR,
         "    casing: [{to: 5800 ft, inside_diameter: 6.366 in},"
         " {to: 6200 ft, inside_diameter: 4.494 in}]\n",
         "",
         "scenario.yaml:8:5: wells.W: key casing is missing; the production "
         "comes up in it\n"},
        {ANNULAR, "    lift_gas: {maximum: 2000 Mscf/d}\n", "",
         "scenario.yaml:8:5: wells.W: key maximum of lift_gas is missing; a "
         "model's curve ends there, unless valves and a header pressure or "
         "annulus limit end it\n"},
        /* dual */
        {DUAL, "    partner: L\n", "",
         "scenario.yaml:11:5: wells.S: key partner is missing; a well of kind "
         "dual has it\nscenario.yaml:26:14: wells.L.partner: the partner does "
         "not name this well; two strings share an annulus: let each name the "
         "other\n",
         1},
        {DUAL, "partner: L", "partner: M",
         "scenario.yaml:12:14: wells.S.partner: there is no well \"M\"; did "
         "you mean \"A\"?\nscenario.yaml:27:14: wells.L.partner: the partner "
         "does not name this well; two strings share an annulus: let each name "
         "the other\n",
         1},
        {DUAL, "partner: L", "partner: S",
         "scenario.yaml:12:14: wells.S.partner: a well is not its own partner; "
         "two strings share an annulus: let each name the "
         "other\nscenario.yaml:27:14: wells.L.partner: the partner does not "
         "name this well; two strings share an annulus: let each name the "
         "other\n",
         1},
        {DUAL, "partner: L", "partner: A",
         "scenario.yaml:12:14: wells.S.partner: the partner does not name this "
         "well; two strings share an annulus: let each name the "
         "other\nscenario.yaml:27:14: wells.L.partner: the partner does not "
         "name this well; two strings share an annulus: let each name the "
         "other\n",
         1},
        {DUAL, "    kind: dual\n    partner: L\n", "    partner: L\n",
         "scenario.yaml:11:14: wells.S.partner: only a well of kind dual has "
         "it; delete this key, or correct kind\n"},
        {DUAL, "partner: S\n", "partner: S\n    may_shut: yes\n",
         "scenario.yaml:28:15: wells.L.may_shut: well S, named before, has "
         "this key for both strings; delete it here\n"},
        {DUAL, "  Z:\n", "  Z:\n    runs_with: L\n",
         "scenario.yaml:40:16: wells.Z.runs_with: it is the second string of "
         "a dual; name S, which stands for both\n"},
        {DUAL, "partner: S\n    manifold: M", "partner: S\n    manifold: P",
         "scenario.yaml:28:15: wells.L.manifold: the partner has another "
         "manifold; one annulus is fed from one manifold\n"},
        {DUAL, "  Z:\n", "    lift_gas: {maximum: 500 Mscf/d}\n  Z:\n",
         "scenario.yaml:39:15: wells.L.lift_gas: well S, named before, has the "
         "gas of both strings; delete this section; the valves divide the "
         "gas\n"},
        {DUAL, VALVE "    lift_gas: {minimum: 300 Mscf/d}\n",
         "    injection_depth: 5800 ft\n"
         "    lift_gas: {maximum: 900 Mscf/d}\n",
         "scenario.yaml:11:5: wells.S: key valves is missing; they divide the "
         "gas of the annulus between the strings\n"},
        /* intermittent */
        {INTERMITTENT,
         "    intermitter: {gas_rate_open: 2200 Mscf/d,"
         " casing_pressure: 700 psig}\n",
         "",
         "scenario.yaml:8:5: wells.W: key intermitter is missing; a well of "
         "kind intermittent has it\n"},
        {INTERMITTENT, "gas_rate_open: 2200 Mscf/d, ", "",
         "scenario.yaml:19:5: wells.W.intermitter: key gas_rate_open is "
         "missing (What it draws from the header while open); add it\n"},
        {INTERMITTENT, ", casing_pressure: 700 psig", "",
         "scenario.yaml:19:18: wells.W.intermitter: no casing pressure is "
         "known; give casing_pressure here; or casing, and a header or annulus "
         "pressure\n"},
        {INTERMITTENT, "    kind: intermittent\n", "",
         "scenario.yaml:18:18: wells.W.intermitter: only a well of kind "
         "intermittent has it; delete this key, or correct kind\n"},
        {INTERMITTENT, "    lift_gas: {maximum: 400 Mscf/d}\n", "",
         "scenario.yaml:8:5: wells.W: key maximum of lift_gas is missing; the "
         "curve of an intermittent well ends there\n"},
        {INTERMITTENT, "    lift_gas: {maximum: 400 Mscf/d}\n", CASING VALVE,
         "scenario.yaml:8:5: wells.W: key maximum of lift_gas is missing; the "
         "curve of an intermittent well ends there\n"},
        /* pumped */
        {PUMPED, "    kind: pumped\n", "",
         "scenario.yaml:9:13: wells.W.output: only a well of kind pumped has "
         "it; delete this key, or correct kind\n"},
        {PUMPED, "oil: 100 stb/d, ", "",
         "scenario.yaml:10:5: wells.W.output: key oil is missing (Stock-tank "
         "oil); add it\n"},
        {PUMPED, "    manifold: M\n", "    manifold: M\n    water_cut: 20 %\n",
         "scenario.yaml:10:16: wells.W.water_cut: a pumped well has only its "
         "output; delete this key, or correct kind\n"},
        {PUMPED, "    manifold: M\n",
         "    manifold: M\n    lift_gas: {maximum: 500 Mscf/d}\n",
         "scenario.yaml:10:15: wells.W.lift_gas: a pumped well has only its "
         "output; delete this key, or correct kind\n"},
        {PUMPED, "    manifold: M\n",
         "    manifold: M\n    match: productivity\n",
         "scenario.yaml:10:12: wells.W.match: a pumped well has only its "
         "output; delete this key, or correct kind\n"},
        {PUMPED, "    manifold: M\n", "    manifold: M\n    curve: curve.csv\n",
         "scenario.yaml:8:11: wells.W.kind: a well with a measured curve has "
         "no kind; delete this key, or the curve\n"},
        {DUAL, "  A:\n", "  A:\n    kind: annular\n",
         "scenario.yaml:8:11: wells.A.kind: a well with a measured curve has "
         "no kind; delete this key, or the curve\n"},
        {DUAL, "  A:\n", "  A:\n    kill: {}\n",
         "scenario.yaml:8:11: wells.A.kill: a well with a measured curve has "
         "no model; delete this key, or the curve\n"},
        /* kill */
        {KILLED, VALVE,
         "    injection_depth: 5800 ft\n"
         "    lift_gas: {maximum: 500 Mscf/d}\n",
         "scenario.yaml:8:5: wells.W: key valves is missing; they are what "
         "unloads the well\n"},
        {KILLED, "kill: {}", "kill: {density: 12 lb/gal}",
         "scenario.yaml:19:21: wells.W.kill.density: \"12 lb/gal\" is outside "
         "the allowed 8.02 to 10 lb/gal; check the value and its unit\n"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct fixture s;
        load_changed(&s, ROWS[i].text, ROWS[i].from, ROWS[i].to);
        cr_expect(eq(int, (int)s.status, ST_INPUT), "row %zu", i);
        cr_expect(text_has(fixture_messages(&s), ROWS[i].want));
        cr_expect(eq(sz, s.diag.n_errors, 1 + ROWS[i].n_more), "row %zu: %s", i,
                  fixture_messages(&s));
        fixture_close(&s);
    }
}

/* Only that it is answered: what a missing line means differs. */
Test(load_kinds, without_any_one_line_a_text_is_taken_or_refused, .timeout = 60)
{
    static const char *const TEXTS[] = {ANNULAR, DUAL, INTERMITTENT, PUMPED,
                                        KILLED};
    for (size_t i = 0; i < sizeof TEXTS / sizeof TEXTS[0]; i++)
        for (const char *line = TEXTS[i]; *line != '\0';) {
            const char *next = strchr(line, '\n') + 1;
            struct fixture s;
            fixture_open(&s);
            fixture_write_text(&s, "scenario.yaml",
                               arena_printf(&s.arena, "%.*s%s",
                                            (int)(line - TEXTS[i]), TEXTS[i],
                                            next));
            fixture_write_text(&s, "curve.csv", FIXTURE_CURVE);
            fixture_load(&s);
            bool is_taken = s.status == ST_OK;
            cr_expect(is_taken == (s.diag.n_errors == 0),
                      "text %zu without %.*s", i, (int)(next - line), line);
            cr_expect(is_taken == (s.field != NULL));
            fixture_close(&s);
            line = next;
        }
}
