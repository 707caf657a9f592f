/* What the problem's numbers stand for, back in SI and against the field. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdint.h>

#include "../../../src/plan/problem.h"
#include "support/plan_case.h"

TestSuite(problem, .timeout = 20);

static const struct field_prices PRICES = {
    .oil_sm3 = 400,
    .water_sm3 = 10,
    .compression_sm3 = 0.01,
    .move = 0.002,
    .carbon_sm3 = 0.05,
    .power_j = 2e-8,
    .given = true,
};

struct made {
    struct arena arena;
    struct builder b;
    struct field *f;
    struct field_compressor unit[3];
    struct plan_options o;
    struct problem p;
};

/* X is to run, electric, burns 4 % and 30 Mscf/d; Y may run and burns what the
 * station does, 10 %; Z is down. */
static void open_field(struct made *m)
{
    static const double GAS[] = {0, 500, 1000}, STB[] = {0, 450, 500};
    *m = (struct made){0};
    arena_init(&m->arena);
    builder_init(&m->b, &m->arena);
    builder_well(&m->b, "A", 3, GAS, STB, 2, 0.6);
    builder_well(&m->b, "B", 3, GAS, STB, 2, 0.6)->runs_with = "A";
    m->unit[0] = (struct field_compressor){
        .name = "X",
        .state = UNIT_RUNNING,
        .least_sm3s = builder_gas(100),
        .capacity_sm3s = builder_gas(400),
        .recycles = true,
        .has_fuel = true,
        .fuel_fraction = 0.04,
        .fuel_fixed_sm3s = builder_gas(30),
        .power_fixed_w = 1e5,
        .power_j_sm3 = 2e5,
        .electric = true,
    };
    m->unit[1] = (struct field_compressor){
        .name = "Y",
        .state = UNIT_AVAILABLE,
        .least_sm3s = builder_gas(50),
        .capacity_sm3s = builder_gas(300),
        .power_fixed_w = 1e5,
        .power_j_sm3 = 2e5,
    };
    m->unit[2] = (struct field_compressor){.name = "Z", .state = UNIT_DOWN};
    m->f = &m->b.field;
    m->f->station = (struct field_station){
        .n_compressors = 3,
        .compressor = m->unit,
        .has_compressors = true,
        .power_max_w = 1e6,
        .fuel_fraction = 0.1,
        .fuel_from = SIDE_DISCHARGE,
        .shrinkage_fraction = 0.02,
        .flare_max_sm3s = builder_gas(50),
    };
    m->f->sales.min_sm3s = builder_gas(10);
    m->f->sales.max_sm3s = builder_gas(100);
    m->f->sales.price_sm3 = 0.1;
    m->f->sales.from = SIDE_DISCHARGE;
    m->f->market.max_sm3s = builder_gas(20);
    m->f->market.price_sm3 = 0.2;
    m->f->prices = PRICES;
    m->o = case_exact();
    m->o.objective = PLAN_MONEY;
}

static void make(struct made *m)
{
    problem_make(m->f, m->b.curves, &m->o, false, &m->arena, &m->p);
}

static bool is_near(double got, double want)
{
    return fabs(got - want) <= 1e-12 * fabs(want);
}

/* Worth of a Sm3/s of a flow, and of running, $/s. */
static double flow_worth(const struct made *m, size_t column)
{
    return m->p.column[column].worth * m->p.value_unit / m->p.units.gas_sm3s;
}

static double running_worth(const struct made *m, size_t unit)
{
    return m->p.unit[unit].worth * m->p.value_unit;
}

#define THROUGH(u) (COLUMN_UNIT + 2 * (u))
#define ROUND(u) (COLUMN_UNIT + 2 * (u) + 1)

Test(problem, a_unit_burns_moves_and_sends_round_what_it_does_in_the_field)
{
    struct made m;
    open_field(&m);
    make(&m);
    double gas = m.p.units.gas_sm3s;
    const struct station_column *through = &m.p.column[THROUGH(0)];
    const struct station_column *round = &m.p.column[ROUND(0)];
    const double *runs = m.p.unit[0].term;
    cr_assert(eq(sz, m.p.n_units, 2));
    cr_expect(m.p.unit[0].may_run && !m.p.unit[0].may_stop);
    cr_expect(m.p.unit[1].may_run && m.p.unit[1].may_stop);
    cr_expect(is_near(through->low * gas, builder_gas(100)));
    cr_expect(is_near(through->high * gas, builder_gas(400)));
    cr_expect(is_near(through->term[ROW_BALANCE], -0.04));
    cr_expect(is_near(through->term[ROW_COMPRESSED], 0.96));
    cr_expect(is_near(through->term[ROW_POWER] * POWER_UNIT, 2e5));
    cr_expect(is_near(round->high * gas, builder_gas(100)));
    cr_expect(is_near(round->term[ROW_COMPRESSED], -1));
    cr_expect(is_near(round->term[ROW_BALANCE], 0));
    cr_expect(is_near(runs[ROW_BALANCE] * gas, -builder_gas(30)));
    cr_expect(is_near(runs[ROW_COMPRESSED] * gas, -builder_gas(30)));
    cr_expect(is_near(runs[ROW_POWER] * gas * POWER_UNIT, 1e5));
    /* The other one has no part in the electric supply and recycles none. */
    cr_expect(is_near(m.p.column[THROUGH(1)].term[ROW_BALANCE], -0.1));
    cr_expect(is_near(m.p.column[THROUGH(1)].term[ROW_POWER], 0));
    cr_expect(is_near(m.p.unit[1].term[ROW_POWER], 0));
    cr_expect(is_near(m.p.column[ROUND(1)].high, 0));
    arena_release(&m.arena);
}

/* Then it does not pass the units. */
Test(problem, fuel_from_suction_is_not_compressed)
{
    struct made m;
    open_field(&m);
    m.f->station.fuel_from = SIDE_SUCTION;
    make(&m);
    cr_expect(is_near(m.p.column[THROUGH(0)].term[ROW_COMPRESSED], 1));
    cr_expect(is_near(m.p.column[THROUGH(0)].term[ROW_BALANCE], -0.04));
    cr_expect(is_near(m.p.unit[0].term[ROW_COMPRESSED], 0));
    arena_release(&m.arena);
}

Test(problem, flows_count_before_or_behind_the_units)
{
    for (int discharge = 0; discharge < 2; discharge++) {
        struct made m;
        open_field(&m);
        m.f->sales.from = m.f->market.enters =
            discharge ? SIDE_DISCHARGE : SIDE_SUCTION;
        make(&m);
        const struct station_column *c = m.p.column;
        cr_expect(is_near(c[COLUMN_SALES].term[ROW_BALANCE], -1));
        cr_expect(is_near(c[COLUMN_BOUGHT].term[ROW_BALANCE], 1));
        cr_expect(is_near(c[COLUMN_FLARE].term[ROW_BALANCE], -1));
        cr_expect(is_near(c[COLUMN_SALES].term[ROW_COMPRESSED], -discharge));
        cr_expect(is_near(c[COLUMN_BOUGHT].term[ROW_COMPRESSED], discharge));
        cr_expect(is_near(c[COLUMN_FLARE].term[ROW_COMPRESSED], 0));
        double gas = m.p.units.gas_sm3s;
        cr_expect(is_near(c[COLUMN_SALES].low * gas, builder_gas(10)));
        cr_expect(is_near(c[COLUMN_SALES].high * gas, builder_gas(100)));
        cr_expect(is_near(c[COLUMN_BOUGHT].high * gas, builder_gas(20)));
        cr_expect(is_near(c[COLUMN_FLARE].high * gas, builder_gas(50)));
        arena_release(&m.arena);
    }
}

Test(problem, every_price_of_the_field_is_in_the_goal)
{
    struct made m;
    open_field(&m);
    make(&m);
    double oil = m.p.value_unit / m.p.units.oil_sm3s;
    cr_expect(is_near(m.p.goal[USE_OIL] * oil, 400));
    cr_expect(is_near(m.p.goal[USE_WATER] * oil, -10));
    cr_expect(is_near(m.p.goal[USE_MOVED] * m.p.value_unit, -0.002));
    cr_expect(is_near(flow_worth(&m, COLUMN_SALES), 0.1));
    cr_expect(is_near(flow_worth(&m, COLUMN_BOUGHT), -0.2));
    cr_expect(is_near(flow_worth(&m, COLUMN_FLARE), -0.05));
    cr_expect(is_near(flow_worth(&m, THROUGH(0)),
                      -(0.01 + 0.05 * 0.04 + 2e-8 * 2e5)));
    cr_expect(is_near(flow_worth(&m, ROUND(0)), 0));
    cr_expect(
        is_near(running_worth(&m, 0), -(0.05 * builder_gas(30) + 2e-8 * 1e5)));
    cr_expect(is_near(flow_worth(&m, THROUGH(1)), -(0.01 + 0.05 * 0.1)));
    cr_expect(is_near(running_worth(&m, 1), 0));
    arena_release(&m.arena);
}

Test(problem, rows_count_what_their_limits_are_about)
{
    struct made m;
    open_field(&m);
    m.f->limits.caps = (struct field_caps){
        .lift_sm3s = builder_gas(900),
        .liquid_sm3s = builder_oil(800),
        .water_sm3s = builder_oil(700),
        .gas_sm3s = builder_gas(600),
        .moves = 5,
    };
    make(&m);
    double gas = m.p.units.gas_sm3s, oil = m.p.units.oil_sm3s;
    struct use u = {.gas = 1, .oil = 10, .water = 100, .formation = 1000};
    struct mode moved = {.moved = true, .runs = true};
    static const struct {
        int row;
        double counts;
    } ROWS[] = {
        {ROW_BALANCE, 980}, {ROW_COMPRESSED, -1}, {ROW_LIFT, 1},
        {ROW_LIQUID, 110},  {ROW_WATER, 100},     {ROW_GAS, 1001},
        {ROW_POWER, 0},     {ROW_TARGET, 10},     {ROW_MOVES, 1},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        cr_expect(is_near(row_part(&m.p, (size_t)ROWS[i].row, 0, &u, &moved),
                          ROWS[i].counts),
                  "row %d", ROWS[i].row);
    cr_expect(is_near(m.p.row[ROW_LIFT].high * gas, builder_gas(900)));
    cr_expect(is_near(m.p.row[ROW_LIQUID].high * oil, builder_oil(800)));
    cr_expect(is_near(m.p.row[ROW_WATER].high * oil, builder_oil(700)));
    cr_expect(is_near(m.p.row[ROW_GAS].high * gas, builder_gas(600)));
    cr_expect(is_near(m.p.row[ROW_MOVES].high, 5));
    cr_expect(is_near(m.p.row[ROW_POWER].high * gas * POWER_UNIT, 1e6));
    /* B, the second by name, runs only with A. */
    cr_assert(eq(sz, m.p.n_rows, N_FIELD_ROWS + 1));
    cr_expect(eq(dbl, m.p.row[N_FIELD_ROWS].high, 0));
    cr_expect(eq(dbl, row_part(&m.p, N_FIELD_ROWS, 0, &u, &moved), -1));
    cr_expect(eq(dbl, row_part(&m.p, N_FIELD_ROWS, 1, &u, &moved), 1));
    arena_release(&m.arena);
}

/* A well that takes 10 and makes no gas; nothing limits what is bought. */
Test(problem, all_gas_that_is_burnt_and_sold_can_be_bought)
{
    static const struct {
        double fixed, part, sales, bought;
        bool own_part;
    } ROWS[] = {
        {30, 0, 0, 30, true},
        /* 10 lifted and 100 sold are half of what is compressed */
        {0, 0.5, 100, 210, true},
        {0, 0.5, 100, 210, false},
    };
    static const double GAS[] = {0, 10}, STB[] = {0, 50};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct made m;
        open_field(&m);
        builder_init(&m.b, &m.arena);
        builder_well(&m.b, "A", 2, GAS, STB, 0, 0);
        m.unit[0] = (struct field_compressor){
            .name = "X",
            .state = UNIT_RUNNING,
            .capacity_sm3s = builder_gas(1000),
            .fuel_fixed_sm3s = builder_gas(ROWS[i].fixed),
            .has_fuel = ROWS[i].own_part,
            .fuel_fraction = ROWS[i].own_part ? ROWS[i].part : 0,
        };
        m.f->station = (struct field_station){
            .n_compressors = 1,
            .compressor = m.unit,
            .has_compressors = true,
            .power_max_w = (double)INFINITY,
            .fuel_fraction = ROWS[i].own_part ? 0 : ROWS[i].part,
            .fuel_from = SIDE_DISCHARGE,
        };
        m.f->sales.min_sm3s = m.f->sales.max_sm3s = builder_gas(ROWS[i].sales);
        m.f->sales.from = SIDE_DISCHARGE;
        m.f->market.max_sm3s = (double)INFINITY;
        m.o.objective = PLAN_OIL;
        struct plan p = case_solve(&m.b, &m.o, "bought");
        cr_expect(eq(int, (int)p.outcome, PLAN_OPTIMAL), "row %zu", i);
        cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 50, 1e-6), "row %zu", i);
        cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.bought),
                             ROWS[i].bought, 1e-5),
                  "row %zu", i);
        arena_release(&m.arena);
    }
}

/* 10 lifted and the 50 that come with it, all sold behind the compressors. */
Test(problem, without_units_all_gas_that_there_is_can_be_compressed)
{
    static const double GAS[] = {0, 10}, STB[] = {0, 50};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 2, GAS, STB, 0, 1);
    b.field.sales.from = SIDE_DISCHARGE;
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "all sold");
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.compressed), 60, 1e-6));
    cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), 50, 1e-6));
    arena_release(&a);
}
