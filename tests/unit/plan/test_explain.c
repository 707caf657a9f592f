/* The three wells of docs/method.md, section 5, worked by hand there: gas at
 * 0.45 stb/Mscf, A at 100 Mscf/d, B and C at 500. */
#include "plan/explain.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "support/plan_case.h"

enum { A, B, C };

struct told {
    struct builder builder;
    struct plan_options ask;
    struct plan plan;
    double one; /* stb/Mscf */
};

static void three_wells(struct told *t, struct arena *a)
{
    static const double GAS_A[] = {0, 200, 400, 600, 800};
    static const double OIL_A[] = {200, 290, 350, 380, 390};
    static const double GAS_B[] = {300, 500, 700, 900};
    static const double OIL_B[] = {150, 260, 310, 330};
    static const double GAS_C[] = {100, 300, 500, 700, 900};
    static const double OIL_C[] = {20, 60, 180, 260, 290};
    struct builder *b = &t->builder;
    builder_init(b, a);
    builder_reading(builder_well(b, "A", 5, GAS_A, OIL_A, 1, 0.4), 400,
                    WELL_FLOWING);
    builder_reading(builder_well(b, "B", 4, GAS_B, OIL_B, 1, 0.4), 400,
                    WELL_FLOWING);
    builder_reading(builder_well(b, "C", 5, GAS_C, OIL_C, 1, 0.4), 300,
                    WELL_FLOWING);
    b->field.limits.caps.lift_sm3s = builder_gas(1100);
    t->ask = case_exact();
    t->one = builder_oil(1) / builder_gas(1);
    t->plan = case_solve(b, &t->ask, "three wells");
}

static struct explanation told_of(const struct told *t, size_t well)
{
    struct explanation e;
    plan_explain(&t->builder.field, t->builder.curves, &t->ask, &t->plan, well,
                 t->builder.arena, &e);
    return e;
}

/* B keeps 260 - 225 = 35 of its oil, off nothing: equal at 260/500, or with
 * 225/260 of its oil. */
Test(explain, a_well_that_runs_says_when_it_would_stop, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct told t;
    three_wells(&t, &a);
    struct explanation e = told_of(&t, B);
    cr_assert(eq(sz, e.n_ways, 2));
    cr_expect(eq(sz, e.chosen, 0));
    cr_expect(eq(sz, e.next, 1));
    cr_expect(eq(int, e.way[0].kind, WAY_CURVE));
    cr_expect(eq(int, e.way[1].kind, WAY_OFF));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(e.way[0].gas_sm3s), 500, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_stb_d(e.way[0].worth), 35, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_stb_d(e.way[1].worth), 0, 1e-6));
    cr_expect(epsilon_eq(dbl, e.slope_charged / t.one, 0.45, 1e-6));
    cr_expect(epsilon_eq(dbl, e.slope_below / t.one, 0.55, 1e-6));
    cr_expect(epsilon_eq(dbl, e.slope_above / t.one, 0.25, 1e-6));
    cr_expect(epsilon_eq(dbl, e.charge_to_switch / t.one, 0.52, 1e-6));
    cr_expect(epsilon_eq(dbl, e.oil_part_to_switch, 225.0 / 260, 1e-6));
    cr_expect(eq(int, e.hold, HOLD_NOTHING));
    arena_release(&a);
}

/* At 0.45 C would rather be off: 180 - 225 = -45; yet whole wells leave no
 * better use for its gas. */
Test(explain, a_well_that_runs_at_a_loss_says_so, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct told t;
    three_wells(&t, &a);
    struct explanation e = told_of(&t, C);
    cr_assert(eq(sz, e.n_ways, 3));
    cr_expect(eq(int, e.way[e.next].kind, WAY_OFF));
    cr_expect(epsilon_eq(dbl, builder_stb_d(e.way[e.chosen].worth), -45, 1e-6));
    cr_expect(
        epsilon_eq(dbl, builder_mscf_d(e.way[e.chosen].gas_sm3s), 500, 1e-6));
    cr_expect(epsilon_eq(dbl, e.charge_to_switch / t.one, 0.36, 1e-6));
    /* 20 - 45 = -25 at 100 Mscf/d is the other piece's best. */
    cr_expect(eq(sz, e.next, 0));
    cr_expect(epsilon_eq(dbl, builder_stb_d(e.way[1].worth), -25, 1e-6));
    cr_expect(eq(sz, e.chosen, 2));
    arena_release(&a);
}

Test(explain, what_holds_a_well_is_named, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct told t;
    three_wells(&t, &a);
    struct field_well *w = t.builder.field.well;
    w[B].lift_max_sm3s = builder_gas(500);
    cr_expect(eq(int, told_of(&t, B).hold, HOLD_MAXIMUM));
    w[B].lift_max_sm3s = builder_gas(900);
    w[B].lift_min_sm3s = builder_gas(500);
    cr_expect(eq(int, told_of(&t, B).hold, HOLD_MINIMUM));
    w[B].lift_min_sm3s = 0;
    w[B].change_max_sm3s = builder_gas(100);
    cr_expect(eq(int, told_of(&t, B).hold, HOLD_CHANGE));
    w[B].change_max_sm3s = 0;
    w[B].step_sm3s = builder_gas(50);
    cr_expect(eq(int, told_of(&t, B).hold, HOLD_STEP));
    w[B].reading.status = WELL_HELD;
    cr_expect(eq(int, told_of(&t, B).hold, HOLD_LOCKED));
    w[B].reading.status = WELL_DOWN;
    cr_expect(eq(int, told_of(&t, B).hold, HOLD_DOWN));
    arena_release(&a);
}
