/* Built conflicts: the sentence names what was planted and nothing else, and
 * leaving away any one of the planted limits makes a plan. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdint.h>
#include <stdio.h>

#include "support/plan_case.h"
#include "support/text.h"

/* Two dead wells on "north", one on "south", that need 200 to 600 Mscf/d; a
 * field that is otherwise free. */
static void build(struct builder *b)
{
    static const double GAS[] = {200, 400, 600}, OIL[] = {100, 180, 200};
    size_t south = builder_manifold(b, "south", (double)INFINITY);
    for (int i = 0; i < 3; i++) {
        static const char *const NAMES[] = {"A", "B", "C"};
        struct field_well *w = builder_well(b, NAMES[i], 3, GAS, OIL, 1, 0.5);
        builder_reading(w, 300, WELL_FLOWING);
        if (i == 2)
            w->group[GROUP_MANIFOLD] = south;
    }
}

static void must_run(struct builder *b, size_t i, double min_mscf_d)
{
    b->field.well[i].may_stop = false;
    b->field.well[i].lift_min_sm3s = builder_gas(min_mscf_d);
}

static void minima_above_the_gas(struct builder *b)
{
    for (size_t i = 0; i < 3; i++)
        must_run(b, i, 300);
    b->field.limits.caps.lift_sm3s = builder_gas(800);
}

static void locked_wells_above_the_manifold(struct builder *b)
{
    builder_reading(&b->field.well[0], 300, WELL_TEST);
    builder_reading(&b->field.well[1], 300, WELL_HELD);
    b->field.groups[GROUP_MANIFOLD].group[0].caps.lift_sm3s = builder_gas(500);
    b->field.limits.caps.lift_sm3s = builder_gas(2000);
}

static void sales_above_what_there_is(struct builder *b)
{
    b->field.sales.min_sm3s = builder_gas(400);
}

static void sales_above_what_the_water_allows(struct builder *b)
{
    b->field.sales.min_sm3s = builder_gas(200);
    b->field.limits.caps.water_sm3s = builder_oil(150);
}

static void minima_above_the_compressors(struct builder *b)
{
    static struct field_compressor compressor;
    compressor = (struct field_compressor){
        .name = "C-1",
        .capacity_sm3s = builder_gas(500),
        .state = UNIT_RUNNING,
    };
    b->field.station.has_compressors = true;
    b->field.station.n_compressors = 1;
    b->field.station.compressor = &compressor;
    must_run(b, 0, 300);
    must_run(b, 1, 300);
}

static void must_change_without_moves(struct builder *b)
{
    b->field.well[0].lift_min_sm3s = builder_gas(350);
    b->field.limits.caps.moves = 0;
}

static void nowhere_for_the_gas(struct builder *b)
{
    must_run(b, 0, 300);
    b->field.sales.max_sm3s = builder_gas(20);
}

static void locked_well_makes_too_much_liquid(struct builder *b)
{
    builder_reading(&b->field.well[2], 300, WELL_HELD);
    b->field.limits.caps.liquid_sm3s = builder_oil(100);
}

struct conflict {
    void (*plant)(struct builder *b);
    const char *sentence;
};

static const struct conflict CONFLICTS[] = {
    {minima_above_the_gas,
     "these cannot be met together: the wells that may not stop (A, B, C); at "
     "most 0.8 MMscf/d of lift gas in the field"},
    {locked_wells_above_the_manifold,
     "these cannot be met together: at most 0.5 MMscf/d of lift gas on "
     "manifold north; the wells locked at their rate (A, B)"},
    {sales_above_what_there_is,
     "these cannot be met together: at most 0 MMscf/d bought; at least 0.4 "
     "MMscf/d sold"},
    {sales_above_what_the_water_allows,
     "these cannot be met together: at most 0 MMscf/d bought; at least 0.2 "
     "MMscf/d sold; at most 150 stb/d of water in the field"},
    {minima_above_the_compressors,
     "these cannot be met together: the wells that may not stop (A, B); at "
     "most 0.5 MMscf/d compressed by the units as they are"},
    {must_change_without_moves,
     "this cannot be met: at most 0 moves (the present rate is not allowed: "
     "A)"},
    {nowhere_for_the_gas,
     "these cannot be met together: the wells that may not stop (A); at most "
     "0 MMscf/d flared; at most 0.02 MMscf/d sold"},
    {locked_well_makes_too_much_liquid,
     "these cannot be met together: the wells locked at their rate (C); at "
     "most 100 stb/d of liquid in the field"},
};
#define N_CONFLICTS (sizeof CONFLICTS / sizeof CONFLICTS[0])

Test(conflict, is_named_in_the_words_of_the_scenario, .timeout = 30)
{
    for (size_t i = 0; i < N_CONFLICTS; i++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        build(&b);
        CONFLICTS[i].plant(&b);
        struct plan_options o = plan_options_default();
        struct plan p = case_solve(&b, &o, CONFLICTS[i].sentence);
        cr_assert(eq(int, p.outcome, PLAN_IMPOSSIBLE), "row %zu", i);
        cr_expect(text_is(p.conflict, CONFLICTS[i].sentence), "row %zu", i);
        arena_release(&a);
    }
}

/* Each way to leave one limit away. */
static void relax(struct builder *b, int way)
{
    struct field *f = &b->field;
    double none = (double)INFINITY;
    switch (way) {
    case 0:
        f->limits.caps.lift_sm3s = none;
        break;
    case 1:
        f->groups[GROUP_MANIFOLD].group[0].caps.lift_sm3s = none;
        break;
    case 2:
        f->limits.caps.water_sm3s = f->limits.caps.liquid_sm3s = none;
        break;
    case 3:
        f->station.has_compressors = false;
        break;
    case 4:
        f->limits.caps.moves = SIZE_MAX;
        break;
    case 5:
        f->sales.min_sm3s = 0;
        f->sales.max_sm3s = none;
        break;
    case 6:
        f->market.max_sm3s = none;
        break;
    case 7:
        f->station.flare_max_sm3s = none;
        break;
    case 8:
        for (size_t i = 0; i < f->n_wells; i++)
            f->well[i].may_stop = true;
        break;
    default:
        for (size_t i = 0; i < f->n_wells; i++)
            f->well[i].reading.status = WELL_FLOWING;
        break;
    }
}

Test(conflict, ends_when_any_one_of_its_limits_is_left_away, .timeout = 60)
{
    /* How many of the ways above end each conflict: as many as are named. */
    static const int WAYS[N_CONFLICTS] = {2, 2, 2, 3, 2, 1, 3, 2};
    for (size_t i = 0; i < N_CONFLICTS; i++) {
        int ends = 0;
        for (int way = 0; way < 10; way++) {
            struct arena a;
            arena_init(&a);
            struct builder b;
            builder_init(&b, &a);
            build(&b);
            CONFLICTS[i].plant(&b);
            relax(&b, way);
            struct plan_options o = plan_options_default();
            char label[32];
            snprintf(label, sizeof label, "row %zu, way %d", i, way);
            struct plan p = case_solve(&b, &o, label);
            ends += p.outcome != PLAN_IMPOSSIBLE;
            arena_release(&a);
        }
        cr_expect(eq(int, ends, WAYS[i]), "row %zu", i);
    }
}

Test(conflict, counts_the_wells_that_it_does_not_name, .timeout = 30)
{
    static const double GAS[] = {200, 400}, OIL[] = {100, 180};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    static const char *const NAMES[] = {"A", "B", "C", "D", "E", "F", "G"};
    for (size_t i = 0; i < 7; i++) {
        builder_well(&b, NAMES[i], 2, GAS, OIL, 0, 0);
        must_run(&b, i, 200);
    }
    b.field.limits.caps.lift_sm3s = builder_gas(1000);
    struct plan_options o = plan_options_default();
    struct plan p = case_solve(&b, &o, "seven wells");
    cr_assert(text_is(p.conflict,
                      "these cannot be met together: the wells that may not "
                      "stop (A, B, C, D, E and 2 more); at most 1 MMscf/d of "
                      "lift gas in the field"));
    arena_release(&a);
}
