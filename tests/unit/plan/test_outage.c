/* Ways through an outage: by hand, against one whole program solved by cbc, and
 * what must hold of all. */
#include "plan/outage.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "../../../src/plan/milp.h"
#include "num/tol.h"
#include "support/dice.h"
#include "support/plan_case.h"
#include "support/whole_model.h"

#define HOUR 3600.0
#define NONE ((double)INFINITY)
#define NOTHING ((double)NAN)
#define PERIODS_MOST 12
#define WELLS_MOST 8

TestSuite(outage, .timeout = 120);

/* A field, an outage of it, and room for both. */
struct story {
    struct arena arena;
    struct builder b;
    struct outage o;
    struct outage_event event[4];
    struct outage_shift shift[2];
    struct well_restart restart[WELLS_MOST];
    bool never_stops[WELLS_MOST];
    double ramp[WELLS_MOST];
    struct field_compressor unit;
};

static void open_story(struct story *s, size_t n_periods)
{
    *s = (struct story){0};
    arena_init(&s->arena);
    builder_init(&s->b, &s->arena);
    s->o = (struct outage){
        .name = "test",
        .n_periods = n_periods,
        .period_s = HOUR,
        .event = s->event,
        .shift = s->shift,
        .restart = s->restart,
        .never_stops = s->never_stops,
        .ramp_sm3s = s->ramp,
        .flare_hours_max = NONE,
        .flare_most_sm3 = NONE,
    };
    for (size_t i = 0; i < WELLS_MOST; i++) {
        s->ramp[i] = NONE;
        s->restart[i] =
            (struct well_restart){.alone_s = NONE, .comes_back = true};
    }
}

static struct outage_event *lose(struct story *s, enum outage_cause cause,
                                 size_t from, size_t to, double part)
{
    struct outage_event *e = &s->event[s->o.n_events++];
    *e = (struct outage_event){.cause = cause,
                               .from_s = (double)from * HOUR,
                               .to_s = (double)to * HOUR,
                               .part = part,
                               .amount = NOTHING,
                               .price_sm3 = NOTHING};
    return e;
}

/* Solves, and fails the test when the call fails or the check finds a fault. */
static struct outage_plan solve(struct story *s, double gap, const char *label)
{
    struct plan_options ask = plan_options_default();
    struct outage_plan p;
    struct err err = {0};
    ask.gap = gap;
    outage_periods(&s->b.field, &s->o, &s->arena);
    enum status st = outage_solve(&s->b.field, s->b.curves, &s->o, &ask,
                                  &s->arena, &p, &err);
    cr_assert(eq(int, st, ST_OK), "%s: %s", label, err.msg);
    if (p.outcome == PLAN_IMPOSSIBLE)
        return p;
    const char *const *fault =
        outage_verify(&s->b.field, s->b.curves, &s->o, &p, &s->arena);
    for (size_t i = 0; fault[i] != NULL; i++)
        cr_expect(0, "%s: %s", label, fault[i]);
    return p;
}

static double stb(double oil_sm3)
{
    return oil_sm3 / (builder_oil(1) * 86400);
}

/* Dead without gas: 40 stb/d from 200 Mscf/d, 100 from 500. */
static void dead_well(struct story *s, const char *name)
{
    static const double GAS[] = {200, 500}, OIL[] = {40, 100};
    builder_reading(builder_well(&s->b, name, 2, GAS, OIL, 1, 0.5), 500,
                    WELL_FLOWING);
}

static void alone_well(struct story *s, const char *name)
{
    static const double GAS[] = {0, 400, 800}, OIL[] = {100, 300, 380};
    builder_reading(builder_well(&s->b, name, 3, GAS, OIL, 1, 0.5), 800,
                    WELL_FLOWING);
}

/* --- by hand -------------------------------------------------------------- */

Test(outage, one_period_is_the_morning)
{
    struct story s;
    open_story(&s, 1);
    alone_well(&s, "A");
    dead_well(&s, "B");
    s.b.field.limits.caps.lift_sm3s = builder_gas(900);
    struct outage_plan p = solve(&s, 1e-6, "one period");
    struct plan_options o = case_exact();
    struct plan plan = case_solve(&s.b, &o, "one period");
    cr_expect(eq(dbl, p.value, plan.value * HOUR));
    cr_expect(eq(dbl, p.well[0].gas_sm3s, plan.well[0].gas_sm3s));
    cr_expect(eq(dbl, p.well[1].gas_sm3s, plan.well[1].gas_sm3s));
    cr_expect(eq(dbl, p.deferred_sm3, 0));
}

/* 900 Mscf/d: A 400 at 0.5 stb/Mscf and 500 to B's 100 stb/d: 400 stb/d. */
Test(outage, of_nothing_changes_nothing)
{
    struct story s;
    open_story(&s, 6);
    alone_well(&s, "A");
    dead_well(&s, "B");
    s.b.field.limits.caps.lift_sm3s = builder_gas(900);
    s.o.store_most_sm3 = 10; /* so that the whole way is gone */
    struct outage_plan p = solve(&s, 1e-6, "nothing");
    cr_expect(epsilon_eq(dbl, stb(p.potential_sm3), 400.0 * 6 / 24, 1e-6));
    cr_expect(epsilon_eq(dbl, stb(p.deferred_sm3), 0, 1e-6));
    for (size_t k = 0; k < 6; k++)
        cr_expect(
            epsilon_eq(dbl, builder_stb_d(p.period[k].oil_sm3s), 400, 1e-6),
            "period %zu", k);
}

/* 100 stb/d lost for the hour without gas, the hour of unloading, and half of
 * the two hours of build-up: 3 hours of 100 stb/d. */
Test(outage, a_dead_well_is_missed_until_it_is_back)
{
    struct story s;
    open_story(&s, 8);
    dead_well(&s, "A");
    s.b.field.limits.caps.lift_sm3s = builder_gas(500);
    s.restart[0].unload_s = HOUR;
    s.restart[0].gas_sm3 = builder_gas(300) * HOUR;
    s.restart[0].build_up_s = 2 * HOUR;
    lose(&s, CAUSE_LIFT, 2, 3, 0);
    struct outage_plan p = solve(&s, 1e-6, "dead well");
    cr_expect(epsilon_eq(dbl, stb(p.deferred_sm3), 100.0 * 3 / 24, 1e-6));
    static const enum well_phase PHASE[] = {
        PHASE_FLOWS,   PHASE_FLOWS,   PHASE_STOPPED, PHASE_UNLOADS,
        PHASE_RETURNS, PHASE_RETURNS, PHASE_FLOWS,   PHASE_FLOWS};
    static const double OIL[] = {100, 100, 0, 0, 25, 75, 100, 100};
    for (size_t k = 0; k < 8; k++) {
        cr_expect(eq(int, (int)p.well[k].phase, (int)PHASE[k]), "%zu", k);
        cr_expect(
            epsilon_eq(dbl, builder_stb_d(p.well[k].oil_sm3s), OIL[k], 1e-6),
            "%zu", k);
    }
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.well[3].gas_sm3s), 300, 1e-6));
    /* An hour by the loss of gas, two by the return. */
    cr_assert(eq(sz, p.n_losses, 2));
    cr_expect(eq(int, (int)p.loss[0].cause, CAUSE_LIFT));
    cr_expect(epsilon_eq(dbl, stb(p.loss[0].oil_sm3), 100.0 / 24, 1e-6));
    cr_expect(epsilon_eq(dbl, stb(p.loss[1].oil_sm3), 200.0 / 24, 1e-6));
}

/* As above, but the horizon ends with the loss: the return is charged. */
Test(outage, a_well_that_ends_stopped_is_charged_its_return)
{
    struct story s;
    open_story(&s, 3);
    dead_well(&s, "A");
    s.b.field.limits.caps.lift_sm3s = builder_gas(500);
    s.restart[0].unload_s = HOUR;
    s.restart[0].build_up_s = 2 * HOUR;
    lose(&s, CAUSE_LIFT, 2, 3, 0);
    struct outage_plan p = solve(&s, 1e-6, "end");
    cr_expect(epsilon_eq(dbl, stb(p.deferred_sm3), 100.0 * 3 / 24, 1e-6));
    cr_expect(epsilon_eq(dbl, stb(p.value), 0, 1e-6));
}

/* 500 Mscf/d are compressed; the header holds the gas of one hour, which has to
 * be there again at the end, bought. */
Test(outage, gas_in_the_header_carries_a_well_over)
{
    struct story s;
    open_story(&s, 4);
    dead_well(&s, "A");
    struct field *f = &s.b.field;
    s.unit = (struct field_compressor){
        .name = "K", .state = UNIT_RUNNING, .capacity_sm3s = builder_gas(1000)};
    f->station.compressor = &s.unit;
    f->station.n_compressors = 1;
    f->station.has_compressors = true;
    f->sales.from = SIDE_SUCTION;
    f->market.max_sm3s = builder_gas(1000);
    s.restart[0].unload_s = HOUR;
    s.o.store_sm3 = builder_gas(500) * HOUR;
    s.o.store_most_sm3 = s.o.store_sm3;
    lose(&s, CAUSE_UNIT, 1, 2, 0);
    struct outage_plan p = solve(&s, 1e-6, "store");
    cr_expect(epsilon_eq(dbl, stb(p.deferred_sm3), 0, 1e-6));
    cr_expect(epsilon_eq(dbl, p.period[1].stored_sm3, 0, 1e-3));
    cr_expect(epsilon_eq(dbl, p.period[3].stored_sm3, s.o.store_sm3, 1e-3));
    /* A third of it is less than the well needs to flow. */
    s.o.store_sm3 /= 3;
    s.o.store_most_sm3 = s.o.store_sm3;
    p = solve(&s, 1e-6, "less store");
    cr_expect(gt(dbl, stb(p.deferred_sm3), 100.0 / 24));
}

Test(outage, gas_without_an_outlet_is_impossible_and_says_when)
{
    struct story s;
    open_story(&s, 6);
    alone_well(&s, "A");
    s.o.start_s = 6 * HOUR;
    lose(&s, CAUSE_SALES, 2, 4, 0);
    struct outage_plan p = solve(&s, 1e-6, "no outlet");
    cr_assert(eq(int, (int)p.outcome, PLAN_IMPOSSIBLE));
    cr_expect(strstr(p.conflict, "08:00 to 10:00 more outlet for gas") != NULL,
              "%s", p.conflict);
    /* By itself the well makes 100 stb/d with 50 Mscf/d of gas. */
    cr_expect(strstr(p.conflict, "0.05 MMscf/d") != NULL, "%s", p.conflict);
}

/* Two dead wells, gas for one, one move: one of them has to run on. */
Test(outage, moves_of_a_shift_limit_what_is_changed)
{
    struct story s;
    open_story(&s, 6);
    alone_well(&s, "A");
    alone_well(&s, "B");
    s.b.field.limits.caps.lift_sm3s = builder_gas(1600);
    s.shift[0] = (struct outage_shift){0, 6 * HOUR, 2};
    s.o.n_shifts = 1;
    lose(&s, CAUSE_LIFT, 2, 4, 0.5);
    /* Down by 400 each costs 80 each; two moves down, none up again: for the
     * four hours left. One well by 800 costs 280 and comes up with the second
     * move: two hours. 4 * 160 = 640 > 2 * 280 = 560. */
    struct outage_plan p = solve(&s, 1e-6, "moves");
    cr_expect(epsilon_eq(dbl, stb(p.deferred_sm3), 560.0 / 24, 1e-6));
    s.shift[0].moves_max = 4;
    p = solve(&s, 1e-6, "more moves");
    cr_expect(epsilon_eq(dbl, stb(p.deferred_sm3), 2 * 160.0 / 24, 1e-6));
}

/* --- against one whole program -------------------------------------------- */

#define POINTS 4

static void draw_story(struct story *s, uint64_t seed)
{
    struct dice d = {seed};
    open_story(s, 6);
    double most = 0;
    for (size_t i = 0; i < 6; i++) {
        char name[16];
        double gas[POINTS], oil[POINTS];
        bool alone = dice_index(&d, 3) == 0;
        gas[0] = alone ? 0 : dice_between(&d, 100, 200);
        oil[0] = dice_between(&d, 20, 80);
        for (size_t k = 1; k < POINTS; k++) {
            gas[k] = gas[k - 1] + dice_between(&d, 80, 200);
            oil[k] = oil[k - 1] + dice_between(&d, 5, 100);
        }
        snprintf(name, sizeof name, "W%zu", i);
        builder_reading(builder_well(&s->b, name, POINTS, gas, oil, 1, 0.5),
                        gas[2], WELL_FLOWING);
        most += gas[3];
        s->restart[i].unload_s = dice_between(&d, 0.2, 2) * HOUR;
        s->restart[i].gas_sm3 = builder_gas(gas[1]) * s->restart[i].unload_s;
        s->restart[i].build_up_s = dice_between(&d, 0, 2) * HOUR;
    }
    s->b.field.limits.caps.lift_sm3s =
        builder_gas(most * dice_between(&d, 0.7, 1));
    size_t from = dice_index(&d, 3);
    lose(s, CAUSE_LIFT, from, from + 1 + dice_index(&d, 2),
         dice_between(&d, 0.1, 0.6));
    if (dice_index(&d, 2) == 0)
        s->o.stop_least_s = 2 * HOUR;
    outage_periods(&s->b.field, &s->o, &s->arena);
}

/* Columns of a well in the whole program. */
struct whole {
    struct milp *lp;
    const struct story *s;
    size_t lift[PERIODS_MOST]; /* rows */
};

/* Weights of a curve's points that sum to `to` in a row of their own; between
 * neighbours only. part[t], kick: gas part and oil part in the periods from k
 * on. */
static void add_rate(struct whole *w, size_t i, size_t sum_row, size_t k,
                     size_t n, const double *gas_part, const double *oil_part)
{
    const struct curve *c = &w->s->b.curves[i];
    size_t near[POINTS], one = milp_add_row(w->lp, -NONE, 1);
    for (size_t j = 0; j < POINTS; j++)
        near[j] = milp_add_row(w->lp, -NONE, 0);
    for (size_t j = 0; j < POINTS; j++) {
        double oil = 0;
        for (size_t t = 0; t < n; t++)
            oil += oil_part[t] * builder_stb_d(c->oil_sm3s[j]);
        milp_add_column(w->lp, 0, 1, oil, false);
        milp_add_term(w->lp, sum_row, 1);
        milp_add_term(w->lp, near[j], 1);
        for (size_t t = 0; t < n; t++)
            milp_add_term(w->lp, w->lift[k + t],
                          gas_part[t] * builder_mscf_d(c->gas_sm3s[j]));
    }
    for (size_t j = 0; j + 1 < POINTS; j++) {
        milp_add_column(w->lp, 0, 1, 0, true);
        milp_add_term(w->lp, one, 1);
        milp_add_term(w->lp, near[j], -1);
        milp_add_term(w->lp, near[j + 1], -1);
    }
}

/* Hours of full rate lost from t hours after the start on. */
static double lost(const struct well_restart *r, double t)
{
    double u = r->unload_s / HOUR, b = r->build_up_s / HOUR;
    if (t <= u)
        return u - t + b / 2;
    return t < u + b ? (u + b - t) * (u + b - t) / (2 * b) : 0;
}

/* One well: it runs, is off, or starts. Rows tie the periods:
 *   state[k]: runs + off + starts that are not over = 1
 *   go[k]: runs[k] only after runs[k - 1] or a start that ends then
 *   wait[k][j]: starts[k] only after off[k - j]. */
static void add_well(struct whole *w, size_t i, double full_stb_d)
{
    const struct story *s = w->s;
    const struct well_restart *r = &s->restart[i];
    bool alone = s->b.curves[i].gas_sm3s[0] == 0;
    size_t n = s->o.n_periods;
    size_t back = (size_t)ceil((r->unload_s + r->build_up_s) / HOUR - 1e-9);
    size_t least = (size_t)fmax(s->o.stop_least_s / HOUR, 1);
    size_t state[PERIODS_MOST], go[PERIODS_MOST], runs[PERIODS_MOST];
    size_t wait[PERIODS_MOST][3];
    for (size_t k = 0; k < n; k++) {
        state[k] = milp_add_row(w->lp, 1, 1);
        go[k] = milp_add_row(w->lp, -NONE, k == 0 ? 1 : 0);
        runs[k] = milp_add_row(w->lp, 0, 0);
        for (size_t j = 1; j <= least; j++)
            wait[k][j] = milp_add_row(w->lp, -NONE, 0);
    }
    for (size_t k = 0; k < n; k++) {
        milp_add_column(w->lp, 0, 1, 0, true); /* runs */
        milp_add_term(w->lp, state[k], 1);
        milp_add_term(w->lp, go[k], 1);
        milp_add_term(w->lp, runs[k], -1);
        if (k + 1 < n)
            milp_add_term(w->lp, go[k + 1], -1);
        static const double ALL[] = {1};
        add_rate(w, i, runs[k], k, 1, ALL, ALL);
        if (alone)
            continue;
        double charge = k + 1 == n ? lost(r, 0) * full_stb_d : 0;
        milp_add_column(w->lp, 0, 1, -charge, true); /* off */
        milp_add_term(w->lp, state[k], 1);
        for (size_t j = 1; j <= least; j++)
            if (k + j < n)
                milp_add_term(w->lp, wait[k + j][j], -1);
    }
    for (size_t k = 1; k < n && !alone; k++) {
        size_t end = k + back < n ? k + back : n;
        double gas[PERIODS_MOST], oil[PERIODS_MOST], kick[PERIODS_MOST];
        for (size_t t = 0; k + t < end; t++) {
            double dead = fmin(fmax(r->unload_s / HOUR - (double)t, 0), 1);
            gas[t] = 1 - dead;
            kick[t] = dead * builder_mscf_d(r->gas_sm3 / r->unload_s);
            oil[t] = 1 - lost(r, (double)t) + lost(r, (double)t + 1);
        }
        size_t sum = milp_add_row(w->lp, 0, 0);
        double charge = end == n ? lost(r, (double)(n - k)) * full_stb_d : 0;
        milp_add_column(w->lp, 0, 1, -charge, true); /* starts */
        milp_add_term(w->lp, sum, -1);
        for (size_t t = 0; k + t < end; t++) {
            milp_add_term(w->lp, state[k + t], 1);
            milp_add_term(w->lp, w->lift[k + t], kick[t]);
        }
        for (size_t j = 1; j <= least; j++)
            milp_add_term(w->lp, wait[k][j], 1);
        if (k + back < n)
            milp_add_term(w->lp, go[k + back], -1);
        add_rate(w, i, sum, k, end - k, gas, oil);
    }
}

static double whole_value(const struct story *s, const struct outage_plan *p,
                          struct arena *a)
{
    struct milp lp;
    struct whole w = {.lp = &lp, .s = s};
    milp_init(&lp, a);
    for (size_t k = 0; k < s->o.n_periods; k++)
        w.lift[k] = milp_add_row(
            &lp, -NONE, builder_mscf_d(s->o.period[k].limits.caps.lift_sm3s));
    for (size_t i = 0; i < s->b.field.n_wells; i++)
        add_well(&w, i, builder_stb_d(p->undisturbed.well[i].oil_sm3s));
    struct verdict v = cbc_solve(&lp, 60, a);
    cr_assert(v.has_plan);
    return v.value;
}

Test(outage, cbc_agrees_on_one_whole_program)
{
    if (!cbc_is_installed())
        return;
    double worst = 0;
    for (uint64_t seed = 1; seed <= 8; seed++) {
        struct story s;
        draw_story(&s, seed);
        char label[32];
        snprintf(label, sizeof label, "seed %d", (int)seed);
        struct outage_plan p = solve(&s, 5e-3, label);
        double best = whole_value(&s, &p, &s.arena);
        double value = stb(p.value) * 24, bound = stb(p.bound) * 24;
        double slack = TOL_LIMIT_REL * fabs(best);
        cr_expect(le(dbl, value, best + slack), "%s: %g over %g", label, value,
                  best);
        cr_expect(ge(dbl, bound, best - slack), "%s: bound %g under %g", label,
                  bound, best);
        worst = fmax(worst, (best - value) / fabs(best));
        arena_release(&s.arena);
    }
    cr_expect(le(dbl, worst, 0.02));
}

/* --- what must hold ------------------------------------------------------- */

/* *a can do all that *b can: it loses no more, within the two gaps. */
static void expect_no_worse(struct story *a, struct story *b, const char *label)
{
    struct outage_plan x = solve(a, 2e-3, label), y = solve(b, 2e-3, label);
    cr_expect(ge(dbl, x.bound, y.value), "%s", label);
    cr_expect(le(dbl, x.deferred_sm3,
                 y.deferred_sm3 + (x.bound - x.value) + 1e-9 * y.potential_sm3),
              "%s", label);
}

Test(outage, more_gas_a_shorter_loss_and_more_moves_never_defer_more)
{
    for (uint64_t seed = 21; seed <= 24; seed++) {
        struct story a, b;
        draw_story(&a, seed);
        draw_story(&b, seed);
        a.event[0].part *= 1.2;
        expect_no_worse(&a, &b, "more gas");
        a.event[0].part = b.event[0].part;
        b.event[0].to_s += HOUR;
        expect_no_worse(&a, &b, "shorter");
        a.event[0] = b.event[0];
        a.o.n_shifts = b.o.n_shifts = 1;
        a.shift[0] = (struct outage_shift){0, 6 * HOUR, 14};
        b.shift[0] = (struct outage_shift){0, 6 * HOUR, 10};
        expect_no_worse(&a, &b, "more moves");
        arena_release(&a.arena);
        arena_release(&b.arena);
    }
}
