/* The price of each kind of limit, by hand: what one more of it would bring. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "num/tol.h"
#include "support/plan_case.h"

TestSuite(pricing, .timeout = 20);

#define RISE 0.9     /* stb of oil per Mscf of lift gas, up to 500 Mscf/d */
#define RISE_TOP 0.1 /* from there to 1000 Mscf/d */
#define OIL_PRICE 400.0

struct priced {
    struct arena arena;
    struct builder b;
    struct field *f;
    struct field_compressor unit[2];
    struct plan_options o;
    struct plan p;
};

/* A well with twice as much water as oil, and the formation gas in Mscf per
 * stb; what is left over of it can be flared. */
static void open_case(struct priced *c, double gas_per_oil)
{
    static const double GAS[] = {0, 500, 1000}, STB[] = {0, 450, 500};
    *c = (struct priced){0};
    arena_init(&c->arena);
    builder_init(&c->b, &c->arena);
    builder_well(&c->b, "A", 3, GAS, STB, 2, gas_per_oil);
    c->f = &c->b.field;
    c->f->station.flare_max_sm3s = (double)INFINITY;
    c->o = case_exact();
}

static void add_units(struct priced *c, size_t n, double mscf_d)
{
    for (size_t i = 0; i < n; i++)
        c->unit[i] = (struct field_compressor){
            .name = i == 0 ? "X" : "Y",
            .state = UNIT_RUNNING,
            .capacity_sm3s = builder_gas(mscf_d),
        };
    c->f->station.has_compressors = true;
    c->f->station.n_compressors = n;
    c->f->station.compressor = c->unit;
}

static void solve(struct priced *c, const char *label)
{
    c->p = case_solve(&c->b, &c->o, label);
    cr_assert(eq(int, (int)c->p.outcome, PLAN_OPTIMAL), "%s", label);
}

/* A limit's price, and the bounds between which it holds. */
struct want {
    enum plan_limit_kind kind;
    double price, from, to;
    int scope;
    size_t group;
};

static bool is_near(double got, double want, double size)
{
    return fabs(got - want) <= 1e-7 * size;
}

static void expect_price(const struct priced *c, struct want want,
                         const char *label)
{
    for (size_t i = 0; i < c->p.n_limits; i++) {
        const struct plan_limit *l = &c->p.limit[i];
        if (l->kind != want.kind || l->scope != want.scope ||
            l->group != want.group)
            continue;
        cr_expect(l->binding, "%s", label);
        cr_expect(is_near(l->price, want.price, want.price), "%s: %g, not %g",
                  label, l->price, want.price);
        cr_expect(is_near(l->price_from, want.from, want.to),
                  "%s: from %g, not %g", label, l->price_from, want.from);
        cr_expect(is_near(l->price_to, want.to, want.to), "%s: to %g, not %g",
                  label, l->price_to, want.to);
        return;
    }
    cr_expect(false, "%s: there is no such limit", label);
}

static void expect_field_price(const struct priced *c,
                               enum plan_limit_kind kind, double price,
                               double from, double to, const char *label)
{
    expect_price(c, (struct want){kind, price, from, to, N_GROUP_KINDS, 0},
                 label);
}

static double per_gas(void)
{
    return builder_oil(1) / builder_gas(1);
}

static double expect_lift(const struct priced *c, double mscf_d,
                          const char *label)
{
    cr_expect(epsilon_eq(dbl, builder_mscf_d(c->p.balance.lift), mscf_d,
                         1e-6 * mscf_d),
              "%s", label);
    return mscf_d;
}

/* --- the station -----------------------------------------------------------
 */

/* 400 leave the unit: 100 to the sales line, 300 to the well. One less that
 * must be sold is one more to lift with, and so is one more of the unit,
 * up to 500. With 1 lifted come 0.54 to be sold: 100 with 100 / 0.54, and all
 * that there is when s = 0.54 (400 - s). */
Test(pricing, gas_that_must_be_sold_costs_the_oil_that_it_could_lift)
{
    struct priced c;
    open_case(&c, 0.6);
    add_units(&c, 1, 400);
    c.f->sales.min_sm3s = builder_gas(100);
    c.f->sales.from = SIDE_DISCHARGE;
    solve(&c, "must sell");
    expect_lift(&c, 300, "must sell");
    expect_field_price(&c, PLAN_LIMIT_SALES_MIN, RISE * per_gas(), 0,
                       builder_gas(400 * 0.54 / 1.54), "sales");
    expect_field_price(&c, PLAN_LIMIT_COMPRESSION, RISE * per_gas(),
                       builder_gas(100 / 0.54 + 100), builder_gas(600), "unit");
    arena_release(&c.arena);
}

/* 100 can be sold and 50 flared: 150 of formation gas come with 250 of oil,
 * and 270 with the 450 up to which the oil rises so. */
Test(pricing, a_way_out_for_gas_is_worth_the_oil_that_comes_with_it)
{
    struct priced c;
    open_case(&c, 0.6);
    c.f->sales.max_sm3s = builder_gas(100);
    c.f->station.flare_max_sm3s = builder_gas(50);
    solve(&c, "out");
    expect_lift(&c, 250 / RISE, "out");
    expect_field_price(&c, PLAN_LIMIT_SALES_MAX, per_gas() / 0.6, 0,
                       builder_gas(220), "sales");
    expect_field_price(&c, PLAN_LIMIT_FLARE, per_gas() / 0.6, 0,
                       builder_gas(170), "flare");
    arena_release(&c.arena);
}

/* Fuel takes a tenth of the lift gas and the oil brings 0.05 for each 1: the
 * 10 that are bought make up for 0.1 - 0.045 of what is lifted. */
Test(pricing, bought_gas_is_worth_the_lift_that_it_fuels)
{
    struct priced c;
    double short_of = 0.1 - 0.05 * RISE;
    open_case(&c, 0.05);
    c.f->station.fuel_fraction = 0.1;
    c.f->station.fuel_from = SIDE_SUCTION;
    c.f->market.max_sm3s = builder_gas(10);
    solve(&c, "bought");
    expect_lift(&c, 10 / short_of, "bought");
    expect_field_price(&c, PLAN_LIMIT_PURCHASE, RISE / short_of * per_gas(), 0,
                       builder_gas(500 * short_of), "bought");
    arena_release(&c.arena);
}

/* One burns nothing, the other a tenth of what passes it. The better one may
 * shrink to nothing, or grow until 500 are lifted. */
Test(pricing, capacity_is_worth_what_the_best_unit_makes_of_it)
{
    for (size_t best = 0; best < 2; best++) {
        struct priced c;
        open_case(&c, 0.6);
        add_units(&c, 2, 100);
        c.f->station.fuel_from = SIDE_DISCHARGE;
        c.unit[1 - best].has_fuel = true;
        c.unit[1 - best].fuel_fraction = 0.1;
        solve(&c, "two units");
        expect_lift(&c, 190, "two units");
        expect_field_price(&c, PLAN_LIMIT_COMPRESSION, RISE * per_gas(),
                           builder_gas(100), builder_gas(510), "two units");
        arena_release(&c.arena);
    }
}

Test(pricing, electric_power_is_worth_the_gas_that_it_moves)
{
    struct priced c;
    double j_sm3 = 3e5;
    open_case(&c, 0.6);
    add_units(&c, 1, 1000);
    c.unit[0].electric = true;
    c.unit[0].power_j_sm3 = j_sm3;
    c.f->station.power_max_w = j_sm3 * builder_gas(200);
    solve(&c, "power");
    expect_lift(&c, 200, "power");
    expect_field_price(&c, PLAN_LIMIT_POWER, RISE * per_gas() / j_sm3, 0,
                       j_sm3 * builder_gas(500), "power");
    arena_release(&c.arena);
}

/* --- wells ----------------------------------------------------------------
 */

/* One of oil brings 2 of water, 3 of liquid; with 1 of lift gas come 0.54 of
 * formation gas. */
Test(pricing, what_is_handled_is_worth_the_oil_in_it)
{
    static const struct {
        const char *label;
        enum plan_limit_kind kind;
        double price, to; /* of one of oil, or of lift gas; at 500 lifted */
        bool is_gas;
    } ROWS[] = {
        {"lift", PLAN_LIMIT_LIFT, RISE, 500, true},
        {"liquid", PLAN_LIMIT_LIQUID, 1.0 / 3, 1350, false},
        {"water", PLAN_LIMIT_WATER, 0.5, 900, false},
        {"gas", PLAN_LIMIT_GAS, RISE / (1 + 0.6 * RISE), 770, true},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct priced c;
        open_case(&c, 0.6);
        double lift = 200, oil = RISE * lift;
        struct field_caps *caps = &c.f->limits.caps;
        if (ROWS[i].kind == PLAN_LIMIT_LIFT)
            caps->lift_sm3s = builder_gas(lift);
        if (ROWS[i].kind == PLAN_LIMIT_LIQUID)
            caps->liquid_sm3s = builder_oil(3 * oil);
        if (ROWS[i].kind == PLAN_LIMIT_WATER)
            caps->water_sm3s = builder_oil(2 * oil);
        if (ROWS[i].kind == PLAN_LIMIT_GAS)
            caps->gas_sm3s = builder_gas(lift + 0.6 * oil);
        solve(&c, ROWS[i].label);
        expect_lift(&c, lift, ROWS[i].label);
        expect_field_price(&c, ROWS[i].kind,
                           ROWS[i].price * (ROWS[i].is_gas ? per_gas() : 1), 0,
                           ROWS[i].is_gas ? builder_gas(ROWS[i].to)
                                          : builder_oil(ROWS[i].to),
                           ROWS[i].label);
        arena_release(&c.arena);
    }
}

/* Two pads and two separators with other wells in them, each with its own
 * price. */
Test(pricing, each_group_has_its_own_price)
{
    static const double GAS[] = {0, 500, 1000}, STB[] = {0, 450, 500};
    struct priced c;
    open_case(&c, 0.6);
    builder_well(&c.b, "B", 3, GAS, STB, 2, 0.6);
    builder_well(&c.b, "C", 3, GAS, STB, 2, 0.6);
    builder_well(&c.b, "D", 3, GAS, STB, 2, 0.6);
    for (size_t i = 0; i < 2; i++) {
        builder_group(&c.b, GROUP_PAD, i == 0 ? "P" : "Q");
        builder_group(&c.b, GROUP_SEPARATOR, i == 0 ? "S" : "T");
        c.f->well[i].group[GROUP_PAD] = i;
        c.f->well[2 + i].group[GROUP_SEPARATOR] = i;
    }
    c.f->groups[GROUP_PAD].group[0].caps.lift_sm3s = builder_gas(200);
    c.f->groups[GROUP_PAD].group[1].caps.lift_sm3s = builder_gas(700);
    c.f->groups[GROUP_SEPARATOR].group[0].caps.water_sm3s = builder_oil(400);
    c.f->groups[GROUP_SEPARATOR].group[1].caps.lift_sm3s = builder_gas(300);
    solve(&c, "groups");
    const struct want WANT[] = {
        {PLAN_LIMIT_LIFT, RISE * per_gas(), 0, builder_gas(500), GROUP_PAD, 0},
        {PLAN_LIMIT_LIFT, RISE_TOP * per_gas(), builder_gas(500),
         builder_gas(1000), GROUP_PAD, 1},
        {PLAN_LIMIT_WATER, 0.5, 0, builder_oil(900), GROUP_SEPARATOR, 0},
        {PLAN_LIMIT_LIFT, RISE * per_gas(), 0, builder_gas(500),
         GROUP_SEPARATOR, 1},
    };
    static const char *const LABEL[] = {"P", "Q", "S", "T"};
    for (size_t i = 0; i < 4; i++)
        expect_price(&c, WANT[i], LABEL[i]);
    arena_release(&c.arena);
}

/* --- other aims -----------------------------------------------------------
 */

Test(pricing, a_target_of_oil_costs_the_gas_of_its_last_oil)
{
    struct priced c;
    open_case(&c, 0.6);
    c.o.objective = PLAN_GAS;
    c.o.oil_target_sm3s = builder_oil(180);
    solve(&c, "target");
    expect_lift(&c, 200, "target");
    expect_field_price(&c, PLAN_LIMIT_OIL_TARGET, 1 / (RISE * per_gas()), 0,
                       builder_oil(450), "target");
    cr_expect(epsilon_eq(dbl, c.p.gas_price_oil, RISE * per_gas(), 1e-7));
    arena_release(&c.arena);
}

/* Water costs nothing, so that gas is worth its oil in money. */
Test(pricing, gas_has_a_price_in_oil_and_in_money_whatever_is_aimed_at)
{
    for (int money = 0; money < 2; money++) {
        struct priced c;
        open_case(&c, 0.6);
        c.f->prices =
            (struct field_prices){.oil_sm3 = OIL_PRICE, .given = true};
        c.f->limits.caps.lift_sm3s = builder_gas(200);
        c.o.objective = money ? PLAN_MONEY : PLAN_OIL;
        solve(&c, "money");
        double oil = RISE * per_gas();
        expect_field_price(&c, PLAN_LIMIT_LIFT, oil * (money ? OIL_PRICE : 1),
                           0, builder_gas(500), "money");
        cr_expect(epsilon_eq(dbl, c.p.gas_price_oil, oil, 1e-7 * oil));
        cr_expect(epsilon_eq(dbl, c.p.gas_price_money, oil * OIL_PRICE,
                             1e-7 * oil * OIL_PRICE));
        arena_release(&c.arena);
    }
}

/* Wells alike that make 450 each when they are moved; half of them may be. Few
 * wells are planned as a whole, many by prices. */
Test(pricing, a_move_is_worth_the_oil_of_a_well_that_is_moved)
{
    static const double GAS[] = {0, 500}, STB[] = {0, 450};
    static const size_t N[] = {4, PLAN_FLAT_WELLS + 20};
    for (size_t i = 0; i < 2; i++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        for (size_t k = 0; k < N[i]; k++) {
            const char *name = arena_printf(&a, "W-%03zu", k);
            builder_reading(builder_well(&b, name, 2, GAS, STB, 1, 0), 0,
                            WELL_FLOWING);
        }
        b.field.limits.caps.moves = N[i] / 2;
        struct plan_options o = case_exact();
        struct plan p = case_solve(&b, &o, "moves");
        cr_assert(eq(sz, p.n_moves, N[i] / 2));
        cr_assert(eq(int, (int)p.limit[0].kind, PLAN_LIMIT_MOVES));
        cr_expect(epsilon_eq(dbl, p.limit[0].price, builder_oil(450),
                             1e-6 * builder_oil(450)),
                  "%zu wells", N[i]);
        arena_release(&a);
    }
}

/* Two pads of 35 wells, all on one slope but for one that the cap stops on it:
 * the plan by prices knows the prices of its blocks too. */
Test(pricing, groups_of_large_fields_have_their_prices)
{
    static const double GAS[] = {0, 500, 1000}, STB[] = {0, 450, 500};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_group(&b, GROUP_PAD, "P");
    builder_group(&b, GROUP_PAD, "Q");
    for (size_t i = 0; i < 70; i++)
        builder_well(&b, arena_printf(&a, "W-%02zu", i), 3, GAS, STB, 1, 0)
            ->group[GROUP_PAD] = i / 35;
    b.field.groups[GROUP_PAD].group[0].caps.lift_sm3s = builder_gas(7100);
    b.field.groups[GROUP_PAD].group[1].caps.lift_sm3s = builder_gas(24100);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "pads");
    cr_assert(gt(sz, p.n_wells, PLAN_FLAT_WELLS));
    cr_assert(eq(sz, p.n_limits, 2));
    static const double SLOPE[] = {RISE, RISE_TOP};
    for (size_t i = 0; i < 2; i++)
        cr_expect(is_near(p.limit[i].price, SLOPE[i] * per_gas(), per_gas()),
                  "pad %zu: %g", i, p.limit[i].price / per_gas());
    arena_release(&a);
}

/* Flared gas has a price of its own, sold gas too: both are in what one more
 * of each way out brings. With 1 of oil at 400 come 0.6 Mscf. */
Test(pricing, in_money_a_way_out_is_worth_oil_and_what_the_gas_brings)
{
    struct priced c;
    open_case(&c, 0.6);
    double oil = OIL_PRICE * per_gas() / 0.6;
    c.f->prices = (struct field_prices){
        .oil_sm3 = OIL_PRICE, .carbon_sm3 = 0.2, .given = true};
    c.f->sales.price_sm3 = 0.1;
    c.f->sales.max_sm3s = builder_gas(100);
    c.f->station.flare_max_sm3s = builder_gas(50);
    c.o.objective = PLAN_MONEY;
    solve(&c, "money");
    expect_lift(&c, 250 / RISE, "money");
    expect_field_price(&c, PLAN_LIMIT_SALES_MAX, oil + 0.1, 0, builder_gas(220),
                       "sales");
    expect_field_price(&c, PLAN_LIMIT_FLARE, oil - 0.2, 0, builder_gas(170),
                       "flare");
    arena_release(&c.arena);
}
