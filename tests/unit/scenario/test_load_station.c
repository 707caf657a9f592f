/* Compressors, groups of wells, and what moves and steps cost. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fixture.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "field/compressor.h"
#include "support/text.h"

/* Exact definitions (NIST SP 811), at 14.696 psia and 60 F. */
#define PSI 6894.757293168
#define PSIG(p) (((p) + 14.696) * PSI)
#define FAHRENHEIT(t) (((t) + 459.67) / 1.8)
#define HP 745.69987158227022
#define STB_D (0.158987294928 / 86400.0)
#define SCF 0.02826246 /* Sm3, seven digits */
#define MMSCF_D (1e6 * SCF / 86400.0)

TestSuite(load_station, .timeout = 30);

static const char SCENARIO[] =
    "format: 1\n"
    "field: {name: S, date: 2026-11-25}\n"
    "lift_gas: {gravity: 0.65, carbon_dioxide: 1 %}\n"
    "manifolds:\n"
    "  M: {lift_gas_maximum: 9 MMscf/d, liquid_maximum: 9000 stb/d,"
    " water_maximum: 6000 stb/d, gas_maximum: 12 MMscf/d}\n"
    "  N: {}\n"
    "pads:\n"
    "  P1: {lift_gas_maximum: 3 MMscf/d, liquid_maximum: 3000 stb/d,"
    " water_maximum: 2000 stb/d, gas_maximum: 4 MMscf/d}\n"
    "  P2: {}\n"
    "separators:\n"
    "  LP: {liquid_maximum: 5000 stb/d, water_maximum: 4000 stb/d,"
    " gas_maximum: 7 MMscf/d}\n"
    "routes:\n"
    "  east: {moves: 2}\n"
    "  west: {moves: 0}\n"
    "compressors:\n"
    "  K-1: {capacity: 6 MMscf/d, turndown: 50 %, state: available,"
    " recycle: no}\n"
    "  K-2:\n"
    "    state: available\n"
    "    power: 1200 hp\n"
    "    rated_temperature: 77 F\n"
    "    derating: 0.4 %/F\n"
    "    stages: 2\n"
    "    suction_pressure: 100 psig\n"
    "    suction_temperature: 85 F\n"
    "    discharge_pressure: 1000 psig\n"
    "    efficiency: 82 %\n"
    "    mechanical_efficiency: 96 %\n"
    "    turndown: 40 %\n"
    "    idle_power: 90 hp\n"
    "    heat_rate: 8500 Btu/hp-h\n"
    "  K-3: {driver: electric, capacity: 5 MMscf/d, stages: 2,"
    " suction_pressure: 90 psig, discharge_pressure: 1000 psig}\n"
    "station: {fuel: 4 %, ambient: 97 F, power_maximum: 1500 kW,"
    " fuel_heating_value: 1000 Btu/scf}\n"
    "limits: {gas: 40 MMscf/d}\n"
    "prices: {oil: 60 $/stb, power: 0.09 $/kWh, carbon: 1.5 $/Mscf,"
    " move: 864 $}\n"
    "wells:\n"
    "  A-1: {manifold: M, curve: curve.csv, pad: P2, separator: LP,"
    " route: west, runs_with: A-2, may_shut: yes,"
    " lift_gas: {step: 50 Mscf/d, change_maximum: 200 Mscf/d}}\n"
    "  A-2: {manifold: N, curve: curve.csv}\n";

/* text with one part exchanged; from NULL: none. */
static void load_changed(struct fixture *s, const char *from, const char *to)
{
    fixture_open(s);
    fixture_write_text(s, "curve.csv", FIXTURE_CURVE);
    fixture_write_text(s, "scenario.yaml",
                       from != NULL
                           ? fixture_exchange(&s->arena, SCENARIO, from, to)
                           : SCENARIO);
    fixture_load(s);
}

static bool is_near(double got, double want)
{
    return got == want || fabs(got - want) <= 3e-7 * fabs(want);
}

static bool has_caps(const struct field_caps *c, double lift_mmscfd,
                     double liquid_stbd, double water_stbd, double gas_mmscfd)
{
    return is_near(c->lift_sm3s, lift_mmscfd * MMSCF_D) &&
           is_near(c->liquid_sm3s, liquid_stbd * STB_D) &&
           is_near(c->water_sm3s, water_stbd * STB_D) &&
           is_near(c->gas_sm3s, gas_mmscfd * MMSCF_D);
}

Test(load_station, groups_keep_their_limits_and_have_none_unless_given)
{
    struct fixture s;
    double none = (double)INFINITY;
    load_changed(&s, NULL, NULL);
    cr_assert(text_is(fixture_messages(&s), ""));
    const struct field_groups *g = s.field->groups;
    cr_assert(eq(sz, g[GROUP_MANIFOLD].n, 2));
    cr_assert(eq(sz, g[GROUP_PAD].n, 2));
    cr_assert(eq(sz, g[GROUP_SEPARATOR].n, 1));
    cr_assert(eq(sz, g[GROUP_ROUTE].n, 2));
    cr_expect(text_is(g[GROUP_PAD].group[1].name, "P2"));
    cr_expect(has_caps(&g[GROUP_MANIFOLD].group[0].caps, 9, 9000, 6000, 12));
    cr_expect(
        has_caps(&g[GROUP_MANIFOLD].group[1].caps, none, none, none, none));
    cr_expect(has_caps(&g[GROUP_PAD].group[0].caps, 3, 3000, 2000, 4));
    cr_expect(has_caps(&g[GROUP_PAD].group[1].caps, none, none, none, none));
    cr_expect(has_caps(&g[GROUP_SEPARATOR].group[0].caps, none, 5000, 4000, 7));
    cr_expect(has_caps(&g[GROUP_ROUTE].group[0].caps, none, none, none, none));
    cr_expect(eq(sz, g[GROUP_ROUTE].group[0].caps.moves, 2));
    cr_expect(eq(sz, g[GROUP_ROUTE].group[1].caps.moves, 0));
    cr_expect(eq(sz, g[GROUP_PAD].group[0].caps.moves, SIZE_MAX));
    cr_expect(is_near(s.field->limits.caps.gas_sm3s, 40 * MMSCF_D));
    fixture_close(&s);
}

Test(load_station, a_well_knows_its_groups_and_its_rules)
{
    struct fixture s;
    load_changed(&s, NULL, NULL);
    cr_assert(eq(int, s.status, ST_OK));
    const struct field_well *a = &s.field->well[0], *b = &s.field->well[1];
    cr_expect(eq(sz, a->group[GROUP_MANIFOLD], 0));
    cr_expect(eq(sz, a->group[GROUP_PAD], 1));
    cr_expect(eq(sz, a->group[GROUP_SEPARATOR], 0));
    cr_expect(eq(sz, a->group[GROUP_ROUTE], 1));
    cr_expect(text_is(a->runs_with, "A-2"));
    cr_expect(a->may_shut);
    cr_expect(is_near(a->step_sm3s, 0.05 * MMSCF_D));
    cr_expect(is_near(a->change_max_sm3s, 0.2 * MMSCF_D));
    cr_expect(eq(sz, b->group[GROUP_MANIFOLD], 1));
    cr_expect(ge(sz, b->group[GROUP_PAD], 2));
    cr_expect(ge(sz, b->group[GROUP_SEPARATOR], 1));
    cr_expect(ge(sz, b->group[GROUP_ROUTE], 2));
    cr_expect(b->runs_with == NULL);
    cr_expect(not(b->may_shut));
    cr_expect(eq(dbl, b->step_sm3s, 0));
    cr_expect(eq(dbl, b->change_max_sm3s, 0));
    fixture_close(&s);
}

Test(load_station, prices_reach_the_field_in_si)
{
    struct fixture s;
    load_changed(&s, NULL, NULL);
    cr_assert(eq(int, s.status, ST_OK));
    const struct field_prices *p = &s.field->prices;
    /* $864 a day is $0.01 a second. */
    cr_expect(is_near(p->move, 0.01));
    cr_expect(is_near(p->carbon_sm3, 1.5 / (1000 * SCF)));
    cr_expect(is_near(p->power_j, 0.09 / 3.6e6));
    cr_expect(is_near(s.field->station.power_max_w, 1.5e6));
    fixture_close(&s);
}

Test(load_station, a_unit_of_plain_capacity_has_no_power_and_no_own_fuel)
{
    struct fixture s;
    load_changed(&s, NULL, NULL);
    cr_assert(eq(int, s.status, ST_OK));
    const struct field_compressor *u = &s.field->station.compressor[0];
    cr_expect(eq(int, (int)u->state, UNIT_AVAILABLE));
    cr_expect(is_near(u->capacity_sm3s, 6 * MMSCF_D));
    cr_expect(is_near(u->least_sm3s, 3 * MMSCF_D));
    cr_expect(not(u->recycles));
    cr_expect(not(u->electric));
    cr_expect(not(u->has_fuel));
    cr_expect(eq(dbl, u->power_j_sm3, 0));
    cr_expect(u->spec == NULL);
    fixture_close(&s);
}

Test(load_station, a_machine_is_rated_for_the_day)
{
    struct fixture s;
    load_changed(&s, NULL, NULL);
    cr_assert(eq(int, s.status, ST_OK));
    const struct field_compressor *u = &s.field->station.compressor[1];
    const double btu = 1055.05585262;
    const struct compressor_spec want = {
        .gas = {.gravity = 0.65, .carbon_dioxide = 0.01},
        .n_stages = 2,
        .p_suction_pa = PSIG(100),
        .t_suction_k = FAHRENHEIT(85),
        .p_discharge_pa = PSIG(1000),
        .adiabatic_efficiency = 0.82,
        .mechanical_efficiency = 0.96,
        .capacity_sm3s = (double)INFINITY,
        .driver_w = 1200 * HP,
        .t_rated_k = FAHRENHEIT(77),
        .derating_per_k = 0.004 * 1.8,
        .turndown = 0.4,
        .idle_w = 90 * HP,
        .heat_rate = 8500 * btu / (HP * 3600),
        .heating_value_j_sm3 = 1000 * btu / SCF,
    };
    struct compressor_rating r;
    cr_assert(
        eq(int, compressor_rate(&want, FAHRENHEIT(97), &r, &s.err), ST_OK));
    cr_expect(is_near(u->capacity_sm3s, r.capacity_sm3s));
    cr_expect(is_near(u->least_sm3s, r.least_sm3s));
    cr_expect(is_near(u->power_j_sm3, r.power_j_sm3));
    cr_expect(is_near(u->power_fixed_w, 90 * HP));
    cr_expect(u->has_fuel);
    cr_expect(is_near(u->fuel_fixed_sm3s, r.fuel_fixed_sm3s));
    cr_expect(is_near(u->fuel_fraction, r.fuel_fraction));
    cr_expect(u->recycles);
    /* 20 F too hot: 8 % of the driver is gone. */
    cr_expect(
        is_near(u->capacity_sm3s * u->power_j_sm3, (0.92 * 1200 - 90) * HP));
    fixture_close(&s);
}

Test(load_station, an_electric_unit_takes_power_and_burns_nothing)
{
    struct fixture s;
    load_changed(&s, NULL, NULL);
    cr_assert(eq(int, s.status, ST_OK));
    const struct field_compressor *u = &s.field->station.compressor[2];
    cr_expect(u->electric);
    cr_expect(u->has_fuel);
    cr_expect(eq(dbl, u->fuel_fraction, 0));
    cr_expect(gt(dbl, u->power_j_sm3, 0));
    cr_expect(is_near(u->capacity_sm3s, 5 * MMSCF_D));
    cr_expect(eq(int, (int)u->state, UNIT_RUNNING));
    fixture_close(&s);
}

Test(load_station, an_electric_unit_of_plain_capacity_burns_nothing_either)
{
    struct fixture s;
    load_changed(&s,
                 ", stages: 2, suction_pressure: 90 psig, discharge_pressure: "
                 "1000 psig",
                 "");
    cr_assert(eq(int, s.status, ST_OK));
    const struct field_compressor *u = &s.field->station.compressor[2];
    cr_expect(u->has_fuel && u->fuel_fraction == 0 && u->fuel_fixed_sm3s == 0);
    cr_expect(eq(dbl, u->power_j_sm3, 0));
    fixture_close(&s);
}

Test(load_station, what_does_not_fit_together_is_refused_at_its_place)
{
    static const struct {
        const char *from, *to, *want;
    } ROWS[] = {
        {"pad: P2", "pad: P3",
         "scenario.yaml:36:45: wells.A-1.pad: there is no pad \"P3\"; did you "
         "mean \"P1\"?\n"},
        {"separator: LP", "separator: HP",
         "scenario.yaml:36:60: wells.A-1.separator: there is no separator "
         "\"HP\"; did you mean \"LP\"?\n"},
        {"route: west", "route: wset",
         "scenario.yaml:36:71: wells.A-1.route: there is no route \"wset\"; "
         "did you mean \"west\"?\n"},
        {"runs_with: A-2", "runs_with: B-2",
         "scenario.yaml:36:88: wells.A-1.runs_with: there is no well \"B-2\"; "
         "did you mean \"A-2\"?\n"},
        {"{moves: 2}", "{}",
         "scenario.yaml:13:3: routes.east: key moves is missing (The most of "
         "its wells whose rate the crew can change in the day); add it\n"},
        {"LP: {", "LP: {lift_gas_maximum: 3 MMscf/d, ",
         "scenario.yaml:11:8: separators.LP: unknown key "
         "\"lift_gas_maximum\""},
        {"capacity: 6 MMscf/d, ", "",
         "scenario.yaml:16:8: compressors.K-1: neither capacity nor power; "
         "give what it compresses, or the power of its driver\n"},
        {"    stages: 2\n", "",
         "scenario.yaml:18:5: compressors.K-2: key stages is missing; the "
         "power follows from the pressures and stages\n"},
        {"    suction_pressure: 100 psig\n", "",
         "scenario.yaml:18:5: compressors.K-2: key suction_pressure is "
         "missing; the power follows from the pressures and stages\n"},
        {", discharge_pressure: 1000 psig", "",
         "scenario.yaml:31:8: compressors.K-3: key discharge_pressure is "
         "missing; the power follows from the pressures and stages\n"},
        {"    discharge_pressure: 1000 psig\n",
         "    discharge_pressure: 100 psig\n",
         "scenario.yaml:25:25: compressors.K-2.discharge_pressure: not above "
         "the suction pressure; check both pressures\n"},
        {"    rated_temperature: 77 F\n", "",
         "scenario.yaml:18:5: compressors.K-2: key rated_temperature is "
         "missing; the power is lost above that\n"},
        {"    derating: 0.4 %/F\n", "",
         "scenario.yaml:20:24: compressors.K-2.rated_temperature: it has no "
         "use without derating; delete this key, or add derating\n"},
        {" ambient: 97 F,", "",
         "scenario.yaml:21:15: compressors.K-2.derating: the station has no "
         "ambient; add it under station\n"},
        {" fuel_heating_value: 1000 Btu/scf", "",
         "scenario.yaml:30:16: compressors.K-2.heat_rate: the station has no "
         "fuel_heating_value; add it under station\n"},
        {"{driver: electric, ", "{driver: electric, heat_rate: 9000 Btu/hp-h, ",
         "scenario.yaml:31:38: compressors.K-3.heat_rate: an electric driver "
         "burns no gas; delete this key, or correct driver\n"},
        {"efficiency: 82 %", "efficiency: 120 %",
         "scenario.yaml:26:17: compressors.K-2.efficiency: "},
        {"gravity: 0.65, carbon_dioxide: 1 %", "gravity: 1.68",
         "scenario.yaml:18:5: compressors.K-2: stage 1: the compressibility "
         "of the gas is not known"},
        /* 2.8 % as it stands, 35 times that now. */
        {"    efficiency: 82 %\n"
         "    mechanical_efficiency: 96 %\n"
         "    turndown: 40 %\n"
         "    idle_power: 90 hp\n"
         "    heat_rate: 8500 Btu/hp-h\n",
         "    efficiency: 20 %\n"
         "    mechanical_efficiency: 40 %\n"
         "    heat_rate: 30000 Btu/hp-h\n",
         "scenario.yaml:18:5: compressors.K-2: it would burn "},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct fixture s;
        load_changed(&s, ROWS[i].from, ROWS[i].to);
        cr_expect(eq(int, (int)s.status, ST_INPUT), "row %zu", i);
        cr_expect(text_has(fixture_messages(&s), ROWS[i].want), "row %zu", i);
        cr_expect(text_has(s.err.msg, "has 1 error"), "row %zu: %s", i,
                  s.err.msg);
        fixture_close(&s);
    }
}

Test(load_station, a_machine_needs_the_gas_that_it_compresses)
{
    struct fixture s;
    load_changed(&s, "lift_gas: {gravity: 0.65, carbon_dioxide: 1 %}\n", "");
    cr_expect(eq(int, (int)s.status, ST_INPUT));
    cr_expect(text_has(fixture_messages(&s),
                       "compressors.K-2: key lift_gas is missing; the power "
                       "depends on the gas that is compressed\n"));
    fixture_close(&s);
}

Test(load_station, a_stage_that_gets_too_hot_is_told)
{
    struct fixture s;
    load_changed(&s, "    stages: 2\n", "    stages: 1\n");
    cr_expect(eq(int, (int)s.status, ST_OK));
    /* 544.67 R (1 + (8.846^0.2043 - 1) / 0.82) by hand, k of 0.65 1.2565;
     * 1014.696 over 114.696 psia. */
    cr_expect(text_is(fixture_messages(&s),
                      "scenario.yaml:18:5: warning: compressors.K-2: the gas "
                      "would leave a stage at 457 F, above the usual 350 F; "
                      "check its pressures and stages\n"));
    fixture_close(&s);
}
