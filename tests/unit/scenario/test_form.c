#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "scenario/form.h"
#include "support/text.h"

struct read {
    struct arena arena;
    struct diag diag;
    struct unit_frame frame;
    struct ynode *root;
    const char *messages;
};

static void check(struct read *r, const char *text)
{
    struct strbuf out;
    arena_init(&r->arena);
    diag_init(&r->diag, &r->arena);
    strbuf_init(&out, &r->arena);
    struct source s = {"f", text, strlen(text)};
    r->root = ytree_read(&s, &r->arena, &r->diag);
    cr_assert(r->root != NULL);
    r->frame = form_frame(r->root, &r->diag);
    form_check(r->root, NULL, &r->frame, &r->diag);
    diag_write(&r->diag, 100, &out);
    r->messages = out.text;
}

#define HEAD "format: 1\nfield: {name: N, date: 2026-11-25}\n"
#define MANIFOLDS "manifolds: {M: {}}\n"
#define WELL "wells:\n  W: {manifold: M, curve: c.csv}\n"

Test(form, the_smallest_scenario_is_whole, .timeout = 30)
{
    struct read r;
    check(&r, HEAD MANIFOLDS WELL);
    cr_assert(text_is(r.messages, ""));
    arena_release(&r.arena);
}

Test(form, every_fault_is_shown_in_one_run, .timeout = 30)
{
    struct read r;
    check(&r, "format: 1\n"
              "field: {name: N, date: 2026-11-31}\n"
              "fild: {}\n"
              "manifolds: {' M': {lift_gas_maximum: 14}}\n"
              "wells:\n"
              "  W: {manifold: [M], curve: c.csv, lift_gas: none}\n"
              "  V: {manifold: M, curve: c.csv, watercut: 10 %}\n"
              "limits: {colour: red}\n");
    cr_assert(text_is(
        r.messages,
        "f:2:24: field.date: \"2026-11-31\" is a day that does not exist; "
        "check the date\n"
        "f:3:1: unknown key \"fild\"; did you mean field?\n"
        "f:4:13: manifolds: the name \" M\" starts or ends with a blank; "
        "write 1 to 64 plain characters\n"
        "f:4:38: manifolds. M.lift_gas_maximum: \"14\" has no unit; write one "
        "of: Mscf/d, MMscf/d, scf/d, Sm3/d, kSm3/d, MSm3/d\n"
        "f:6:17: wells.W.manifold: a value is expected here, not a list\n"
        "f:6:46: wells.W.lift_gas: keys and their values are expected here, "
        "not a text\n"
        "f:7:34: wells.V: unknown key \"watercut\"; did you mean water_cut?\n"
        "f:8:10: limits: unknown key \"colour\"; the keys here are: lift_gas, "
        "liquid, water, gas, moves, unsteady, dead_band\n"));
    arena_release(&r.arena);
}

Test(form, missing_keys_are_named_where_they_belong, .timeout = 30)
{
    struct read r;
    check(&r, "format: 1\n"
              "manifolds: {M: {}}\n"
              "wells:\n"
              "  W:\n"
              "    manifold: M\n"
              "    fluid: F\n"
              "    gas_oil_ratio: 450 scf/stb\n"
              "    water_cut: 72 %\n"
              "    wellhead: {}\n"
              "    survey: [{md: 0 ft}]\n"
              "    tubing: []\n"
              "    injection_depth: 5600 ft\n"
              "    inflow: {model: linear, reservoir_pressure: 90 barg}\n");
    cr_assert(text_is(
        r.messages,
        "f:1:1: key field is missing (What holds for the whole field); add "
        "it\n"
        "f:4:3: wells.W: key temperature is missing (Of the stream along the "
        "well); add it\n"
        "f:9:5: wells.W.wellhead: key pressure is missing (Flowing, upstream "
        "of the choke); add it\n"
        "f:10:14: wells.W.survey[1]: key tvd is missing (True vertical "
        "depth); add it\n"));
    arena_release(&r.arena);
}

Test(form, empty_sections_and_wrong_kinds_are_told_apart, .timeout = 30)
{
    struct read r;
    check(&r, "format:\n"
              "field: [1]\n"
              "manifolds:\n"
              "wells: {W: }\n");
    cr_assert(text_is(
        r.messages,
        "f:1:8: format: \"\" is no whole number; write digits only\n"
        "f:2:8: field: keys and their values are expected here, not a list\n"
        "f:3:11: manifolds: keys and their values are expected here, not "
        "nothing\n"
        "f:4:12: wells.W: keys and their values are expected here, not "
        "nothing\n"));
    arena_release(&r.arena);
}

Test(form, values_come_in_si_or_as_the_fallback_or_as_nan, .timeout = 30)
{
    struct read r;
    check(&r, HEAD MANIFOLDS
          "station: {fuel: 3.7 %, fuel_from: suction, shrinkage: x}\n" WELL);
    const struct ynode *station = ytree_child(r.root, "station");
    cr_assert(epsilon_eq(dbl, form_value(station, "station.fuel", &r.frame),
                         0.037, 1e-15));
    cr_assert(eq(int, form_index(station, "station.fuel_from", &r.frame), 0));
    cr_assert(isnan(form_value(station, "station.shrinkage", &r.frame)));
    cr_assert(
        eq(dbl, form_value(station, "station.flare_maximum", &r.frame), 0.0));
    cr_assert(eq(int, form_index(NULL, "sales.from", &r.frame), 1));
    cr_assert(isnan(form_value(NULL, "sales.maximum", &r.frame)));
    cr_assert(eq(int, form_index(NULL, "limits.moves", &r.frame), 0));
    cr_assert(form_node(station, "station.fuel") ==
              ytree_child(station, "fuel"));
    arena_release(&r.arena);
}

Test(form, gauge_pressures_count_from_the_atmosphere_of_the_field,
     .timeout = 30)
{
    struct read r;
    check(&r, "format: 1\n"
              "field: {name: N, date: 2026-11-25, atmosphere: 80 kPaa,\n"
              "        gas_base: {pressure: 15.025 psia,"
              " temperature: 15 C}}\n"
              "manifolds: {M: {header_pressure: 10 barg}}\n" WELL);
    const struct ynode *m = ytree_child(ytree_child(r.root, "manifolds"), "M");
    cr_assert(epsilon_eq(dbl,
                         form_value(m, "manifolds.*.header_pressure", &r.frame),
                         1.08e6, 1e-6));
    cr_assert(
        epsilon_eq(dbl, r.frame.p_base_pa, 15.025 * 6894.757293168, 1e-6));
    cr_assert(epsilon_eq(dbl, r.frame.t_base_k, 288.15, 1e-9));
    arena_release(&r.arena);
}

Test(form, an_atmosphere_in_gauge_units_is_refused, .timeout = 30)
{
    struct read r;
    check(&r,
          "format: 1\n"
          "field: {name: N, date: 2026-11-25, atmosphere: 0 psig}\n" MANIFOLDS
              WELL);
    cr_assert(text_is(r.messages,
                      "f:2:48: field.atmosphere: \"0 psig\" is a gauge "
                      "pressure, and this one must be absolute; write it in "
                      "psia, bara, kPaa, MPaa or Pa\n"));
    arena_release(&r.arena);
}

Test(form, a_faulty_frame_is_reported_once, .timeout = 30)
{
    struct read r;
    check(&r, "format: 1\n"
              "field: {name: N, date: 2026-11-25, atmosphere: 14.5}\n" MANIFOLDS
                  WELL);
    cr_assert(eq(sz, r.diag.n, 1));
    cr_assert(text_has(r.messages, "\"14.5\" has no unit"));
    arena_release(&r.arena);
}
