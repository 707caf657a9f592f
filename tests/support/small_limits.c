#include "support/small_limits.h"

#include <math.h>
#include <stdio.h>

#include "support/dice.h"

#define POINTS_MOST 7
#define UNITS_MOST 3

static double whole(struct dice *d, int least, int most)
{
    return least + (double)dice_index(d, (size_t)(most - least + 1));
}

static bool one_in(struct dice *d, size_t n)
{
    return dice_index(d, n) == 0;
}

/* Steep and flat pieces in any order; water or gas need not follow oil. */
static struct field_well *draw_well(struct dice *d, struct builder *b,
                                    const char *name)
{
    double gas[POINTS_MOST], oil[POINTS_MOST];
    size_t n = one_in(d, 20) ? 0 : 1 + dice_index(d, POINTS_MOST);
    double x = one_in(d, 3) ? whole(d, 1, 25) : 0, y = whole(d, 0, 40);
    for (size_t i = 0; i < n; i++) {
        double step = whole(d, 1, 20);
        gas[i] = x;
        oil[i] = y;
        x += step;
        y = fmax(0, y + (i > 4 ? -whole(d, 0, 5) : step * whole(d, 0, 5)));
    }
    struct field_well *w = builder_well(b, name, n, gas, oil,
                                        whole(d, 0, 6) / 2, whole(d, 0, 4) / 8);
    struct curve *c = &b->curves[w - b->field.well];
    if (n > 0 && one_in(d, 6)) {
        double *water = ARENA_NEW(b->arena, n, double);
        for (size_t i = 0; i < n; i++)
            water[i] = builder_oil(oil[i] * whole(d, 0, 4) / 2);
        c->water_sm3s = water;
    }
    return w;
}

static void draw_rules(struct dice *d, struct builder *b, struct field_well *w)
{
    static const enum well_status STATUS[] = {WELL_FLOWING, WELL_DOWN,
                                              WELL_TEST, WELL_HELD};
    if (one_in(d, 3))
        w->lift_min_sm3s = builder_gas(whole(d, 1, 30));
    if (one_in(d, 3))
        w->lift_max_sm3s = w->lift_min_sm3s + builder_gas(whole(d, 0, 60));
    w->may_stop = !one_in(d, 6);
    w->may_shut = one_in(d, 5);
    if (one_in(d, 8))
        w->change_max_sm3s = builder_gas(whole(d, 1, 30));
    if (one_in(d, 10))
        w->step_sm3s = builder_gas(whole(d, 3, 15));
    if (!one_in(d, 4))
        builder_reading(w, whole(d, 0, 70),
                        one_in(d, 6) ? STATUS[dice_index(d, 4)] : WELL_FLOWING);
    size_t before = dice_index(d, b->field.n_wells);
    if (one_in(d, 12) && &b->field.well[before] != w)
        w->runs_with = b->field.well[before].name;
}

static double some_gas(struct dice *d, double per_well, size_t n)
{
    return builder_gas(whole(d, 0, (int)(per_well * (double)n)));
}

static void draw_caps(struct dice *d, size_t n, size_t rare,
                      struct field_caps *c)
{
    if (one_in(d, rare))
        c->lift_sm3s = some_gas(d, 60, n);
    if (one_in(d, rare))
        c->liquid_sm3s = builder_oil(whole(d, 0, 600 * (int)n));
    if (one_in(d, rare))
        c->water_sm3s = builder_oil(whole(d, 0, 600 * (int)n));
    if (one_in(d, rare))
        c->gas_sm3s = some_gas(d, 200, n);
    if (one_in(d, rare))
        c->moves = dice_index(d, n + 1);
}

static void draw_groups(struct dice *d, struct builder *b)
{
    size_t n = b->field.n_wells;
    builder_manifold(b, "south", (double)INFINITY);
    for (int kind = GROUP_PAD; kind < N_GROUP_KINDS; kind++)
        for (size_t g = 0; g < 2; g++)
            builder_group(b, (enum group_kind)kind, g == 0 ? "one" : "two");
    for (size_t i = 0; i < n; i++)
        for (int kind = 0; kind < N_GROUP_KINDS; kind++)
            b->field.well[i].group[kind] =
                dice_index(d, kind == GROUP_MANIFOLD ? 2 : 3);
    for (int kind = 0; kind < N_GROUP_KINDS; kind++)
        for (size_t g = 0; g < 2; g++)
            draw_caps(d, (n + 1) / 2, 8, &b->field.groups[kind].group[g].caps);
}

static void draw_units(struct dice *d, struct builder *b)
{
    static const char *const NAMES[UNITS_MOST] = {"A", "B", "C"};
    static const enum unit_state STATES[] = {UNIT_RUNNING, UNIT_AVAILABLE,
                                             UNIT_AVAILABLE, UNIT_DOWN};
    struct field_station *s = &b->field.station;
    size_t wells = b->field.n_wells;
    s->fuel_fraction = whole(d, 0, 8) / 100;
    s->shrinkage_fraction = whole(d, 0, 5) / 100;
    s->fuel_from = one_in(d, 2) ? SIDE_SUCTION : SIDE_DISCHARGE;
    s->flare_max_sm3s =
        one_in(d, 3) ? some_gas(d, 150, wells) : builder_gas(1e5);
    if (!one_in(d, 3))
        return;
    s->has_compressors = true;
    s->n_compressors = 1 + dice_index(d, UNITS_MOST);
    s->compressor =
        ARENA_NEW(b->arena, s->n_compressors, struct field_compressor);
    for (size_t i = 0; i < s->n_compressors; i++) {
        struct field_compressor *u = &s->compressor[i];
        u->name = NAMES[i];
        u->state = STATES[dice_index(d, 4)];
        u->capacity_sm3s = some_gas(d, 60, wells);
        u->least_sm3s = u->capacity_sm3s * whole(d, 0, 8) / 10;
        u->recycles = one_in(d, 2);
        u->has_fuel = one_in(d, 2);
        u->fuel_fraction = whole(d, 0, 8) / 100;
        u->fuel_fixed_sm3s = u->has_fuel ? builder_gas(whole(d, 0, 3)) : 0;
        u->electric = one_in(d, 2);
        u->power_fixed_w = whole(d, 0, 10) * 1e3;
        u->power_j_sm3 = whole(d, 1, 4) * 1e5;
    }
    if (one_in(d, 3))
        s->power_max_w = whole(d, 0, 400) * 1e2 * (double)wells;
}

static void draw_market(struct dice *d, struct builder *b)
{
    struct field *f = &b->field;
    size_t wells = f->n_wells;
    if (one_in(d, 8))
        f->sales.min_sm3s = some_gas(d, 30, wells);
    if (one_in(d, 2))
        f->sales.max_sm3s = f->sales.min_sm3s + some_gas(d, 100, wells);
    f->sales.from = one_in(d, 2) ? SIDE_SUCTION : SIDE_DISCHARGE;
    f->sales.price_sm3 = whole(d, -2, 6) / 40;
    if (!one_in(d, 3))
        f->market.max_sm3s = some_gas(d, 120, wells);
    f->market.price_sm3 = whole(d, 0, 8) / 40;
    f->market.enters = one_in(d, 2) ? SIDE_SUCTION : SIDE_DISCHARGE;
    f->prices = (struct field_prices){
        .oil_sm3 = whole(d, 100, 500),
        .water_sm3 = whole(d, 0, 40),
        .compression_sm3 = whole(d, 0, 4) / 50,
        .move = one_in(d, 3) ? whole(d, 1, 30) / 1e3 : 0,
        .carbon_sm3 = one_in(d, 3) ? whole(d, 1, 10) / 50 : 0,
        .power_j = whole(d, 0, 4) * 1e-8,
        .given = true,
    };
}

void small_limits(uint64_t seed, size_t n_most, struct arena *a,
                  struct builder *b, struct plan_options *o)
{
    struct dice d = {seed};
    builder_init(b, a);
    size_t n = 3 + dice_index(&d, n_most - 2);
    for (size_t i = 0; i < n; i++) {
        char name[32];
        snprintf(name, sizeof name, "W%02zu", i);
        draw_well(&d, b, name);
    }
    for (size_t i = 0; i < n; i++)
        draw_rules(&d, b, &b->field.well[i]);
    draw_groups(&d, b);
    draw_caps(&d, n, 4, &b->field.limits.caps);
    if (one_in(&d, 3))
        b->field.limits.dead_band_sm3s = builder_gas(whole(&d, 1, 15));
    draw_units(&d, b);
    draw_market(&d, b);
    *o = plan_options_default();
    o->gap = 1e-7;
    o->objective = (enum plan_objective)dice_index(&d, 3);
    if (o->objective == PLAN_GAS || one_in(&d, 10))
        o->oil_target_sm3s = builder_oil(whole(&d, 0, 70 * (int)n));
}
