#include "support/whole_gas.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "support/dice.h"

static int whole(struct dice *d, int least, int most)
{
    return least + (int)dice_index(d, (size_t)(most - least + 1));
}

/* Any shape: steep and flat pieces in any order, sometimes falling at the
 * end, whole oil so that ties are common. */
static void draw_table(struct dice *d, struct whole_gas_well *w)
{
    w->n = (size_t)whole(d, 1, WHOLE_GAS_POINTS);
    int gas = whole(d, 0, 2) == 0 ? whole(d, 1, 25) : 0;
    int oil = whole(d, 0, 40);
    for (size_t i = 0; i < w->n; i++) {
        w->gas[i] = gas;
        w->oil[i] = oil;
        int step = whole(d, 1, 12);
        gas += step;
        oil += i > 5 ? -whole(d, 0, 5) : step * whole(d, 0, 6);
        if (oil < 0)
            oil = 0;
    }
    if (whole(d, 0, 19) == 0)
        w->n = 0;
}

static void draw_well(struct dice *d, struct whole_gas_well *w)
{
    *w = (struct whole_gas_well){0};
    draw_table(d, w);
    w->min = whole(d, 0, 2) == 0 ? whole(d, 0, 40) : 0;
    w->max = whole(d, 0, 2) == 0 ? w->min + whole(d, 0, 40) : 1000;
    w->now = whole(d, 0, 60);
    w->may_stop = whole(d, 0, 5) != 0;
    w->locked = whole(d, 0, 9) == 0;
    w->down = !w->locked && whole(d, 0, 12) == 0;
}

void whole_gas_draw(uint64_t seed, bool has_moves, struct whole_gas *f)
{
    struct dice dice = {seed}, *d = &dice;
    f->n = (size_t)whole(d, 3, WHOLE_GAS_WELLS);
    for (size_t i = 0; i < f->n; i++)
        draw_well(d, &f->well[i]);
    f->gas = whole(d, 0, 9) == 0 ? 0 : whole(d, 0, 25 * (int)f->n);
    f->moves = has_moves ? whole(d, 0, (int)f->n) : -1;
    f->band = has_moves ? whole(d, 0, 2) * whole(d, 0, 10) : 0;
}

void whole_gas_build(const struct whole_gas *s, struct arena *a,
                     struct builder *b)
{
    builder_init(b, a);
    for (size_t i = 0; i < s->n; i++) {
        const struct whole_gas_well *w = &s->well[i];
        char name[32];
        snprintf(name, sizeof name, "W%02zu", i);
        struct field_well *to =
            builder_well(b, name, w->n, w->gas, w->oil, 1, 0.5);
        to->lift_min_sm3s = builder_gas(w->min);
        to->lift_max_sm3s = builder_gas(w->max);
        to->may_stop = w->may_stop;
        builder_reading(to, w->now,
                        w->down     ? WELL_DOWN
                        : w->locked ? WELL_HELD
                                    : WELL_FLOWING);
    }
    b->field.limits.caps.lift_sm3s = builder_gas(s->gas);
    if (s->moves >= 0)
        b->field.limits.caps.moves = (size_t)s->moves;
    b->field.limits.dead_band_sm3s = builder_gas(s->band);
}

static double oil_at(const struct whole_gas_well *w, int gas)
{
    if (w->n == 0 || gas < w->gas[0])
        return 0;
    for (size_t i = 1; i < w->n; i++)
        if (gas <= w->gas[i])
            return w->oil[i - 1] + (w->oil[i] - w->oil[i - 1]) *
                                       (gas - w->gas[i - 1]) /
                                       (w->gas[i] - w->gas[i - 1]);
    return w->oil[w->n - 1];
}

/* The dead well of the builder has a curve to 1,000 Mscf/d. */
static int end_of(const struct whole_gas_well *w)
{
    return w->n > 0 ? (int)w->gas[w->n - 1] : 1000;
}

static bool runs(const struct whole_gas_well *w, int gas)
{
    return w->n > 0 && gas >= w->gas[0] && gas >= w->min && gas <= w->max &&
           gas <= end_of(w);
}

static bool can_run(const struct whole_gas_well *w)
{
    for (int gas = 0; gas <= end_of(w); gas++)
        if (runs(w, gas))
            return true;
    return false;
}

static bool may_be_off(const struct whole_gas_well *w)
{
    return w->may_stop || !can_run(w) || runs(w, 0);
}

static bool may_stay(const struct whole_gas_well *w)
{
    return w->now == 0
               ? may_be_off(w)
               : w->now >= w->min && w->now <= w->max && w->now <= end_of(w);
}

/* The rules of the menu, read from its header and written again. */
static bool is_allowed(const struct whole_gas *f,
                       const struct whole_gas_well *w, int gas)
{
    if (w->down)
        return gas == 0;
    if (w->locked)
        return gas == w->now;
    bool changes_count = f->moves >= 0 || f->band > 0;
    if (gas == w->now && changes_count && may_stay(w))
        return true;
    if (may_stay(w) && gas != w->now && abs(gas - w->now) < f->band)
        return false;
    return gas == 0 ? may_be_off(w) : runs(w, gas);
}

/* Most oil by gas used and wells moved; below 0: no way. */
struct table {
    double oil[WHOLE_GAS_MOST + 1][WHOLE_GAS_MOVES + 1];
};

double whole_gas_best(const struct whole_gas *f, struct arena *a)
{
    struct table *from = ARENA_NEW(a, 1, struct table);
    struct table *to = ARENA_NEW(a, 1, struct table);
    size_t moves = f->moves >= 0 ? (size_t)f->moves : 0;
    for (int g = 0; g <= f->gas; g++)
        for (size_t m = 0; m <= moves; m++)
            from->oil[g][m] = g == 0 && m == 0 ? 0 : -1;
    for (size_t i = 0; i < f->n; i++) {
        const struct whole_gas_well *w = &f->well[i];
        int now = w->down ? 0 : w->now;
        for (int g = 0; g <= f->gas; g++)
            for (size_t m = 0; m <= moves; m++)
                to->oil[g][m] = -1;
        for (int x = 0; x <= f->gas; x++) {
            if (!is_allowed(f, w, x))
                continue;
            size_t move = f->moves >= 0 && x != now;
            double oil = w->down ? 0 : oil_at(w, x);
            for (int g = x; g <= f->gas; g++)
                for (size_t m = move; m <= moves; m++)
                    if (from->oil[g - x][m - move] >= 0)
                        to->oil[g][m] = fmax(to->oil[g][m],
                                             from->oil[g - x][m - move] + oil);
        }
        *from = *to;
    }
    double best = -1;
    for (int g = 0; g <= f->gas; g++)
        for (size_t m = 0; m <= moves; m++)
            best = fmax(best, from->oil[g][m]);
    return best;
}
