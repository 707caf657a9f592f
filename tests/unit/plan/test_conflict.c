/* Built conflicts: the sentence names what was planted and nothing else, and
 * leaving away any one of the planted limits makes a plan. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdint.h>
#include <stdio.h>

#include "plan/relax.h"
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

/* With the reasons why it is impossible. */
static struct plan reasoned(const struct builder *b,
                            const struct plan_options *o, const char *label)
{
    struct err err = {0};
    struct plan p = case_solve(b, o, label);
    cr_assert(eq(int, plan_reasons(&b->field, b->curves, o, b->arena, &p, &err),
                 ST_OK),
              "%s: %s", label, err.msg);
    return p;
}

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
        struct plan p = reasoned(&b, &o, CONFLICTS[i].sentence);
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
    struct plan p = reasoned(&b, &o, "seven wells");
    cr_assert(text_is(p.conflict,
                      "these cannot be met together: the wells that may not "
                      "stop (A, B, C, D, E and 2 more); at most 1 MMscf/d of "
                      "lift gas in the field"));
    arena_release(&a);
}

/* --- how far limits have to move ------------------------------------------ */

/* By hand: the wells make 100, 140, 180 stb/d at 200, 300, 400 Mscf/d, as much
 * water, and half an Mscf of gas a barrel. */
static const struct {
    size_t row; /* of CONFLICTS */
    const char *what;
    enum plan_limit_kind kind;
    double to; /* Mscf/d or stb/d */
    bool is_liquid;
} ALONE[] = {
    {0, "lift gas", PLAN_LIMIT_LIFT, 900, false},
    {1, "manifold north", PLAN_LIMIT_LIFT, 600, false},
    {2, "bought", PLAN_LIMIT_PURCHASE, 100, false},
    {2, "sold", PLAN_LIMIT_SALES_MIN, 300, false},
    {3, "bought", PLAN_LIMIT_PURCHASE, 125, false},
    {3, "sold", PLAN_LIMIT_SALES_MIN, 75, false},
    {3, "water", PLAN_LIMIT_WATER, 400, true},
    {4, "compressed", PLAN_LIMIT_COMPRESSION, 600, false},
    {6, "flared", PLAN_LIMIT_FLARE, 50, false},
    {6, "sold", PLAN_LIMIT_SALES_MAX, 70, false},
    {7, "liquid", PLAN_LIMIT_LIQUID, 280, true},
};

static struct plan impossible(size_t row, struct builder *b, struct arena *a)
{
    arena_init(a);
    builder_init(b, a);
    build(b);
    CONFLICTS[row].plant(b);
    struct plan_options o = plan_options_default();
    struct plan p = reasoned(b, &o, CONFLICTS[row].sentence);
    cr_assert(p.relax != NULL, "row %zu", row);
    return p;
}

Test(relax, says_how_far_each_limit_alone_has_to_move, .timeout = 60)
{
    for (size_t i = 0; i < sizeof ALONE / sizeof ALONE[0]; i++) {
        struct arena a;
        struct builder b;
        struct plan p = impossible(ALONE[i].row, &b, &a);
        bool is_found = false;
        for (size_t k = 0; k < p.relax->n_alone; k++) {
            const struct relaxed_limit *l = &p.relax->alone[k];
            if (!l->has_amount || l->kind != ALONE[i].kind)
                continue;
            double to = ALONE[i].is_liquid ? builder_stb_d(l->to)
                                           : builder_mscf_d(l->to);
            cr_expect(epsilon_eq(dbl, to, ALONE[i].to, 1e-3), "row %zu", i);
            cr_expect(text_has(l->what, ALONE[i].what), "row %zu: %s", i,
                      l->what);
            is_found = true;
        }
        cr_expect(is_found, "row %zu", i);
        arena_release(&a);
    }
}

Test(relax, a_limit_moved_that_far_leaves_a_plan_and_less_far_none,
     .timeout = 60)
{
    for (int k = 0; k < 2; k++) {
        struct arena a;
        struct builder b;
        struct plan p = impossible(0, &b, &a);
        double to_sm3s = (double)NAN;
        for (size_t i = 0; i < p.relax->n_alone; i++)
            if (p.relax->alone[i].has_amount)
                to_sm3s = p.relax->alone[i].to;
        b.field.limits.caps.lift_sm3s = k == 0 ? to_sm3s : 0.999 * to_sm3s;
        struct plan_options o = plan_options_default();
        struct plan again = case_solve(&b, &o, "moved");
        cr_expect(eq(int, again.outcome == PLAN_IMPOSSIBLE, k == 1));
        arena_release(&a);
    }
}

Test(relax, gives_up_the_less_important_first, .timeout = 60)
{
    static const struct {
        size_t row, n_moved;
        const char *what;
        double oil; /* of the plan, stb/d; 0: there is none */
    } ROWS[] = {
        {0, 1, "may not stop", 360}, /* two run at 400, the third stops */
        {1, 0, "", 0},               /* locks and manifolds never move */
        {2, 1, "at least 0.4 MMscf/d sold", 600},
        {3, 1, "at least 0.2 MMscf/d sold", 150},
        {4, 1, "may not stop", 240}, /* A at 300, and C at 200 */
        {5, 1, "at most 0 moves", 0},
        {6, 1, "at most 0.02 MMscf/d sold", 0},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct arena a;
        struct builder b;
        struct plan p = impossible(ROWS[i].row, &b, &a);
        const struct plan_relax *r = p.relax;
        cr_assert(eq(sz, r->n_moved, ROWS[i].n_moved), "row %zu", i);
        cr_expect(eq(int, r->has_plan, i != 1), "row %zu", i);
        if (r->n_moved > 0)
            cr_expect(text_has(r->moved[0].what, ROWS[i].what), "row %zu: %s",
                      i, r->moved[0].what);
        if (ROWS[i].oil > 0)
            cr_expect(
                epsilon_eq(dbl, case_oil_stb_d(&r->plan), ROWS[i].oil, 1e-2),
                "row %zu: %g", i, case_oil_stb_d(&r->plan));
        arena_release(&a);
    }
}
