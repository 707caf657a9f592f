/* Every kind of limit at once, on small fields, against two second opinions:
 * all combinations of a grid of rates, none of which may beat the plan or its
 * bound; and the same program in full, without our search, solved by CBC. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "../../../src/plan/lp_glpk.h"
#include "../../../src/plan/model.h"
#include "base/strbuf.h"
#include "plan/verify.h"
#include "support/dice.h"
#include "support/plan_case.h"

#define POINTS_MOST 6
#define RATES_MOST 64

/* Wells with water and gas of their own; in half of the fields the water does
 * not follow the oil. */
static void draw_wells(struct dice *d, size_t n, struct builder *b)
{
    bool bends = dice_index(d, 2) == 0;
    for (size_t i = 0; i < n; i++) {
        double gas[POINTS_MOST], oil[POINTS_MOST];
        size_t points = 2 + dice_index(d, POINTS_MOST - 1);
        gas[0] = dice_index(d, 2) == 0 ? 0 : dice_between(d, 50, 200);
        oil[0] = dice_between(d, 0, 80);
        for (size_t k = 1; k < points; k++) {
            gas[k] = gas[k - 1] + dice_between(d, 40, 160);
            oil[k] = oil[k - 1] + dice_between(d, -20, 120);
            oil[k] = fmax(oil[k], 0);
        }
        char name[32];
        snprintf(name, sizeof name, "W%zu", i);
        struct field_well *w =
            builder_well(b, name, points, gas, oil, dice_between(d, 0, 4),
                         dice_between(d, 0.1, 1.5));
        double *water = ARENA_NEW(b->arena, points, double);
        for (size_t k = 0; k < points; k++)
            water[k] = b->curves[i].water_sm3s[k] *
                       (bends ? dice_between(d, 0.7, 1.3) : 1);
        b->curves[i].water_sm3s = water;
        w->lift_min_sm3s =
            dice_index(d, 3) == 0 ? builder_gas(dice_between(d, 50, 150)) : 0;
        w->may_stop = dice_index(d, 6) != 0;
        w->group[GROUP_MANIFOLD] = dice_index(d, 2);
        builder_reading(w, dice_between(d, 0, 1) * gas[points - 1],
                        dice_index(d, 10) == 0 ? WELL_HELD : WELL_FLOWING);
    }
}

/* What all the wells can make and take at most. */
static void add_up(const struct builder *b, double *oil, double *water,
                   double *gas, double *formation)
{
    *oil = *water = *gas = *formation = 0;
    for (size_t i = 0; i < b->field.n_wells; i++) {
        const struct curve *c = &b->curves[i];
        *oil += c->oil_sm3s[c->peak];
        *water += c->water_sm3s[c->peak];
        *formation += c->formation_sm3s[c->peak];
        *gas += c->gas_sm3s[c->peak];
    }
}

static double some(struct dice *d, double of)
{
    return of * dice_between(d, 0.3, 1.1);
}

static void draw_station(struct dice *d, double gas, double formation,
                         struct field *f)
{
    struct field_compressor *c = f->station.compressor;
    *c = (struct field_compressor){
        .name = "C-1",
        .capacity_sm3s = some(d, gas + formation),
        .state = UNIT_RUNNING,
    };
    f->station.n_compressors = 1;
    f->station.has_compressors = dice_index(d, 4) != 0;
    f->station.fuel_fraction = dice_between(d, 0, 0.1);
    f->station.fuel_from =
        dice_index(d, 2) == 0 ? SIDE_SUCTION : SIDE_DISCHARGE;
    f->station.shrinkage_fraction = dice_between(d, 0, 0.1);
    if (dice_index(d, 3) == 0)
        f->station.flare_max_sm3s = 0.2 * formation;
    f->sales.from = dice_index(d, 2) == 0 ? SIDE_SUCTION : SIDE_DISCHARGE;
    f->market.enters = dice_index(d, 2) == 0 ? SIDE_SUCTION : SIDE_DISCHARGE;
    if (dice_index(d, 3) == 0)
        f->sales.min_sm3s = dice_between(d, 0, 0.6) * formation;
    if (dice_index(d, 3) == 0)
        f->sales.max_sm3s =
            f->sales.min_sm3s + dice_between(d, 0.1, 0.8) * formation;
    if (dice_index(d, 2) == 0)
        f->market.max_sm3s = dice_between(d, 0, 0.4) * formation;
}

static void draw_prices(struct dice *d, struct field *f)
{
    double oil = 1 / (builder_oil(1) * UNIT_DAY_S);
    double gas = 1 / (builder_gas(1) * UNIT_DAY_S);
    f->prices = (struct field_prices){
        .given = true,
        .oil_sm3 = oil * dice_between(d, 20, 70),
        .water_sm3 = oil * dice_between(d, 0, 3),
        .compression_sm3 = gas * dice_between(d, 0, 1),
    };
    f->sales.price_sm3 = gas * dice_between(d, -0.5, 4);
    f->market.price_sm3 = gas * dice_between(d, 1, 6);
}

static void draw_case(struct dice *d, size_t n_wells, struct builder *b)
{
    builder_manifold(b, "south", (double)INFINITY);
    draw_wells(d, n_wells, b);
    struct field *f = &b->field;
    double oil, water, gas, formation;
    add_up(b, &oil, &water, &gas, &formation);
    f->station.compressor = ARENA_NEW(b->arena, 1, struct field_compressor);
    draw_station(d, gas, formation, f);
    draw_prices(d, f);
    if (dice_index(d, 2) == 0)
        f->limits.caps.lift_sm3s = some(d, gas);
    if (dice_index(d, 2) == 0)
        f->limits.caps.water_sm3s = some(d, water);
    if (dice_index(d, 3) == 0)
        f->limits.caps.liquid_sm3s = some(d, oil + water);
    if (dice_index(d, 2) == 0)
        f->groups[GROUP_MANIFOLD].group[1].caps.lift_sm3s = 0.5 * some(d, gas);
    if (dice_index(d, 3) == 0)
        f->limits.caps.moves = dice_index(d, n_wells + 1);
    if (dice_index(d, 4) == 0)
        f->limits.dead_band_sm3s = builder_gas(dice_between(d, 5, 60));
}

/* What the plan never asks for: gas past the peak where the water follows the
 * oil (less of everything for more gas), or for a dead well; this morning's
 * rate only counts as it is where changes count. */
static bool is_pointless(const struct builder *b, size_t i, double gas_sm3s)
{
    const struct curve *c = &b->curves[i];
    const struct field *f = &b->field;
    bool changes_count =
        f->limits.caps.moves != SIZE_MAX || f->limits.dead_band_sm3s > 0;
    if (gas_sm3s == field_well_now_sm3s(&f->well[i]) &&
        (changes_count || field_well_locked(&f->well[i])))
        return false;
    if (gas_sm3s > 0 && gas_sm3s < c->gas_sm3s[0])
        return true;
    double ratio = c->water_sm3s[c->peak] / c->oil_sm3s[c->peak];
    bool follows = fabs(c->water_sm3s[0] - ratio * c->oil_sm3s[0]) < 1e-12;
    return follows && gas_sm3s > c->gas_sm3s[c->peak] &&
           gas_sm3s != f->well[i].lift_min_sm3s;
}

/* Rates to try for one well: off, now, and a grid with the curve's points. */
static size_t rates_of(const struct builder *b, size_t i, size_t n_grid,
                       double *rate)
{
    const struct curve *c = &b->curves[i];
    double all[RATES_MOST] = {0, field_well_now_sm3s(&b->field.well[i]),
                              b->field.well[i].lift_min_sm3s};
    size_t n_all = 3, n = 0;
    for (size_t k = 0; k < c->n; k++)
        all[n_all++] = c->gas_sm3s[k];
    for (size_t k = 1; k < n_grid; k++)
        all[n_all++] = c->gas_max_sm3s * (double)k / (double)n_grid;
    for (size_t k = 0; k < n_all; k++)
        if (!is_pointless(b, i, all[k]))
            rate[n++] = all[k];
    return n;
}

/* The best value on the grid, below -1e300 when it holds no plan: rates are
 * tried through plan_at_rates and accepted by plan_verify alone. */
static double best_on_grid(const struct builder *b, bool money, size_t n_grid)
{
    size_t n_wells = b->field.n_wells, n[3] = {1, 1, 1};
    double rate[3][RATES_MOST] = {{0}};
    for (size_t i = 0; i < n_wells; i++)
        n[i] = rates_of(b, i, n_grid, rate[i]);
    double best = -(double)INFINITY;
    for (size_t k = 0; k < n[0] * n[1] * n[2]; k++) {
        double gas[3] = {rate[0][k % n[0]], rate[1][k / n[0] % n[1]],
                         rate[2][k / n[0] / n[1]]};
        struct arena_mark mark = arena_mark(b->arena);
        struct plan p;
        struct verify v;
        size_t n_beyond;
        plan_at_rates(&b->field, b->curves, gas, b->arena, &p, &n_beyond);
        plan_verify(&b->field, b->curves, &p, b->arena, &v);
        if (v.n_faults == 0)
            best = fmax(best, money ? p.money_s : p.oil_sm3s);
        arena_rewind(b->arena, mark);
    }
    return best;
}

static void compare_with_grid(uint64_t seed, size_t *n_plans, double *shortfall)
{
    struct dice d = {seed};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    draw_case(&d, 3, &b);
    struct plan_options o = case_exact();
    bool money = seed % 2 == 0;
    o.objective = money ? PLAN_MONEY : PLAN_OIL;
    char label[32];
    snprintf(label, sizeof label, "seed %d", (int)seed);
    struct plan p = case_solve(&b, &o, label);
    double grid = best_on_grid(&b, money, 12);
    if (p.outcome == PLAN_IMPOSSIBLE) {
        cr_expect(eq(dbl, grid, -(double)INFINITY), "%s: grid has a plan",
                  label);
    } else {
        cr_expect(eq(int, p.outcome, PLAN_OPTIMAL), "%s: gap %g", label, p.gap);
        double slack = 1e-6 * fabs(grid);
        cr_expect(le(dbl, grid - slack, p.value), "%s", label);
        ++*n_plans;
        if (isfinite(grid))
            *shortfall += (p.value - grid) / fmax(fabs(p.value), 1e-9);
    }
    arena_release(&a);
}

Test(limits, no_combination_on_a_grid_beats_the_plan, .timeout = 300)
{
    size_t n_plans = 0;
    double shortfall = 0;
    for (uint64_t seed = 1; seed <= 120; seed++)
        compare_with_grid(seed, &n_plans, &shortfall);
    cr_assert(ge(sz, n_plans, 70));
    /* The grid is near enough to be a test: on average within 3 %. */
    cr_expect(lt(dbl, shortfall / (double)n_plans, 0.03));
}

/* Strong duality: the prices of the relaxed program, taken through our own
 * arithmetic, prove just its value; half the prices prove no less. */
Test(limits, the_prices_of_the_relaxation_prove_its_value, .timeout = 60)
{
    static const struct lp_limits ALL = {0, 1, (double)INFINITY};
    size_t n_solved = 0;
    for (uint64_t seed = 1; seed <= 200; seed++) {
        struct dice d = {seed};
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        draw_case(&d, 5, &b);
        /* Sometimes the compressors would run backwards if they could. */
        if (seed % 4 == 0) {
            b.field.market.max_sm3s = (double)INFINITY;
            b.field.market.enters = SIDE_DISCHARGE;
            b.field.market.price_sm3 = 0.5 * b.field.sales.price_sm3;
        }
        struct problem p;
        struct model m;
        struct plan_options o = case_exact();
        o.objective = seed % 2 == 0 ? PLAN_MONEY : PLAN_OIL;
        problem_make(&b.field, b.curves, &o, true, &a, &p);
        struct menu *menu = ARENA_NEW(&a, p.n_wells, struct menu);
        struct menu_kinds kinds = {isfinite(p.row[ROW_MOVES].high), false};
        for (size_t i = 0; i < p.n_wells; i++)
            menu_relax(&p.bidder[i].menu, &kinds, &a, &menu[i]);
        model_make(&p, menu, false, NULL, &a, &m);
        struct milp_answer answer;
        struct err err = {0};
        cr_assert(eq(int, lp_solve(&m.lp, &ALL, &a, &answer, &err), ST_OK));
        if (answer.state == MILP_SOLVED) {
            struct worth w = worth_at(&p, answer.row_price);
            double slack = 1e-7 * (1 + fabs(answer.value));
            cr_expect(epsilon_eq(dbl, worth_bound(&w), answer.value, slack),
                      "seed %d", (int)seed);
            for (size_t r = 0; r < p.n_rows; r++)
                answer.row_price[r] *= 0.5;
            w = worth_at(&p, answer.row_price);
            cr_expect(le(dbl, answer.value - slack, worth_bound(&w)), "seed %d",
                      (int)seed);
            n_solved++;
        }
        arena_release(&a);
    }
    cr_assert(ge(sz, n_solved, 120));
}

#define CBC "/usr/bin/cbc"

/* The optimum of the full program by CBC; NaN when it finds none. */
static double optimum_by_cbc(const struct milp *m, struct arena *a)
{
    struct strbuf text;
    strbuf_init(&text, a);
    milp_write_lp(m, &text);
    char lp[] = "/tmp/liftsplit-XXXXXX.lp", out[sizeof lp + 4];
    int fd = mkstemps(lp, 3);
    cr_assert(fd >= 0);
    FILE *f = fdopen(fd, "w");
    fwrite(text.text, 1, text.len, f);
    fclose(f);
    snprintf(out, sizeof out, "%s.out", lp);
    const char *command = arena_printf(
        a, CBC " %s -ratio 0 -sec 20 -solve -solu %s >/dev/null", lp, out);
    cr_assert(eq(int, system(command), 0));
    double value = (double)NAN;
    f = fopen(out, "r");
    cr_assert(f != NULL, "cbc left no answer");
    char line[256];
    if (fgets(line, sizeof line, f) != NULL && strncmp(line, "Optimal", 7) == 0)
        sscanf(strstr(line, "objective value"), "objective value %lf", &value);
    fclose(f);
    unlink(lp);
    unlink(out);
    return value;
}

static void compare_with_cbc(uint64_t seed, size_t *n_plans)
{
    struct dice d = {seed};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    draw_case(&d, 4 + dice_index(&d, 12), &b);
    struct plan_options o = case_exact();
    o.objective = seed % 2 == 0 ? PLAN_MONEY : PLAN_OIL;
    char label[32];
    snprintf(label, sizeof label, "seed %d", (int)seed);
    struct plan p = case_solve(&b, &o, label);

    struct problem problem;
    struct model m;
    problem_make(&b.field, b.curves, &o, true, &a, &problem);
    problem.tie_gas = problem.tie_bought = 0;
    problem.tie_flare = problem.tie_rank = 0;
    struct menu *menu = ARENA_NEW(&a, problem.n_wells, struct menu);
    for (size_t i = 0; i < problem.n_wells; i++)
        menu[i] = problem.bidder[i].menu;
    model_make(&problem, menu, true, NULL, &a, &m);
    double cbc = optimum_by_cbc(&m.lp, &a);
    double want = (fabs(cbc) + m.lp.constant) * problem.value_unit;
    if (p.outcome == PLAN_IMPOSSIBLE) {
        cr_expect(isnan(cbc), "%s: cbc has a plan of %g", label, want);
    } else {
        cr_expect(epsilon_eq(dbl, p.value, want, 1e-6 * fabs(want) + 1e-12),
                  "%s", label);
        ++*n_plans;
    }
    arena_release(&a);
}

Test(limits, cbc_finds_the_same_optimum_of_the_full_program, .timeout = 300)
{
    if (access(CBC, X_OK) != 0)
        cr_skip_test("cbc is not installed");
    size_t n_plans = 0;
    for (uint64_t seed = 1; seed <= 60; seed++)
        compare_with_cbc(seed, &n_plans);
    cr_assert(ge(sz, n_plans, 35));
}
