/* Plans by prices against the flat program, against each choice of units by
 * itself, and against what any plan must keep. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <string.h>

#include "../../../src/plan/auction.h"
#include "../../../src/plan/rounding.h"
#include "../../../src/plan/sample.h"
#include "../../../src/plan/search.h"
#include "num/tol.h"
#include "support/random_field.h"
#include "support/small_limits.h"

static struct auction_result run(const struct problem *p, double gap,
                                 long nodes, struct arena *a)
{
    struct auction_options ask = {gap, nodes, (double)INFINITY};
    struct auction_result r;
    struct err err;
    cr_assert(eq(int, auction_run(p, &ask, a, &r, &err), ST_OK));
    return r;
}

/* A hard random field: scarce gas, tight manifolds. moves: at most a fifth of
 * the wells. */
static void hard_field(uint64_t seed, size_t n, bool moves, struct arena *a,
                       struct builder *b)
{
    builder_init_for(b, n, a);
    struct random_field_options o = random_field_hard(n);
    o.has_readings = moves;
    random_field(seed, &o, b);
    b->field.station.flare_max_sm3s = (double)INFINITY;
    if (moves)
        b->field.limits.caps.moves = n / 5;
}

/* Four units of which the plan may choose, and money to weigh them by. */
static void add_units(struct builder *b)
{
    static const char *const NAMES[] = {"A", "B", "C", "D"};
    struct field_station *s = &b->field.station;
    double gas_sm3s = b->field.limits.caps.lift_sm3s;
    s->has_compressors = true;
    s->n_compressors = 4;
    s->compressor = ARENA_NEW(b->arena, 4, struct field_compressor);
    for (size_t i = 0; i < 4; i++)
        s->compressor[i] = (struct field_compressor){
            .name = NAMES[i],
            .state = UNIT_AVAILABLE,
            .capacity_sm3s = gas_sm3s * (0.3 + 0.1 * (double)i),
            .least_sm3s = gas_sm3s * 0.15,
            .recycles = i % 2 == 1,
            .has_fuel = true,
            .fuel_fraction = 0.03 + 0.01 * (double)i,
            .fuel_fixed_sm3s = gas_sm3s * 0.004,
        };
    b->field.prices = (struct field_prices){
        .oil_sm3 = 300,
        .compression_sm3 = 0.01,
        .carbon_sm3 = 0.05,
        .given = true,
    };
    b->field.sales.price_sm3 = 0.1;
}

/* --- against the flat program ---------------------------------------------*/

static double size_of(double value)
{
    return fmax(fabs(value), 1e-3);
}

static void compare(uint64_t seed, size_t n_most, bool lines_only)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct plan_options o;
    struct problem p;
    small_limits(seed, n_most, &a, &b, &o);
    problem_make(&b.field, b.curves, &o, lines_only, &a, &p);
    struct auction_result r = run(&p, o.gap, 3000, &a);
    struct search_result s;
    struct err err;
    cr_assert(eq(int, search_run(&p, false, &a, &s, &err), ST_OK));
    const char *why;
    double bound = certificate_bound(&p, &r.certificate, &a, &why);
    double flat = s.has_plan ? s.plan.value / p.value_unit : 0;
    double size = size_of(r.has_plan ? r.value : flat);
    cr_expect(why == NULL, "seed %d: %s", (int)seed, why);
    cr_expect(le(dbl, bound, r.bound + 1e-9 * fmax(size, fabs(r.bound))),
              "seed %d", (int)seed);
    if (s.has_plan)
        cr_expect(ge(dbl, r.bound, flat - 1e-7 * size), "seed %d", (int)seed);
    if (r.has_plan) {
        cr_expect(ge(dbl, r.bound, r.value - 1e-9 * size), "seed %d",
                  (int)seed);
        cr_expect(le(dbl, r.value, s.bound / p.value_unit + 2e-7 * size),
                  "seed %d", (int)seed);
    }
    if (r.is_impossible)
        cr_expect(not(s.has_plan || r.has_plan), "seed %d", (int)seed);
    /* Without mixtures below curves each is to find the same. */
    if (lines_only) {
        cr_expect(eq(int, r.has_plan, s.has_plan), "seed %d", (int)seed);
        if (r.has_plan)
            cr_expect(le(dbl, r.bound - r.value, 2e-7 * size), "seed %d",
                      (int)seed);
    }
    arena_release(&a);
}

Test(auction, agrees_with_the_flat_program_on_small_fields_with_all_limits,
     .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 1500; seed++)
        compare(seed, 10, true);
}

Test(auction, its_bound_holds_where_mixtures_leave_the_curves, .timeout = 60)
{
    for (uint64_t seed = 2001; seed <= 3000; seed++)
        compare(seed, 10, false);
}

Test(auction, agrees_with_the_flat_program_on_fields_of_several_blocks,
     .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 6; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        struct problem p;
        struct plan_options o = plan_options_default();
        o.gap = 1e-6;
        hard_field(seed, 60, seed % 2 == 0, &a, &b);
        problem_make(&b.field, b.curves, &o, false, &a, &p);
        struct auction_result r = run(&p, o.gap, 3000, &a);
        struct search_result s;
        struct err err;
        cr_assert(eq(int, search_run(&p, false, &a, &s, &err), ST_OK));
        double flat = s.plan.value / p.value_unit;
        cr_expect(r.has_plan);
        cr_expect(epsilon_eq(dbl, r.value, flat, 2e-6 * flat), "seed %d",
                  (int)seed);
        cr_expect(ge(dbl, r.bound, flat * (1 - 1e-9)), "seed %d", (int)seed);
        arena_release(&a);
    }
}

/* --- units ----------------------------------------------------------------*/

/* Each of the 16 ways to run four units, the units then fixed. */
Test(auction, units_that_may_stop_are_run_as_the_best_way_by_itself,
     .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 6; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        struct problem p;
        struct plan_options o = plan_options_default();
        o.objective = PLAN_MONEY;
        hard_field(seed, 30, seed % 2 == 0, &a, &b);
        add_units(&b);
        problem_make(&b.field, b.curves, &o, false, &a, &p);
        struct auction_result free = run(&p, 1e-7, 3000, &a);
        double best = -(double)INFINITY;
        for (unsigned way = 0; way < 16; way++) {
            struct problem fixed = p;
            fixed.unit = ARENA_NEW(&a, p.n_units, struct station_unit);
            for (size_t u = 0; u < p.n_units; u++) {
                fixed.unit[u] = p.unit[u];
                fixed.unit[u].may_run = (way >> u & 1) == 1;
                fixed.unit[u].may_stop = (way >> u & 1) == 0;
            }
            struct auction_result one = run(&fixed, 1e-7, 3000, &a);
            if (one.has_plan)
                best = fmax(best, one.value);
        }
        cr_expect(epsilon_eq(dbl, free.value, best, 3e-7 * fabs(best)),
                  "seed %d", (int)seed);
        cr_expect(ge(dbl, free.bound, best * (1 - 1e-9)), "seed %d", (int)seed);
        arena_release(&a);
    }
}

/* --- what every plan must keep --------------------------------------------*/

/* Oil of a mode at a gas rate, straight between its points. */
static double oil_at(const struct mode *mode, double gas)
{
    const struct use *p = mode->point;
    for (size_t k = 0; k + 1 < mode->n; k++)
        if (gas <= p[k + 1].gas)
            return p[k].oil + (p[k + 1].oil - p[k].oil) * (gas - p[k].gas) /
                                  (p[k + 1].gas - p[k].gas);
    return p[mode->n - 1].oil;
}

/* Trap: with gas for nothing a mixture of distant points is as good as any,
 * and lies below the curve. */
Test(auction, plans_stand_on_their_curves_when_gas_costs_nothing, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct problem p;
    struct plan_options o = plan_options_default();
    hard_field(3, 1000, false, &a, &b);
    b.field.limits.caps.lift_sm3s = (double)INFINITY;
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    /* A wide gap, so that prices end before they are exact. */
    struct auction_result r = run(&p, 1e-2, 3000, &a);
    cr_assert(r.has_plan);
    for (size_t i = 0; i < p.n_wells; i++) {
        const struct stand *s = &r.stand[i];
        const struct mode *mode = &p.bidder[i].menu.mode[s->mode];
        cr_expect(epsilon_eq(dbl, s->use.oil, oil_at(mode, s->use.gas), 1e-11),
                  "well %zu", i);
    }
    arena_release(&a);
}

/* Trap: rows passed in the last digits put the plan above its bound. */
Test(auction, limits_hold_and_no_plan_is_better_than_its_bound, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        struct problem p;
        struct plan_options o = plan_options_default();
        hard_field(seed, 100, seed % 2 == 0, &a, &b);
        problem_make(&b.field, b.curves, &o, false, &a, &p);
        struct auction_result r = run(&p, 1e-5, 3000, &a);
        cr_assert(r.has_plan);
        cr_expect(ge(dbl, r.bound, r.value * (1 - 1e-10)), "seed %d",
                  (int)seed);
        cr_expect(le(dbl, r.bound, r.value * (1 + 1e-5)), "seed %d", (int)seed);
        for (size_t row = 0; row < p.n_rows; row++) {
            double sum = 0;
            for (size_t i = 0; i < p.n_wells; i++)
                sum += row_part(&p, row, i, &r.stand[i].use,
                                &p.bidder[i].menu.mode[r.stand[i].mode]);
            for (size_t c = 0; c < p.n_columns && row < N_FIELD_ROWS; c++)
                sum += p.column[c].term[row] * r.column[c];
            double slack = TOL_LIMIT_REL / 10;
            cr_expect(le(dbl, sum, p.row[row].high * (1 + slack) + slack),
                      "seed %d row %zu", (int)seed, row);
            cr_expect(ge(dbl, sum, p.row[row].low * (1 - slack) - slack),
                      "seed %d row %zu", (int)seed, row);
        }
        arena_release(&a);
    }
}

/* Trap: prices without end where limits contradict each other. */
Test(auction, contradicting_limits_are_found_at_prices_that_are_numbers,
     .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct problem p;
    struct plan_options o = plan_options_default();
    hard_field(1, 60, false, &a, &b);
    b.field.sales.min_sm3s = builder_gas(1e6);
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct auction_result r = run(&p, 1e-5, 3000, &a);
    cr_assert(r.is_impossible);
    cr_assert(not(r.has_plan));
    const char *why;
    double least = 0; /* oil of no well is below 0 */
    cr_assert(lt(dbl, certificate_bound(&p, &r.certificate, &a, &why), least));
    for (size_t i = 0; i < r.certificate.n_parts; i++)
        for (size_t row = 0; row < p.n_rows; row++)
            cr_expect(isfinite(r.certificate.part[i].row_price[row]));
    arena_release(&a);
}

/* Trap: a wide gap leaves every well open; a good plan must come first. */
Test(auction, few_moves_are_proven_in_few_nodes, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 10; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        struct problem p;
        struct plan_options o = plan_options_default();
        hard_field(seed, 200, true, &a, &b);
        problem_make(&b.field, b.curves, &o, false, &a, &p);
        struct auction_result r = run(&p, 1e-4, 300, &a);
        cr_expect(le(dbl, r.bound - r.value, 1e-4 * r.value), "seed %d",
                  (int)seed);
        arena_release(&a);
    }
}

/* Trap: tables in whole bbl/d, tens of them here, have kinks everywhere. */
Test(auction, rounded_tables_with_many_kinks_are_proven_too, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct problem p;
    struct plan_options o = plan_options_default();
    hard_field(4, 100, false, &a, &b);
    for (size_t i = 0; i < b.field.n_wells; i++) {
        struct curve *c = &b.curves[i];
        double *oil = ARENA_NEW(&a, c->n, double), step = builder_oil(10);
        double *water = ARENA_NEW(&a, c->n, double);
        double *gas = ARENA_NEW(&a, c->n, double);
        double per_oil = c->water_sm3s[c->peak] / c->oil_sm3s[c->peak];
        double ratio = c->formation_sm3s[c->peak] / c->oil_sm3s[c->peak];
        for (size_t k = 0; k < c->n; k++) {
            oil[k] = step * round(c->oil_sm3s[k] / step);
            water[k] = per_oil * oil[k];
            gas[k] = ratio * oil[k];
        }
        c->oil_sm3s = oil;
        c->water_sm3s = water;
        c->formation_sm3s = gas;
        c->peak = 0;
        for (size_t k = 1; k < c->n; k++)
            if (oil[k] > oil[c->peak])
                c->peak = k;
    }
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    size_t n_modes = 0;
    for (size_t i = 0; i < p.n_wells; i++)
        n_modes += p.bidder[i].menu.n_modes;
    cr_assert(gt(sz, n_modes, 3 * p.n_wells));
    struct auction_result r = run(&p, 1e-5, 3000, &a);
    cr_assert(r.has_plan);
    cr_assert(le(dbl, r.bound - r.value, 1e-5 * r.value));
    arena_release(&a);
}

/* --- the answer is one ----------------------------------------------------*/

Test(auction, two_threads_change_no_bit, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct problem p;
    struct plan_options o = plan_options_default();
    /* Enough blocks that they are asked by several threads. */
    hard_field(2, 8000, false, &a, &b);
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct auction_result r[2];
    for (int i = 0; i < 2; i++) {
        omp_set_num_threads(i + 1);
        r[i] = run(&p, 1e-4, 3000, &a);
    }
    cr_assert(r[0].has_plan);
    cr_expect(eq(dbl, r[0].value, r[1].value));
    cr_expect(eq(dbl, r[0].bound, r[1].bound));
    cr_expect(eq(long, r[0].nodes, r[1].nodes));
    for (size_t i = 0; i < p.n_wells; i++) {
        cr_expect(eq(sz, r[0].stand[i].mode, r[1].stand[i].mode));
        cr_expect(eq(dbl, r[0].stand[i].use.gas, r[1].stand[i].use.gas));
    }
    arena_release(&a);
}

/* Three alike and gas for one and a half; and one that makes the same oil at
 * any rate. */
Test(auction, of_twins_the_first_by_name_gets_the_gas, .timeout = 10)
{
    static const double GAS[] = {0, 100, 200}, OIL[] = {10, 50, 50},
                        FLAT[] = {40, 40, 40};
    static const char *const NAMES[] = {"C", "A", "B"};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    for (size_t i = 0; i < 3; i++)
        builder_well(&b, NAMES[i], 3, GAS, OIL, 1, 0.1);
    builder_well(&b, "D", 3, GAS, FLAT, 1, 0.1);
    b.field.limits.caps.lift_sm3s = builder_gas(150);
    struct plan_options o = plan_options_default();
    struct problem p;
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct auction_result r = run(&p, 1e-9, 3000, &a);
    static const double WANT[] = {100, 50, 0, 0};
    cr_assert(r.has_plan);
    for (size_t i = 0; i < 4; i++)
        cr_expect(epsilon_eq(dbl, r.stand[i].use.gas * p.units.gas_sm3s,
                             builder_gas(WANT[i]), 1e-6),
                  "well %zu", i);
    arena_release(&a);
}

/* Both wells bring the liquid that there is room for; the second needs a third
 * of the gas for it. */
Test(auction, of_equal_oil_the_least_gas_is_taken, .timeout = 10)
{
    static const double GAS[] = {0, 300}, LESS[] = {0, 100}, OIL[] = {0, 60};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 2, GAS, OIL, 1, 0.1);
    builder_well(&b, "B", 2, LESS, OIL, 1, 0.1);
    b.field.limits.caps.liquid_sm3s = builder_oil(90);
    struct plan_options o = plan_options_default();
    struct problem p;
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct auction_result r = run(&p, 1e-9, 3000, &a);
    cr_assert(r.has_plan);
    double gas = (r.stand[0].use.gas + r.stand[1].use.gas) * p.units.gas_sm3s;
    cr_assert(epsilon_eq(dbl, gas, builder_gas(75), 1e-6));
    arena_release(&a);
}

/* Asked at no prices the bound is some 6 % above the plan. */
Test(auction, a_part_of_the_blocks_knows_the_prices_of_all, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct problem p;
    struct plan_options o = plan_options_default();
    hard_field(5, 2000, false, &a, &b);
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct auction_result r = run(&p, 1e-5, 3000, &a);
    struct blocks blocks;
    struct asking k;
    blocks_make(&p, &a, &blocks);
    asking_make(&p, &blocks, true, &a, &k);
    const struct menu **menu = ARENA_NEW(&a, p.n_wells, const struct menu *);
    for (size_t i = 0; i < p.n_wells; i++)
        menu[i] = &p.bidder[i].menu;
    double *row_price = sample_prices(&k, menu);
    cr_assert(row_price != NULL);
    double bound = offer_bound(k.problem, offer_ask(&k, menu, row_price, NULL));
    cr_assert(ge(dbl, bound, r.value * (1 - 1e-8)));
    cr_assert(le(dbl, bound, r.value * 1.01));
    asking_release(&k);
    arena_release(&a);
}

/* --- rounding -------------------------------------------------------------*/

static size_t count_moves(const struct problem *p, const size_t *mode)
{
    size_t n = 0;
    for (size_t i = 0; i < p->n_wells; i++)
        n += p->bidder[i].menu.mode[mode[i]].moved;
    return n;
}

/* What wells are worth at best at prices, in given modes. */
static double worth_in_modes(const struct problem *p, const struct worth *w,
                             const size_t *mode)
{
    double sum = 0;
    for (size_t i = 0; i < p->n_wells; i++) {
        struct well_worth own = worth_for(w, &p->bidder[i]);
        sum += worth_of_mode(&own, &p->bidder[i].menu.mode[mode[i]]);
    }
    return sum;
}

/* A rounding is what few blocks choose: at the mixture's prices it may lose no
 * more than a well or two make. */
Test(auction, rounding_never_passes_the_moves_and_loses_little, .timeout = 60)
{
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        struct problem p;
        struct plan_options o = plan_options_default();
        hard_field(seed, 300, true, &a, &b);
        b.field.limits.caps.moves = 60 * (1 + seed % 4);
        for (size_t m = 0; m < b.field.groups[GROUP_MANIFOLD].n; m++)
            b.field.groups[GROUP_MANIFOLD].group[m].caps.lift_sm3s =
                (double)INFINITY;
        problem_make(&b.field, b.curves, &o, false, &a, &p);
        struct blocks blocks;
        struct asking k;
        blocks_make(&p, &a, &blocks);
        asking_make(&p, &blocks, true, &a, &k);
        const struct menu **menu =
            ARENA_NEW(&a, p.n_wells, const struct menu *);
        for (size_t i = 0; i < p.n_wells; i++)
            menu[i] = &p.bidder[i].menu;
        struct prices q;
        prices_start(&k, k.problem, menu, 1e-6 * k.range, &q);
        prices_ask(&q, asking_prices(&k));
        prices_find(&q, 60);
        size_t *mode = ARENA_NEW(&a, p.n_wells, size_t);
        round_mixture(&q, 0.1, mode);
        cr_expect(le(sz, count_moves(&p, mode), b.field.limits.caps.moves),
                  "seed %d", (int)seed);
        struct worth w = worth_at(k.problem, q.row_price);
        double best = 0;
        for (size_t i = 0; i < p.n_wells; i++) {
            struct well_worth own = worth_for(&w, &k.problem->bidder[i]);
            best += worth_of_menu(&own, menu[i]);
        }
        double lost = best - worth_in_modes(k.problem, &w, mode);
        cr_expect(le(dbl, lost, 0.1), "seed %d", (int)seed);
        asking_release(&k);
        arena_release(&a);
    }
}

/* Half of a plan that moves both wells and half of one that moves none, at
 * prices that make nothing of a move: one well may move. */
Test(auction, rounding_keeps_a_limit_that_has_no_price_yet, .timeout = 10)
{
    static const double GAS[] = {0, 100}, OIL[] = {0, 60};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_reading(builder_well(&b, "A", 2, GAS, OIL, 1, 0.1), 0,
                    WELL_FLOWING);
    builder_reading(builder_well(&b, "B", 2, GAS, OIL, 1, 0.1), 0,
                    WELL_FLOWING);
    b.field.limits.caps.moves = 1;
    struct plan_options o = plan_options_default();
    struct problem p;
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct blocks blocks;
    struct asking k;
    blocks_make(&p, &a, &blocks);
    asking_make(&p, &blocks, true, &a, &k);
    const struct menu *menu[] = {&p.bidder[0].menu, &p.bidder[1].menu};
    struct prices q;
    prices_start(&k, k.problem, menu, 0, &q);
    double *dear = asking_prices(&k);
    dear[ROW_MOVES] = 1e3;
    prices_ask(&q, asking_prices(&k));
    prices_ask(&q, dear);
    q.weight[0][0] = q.weight[1][0] = 0.5;
    q.row_price = asking_prices(&k);
    size_t mode[2];
    round_mixture(&q, 0.1, mode);
    cr_assert(eq(sz, count_moves(&p, mode), 1));
    asking_release(&k);
    arena_release(&a);
}

Test(auction, stopped_early_it_keeps_a_plan_and_a_bound_that_holds,
     .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    struct problem p;
    struct plan_options o = plan_options_default();
    hard_field(2, 60, true, &a, &b);
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct auction_result whole = run(&p, 1e-9, 5000, &a);
    struct auction_result part = run(&p, 1e-9, 2, &a);
    cr_assert(not(whole.is_stopped));
    cr_assert(part.is_stopped);
    cr_assert(part.has_plan);
    cr_assert(gt(dbl, part.bound, part.value));
    cr_assert(ge(dbl, part.bound, whole.value));
    cr_assert(le(dbl, part.value, whole.bound));
    const char *why;
    double bound = certificate_bound(&p, &part.certificate, &a, &why);
    cr_assert(epsilon_eq(dbl, bound, part.bound, 1e-10 * bound));
    arena_release(&a);
}

/* Gas may be bought and flared at no price: neither is done for nothing, and
 * what must leave is sold as far as it can be. */
Test(auction, nothing_is_bought_or_flared_without_need, .timeout = 10)
{
    static const double GAS[] = {0, 300}, OIL[] = {100, 300};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 2, GAS, OIL, 0, 1);
    b.field.market.max_sm3s = builder_gas(500);
    b.field.station.flare_max_sm3s = builder_gas(500);
    b.field.sales.max_sm3s = builder_gas(250);
    struct plan_options o = plan_options_default();
    struct problem p;
    problem_make(&b.field, b.curves, &o, false, &a, &p);
    struct auction_result r = run(&p, 1e-9, 3000, &a);
    cr_assert(r.has_plan);
    static const double WANT[] = {
        [COLUMN_SALES] = 250, [COLUMN_BOUGHT] = 0, [COLUMN_FLARE] = 50};
    for (size_t k = 0; k < 3; k++)
        cr_expect(epsilon_eq(dbl, r.column[k] * p.units.gas_sm3s,
                             builder_gas(WANT[k]), 1e-6),
                  "column %zu", k);
    arena_release(&a);
}
