/* What wells and station are worth at prices, by hand. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "../../../src/plan/problem.h"
#include "support/field_builder.h"

TestSuite(worth, .timeout = 10);

#define PRICE 0.25 /* stb per Mscf of lift gas */

struct valued {
    struct arena arena;
    struct builder b;
    struct field_compressor unit[2];
    struct plan_options o;
    struct problem p;
    double *row_price;
};

/* A makes at PRICE, less its gas, 0, 25, 40, 45, 40 and 25 stb/d. X is to run
 * with 100 to 400 Mscf/d, burns 4 % and 30, and recycles; Y may run with 50
 * to 300 and burns 10 %; both burn what they have compressed. */
static void open_field(struct valued *v)
{
    static const double GAS[] = {0, 100, 200, 300, 400, 500};
    static const double STB[] = {0, 50, 90, 120, 140, 150};
    *v = (struct valued){0};
    arena_init(&v->arena);
    builder_init(&v->b, &v->arena);
    builder_well(&v->b, "A", 6, GAS, STB, 1, 1);
    v->unit[0] = (struct field_compressor){
        .name = "X",
        .state = UNIT_RUNNING,
        .least_sm3s = builder_gas(100),
        .capacity_sm3s = builder_gas(400),
        .recycles = true,
        .has_fuel = true,
        .fuel_fraction = 0.04,
        .fuel_fixed_sm3s = builder_gas(30),
    };
    v->unit[1] = (struct field_compressor){
        .name = "Y",
        .state = UNIT_AVAILABLE,
        .least_sm3s = builder_gas(50),
        .capacity_sm3s = builder_gas(300),
    };
    struct field *f = &v->b.field;
    f->station.n_compressors = 2;
    f->station.compressor = v->unit;
    f->station.has_compressors = true;
    f->station.fuel_fraction = 0.1;
    f->station.fuel_from = SIDE_DISCHARGE;
    f->sales.min_sm3s = builder_gas(10);
    f->sales.max_sm3s = builder_gas(100);
    f->sales.from = SIDE_DISCHARGE;
    f->limits.caps.lift_sm3s = builder_gas(1000);
    v->o = plan_options_default();
    v->o.oil_target_sm3s = builder_oil(20);
    problem_make(f, v->b.curves, &v->o, false, &v->arena, &v->p);
    v->row_price = ARENA_NEW(&v->arena, v->p.n_rows, double);
}

/* Problem's units of an amount. */
static double gas_of(const struct valued *v, double mscf_d)
{
    return builder_gas(mscf_d) / v->p.units.gas_sm3s;
}

static double oil_of(const struct valued *v, double stb_d)
{
    return builder_oil(stb_d) / v->p.units.oil_sm3s;
}

static double gas_price(const struct valued *v)
{
    return oil_of(v, PRICE) / gas_of(v, 1);
}

static bool is_near(double got, double want)
{
    return fabs(got - want) <= 1e-12 * fmax(fabs(want), 1);
}

Test(worth, a_price_of_the_wrong_sign_counts_as_none)
{
    static const struct {
        int row;
        double price, counts;
    } ROWS[] = {
        {ROW_LIFT, 2, 2},   {ROW_LIFT, -2, 0},   {ROW_TARGET, -2, -2},
        {ROW_TARGET, 2, 0}, {ROW_BALANCE, 2, 2}, {ROW_BALANCE, -2, -2},
        {ROW_WATER, 2, 0},  {ROW_WATER, -2, 0},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct valued v;
        open_field(&v);
        v.row_price[ROWS[i].row] = ROWS[i].price;
        struct worth w = worth_at(&v.p, v.row_price);
        double bound = ROWS[i].row == ROW_LIFT     ? gas_of(&v, 1000)
                       : ROWS[i].row == ROW_TARGET ? oil_of(&v, 20)
                                                   : 0;
        cr_expect(eq(dbl, v.row_price[ROWS[i].row], ROWS[i].counts), "row %zu",
                  i);
        cr_expect(is_near(w.fixed, ROWS[i].counts * bound), "row %zu", i);
        arena_release(&v.arena);
    }
}

/* Dear: X sends all round that it can, 100 of the 100 that it must pass, and
 * burns 4 and 30 of what is charged; Y would lose 45; all is sold that can be.
 * Paid for: both full, 384 less 30, 270, and no more sold than must be. */
Test(worth, the_station_does_its_best_at_any_price_of_compression)
{
    static const struct {
        double price;
        bool may_run, may_stop;
        double worth;
    } ROWS[] = {
        {1, true, true, 34 + 0 + 100},     {1, true, false, 34 - 45 + 100},
        {1, false, true, 34 + 100},        {-1, true, true, 354 + 270 - 10},
        {-1, true, false, 354 + 270 - 10}, {-1, false, true, 354 - 10},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct valued v;
        open_field(&v);
        v.p.unit[1].may_run = ROWS[i].may_run;
        v.p.unit[1].may_stop = ROWS[i].may_stop;
        v.row_price[ROW_COMPRESSED] = ROWS[i].price;
        struct worth w = worth_at(&v.p, v.row_price);
        cr_expect(is_near(worth_of_station(&w), gas_of(&v, ROWS[i].worth)),
                  "row %zu", i);
        arena_release(&v.arena);
    }
}

/* All gas at its price, and the 45 of the well; the station has no price. */
Test(worth, no_plan_is_better_than_limits_and_wells_at_their_prices)
{
    struct valued v;
    open_field(&v);
    v.row_price[ROW_LIFT] = gas_price(&v);
    struct worth w = worth_at(&v.p, v.row_price);
    cr_expect(is_near(worth_bound(&w), oil_of(&v, 1000 * PRICE + 45)));
    arena_release(&v.arena);
}

/* Of the chain one point that loses more stays at each end. */
Test(worth, what_loses_more_than_it_may_is_trimmed)
{
    static const struct {
        double point_loss, first;
        size_t n;
    } ROWS[] = {{0, 200, 3}, {6, 100, 5}, {21, 0, 6}, {50, 0, 6}};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct valued v;
        open_field(&v);
        v.row_price[ROW_LIFT] = gas_price(&v);
        struct worth w = worth_at(&v.p, v.row_price);
        struct menu *m =
            worth_trim(&w, 0, oil_of(&v, ROWS[i].point_loss), &v.arena);
        cr_assert(eq(sz, m->n_modes, 1));
        cr_expect(eq(sz, m->mode[0].n, ROWS[i].n), "row %zu", i);
        cr_expect(is_near(m->mode[0].point[0].gas, gas_of(&v, ROWS[i].first)),
                  "row %zu", i);
        arena_release(&v.arena);
    }
}

/* Off is worth 45 less than the chain. */
Test(worth, modes_that_lose_no_more_than_they_may_are_kept)
{
    static const double LOSS[] = {44, 46};
    for (size_t i = 0; i < 2; i++) {
        struct valued v;
        open_field(&v);
        v.b.field.well[0].lift_min_sm3s = builder_gas(100);
        problem_make(&v.b.field, v.b.curves, &v.o, false, &v.arena, &v.p);
        v.row_price[ROW_LIFT] = gas_price(&v);
        struct worth w = worth_at(&v.p, v.row_price);
        double loss = oil_of(&v, LOSS[i]);
        struct menu *m = worth_trim(&w, loss, loss, &v.arena);
        cr_expect(eq(sz, m->n_modes, 1 + i), "row %zu", i);
        arena_release(&v.arena);
    }
}
