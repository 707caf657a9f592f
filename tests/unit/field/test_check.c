#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/strbuf.h"
#include "field/check.h"
#include "field/compressor.h"
#include "support/field_builder.h"
#include "support/text.h"

static const double GAS[] = {0, 500}, OIL[] = {100, 500};

struct setting {
    struct arena arena;
    struct builder b;
    struct diag diag;
};

/* Two sound wells, each with its places. */
static void set_up(struct setting *s)
{
    arena_init(&s->arena);
    builder_init(&s->b, &s->arena);
    diag_init(&s->diag, &s->arena);
    for (int i = 0; i < 2; i++) {
        struct field_well *w =
            builder_well(&s->b, i == 0 ? "A" : "B", 2, GAS, OIL, 0, 0);
        builder_reading(w, 300, WELL_FLOWING);
        w->at = (struct place){"scenario.yaml", 10 + i, 3};
        w->reading.at = (struct place){"readings.csv", 2 + i, 1};
    }
}

static void tear_down(struct setting *s)
{
    arena_release(&s->arena);
}

static void plant(struct setting *s, int which)
{
    struct field *f = &s->b.field;
    struct field_well *w = f->well;
    static struct field_compressor stopped = {.state = UNIT_STOPPED,
                                              .capacity_sm3s = 100};
    switch (which) {
    case 0:
        w[0].lift_min_sm3s = builder_gas(400);
        w[0].lift_max_sm3s = builder_gas(350);
        break;
    case 1:
        f->sales.min_sm3s = builder_gas(400);
        f->sales.max_sm3s = builder_gas(300);
        break;
    case 2:
        w[1].reading.status = WELL_HELD;
        w[1].reading.lift_sm3s = (double)NAN;
        break;
    case 3:
        w[1].name = "A";
        break;
    case 4:
        w[1].group[GROUP_MANIFOLD] = builder_manifold(&s->b, "north", 1000);
        break;
    case 5:
        w[0].lift_max_sm3s = builder_gas(250);
        break;
    case 6:
        w[1].lift_min_sm3s = builder_gas(350);
        break;
    case 7:
        w[1].reading.given = false;
        break;
    case 8:
        w[0].reading.status = w[1].reading.status = WELL_TEST;
        f->groups[GROUP_MANIFOLD].group[0].caps.lift_sm3s = builder_gas(500);
        break;
    case 9:
        f->limits.caps.lift_sm3s = builder_gas(590);
        break;
    default:
        f->station.has_compressors = true;
        f->station.n_compressors = 1;
        f->station.compressor = &stopped;
        break;
    }
}

static const char *const MESSAGES[] = {
    /* errors */
    "scenario.yaml:10:3: well A: its minimum of 0.4 MMscf/d is above its "
    "maximum of 0.35 MMscf/d; lower the minimum or raise the maximum\n",
    "sales: the minimum of 0.4 MMscf/d is above the maximum of 0.3 MMscf/d; "
    "lower the minimum or raise the maximum\n",
    "readings.csv:3:1: well B is locked at its rate, yet its lift gas is not "
    "read; give the rate at which it is held\n",
    "scenario.yaml:11:3: two wells have the name \"A\"; rename one of them\n",
    "two manifolds have the name \"north\"; rename one of them\n",
    /* warnings */
    "readings.csv:2:1: warning: well A takes 0.3 MMscf/d, above its maximum "
    "of 0.25 MMscf/d; check the meter, or the well's maximum; the plan will "
    "lower it\n",
    "readings.csv:3:1: warning: well B takes 0.3 MMscf/d, below its minimum "
    "of 0.35 MMscf/d; check the meter; the plan will shut it in or raise it\n",
    "scenario.yaml:11:3: warning: well B: no lift gas read; taken as none; "
    "read it, or say that the well is down\n",
    "warning: manifold north can take 0.5 MMscf/d, yet wells on it that are "
    "locked or may not stop take 0.6 MMscf/d; release one of them, or raise "
    "its limit\n",
    "warning: the wells take 0.6 MMscf/d of lift gas this morning, more than "
    "the 0.59 MMscf/d that there is; check the meters and the state of the "
    "compressors\n",
    "warning: the wells take 0.6 MMscf/d of lift gas this morning, more than "
    "the 0 MMscf/d that there is; check the meters and the state of the "
    "compressors\n",
};
#define N_MESSAGES (sizeof MESSAGES / sizeof MESSAGES[0])
#define N_ERRORS 5

Test(check, a_sound_field_has_no_message, .timeout = 5)
{
    struct setting s;
    set_up(&s);
    field_check(&s.b.field, &s.diag);
    cr_assert(eq(sz, s.diag.n, 0));
    tear_down(&s);
}

Test(check, every_contradiction_is_said_where_it_is_and_what_to_do,
     .timeout = 10)
{
    for (size_t i = 0; i < N_MESSAGES; i++) {
        struct setting s;
        set_up(&s);
        plant(&s, (int)i);
        field_check(&s.b.field, &s.diag);
        struct strbuf text;
        strbuf_init(&text, &s.arena);
        diag_write(&s.diag, 20, &text);
        cr_expect(text_is(text.text, MESSAGES[i]), "row %zu", i);
        cr_expect(eq(sz, s.diag.n_errors, i < N_ERRORS), "row %zu", i);
        tear_down(&s);
    }
}

Test(check, all_contradictions_are_said_in_one_run, .timeout = 5)
{
    struct setting s;
    set_up(&s);
    for (int i = 0; i < 3; i++)
        plant(&s, i);
    field_check(&s.b.field, &s.diag);
    cr_assert(eq(sz, s.diag.n_errors, 3));
    tear_down(&s);
}

Test(check, a_well_that_is_down_needs_no_reading, .timeout = 5)
{
    struct setting s;
    set_up(&s);
    s.b.field.well[0].reading.status = WELL_DOWN;
    s.b.field.well[0].reading.lift_sm3s = (double)NAN;
    field_check(&s.b.field, &s.diag);
    cr_assert(eq(sz, s.diag.n, 0));
    tear_down(&s);
}

Test(check, a_pumped_well_needs_no_reading_of_lift_gas, .timeout = 5)
{
    static const enum well_status STATUS[] = {WELL_FLOWING, WELL_TEST,
                                              WELL_HELD};
    for (size_t i = 0; i < 3; i++) {
        struct setting s;
        set_up(&s);
        struct field_well *w = &s.b.field.well[0];
        w->kind = KIND_PUMPED;
        w->lift_max_sm3s = 0;
        w->reading.status = STATUS[i];
        w->reading.lift_sm3s = (double)NAN;
        field_check(&s.b.field, &s.diag);
        cr_expect(eq(sz, s.diag.n, 0), "row %zu", i);
        w->reading.status = WELL_FLOWING;
        w->reading.lift_sm3s = builder_gas(100);
        field_check(&s.b.field, &s.diag);
        cr_expect(eq(sz, s.diag.n, 1), "row %zu", i);
        tear_down(&s);
    }
}

/* --- wells that name each other, steps, groups ---------------------------- */

static void run_in_a_ring(struct setting *s)
{
    s->b.field.well[0].runs_with = "B";
    s->b.field.well[1].runs_with = "A";
}

static void run_alone(struct setting *s)
{
    s->b.field.well[1].runs_with = "B";
}

static void run_with_the_down(struct setting *s)
{
    s->b.field.well[0].runs_with = "B";
    s->b.field.well[1].reading.status = WELL_DOWN;
}

static void step_over_all(struct setting *s)
{
    struct field_well *w = s->b.field.well;
    w[0].lift_min_sm3s = builder_gas(260);
    w[0].lift_max_sm3s = builder_gas(490);
    w[0].step_sm3s = builder_gas(250);
}

static void step_over_the_maximum(struct setting *s)
{
    struct field_well *w = s->b.field.well;
    w[0].lift_max_sm3s = builder_gas(490);
    w[0].step_sm3s = builder_gas(500);
}

static void change_less_than_a_step(struct setting *s)
{
    s->b.field.well[0].step_sm3s = builder_gas(50);
    s->b.field.well[0].change_max_sm3s = builder_gas(40);
}

static void change_less_than_the_dead_band(struct setting *s)
{
    s->b.field.limits.dead_band_sm3s = builder_gas(30);
    s->b.field.well[0].change_max_sm3s = builder_gas(25);
}

static void close_a_pad(struct setting *s)
{
    struct field *f = &s->b.field;
    size_t pad = builder_group(&s->b, GROUP_PAD, "P");
    f->groups[GROUP_PAD].group[pad].caps.lift_sm3s = builder_gas(250);
    f->well[0].group[GROUP_PAD] = pad;
    f->well[0].lift_min_sm3s = builder_gas(280);
}

static void bind_a_pad(struct setting *s)
{
    close_a_pad(s);
    s->b.field.well[0].lift_min_sm3s = builder_gas(100);
    s->b.field.well[1].group[GROUP_PAD] = s->b.field.well[0].group[GROUP_PAD];
    s->b.field.well[0].may_stop = s->b.field.well[1].may_stop = false;
    s->b.field.well[1].lift_min_sm3s = builder_gas(160);
}

static void leave_a_route_empty(struct setting *s)
{
    builder_group(&s->b, GROUP_ROUTE, "west");
}

static void name_two_pads_alike(struct setting *s)
{
    for (int i = 0; i < 2; i++)
        s->b.field.well[i].group[GROUP_PAD] =
            builder_group(&s->b, GROUP_PAD, "P");
}

static const struct {
    void (*plant)(struct setting *);
    size_t n_errors;
    const char *want;
} MORE[] = {
    {run_in_a_ring, 1,
     "scenario.yaml:10:3: well A runs only with B, and B, by itself or through "
     "others, only with A; delete one runs_with\n"},
    {run_alone, 1,
     "scenario.yaml:11:3: well B runs with itself; name another well, or "
     "delete runs_with\n"},
    {run_with_the_down, 0,
     "readings.csv:2:1: warning: well A runs only with B, which is down; "
     "check whether it is down too\n"},
    {step_over_all, 1,
     "scenario.yaml:10:3: well A: no multiple of its step of 0.25 MMscf/d "
     "lies between its minimum and its maximum; choose a smaller step\n"},
    {step_over_the_maximum, 1,
     "scenario.yaml:10:3: well A: no multiple of its step of 0.5 MMscf/d lies "
     "between its minimum and its maximum; choose a smaller step\n"},
    {change_less_than_a_step, 0,
     "scenario.yaml:10:3: warning: well A: its largest change of 0.04 MMscf/d "
     "is below the smallest, of 0.05 MMscf/d; no plan changes it while it "
     "runs; raise change_maximum, or lower the step or the dead band\n"},
    {change_less_than_the_dead_band, 0,
     "scenario.yaml:10:3: warning: well A: its largest change of 0.025 "
     "MMscf/d is below the smallest, of 0.03 MMscf/d; no plan changes it "
     "while it runs; raise change_maximum, or lower the step or the dead "
     "band\n"},
    {close_a_pad, 0,
     "scenario.yaml:10:3: warning: well A: its minimum of 0.28 MMscf/d is "
     "more than the 0.25 MMscf/d that can reach it; no plan lifts it; lower "
     "it, or raise the limits of its manifold and pad, of the field or of the "
     "compressors\n"},
    {bind_a_pad, 0,
     "warning: pad P can take 0.25 MMscf/d, yet wells on it that are locked "
     "or may not stop take 0.26 MMscf/d; release one of them, or raise its "
     "limit\n"},
    {leave_a_route_empty, 0,
     "warning: no well is on route west; delete it, or name it in its "
     "wells\n"},
    {name_two_pads_alike, 1,
     "two pads have the name \"P\"; rename one of them\n"},
};

Test(check, wells_groups_and_steps_that_cannot_be_meant_are_told, .timeout = 10)
{
    for (size_t i = 0; i < sizeof MORE / sizeof MORE[0]; i++) {
        struct setting s;
        set_up(&s);
        MORE[i].plant(&s);
        field_check(&s.b.field, &s.diag);
        struct strbuf text;
        strbuf_init(&text, &s.arena);
        diag_write(&s.diag, 20, &text);
        cr_expect(text_is(text.text, MORE[i].want), "row %zu", i);
        cr_expect(eq(sz, s.diag.n_errors, MORE[i].n_errors), "row %zu", i);
        tear_down(&s);
    }
}

Test(check, a_ring_of_wells_is_told_once_and_a_chain_is_sound, .timeout = 10)
{
    /* C to E form the ring that B leads into; A, the last, stands alone. */
    struct setting s;
    set_up(&s);
    static const char *const NAMES[] = {"C", "D", "E"};
    for (int i = 0; i < 3; i++)
        builder_reading(builder_well(&s.b, NAMES[i], 2, GAS, OIL, 0, 0), 10,
                        WELL_FLOWING);
    struct field_well *w = s.b.field.well;
    w[1].runs_with = "C";
    w[2].runs_with = "D";
    w[3].runs_with = "E";
    field_check(&s.b.field, &s.diag);
    cr_expect(eq(sz, s.diag.n, 0));
    w[4].runs_with = "C";
    field_check(&s.b.field, &s.diag);
    cr_expect(eq(sz, s.diag.n, 1));
    cr_expect(text_has(s.diag.item[0].what, "well C runs only with D"));
    tear_down(&s);
}

Test(check, multiples_of_a_step_that_rounding_moves_are_rates, .timeout = 5)
{
    /* 300 of 100, both from Mscf/d: one rate fits exactly. */
    struct setting s;
    set_up(&s);
    struct field_well *w = s.b.field.well;
    for (int i = 1; i <= 60; i++) {
        w[0].step_sm3s = builder_gas(100.0 / i);
        w[0].lift_min_sm3s = w[0].lift_max_sm3s = builder_gas(300);
        field_check(&s.b.field, &s.diag);
        cr_expect(eq(sz, s.diag.n, 0), "step of 100/%d", i);
    }
    tear_down(&s);
}

/* --- the station ---------------------------------------------------------- */

Test(check, compressors_that_cannot_do_what_they_say_are_told, .timeout = 10)
{
    static const struct {
        struct field_compressor unit;
        double p_discharge_pa, power_max_w;
        const char *want;
    } ROWS[] = {
        {{.capacity_sm3s = 9, .least_sm3s = 4}, 0, 1e6, ""},
        {{.capacity_sm3s = 9, .least_sm3s = 4, .electric = true},
         0,
         1e6,
         "k:1:1: warning: compressor K is electric and its power is not "
         "known; it does not count against the power there is; give its "
         "pressures and stages\n"},
        {{.capacity_sm3s = 9, .electric = true, .power_j_sm3 = 1e5},
         8e6,
         1e6,
         "k:1:1: warning: compressor K is electric and power has no price; "
         "plans by money take it as free; add power under prices\n"},
        {{.capacity_sm3s = 9, .power_j_sm3 = 1e5},
         3447378.646584 - 101325.3, /* 500 psia less an atmosphere */
         1e6,
         "k:1:1: warning: compressor K delivers at 470.6 psig, below the "
         "485.3 psig of manifold north; check both pressures\n"},
        {{.capacity_sm3s = 0, .state = UNIT_AVAILABLE},
         8e6,
         1e6,
         "k:1:1: warning: compressor K moves nothing: what the weather leaves "
         "of its driver does not exceed its idle power; check power, "
         "idle_power, derating and the ambient temperature\n"},
        {{.capacity_sm3s = 0.3271118, .least_sm3s = 0.4906677},
         8e6,
         1e6,
         "k:1:1: warning: compressor K needs 1.5 MMscf/d and compresses 1 "
         "MMscf/d in this weather; it cannot run; check turndown, derating "
         "and the ambient temperature\n"},
        {{.capacity_sm3s = 0, .least_sm3s = 1, .state = UNIT_DOWN},
         8e6,
         1e6,
         ""},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct setting s;
        set_up(&s);
        struct field *f = &s.b.field;
        struct compressor_spec spec = {.p_discharge_pa =
                                           ROWS[i].p_discharge_pa};
        struct field_compressor units[2] = {{.name = "J", .capacity_sm3s = 9},
                                            ROWS[i].unit};
        units[1].name = "K";
        units[1].at = (struct place){"k", 1, 1};
        units[1].spec = ROWS[i].p_discharge_pa > 0 ? &spec : NULL;
        f->groups[GROUP_MANIFOLD].group[0].p_header_pa = 500 * 6894.757293168;
        f->prices.given = true;
        f->station.has_compressors = true;
        f->station.n_compressors = 2;
        f->station.compressor = units;
        f->station.power_max_w = ROWS[i].power_max_w;
        field_check(f, &s.diag);
        struct strbuf text;
        strbuf_init(&text, &s.arena);
        diag_write(&s.diag, 20, &text);
        cr_expect(text_is(text.text, ROWS[i].want), "row %zu", i);
        tear_down(&s);
    }
}

Test(check, sales_that_no_machine_can_deliver_are_told, .timeout = 5)
{
    struct setting s;
    set_up(&s);
    struct field *f = &s.b.field;
    struct field_compressor unit = {.name = "K",
                                    .capacity_sm3s = builder_gas(800)};
    f->station.has_compressors = true;
    f->station.n_compressors = 1;
    f->station.compressor = &unit;
    f->sales.min_sm3s = builder_gas(1000);
    f->sales.from = SIDE_SUCTION;
    field_check(f, &s.diag);
    cr_expect(eq(sz, s.diag.n, 0));
    f->sales.from = SIDE_DISCHARGE;
    f->market.enters = SIDE_DISCHARGE;
    f->market.max_sm3s = builder_gas(300);
    field_check(f, &s.diag);
    cr_expect(eq(sz, s.diag.n, 0));
    f->market.max_sm3s = builder_gas(100);
    field_check(f, &s.diag);
    cr_assert(eq(sz, s.diag.n_warnings, 1));
    cr_expect(text_is(s.diag.item[0].what,
                      "the minimum of 1 MMscf/d is more than the 0.9 MMscf/d "
                      "that there can be at discharge"));
    tear_down(&s);
}
