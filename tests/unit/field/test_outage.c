#include "field/outage.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "field/compressor.h"
#include "support/field_builder.h"
#include "support/string_wells.h"

#define HOUR 3600.0
#define NOTHING ((double)NAN)
#define EXACT 1e-12 /* relative: a few roundings */

TestSuite(outage, .timeout = 60);

/* Two manifolds, two wells, two units, every limit of the field given. */
struct day {
    struct arena arena;
    struct builder b;
    struct field_compressor unit[2];
    struct compressor_spec spec;
    struct outage_event event[4];
    struct outage o;
};

static void open_day(struct day *d)
{
    static const double GAS[] = {0, 500}, OIL[] = {50, 300};
    *d = (struct day){0};
    arena_init(&d->arena);
    builder_init(&d->b, &d->arena);
    builder_manifold(&d->b, "south", 3000);
    builder_well(&d->b, "A", 2, GAS, OIL, 1, 0.5);
    builder_well(&d->b, "B", 2, GAS, OIL, 1, 0.5);
    struct field *f = &d->b.field;
    d->unit[0] = (struct field_compressor){.name = "K-1",
                                           .state = UNIT_RUNNING,
                                           .capacity_sm3s = 10,
                                           .least_sm3s = 3,
                                           .fuel_fixed_sm3s = 0.2,
                                           .power_fixed_w = 5e4};
    d->unit[1] = d->unit[0];
    d->unit[1].name = "K-2";
    f->station.compressor = d->unit;
    f->station.n_compressors = 2;
    f->station.has_compressors = true;
    f->station.flare_max_sm3s = 1;
    f->sales.min_sm3s = 4;
    f->sales.max_sm3s = 8;
    f->market.max_sm3s = 2;
    f->market.price_sm3 = 0.1;
    f->limits.caps.lift_sm3s = 12;
    f->limits.caps.liquid_sm3s = 0.1;
    f->limits.caps.water_sm3s = 0.05;
    f->limits.caps.gas_sm3s = 20;
    d->o = (struct outage){.n_periods = 4, .period_s = HOUR, .event = d->event};
}

/* Hours after the start; part NaN: not given. */
static struct outage_event *add(struct day *d, enum outage_cause cause,
                                size_t index, double from_h, double to_h,
                                double part)
{
    struct outage_event *e = &d->event[d->o.n_events++];
    *e = (struct outage_event){.cause = cause,
                               .index = index,
                               .from_s = from_h * HOUR,
                               .to_s = to_h * HOUR,
                               .part = part,
                               .amount = NOTHING,
                               .price_sm3 = NOTHING};
    return e;
}

static void cut(struct day *d)
{
    outage_periods(&d->b.field, &d->o, &d->arena);
}

static void close_day(struct day *d)
{
    arena_release(&d->arena);
}

/* --- limits --------------------------------------------------------------- */

Test(outage, without_events_every_period_is_the_field_itself)
{
    struct day d;
    open_day(&d);
    cut(&d);
    for (size_t p = 0; p < d.o.n_periods; p++) {
        const struct field *f = &d.o.period[p], *today = &d.b.field;
        cr_expect(f->well == today->well);
        cr_expect(f->sales.max_sm3s == today->sales.max_sm3s);
        cr_expect(f->market.price_sm3 == today->market.price_sm3);
        cr_expect(f->limits.caps.lift_sm3s == today->limits.caps.lift_sm3s);
        for (size_t i = 0; i < 2; i++) {
            cr_expect(f->station.compressor[i].capacity_sm3s == 10);
            cr_expect(f->station.compressor[i].state == UNIT_RUNNING);
        }
    }
    close_day(&d);
}

Test(outage, an_event_counts_by_the_part_of_the_period_that_it_covers)
{
    /* From 0:30 to 2:15 a quarter is left: 1 - 3/4 * {1/2, 1, 1/4, 0}. */
    static const double PART[] = {0.625, 0.25, 0.8125, 1};
    static const struct {
        enum outage_cause cause;
        double whole;
    } rows[] = {
        {CAUSE_SALES, 8}, {CAUSE_MARKET, 2},   {CAUSE_FLARE, 1},
        {CAUSE_LIFT, 12}, {CAUSE_LIQUID, 0.1}, {CAUSE_WATER, 0.05},
        {CAUSE_GAS, 20},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct day d;
        open_day(&d);
        add(&d, rows[i].cause, 0, 0.5, 2.25, 0.25);
        cut(&d);
        for (size_t p = 0; p < 4; p++) {
            const struct field *f = &d.o.period[p];
            const double got[] = {
                f->sales.max_sm3s,          f->market.max_sm3s,
                f->station.flare_max_sm3s,  f->limits.caps.lift_sm3s,
                f->limits.caps.liquid_sm3s, f->limits.caps.water_sm3s,
                f->limits.caps.gas_sm3s};
            for (size_t k = 0; k < 7; k++) {
                double want = rows[k].whole * (k == i ? PART[p] : 1);
                cr_expect(epsilon_eq(dbl, got[k], want, EXACT * want),
                          "event %zu, limit %zu, period %zu", i, k, p);
            }
        }
        close_day(&d);
    }
}

Test(outage, of_events_at_once_the_one_that_leaves_least_counts)
{
    struct day d;
    open_day(&d);
    add(&d, CAUSE_WATER, 0, 0, 4, 0.5);
    add(&d, CAUSE_WATER, 0, 1, 2.5, 0.2);
    add(&d, CAUSE_WATER, 0, 2, 3, 0.8);
    cut(&d);
    /* half; a fifth; half an hour each of a fifth and a half; half */
    static const double WANT[] = {0.025, 0.01, 0.0175, 0.025};
    for (size_t p = 0; p < 4; p++)
        cr_expect(epsilon_eq(dbl, d.o.period[p].limits.caps.water_sm3s, WANT[p],
                             EXACT),
                  "period %zu", p);
    close_day(&d);
}

Test(outage, an_event_of_a_limit_that_does_not_exist_holds_for_the_whole_period)
{
    struct day d;
    open_day(&d);
    d.b.field.limits.caps.gas_sm3s = (double)INFINITY;
    d.b.field.sales.max_sm3s = (double)INFINITY;
    struct outage_event *e = add(&d, CAUSE_GAS, 0, 0.5, 0.75, NOTHING);
    e->amount = 7;
    add(&d, CAUSE_SALES, 0, 1, 2, 0);
    cut(&d);
    cr_expect(d.o.period[0].limits.caps.gas_sm3s == 7);
    cr_expect(isinf(d.o.period[1].limits.caps.gas_sm3s));
    cr_expect(isinf(d.o.period[0].sales.max_sm3s));
    cr_expect(d.o.period[1].sales.max_sm3s == 0);
    close_day(&d);
}

Test(outage, the_least_sales_fall_with_what_the_line_takes)
{
    struct day d;
    open_day(&d);
    add(&d, CAUSE_SALES, 0, 1, 2, 0.25);
    cut(&d);
    cr_expect(d.o.period[0].sales.min_sm3s == 4);
    cr_expect(epsilon_eq(dbl, d.o.period[1].sales.min_sm3s, 2, EXACT));
    close_day(&d);
}

Test(outage, a_price_by_the_hour_leaves_the_amount_as_it_is)
{
    struct day d;
    open_day(&d);
    add(&d, CAUSE_MARKET, 0, 1, 2.5, NOTHING)->price_sm3 = 0.3;
    cut(&d);
    static const double WANT[] = {0.1, 0.3, 0.2, 0.1};
    for (size_t p = 0; p < 4; p++) {
        cr_expect(
            epsilon_eq(dbl, d.o.period[p].market.price_sm3, WANT[p], EXACT),
            "period %zu", p);
        cr_expect(d.o.period[p].market.max_sm3s == 2);
    }
    close_day(&d);
}

/* --- units, manifolds, wells ---------------------------------------------- */

Test(outage, a_unit_lost_for_a_part_of_a_period_moves_and_burns_that_much_less)
{
    struct day d;
    open_day(&d);
    add(&d, CAUSE_UNIT, 1, 0.25, 2, 0);
    cut(&d);
    const struct field_compressor *u = &d.o.period[0].station.compressor[1];
    cr_expect(epsilon_eq(dbl, u->capacity_sm3s, 2.5, EXACT));
    cr_expect(epsilon_eq(dbl, u->least_sm3s, 0.75, EXACT));
    cr_expect(epsilon_eq(dbl, u->fuel_fixed_sm3s, 0.05, EXACT));
    cr_expect(epsilon_eq(dbl, u->power_fixed_w, 12500, EXACT * 12500));
    cr_expect(u->state == UNIT_RUNNING);
    cr_expect(d.o.period[1].station.compressor[1].state == UNIT_DOWN);
    cr_expect(d.o.period[2].station.compressor[1].state == UNIT_RUNNING);
    for (size_t p = 0; p < 4; p++)
        cr_expect(d.o.period[p].station.compressor[0].capacity_sm3s == 10);
    cr_expect(d.unit[1].state == UNIT_RUNNING);
    close_day(&d);
}

Test(outage, a_unit_at_part_load_keeps_its_turndown_and_is_down_below_it)
{
    struct day d;
    open_day(&d);
    add(&d, CAUSE_UNIT, 0, 0, 1, 0.6);
    add(&d, CAUSE_UNIT, 0, 1, 2, 0.29);
    add(&d, CAUSE_UNIT, 0, 2, 3, NOTHING)->amount = 4;
    cut(&d);
    const struct field_compressor *u = d.o.period[0].station.compressor;
    cr_expect(epsilon_eq(dbl, u->capacity_sm3s, 6, EXACT * 6));
    cr_expect(u->least_sm3s == 3);
    cr_expect(d.o.period[1].station.compressor[0].state == UNIT_DOWN);
    cr_expect(d.o.period[2].station.compressor[0].capacity_sm3s == 4);
    close_day(&d);
}

Test(outage, a_unit_that_stands_today_is_not_started_by_an_event)
{
    struct day d;
    open_day(&d);
    d.unit[0].state = UNIT_STOPPED;
    add(&d, CAUSE_UNIT, 0, 0, 4, 0.5);
    cut(&d);
    cr_expect(d.o.period[1].station.compressor[0].state == UNIT_STOPPED);
    close_day(&d);
}

Test(outage, heat_takes_the_power_of_a_unit_whose_machine_is_described)
{
    /* 1 % of the power per K above 300 K: nine tenths at 310 K, and without
     * idling the gas follows the power. */
    struct day d;
    open_day(&d);
    d.spec = (struct compressor_spec){
        .gas = {.gravity = 0.65},
        .n_stages = 2,
        .p_suction_pa = 7e5,
        .t_suction_k = 300,
        .p_discharge_pa = 6e6,
        .adiabatic_efficiency = 0.8,
        .mechanical_efficiency = 0.95,
        .capacity_sm3s = (double)INFINITY,
        .driver_w = 1e6,
        .t_rated_k = 300,
        .derating_per_k = 0.01,
    };
    struct compressor_rating r;
    struct err err;
    cr_assert(eq(int, (int)compressor_rate(&d.spec, 300, &r, &err), ST_OK));
    d.unit[0].spec = &d.spec;
    d.unit[0].capacity_sm3s = r.capacity_sm3s;
    d.unit[0].least_sm3s = 0;
    add(&d, CAUSE_AMBIENT, 0, 1, 2.5, NOTHING)->amount = 310;
    add(&d, CAUSE_UNIT, 0, 1.5, 2, 0.5);
    cut(&d);
    /* whole; half an hour of 0.9 and of 0.45; half an hour of 0.9 and of 1 */
    static const double PART[] = {1, 0.675, 0.95, 1};
    for (size_t p = 0; p < 4; p++) {
        const struct field_compressor *u = d.o.period[p].station.compressor;
        cr_expect(epsilon_eq(dbl, u->capacity_sm3s, PART[p] * r.capacity_sm3s,
                             EXACT * r.capacity_sm3s),
                  "period %zu", p);
        cr_expect(u[1].capacity_sm3s == 10);
    }
    close_day(&d);
}

Test(outage, a_manifold_and_a_well_change_alone)
{
    struct day d;
    open_day(&d);
    add(&d, CAUSE_MANIFOLD, 1, 0, 1, 0.5);
    add(&d, CAUSE_WELL, 1, 1.9, 3, 0);
    cut(&d);
    for (size_t p = 0; p < 4; p++) {
        const struct field *f = &d.o.period[p];
        const struct field_group *m = f->groups[GROUP_MANIFOLD].group;
        double want = builder_gas(3000) * (p == 0 ? 0.5 : 1);
        cr_expect(epsilon_eq(dbl, m[1].caps.lift_sm3s, want, EXACT * want));
        cr_expect(isinf(m[0].caps.lift_sm3s));
        bool is_down = p == 1 || p == 2;
        cr_expect(eq(int, f->well[1].reading.status == WELL_DOWN, is_down));
        cr_expect(f->well[0].reading.status == WELL_FLOWING);
    }
    cr_expect(d.b.field.well[1].reading.status == WELL_FLOWING);
    close_day(&d);
}

Test(outage, events_before_the_start_and_past_the_end_count_where_they_reach)
{
    struct day d;
    open_day(&d);
    add(&d, CAUSE_FLARE, 0, -5, 0.5, 0);
    add(&d, CAUSE_FLARE, 0, 3.5, 90, 0);
    add(&d, CAUSE_LIFT, 0, -5, 0, 0);
    cut(&d);
    static const double WANT[] = {0.5, 1, 1, 0.5};
    for (size_t p = 0; p < 4; p++) {
        cr_expect(epsilon_eq(dbl, d.o.period[p].station.flare_max_sm3s, WANT[p],
                             EXACT));
        cr_expect(d.o.period[p].limits.caps.lift_sm3s == 12);
    }
    close_day(&d);
}

/* --- bringing wells back -------------------------------------------------- */

static struct well_restart unknown(void)
{
    return (struct well_restart){.unload_s = NOTHING,
                                 .gas_sm3 = NOTHING,
                                 .build_up_s = NOTHING,
                                 .alone_s = NOTHING,
                                 .comes_back = true};
}

Test(outage, a_well_with_valves_comes_back_as_its_model_says)
{
    struct string_well s;
    struct field_well w[2] = {{.name = "V"}, {.name = "G"}};
    struct well_restart r[2] = {unknown(), unknown()};
    struct outage o = {
        .restart = r,
        .restart_else = {
            .unload_s = 1, .gas_sm3 = 2, .build_up_s = 30, .alone_s = 40}};
    struct unload_spec full = {.rho_kgm3 = 1060,
                               .liquid_m3s = UNLOAD_LIQUID_M3S,
                               .annulus_is_full = true};
    struct unload u;
    struct err err = {0};
    string_well(0, 1500 * PSI, 16, &s);
    w[0].model = w[1].model = &s.sample.well;
    w[0].kill = w[1].kill = full;
    w[0].kill.annulus_is_full = false;
    r[1].unload_s = 7200;
    r[1].gas_sm3 = 900;
    struct field f = {.n_wells = 2, .well = w};
    cr_assert(
        eq(int, (int)unload_solve(&s.sample.well, &full, &u, &err), ST_OK));
    cr_assert(eq(int, (int)outage_restarts(&f, &o, &err), ST_OK));
    cr_expect(eq(int, r[0].comes_back, u.comes_back));
    cr_expect(r[0].unload_s == (u.comes_back ? u.time_s : (double)INFINITY));
    cr_expect(r[0].gas_sm3 == u.gas_sm3);
    cr_expect(r[0].build_up_s == 30 && r[0].alone_s == 40);
    cr_expect(not(r[0].is_input));
    /* What is given stands. */
    cr_expect(r[1].is_input && r[1].unload_s == 7200 && r[1].gas_sm3 == 900);
    cr_expect(r[1].build_up_s == 30);
}

Test(outage, a_string_that_does_not_reach_its_orifice_does_not_come_back)
{
    struct string_well s;
    struct field_well w = {.name = "V"};
    struct well_restart r = unknown();
    struct outage o = {.restart = &r};
    struct err err = {0};
    string_well(0, 1500 * PSI, 16, &s);
    s.sample.well.gas_path.p_header_pa = 150 * PSI;
    w.model = &s.sample.well;
    w.kill =
        (struct unload_spec){.rho_kgm3 = 1060, .liquid_m3s = UNLOAD_LIQUID_M3S};
    struct field f = {.n_wells = 1, .well = &w};
    cr_assert(eq(int, (int)outage_restarts(&f, &o, &err), ST_OK));
    cr_expect(not(r.comes_back));
    cr_expect(isinf(r.unload_s));
}

Test(outage, a_well_without_a_string_takes_what_holds_for_the_others)
{
    static const enum well_kind KIND[] = {KIND_CONTINUOUS, KIND_INTERMITTENT,
                                          KIND_PUMPED};
    static const double UNLOAD[] = {1800, 0, 0}, GAS[] = {500, 0, 0};
    struct field_well w[3] = {{.name = "A"}, {.name = "B"}, {.name = "C"}};
    struct well_restart r[3] = {unknown(), unknown(), unknown()};
    struct outage o = {
        .restart = r,
        .restart_else = {
            .unload_s = 1800, .gas_sm3 = 500, .build_up_s = 60, .alone_s = 70}};
    struct field f = {.n_wells = 3, .well = w};
    struct err err = {0};
    r[0].build_up_s = 5;
    for (size_t i = 0; i < 3; i++)
        w[i].kind = KIND[i];
    cr_assert(eq(int, (int)outage_restarts(&f, &o, &err), ST_OK));
    for (size_t i = 0; i < 3; i++) {
        cr_expect(r[i].unload_s == UNLOAD[i], "well %zu", i);
        cr_expect(r[i].gas_sm3 == GAS[i], "well %zu", i);
        cr_expect(r[i].comes_back);
    }
    cr_expect(r[0].build_up_s == 5 && r[0].alone_s == 70);
    cr_expect(isinf(r[1].alone_s));
}
