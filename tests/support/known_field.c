#include "support/known_field.h"

#include <math.h>

#include "base/units.h"
#include "support/dice.h"
#include "support/random_field.h"

#define UNITS 4

/* What a unit of everything is worth: first in the goal, then what the limits
 * charge. */
struct prices {
    double oil, water_cost, sales, move_cost, carbon, power_cost, compression;
    double gas, water, move, through, power, sales_least;
    double *manifold_gas, *manifold_liquid;
};

struct point {
    double gas, oil, water, formation;
    bool moved;
};

struct sums {
    double gas, oil, water, formation;
    size_t n_moves;
};

struct maker {
    struct dice dice;
    const struct known_field_options *options;
    struct builder *b;
    struct prices price;
    struct sums field, *manifold;
    double fuel, power; /* of the machines */
};

static bool one_in(struct maker *k, size_t n)
{
    return dice_index(&k->dice, n) == 0;
}

static double between(struct maker *k, double least, double most)
{
    return dice_between(&k->dice, least, most);
}

/* Slopes of the curves are some tenths of a stb per Mscf. */
static void draw_prices(struct maker *k)
{
    struct prices *p = &k->price;
    const struct known_field_options *o = k->options;
    double slope = builder_oil(1) / builder_gas(1);
    *p = (struct prices){.oil = 1};
    if (o->is_money) {
        p->oil = 60 / (builder_oil(1) * UNIT_DAY_S);
        p->water_cost = p->oil * between(k, 0, 0.03);
        p->sales = p->oil * slope * between(k, 0.01, 0.05);
        p->move_cost = o->has_moves ? between(k, 0, 200) / UNIT_DAY_S : 0;
        p->carbon = p->oil * slope * between(k, 0, 0.02);
        p->compression = p->oil * slope * between(k, 0, 0.02);
        p->power_cost = between(k, 0, 0.1) / 3.6e6;
    }
    p->gas = p->oil * slope * between(k, 0.02, 0.3);
    p->water = one_in(k, 2) ? 0 : p->oil * between(k, 0, 0.05);
    p->move = o->has_moves ? p->oil * builder_oil(between(k, 0.2, 8)) : 0;
    p->sales_least = o->has_units ? p->oil * slope * between(k, 0.01, 0.05) : 0;
    p->power = one_in(k, 2) ? 0 : p->oil * slope * between(k, 0.01, 0.05) / 3e5;
    size_t n = k->b->field.groups[GROUP_MANIFOLD].n;
    p->manifold_gas = ARENA_NEW(k->b->arena, n, double);
    p->manifold_liquid = ARENA_NEW(k->b->arena, n, double);
    for (size_t g = 0; g < n; g++) {
        p->manifold_gas[g] = one_in(k, 2) ? 0 : between(k, 0, 0.5) * p->gas;
        p->manifold_liquid[g] = one_in(k, 2) ? 0 : between(k, 0, 0.04) * p->oil;
    }
}

/* --- machines --------------------------------------------------------------
 */

static double fuel_price(const struct prices *p)
{
    return p->sales_least + p->sales + p->carbon;
}

/* What a Sm3 through it costs. */
static double cost_of(const struct prices *p, const struct field_compressor *u)
{
    double power = u->electric ? p->power + p->power_cost : 0;
    return p->compression + fuel_price(p) * u->fuel_fraction +
           power * u->power_j_sm3;
}

/* The price of gas through them is above what each of them costs. */
static void draw_units(struct maker *k)
{
    static const char *const NAME[UNITS] = {"C-1", "C-2", "C-3", "C-4"};
    struct field_station *s = &k->b->field.station;
    s->has_compressors = true;
    s->n_compressors = UNITS;
    s->compressor = ARENA_NEW(k->b->arena, UNITS, struct field_compressor);
    s->fuel_from = SIDE_SUCTION;
    for (size_t i = 0; i < UNITS; i++) {
        struct field_compressor *u = &s->compressor[i];
        *u = (struct field_compressor){
            .name = NAME[i],
            .state = UNIT_AVAILABLE,
            .has_fuel = true,
            .fuel_fraction = between(k, 0, 0.03),
            .electric = one_in(k, 2),
            .power_j_sm3 = between(k, 1e5, 4e5),
        };
        k->price.through = fmax(k->price.through, cost_of(&k->price, u));
    }
    k->price.through *= between(k, 1.2, 2);
}

/* Those that run are full, together pass all lift gas, and leave some gas to
 * be sold; for the others running costs more than they pass is worth. */
static void size_units(struct maker *k)
{
    struct field_station *s = &k->b->field.station;
    double part[UNITS], sum = 0;
    size_t n_running = 1 + dice_index(&k->dice, UNITS - 1);
    for (size_t i = 0; i < UNITS; i++) {
        part[i] = between(k, 0.5, 1.5);
        sum += i < n_running ? part[i] : 0;
    }
    for (size_t i = 0; i < UNITS; i++) {
        struct field_compressor *u = &s->compressor[i];
        bool runs = i < n_running;
        u->capacity_sm3s = k->field.gas * part[i] / sum;
        u->least_sm3s = u->capacity_sm3s * between(k, 0, 0.7);
        double gain =
            (k->price.through - cost_of(&k->price, u)) * u->capacity_sm3s;
        double most = gain / fuel_price(&k->price);
        u->fuel_fixed_sm3s =
            most * (runs ? between(k, 0, 0.9) : between(k, 1.1, 2));
        if (runs)
            u->fuel_fixed_sm3s =
                fmin(u->fuel_fixed_sm3s, 0.1 * k->field.formation);
        if (!runs)
            continue;
        k->fuel += u->fuel_fixed_sm3s + u->fuel_fraction * u->capacity_sm3s;
        if (u->electric)
            k->power += u->power_j_sm3 * u->capacity_sm3s;
    }
}

/* --- wells -----------------------------------------------------------------
 */

static double worth_of(const struct maker *k, size_t i, const struct point *at)
{
    const struct prices *p = &k->price;
    size_t g = k->b->field.well[i].group[GROUP_MANIFOLD];
    double liquid = p->manifold_liquid[g];
    double gas = p->gas + p->manifold_gas[g] + p->through;
    double formation = p->sales + p->sales_least;
    return (p->oil - liquid) * at->oil -
           (p->water_cost + p->water + liquid) * at->water - gas * at->gas +
           formation * at->formation - (at->moved ? p->move + p->move_cost : 0);
}

static struct point point_at(const struct curve *c, double gas, bool moved)
{
    struct curve_point at = {0};
    struct err err;
    if (curve_at(c, gas, &at, &err) != ST_OK)
        at = (struct curve_point){0};
    return (struct point){gas, at.oil_sm3s, at.water_sm3s, at.formation_sm3s,
                          moved};
}

/* Where a curve bends or begins for a well that runs: its points, and after
 * them its minimum. NaN: not a rate at which it may run. */
static double running_rate(const struct field_well *w, const struct curve *c,
                           size_t j)
{
    double least = w->lift_min_sm3s;
    double gas = j < c->n ? c->gas_sm3s[j] : least;
    bool may_run =
        gas >= least && gas >= c->gas_sm3s[0] && gas <= c->gas_sm3s[c->n - 1];
    return may_run ? gas : (double)NAN;
}

/* Most at the prices of: as now, off, every rate of the curve that may be. */
static struct point best_point(const struct maker *k, size_t i)
{
    const struct field_well *w = &k->b->field.well[i];
    const struct curve *c = &k->b->curves[i];
    double now = field_well_now_sm3s(w);
    bool counts = k->options->has_moves;
    struct point best = point_at(c, counts ? now : 0, false);
    struct point off = point_at(c, 0, counts && now > 0);
    if (worth_of(k, i, &off) > worth_of(k, i, &best))
        best = off;
    for (size_t j = 0; j <= c->n; j++) {
        double gas = running_rate(w, c, j);
        struct point p = point_at(c, gas, counts && gas != now);
        if (isfinite(gas) && worth_of(k, i, &p) > worth_of(k, i, &best))
            best = p;
    }
    return best;
}

/* A rate at which the well may stay: off, or on its curve. */
static void draw_reading(struct maker *k, size_t i)
{
    struct field_well *w = &k->b->field.well[i];
    const struct curve *c = &k->b->curves[i];
    double low = fmax(w->lift_min_sm3s, c->gas_sm3s[0]);
    builder_reading(w, 0, WELL_FLOWING);
    if (!one_in(k, 4))
        w->reading.lift_sm3s = between(k, low, c->gas_sm3s[c->peak]);
}

static const double *times(struct arena *a, const double *from, size_t n,
                           double factor)
{
    double *to = ARENA_NEW(a, n, double);
    for (size_t j = 0; j < n; j++)
        to[j] = from[j] * factor;
    return to;
}

/* Makes so much of everything that on is worth just as much as off, which is
 * nothing for a well that needs gas to flow. */
static bool tie(struct maker *k, size_t i, struct point *on)
{
    const struct field_well *w = &k->b->field.well[i];
    struct curve *c = &k->b->curves[i];
    double factor = (double)INFINITY, best = 0;
    for (size_t j = 0; j <= c->n; j++) {
        double rate = running_rate(w, c, j);
        struct point p = point_at(c, rate, false), gas = {.gas = rate};
        double cost = -worth_of(k, i, &gas);
        double made = worth_of(k, i, &p) + cost;
        if (!(made > 0) || cost >= factor * made)
            continue;
        factor = cost / made;
        best = rate;
    }
    if (c->gas_sm3s[0] <= 0 || !isfinite(factor))
        return false;
    c->oil_sm3s = times(k->b->arena, c->oil_sm3s, c->n, factor);
    c->water_sm3s = times(k->b->arena, c->water_sm3s, c->n, factor);
    c->formation_sm3s = times(k->b->arena, c->formation_sm3s, c->n, factor);
    *on = point_at(c, best, false);
    return true;
}

static void add(struct sums *s, const struct point *p)
{
    s->gas += p->gas;
    s->oil += p->oil;
    s->water += p->water;
    s->formation += p->formation;
    s->n_moves += p->moved;
}

static void choose_points(struct maker *k)
{
    size_t n = k->b->field.n_wells, n_tied = k->options->n_tied;
    for (size_t i = 0; i < n; i++) {
        struct point best, on;
        if (k->options->has_moves)
            draw_reading(k, i);
        if (n_tied > 0 && !k->options->has_moves && tie(k, i, &on)) {
            n_tied--;
            best = one_in(k, 2) ? on : (struct point){0};
        } else {
            best = best_point(k, i);
        }
        add(&k->field, &best);
        add(&k->manifold[k->b->field.well[i].group[GROUP_MANIFOLD]], &best);
    }
}

/* --- limits ----------------------------------------------------------------
 */

/* Just what is used where the limit has a price, else some more or none. */
static double limit_of(struct maker *k, double price, double used)
{
    if (price > 0)
        return used;
    return one_in(k, 2) ? (double)INFINITY : used * between(k, 1.001, 1.3);
}

static void set_limits(struct maker *k)
{
    struct field *f = &k->b->field;
    struct prices *p = &k->price;
    f->limits.caps = field_caps_none();
    f->limits.caps.lift_sm3s = limit_of(k, p->gas, k->field.gas);
    f->limits.caps.water_sm3s = limit_of(k, p->water, k->field.water);
    f->limits.caps.liquid_sm3s = limit_of(k, 0, k->field.oil + k->field.water);
    f->limits.caps.gas_sm3s = limit_of(k, 0, k->field.gas + k->field.formation);
    if (k->options->has_moves)
        f->limits.caps.moves = k->field.n_moves;
    for (size_t g = 0; g < f->groups[GROUP_MANIFOLD].n; g++) {
        struct field_caps *caps = &f->groups[GROUP_MANIFOLD].group[g].caps;
        const struct sums *s = &k->manifold[g];
        caps->lift_sm3s = limit_of(k, p->manifold_gas[g], s->gas);
        caps->liquid_sm3s =
            limit_of(k, p->manifold_liquid[g], s->oil + s->water);
    }
    f->prices = (struct field_prices){
        .given = k->options->is_money,
        .oil_sm3 = p->oil,
        .water_sm3 = p->water_cost,
        .compression_sm3 = p->compression,
        .move = p->move_cost,
        .carbon_sm3 = p->carbon,
        .power_j = p->power_cost,
    };
    f->sales.price_sm3 = p->sales;
    if (!k->options->has_units)
        return;
    f->sales.min_sm3s = k->field.formation - k->fuel;
    f->station.power_max_w = limit_of(k, p->power, k->power);
}

/* Without machines all that is compressed costs the same and burns nothing. */
static double value_of(const struct maker *k)
{
    const struct prices *p = &k->price;
    const struct sums *s = &k->field;
    return p->oil * s->oil - p->water_cost * s->water +
           p->sales * (s->formation - k->fuel) - p->carbon * k->fuel -
           p->compression * s->gas - p->power_cost * k->power -
           p->move_cost * (double)s->n_moves;
}

double known_field(uint64_t seed, const struct known_field_options *o,
                   struct builder *b)
{
    struct random_field_options wells = random_field_hard(o->n_wells);
    random_field(seed, &wells, b);
    struct maker k = {
        .dice = {seed * 104729 + o->n_wells},
        .options = o,
        .b = b,
    };
    k.manifold =
        ARENA_NEW(b->arena, b->field.groups[GROUP_MANIFOLD].n, struct sums);
    draw_prices(&k);
    if (o->has_units)
        draw_units(&k);
    else
        k.price.through = k.price.compression;
    choose_points(&k);
    if (o->has_units)
        size_units(&k);
    set_limits(&k);
    return value_of(&k);
}
