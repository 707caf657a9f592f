#include "scenario/load_outage.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fixture.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "field/outage.h"
#include "support/text.h"

/* Exact definitions (NIST SP 811), at 14.696 psia and 60 F. */
#define SCF 0.02826246 /* Sm3, seven digits */
#define MSCF (1e3 * SCF)
#define MMSCF_D (1e6 * SCF / 86400.0)
#define STB_D (0.158987294928 / 86400.0)
#define FAHRENHEIT(t) (((t) + 459.67) / 1.8)
#define HOUR 3600.0

TestSuite(load_outage, .timeout = 30);

/* The plan is for 2026-11-25. */
static const char FIELD[] =
    "format: 1\n"
    "field: {name: S, date: 2026-11-25}\n"
    "lift_gas: {gravity: 0.65}\n"
    "manifolds: {north: {lift_gas_maximum: 9 MMscf/d}, south: {}}\n"
    "compressors:\n"
    "  K-1: {capacity: 6 MMscf/d}\n"
    "  K-2: {power: 1200 hp, rated_temperature: 77 F, derating: 0.4 %/F,"
    " stages: 2, suction_pressure: 100 psig, discharge_pressure: 1000 psig}\n"
    "station: {ambient: 97 F}\n"
    "limits: {water: 9000 stb/d}\n"
    "wells:\n"
    "  A-1: {manifold: north, curve: curve.csv}\n"
    "  A-2: {manifold: south, curve: curve.csv}\n";

static const char OUTAGE[] =
    "format: 1\n"
    "name: K-1 down\n"
    "start: 06:00\n"
    "horizon: 26 h\n"
    "period: 30 min\n"
    "shifts: {first: 07:00, length: 12 h, moves: 6}\n"
    "stopped_at_least: 4 h\n"
    "running_at_least: 2 h\n"
    "flare: {hours: 3 h, volume: 2 MMscf}\n"
    "store: {now: 400 Mscf, most: 900 Mscf}\n"
    "weather:\n"
    "  - {from: 09:00, ambient: 90 F}\n"
    "  - {from: 18:00, ambient: 70 F}\n"
    "ramps: {south: {change: 1 MMscf/d}}\n"
    "events:\n"
    "  - {unit: K-1, from: 08:00, to: 20:00, planned: yes}\n"
    "  - {limit: water, from: 22:00, to: 04:00, left: 50 %}\n"
    "  - {limit: market, from: +2 h, to: 2026-11-26 06:30, price: 4 $/Mscf}\n"
    "  - {manifold: south, from: 05:00, to: +90 min, left_gas: 2 MMscf/d}\n"
    "  - {limit: liquid, from: 07:00, to: 08:00, left_liquid: 500 stb/d}\n"
    "  - {well: A-2, from: 2026-11-26 05:00, to: 04:00}\n"
    "restart: {unload: 2 h, gas: 300 Mscf, build_up: 6 h}\n"
    "wells:\n"
    "  A-2: {never_stop: yes, unload: 5 h, gas: 800 Mscf, alone: 24 h}\n";

struct read {
    struct fixture s;
    struct outage *o;
    enum status status;
};

static void read_text(struct read *r, const char *outage)
{
    fixture_open(&r->s);
    fixture_write_text(&r->s, "curve.csv", FIXTURE_CURVE);
    fixture_write_text(&r->s, "scenario.yaml", FIELD);
    fixture_write_text(&r->s, "outage.yaml", outage);
    fixture_load(&r->s);
    cr_assert(eq(int, (int)r->s.status, ST_OK), "%s", fixture_messages(&r->s));
    r->o = NULL;
    r->status = scenario_load_outage(r->s.folder, r->s.field, &r->s.arena,
                                     &r->s.diag, &r->o, &r->s.err);
}

static void read_changed(struct read *r, const char *from, const char *to)
{
    struct arena a;
    arena_init(&a);
    read_text(r,
              from != NULL ? fixture_exchange(&a, OUTAGE, from, to) : OUTAGE);
    arena_release(&a);
}

static bool is_near(double got, double want)
{
    return got == want || fabs(got - want) <= 3e-7 * fabs(want);
}

/* --- a sound file --------------------------------------------------------- */

Test(load_outage, the_horizon_its_shifts_and_its_rules_are_read)
{
    struct read r;
    read_changed(&r, NULL, NULL);
    cr_assert(text_is(fixture_messages(&r.s), ""));
    const struct outage *o = r.o;
    cr_expect(text_is(o->name, "K-1 down"));
    cr_expect(o->start_s == 6 * HOUR);
    cr_expect(eq(sz, o->n_periods, 52));
    cr_expect(o->period_s == 1800);
    cr_expect(o->stop_least_s == 4 * HOUR && o->run_least_s == 2 * HOUR);
    cr_expect(is_near(o->flare_hours_max, 3));
    cr_expect(is_near(o->flare_most_sm3, 2000 * MSCF));
    cr_expect(is_near(o->store_sm3, 400 * MSCF));
    cr_expect(is_near(o->store_most_sm3, 900 * MSCF));
    cr_expect(isinf(o->ramp_sm3s[0]));
    cr_expect(is_near(o->ramp_sm3s[1], MMSCF_D));
    /* The night shift has an hour left at 06:00, and day and night follow. */
    static const double EDGE[] = {0, 1, 13, 25, 26};
    cr_assert(eq(sz, o->n_shifts, 4));
    for (size_t i = 0; i < 4; i++) {
        cr_expect(o->shift[i].from_s == EDGE[i] * HOUR, "shift %zu", i);
        cr_expect(o->shift[i].to_s == EDGE[i + 1] * HOUR, "shift %zu", i);
        cr_expect(eq(sz, o->shift[i].moves_max, 6));
    }
    fixture_close(&r.s);
}

Test(load_outage, times_count_from_the_start_by_clock_by_date_and_by_hours)
{
    static const struct {
        enum outage_cause cause;
        size_t index;
        double from_h, to_h;
    } rows[] = {
        {CAUSE_UNIT, 0, 2, 14},       /* 08:00 to 20:00 */
        {CAUSE_WATER, 0, 16, 22},     /* 22:00 to 04:00 of the next day */
        {CAUSE_MARKET, 0, 2, 24.5},   /* +2 h to 06:30 of the next day */
        {CAUSE_MANIFOLD, 1, -1, 1.5}, /* 05:00 to +90 min */
        {CAUSE_LIQUID, 0, 1, 2},
        {CAUSE_WELL, 1, 23, 46}, /* to 04:00 of the day after */
    };
    struct read r;
    read_changed(&r, NULL, NULL);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct outage_event *e = &r.o->event[i];
        cr_expect(eq(int, (int)e->cause, (int)rows[i].cause), "event %zu", i);
        cr_expect(eq(sz, e->index, rows[i].index), "event %zu", i);
        cr_expect(e->from_s == rows[i].from_h * HOUR, "event %zu", i);
        cr_expect(e->to_s == rows[i].to_h * HOUR, "event %zu", i);
        cr_expect(eq(int, e->is_planned, i == 0), "event %zu", i);
    }
    fixture_close(&r.s);
}

Test(load_outage, what_is_left_is_nothing_a_part_an_amount_or_all_at_a_price)
{
    struct read r;
    read_changed(&r, NULL, NULL);
    const struct outage_event *e = r.o->event;
    cr_expect(e[0].part == 0 && isnan(e[0].amount) && isnan(e[0].price_sm3));
    cr_expect(is_near(e[1].part, 0.5) && isnan(e[1].amount));
    cr_expect(isnan(e[2].part) && isnan(e[2].amount));
    cr_expect(is_near(e[2].price_sm3, 4 / MSCF));
    cr_expect(isnan(e[3].part) && is_near(e[3].amount, 2 * MMSCF_D));
    cr_expect(isnan(e[4].part) && is_near(e[4].amount, 500 * STB_D));
    fixture_close(&r.s);
}

Test(load_outage, weather_repeats_every_day_and_holds_from_row_to_row)
{
    /* From 06:00: 70 F from yesterday evening, 90 F at 09:00, 70 F at 18:00,
     * and the horizon ends at 08:00, before the next morning's row. */
    static const double FROM[] = {-12, 3, 12}, TO[] = {3, 12, 27};
    static const double F[] = {70, 90, 70};
    struct read r;
    size_t n = 0;
    read_changed(&r, NULL, NULL);
    for (size_t i = 0; i < 3; i++)
        for (size_t k = 6; k < r.o->n_events; k++) {
            const struct outage_event *e = &r.o->event[k];
            if (e->from_s == FROM[i] * HOUR && e->to_s == TO[i] * HOUR &&
                is_near(e->amount, FAHRENHEIT(F[i])) && isnan(e->part) &&
                e->cause == CAUSE_AMBIENT)
                n++;
        }
    cr_expect(eq(sz, n, 3));
    cr_expect(eq(sz, r.o->n_events, 9));
    fixture_close(&r.s);
}

Test(load_outage, what_wells_need_to_come_back_is_left_open_unless_given)
{
    struct read r;
    read_changed(&r, NULL, NULL);
    const struct outage *o = r.o;
    cr_expect(isnan(o->restart[0].unload_s) && isnan(o->restart[0].gas_sm3));
    cr_expect(isnan(o->restart[0].build_up_s) && isnan(o->restart[0].alone_s));
    cr_expect(o->restart[0].comes_back && !o->never_stops[0]);
    cr_expect(o->restart[1].unload_s == 5 * HOUR);
    cr_expect(is_near(o->restart[1].gas_sm3, 800 * MSCF));
    cr_expect(isnan(o->restart[1].build_up_s));
    cr_expect(o->restart[1].alone_s == 24 * HOUR && o->never_stops[1]);
    cr_expect(o->restart_else.unload_s == 2 * HOUR);
    cr_expect(is_near(o->restart_else.gas_sm3, 300 * MSCF));
    cr_expect(o->restart_else.build_up_s == 6 * HOUR);
    cr_expect(isinf(o->restart_else.alone_s));
    fixture_close(&r.s);
}

Test(load_outage, a_file_of_a_name_and_a_horizon_disturbs_nothing)
{
    struct read r;
    read_text(&r, "format: 1\nname: none\nhorizon: 1 d\n");
    cr_assert(text_is(fixture_messages(&r.s), ""));
    const struct outage *o = r.o;
    cr_expect(eq(sz, o->n_events, 0));
    cr_expect(eq(sz, o->n_periods, 24));
    cr_expect(o->period_s == HOUR && o->start_s == 6 * HOUR);
    cr_assert(eq(sz, o->n_shifts, 1));
    cr_expect(o->shift[0].from_s == 0 && o->shift[0].to_s == 24 * HOUR);
    cr_expect(eq(sz, o->shift[0].moves_max, SIZE_MAX));
    cr_expect(isinf(o->flare_hours_max) && isinf(o->flare_most_sm3));
    cr_expect(o->store_most_sm3 == 0);
    cr_expect(o->restart_else.unload_s == 0 && o->restart_else.gas_sm3 == 0);
    fixture_close(&r.s);
}

/* --- faults --------------------------------------------------------------- */

Test(load_outage, every_fault_is_told_with_its_place_and_a_way_out)
{
    static const struct {
        const char *from, *to, *message;
    } rows[] = {
        {"start: 06:00", "start: 6",
         "outage.yaml:3:8: start: \"6\" is no clock "
         "time; write it from 00:00 to 24:00"},
        {"start: 06:00", "start: 24:01", "\"24:01\" is no clock time"},
        {"horizon: 26 h", "horizon: 400 h",
         "outage.yaml:4:10: horizon: \"400 h\" is outside the allowed 1 to 336 "
         "h"},
        {"period: 30 min", "period: 45 min",
         "outage.yaml:4:10: horizon: it is no whole number of periods; write a "
         "multiple of 45 min"},
        {"period: 30 min", "periods: 30 min",
         "unknown key \"periods\"; did you mean period?"},
        {"now: 400", "now: 950",
         "outage.yaml:10:14: store.now: more than the headers can hold"},
        {"from: 18:00", "from: 08:00",
         "outage.yaml:13:5: weather[2]: its time "
         "does not rise"},
        {"south: {change", "suoth: {change",
         "outage.yaml:14:16: ramps.suoth: there is no manifold of that name; "
         "did you mean \"south\"?"},
        {"unit: K-1,", "unit: K-11,",
         "outage.yaml:16:12: events[1].unit: there is no compressor \"K-11\"; "
         "did you mean \"K-1\"?"},
        {"unit: K-1,", "unit: K-1, well: A-1,",
         "outage.yaml:16:5: events[1]: more than one of unit, manifold, well "
         "and limit; give exactly one of them"},
        {"{unit: K-1, ", "{", "outage.yaml:16:5: events[1]: none of unit"},
        {"limit: water", "limit: wather",
         "outage.yaml:17:13: events[2].limit: \"wather\" is not one of the "
         "choices"},
        {"to: 20:00", "to: 8 pm",
         "outage.yaml:16:34: events[1].to: \"8 pm\" is no time; write 20:00, "
         "2026-11-26 06:30, or +26 h after the start"},
        {"to: 2026-11-26", "to: 2026-11-24",
         "outage.yaml:18:37: events[3].to: not after from"},
        {"to: 2026-11-26", "to: 2026-11-31", "\"2026-11-31 06:30\" is no time"},
        {"left: 50 %", "left_gas: 1 MMscf/d",
         "events[2].left_gas: this limit is one of liquid; write left_liquid"},
        {"left: 50 %", "left: 50 %, left_liquid: 10 stb/d",
         "events[2]: more than one of left, left_gas, left_liquid"},
        {"left_liquid: 500 stb/d", "left: 50 %",
         "events[5].left: the scenario has no such limit; write left_liquid"},
        {"left_gas: 2 MMscf/d", "left: 50 %",
         "events[4].left: the scenario has no such limit; write left_gas"},
        {"to: 20:00, planned", "to: 20:00, price: 3 $/Mscf, planned",
         "events[1].price: only gas that is bought has a price here"},
        {"26 05:00, to: 04:00", "26 05:00, to: 04:00, left: 20 %",
         "events[6].left: a well stands or it does not"},
        {"  A-2: {never", "  A-22: {never",
         "outage.yaml:24:9: wells.A-22: there is no well of that name; did you "
         "mean \"A-2\"?"},
        {"unload: 5 h, ", "",
         "wells.A-2: key unload is missing; unload and "
         "gas go together"},
        {"gas: 800 Mscf, ", "", "wells.A-2: key gas is missing"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct read r;
        read_changed(&r, rows[i].from, rows[i].to);
        const char *told = fixture_messages(&r.s);
        cr_expect(eq(int, (int)r.status, ST_INPUT), "row %zu", i);
        cr_expect(r.o == NULL, "row %zu", i);
        cr_expect(eq(sz, r.s.diag.n_errors, 1), "row %zu: %s", i, told);
        cr_expect(strstr(told, rows[i].message) != NULL, "row %zu: %s", i,
                  told);
        fixture_close(&r.s);
    }
}

Test(load_outage, all_faults_come_in_one_run)
{
    struct read r;
    read_text(&r, "format: 1\n"
                  "horizon: long\n"
                  "stat: 06:00\n"
                  "shifts: {length: 99 h, moves: -1}\n"
                  "events:\n"
                  "  - {unit: K-9, from: 25:00, to: 07:00}\n"
                  "  - K-1\n"
                  "wells: {B-1: {}}\n");
    cr_expect(eq(int, (int)r.status, ST_INPUT));
    cr_expect(eq(sz, r.s.diag.n_errors, 9), "%s", fixture_messages(&r.s));
    fixture_close(&r.s);
}

Test(load_outage, what_changes_nothing_is_a_warning)
{
    struct read r;
    read_changed(&r, "from: 07:00, to: 08:00", "from: 03:00, to: 05:00");
    cr_expect(eq(int, (int)r.status, ST_OK));
    cr_expect(strstr(fixture_messages(&r.s),
                     "outage.yaml:20:5: warning: events[5]: it lies outside "
                     "the horizon and changes nothing") != NULL,
              "%s", fixture_messages(&r.s));
    cr_expect(eq(sz, r.s.diag.n_warnings, 1));
    fixture_close(&r.s);
}

Test(load_outage, a_missing_file_is_told_by_name)
{
    struct read r;
    read_changed(&r, NULL, NULL);
    enum status st =
        scenario_load_outage("/tmp/no such folder", r.s.field, &r.s.arena,
                             &r.s.diag, &r.o, &r.s.err);
    cr_expect(eq(int, (int)st, ST_IO));
    cr_expect(strstr(r.s.err.msg, "outage.yaml") != NULL);
    cr_expect(not(scenario_has_outage("/tmp/no such folder", &r.s.arena)));
    fixture_close(&r.s);
}
