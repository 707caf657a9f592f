/* The checker catches what is wrong with a plan: each corruption alone. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "plan/verify.h"
#include "support/plan_case.h"

enum { FREE_1, FREE_2, OFF, LOCKED, DEAD_DOWN, N_WELLS };

/* Every kind of limit is set, and none of them is far away. */
static void build(struct builder *b)
{
    static const double GAS[] = {0, 200, 500, 900, 1200};
    static const double OIL[] = {100, 300, 450, 520, 500};
    static const double LATE[] = {400, 900}, LITTLE[] = {20, 60};
    static const char *const NAMES[] = {"A", "B", "C", "D", "E"};
    for (size_t i = 0; i < N_WELLS; i++) {
        bool is_poor = i == OFF;
        builder_well(b, NAMES[i], is_poor ? 2 : 5, is_poor ? LATE : GAS,
                     is_poor ? LITTLE : OIL, 1, 0.6);
        builder_reading(&b->field.well[i], 250,
                        i == LOCKED      ? WELL_HELD
                        : i == DEAD_DOWN ? WELL_DOWN
                                         : WELL_FLOWING);
        b->field.well[i].lift_max_sm3s = builder_gas(1100);
    }
    builder_reading(&b->field.well[OFF], 450, WELL_FLOWING);
    b->field.well[FREE_1].lift_min_sm3s = builder_gas(100);

    struct field *f = &b->field;
    f->groups[GROUP_MANIFOLD].group[0].caps.lift_sm3s = builder_gas(2000);
    f->limits.caps.lift_sm3s = builder_gas(1100);
    f->limits.caps.liquid_sm3s = builder_oil(4000);
    f->limits.caps.water_sm3s = builder_oil(2000);
    f->limits.caps.moves = 3;
    f->limits.dead_band_sm3s = builder_gas(20);
    f->station.has_compressors = true;
    f->station.n_compressors = 1;
    f->station.compressor = ARENA_NEW(b->arena, 1, struct field_compressor);
    f->station.compressor->name = "C-1";
    f->station.compressor->capacity_sm3s = builder_gas(1800);
    f->station.fuel_fraction = 0.05;
    f->station.fuel_from = SIDE_DISCHARGE;
    f->station.shrinkage_fraction = 0.02;
    f->station.flare_max_sm3s = builder_gas(300);
    f->sales.min_sm3s = builder_gas(50);
    f->sales.max_sm3s = builder_gas(400);
    f->sales.from = SIDE_DISCHARGE;
    f->market.max_sm3s = builder_gas(200);
    f->prices = (struct field_prices){
        .oil_sm3 = 400,
        .water_sm3 = 10,
        .compression_sm3 = 0.01,
        .given = true,
    };
    f->sales.price_sm3 = 0.1;
    f->market.price_sm3 = 0.2;
}

struct suspect {
    struct builder builder;
    struct plan plan;
};

/* One corruption; false past the last. */
static bool corrupt(struct suspect *s, int which)
{
    struct plan *p = &s->plan;
    struct field *f = &s->builder.field;
    struct gas_balance *b = &p->balance;
    double none = (double)NAN, little = 1e-6;
    switch (which) {
    /* What the plan says of its wells. */
    case 0:
        p->well[FREE_1].gas_sm3s *= 1 + little;
        break;
    case 1:
        p->well[FREE_1].oil_sm3s *= 1 + little;
        break;
    case 2:
        p->well[FREE_2].water_sm3s *= 1 - little;
        break;
    case 3:
        p->well[FREE_2].formation_sm3s *= 1 + little;
        break;
    case 4:
        p->well[FREE_1].moved = !p->well[FREE_1].moved;
        break;
    case 5:
        p->well[LOCKED].moved = true;
        break;
    case 6:
        p->well[LOCKED].gas_sm3s *= 1 + little;
        break;
    case 7:
        p->well[DEAD_DOWN].gas_sm3s = builder_gas(1);
        break;
    case 8:
        p->well[DEAD_DOWN].oil_sm3s = builder_oil(1);
        break;
    case 9:
        p->well[OFF].gas_sm3s = builder_gas(300);
        break;
    case 10:
        p->well[OFF].gas_sm3s = -builder_gas(1);
        break;
    case 11:
        p->well[FREE_1].gas_sm3s = none;
        break;
    case 12:
        p->well[FREE_1].gas_sm3s = (double)INFINITY;
        break;
    case 13:
        p->well[FREE_1].oil_sm3s = none;
        break;
    case 14:
        p->well[FREE_1].gas_sm3s = builder_gas(1300);
        break;
    case 15:
        p->n_wells--;
        break;
    /* Its sums. */
    case 16:
        p->oil_sm3s *= 1 + little;
        break;
    case 17:
        p->water_sm3s *= 1 - little;
        break;
    case 18:
        p->money_s *= 1 + little;
        break;
    case 19:
        p->value *= 1 - little;
        break;
    case 20:
        p->value = none;
        break;
    case 21:
        p->bound = p->value * (1 - little);
        break;
    case 22:
        p->bound = none;
        break;
    case 23:
        p->bound = p->value * 1.001;
        break;
    case 24:
        p->n_moves++;
        break;
    /* Its gas. */
    case 25:
        b->formation *= 1 + little;
        break;
    case 26:
        b->lift *= 1 - little;
        break;
    case 27:
        b->bought += builder_gas(0.01);
        break;
    case 28:
        b->sales *= 1 + little;
        break;
    case 29:
        b->fuel *= 1 + little;
        break;
    case 30:
        b->flare += builder_gas(0.01);
        break;
    case 31:
        b->shrinkage *= 1 + little;
        break;
    case 32:
        b->compressed *= 1 + little;
        break;
    case 33:
        b->error = builder_gas(0.01);
        break;
    case 34:
        b->sales = none;
        break;
    /* Its limits. */
    case 35:
        p->limit[0].used *= 1 + little;
        break;
    case 36:
        p->limit[0].bound *= 1 + little;
        break;
    case 37:
        p->limit[0].price = -1;
        break;
    case 38:
        p->limit[0].price = none;
        break;
    /* The field has changed under it. */
    case 39:
        f->limits.caps.lift_sm3s = 0.999 * b->lift;
        break;
    case 40:
        f->groups[GROUP_MANIFOLD].group[0].caps.lift_sm3s = 0.999 * b->lift;
        break;
    case 41:
        f->station.compressor->state = UNIT_DOWN;
        break;
    case 42:
        f->limits.caps.liquid_sm3s = p->oil_sm3s;
        break;
    case 43:
        f->limits.caps.water_sm3s = 0.999 * p->water_sm3s;
        break;
    case 44:
        f->limits.caps.moves = p->n_moves - 1;
        break;
    case 45:
        f->limits.dead_band_sm3s = builder_gas(900);
        break;
    case 46:
        f->sales.min_sm3s = 1.001 * b->sales;
        break;
    case 47:
        f->sales.max_sm3s = 0.999 * b->sales;
        break;
    case 48:
        f->station.fuel_fraction = 0.051;
        break;
    case 49:
        f->well[OFF].may_stop = false;
        f->well[OFF].lift_min_sm3s = builder_gas(1);
        break;
    case 50:
        f->well[FREE_1].lift_min_sm3s = builder_gas(1000);
        break;
    case 51:
        f->well[FREE_1].lift_max_sm3s = builder_gas(101);
        break;
    case 52:
        f->well[LOCKED].reading.lift_sm3s = builder_gas(251);
        break;
    case 53:
        f->well[FREE_2].reading.status = WELL_DOWN;
        break;
    default:
        return false;
    }
    return true;
}

static void solve(struct suspect *s, struct arena *a)
{
    builder_init(&s->builder, a);
    build(&s->builder);
    struct plan_options o = case_exact();
    s->plan = case_solve(&s->builder, &o, "sound");
}

Test(verify, a_sound_plan_has_no_fault, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct suspect s;
    solve(&s, &a);
    cr_assert(eq(int, s.plan.outcome, PLAN_OPTIMAL));
    cr_assert(eq(dbl, s.plan.well[OFF].gas_sm3s, 0));
    cr_assert(eq(sz, s.plan.n_moves, 3));
    cr_assert(eq(sz, s.plan.n_limits, 10));
    arena_release(&a);
}

Test(verify, every_one_of_54_corruptions_is_caught, .timeout = 30)
{
    int which = 0;
    for (;; which++) {
        struct arena a;
        arena_init(&a);
        struct suspect s;
        solve(&s, &a);
        bool is_one = corrupt(&s, which);
        struct verify v;
        plan_verify(&s.builder.field, s.builder.curves, &s.plan, &a, &v);
        if (is_one)
            cr_expect(ge(sz, v.n_faults, 1), "corruption %d", which);
        else
            cr_expect(eq(sz, v.n_faults, 0));
        arena_release(&a);
        if (!is_one)
            break;
    }
    cr_assert(eq(int, which, 54));
}

Test(verify, a_fault_is_said_with_both_numbers, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct suspect s;
    solve(&s, &a);
    s.builder.field.groups[GROUP_MANIFOLD].group[0].caps.lift_sm3s =
        builder_gas(1000);
    struct verify v;
    plan_verify(&s.builder.field, s.builder.curves, &s.plan, &a, &v);
    bool is_said = false;
    for (size_t i = 0; i < v.n_faults; i++)
        is_said =
            is_said || strcmp(v.fault[i].what, "lift gas, manifold north: 1.1 "
                                               "MMscf/d of 1 MMscf/d") == 0;
    cr_assert(is_said);
    arena_release(&a);
}
