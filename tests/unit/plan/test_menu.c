/* The ways of a well that its rules leave, each by hand. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "../../../src/plan/menu.h"
#include "support/field_builder.h"

TestSuite(menu, .timeout = 10);

/* Rises to 400 and falls; a dent at 200. */
static const double GAS[] = {0, 100, 200, 300, 400, 500};
static const double STB[] = {0, 50, 45, 120, 140, 130};

struct ways {
    struct arena arena;
    struct builder b;
    struct field_well *w;
    struct plan_units units;
    struct menu menu;
};

static void open_well(struct ways *k, double now)
{
    *k = (struct ways){0};
    arena_init(&k->arena);
    builder_init(&k->b, &k->arena);
    k->w = builder_well(&k->b, "A", 6, GAS, STB, 1, 0.5);
    builder_reading(k->w, now, WELL_FLOWING);
    k->units = (struct plan_units){builder_gas(1), builder_oil(1)};
}

static void make(struct ways *k)
{
    menu_make(&k->b.field, k->b.curves, 0, &k->units, false, &k->arena,
              &k->menu);
}

static bool is_near(double got, double want)
{
    return fabs(got - want) <= 1e-9;
}

/* One rate, moved or not. */
static void expect_rate(const struct ways *k, size_t mode, double gas,
                        bool moved, const char *label)
{
    const struct mode *m = &k->menu.mode[mode];
    cr_expect(eq(sz, m->n, 1), "%s, mode %zu", label, mode);
    cr_expect(is_near(m->point[0].gas, gas), "%s, mode %zu: %g", label, mode,
              m->point[0].gas);
    cr_expect(eq(int, m->moved, moved), "%s, mode %zu", label, mode);
}

/* Between two running rates the change is at most 60; into the range it is the
 * smallest that leads there. */
Test(menu, a_change_is_no_larger_than_it_may_be)
{
    static const struct {
        double now, min, max, from, to;
    } ROWS[] = {
        {350, 100, 500, 290, 400}, /* and not past the peak */
        {250, 100, 500, 190, 310}, {350, 320, 380, 320, 380},
        {50, 300, 400, 300, 300},  {480, 100, 300, 300, 300},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct ways k;
        open_well(&k, ROWS[i].now);
        k.w->may_stop = false;
        k.w->lift_min_sm3s = builder_gas(ROWS[i].min);
        k.w->lift_max_sm3s = builder_gas(ROWS[i].max);
        k.w->change_max_sm3s = builder_gas(60);
        make(&k);
        const struct mode *last = &k.menu.mode[k.menu.n_modes - 1];
        cr_expect(is_near(k.menu.mode[0].point[0].gas, ROWS[i].from), "row %zu",
                  i);
        cr_expect(is_near(last->point[last->n - 1].gas, ROWS[i].to), "row %zu",
                  i);
        arena_release(&k.arena);
    }
}

/* Of steps that make no more oil than one of less gas none is of use, unless
 * its water or gas is less too: here formation gas is not in proportion. */
Test(menu, steps_that_make_less_oil_are_left_out_where_all_is_in_proportion)
{
    static const double AWAY[] = {0, 25, 22, 60, 71, 65};
    for (int follows = 0; follows < 2; follows++) {
        struct ways k;
        open_well(&k, 0);
        double own[6];
        for (size_t i = 0; i < 6; i++)
            own[i] = builder_gas(AWAY[i]);
        if (!follows)
            k.b.curves[0].formation_sm3s = own;
        k.w->step_sm3s = builder_gas(100);
        make(&k);
        static const double ALL[] = {0, 100, 200, 300, 400, 500};
        static const double SOME[] = {0, 100, 300, 400};
        size_t n = follows ? 4 : 6;
        cr_assert(eq(sz, k.menu.n_modes, n));
        for (size_t m = 0; m < n; m++)
            expect_rate(&k, m, follows ? SOME[m] : ALL[m], m > 0, "steps");
        arena_release(&k.arena);
    }
}

/* Then a mixture of distant points leaves the curve: only lines, up to the
 * end. In proportion: chains 0 to 100, 100 to 200 to ..., up to the peak. */
Test(menu, wells_whose_water_or_gas_goes_its_own_way_have_lines_only)
{
    for (int water = 0; water < 2; water++) {
        struct ways k;
        open_well(&k, 0);
        double own[6];
        const double **part =
            water ? &k.b.curves[0].water_sm3s : &k.b.curves[0].formation_sm3s;
        for (size_t i = 0; i < 6; i++)
            own[i] = (*part)[i] * (i == 3 ? 1.001 : 1);
        *part = own;
        make(&k);
        cr_assert(eq(sz, k.menu.n_modes, 5));
        for (size_t m = 0; m < 5; m++) {
            cr_expect(eq(sz, k.menu.mode[m].n, 2));
            cr_expect(not(k.menu.mode[m].is_chain));
        }
        arena_release(&k.arena);
    }
}

/* No multiple of 100 is within 30 of 250, and it may not stop. */
Test(menu, a_well_that_must_run_and_has_no_rate_left_stays_as_it_is)
{
    struct ways k;
    open_well(&k, 250);
    k.w->may_stop = false;
    k.w->lift_min_sm3s = builder_gas(100);
    k.w->step_sm3s = builder_gas(100);
    k.w->change_max_sm3s = builder_gas(30);
    make(&k);
    cr_assert(eq(sz, k.menu.n_modes, 1));
    expect_rate(&k, 0, 250, false, "stays");
    arena_release(&k.arena);
}

/* Shut in it makes nothing, which is a change and no running. */
Test(menu, only_a_well_that_flows_alone_is_shut_in)
{
    static const double ALONE[] = {20, 50, 60, 120, 140, 130};
    for (int flows = 0; flows < 2; flows++) {
        struct ways k;
        open_well(&k, 0);
        size_t from = flows ? 0 : 1;
        builder_well(&k.b, "B", 6 - from, GAS + from, ALONE + from, 1, 0.5);
        k.b.field.well[1].may_shut = true;
        menu_make(&k.b.field, &k.b.curves[1], 1, &k.units, false, &k.arena,
                  &k.menu);
        const struct mode *last = &k.menu.mode[k.menu.n_modes - 1];
        cr_expect(eq(int, last->shut, flows));
        if (flows) {
            expect_rate(&k, k.menu.n_modes - 1, 0, true, "shut");
            cr_expect(last->point[0].oil == 0 && !last->runs);
        }
        arena_release(&k.arena);
    }
}

/* Below the start of flow: it takes gas, so that wells that run only with it
 * may run. */
Test(menu, a_dead_well_that_is_locked_with_gas_counts_as_running)
{
    static const enum well_status STATUS[] = {WELL_HELD, WELL_DOWN};
    for (size_t i = 0; i < 2; i++) {
        struct ways k;
        open_well(&k, 0);
        struct field_well *w =
            builder_well(&k.b, "B", 5, GAS + 1, STB + 1, 1, 0.5);
        builder_reading(w, 50, STATUS[i]);
        menu_make(&k.b.field, &k.b.curves[1], 1, &k.units, false, &k.arena,
                  &k.menu);
        cr_assert(eq(sz, k.menu.n_modes, 1));
        expect_rate(&k, 0, i == 0 ? 50 : 0, false, "locked");
        cr_expect(eq(int, k.menu.mode[0].runs, i == 0));
        cr_expect(k.menu.mode[0].point[0].oil == 0);
        arena_release(&k.arena);
    }
}
