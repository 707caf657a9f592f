/* Facts that hold for every division of gas, on fields with every limit. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <omp.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "support/dice.h"
#include "support/pad_field.h"
#include "support/plan_case.h"
#include "support/random_limits.h"

/* --- limits and prices --------------------------------------------------- */

static struct field_caps *caps_of(struct field *f, const struct plan_limit *l)
{
    return l->scope == N_GROUP_KINDS
               ? &f->limits.caps
               : &f->groups[l->scope].group[l->group].caps;
}

/* Where the field keeps a limit; NULL for moves, targets and machines. */
static double *place_of(struct field *f, const struct plan_limit *l)
{
    struct field_caps *caps = caps_of(f, l);
    switch (l->kind) {
    case PLAN_LIMIT_LIFT:
        return &caps->lift_sm3s;
    case PLAN_LIMIT_LIQUID:
        return &caps->liquid_sm3s;
    case PLAN_LIMIT_WATER:
        return &caps->water_sm3s;
    case PLAN_LIMIT_GAS:
        return &caps->gas_sm3s;
    case PLAN_LIMIT_POWER:
        return &f->station.power_max_w;
    case PLAN_LIMIT_SALES_MIN:
        return &f->sales.min_sm3s;
    case PLAN_LIMIT_SALES_MAX:
        return &f->sales.max_sm3s;
    case PLAN_LIMIT_PURCHASE:
        return &f->market.max_sm3s;
    case PLAN_LIMIT_FLARE:
        return &f->station.flare_max_sm3s;
    case PLAN_LIMIT_COMPRESSION:
    case PLAN_LIMIT_OIL_TARGET:
    case PLAN_LIMIT_MOVES:
        break;
    }
    return NULL;
}

static bool is_least(const struct plan_limit *l)
{
    return l->kind == PLAN_LIMIT_SALES_MIN || l->kind == PLAN_LIMIT_OIL_TARGET;
}

/* A fifth more room; one more move. */
static void relax(struct field *f, struct plan_options *o,
                  const struct plan_limit *l)
{
    double *place = place_of(f, l);
    if (place != NULL)
        *place *= is_least(l) ? 0.8 : 1.2;
    else if (l->kind == PLAN_LIMIT_MOVES)
        caps_of(f, l)->moves++;
    else if (l->kind == PLAN_LIMIT_OIL_TARGET)
        o->oil_target_sm3s *= 0.8;
    else
        for (size_t i = 0; i < f->station.n_compressors; i++)
            f->station.compressor[i].capacity_sm3s *= 1.2;
}

static void draw(uint64_t seed, size_t n_wells, struct arena *a,
                 struct builder *b, struct plan_options *o)
{
    arena_init(a);
    builder_init_for(b, n_wells, a);
    random_limits(seed, n_wells, b);
    *o = random_limits_options(seed, b);
}

/* Values are compared to this: the gap asked for is far smaller. */
static double slack_of(const struct plan *p)
{
    return 1e-7 *
           (fabs(p->value) + 1e-3 * fabs(p->money_s) + 1e-3 * p->oil_sm3s);
}

static size_t relax_each(uint64_t seed)
{
    struct arena a;
    struct builder b;
    struct plan_options o;
    char label[96];
    draw(seed, 4 + seed % 6, &a, &b, &o);
    snprintf(label, sizeof label, "seed %lu", (unsigned long)seed);
    struct plan p = case_solve(&b, &o, label);
    size_t n = p.outcome == PLAN_OPTIMAL ? p.n_limits : 0;
    for (size_t i = 0; i < n; i++) {
        struct arena again;
        struct builder more;
        struct plan_options ask;
        draw(seed, 4 + seed % 6, &again, &more, &ask);
        relax(&more.field, &ask, &p.limit[i]);
        snprintf(label, sizeof label, "seed %lu, limit %zu: %d of %s",
                 (unsigned long)seed, i, (int)p.limit[i].kind, p.limit[i].name);
        struct plan q = case_solve(&more, &ask, label);
        cr_expect(q.outcome != PLAN_IMPOSSIBLE &&
                      q.value >= p.value - slack_of(&p),
                  "%s: %.9g, before %.9g", label, q.value, p.value);
        arena_release(&again);
    }
    arena_release(&a);
    return n;
}

Test(facts_limits, more_of_any_limit_never_lowers_the_value, .timeout = 120)
{
    size_t n = 0;
    for (uint64_t seed = 1; seed <= 150; seed++)
        n += relax_each(seed);
    cr_expect(ge(sz, n, 400));
}

/* Moves a limit within the range of its price. The same wells in the same
 * modes then make what the price says, so that the best plan makes no less;
 * where nothing but set points can change it makes no more. */
static bool move_limit(uint64_t seed, size_t n_wells, const struct plan *p,
                       const struct plan_limit *l, double part)
{
    struct arena a;
    struct builder b;
    struct plan_options o;
    char label[96];
    double to = part > 0.5 ? l->price_to : l->price_from;
    to = fmin(fmax(to, 0.5 * l->bound), 2 * l->bound);
    double change = (to - l->bound) * (part > 0.5 ? part : 1 - part);
    double gain = l->price * (is_least(l) ? -change : change);
    draw(seed, n_wells, &a, &b, &o);
    double *place = place_of(&b.field, l);
    bool is_moved = place != NULL && fabs(change) > 1e-4 * l->bound;
    if (is_moved) {
        *place = l->bound + change;
        snprintf(label, sizeof label, "seed %lu, limit %d of %s by %g",
                 (unsigned long)seed, (int)l->kind, l->name, change);
        struct plan q = case_solve(&b, &o, label);
        cr_expect(q.outcome != PLAN_IMPOSSIBLE &&
                      q.value >= p->value + gain - slack_of(p),
                  "%s: %.9g instead of %.9g, before %.9g", label, q.value,
                  p->value + gain, p->value);
    }
    arena_release(&a);
    return is_moved;
}

Test(facts_limits, a_price_keeps_its_promise_within_its_range, .timeout = 120)
{
    static const double PARTS[] = {0.1, 0.6, 0.95};
    size_t n = 0;
    for (uint64_t seed = 1; seed <= 300; seed++) {
        struct arena a;
        struct builder b;
        struct plan_options o;
        size_t n_wells = 4 + seed % 6;
        draw(seed, n_wells, &a, &b, &o);
        struct plan p = case_solve(&b, &o, "as drawn");
        for (size_t i = 0; i < p.n_limits && p.outcome == PLAN_OPTIMAL; i++)
            for (size_t k = 0; k < 3 && p.limit[i].binding; k++)
                n += move_limit(seed, n_wells, &p, &p.limit[i], PARTS[k]);
        arena_release(&a);
    }
    cr_expect(ge(sz, n, 300), "%zu", n);
}

/* Concave wells without any choice but their rates: the value against a limit
 * is concave, and a price is its slope. */
static void draw_concave(uint64_t seed, struct arena *a, struct builder *b)
{
    struct dice d = {seed};
    arena_init(a);
    builder_init_for(b, 8, a);
    builder_manifold(b, "south", dice_between(&d, 300, 900));
    for (size_t i = 0; i < 8; i++) {
        double gas[6] = {0}, oil[6] = {dice_between(&d, 20, 200)};
        double slope = dice_between(&d, 0.5, 1.5);
        for (size_t k = 1; k < 6; k++) {
            double step = dice_between(&d, 60, 150);
            gas[k] = gas[k - 1] + step;
            oil[k] = oil[k - 1] + slope * step;
            slope *= dice_between(&d, 0.4, 0.9);
        }
        char name[16];
        snprintf(name, sizeof name, "W%zu", i);
        struct field_well *w =
            builder_well(b, name, 6, gas, oil, dice_between(&d, 0, 3), 0.7);
        w->group[GROUP_MANIFOLD] = i % 2;
    }
    double oil = 0, water = 0;
    for (size_t i = 0; i < 8; i++) {
        oil += b->curves[i].oil_sm3s[5];
        water += b->curves[i].water_sm3s[5];
    }
    b->field.limits.caps.lift_sm3s = builder_gas(dice_between(&d, 900, 2500));
    b->field.limits.caps.water_sm3s = water * dice_between(&d, 0.75, 1);
    b->field.limits.caps.liquid_sm3s =
        (oil + water) * dice_between(&d, 0.75, 1);
}

static double concave_value(uint64_t seed, const struct plan_limit *l,
                            double bound)
{
    struct arena a;
    struct builder b;
    draw_concave(seed, &a, &b);
    *place_of(&b.field, l) = bound;
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "moved");
    double value = p.outcome == PLAN_IMPOSSIBLE ? (double)NAN : p.value;
    arena_release(&a);
    return value;
}

Test(facts_limits, prices_are_finite_differences_of_the_value, .timeout = 60)
{
    size_t n = 0;
    for (uint64_t seed = 1; seed <= 120; seed++) {
        struct arena a;
        struct builder b;
        draw_concave(seed, &a, &b);
        struct plan_options o = case_exact();
        struct plan p = case_solve(&b, &o, "as drawn");
        for (size_t i = 0; i < p.n_limits; i++) {
            const struct plan_limit *l = &p.limit[i];
            double low = fmax(l->price_from, 0.9 * l->bound);
            double high = fmin(l->price_to, 1.1 * l->bound);
            if (!l->binding || !(high - low > 1e-3 * l->bound))
                continue;
            double less = concave_value(seed, l, low + 0.1 * (high - low));
            double more = concave_value(seed, l, high - 0.1 * (high - low));
            double slope = (more - less) / (0.8 * (high - low));
            cr_expect(epsilon_eq(dbl, l->price, slope, 1e-5 * slope + 1e-8),
                      "seed %lu, limit %d of %s", (unsigned long)seed,
                      (int)l->kind, l->name);
            n++;
        }
        arena_release(&a);
    }
    cr_expect(ge(sz, n, 80), "%zu", n);
}

/* --- order, threads, repeats --------------------------------------------- */

/* The same field with its wells listed in another order. */
static void shuffle(struct dice *d, struct builder *b, size_t *place)
{
    struct field *f = &b->field;
    for (size_t i = 0; i < f->n_wells; i++)
        place[i] = i;
    for (size_t i = f->n_wells; i > 1; i--) {
        size_t j = dice_index(d, i);
        struct field_well well = f->well[j];
        struct curve curve = b->curves[j];
        size_t was = place[j];
        f->well[j] = f->well[i - 1];
        b->curves[j] = b->curves[i - 1];
        place[j] = place[i - 1];
        f->well[i - 1] = well;
        b->curves[i - 1] = curve;
        place[i - 1] = was;
    }
    for (size_t i = 0; i < f->n_wells; i++)
        f->well[i].table = &b->curves[i];
}

static bool same(const void *a, const void *b, size_t size)
{
    return memcmp(a, b, size) == 0;
}

/* place: of q's wells in p; NULL: as they are. */
static void expect_same(const struct plan *p, const struct plan *q,
                        const size_t *place, const char *label)
{
    cr_expect(eq(int, (int)q->outcome, (int)p->outcome), "%s", label);
    cr_expect(same(&p->value, &q->value, sizeof p->value) &&
                  same(&p->bound, &q->bound, sizeof p->bound),
              "%s: value %.17g of %.17g, bound %.17g of %.17g", label, q->value,
              p->value, q->bound, p->bound);
    cr_expect(same(&p->balance, &q->balance, sizeof p->balance), "%s: balance",
              label);
    for (size_t i = 0; i < q->n_wells; i++) {
        size_t was = place != NULL ? place[i] : i;
        cr_expect(
            same(&p->well[was].gas_sm3s, &q->well[i].gas_sm3s, sizeof(double)),
            "%s: well %zu", label, was);
    }
    cr_assert(eq(sz, q->n_limits, p->n_limits), "%s", label);
    for (size_t i = 0; i < q->n_limits; i++)
        cr_expect(same(&p->limit[i].price, &q->limit[i].price, sizeof(double)),
                  "%s: price of limit %zu", label, i);
}

static void draw_any(uint64_t seed, struct arena *a, struct builder *b,
                     struct plan_options *o)
{
    struct pad_field_options pads = {100, seed % 4 == 1, seed % 8 > 3, true};
    if (seed % 2 == 0) {
        draw(seed, seed % 4 == 0 ? 8 : 90, a, b, o);
        return;
    }
    arena_init(a);
    builder_init_for(b, pads.n_wells, a);
    *o = pad_field(seed, &pads, b);
}

Test(facts_limits, order_threads_and_repeats_change_no_bit_of_the_plan,
     .timeout = 120)
{
    for (uint64_t seed = 1; seed <= 24; seed++) {
        struct arena a[4];
        struct builder b[4];
        struct plan_options o;
        struct plan p[4];
        size_t *place = NULL;
        struct dice d = {seed};
        for (int k = 0; k < 4; k++) {
            char label[32];
            draw_any(seed, &a[k], &b[k], &o);
            snprintf(label, sizeof label, "seed %lu, way %d",
                     (unsigned long)seed, k);
            if (k == 3) {
                place = ARENA_NEW(&a[k], b[k].field.n_wells, size_t);
                shuffle(&d, &b[k], place);
            }
            omp_set_num_threads(k == 2 ? 2 : 1);
            p[k] = case_solve(&b[k], &o, label);
            expect_same(&p[0], &p[k], k == 3 ? place : NULL, label);
        }
        for (int k = 0; k < 4; k++)
            arena_release(&a[k]);
    }
}
