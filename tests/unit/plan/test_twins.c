/* Gas goes between lines that make the same of it, and to no others. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "../../../src/plan/offers.h"
#include "../../../src/plan/twins.h"
#include "support/plan_case.h"

TestSuite(twins, .timeout = 10);

#define N_WELLS 4

struct field_of_twins {
    struct arena arena;
    struct builder b;
    struct plan_options o;
    struct problem p;
    struct stand stand[N_WELLS];
};

/* Four wells of one line from 0 to 100 Mscf/d and 0 to 50 stb/d; of others the
 * water or the formation gas is another one. */
static void open_field(struct field_of_twins *t, const double *water,
                       const double *formation)
{
    static const double GAS[] = {0, 100}, STB[] = {0, 50};
    static const char *const NAMES[N_WELLS] = {"A", "B", "C", "D"};
    arena_init(&t->arena);
    builder_init(&t->b, &t->arena);
    for (size_t i = 0; i < N_WELLS; i++)
        builder_well(&t->b, NAMES[i], 2, GAS, STB, water[i], formation[i]);
    t->o = plan_options_default();
}

/* Orders wells that stand at these rates, and compares. */
static void expect_order(struct field_of_twins *t, const double *from,
                         const double *to, const char *label)
{
    problem_make(&t->b.field, t->b.curves, &t->o, false, &t->arena, &t->p);
    double gas = builder_gas(1) / t->p.units.gas_sm3s, oil[N_WELLS];
    for (size_t i = 0; i < N_WELLS; i++) {
        const struct use *end = &t->p.bidder[i].menu.mode[0].point[1];
        double part = from[i] / 100;
        t->stand[i] =
            (struct stand){0,
                           {part * end->gas, part * end->oil, part * end->water,
                            part * end->formation}};
        oil[i] = end->oil;
    }
    struct blocks blocks;
    struct asking asking;
    blocks_make(&t->p, &t->arena, &blocks);
    asking_make(&t->p, &blocks, true, &t->arena, &asking);
    twins_order(asking.problem, t->stand, &t->arena);
    asking_release(&asking);
    for (size_t i = 0; i < N_WELLS; i++) {
        const struct use *u = &t->stand[i].use;
        const struct use *end = &t->p.bidder[i].menu.mode[0].point[1];
        double part = to[i] / 100;
        cr_expect(epsilon_eq(dbl, u->gas, to[i] * gas, 1e-9), "%s, well %zu",
                  label, i);
        cr_expect(epsilon_eq(dbl, u->oil, part * oil[i], 1e-9), "%s, well %zu",
                  label, i);
        cr_expect(epsilon_eq(dbl, u->water, part * end->water, 1e-9),
                  "%s, well %zu", label, i);
        cr_expect(epsilon_eq(dbl, u->formation, part * end->formation, 1e-9),
                  "%s, well %zu", label, i);
    }
    arena_release(&t->arena);
}

static const double SAME[N_WELLS] = {0.5, 0.5, 0.5, 0.5};
static const double APART[N_WELLS] = {0.5, 0.7, 0.5, 0.7};
static const double FROM[N_WELLS] = {30, 60, 50, 90};

Test(twins, the_first_by_name_gets_the_gas_of_all)
{
    static const double TO[N_WELLS] = {100, 100, 30, 0};
    struct field_of_twins t;
    open_field(&t, SAME, SAME);
    expect_order(&t, FROM, TO, "alike");
}

Test(twins, wells_that_bring_other_water_or_gas_are_not_twins)
{
    static const double TO[N_WELLS] = {80, 100, 0, 50};
    struct field_of_twins t;
    open_field(&t, APART, SAME);
    expect_order(&t, FROM, TO, "water");
    open_field(&t, SAME, APART);
    expect_order(&t, FROM, TO, "formation gas");
}

/* A and C in one pad, B and D in the other. */
Test(twins, wells_that_count_in_other_limits_are_not_twins)
{
    static const double TO[N_WELLS] = {80, 100, 0, 50};
    struct field_of_twins t;
    open_field(&t, SAME, SAME);
    for (size_t i = 0; i < N_WELLS; i++) {
        if (i < 2)
            builder_group(&t.b, GROUP_PAD, i == 0 ? "P" : "Q");
        t.b.field.well[i].group[GROUP_PAD] = i % 2;
    }
    for (size_t i = 0; i < 2; i++)
        t.b.field.groups[GROUP_PAD].group[i].caps.lift_sm3s = builder_gas(500);
    expect_order(&t, FROM, TO, "pads");
}
