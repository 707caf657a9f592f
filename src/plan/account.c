#include "account.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "caps.h"
#include "menu.h"
#include "order.h"
#include "num/tol.h"

/* --- the station --------------------------------------------------------- */

static double capacity_of(const struct field *f, const struct unit_load *load)
{
    double sum_sm3s = 0;
    if (load == NULL)
        return (double)INFINITY;
    for (size_t i = 0; i < f->station.n_compressors; i++)
        if (load[i].runs)
            sum_sm3s += f->station.compressor[i].capacity_sm3s;
    return sum_sm3s;
}

/* What the station burns of a Sm3 that passes it, at most: a step that counts
 * with it does not go too far. */
static double fuel_part(const struct field *f, const struct unit_load *load)
{
    double most = load == NULL ? f->station.fuel_fraction : 0;
    for (size_t i = 0; load != NULL && i < f->station.n_compressors; i++)
        if (load[i].runs)
            most = fmax(most, field_unit_fuel(f, &f->station.compressor[i]));
    return most;
}

struct shift {
    double *flow;
    double direct;     /* what a unit of the flow adds to the balance */
    double compressed; /* and what it asks of the units */
    double low, high;
    bool needs_room; /* no more than the units can still take */
};

/* Move one flow by at most what closes the balance, within low and high. The
 * fuel for it is a part of the flow: each round leaves that part of a part. */
static void shift(const struct field *f, struct gas_balance *b,
                  struct unit_load *load, struct shift s)
{
    double part = fuel_part(f, load);
    double gross = f->station.fuel_from == SIDE_DISCHARGE ? 1 / (1 - part) : 1;
    double gain = s.direct - s.compressed * gross * part;
    /* A flow that starts outside its limits is not pushed further out. */
    double low = fmin(s.low, *s.flow), high = fmax(s.high, *s.flow);
    for (int i = 0; i < BALANCE_ROUNDS; i++) {
        balance_close(f, b, load);
        double most = high;
        if (s.needs_room && s.compressed > 0)
            most = fmin(most, *s.flow + (capacity_of(f, load) - b->compressed) /
                                            gross);
        double before = *s.flow, wanted = before - b->error / gain;
        *s.flow = fmin(fmax(wanted, low), fmax(most, fmin(before, high)));
        if (*s.flow == before)
            break;
    }
}

static void shift_sales(const struct field *f, struct gas_balance *b,
                        struct unit_load *load, double low, double high)
{
    double compressed = f->sales.from == SIDE_DISCHARGE ? 1 : 0;
    bool needs_room = high > b->sales;
    shift(f, b, load,
          (struct shift){&b->sales, -1, compressed, low, high, needs_room});
}

static void shift_bought(const struct field *f, struct gas_balance *b,
                         struct unit_load *load, double high)
{
    double compressed = f->market.enters == SIDE_DISCHARGE ? -1 : 0;
    shift(f, b, load,
          (struct shift){&b->bought, 1, compressed, 0, high, false});
}

static void shift_flare(const struct field *f, struct gas_balance *b,
                        struct unit_load *load, double high)
{
    shift(f, b, load, (struct shift){&b->flare, -1, 0, 0, high, false});
}

void account_settle(const struct field *f, struct gas_balance *b,
                    struct unit_load *load)
{
    double all = (double)INFINITY;
    balance_close(f, b, load);
    if (b->error > 0) {
        shift_bought(f, b, load, b->bought);
        shift_sales(f, b, load, 0, f->sales.max_sm3s);
        shift_flare(f, b, load, all);
    } else {
        shift_flare(f, b, load, b->flare);
        shift_sales(f, b, load, f->sales.min_sm3s, b->sales);
        shift_bought(f, b, load, f->market.max_sm3s);
        shift_sales(f, b, load, 0, b->sales);
        shift_bought(f, b, load, all);
    }
    balance_close(f, b, load);
}

/* Of the units that only the plan would run, the one of greatest least rate;
 * n_compressors when the running ones are all needed for their least. */
static size_t idle_unit(const struct field *f, const struct unit_load *load,
                        double compressed_sm3s)
{
    size_t n = f->station.n_compressors, idle = n;
    double least_sm3s = 0, most_sm3s = capacity_of(f, load);
    for (size_t i = 0; i < n; i++)
        if (load[i].runs)
            least_sm3s += f->station.compressor[i].least_sm3s;
    for (size_t i = 0; i < n; i++) {
        const struct field_compressor *u = &f->station.compressor[i];
        bool may_go = load[i].runs && u->state == UNIT_AVAILABLE &&
                      most_sm3s - u->capacity_sm3s >= compressed_sm3s;
        if (may_go && (idle == n ||
                       u->least_sm3s > f->station.compressor[idle].least_sm3s))
            idle = i;
    }
    return least_sm3s > compressed_sm3s ? idle : n;
}

static void settle_station(const struct field *f, const struct unit_load *given,
                           struct arena *a, struct plan *out)
{
    size_t n = f->station.has_compressors ? f->station.n_compressors : 0;
    struct unit_load *load = balance_units(f, a);
    if (given != NULL && n > 0)
        memcpy(load, given, n * sizeof *load);
    account_settle(f, &out->balance, load);
    if (load == NULL)
        return;
    while (given == NULL) {
        size_t idle = idle_unit(f, load, out->balance.compressed);
        if (idle == n)
            break;
        load[idle] = (struct unit_load){0};
        account_settle(f, &out->balance, load);
    }
    out->n_units = n;
    out->unit = ARENA_NEW(a, n, struct plan_unit);
    for (size_t i = 0; i < n; i++)
        out->unit[i] = (struct plan_unit){
            .load = load[i],
            .chosen = f->station.compressor[i].state == UNIT_AVAILABLE,
        };
}

/* --- wells --------------------------------------------------------------- */

static void fill_wells(const struct field *f, const struct curve *curves,
                       const struct account_rates *rates, struct arena *a,
                       struct plan *out)
{
    const size_t *order = order_wells(f, a);
    out->n_wells = f->n_wells;
    out->well = ARENA_NEW(a, f->n_wells, struct plan_well);
    for (size_t k = 0; k < f->n_wells; k++) {
        size_t i = order[k];
        bool shut = rates->shut != NULL && rates->shut[i];
        struct curve_point at = {0};
        if (f->well[i].reading.status != WELL_DOWN && !shut)
            at = menu_point_at(&curves[i], rates->gas_sm3s[i]);
        double change_sm3s = at.gas_sm3s - field_well_now_sm3s(&f->well[i]);
        struct plan_well *w = &out->well[i];
        *w = (struct plan_well){
            .gas_sm3s = at.gas_sm3s,
            .oil_sm3s = at.oil_sm3s,
            .water_sm3s = at.water_sm3s,
            .formation_sm3s = at.formation_sm3s,
            .moved = shut || fabs(change_sm3s) > TOL_MOVE_SM3S,
            .shut = shut,
        };
        out->oil_sm3s += w->oil_sm3s;
        out->water_sm3s += w->water_sm3s;
        out->balance.lift += w->gas_sm3s;
        out->balance.formation += w->formation_sm3s;
        out->n_moves += w->moved;
    }
}

double account_money(const struct field *f, const struct account_flows *x)
{
    const struct field_prices *price = &f->prices;
    const struct gas_balance *b = x->balance;
    if (!price->given)
        return 0;
    double through_sm3s = x->n_units > 0 ? 0 : b->compressed, power_w = 0;
    for (size_t i = 0; i < x->n_units; i++) {
        through_sm3s += x->unit[i].load.through_sm3s;
        if (f->station.compressor[i].electric)
            power_w += x->unit[i].load.power_w;
    }
    return x->oil_sm3s * price->oil_sm3 - x->water_sm3s * price->water_sm3 +
           b->sales * f->sales.price_sm3 - b->bought * f->market.price_sm3 -
           through_sm3s * price->compression_sm3 -
           (b->fuel + b->flare) * price->carbon_sm3 - power_w * price->power_j -
           x->moves_a_day * price->move;
}

static double money(const struct field *f, const struct plan *p)
{
    return account_money(f, &(struct account_flows){
                                .oil_sm3s = p->oil_sm3s,
                                .water_sm3s = p->water_sm3s,
                                .balance = &p->balance,
                                .n_units = p->n_units,
                                .unit = p->unit,
                                .moves_a_day = (double)p->n_moves,
                            });
}

/* --- limits -------------------------------------------------------------- */

/* A minimum binds from the other side. */
static void add_limit(struct plan *out, struct plan_limit l)
{
    bool is_least =
        l.kind == PLAN_LIMIT_SALES_MIN || l.kind == PLAN_LIMIT_OIL_TARGET;
    double near = TOL_LIMIT_REL * fmax(fabs(l.bound), TOL_LIMIT_SM3S);
    l.binding = is_least ? l.used <= l.bound + near : l.used >= l.bound - near;
    l.price_from = l.price_to = l.bound;
    out->limit[out->n_limits++] = l;
}

static void add_field_limit(bool is_set, struct plan *out,
                            enum plan_limit_kind kind, double used,
                            double bound)
{
    if (is_set)
        add_limit(out, (struct plan_limit){
                           .kind = kind,
                           .scope = N_GROUP_KINDS,
                           .name = "",
                           .used = used,
                           .bound = bound,
                       });
}

/* What wells take and make together. */
struct sums {
    double gas, oil, water, formation, moves;
};

static void add_well(struct sums *s, const struct plan_well *w)
{
    s->gas += w->gas_sm3s;
    s->oil += w->oil_sm3s;
    s->water += w->water_sm3s;
    s->formation += w->formation_sm3s;
    s->moves += w->moved ? 1 : 0;
}

static double used_of(const struct sums *s, enum plan_limit_kind kind)
{
    switch ((int)kind) {
    case PLAN_LIMIT_LIFT:
        return s->gas;
    case PLAN_LIMIT_LIQUID:
        return s->oil + s->water;
    case PLAN_LIMIT_WATER:
        return s->water;
    case PLAN_LIMIT_GAS:
        return s->gas + s->formation;
    default:
        return s->moves;
    }
}

static void add_caps(struct plan *out, const struct field_caps *caps,
                     const struct sums *s, struct plan_limit l)
{
    for (size_t k = 0; k < N_CAP_KINDS; k++) {
        l.kind = CAP_KINDS[k];
        l.used = used_of(s, l.kind);
        l.bound = caps_get(caps, l.kind);
        if (isfinite(l.bound))
            add_limit(out, l);
    }
}

static void add_groups(const struct field *f, enum group_kind kind,
                       const size_t *order, struct arena *a, struct plan *out)
{
    const struct field_groups *g = &f->groups[kind];
    struct sums *sums = ARENA_NEW(a, g->n, struct sums);
    for (size_t k = 0; k < f->n_wells; k++) {
        size_t group = f->well[order[k]].group[kind];
        if (group < g->n)
            add_well(&sums[group], &out->well[order[k]]);
    }
    for (size_t i = 0; i < g->n; i++)
        add_caps(out, &g->group[i].caps, &sums[i],
                 (struct plan_limit){
                     .scope = (int)kind,
                     .group = i,
                     .name = g->group[i].name,
                 });
}

/* A way out or in that there is, and that ends somewhere. */
static bool is_some(double most_sm3s)
{
    return most_sm3s > 0 && isfinite(most_sm3s);
}

static double electric_power_w(const struct field *f, const struct plan *p)
{
    double sum_w = 0;
    for (size_t i = 0; i < p->n_units; i++)
        if (f->station.compressor[i].electric)
            sum_w += p->unit[i].load.power_w;
    return sum_w;
}

static double running_capacity(const struct field *f, const struct plan *p)
{
    double sum_sm3s = 0;
    for (size_t i = 0; i < p->n_units; i++)
        if (p->unit[i].load.runs)
            sum_sm3s += f->station.compressor[i].capacity_sm3s;
    return sum_sm3s;
}

static void fill_limits(const struct field *f, const struct plan_options *o,
                        struct arena *a, struct plan *out)
{
    const struct gas_balance *b = &out->balance;
    const struct field_station *s = &f->station;
    const size_t *order = order_wells(f, a);
    size_t n = PLAN_LIMIT_MOVES + 1 + N_CAP_KINDS;
    for (int k = 0; k < N_GROUP_KINDS; k++)
        n += N_CAP_KINDS * f->groups[k].n;
    out->limit = ARENA_NEW(a, n, struct plan_limit);

    struct sums sums = {0};
    for (size_t k = 0; k < f->n_wells; k++)
        add_well(&sums, &out->well[order[k]]);
    add_caps(out, &f->limits.caps, &sums,
             (struct plan_limit){.scope = N_GROUP_KINDS, .name = ""});
    for (int k = 0; k < N_GROUP_KINDS; k++)
        add_groups(f, (enum group_kind)k, order, a, out);
    add_field_limit(s->has_compressors, out, PLAN_LIMIT_COMPRESSION,
                    b->compressed, running_capacity(f, out));
    add_field_limit(isfinite(s->power_max_w), out, PLAN_LIMIT_POWER,
                    electric_power_w(f, out), s->power_max_w);
    add_field_limit(f->sales.min_sm3s > 0, out, PLAN_LIMIT_SALES_MIN, b->sales,
                    f->sales.min_sm3s);
    add_field_limit(isfinite(f->sales.max_sm3s), out, PLAN_LIMIT_SALES_MAX,
                    b->sales, f->sales.max_sm3s);
    add_field_limit(is_some(f->market.max_sm3s), out, PLAN_LIMIT_PURCHASE,
                    b->bought, f->market.max_sm3s);
    add_field_limit(is_some(s->flare_max_sm3s), out, PLAN_LIMIT_FLARE, b->flare,
                    s->flare_max_sm3s);
    add_field_limit(o->oil_target_sm3s > 0, out, PLAN_LIMIT_OIL_TARGET,
                    out->oil_sm3s, o->oil_target_sm3s);
}

static double value_of(const struct plan *p)
{
    switch (p->objective) {
    case PLAN_OIL:
        return p->oil_sm3s;
    case PLAN_MONEY:
        return p->money_s;
    case PLAN_GAS:
        break;
    }
    return -p->balance.lift;
}

void account_fill(const struct field *f, const struct curve *curves,
                  const struct plan_options *o,
                  const struct account_rates *rates, struct arena *a,
                  struct plan *out)
{
    *out = (struct plan){
        .outcome = PLAN_STOPPED,
        .objective = o->objective,
        .oil_target_sm3s = o->oil_target_sm3s,
        .bound = (double)INFINITY,
        .gap = (double)INFINITY,
    };
    fill_wells(f, curves, rates, a, out);
    out->balance.bought = rates->balance.bought;
    out->balance.sales = rates->balance.sales;
    out->balance.flare = rates->balance.flare;
    settle_station(f, rates->load, a, out);
    out->money_s = money(f, out);
    out->value = value_of(out);
    fill_limits(f, o, a, out);
}

void plan_at_rates(const struct field *f, const struct curve *curves,
                   const double *gas_sm3s, struct arena *a, struct plan *out,
                   size_t *n_beyond)
{
    *n_beyond = 0;
    for (size_t i = 0; i < f->n_wells; i++)
        if (gas_sm3s[i] > curves[i].gas_max_sm3s &&
            f->well[i].reading.status != WELL_DOWN)
            ++*n_beyond;
    struct plan_options o = plan_options_default();
    struct account_rates rates = {
        .gas_sm3s = gas_sm3s,
        .balance = {.sales = f->sales.min_sm3s},
    };
    account_fill(f, curves, &o, &rates, a, out);
}
