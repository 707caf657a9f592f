#include "support/random_limits.h"

#include <math.h>
#include <stdio.h>

#include "base/units.h"
#include "support/dice.h"
#include "support/plan_case.h"

#define POINTS_MOST 8
/* In larger fields one rough rule for one well in ten would leave no plan. */
#define ROUGH_WELLS 12

/* What the wells together make and take at their peaks. */
struct peaks {
    double oil, water, gas, formation;
};

static bool one_in(struct dice *d, size_t n)
{
    return dice_index(d, n) == 0;
}

/* One or two groups of a kind; none of it for a third of the kinds. */
static void draw_groups(struct dice *d, struct builder *b)
{
    static const char *const NAME[N_GROUP_KINDS][2] = {
        {"north", "south"}, {"P1", "P2"}, {"S1", "S2"}, {"R1", "R2"}};
    for (int k = 0; k < N_GROUP_KINDS; k++)
        while (b->field.groups[k].n < 2 && !one_in(d, 3))
            builder_group(b, (enum group_kind)k, NAME[k][b->field.groups[k].n]);
}

static void join_groups(struct dice *d, const struct field *f,
                        struct field_well *w)
{
    for (int k = 0; k < N_GROUP_KINDS; k++) {
        size_t n = f->groups[k].n;
        bool is_member = k == GROUP_MANIFOLD || (n > 0 && !one_in(d, 5));
        w->group[k] = is_member ? dice_index(d, n) : SIZE_MAX;
    }
}

/* Concave, S-shaped, flat at once, or without any order. */
static size_t draw_table(struct dice *d, double *gas, double *oil)
{
    size_t n = 1 + dice_index(d, POINTS_MOST), shape = dice_index(d, 4);
    double slope = dice_between(d, 0.3, 1.5);
    gas[0] = one_in(d, 2) ? 0 : dice_between(d, 50, 200);
    oil[0] = shape == 1 ? 1 + dice_between(d, 0, 5) : dice_between(d, 5, 80);
    for (size_t i = 1; i < n; i++) {
        double step = dice_between(d, 30, 160), part = (double)i / (double)n;
        if (shape == 0)
            slope -= dice_between(d, 0, 0.4);
        else if (shape == 1)
            slope = 4 * part * (1 - part) + 0.2 - 0.6 * part * part;
        else
            slope = dice_between(d, -0.3, 1.2);
        gas[i] = gas[i - 1] + step;
        oil[i] = fmax(oil[i - 1] + slope * step, 1);
    }
    return one_in(d, 25) ? 0 : n;
}

/* Water or formation gas that goes its own way. */
static const double *bent(struct dice *d, const struct builder *b,
                          const double *from, size_t n)
{
    double *to = ARENA_NEW(b->arena, n, double);
    for (size_t i = 0; i < n; i++)
        to[i] = from[i] * dice_between(d, 0.7, 1.3);
    return to;
}

static void draw_curve(struct dice *d, const char *name, struct builder *b)
{
    double gas[POINTS_MOST], oil[POINTS_MOST];
    size_t n = draw_table(d, gas, oil);
    builder_well(b, name, n, gas, oil, dice_between(d, 0, 4),
                 dice_between(d, 0.1, 1.5));
    struct curve *c = &b->curves[b->field.n_wells - 1];
    if (one_in(d, 4))
        c->water_sm3s = bent(d, b, c->water_sm3s, n);
    if (one_in(d, 5))
        c->formation_sm3s = bent(d, b, c->formation_sm3s, n);
}

/* Present rates on the curve, below its start, past its end, or none. */
static void draw_reading(struct dice *d, const struct curve *c,
                         struct field_well *w)
{
    enum well_status status = one_in(d, 12)   ? WELL_HELD
                              : one_in(d, 14) ? WELL_DOWN
                                              : WELL_FLOWING;
    double most = builder_mscf_d(c->gas_max_sm3s);
    double now = one_in(d, 4) ? 0 : most * dice_between(d, 0.2, 1.05);
    builder_reading(w, now, status);
}

static void draw_rules(struct dice *d, const struct curve *c, bool is_rough,
                       struct field_well *w)
{
    double most = c->gas_max_sm3s;
    if (one_in(d, 3))
        w->lift_min_sm3s = most * dice_between(d, 0.1, 0.6);
    if (one_in(d, 4))
        w->lift_max_sm3s = most * dice_between(d, 0.3, 1.1);
    w->may_stop = !one_in(d, is_rough ? 10 : 40);
    w->may_shut = one_in(d, is_rough ? 4 : 2);
    if (one_in(d, 5))
        w->change_max_sm3s = most * dice_between(d, 0.05, 0.5);
    if (one_in(d, 6))
        w->step_sm3s = builder_gas(10.0 * (double)(1 + dice_index(d, 6)));
}

/* A well, or the one before it under another name: then plans tie. */
static void draw_well(struct dice *d, size_t i, bool is_rough,
                      struct builder *b)
{
    char name[32];
    snprintf(name, sizeof name, "W%03zu", i);
    struct field_well *w = &b->field.well[i];
    if (i > 0 && one_in(d, 7)) {
        builder_well(b, name, 0, NULL, NULL, 0, 0);
        const char *own_name = w->name;
        *w = w[-1];
        w->name = own_name;
        w->table = &b->curves[i];
        b->curves[i] = b->curves[i - 1];
        b->curves[i].well = own_name;
        return;
    }
    draw_curve(d, name, b);
    join_groups(d, &b->field, w);
    draw_reading(d, &b->curves[i], w);
    draw_rules(d, &b->curves[i], is_rough, w);
    bool may_wait = is_rough || (w->may_stop && w->may_shut &&
                                 w->reading.status == WELL_FLOWING);
    if (i > 0 && one_in(d, is_rough ? 8 : 3) && may_wait)
        w->runs_with = b->field.well[dice_index(d, i)].name;
}

static struct peaks peaks_of(const struct builder *b)
{
    struct peaks p = {0};
    for (size_t i = 0; i < b->field.n_wells; i++) {
        const struct curve *c = &b->curves[i];
        if (c->n == 0)
            continue;
        p.oil += c->oil_sm3s[c->peak];
        p.water += c->water_sm3s[c->peak];
        p.formation += c->formation_sm3s[c->peak];
        p.gas += c->gas_sm3s[c->peak];
    }
    return p;
}

/* A part of it: tight, loose, or (seldom) nothing. */
static double some(struct dice *d, double of)
{
    return one_in(d, 40) ? 0 : of * dice_between(d, 0.4, 1.3);
}

static void draw_caps(struct dice *d, struct peaks p, size_t rarity,
                      size_t moves_most, struct field_caps *caps)
{
    if (one_in(d, rarity))
        caps->lift_sm3s = some(d, p.gas);
    if (one_in(d, rarity + 1))
        caps->liquid_sm3s = some(d, p.oil + p.water);
    if (one_in(d, rarity + 1))
        caps->water_sm3s = some(d, p.water);
    if (one_in(d, rarity + 1))
        caps->gas_sm3s = some(d, p.gas + p.formation);
    if (one_in(d, rarity + 1))
        caps->moves = dice_index(d, moves_most + 1);
}

/* A route has moves only; a group holds about half of the wells. */
static void draw_group_caps(struct dice *d, struct peaks p, struct field *f)
{
    struct peaks half = {0.7 * p.oil, 0.7 * p.water, 0.7 * p.gas,
                         0.7 * p.formation};
    for (int k = 0; k < N_GROUP_KINDS; k++)
        for (size_t g = 0; g < f->groups[k].n; g++) {
            struct field_caps *caps = &f->groups[k].group[g].caps;
            if (k != GROUP_ROUTE)
                draw_caps(d, half, 4, f->n_wells, caps);
            caps->moves = k == GROUP_ROUTE && one_in(d, 2)
                              ? dice_index(d, f->n_wells)
                              : SIZE_MAX;
            if (k == GROUP_SEPARATOR)
                caps->lift_sm3s = (double)INFINITY;
        }
}

static void draw_unit(struct dice *d, size_t i, double gas, struct field *f)
{
    static const char *const NAME[] = {"C-1", "C-2", "C-3", "C-4"};
    static const enum unit_state STATE[] = {
        UNIT_RUNNING,   UNIT_RUNNING, UNIT_AVAILABLE, UNIT_AVAILABLE,
        UNIT_AVAILABLE, UNIT_STOPPED, UNIT_DOWN};
    double capacity = some(d, gas);
    f->station.compressor[i] = (struct field_compressor){
        .name = NAME[i],
        .state = STATE[dice_index(d, 7)],
        .capacity_sm3s = capacity,
        .least_sm3s = one_in(d, 2) ? capacity * dice_between(d, 0, 0.7) : 0,
        .recycles = !one_in(d, 4),
        .has_fuel = !one_in(d, 3),
        .fuel_fixed_sm3s = one_in(d, 2) ? 0 : gas * dice_between(d, 0, 0.02),
        .fuel_fraction = dice_between(d, 0, 0.08),
        .power_fixed_w = dice_between(d, 0, 5e4),
        .power_j_sm3 = dice_between(d, 1e5, 4e5),
        .electric = one_in(d, 2),
    };
    if (!f->station.compressor[i].has_fuel)
        f->station.compressor[i].fuel_fixed_sm3s = 0;
}

static void draw_station(struct dice *d, struct peaks p, struct builder *b)
{
    struct field_station *s = &b->field.station;
    double through = p.gas + 0.5 * p.formation;
    s->has_compressors = !one_in(d, 4);
    s->n_compressors = s->has_compressors ? 1 + dice_index(d, 4) : 0;
    s->compressor =
        ARENA_NEW(b->arena, s->n_compressors, struct field_compressor);
    for (size_t i = 0; i < s->n_compressors; i++)
        draw_unit(d, i, through * 1.6 / (double)s->n_compressors, &b->field);
    if (s->has_compressors && one_in(d, 4))
        s->power_max_w = through * 2e5 * dice_between(d, 0.2, 1.2);
    s->fuel_fraction = one_in(d, 3) ? 0 : dice_between(d, 0, 0.1);
    s->fuel_from = one_in(d, 2) ? SIDE_SUCTION : SIDE_DISCHARGE;
    s->shrinkage_fraction = one_in(d, 2) ? 0 : dice_between(d, 0, 0.1);
    if (one_in(d, 3))
        s->flare_max_sm3s = p.formation * dice_between(d, 0.05, 1);
}

static void draw_trade(struct dice *d, struct peaks p, struct field *f)
{
    double gas = 1 / (builder_gas(1) * UNIT_DAY_S);
    f->sales.from = one_in(d, 3) ? SIDE_DISCHARGE : SIDE_SUCTION;
    f->market.enters = one_in(d, 2) ? SIDE_SUCTION : SIDE_DISCHARGE;
    if (one_in(d, 4))
        f->sales.min_sm3s = p.formation * dice_between(d, 0, 0.4);
    if (one_in(d, 4))
        f->sales.max_sm3s =
            f->sales.min_sm3s + p.formation * dice_between(d, 0.4, 1);
    if (one_in(d, 2))
        f->market.max_sm3s = p.formation * dice_between(d, 0, 0.4);
    f->sales.price_sm3 = gas * dice_between(d, -0.5, 4);
    f->market.price_sm3 = gas * dice_between(d, 1, 6);
}

static void draw_prices(struct dice *d, struct field_prices *to)
{
    double oil = 1 / (builder_oil(1) * UNIT_DAY_S);
    double gas = 1 / (builder_gas(1) * UNIT_DAY_S);
    *to = (struct field_prices){
        .given = true,
        .oil_sm3 = oil * dice_between(d, 20, 70),
        .water_sm3 = oil * dice_between(d, 0, 3),
        .compression_sm3 = gas * dice_between(d, 0, 1),
        .move = one_in(d, 2) ? 0 : dice_between(d, 0, 800) / UNIT_DAY_S,
        .carbon_sm3 = one_in(d, 2) ? 0 : gas * dice_between(d, 0, 3),
        .power_j = dice_between(d, 0, 0.12) / 3.6e6,
    };
}

/* What cannot be met. */
static void spoil(struct dice *d, struct peaks p, struct field *f)
{
    struct field_well *w = &f->well[dice_index(d, f->n_wells)];
    switch (dice_index(d, 3)) {
    case 0:
        f->sales.min_sm3s = 1.5 * p.formation + f->market.max_sm3s + 1;
        f->sales.max_sm3s = (double)INFINITY;
        break;
    case 1:
        w->may_stop = false;
        w->lift_min_sm3s = w->table->gas_max_sm3s * 0.9;
        f->limits.caps.lift_sm3s = 0;
        break;
    default:
        f->sales.max_sm3s = 0;
        f->sales.min_sm3s = 0;
        f->station.flare_max_sm3s = 0;
        break;
    }
}

void random_limits(uint64_t seed, size_t n_wells, struct builder *b)
{
    struct dice d = {seed * 1000033 + n_wells};
    struct field *f = &b->field;
    draw_groups(&d, b);
    for (size_t i = 0; i < n_wells; i++)
        draw_well(&d, i, n_wells <= ROUGH_WELLS, b);
    struct peaks p = peaks_of(b);
    draw_caps(&d, p, 2, n_wells, &f->limits.caps);
    draw_group_caps(&d, p, f);
    draw_station(&d, p, b);
    draw_trade(&d, p, f);
    draw_prices(&d, &f->prices);
    if (one_in(&d, 4))
        f->limits.dead_band_sm3s = builder_gas(dice_between(&d, 5, 60));
    if (one_in(&d, 15))
        spoil(&d, p, f);
}

struct plan_options random_limits_options(uint64_t seed,
                                          const struct builder *b)
{
    static const enum plan_objective OBJECTIVE[] = {
        PLAN_OIL, PLAN_MONEY, PLAN_OIL, PLAN_MONEY, PLAN_GAS};
    struct dice d = {seed};
    struct plan_options o = case_exact();
    o.objective = OBJECTIVE[dice_index(&d, 5)];
    if (o.objective == PLAN_GAS || one_in(&d, 8))
        o.oil_target_sm3s = peaks_of(b).oil * dice_between(&d, 0, 0.5);
    return o;
}
