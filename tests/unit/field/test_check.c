#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/strbuf.h"
#include "field/check.h"
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
        builder_manifold(&s->b, "north", 1000);
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
    "warning: manifold north can take 0.5 MMscf/d, yet the wells locked on it "
    "take 0.6 MMscf/d; release one of them, or raise the manifold's limit\n",
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
