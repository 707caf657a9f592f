/* Three wells of straight lines. A makes 0.5 stb/Mscf up to 400 Mscf/d, on 100
 * stb/d without gas; B 0.3 up to 300, on 50; C 0.3 from 200 to 500 and nothing
 * below. All figures here by hand. */
#include "plan/outage.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "support/plan_case.h"

#define WELLS 3
#define STEPS 4
#define HOUR 3600.0

TestSuite(outage_ladder, .timeout = 20);

struct cut {
    struct arena arena;
    struct builder b;
    struct well_restart restart[WELLS];
    bool never_stops[WELLS];
    struct outage outage;
    struct ladder ladder;
};

static void open_field(struct cut *c)
{
    static const double GAS_A[] = {0, 400}, OIL_A[] = {100, 300};
    static const double GAS_B[] = {0, 300}, OIL_B[] = {50, 140};
    static const double GAS_C[] = {200, 500}, OIL_C[] = {60, 150};
    *c = (struct cut){0};
    arena_init(&c->arena);
    builder_init(&c->b, &c->arena);
    builder_reading(builder_well(&c->b, "A", 2, GAS_A, OIL_A, 1, 0.5), 400,
                    WELL_FLOWING);
    builder_reading(builder_well(&c->b, "B", 2, GAS_B, OIL_B, 1, 0.5), 300,
                    WELL_FLOWING);
    builder_reading(builder_well(&c->b, "C", 2, GAS_C, OIL_C, 1, 0.5), 500,
                    WELL_FLOWING);
    for (size_t i = 0; i < WELLS; i++)
        c->restart[i] = (struct well_restart){.comes_back = true};
    c->outage = (struct outage){.restart = c->restart,
                                .never_stops = c->never_stops,
                                .store_sm3 = builder_gas(10) * 24 * HOUR};
}

static void make_ladder(struct cut *c, double lasts_s)
{
    struct plan_options o = case_exact();
    struct err err = {0};
    cr_assert(eq(int,
                 outage_ladder(&c->b.field, c->b.curves, &c->outage, &o,
                               lasts_s, STEPS, &c->arena, &c->ladder, &err),
                 ST_OK),
              "%s", err.msg);
}

static void expect_oil(const struct ladder *l, const double *oil, size_t n)
{
    cr_assert(eq(sz, l->n, n));
    for (size_t i = 0; i < n; i++)
        cr_expect(
            epsilon_eq(dbl, builder_stb_d(l->step[i].oil_sm3s), oil[i], 1e-6),
            "step %zu", i);
}

Test(outage_ladder, each_step_makes_the_most_of_its_gas)
{
    static const double OIL[] = {590, 500, 410, 300, 150};
    static const double GAS[] = {1200, 900, 600, 300, 0};
    struct cut c;
    open_field(&c);
    make_ladder(&c, 2 * HOUR);
    expect_oil(&c.ladder, OIL, 5);
    for (size_t i = 0; i < c.ladder.n; i++)
        cr_expect(epsilon_eq(dbl, builder_mscf_d(c.ladder.step[i].gas_sm3s),
                             GAS[i], 1e-6));
    cr_expect(not(c.ladder.is_short));
    arena_release(&c.arena);
}

Test(outage_ladder, a_step_has_the_fewest_changes_that_will_do)
{
    static const size_t CHANGES[] = {0, 1, 1, 2, 1};
    struct cut c;
    open_field(&c);
    make_ladder(&c, 2 * HOUR);
    for (size_t i = 0; i < c.ladder.n; i++)
        cr_expect(eq(sz, c.ladder.step[i].n_changes, CHANGES[i]), "step %zu",
                  i);
    arena_release(&c.arena);
}

Test(outage_ladder, changes_follow_each_other_and_are_all_cuts)
{
    static const double NOW[] = {400, 300, 500};
    struct cut c;
    open_field(&c);
    make_ladder(&c, 2 * HOUR);
    double gas[WELLS];
    for (size_t i = 0; i < WELLS; i++)
        gas[i] = builder_gas(NOW[i]);
    for (size_t k = 0; k < c.ladder.n; k++) {
        const struct ladder_step *step = &c.ladder.step[k];
        double lost = 0, left = 0;
        for (size_t i = 0; i < step->n_changes; i++) {
            const struct ladder_change *x = &step->change[i];
            cr_expect(epsilon_eq(dbl, x->from_sm3s, gas[x->well], 1e-9));
            cr_expect(lt(dbl, x->to_sm3s, x->from_sm3s));
            gas[x->well] = x->to_sm3s;
            lost += x->oil_lost_sm3s;
        }
        for (size_t i = 0; i < WELLS; i++)
            left += gas[i];
        cr_expect(epsilon_eq(dbl, left, step->gas_sm3s, 1e-9), "step %zu", k);
        double before = k > 0 ? step[-1].oil_sm3s : step->oil_sm3s;
        cr_expect(epsilon_eq(dbl, before - step->oil_sm3s, lost, 1e-9));
    }
    arena_release(&c.arena);
}

Test(outage_ladder, in_a_step_the_least_oil_for_its_gas_comes_first)
{
    struct cut c;
    open_field(&c);
    make_ladder(&c, 2 * HOUR);
    /* C's 0.3 before A's 0.5. */
    cr_assert(eq(sz, c.ladder.step[3].n_changes, 2));
    cr_expect(eq(sz, c.ladder.step[3].change[0].well, 2));
    cr_expect(eq(sz, c.ladder.step[3].change[1].well, 0));
    arena_release(&c.arena);
}

Test(outage_ladder, stored_gas_lasts_its_amount_over_what_is_missing)
{
    /* 10 Mscf for 300, 600, 900 and 1,200 Mscf/d. */
    static const double MINUTES[] = {48, 24, 16, 12};
    struct cut c;
    open_field(&c);
    make_ladder(&c, 2 * HOUR);
    cr_expect(isinf(c.ladder.step[0].minutes));
    for (size_t i = 0; i < STEPS; i++)
        cr_expect(
            epsilon_eq(dbl, c.ladder.step[i + 1].minutes, MINUTES[i], 1e-9));
    arena_release(&c.arena);
}

Test(outage_ladder, a_well_slower_to_return_than_the_outage_is_not_stopped)
{
    /* C keeps its 200 Mscf/d: A gives what is missing, and the list ends. */
    static const double OIL[] = {590, 500, 410, 260};
    static const struct {
        const char *why;
        double unload_s, build_up_s, lasts_s;
        bool comes_back, never_stops, is_short;
    } CASES[] = {
        {"takes three hours to unload", 3 * HOUR, 0, 2 * HOUR, true, false,
         true},
        {"is at its rate after three hours", HOUR, 2 * HOUR, 2 * HOUR, true,
         false, true},
        {"does not come back", 0, 0, 24 * HOUR, false, false, false},
        {"must not be stopped", 0, 0, 24 * HOUR, true, true, false},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct cut c;
        open_field(&c);
        c.restart[2].unload_s = CASES[i].unload_s;
        c.restart[2].build_up_s = CASES[i].build_up_s;
        c.restart[2].comes_back = CASES[i].comes_back;
        c.never_stops[2] = CASES[i].never_stops;
        make_ladder(&c, CASES[i].lasts_s);
        cr_expect(eq(int, c.ladder.is_short, CASES[i].is_short), "%s",
                  CASES[i].why);
        expect_oil(&c.ladder, OIL, 4);
        arena_release(&c.arena);
    }
}

Test(outage_ladder, crews_that_may_change_nothing_today_cut_all_the_same)
{
    static const double OIL[] = {590, 500, 410, 300, 150};
    struct cut c;
    open_field(&c);
    c.b.field.limits.caps.moves = 0;
    size_t route = builder_group(&c.b, GROUP_ROUTE, "all");
    c.b.field.groups[GROUP_ROUTE].group[route].caps.moves = 0;
    for (size_t i = 0; i < WELLS; i++)
        c.b.field.well[i].group[GROUP_ROUTE] = route;
    make_ladder(&c, 2 * HOUR);
    expect_oil(&c.ladder, OIL, 5);
    arena_release(&c.arena);
}

Test(outage_ladder, a_well_that_is_held_keeps_its_rate)
{
    /* A holds 400 Mscf/d, so that nothing is left for the fourth step. */
    static const double OIL[] = {590, 500, 410};
    struct cut c;
    open_field(&c);
    c.b.field.well[0].reading.status = WELL_HELD;
    make_ladder(&c, 2 * HOUR);
    expect_oil(&c.ladder, OIL, 3);
    arena_release(&c.arena);
}

Test(outage_ladder, no_well_gets_more_when_another_is_stopped)
{
    /* 500 to D and 200 to A, then 25. When D goes A could use 350, and is left
     * at 25. */
    static const double GAS_A[] = {0, 400}, OIL_A[] = {100, 220};
    static const double GAS_D[] = {500, 600}, OIL_D[] = {250, 260};
    static const double OIL[] = {410, 357.5, 107.5, 107.5, 100};
    struct cut c;
    open_field(&c);
    builder_init(&c.b, &c.arena);
    builder_well(&c.b, "A", 2, GAS_A, OIL_A, 1, 0.5);
    builder_well(&c.b, "D", 2, GAS_D, OIL_D, 1, 0.5);
    c.b.field.limits.caps.lift_sm3s = builder_gas(700);
    make_ladder(&c, 2 * HOUR);
    cr_assert(eq(sz, c.ladder.n, 5));
    expect_oil(&c.ladder, OIL, 5);
    arena_release(&c.arena);
}

Test(outage_ladder, a_day_without_a_plan_has_no_list)
{
    struct cut c;
    open_field(&c);
    c.b.field.well[2].may_stop = false;
    c.b.field.limits.caps.lift_sm3s = builder_gas(100);
    make_ladder(&c, 2 * HOUR);
    cr_expect(eq(sz, c.ladder.n, 0));
    arena_release(&c.arena);
}
