#include "support/pad_field.h"

#include <math.h>

#include "base/units.h"
#include "support/dice.h"
#include "support/random_field.h"

#define POINTS_MOST 64
#define UNITS_MOST 6
#define FUEL_PART 0.03 /* of the gas compressed */

/* What a well makes at a rate. */
struct made {
    double gas, oil, water, formation;
};

/* Yesterday's feasible rates, and the rates of equal slope that the limits are
 * drawn around. */
struct rates {
    double *yesterday, *equal; /* [n_wells] */
};

static struct made made_at(const struct curve *c, double gas)
{
    struct curve_point p = {0};
    struct err err;
    if (curve_at(c, gas, &p, &err) != ST_OK)
        return (struct made){.gas = gas};
    return (struct made){gas, p.oil_sm3s, p.water_sm3s, p.formation_sm3s};
}

static struct made sum_of(const struct builder *b, const double *gas)
{
    struct made sum = {0};
    for (size_t i = 0; i < b->field.n_wells; i++) {
        struct made m = made_at(&b->curves[i], gas[i]);
        sum.gas += m.gas;
        sum.oil += m.oil;
        sum.water += m.water;
        sum.formation += m.formation;
    }
    return sum;
}

/* The best point of a well when gas costs so much oil; none when off is. */
static double best_gas(const struct field_well *w, const struct curve *c,
                       double slope)
{
    double best = 0, most = c->gas_sm3s[0] > 0 ? 0 : c->oil_sm3s[0];
    for (size_t k = 0; k <= c->peak; k++) {
        double worth = c->oil_sm3s[k] - slope * c->gas_sm3s[k];
        if (c->gas_sm3s[k] >= w->lift_min_sm3s && worth > most) {
            most = worth;
            best = c->gas_sm3s[k];
        }
    }
    return best;
}

static double set_equal(const struct builder *b, double slope, double *gas)
{
    double sum = 0;
    for (size_t i = 0; i < b->field.n_wells; i++)
        sum += gas[i] = best_gas(&b->field.well[i], &b->curves[i], slope);
    return sum;
}

static double gas_at_peaks(const struct builder *b)
{
    double sum = 0;
    for (size_t i = 0; i < b->field.n_wells; i++)
        sum += b->curves[i].gas_sm3s[b->curves[i].peak];
    return sum;
}

static void equal_slope(const struct builder *b, double gas_sm3s, double *gas)
{
    double low = 0, high = 1;
    for (int i = 0; i < 60; i++) {
        double slope = (low + high) / 2;
        if (set_equal(b, slope, gas) > gas_sm3s)
            low = slope;
        else
            high = slope;
    }
    set_equal(b, high, gas);
}

/* Near equal slope, a tenth of the wells that may be off are. */
static double yesterday_of(struct dice *d, const struct field_well *w,
                           const struct curve *c, double gas, bool is_hard)
{
    double part =
        is_hard ? dice_between(d, 0.5, 0.95) : dice_between(d, 0.7, 1.1);
    double now = fmin(gas * part, c->gas_sm3s[c->peak]);
    bool is_off = dice_index(d, 10) == 0;
    if (now > 0 && now < w->lift_min_sm3s)
        now = w->lift_min_sm3s;
    return now < c->gas_sm3s[0] || is_off ? 0 : now;
}

static struct rates draw_rates(struct dice *d, bool is_hard, double gas_sm3s,
                               struct builder *b)
{
    size_t n = b->field.n_wells;
    struct rates r = {ARENA_NEW(b->arena, n, double),
                      ARENA_NEW(b->arena, n, double)};
    equal_slope(b, gas_sm3s, r.equal);
    for (size_t i = 0; i < n; i++) {
        struct field_well *w = &b->field.well[i];
        r.yesterday[i] = yesterday_of(d, w, &b->curves[i], r.equal[i], is_hard);
        builder_reading(w, 0, WELL_FLOWING);
        w->reading.lift_sm3s = r.yesterday[i];
    }
    return r;
}

/* Room for yesterday, at least. */
static double around(double equal, double yesterday, double part)
{
    return fmax(equal * part, 1.001 * yesterday);
}

static void set_pads(struct dice *d, bool is_hard, const struct rates *r,
                     struct builder *b)
{
    struct field_groups *pads = &b->field.groups[GROUP_MANIFOLD];
    struct made(*sum)[2] =
        arena_new(b->arena, pads->n, sizeof *sum); /* equal, yesterday */
    for (size_t i = 0; i < b->field.n_wells; i++)
        for (int day = 0; day < 2; day++) {
            struct made *to = &sum[b->field.well[i].group[GROUP_MANIFOLD]][day];
            struct made m = made_at(&b->curves[i],
                                    day == 0 ? r->equal[i] : r->yesterday[i]);
            to->gas += m.gas;
            to->oil += m.oil + m.water;
        }
    for (size_t g = 0; g < pads->n; g++) {
        double gas =
            is_hard ? dice_between(d, 0.7, 1.3) : dice_between(d, 0.8, 1.6);
        double liquid =
            is_hard ? dice_between(d, 0.82, 1.25) : dice_between(d, 0.9, 1.4);
        struct field_caps *caps = &pads->group[g].caps;
        caps->lift_sm3s = around(sum[g][0].gas, sum[g][1].gas, gas);
        caps->liquid_sm3s = around(sum[g][0].oil, sum[g][1].oil, liquid);
    }
}

static void set_limits(bool is_hard, const struct made *equal,
                       const struct made *yesterday, struct field *f)
{
    struct field_caps *caps = &f->limits.caps;
    caps->lift_sm3s = around(equal->gas, yesterday->gas, is_hard ? 0.9 : 1);
    caps->gas_sm3s =
        around(equal->gas + equal->formation,
               yesterday->gas + yesterday->formation, is_hard ? 0.93 : 0.985);
    caps->water_sm3s =
        around(equal->water, yesterday->water, is_hard ? 0.91 : 0.96);
    f->station.fuel_fraction = FUEL_PART;
    f->station.fuel_from = SIDE_SUCTION;
    double left = equal->formation - FUEL_PART * equal->gas;
    /* Machines at their least rate send gas round, which burns fuel too. */
    double left_yesterday =
        yesterday->formation - 2 * FUEL_PART * yesterday->gas;
    f->market.max_sm3s = fmax(0.06 * 0.985 * left, 0);
    f->sales.min_sm3s =
        fmax(fmin(0.985 * left, left_yesterday + 0.95 * f->market.max_sm3s), 0);
}

static size_t units_for(size_t n_wells)
{
    return n_wells <= 6      ? 2
           : n_wells <= 50   ? 3
           : n_wells <= 200  ? 4
           : n_wells <= 1000 ? 5
                             : UNITS_MOST;
}

static void draw_units(struct dice *d, double gas_sm3s, struct builder *b)
{
    static const char *const NAME[UNITS_MOST] = {"C-1", "C-2", "C-3",
                                                 "C-4", "C-5", "C-6"};
    struct field_station *s = &b->field.station;
    double kwh_mscf = 3.6e6 / (builder_gas(1) * UNIT_DAY_S), sum = 0;
    s->has_compressors = true;
    s->n_compressors = units_for(b->field.n_wells);
    s->compressor =
        ARENA_NEW(b->arena, s->n_compressors, struct field_compressor);
    for (size_t i = 0; i < s->n_compressors; i++)
        sum += s->compressor[i].capacity_sm3s = dice_between(d, 0.6, 1.4);
    for (size_t i = 0; i < s->n_compressors; i++) {
        double capacity =
            1.45 * gas_sm3s * s->compressor[i].capacity_sm3s / sum;
        s->compressor[i] = (struct field_compressor){
            .name = NAME[i],
            .state = UNIT_AVAILABLE,
            .capacity_sm3s = capacity,
            .least_sm3s = capacity * dice_between(d, 0.4, 0.65),
            .recycles = true,
            .power_fixed_w = capacity * dice_between(d, 0.4, 1.2) * kwh_mscf,
            .power_j_sm3 = dice_between(d, 2.6, 3.8) * kwh_mscf,
            .electric = true,
        };
    }
}

/* Power of a set of units that carry the gas; INFINITY when they cannot. */
static double power_of(const struct field_station *s, size_t set, double gas)
{
    double room = 0, power = 0;
    bool is_full[UNITS_MOST] = {false};
    for (size_t i = 0; i < s->n_compressors; i++) {
        const struct field_compressor *u = &s->compressor[i];
        is_full[i] = (set >> i & 1) == 0;
        if (is_full[i])
            continue;
        room += u->capacity_sm3s;
        gas -= u->least_sm3s;
        power += u->power_fixed_w + u->power_j_sm3 * u->least_sm3s;
    }
    if (room * (1 - 1e-9) < gas)
        return (double)INFINITY;
    while (gas > 0) {
        size_t best = UNITS_MOST;
        for (size_t i = 0; i < s->n_compressors; i++)
            if (!is_full[i] &&
                (best == UNITS_MOST || s->compressor[i].power_j_sm3 <
                                           s->compressor[best].power_j_sm3))
                best = i;
        if (best == UNITS_MOST)
            return (double)INFINITY;
        const struct field_compressor *u = &s->compressor[best];
        double more = fmin(gas, u->capacity_sm3s - u->least_sm3s);
        power += more * u->power_j_sm3;
        gas -= more;
        is_full[best] = true;
    }
    return power;
}

/* Less than all units need, enough for yesterday's gas. */
static void limit_power(struct dice *d, double gas_yesterday,
                        struct field_station *s)
{
    size_t all = ((size_t)1 << s->n_compressors) - 1;
    double capacity = 0, least = (double)INFINITY;
    for (size_t i = 0; i < s->n_compressors; i++)
        capacity += s->compressor[i].capacity_sm3s;
    for (size_t set = 1; set <= all; set++)
        least = fmin(least, power_of(s, set, gas_yesterday));
    s->power_max_w = fmax(power_of(s, all, capacity * (1 - 1e-6)) *
                              dice_between(d, 0.62, 0.74),
                          1.002 * least);
}

static void set_prices(struct field *f)
{
    double oil = 1 / (builder_oil(1) * UNIT_DAY_S);
    double gas = 1 / (builder_gas(1) * UNIT_DAY_S);
    f->prices = (struct field_prices){
        .given = true,
        .oil_sm3 = 62 * oil,
        .water_sm3 = 1.1 * oil,
        .power_j = 0.09 / 3.6e6,
    };
    f->sales.price_sm3 = 2.4 * gas;
    f->market.price_sm3 = 3.6 * gas;
}

struct plan_options pad_field(uint64_t seed, const struct pad_field_options *o,
                              struct builder *b)
{
    struct field *f = &b->field;
    struct random_field_options wells = random_field_hard(o->n_wells);
    random_field(seed, &wells, b);
    struct dice d = {seed * 7919 + o->n_wells};
    double gas = gas_at_peaks(b) * (o->is_hard ? 0.4 : 0.6);
    struct rates r = draw_rates(&d, o->is_hard, gas, b);
    struct made equal = sum_of(b, r.equal);
    struct made yesterday = sum_of(b, r.yesterday);
    set_pads(&d, o->is_hard, &r, b);
    set_limits(o->is_hard, &equal, &yesterday, f);
    set_prices(f);
    struct plan_options ask = plan_options_default();
    if (o->has_units) {
        draw_units(&d, f->limits.caps.lift_sm3s, b);
        limit_power(&d, yesterday.gas, &f->station);
        f->limits.caps.lift_sm3s = (double)INFINITY;
        ask.objective = PLAN_MONEY;
    }
    if (o->has_moves)
        f->limits.caps.moves = o->n_wells < 20 ? 2 : o->n_wells / 10;
    return ask;
}
