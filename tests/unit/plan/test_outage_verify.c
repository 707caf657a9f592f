/* Plans through an outage that are broken on purpose, and rules that a sound
 * plan does not keep: each has to be noticed. */
#include "plan/outage.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdint.h>

#include "support/plan_case.h"

#define WELLS 3
#define PERIODS 10
#define HOUR 3600.0
#define NONE ((double)INFINITY)
#define NOTHING ((double)NAN)

TestSuite(outage_verify, .timeout = 60);

/* A makes oil by itself, B and C only with gas; half the gas is lost for three
 * hours, K compresses, what is not lifted is sold. */
struct story {
    struct arena arena;
    struct builder b;
    struct outage o;
    struct outage_event event;
    struct outage_shift shift;
    struct well_restart restart[WELLS];
    bool never_stops[WELLS];
    double ramp[1];
    struct field_compressor unit;
    struct outage_plan p;
};

static void dead_well(struct story *s, const char *name, double oil_stb_d)
{
    const double gas[] = {200, 500}, oil[] = {0.4 * oil_stb_d, oil_stb_d};
    builder_reading(builder_well(&s->b, name, 2, gas, oil, 1, 0.5), 500,
                    WELL_FLOWING);
}

static void make_field(struct story *s)
{
    static const double GAS[] = {0, 400, 800}, OIL[] = {100, 300, 380};
    struct field *f = &s->b.field;
    builder_reading(builder_well(&s->b, "A", 3, GAS, OIL, 1, 0.5), 800,
                    WELL_FLOWING);
    dead_well(s, "B", 100);
    dead_well(s, "C", 90);
    s->unit = (struct field_compressor){
        .name = "K", .state = UNIT_RUNNING, .capacity_sm3s = builder_gas(3000)};
    f->station.compressor = &s->unit;
    f->station.n_compressors = 1;
    f->station.has_compressors = true;
    f->station.fuel_fraction = 0.05;
    f->station.flare_max_sm3s = builder_gas(500);
    f->limits.caps.lift_sm3s = builder_gas(1800);
    f->prices = (struct field_prices){.oil_sm3 = 400, .given = true};
}

static void open_story(struct story *s)
{
    *s = (struct story){0};
    arena_init(&s->arena);
    builder_init(&s->b, &s->arena);
    make_field(s);
    for (size_t i = 0; i < WELLS; i++)
        s->restart[i] = (struct well_restart){
            HOUR, builder_gas(300) * HOUR, 2 * HOUR, NONE, true, true};
    s->ramp[0] = NONE;
    s->shift = (struct outage_shift){0, PERIODS * HOUR, 20};
    s->event = (struct outage_event){.cause = CAUSE_LIFT,
                                     .from_s = 2 * HOUR,
                                     .to_s = 5 * HOUR,
                                     .part = 0.25,
                                     .amount = NOTHING,
                                     .price_sm3 = NOTHING};
    s->o = (struct outage){.name = "test",
                           .n_periods = PERIODS,
                           .period_s = HOUR,
                           .n_events = 1,
                           .event = &s->event,
                           .n_shifts = 1,
                           .shift = &s->shift,
                           .restart = s->restart,
                           .never_stops = s->never_stops,
                           .ramp_sm3s = s->ramp,
                           .flare_hours_max = NONE,
                           .flare_most_sm3 = NONE};
}

static void solve(struct story *s)
{
    struct plan_options ask = plan_options_default();
    struct err err = {0};
    ask.gap = 0.01;
    outage_periods(&s->b.field, &s->o, &s->arena);
    enum status st = outage_solve(&s->b.field, s->b.curves, &s->o, &ask,
                                  &s->arena, &s->p, &err);
    cr_assert(eq(int, (int)st, ST_OK), "%s", err.msg);
    cr_assert(ne(int, (int)s->p.outcome, PLAN_IMPOSSIBLE));
}

static const char *first_fault(struct story *s)
{
    return outage_verify(&s->b.field, s->b.curves, &s->o, &s->p, &s->arena)[0];
}

/* A well in its first period of that phase. */
static struct outage_well *in_phase(struct story *s, enum well_phase phase)
{
    size_t i = 0;
    while (i < PERIODS * WELLS && s->p.well[i].phase != phase)
        i++;
    cr_assert(lt(sz, i, PERIODS * WELLS), "no well in the phase");
    return &s->p.well[i];
}

/* --- a plan that is not what it says -------------------------------------- */

static void oil_of_a_well(struct story *s)
{
    in_phase(s, PHASE_FLOWS)->oil_sm3s *= 1.001;
}

static void water_of_a_well(struct story *s)
{
    in_phase(s, PHASE_FLOWS)->water_sm3s *= 1.001;
}

static void formation_gas_of_a_well(struct story *s)
{
    in_phase(s, PHASE_FLOWS)->formation_sm3s *= 1.001;
}

static void gas_of_a_stopped_well(struct story *s)
{
    in_phase(s, PHASE_STOPPED)->gas_sm3s = builder_gas(10);
}

static void gas_of_unloading(struct story *s)
{
    in_phase(s, PHASE_UNLOADS)->gas_sm3s *= 1.01;
}

static void oil_of_a_well_coming_back(struct story *s)
{
    in_phase(s, PHASE_RETURNS)->oil_sm3s *= 1.01;
}

static void start_not_marked(struct story *s)
{
    in_phase(s, PHASE_UNLOADS)->moved = false;
}

static void stop_not_marked(struct story *s)
{
    in_phase(s, PHASE_STOPPED)->moved = false;
}

static void moves_of_a_period(struct story *s)
{
    s->p.period[1].n_moves++;
}

static void oil_of_a_period(struct story *s)
{
    s->p.period[1].oil_sm3s *= 1.001;
}

static void fuel_of_a_period(struct story *s)
{
    s->p.period[1].balance.fuel *= 1.01;
}

static void sales_of_a_period(struct story *s)
{
    s->p.period[1].balance.sales *= 1.01;
}

static void gas_from_nowhere(struct story *s)
{
    s->p.period[1].balance.bought += builder_gas(5);
}

static void gas_in_the_headers(struct story *s)
{
    s->p.period[1].stored_sm3 += 10;
}

static void oil_in_all(struct story *s)
{
    s->p.oil_sm3 *= 1.001;
}

static void oil_deferred(struct story *s)
{
    s->p.deferred_sm3 *= 0.99;
}

static void money_of_a_period(struct story *s)
{
    s->p.period[1].money_s *= 1.001;
}

static void deferred_in_a_period(struct story *s)
{
    s->p.period[1].deferred_sm3s += builder_oil(1);
}

static void wells_that_stand(struct story *s)
{
    s->p.period[1].n_stopped++;
}

static void wells_that_unload(struct story *s)
{
    s->p.period[1].n_unloading++;
}

static void fuel_of_a_unit(struct story *s)
{
    s->p.period[1].unit[0].load.fuel_sm3s += builder_gas(1);
}

static void power_of_a_unit(struct story *s)
{
    s->p.period[1].unit[0].load.power_w += 1000;
}

static void bought_in_all(struct story *s)
{
    s->p.bought_sm3 += 100;
}

static void sold_in_all(struct story *s)
{
    s->p.sold_sm3 *= 1.001;
}

static void flared_in_all(struct story *s)
{
    s->p.flared_sm3 += 100;
}

static void hours_of_flaring(struct story *s)
{
    s->p.flare_hours++;
}

static void money_in_all(struct story *s)
{
    s->p.money *= 1.001;
}

static void money_lost(struct story *s)
{
    s->p.money_lost *= 1.01;
}

static void a_cause_of_lost_oil(struct story *s)
{
    s->p.loss[0].oil_sm3 *= 1.01;
}

static void a_cause_of_lost_money(struct story *s)
{
    s->p.loss[0].money *= 1.01;
}

static void bound_below_the_value(struct story *s)
{
    s->p.bound = 0.999 * s->p.value;
}

/* --- a rule that the plan does not keep ----------------------------------- */

static void must_not_stop(struct story *s)
{
    s->never_stops[1] = s->never_stops[2] = true;
}

static void may_not_stop(struct story *s)
{
    s->b.field.well[1].may_stop = s->b.field.well[2].may_stop = false;
}

static void does_not_come_back(struct story *s)
{
    s->restart[1].comes_back = s->restart[2].comes_back = false;
}

static void unloads_longer(struct story *s)
{
    s->restart[1].unload_s = s->restart[2].unload_s = 2 * HOUR;
}

static void builds_up_longer(struct story *s)
{
    s->restart[1].build_up_s = s->restart[2].build_up_s = 3 * HOUR;
}

static void stands_longer(struct story *s)
{
    s->o.stop_least_s = 7 * HOUR;
}

static void fewer_moves(struct story *s)
{
    s->shift.moves_max = 1;
}

static void slower_ramp(struct story *s)
{
    s->ramp[0] = builder_gas(50);
}

static void less_gas(struct story *s)
{
    s->o.period[3].limits.caps.lift_sm3s = builder_gas(100);
}

static void less_gas_at_the_manifold(struct story *s)
{
    struct field_groups *g = &s->o.period[1].groups[GROUP_MANIFOLD];
    g->group[0].caps.lift_sm3s = builder_gas(100);
}

static void less_water(struct story *s)
{
    s->o.period[1].limits.caps.water_sm3s = builder_oil(50);
}

static void less_liquid(struct story *s)
{
    s->o.period[1].limits.caps.liquid_sm3s = builder_oil(50);
}

static void less_handled(struct story *s)
{
    s->o.period[1].limits.caps.gas_sm3s = builder_gas(50);
}

static struct field_compressor *unit_then(struct story *s)
{
    return s->o.period[1].station.compressor;
}

static void a_unit_down(struct story *s)
{
    unit_then(s)->state = UNIT_DOWN;
}

static void a_smaller_unit(struct story *s)
{
    unit_then(s)->capacity_sm3s = builder_gas(100);
}

static void a_unit_that_needs_more(struct story *s)
{
    unit_then(s)->least_sm3s = builder_gas(2900);
}

static void fewer_sales(struct story *s)
{
    s->o.period[1].sales.max_sm3s = 0;
}

static void more_sales_due(struct story *s)
{
    s->o.period[1].sales.min_sm3s = builder_gas(2000);
}

static void a_well_down(struct story *s)
{
    s->o.period[1].well[0].reading.status = WELL_DOWN;
}

static void a_well_locked(struct story *s)
{
    /* At a rate that nothing in the plan is at. */
    for (size_t i = 0; i < WELLS; i++)
        builder_reading(&s->b.field.well[i], 123, WELL_HELD);
}

static void a_lower_maximum(struct story *s)
{
    s->b.field.well[0].lift_max_sm3s = builder_gas(150);
    s->b.field.well[0].reading.lift_sm3s = builder_gas(10);
}

static void a_partner(struct story *s)
{
    s->b.field.well[0].runs_with = "C";
    s->b.field.well[1].runs_with = "C";
}

/* -------------------------------------------------------------------------- */

Test(outage_verify, a_sound_plan_has_no_fault)
{
    struct story s;
    open_story(&s);
    solve(&s);
    const char *fault = first_fault(&s);
    cr_expect(fault == NULL, "%s", fault);
    arena_release(&s.arena);
}

Test(outage_verify, what_is_broken_is_noticed)
{
    static const struct {
        const char *name;
        void (*breaks)(struct story *);
    } CASES[] = {
#define CASE(name) {#name, name}
        CASE(oil_of_a_well),
        CASE(water_of_a_well),
        CASE(formation_gas_of_a_well),
        CASE(gas_of_a_stopped_well),
        CASE(gas_of_unloading),
        CASE(oil_of_a_well_coming_back),
        CASE(start_not_marked),
        CASE(stop_not_marked),
        CASE(moves_of_a_period),
        CASE(oil_of_a_period),
        CASE(fuel_of_a_period),
        CASE(sales_of_a_period),
        CASE(gas_from_nowhere),
        CASE(gas_in_the_headers),
        CASE(oil_in_all),
        CASE(oil_deferred),
        CASE(money_of_a_period),
        CASE(deferred_in_a_period),
        CASE(wells_that_stand),
        CASE(wells_that_unload),
        CASE(fuel_of_a_unit),
        CASE(power_of_a_unit),
        CASE(bought_in_all),
        CASE(sold_in_all),
        CASE(flared_in_all),
        CASE(hours_of_flaring),
        CASE(money_in_all),
        CASE(money_lost),
        CASE(a_cause_of_lost_oil),
        CASE(a_cause_of_lost_money),
        CASE(bound_below_the_value),
        CASE(must_not_stop),
        CASE(may_not_stop),
        CASE(does_not_come_back),
        CASE(unloads_longer),
        CASE(builds_up_longer),
        CASE(stands_longer),
        CASE(fewer_moves),
        CASE(slower_ramp),
        CASE(less_gas),
        CASE(less_gas_at_the_manifold),
        CASE(less_water),
        CASE(less_liquid),
        CASE(less_handled),
        CASE(a_unit_down),
        CASE(a_smaller_unit),
        CASE(a_unit_that_needs_more),
        CASE(fewer_sales),
        CASE(more_sales_due),
        CASE(a_well_down),
        CASE(a_well_locked),
        CASE(a_lower_maximum),
        CASE(a_partner),
#undef CASE
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct story s;
        open_story(&s);
        solve(&s);
        cr_assert(first_fault(&s) == NULL, "before: %s", CASES[i].name);
        CASES[i].breaks(&s);
        cr_expect(first_fault(&s) != NULL, "not noticed: %s", CASES[i].name);
        arena_release(&s.arena);
    }
}

/* Unloading ends within a period, and the rate after it is read from a mean:
 * 0.75 of 320 and 0.25 of 200 Mscf/d, at the very start of the curve. */
Test(outage_verify, a_period_that_unloading_ends_in_is_sound)
{
    struct story s;
    open_story(&s);
    for (size_t i = 0; i < WELLS; i++) {
        s.restart[i].unload_s = 0.75 * HOUR;
        s.restart[i].gas_sm3 = builder_gas(320) * 0.75 * HOUR;
        s.restart[i].build_up_s = 0;
        s.b.field.well[i].lift_max_sm3s = builder_gas(200);
        builder_reading(&s.b.field.well[i], 200, WELL_FLOWING);
    }
    solve(&s);
    const char *fault = first_fault(&s);
    cr_expect(fault == NULL, "%s", fault);
    arena_release(&s.arena);
}

Test(outage_verify, the_rate_after_unloading_is_no_change)
{
    struct story s;
    open_story(&s);
    for (size_t i = 0; i < WELLS; i++) {
        s.restart[i].unload_s = 0.5 * HOUR;
        s.restart[i].gas_sm3 = builder_gas(240) * 0.5 * HOUR;
        s.restart[i].build_up_s = 0;
    }
    solve(&s);
    const char *fault = first_fault(&s);
    cr_expect(fault == NULL, "%s", fault);
    arena_release(&s.arena);
}
