/* What given rates make, use and cost, against sums by hand. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "../../../src/plan/account.h"
#include "support/field_builder.h"

TestSuite(account, .timeout = 10);

#define EXACT 1e-9

/* 0.9 stb/d of oil for each Mscf/d up to 500, as much water, and 0.6 Mscf/d
 * of gas for each of oil. */
static void add_well(struct builder *b)
{
    static const double GAS[] = {0, 500, 1000}, STB[] = {0, 450, 450};
    builder_well(b, "A", 3, GAS, STB, 1, 0.6);
}

static struct field_compressor *add_units(struct builder *b, size_t n)
{
    struct field_station *s = &b->field.station;
    s->has_compressors = true;
    s->n_compressors = n;
    s->compressor = ARENA_NEW(b->arena, n, struct field_compressor);
    return s->compressor;
}

static struct field_compressor unit(const char *name, enum unit_state state,
                                    double least, double capacity)
{
    return (struct field_compressor){
        .name = name,
        .state = state,
        .least_sm3s = builder_gas(least),
        .capacity_sm3s = builder_gas(capacity),
    };
}

/* --- which units run ----------------------------------------------------- */

Test(account, units_that_nobody_needs_stand_still_the_largest_least_rate_first)
{
    static const struct {
        double lift, least[3], capacity;
        bool runs[3];
    } ROWS[] = {
        /* 750 are more than 700; without the 300 they are not */
        {700, {350, 100, 300}, 1000, {true, true, false}},
        {700, {350, 300, 100}, 1000, {true, false, true}},
        /* the one that is to run stays, whatever it needs */
        {200, {350, 100, 300}, 1000, {true, false, false}},
        /* their least rates are met */
        {750, {350, 100, 300}, 1000, {true, true, true}},
        /* more than needed, but two cannot carry the gas */
        {700, {300, 250, 250}, 300, {true, true, true}},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        add_well(&b);
        struct field_compressor *u = add_units(&b, 3);
        for (size_t k = 0; k < 3; k++)
            u[k] = unit(k == 0   ? "X"
                        : k == 1 ? "Y"
                                 : "Z",
                        k == 0 ? UNIT_RUNNING : UNIT_AVAILABLE,
                        ROWS[i].least[k], ROWS[i].capacity);
        double rate = builder_gas(ROWS[i].lift);
        size_t n_beyond;
        struct plan p;
        plan_at_rates(&b.field, b.curves, &rate, &a, &p, &n_beyond);
        for (size_t k = 0; k < 3; k++) {
            cr_expect(eq(int, p.unit[k].load.runs, ROWS[i].runs[k]),
                      "row %zu, unit %zu", i, k);
            cr_expect(eq(int, p.unit[k].chosen, k > 0));
        }
        arena_release(&a);
    }
}

/* --- where the gas goes -------------------------------------------------- */

/* 600 of formation gas and 700 of lift gas. Of the 1000 that the unit moves
 * 100 are its fuel, so 200 can leave to the sales line, and 300 are flared. */
Test(account, no_more_is_sold_at_discharge_than_the_units_can_carry)
{
    struct field_compressor u = {
        .name = "X", .state = UNIT_RUNNING, .capacity_sm3s = 1000};
    struct field f = {
        .station = {.has_compressors = true,
                    .n_compressors = 1,
                    .compressor = &u,
                    .fuel_fraction = 0.1,
                    .fuel_from = SIDE_DISCHARGE},
        .sales = {.max_sm3s = 800, .from = SIDE_DISCHARGE},
    };
    struct unit_load load = {.runs = true};
    struct gas_balance b = {.formation = 600, .lift = 700};
    account_settle(&f, &b, &load);
    cr_expect(epsilon_eq(dbl, b.sales, 200, 1e-6));
    cr_expect(epsilon_eq(dbl, b.fuel, 100, 1e-6));
    cr_expect(epsilon_eq(dbl, b.flare, 300, 1e-6));
    cr_expect(epsilon_eq(dbl, b.compressed, 1000, 1e-6));
}

/* As little change as it takes: what is sold past the limit is not more, and
 * not less either. */
Test(account, a_flow_past_its_limit_is_not_pushed_further)
{
    struct field f = {.sales = {.max_sm3s = 800}};
    struct gas_balance b = {.formation = 950, .sales = 900};
    account_settle(&f, &b, NULL);
    cr_expect(epsilon_eq(dbl, b.sales, 900, EXACT));
    cr_expect(epsilon_eq(dbl, b.flare, 50, EXACT));
}

/* Nothing is made; the 100 that must be sold are bought. */
Test(account, the_least_sales_are_bought_where_they_can_be)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    add_well(&b);
    b.field.sales.min_sm3s = b.field.market.max_sm3s = builder_gas(100);
    double rate = 0;
    size_t n_beyond;
    struct plan p;
    plan_at_rates(&b.field, b.curves, &rate, &a, &p, &n_beyond);
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.sales), 100, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.bought), 100, 1e-6));
    arena_release(&a);
}

Test(account, a_rate_at_the_end_of_its_curve_is_not_past_it)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    add_well(&b);
    double rate = b.curves[0].gas_max_sm3s;
    size_t n_beyond;
    struct plan p;
    plan_at_rates(&b.field, b.curves, &rate, &a, &p, &n_beyond);
    cr_expect(eq(sz, n_beyond, 0));
    arena_release(&a);
}

/* --- limits and money ---------------------------------------------------- */

/* At 500 Mscf/d: 450 of oil and of water, 270 of formation gas, all of it
 * sold. The first unit by name takes the 400 that it can, the other 100. */
static void make_plan(struct builder *b, struct arena *a, struct plan *p)
{
    builder_init(b, a);
    add_well(b);
    struct field *f = &b->field;
    struct field_compressor *u = add_units(b, 2);
    u[0] = unit("electric", UNIT_RUNNING, 0, 400);
    u[0].electric = true;
    u[0].power_fixed_w = 1000;
    u[0].power_j_sm3 = 1e5;
    u[1] = unit("diesel", UNIT_RUNNING, 0, 400);
    u[1].power_j_sm3 = 3e5;
    f->station.power_max_w = 1e6;
    f->limits.caps = (struct field_caps){
        .lift_sm3s = builder_gas(500),
        .liquid_sm3s = builder_oil(901),
        .water_sm3s = builder_oil(450),
        .gas_sm3s = builder_gas(771),
        .moves = 1,
    };
    f->sales.min_sm3s = builder_gas(260);
    f->sales.max_sm3s = builder_gas(300);
    f->market.max_sm3s = builder_gas(10);
    f->prices = (struct field_prices){
        .oil_sm3 = 400, .power_j = 1e-6, .carbon_sm3 = 0.2, .given = true};
    struct plan_options o = plan_options_default();
    o.oil_target_sm3s = builder_oil(450);
    double rate = builder_gas(500);
    struct account_rates rates = {.gas_sm3s = &rate};
    account_fill(f, b->curves, &o, &rates, a, p);
}

Test(account, every_limit_that_there_is_has_its_use_and_whether_it_binds)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct plan p;
    make_plan(&b, &a, &p);
    const struct {
        enum plan_limit_kind kind;
        double used, bound;
        bool binds;
    } ROWS[] = {
        {PLAN_LIMIT_LIFT, builder_gas(500), builder_gas(500), true},
        {PLAN_LIMIT_LIQUID, builder_oil(900), builder_oil(901), false},
        {PLAN_LIMIT_WATER, builder_oil(450), builder_oil(450), true},
        {PLAN_LIMIT_GAS, builder_gas(770), builder_gas(771), false},
        {PLAN_LIMIT_MOVES, 1, 1, true},
        {PLAN_LIMIT_COMPRESSION, builder_gas(500), builder_gas(800), false},
        {PLAN_LIMIT_POWER, 1000 + 1e5 * builder_gas(100), 1e6, false},
        {PLAN_LIMIT_SALES_MIN, builder_gas(270), builder_gas(260), false},
        {PLAN_LIMIT_SALES_MAX, builder_gas(270), builder_gas(300), false},
        {PLAN_LIMIT_PURCHASE, 0, builder_gas(10), false},
        {PLAN_LIMIT_OIL_TARGET, builder_oil(450), builder_oil(450), true},
    };
    size_t n = sizeof ROWS / sizeof ROWS[0];
    cr_assert(eq(sz, p.n_limits, n));
    for (size_t i = 0; i < n; i++) {
        const struct plan_limit *l = &p.limit[i];
        cr_expect(eq(int, (int)l->kind, (int)ROWS[i].kind), "limit %zu", i);
        cr_expect(epsilon_eq(dbl, l->used, ROWS[i].used, EXACT * l->bound),
                  "limit %zu", i);
        cr_expect(epsilon_eq(dbl, l->bound, ROWS[i].bound, EXACT * l->bound),
                  "limit %zu", i);
        cr_expect(eq(int, l->binding, ROWS[i].binds), "limit %zu", i);
    }
    arena_release(&a);
}

/* With 30 more of formation gas than can be sold, flared. */
Test(account, the_power_of_electric_units_costs_and_so_does_what_is_flared)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct plan p;
    make_plan(&b, &a, &p);
    b.field.sales.min_sm3s = 0;
    b.field.sales.max_sm3s = builder_gas(240);
    double rate = builder_gas(500);
    size_t n_beyond;
    plan_at_rates(&b.field, b.curves, &rate, &a, &p, &n_beyond);
    double want = 400 * builder_oil(450) - 0.2 * builder_gas(30) -
                  1e-6 * (1000 + 1e5 * builder_gas(100));
    cr_expect(epsilon_eq(dbl, p.money_s, want, EXACT));
    arena_release(&a);
}
