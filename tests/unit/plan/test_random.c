/* Small random fields against a dynamic program over whole Mscf/d. Its grid
 * is exact here: points, minima, maxima, present rates and the gas are whole
 * numbers, so an optimum has at most one well off them, and that one takes
 * the whole rest. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>

#include "support/dice.h"
#include "support/plan_case.h"

#define WELLS_MOST 12
#define POINTS_MOST 9
#define GAS_MOST 400
#define MOVES_MOST 12

/* A well in whole Mscf/d and stb/d. */
struct small_well {
    size_t n;
    double gas[POINTS_MOST], oil[POINTS_MOST];
    int min, max, now;
    bool may_stop, locked, down;
};

struct small_field {
    size_t n;
    struct small_well well[WELLS_MOST];
    int gas, moves, band; /* moves below 0: no limit */
};

static int whole(struct dice *d, int least, int most)
{
    return least + (int)dice_index(d, (size_t)(most - least + 1));
}

/* Any shape: steep and flat pieces in any order, sometimes falling at the
 * end, whole oil so that ties are common. */
static void draw_table(struct dice *d, struct small_well *w)
{
    w->n = (size_t)whole(d, 1, POINTS_MOST);
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

static void draw_well(struct dice *d, struct small_well *w)
{
    *w = (struct small_well){0};
    draw_table(d, w);
    w->min = whole(d, 0, 2) == 0 ? whole(d, 0, 40) : 0;
    w->max = whole(d, 0, 2) == 0 ? w->min + whole(d, 0, 40) : 1000;
    w->now = whole(d, 0, 60);
    w->may_stop = whole(d, 0, 5) != 0;
    w->locked = whole(d, 0, 9) == 0;
    w->down = !w->locked && whole(d, 0, 12) == 0;
}

static void draw_field(struct dice *d, bool has_moves, struct small_field *f)
{
    f->n = (size_t)whole(d, 3, WELLS_MOST);
    for (size_t i = 0; i < f->n; i++)
        draw_well(d, &f->well[i]);
    f->gas = whole(d, 0, 9) == 0 ? 0 : whole(d, 0, 25 * (int)f->n);
    f->moves = has_moves ? whole(d, 0, (int)f->n) : -1;
    f->band = has_moves ? whole(d, 0, 2) * whole(d, 0, 10) : 0;
}

static void build(const struct small_field *s, struct arena *a,
                  struct builder *b)
{
    builder_init(b, a);
    for (size_t i = 0; i < s->n; i++) {
        const struct small_well *w = &s->well[i];
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

static double oil_at(const struct small_well *w, int gas)
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
static int end_of(const struct small_well *w)
{
    return w->n > 0 ? (int)w->gas[w->n - 1] : 1000;
}

static bool runs(const struct small_well *w, int gas)
{
    return w->n > 0 && gas >= w->gas[0] && gas >= w->min && gas <= w->max &&
           gas <= end_of(w);
}

static bool can_run(const struct small_well *w)
{
    for (int gas = 0; gas <= end_of(w); gas++)
        if (runs(w, gas))
            return true;
    return false;
}

static bool may_be_off(const struct small_well *w)
{
    return w->may_stop || !can_run(w) || runs(w, 0);
}

static bool may_stay(const struct small_well *w)
{
    return w->now == 0
               ? may_be_off(w)
               : w->now >= w->min && w->now <= w->max && w->now <= end_of(w);
}

/* The rules of the menu, read from its header and written again. */
static bool is_allowed(const struct small_field *f, const struct small_well *w,
                       int gas)
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
    double oil[GAS_MOST + 1][MOVES_MOST + 1];
};

static double dynamic_program(const struct small_field *f)
{
    static struct table from, to;
    size_t moves = f->moves >= 0 ? (size_t)f->moves : 0;
    for (int g = 0; g <= f->gas; g++)
        for (size_t m = 0; m <= moves; m++)
            from.oil[g][m] = g == 0 && m == 0 ? 0 : -1;
    for (size_t i = 0; i < f->n; i++) {
        const struct small_well *w = &f->well[i];
        int now = w->down ? 0 : w->now;
        for (int g = 0; g <= f->gas; g++)
            for (size_t m = 0; m <= moves; m++)
                to.oil[g][m] = -1;
        for (int x = 0; x <= f->gas; x++) {
            if (!is_allowed(f, w, x))
                continue;
            size_t move = f->moves >= 0 && x != now;
            double oil = w->down ? 0 : oil_at(w, x);
            for (int g = x; g <= f->gas; g++)
                for (size_t m = move; m <= moves; m++)
                    if (from.oil[g - x][m - move] >= 0)
                        to.oil[g][m] =
                            fmax(to.oil[g][m], from.oil[g - x][m - move] + oil);
        }
        from = to;
    }
    double best = -1;
    for (int g = 0; g <= f->gas; g++)
        for (size_t m = 0; m <= moves; m++)
            best = fmax(best, from.oil[g][m]);
    return best;
}

struct tally {
    size_t n, n_impossible, n_open;
};

static void compare(uint64_t seed, bool has_moves, struct tally *tally)
{
    struct dice d = {seed};
    struct small_field f;
    draw_field(&d, has_moves, &f);
    struct arena a;
    arena_init(&a);
    struct builder b;
    build(&f, &a, &b);
    char label[64];
    snprintf(label, sizeof label, "seed %lu", (unsigned long)seed);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, label);
    double want = dynamic_program(&f);
    tally->n++;
    tally->n_open += p.open_wells > 0;
    if (want < 0) {
        tally->n_impossible++;
        cr_expect(eq(int, p.outcome, PLAN_IMPOSSIBLE), "%s: oil %g", label,
                  case_oil_stb_d(&p));
    } else {
        cr_expect(eq(int, p.outcome, PLAN_OPTIMAL), "%s", label);
        cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), want, 1e-6), "%s", label);
    }
    arena_release(&a);
}

Test(random, six_hundred_fields_meet_the_dynamic_program, .timeout = 120)
{
    struct tally t = {0};
    for (uint64_t seed = 1; seed <= 600; seed++)
        compare(seed, false, &t);
    /* The draw must not have gone soft. */
    cr_assert(ge(sz, t.n_impossible, 50));
    cr_assert(ge(sz, t.n_open, 100));
}

Test(random, three_hundred_fields_with_few_moves_and_a_dead_band_do_too,
     .timeout = 120)
{
    struct tally t = {0};
    for (uint64_t seed = 1001; seed <= 1300; seed++)
        compare(seed, true, &t);
    cr_assert(ge(sz, t.n_impossible, 50));
    cr_assert(ge(sz, t.n_open, 50));
}
