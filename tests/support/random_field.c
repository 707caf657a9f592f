#include "support/random_field.h"

#include <stdio.h>

#include "support/dice.h"

#define POINTS_MOST 40

/* One well: its table, and the gas of its peak. */
struct shape {
    size_t n;
    double gas[POINTS_MOST], oil[POINTS_MOST];
    double peak_gas, peak_oil, min_gas;
};

struct random_field_options random_field_hard(size_t n_wells)
{
    return (struct random_field_options){n_wells, 0.4, 0.8, 1.6, 0.7, false};
}

static double part_of(size_t i, size_t n)
{
    return (double)i / (double)(n - 1);
}

/* Steep first, flat at the peak, then friction wins. */
static void concave(struct dice *d, double size, struct shape *s)
{
    double natural = size * dice_between(d, 0.1, 0.6);
    double half = dice_between(d, 150, 600), reach = dice_between(d, 3, 6);
    double loss = (size - natural) / (half * (1 + reach) * (1 + reach));
    for (size_t i = 0; i < s->n; i++) {
        double p = part_of(i, s->n),
               x = 1.25 * reach * half * p * (0.4 + 0.6 * p);
        s->gas[i] = x;
        s->oil[i] = natural + (size - natural) * x / (x + half) - loss * x;
    }
}

/* Nothing below the start, then slowly, then fast. */
static void s_shaped(struct dice *d, double size, struct shape *s)
{
    double start = dice_between(d, 150, 400), span = dice_between(d, 500, 1500);
    double bend = dice_between(d, 0.02, 0.1);
    for (size_t i = 0; i < s->n; i++) {
        double t = 0.05 + 1.25 * part_of(i, s->n), cube = t * t * t;
        s->gas[i] = start + span * t;
        s->oil[i] = size * (cube / (bend + cube) - 0.04 * cube);
    }
}

static void on_off(struct dice *d, double size, struct shape *s)
{
    concave(d, size, s);
    s->min_gas = dice_between(d, 200, 500);
}

static void draw_shape(struct dice *d, struct shape *s)
{
    *s = (struct shape){.n = 20 + dice_index(d, POINTS_MOST - 20)};
    double size = 60 + 1200 * dice_between(d, 0, 1) * dice_between(d, 0, 1);
    size_t kind = dice_index(d, 10);
    if (kind < 7)
        concave(d, size, s);
    else if (kind < 9)
        s_shaped(d, size, s);
    else
        on_off(d, size, s);
    for (size_t i = 0; i < s->n; i++)
        if (s->oil[i] > s->peak_oil) {
            s->peak_oil = s->oil[i];
            s->peak_gas = s->gas[i];
        }
}

static void draw_reading(struct dice *d, const struct shape *s, double part,
                         struct field_well *w)
{
    double x = s->peak_gas * part * dice_between(d, 0.5, 1.1);
    if (x < s->min_gas || x < s->gas[0])
        x = 0;
    builder_reading(w, x, WELL_FLOWING);
}

void random_field(uint64_t seed, const struct random_field_options *o,
                  struct builder *b)
{
    struct dice d = {seed * 1000003 + o->n_wells};
    double all_gas = 0, all_water = 0, manifold_gas = 0;
    size_t left = 0, manifold = 0;
    for (size_t i = 0; i < o->n_wells; i++) {
        char name[32];
        if (left == 0) {
            left = 10 + dice_index(&d, 11);
            snprintf(name, sizeof name, "manifold %03zu", i);
            manifold = builder_manifold(b, name, 0);
            manifold_gas = 0;
        }
        left--;
        struct shape s;
        draw_shape(&d, &s);
        double cut = dice_between(&d, 0.05, 0.95), water = cut / (1 - cut);
        snprintf(name, sizeof name, "W-%04zu", i);
        struct field_well *w = builder_well(b, name, s.n, s.gas, s.oil, water,
                                            dice_between(&d, 0.15, 1.5));
        w->group[GROUP_MANIFOLD] = manifold;
        w->lift_min_sm3s = builder_gas(s.min_gas);
        if (o->has_readings)
            draw_reading(&d, &s, o->gas_part, w);
        all_gas += s.peak_gas;
        all_water += s.peak_oil * water;
        manifold_gas += s.peak_gas;
        b->field.groups[GROUP_MANIFOLD].group[manifold].caps.lift_sm3s =
            builder_gas(manifold_gas * o->gas_part *
                        (left == 0 ? dice_between(&d, o->cap_low, o->cap_high)
                                   : o->cap_high));
    }
    b->field.limits.caps.lift_sm3s = builder_gas(all_gas * o->gas_part);
    b->field.limits.caps.water_sm3s = builder_oil(all_water * o->water_part);
}
