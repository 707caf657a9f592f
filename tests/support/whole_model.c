#include "support/whole_model.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "../../src/plan/lp_glpk.h"
#include "support/field_builder.h"

/* A way to run a well: one rate, or any between two. SI. */
struct spot {
    double gas, oil, water, formation;
};

struct way {
    size_t n;
    struct spot spot[2];
    bool moved;
};

struct ways {
    size_t n;
    struct way *way;
};

struct interval {
    double low, high;
};

enum { CAP_LIFT, CAP_LIQUID, CAP_WATER, CAP_GAS, CAP_MOVES, N_CAPS };

struct whole {
    const struct field *field;
    const struct plan_options *options;
    struct milp *lp;
    struct arena *arena;
    double gas, oil, power, value; /* sizes of the program's units in SI */
    size_t balance, delivered, power_row, target;
    size_t field_caps;                 /* first of N_CAPS rows */
    size_t *group_caps[N_GROUP_KINDS]; /* likewise for each group */
    size_t *pair;                      /* [n_wells] SIZE_MAX: none */
};

/* --- ways of one well ------------------------------------------------------
 */

/* Not less, but for the last digits that a change of units moves. */
static bool is_at_least(double a, double b)
{
    return a >= b * (1 - 1e-12);
}

static double end_of(const struct curve *c)
{
    return c->n > 0 ? c->gas_sm3s[c->n - 1] : c->gas_max_sm3s;
}

static struct spot spot_at(const struct curve *c, double gas)
{
    struct spot s = {.gas = gas};
    if (c->n == 0 || !is_at_least(gas, c->gas_sm3s[0]))
        return s;
    size_t k = 1;
    while (k < c->n && c->gas_sm3s[k] < gas)
        k++;
    double part = 0;
    if (k == c->n)
        part = c->n > 1 ? 1 : 0;
    else if (gas > c->gas_sm3s[k - 1])
        part =
            (gas - c->gas_sm3s[k - 1]) / (c->gas_sm3s[k] - c->gas_sm3s[k - 1]);
    size_t b = k < c->n ? k : c->n - 1, a = b > 0 ? b - 1 : 0;
    s.oil = c->oil_sm3s[a] + part * (c->oil_sm3s[b] - c->oil_sm3s[a]);
    s.water = c->water_sm3s[a] + part * (c->water_sm3s[b] - c->water_sm3s[a]);
    s.formation = c->formation_sm3s[a] +
                  part * (c->formation_sm3s[b] - c->formation_sm3s[a]);
    return s;
}

static bool follows_oil(const struct curve *c)
{
    for (size_t k = 1; k < c->n; k++) {
        double oil = c->oil_sm3s[0], other = c->oil_sm3s[k];
        double water = c->water_sm3s[k] * oil - c->water_sm3s[0] * other;
        double gas = c->formation_sm3s[k] * oil - c->formation_sm3s[0] * other;
        if (fabs(water) > 1e-9 * c->water_sm3s[0] * other ||
            fabs(gas) > 1e-9 * c->formation_sm3s[0] * other)
            return false;
    }
    return true;
}

static void add_rate(struct ways *w, const struct curve *c, double gas,
                     bool moved)
{
    w->way[w->n++] = (struct way){1, {spot_at(c, gas)}, moved};
}

static void add_steps(struct ways *w, const struct curve *c, double step,
                      struct interval run)
{
    double best = -1;
    long first = lround(ceil(run.low / step - 1e-9));
    for (long i = first; (double)i * step <= run.high * (1 + 1e-9); i++) {
        struct spot s = spot_at(c, (double)i * step);
        if (follows_oil(c) && s.oil <= best)
            continue;
        add_rate(w, c, s.gas, true);
        best = s.oil;
    }
}

/* The lines of the curve in the interval; where all follows the oil, up to its
 * peak there: nobody drowns a well in gas. */
static void add_lines(struct ways *w, const struct curve *c,
                      struct interval run)
{
    double corner[64], peak = run.low;
    size_t n = 0;
    corner[n++] = run.low;
    for (size_t k = 0; k < c->n && n < 63; k++)
        if (c->gas_sm3s[k] > run.low && c->gas_sm3s[k] < run.high)
            corner[n++] = c->gas_sm3s[k];
    if (run.high > run.low)
        corner[n++] = run.high;
    for (size_t k = 0; k < n; k++)
        if (spot_at(c, corner[k]).oil > spot_at(c, peak).oil)
            peak = corner[k];
    while (follows_oil(c) && corner[n - 1] > peak)
        n--;
    if (n == 1)
        add_rate(w, c, corner[0], true);
    for (size_t k = 0; k + 1 < n; k++)
        w->way[w->n++] = (struct way){
            2, {spot_at(c, corner[k]), spot_at(c, corner[k + 1])}, true};
}

static void add_interval(struct ways *w, const struct field_well *well,
                         const struct curve *c, double low, double high)
{
    /* The last digits of a difference leave an interval of one rate. */
    if (!is_at_least(high, low))
        return;
    low = fmin(low, high);
    if (well->step_sm3s > 0)
        add_steps(w, c, well->step_sm3s, (struct interval){low, high});
    else
        add_lines(w, c, (struct interval){low, high});
}

/* Where the well may run at all; empty: low above high. */
static struct interval range_of(const struct field_well *w,
                                const struct curve *c)
{
    if (c->n == 0)
        return (struct interval){1, 0};
    double low = fmax(w->lift_min_sm3s, c->gas_sm3s[0]);
    double high = fmin(w->lift_max_sm3s, end_of(c)), step = w->step_sm3s;
    if (step > 0) {
        low = ceil(low / step - 1e-9) * step;
        high = floor(high / step + 1e-9) * step;
    }
    if (is_at_least(high, low))
        low = fmin(low, high);
    return (struct interval){low, high};
}

/* A change that is needed to come into the range is as small as can be. */
static struct interval after_change(const struct field_well *w, double now,
                                    struct interval r)
{
    double most = w->change_max_sm3s;
    if (!(most > 0) || !(now > 0) || r.low > r.high)
        return r;
    double low = fmax(r.low, now - most), high = fmin(r.high, now + most);
    return (struct interval){fmin(low, r.high), fmax(high, r.low)};
}

static bool moves_matter(const struct field *f, const struct field_well *w)
{
    const struct field_groups *routes = &f->groups[GROUP_ROUTE];
    size_t route = w->group[GROUP_ROUTE];
    return f->limits.caps.moves != SIZE_MAX || f->limits.dead_band_sm3s > 0 ||
           f->prices.move > 0 ||
           (route < routes->n && routes->group[route].caps.moves != SIZE_MAX);
}

static void free_ways(const struct field *f, const struct field_well *w,
                      const struct curve *c, struct ways *out)
{
    double now = field_well_now_sm3s(w), band = f->limits.dead_band_sm3s;
    struct interval all = range_of(w, c), run = after_change(w, now, all);
    bool can_run = all.low <= all.high;
    bool may_be_off = w->may_stop || !can_run || all.low <= 0;
    bool is_sound = now > 0 ? is_at_least(now, w->lift_min_sm3s) &&
                                  is_at_least(w->lift_max_sm3s, now) &&
                                  is_at_least(c->gas_max_sm3s, now)
                            : may_be_off;
    bool may_stay = moves_matter(f, w) && is_sound;
    if (may_stay)
        add_rate(out, c, now, false);
    else
        band = 0;
    if (may_be_off && now >= band && !(may_stay && now == 0))
        add_rate(out, c, 0, now > 0);
    /* Nothing at all is the way above. */
    if (w->step_sm3s > 0)
        run.low = fmax(run.low, w->step_sm3s);
    if (band > 0) {
        add_interval(out, w, c, run.low, fmin(run.high, now - band));
        add_interval(out, w, c, fmax(run.low, now + band), run.high);
    } else {
        add_interval(out, w, c, run.low, run.high);
    }
    if (w->may_shut && c->n > 0 && c->gas_sm3s[0] == 0)
        out->way[out->n++] = (struct way){1, {{0}}, true};
    if (out->n == 0)
        add_rate(out, c, now, false);
}

static struct ways ways_of(const struct field *f, size_t i,
                           const struct curve *c, struct arena *a)
{
    const struct field_well *w = &f->well[i];
    size_t steps = w->step_sm3s > 0 ? (size_t)(end_of(c) / w->step_sm3s) : 0;
    struct ways out = {0, ARENA_NEW(a, c->n + steps + 8, struct way)};
    if (w->reading.status == WELL_DOWN)
        out.way[out.n++] = (struct way){1, {{0}}, false};
    else if (field_well_locked(w))
        add_rate(&out, c, field_well_now_sm3s(w), false);
    else
        free_ways(f, w, c, &out);
    return out;
}

/* --- the program -----------------------------------------------------------
 */

static size_t add_caps(struct whole *m, const struct field_caps *c)
{
    double moves = c->moves == SIZE_MAX ? (double)INFINITY : (double)c->moves;
    double none = -(double)INFINITY;
    size_t first = milp_add_row(m->lp, none, c->lift_sm3s / m->gas);
    milp_add_row(m->lp, none, c->liquid_sm3s / m->oil);
    milp_add_row(m->lp, none, c->water_sm3s / m->oil);
    milp_add_row(m->lp, none, c->gas_sm3s / m->gas);
    milp_add_row(m->lp, none, moves);
    return first;
}

static void add_rows(struct whole *m)
{
    const struct field *f = m->field;
    double none = (double)INFINITY, target = m->options->oil_target_sm3s;
    m->balance = milp_add_row(m->lp, 0, 0);
    m->delivered = milp_add_row(m->lp, 0, 0);
    m->power_row =
        milp_add_row(m->lp, -none, f->station.power_max_w / m->power);
    m->target = milp_add_row(m->lp, target > 0 ? target / m->oil : -none, none);
    m->field_caps = add_caps(m, &f->limits.caps);
    for (int k = 0; k < N_GROUP_KINDS; k++) {
        m->group_caps[k] = ARENA_NEW(m->arena, f->groups[k].n, size_t);
        for (size_t g = 0; g < f->groups[k].n; g++)
            m->group_caps[k][g] = add_caps(m, &f->groups[k].group[g].caps);
    }
    m->pair = ARENA_NEW(m->arena, f->n_wells, size_t);
    for (size_t i = 0; i < f->n_wells; i++)
        m->pair[i] = f->well[i].runs_with != NULL
                         ? milp_add_row(m->lp, -none, 0)
                         : SIZE_MAX;
}

/* A column of the station; goes out or in at the balance, and at discharge. */
static size_t add_flow(struct whole *m, double low, double high, double worth,
                       double balance, double delivered)
{
    size_t column = milp_add_column(m->lp, low / m->gas, high / m->gas,
                                    worth * m->gas / m->value, false);
    milp_add_term(m->lp, m->balance, balance);
    milp_add_term(m->lp, m->delivered, delivered);
    return column;
}

static double price(const struct whole *m, double per_unit)
{
    return m->options->objective == PLAN_MONEY ? per_unit : 0;
}

/* Through and round between the unit's bounds times its running. */
static void add_unit(struct whole *m, const struct field_compressor *u)
{
    const struct field_station *s = &m->field->station;
    const struct field_prices *p = &m->field->prices;
    bool may_run = u->state == UNIT_RUNNING || u->state == UNIT_AVAILABLE;
    double burnt = u->has_fuel ? u->fuel_fraction : s->fuel_fraction;
    double at_discharge = s->fuel_from == SIDE_DISCHARGE ? 1 : 0;
    double power_price = u->electric ? price(m, p->power_j) : 0;
    double none = (double)INFINITY;
    size_t least = milp_add_row(m->lp, 0, none);
    size_t most = milp_add_row(m->lp, -none, 0);
    size_t round = milp_add_row(m->lp, -none, 0);

    add_flow(m, 0, u->capacity_sm3s,
             -price(m, p->compression_sm3 + p->carbon_sm3 * burnt) -
                 power_price * u->power_j_sm3,
             -burnt, 1 - at_discharge * burnt);
    milp_add_term(m->lp, least, 1);
    milp_add_term(m->lp, most, 1);
    if (u->electric)
        milp_add_term(m->lp, m->power_row, u->power_j_sm3 * m->gas / m->power);
    add_flow(m, 0, u->recycles ? u->least_sm3s : 0, 0, 0, -1);
    milp_add_term(m->lp, round, 1);

    double fixed = u->fuel_fixed_sm3s;
    double worth =
        -price(m, p->carbon_sm3) * fixed - power_price * u->power_fixed_w;
    milp_add_column(m->lp, u->state == UNIT_RUNNING ? 1 : 0, may_run ? 1 : 0,
                    worth / m->value, true);
    milp_add_term(m->lp, m->balance, -fixed / m->gas);
    milp_add_term(m->lp, m->delivered, -at_discharge * fixed / m->gas);
    milp_add_term(m->lp, least, -u->least_sm3s / m->gas);
    milp_add_term(m->lp, most, -u->capacity_sm3s / m->gas);
    milp_add_term(m->lp, round, -u->least_sm3s / m->gas);
    if (u->electric)
        milp_add_term(m->lp, m->power_row, u->power_fixed_w / m->power);
}

/* More than can ever flow. */
static double plenty(const struct whole *m, const struct curve *curves)
{
    double sum = m->field->sales.min_sm3s;
    for (size_t i = 0; i < m->field->n_wells; i++)
        for (size_t k = 0; k < curves[i].n; k++)
            sum += curves[i].formation_sm3s[k] + curves[i].gas_max_sm3s;
    return 4 * sum;
}

static void add_station(struct whole *m, double most)
{
    const struct field *f = m->field;
    const struct field_station *s = &f->station;
    double burnt = s->fuel_fraction, carbon = price(m, f->prices.carbon_sm3);
    add_flow(m, f->sales.min_sm3s, fmin(f->sales.max_sm3s, most),
             price(m, f->sales.price_sm3), -1,
             f->sales.from == SIDE_DISCHARGE ? -1 : 0);
    add_flow(m, 0, fmin(f->market.max_sm3s, most),
             -price(m, f->market.price_sm3), 1,
             f->market.enters == SIDE_DISCHARGE ? 1 : 0);
    add_flow(m, 0, fmin(s->flare_max_sm3s, most), -carbon, -1, 0);
    if (!s->has_compressors)
        add_flow(m, 0, most,
                 -price(m, f->prices.compression_sm3) - carbon * burnt, -burnt,
                 s->fuel_from == SIDE_DISCHARGE ? 1 - burnt : 1);
    else
        for (size_t i = 0; i < s->n_compressors; i++)
            add_unit(m, &s->compressor[i]);
}

static double worth_of(const struct whole *m, const struct spot *s, bool moved)
{
    const struct field_prices *p = &m->field->prices;
    switch (m->options->objective) {
    case PLAN_OIL:
        return s->oil;
    case PLAN_GAS:
        return -s->gas;
    case PLAN_MONEY:
        break;
    }
    return s->oil * p->oil_sm3 - s->water * p->water_sm3 -
           (moved ? p->move : 0);
}

static void count(struct whole *m, size_t first, const struct spot *s,
                  bool moved)
{
    milp_add_term(m->lp, first + CAP_LIFT, s->gas / m->gas);
    milp_add_term(m->lp, first + CAP_LIQUID, (s->oil + s->water) / m->oil);
    milp_add_term(m->lp, first + CAP_WATER, s->water / m->oil);
    milp_add_term(m->lp, first + CAP_GAS, (s->gas + s->formation) / m->gas);
    milp_add_term(m->lp, first + CAP_MOVES, moved ? 1 : 0);
}

/* The weight of one spot; `row`: where the weights are summed up. */
static void add_spot(struct whole *m, size_t i, const struct spot *s,
                     const struct way *way, size_t row)
{
    const struct field *f = m->field;
    const struct field_well *w = &f->well[i];
    const struct spot *last = &way->spot[way->n - 1];
    milp_add_column(m->lp, 0, 1, worth_of(m, s, way->moved) / m->value,
                    way->n == 1);
    milp_add_term(m->lp, row, 1);
    milp_add_term(m->lp, m->balance,
                  s->formation * (1 - f->station.shrinkage_fraction) / m->gas);
    milp_add_term(m->lp, m->delivered, -s->gas / m->gas);
    milp_add_term(m->lp, m->target, s->oil / m->oil);
    count(m, m->field_caps, s, way->moved);
    for (int k = 0; k < N_GROUP_KINDS; k++)
        if (w->group[k] < f->groups[k].n)
            count(m, m->group_caps[k][w->group[k]], s, way->moved);
    if (!(last->gas > 0 || last->oil > 0))
        return;
    if (m->pair[i] != SIZE_MAX)
        milp_add_term(m->lp, m->pair[i], 1);
    for (size_t other = 0; other < f->n_wells; other++)
        if (m->pair[other] != SIZE_MAX &&
            strcmp(f->well[other].runs_with, w->name) == 0)
            milp_add_term(m->lp, m->pair[other], -1);
}

static void add_well(struct whole *m, size_t i, const struct curve *c)
{
    struct ways ways = ways_of(m->field, i, c, m->arena);
    size_t one = milp_add_row(m->lp, 1, 1);
    for (size_t k = 0; k < ways.n; k++) {
        const struct way *way = &ways.way[k];
        size_t row = way->n == 1 ? one : milp_add_row(m->lp, 0, 0);
        for (size_t j = 0; j < way->n; j++)
            add_spot(m, i, &way->spot[j], way, row);
        if (way->n == 1)
            continue;
        milp_add_column(m->lp, 0, 1, 0, true);
        milp_add_term(m->lp, one, 1);
        milp_add_term(m->lp, row, -1);
    }
}

double whole_model(const struct field *f, const struct curve *curves,
                   const struct plan_options *o, struct arena *a,
                   struct milp *out)
{
    struct whole m = {
        .field = f,
        .options = o,
        .lp = out,
        .arena = a,
        .gas = builder_gas(100),
        .oil = builder_oil(100),
    };
    m.power = m.gas * 2e5;
    m.value = o->objective == PLAN_OIL   ? m.oil
              : o->objective == PLAN_GAS ? m.gas
                                         : m.oil * fmax(f->prices.oil_sm3, 1);
    milp_init(out, a);
    add_rows(&m);
    add_station(&m, plenty(&m, curves));
    for (size_t i = 0; i < f->n_wells; i++)
        add_well(&m, i, &curves[i]);
    return m.value;
}

struct verdict whole_by_glpk(const struct field *f, const struct curve *curves,
                             const struct plan_options *o, long nodes_max,
                             struct arena *a)
{
    struct lp_limits limits = {0, nodes_max, (double)INFINITY};
    struct milp m;
    struct milp_answer answer;
    struct err err = {0};
    double unit = whole_model(f, curves, o, a, &m);
    if (lp_solve(&m, &limits, a, &answer, &err) != ST_OK)
        return (struct verdict){.bound = (double)INFINITY};
    return (struct verdict){
        .is_impossible = answer.state == MILP_IMPOSSIBLE,
        .has_plan = answer.state == MILP_SOLVED || answer.has_point,
        .value = answer.value * unit,
        .bound = answer.bound * unit,
    };
}
