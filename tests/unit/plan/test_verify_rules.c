/* Every rule of wells and units, every sum and every limit: broken alone, it
 * is told in its own words; and what the rules allow is no fault. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "../../../src/plan/account.h"
#include "plan/verify.h"
#include "support/field_builder.h"

TestSuite(verify_rules, .timeout = 20);

enum {
    STEPS,  /* in steps of 50 */
    SLOW,   /* at most 100 more or less */
    FIRST,  /* runs by itself */
    SECOND, /* only with FIRST */
    SHUT,   /* shut in, would flow */
    FLOWS,  /* without gas */
    KEEPS,  /* must not stop */
    HIGH,   /* above its maximum this morning, and slow */
    LOW,    /* below its minimum this morning, and slow */
    LATE,   /* left at a rate at which it is dead */
    DOWN,
    HELD,
    N_WELLS
};

enum { RUNNING, STANDING, BROKEN, N_UNITS };

/* Rates of this morning and of the plan, Mscf/d; oil of the plan by hand from
 * the table below, stb/d. */
static const struct {
    const char *name;
    double now, then, oil;
} WELLS[N_WELLS] = {
    [STEPS] = {"A", 250, 300, 350}, [SLOW] = {"B", 250, 330, 365},
    [FIRST] = {"C", 200, 200, 300}, [SECOND] = {"D", 200, 200, 300},
    [SHUT] = {"E", 250, 0, 0},      [FLOWS] = {"F", 0, 0, 100},
    [KEEPS] = {"G", 250, 250, 325}, [HIGH] = {"H", 900, 700, 485},
    [LOW] = {"I", 100, 300, 350},   [LATE] = {"J", 300, 300, 0},
    [DOWN] = {"K", 250, 0, 0},      [HELD] = {"L", 250, 250, 325},
};
#define LIFT 2830.0  /* Mscf/d in all */
#define OIL 2900.0   /* stb/d, as much water, 0.6 Mscf/d of gas for each */
#define N_MOVES 5    /* A, B, E, H, I */
#define MOVE_S 0.001 /* $/s for each */

struct suspect {
    struct builder builder;
    struct plan plan;
    struct field *f;
    struct field_well *w;       /* of the field */
    struct field_compressor *u; /* of the field */
    struct plan *p;
    struct gas_balance *b;
    struct plan_well *pw;
    struct plan_unit *pu;
};

static void build_wells(struct builder *b)
{
    static const double GAS[] = {0, 200, 500, 900, 1200};
    static const double STB[] = {100, 300, 450, 520, 500};
    static const double LATER[] = {400, 900}, LITTLE[] = {20, 60};
    for (size_t i = 0; i < N_WELLS; i++) {
        bool is_late = i == LATE;
        struct field_well *w =
            builder_well(b, WELLS[i].name, is_late ? 2 : 5,
                         is_late ? LATER : GAS, is_late ? LITTLE : STB, 1, 0.6);
        builder_reading(w, WELLS[i].now,
                        i == DOWN   ? WELL_DOWN
                        : i == HELD ? WELL_HELD
                                    : WELL_FLOWING);
    }
    struct field_well *w = b->field.well;
    w[STEPS].step_sm3s = builder_gas(50);
    w[SLOW].change_max_sm3s = builder_gas(100);
    w[SECOND].runs_with = "C";
    w[SHUT].may_shut = true;
    w[KEEPS].may_stop = false;
    w[HIGH].lift_max_sm3s = builder_gas(700);
    w[HIGH].change_max_sm3s = builder_gas(100);
    w[LOW].lift_min_sm3s = builder_gas(300);
    w[LOW].change_max_sm3s = builder_gas(50);
}

static void build_station(struct builder *b)
{
    struct field *f = &b->field;
    struct field_compressor *u =
        ARENA_NEW(b->arena, N_UNITS, struct field_compressor);
    u[RUNNING] = (struct field_compressor){
        .name = "U-1",
        .state = UNIT_RUNNING,
        .capacity_sm3s = builder_gas(4000),
        .least_sm3s = builder_gas(3300),
        .recycles = true,
        .has_fuel = true,
        .fuel_fraction = 0.04,
        .fuel_fixed_sm3s = builder_gas(30),
        .power_fixed_w = 1e5,
        .power_j_sm3 = 2e5,
        .electric = true,
    };
    u[STANDING] = (struct field_compressor){
        .name = "U-2",
        .state = UNIT_AVAILABLE,
        .capacity_sm3s = builder_gas(1000),
    };
    u[BROKEN] = (struct field_compressor){
        .name = "U-3",
        .state = UNIT_DOWN,
        .capacity_sm3s = builder_gas(1000),
    };
    f->station = (struct field_station){
        .n_compressors = N_UNITS,
        .compressor = u,
        .has_compressors = true,
        .power_max_w = 1e6,
        .fuel_from = SIDE_DISCHARGE,
        .shrinkage_fraction = 0.02,
        .flare_max_sm3s = builder_gas(200),
    };
    f->sales.min_sm3s = builder_gas(1000);
    f->sales.max_sm3s = builder_gas(1400);
    f->sales.price_sm3 = 0.1;
    f->sales.from = SIDE_SUCTION;
    f->market.max_sm3s = builder_gas(20);
    f->limits.dead_band_sm3s = builder_gas(20);
    f->prices = (struct field_prices){
        .oil_sm3 = 400,
        .water_sm3 = 10,
        .compression_sm3 = 0.01,
        .move = MOVE_S,
        .carbon_sm3 = 0.05,
        .power_j = 2e-8,
        .given = true,
    };
}

/* One group of each kind; the wells by turns in a group or in none. */
static void build_groups(struct builder *b)
{
    builder_group(b, GROUP_PAD, "P");
    builder_group(b, GROUP_SEPARATOR, "S");
    builder_group(b, GROUP_ROUTE, "R");
    for (size_t i = 0; i < N_WELLS; i++) {
        struct field_well *w = &b->field.well[i];
        w->group[GROUP_PAD] = i % 2 == 0 ? 0 : SIZE_MAX;
        w->group[GROUP_SEPARATOR] = i % 3 == 0 ? 0 : SIZE_MAX;
        w->group[GROUP_ROUTE] = i % 4 == 0 ? 0 : SIZE_MAX;
    }
}

/* The plan by hand, from its rates. */
static void state(struct suspect *s, struct arena *a)
{
    static const bool IS_SHUT[N_WELLS] = {[SHUT] = true};
    double gas_sm3s[N_WELLS];
    struct plan_options o = plan_options_default();
    struct unit_load load[N_UNITS] = {{.runs = true}, {0}, {0}};
    o.objective = PLAN_MONEY;
    o.oil_target_sm3s = builder_oil(2800);
    *s = (struct suspect){0};
    builder_init(&s->builder, a);
    build_wells(&s->builder);
    build_station(&s->builder);
    build_groups(&s->builder);
    for (size_t i = 0; i < N_WELLS; i++)
        gas_sm3s[i] = builder_gas(WELLS[i].then);
    struct account_rates rates = {
        .gas_sm3s = gas_sm3s,
        .shut = IS_SHUT,
        .load = load,
        .balance = {.sales = builder_gas(1400)},
    };
    s->f = &s->builder.field;
    s->w = s->f->well;
    s->u = s->f->station.compressor;
    account_fill(s->f, s->builder.curves, &o, &rates, a, &s->plan);
    s->p = &s->plan;
    s->b = &s->plan.balance;
    s->pw = s->plan.well;
    s->pu = s->plan.unit;
}

static struct verify look(struct suspect *s, struct arena *a)
{
    struct verify v;
    plan_verify(s->f, s->builder.curves, s->p, a, &v);
    return v;
}

/* By hand: all 3300 that the unit needs pass it and burn 30 + 0.04 * 3300 =
 * 162; the lift gas and these leave it, and the rest goes round. 1740 of
 * formation gas less 34.8 less 162 less 1400 sold: 143.2 are flared. */
Test(verify_rules, a_plan_that_keeps_them_has_no_fault_and_is_worth_what_it_is)
{
    struct arena a;
    arena_init(&a);
    struct suspect s;
    state(&s, &a);
    struct verify v = look(&s, &a);
    for (size_t i = 0; i < v.n_faults; i++)
        cr_expect(false, "%s", v.fault[i].what);
    for (size_t i = 0; i < N_WELLS; i++)
        cr_expect(
            epsilon_eq(dbl, s.pw[i].oil_sm3s, builder_oil(WELLS[i].oil), 1e-12),
            "well %s", WELLS[i].name);
    double flare = 143.2, fuel = 162;
    cr_expect(epsilon_eq(dbl, s.b->lift, builder_gas(LIFT), 1e-9));
    cr_expect(epsilon_eq(dbl, s.b->fuel, builder_gas(fuel), 1e-9));
    cr_expect(epsilon_eq(dbl, s.b->flare, builder_gas(flare), 1e-9));
    cr_expect(epsilon_eq(dbl, s.pu[RUNNING].load.recycled_sm3s,
                         builder_gas(3300 - LIFT - fuel), 1e-9));
    cr_expect(eq(sz, s.p->n_moves, N_MOVES));
    double power_w = 1e5 + 2e5 * builder_gas(3300);
    double money = 400 * builder_oil(OIL) - 10 * builder_oil(OIL) +
                   0.1 * builder_gas(1400) - 0.01 * builder_gas(3300) -
                   0.05 * builder_gas(fuel + flare) - 2e-8 * power_w -
                   N_MOVES * MOVE_S;
    cr_expect(epsilon_eq(dbl, s.p->money_s, money, 1e-9));
    arena_release(&a);
}

/* --- what is broken, and the words for it; NULL: it is allowed ----------- */

typedef void spoil(struct suspect *s, size_t row, const char **words);

/* Sets the words of a row that is there. */
#define BREAK(n, told, ...) \
    case n:                 \
        *words = told;      \
        __VA_ARGS__;        \
        break

#define PAST_ALL "past all"

static void spoil_rates(struct suspect *s, size_t row, const char **words)
{
    struct field_well *w = s->w;
    const char *change = "changed by more than its largest change";
    switch (row) {
        BREAK(0, "well A at 0.3 MMscf/d: not a multiple of its step",
              w[STEPS].step_sm3s = builder_gas(70));
        BREAK(1, NULL, w[STEPS].step_sm3s = builder_gas(60));
        BREAK(2, change, w[SLOW].change_max_sm3s = builder_gas(79));
        BREAK(3, NULL, w[SLOW].change_max_sm3s = builder_gas(80));
        BREAK(4, "well H at 0.7 MMscf/d: above its maximum",
              w[HIGH].lift_max_sm3s = builder_gas(699));
        BREAK(5, change, w[HIGH].lift_max_sm3s = builder_gas(760));
        BREAK(6, "well I at 0.3 MMscf/d: below its minimum",
              w[LOW].lift_min_sm3s = builder_gas(301));
        BREAK(7, change, w[LOW].lift_min_sm3s = builder_gas(250));
        BREAK(8, "past the end of its curve",
              s->pw[KEEPS].gas_sm3s = builder_gas(1201));
        BREAK(9, "well A at 0.3 MMscf/d: changed by less than the dead band",
              s->f->limits.dead_band_sm3s = builder_gas(60));
        /* What may not stay must change by however little. */
        BREAK(10, NULL, w[LOW].reading.lift_sm3s = builder_gas(290));
        BREAK(11, "well J at 0.3 MMscf/d: dead, yet given gas",
              w[LATE].reading.lift_sm3s = builder_gas(200));
        BREAK(12, "well J at 0.3 MMscf/d: dead, yet given gas",
              s->f->limits.dead_band_sm3s = 0;
              s->f->prices.move = 0);
        /* It may stay as it is where changes cost something. */
        BREAK(13, NULL, s->f->limits.dead_band_sm3s = 0);
        BREAK(14, NULL, w[LATE].step_sm3s = builder_gas(70));
    default:
        *words = PAST_ALL;
    }
}

static void spoil_states(struct suspect *s, size_t row, const char **words)
{
    struct field_well *w = s->w;
    const char *shut = "shut in, and it may not";
    const char *alone = "it runs, yet the well that must run with it does not";
    switch (row) {
        BREAK(0, "well F at 0 MMscf/d: it may not stop",
              w[FLOWS].may_stop = false;
              w[FLOWS].lift_min_sm3s = builder_gas(100));
        /* No multiple of its step lies between its limits. */
        BREAK(1, NULL, w[FLOWS].may_stop = false;
              w[FLOWS].lift_min_sm3s = builder_gas(100);
              w[FLOWS].lift_max_sm3s = builder_gas(140);
              w[FLOWS].step_sm3s = builder_gas(150));
        /* No gas is within its range. */
        BREAK(2, NULL, w[FLOWS].may_stop = false);
        BREAK(3, "well K at 0.01 MMscf/d: down, yet given gas",
              s->pw[DOWN].gas_sm3s = builder_gas(10));
        BREAK(4, "well L at 0.25 MMscf/d: locked, yet changed",
              w[HELD].reading.lift_sm3s = builder_gas(249));
        BREAK(5, NULL, w[HELD].lift_max_sm3s = builder_gas(100));
        BREAK(6, shut, w[SHUT].may_shut = false);
        BREAK(7, shut, s->pw[SHUT].gas_sm3s = builder_gas(10));
        BREAK(8, alone, w[SECOND].runs_with = "K");
        BREAK(9, alone, w[SECOND].runs_with = "E");
        /* One that flows alone runs, and one that takes gas. */
        BREAK(10, NULL, w[SECOND].runs_with = "F");
        BREAK(11, NULL, w[SECOND].runs_with = "J");
        /* The well that does not run needs no other. */
        BREAK(12, NULL, w[DOWN].runs_with = "E");
        BREAK(13, "well G at 0.25 MMscf/d: wrongly marked as moved or not",
              s->pw[KEEPS].moved = true);
        BREAK(14, "well E at 0 MMscf/d: wrongly marked as moved or not",
              s->pw[SHUT].moved = false);
        BREAK(15, "its oil is not its curve's", s->pw[KEEPS].oil_sm3s *= 1.001);
        BREAK(16, "its water is not its curve's",
              s->pw[KEEPS].water_sm3s *= 1.001);
        BREAK(17, "its formation gas is not its curve's",
              s->pw[KEEPS].formation_sm3s *= 1.001);
    default:
        *words = PAST_ALL;
    }
}

static void spoil_units(struct suspect *s, size_t row, const char **words)
{
    struct field_compressor *u = s->u;
    struct unit_load *stands = &s->pu[STANDING].load;
    const char *takes = "compressor U-2: stands still, yet takes gas or power";
    const char *round = "compressor U-1: sends more gas round than it can";
    const char *burns = "compressor U-1: its fuel or power is misstated";
    switch (row) {
        BREAK(0, "compressor U-1: runs, yet it may not",
              u[RUNNING].state = UNIT_STOPPED);
        BREAK(1, NULL, u[RUNNING].state = UNIT_AVAILABLE);
        BREAK(2, "compressor U-3: stands still, yet it is to run",
              u[BROKEN].state = UNIT_RUNNING);
        BREAK(3, takes, stands->through_sm3s = 1);
        BREAK(4, takes, stands->recycled_sm3s = 1);
        BREAK(5, takes, stands->fuel_sm3s = 1e-3);
        BREAK(6, takes, stands->power_w = 1);
        BREAK(7, "compressor U-1: passes more than it can",
              u[RUNNING].capacity_sm3s = builder_gas(3299));
        BREAK(8, "compressor U-1: passes less than it needs",
              u[RUNNING].least_sm3s = builder_gas(3301));
        BREAK(9, round, u[RUNNING].recycles = false);
        BREAK(10, round, u[RUNNING].least_sm3s = builder_gas(300));
        BREAK(11, round, s->pu[RUNNING].load.recycled_sm3s = -1);
        BREAK(12, burns, u[RUNNING].fuel_fixed_sm3s = builder_gas(30.1));
        BREAK(13, burns, u[RUNNING].has_fuel = false);
        BREAK(14, burns, u[RUNNING].power_fixed_w = 1.001e5);
        BREAK(15, burns, u[RUNNING].power_j_sm3 = 2.001e5);
        BREAK(16, "the plan is not for these compressors", s->p->n_units = 2);
    default:
        *words = PAST_ALL;
    }
}

static void spoil_gas(struct suspect *s, size_t row, const char **words)
{
    struct gas_balance *b = s->b;
    double more = 1.001;
    switch (row) {
        BREAK(0, "lift gas: ", b->lift *= more);
        BREAK(1, "formation gas: ", b->formation *= more);
        BREAK(2, "gas compressed: ", b->compressed *= more);
        BREAK(3, "gas from the units: ", b->compressed *= more);
        BREAK(4, "gas from the units: ",
              s->pu[RUNNING].load.recycled_sm3s *= more);
        BREAK(5, "fuel: ", b->fuel *= more);
        BREAK(6, "shrinkage: ", s->f->station.shrinkage_fraction *= more);
        BREAK(7, "gas balance: in ", b->flare *= more);
        BREAK(8, "gas balance: in ", b->bought = builder_gas(1));
        BREAK(9, "gas balance: its error is misstated",
              b->error = builder_gas(0.1));
        BREAK(10, "gas compressed: ", s->f->station.fuel_from = SIDE_SUCTION);
        BREAK(11, "gas compressed: ", s->f->sales.from = SIDE_DISCHARGE);
    default:
        *words = PAST_ALL;
    }
}

static void spoil_value(struct suspect *s, size_t row, const char **words)
{
    struct field_prices *price = &s->f->prices;
    struct plan *p = s->p;
    double more = 1.001;
    switch (row) {
        BREAK(0, "money: ", price->oil_sm3 *= more);
        BREAK(1, "money: ", price->water_sm3 *= more);
        BREAK(2, "money: ", price->compression_sm3 *= more);
        BREAK(3, "money: ", price->carbon_sm3 *= more);
        BREAK(4, "money: ", price->power_j *= more);
        BREAK(5, "money: ", price->move *= more);
        BREAK(6, "money: ", s->f->sales.price_sm3 *= more);
        BREAK(7, NULL, s->f->market.price_sm3 = 1); /* none is bought */
        BREAK(8, "money: ", p->money_s *= more);
        BREAK(9, "oil: ", p->oil_sm3s *= more);
        BREAK(10, "water: ", p->water_sm3s *= more);
        BREAK(11, "value: ", p->value *= more);
        BREAK(12, "value: ", p->objective = PLAN_OIL);
        BREAK(13, "value: ", p->objective = PLAN_GAS);
        BREAK(14, "moves: 6 stated, 5 counted", p->n_moves++);
        BREAK(15, "the bound is below the plan's own value",
              p->bound = p->value / more);
        BREAK(16, "the gap is smaller than bound less value",
              p->outcome = PLAN_WITHIN_GAP;
              p->bound = p->value * more; p->gap = 0.0009);
        BREAK(17, NULL, p->outcome = PLAN_WITHIN_GAP;
              p->bound = p->value * more; p->gap = 0.0011);
    default:
        *words = PAST_ALL;
    }
}

static void spoil_caps(struct suspect *s, size_t row, const char **words)
{
    struct field_caps *all = &s->f->limits.caps;
    struct field_caps *pad = &s->f->groups[GROUP_PAD].group[0].caps;
    struct field_caps *separator = &s->f->groups[GROUP_SEPARATOR].group[0].caps;
    struct field_caps *route = &s->f->groups[GROUP_ROUTE].group[0].caps;
    switch (row) {
        BREAK(0, "lift gas, field: ", all->lift_sm3s = builder_gas(LIFT - 1));
        BREAK(1, NULL, all->lift_sm3s = builder_gas(LIFT));
        BREAK(2, "liquid: ", all->liquid_sm3s = builder_oil(2 * OIL - 1));
        BREAK(3, "water: ", all->water_sm3s = builder_oil(OIL - 1));
        BREAK(4, "gas handled: ",
              all->gas_sm3s = builder_gas(LIFT + 0.6 * OIL - 1));
        BREAK(5, NULL, all->gas_sm3s = builder_gas(LIFT + 0.6 * OIL));
        BREAK(6, "moves: 5 of 4", all->moves = N_MOVES - 1);
        BREAK(7, NULL, all->moves = N_MOVES);
        /* A, C, E, G, I, K: 300 + 200 + 250 + 300, 1325 of oil. */
        BREAK(8, "lift gas, pad P: ", pad->lift_sm3s = builder_gas(1049));
        BREAK(9, NULL, pad->lift_sm3s = builder_gas(1050));
        BREAK(10, "liquid, pad P: ", pad->liquid_sm3s = builder_oil(2649));
        BREAK(11, NULL, pad->liquid_sm3s = builder_oil(2650));
        /* A, D, G, J: 300 + 200 + 250 + 300, 975 of oil. */
        BREAK(12,
              "water, separator S: ", separator->water_sm3s = builder_oil(974));
        BREAK(13, NULL, separator->water_sm3s = builder_oil(975));
        BREAK(14, "gas handled, separator S: ",
              separator->gas_sm3s = builder_gas(1050 + 0.6 * 975 - 1));
        BREAK(15, NULL, separator->gas_sm3s = builder_gas(1050 + 0.6 * 975));
        /* A, E, I, and all of them move. */
        BREAK(16, "moves, route R: 3 of 2", route->moves = 2);
        BREAK(17, NULL, route->moves = 3);
    default:
        *words = PAST_ALL;
    }
}

static struct plan_limit *stated(struct suspect *s, enum plan_limit_kind kind)
{
    size_t i = 0;
    while (s->p->limit[i].kind != kind)
        i++;
    return &s->p->limit[i];
}

static void spoil_limits(struct suspect *s, size_t row, const char **words)
{
    struct field *f = s->f;
    struct plan_limit *power = stated(s, PLAN_LIMIT_POWER);
    double less = 0.999, more = 1.001;
    switch (row) {
        BREAK(0, "gas compressed: 2.992 MMscf/d of 2.9 MMscf/d",
              s->u[RUNNING].capacity_sm3s = builder_gas(2900));
        BREAK(1,
              "electric power: ", f->station.power_max_w = less * power->used);
        BREAK(2, "electric power: misstated", power->used *= more);
        BREAK(3, "electric power: misstated", power->bound *= more);
        BREAK(4, "electric power: misstated", power->price = -1);
        BREAK(5, "sales gas, minimum: 1.4 MMscf/d of 1.5 MMscf/d",
              f->sales.min_sm3s = builder_gas(1500));
        BREAK(6, "sales gas, maximum: 1.4 MMscf/d of 1.3 MMscf/d",
              f->sales.max_sm3s = builder_gas(1300));
        BREAK(7, "gas bought: 0.021 MMscf/d of 0.02 MMscf/d",
              s->b->bought = builder_gas(21));
        BREAK(8, "gas flared: 0.1432 MMscf/d of 0.1 MMscf/d",
              f->station.flare_max_sm3s = builder_gas(100));
        BREAK(9, "oil, at least: 2900 stb/d of 2901 stb/d",
              s->p->oil_target_sm3s = builder_oil(2901));
    default:
        *words = PAST_ALL;
    }
}

static bool is_told(const struct verify *v, const char *words)
{
    for (size_t i = 0; i < v->n_faults; i++)
        if (strstr(v->fault[i].what, words) != NULL)
            return true;
    return false;
}

/* false: there is no such row. */
static bool try_row(spoil *break_it, const char *label, size_t row)
{
    struct arena a;
    arena_init(&a);
    struct suspect s;
    const char *words;
    state(&s, &a);
    break_it(&s, row, &words);
    bool is_row = words == NULL || strcmp(words, PAST_ALL) != 0;
    struct verify v = look(&s, &a);
    if (is_row && words != NULL)
        cr_expect(is_told(&v, words), "%s %zu: not told: %s", label, row,
                  words);
    /* The plan still states the limits as they were. */
    for (size_t i = 0; i < v.n_faults && words == NULL; i++)
        cr_expect(strstr(v.fault[i].what, "misstated") != NULL, "%s %zu: %s",
                  label, row, v.fault[i].what);
    arena_release(&a);
    return is_row;
}

Test(verify_rules, whatever_is_broken_is_told_in_its_words)
{
    static const struct {
        spoil *break_it;
        const char *label;
        size_t n;
    } PARTS[] = {
        {spoil_rates, "rates", 15},   {spoil_states, "states", 18},
        {spoil_units, "units", 17},   {spoil_gas, "gas", 12},
        {spoil_value, "value", 18},   {spoil_caps, "caps", 18},
        {spoil_limits, "limits", 10},
    };
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++) {
        size_t row = 0;
        while (try_row(PARTS[i].break_it, PARTS[i].label, row))
            row++;
        cr_expect(eq(sz, row, PARTS[i].n), "%s", PARTS[i].label);
    }
}
