#include "account.h"

#include <math.h>
#include <stdint.h>

#include "menu.h"
#include "order.h"
#include "num/tol.h"

/* Move one flow by at most what closes the balance, within low and high.
 * `gain` is what a unit of the flow adds to the balance. */
static void shift(const struct field *f, struct gas_balance *b, double *flow,
                  double gain, double low, double high)
{
    balance_close(f, b);
    double wanted = *flow - b->error / gain;
    /* A flow that starts outside its limits is not pushed further out. */
    low = fmin(low, *flow);
    high = fmax(high, *flow);
    *flow = fmin(fmax(wanted, low), high);
}

/* The most that may be sold before the compressors are full. */
static double sales_room(const struct field *f, const struct gas_balance *b,
                         const struct balance_factors *k)
{
    double room = f->sales.max_sm3s;
    if (k->sales_part > 0)
        room = fmin(room, field_capacity_sm3s(f) / k->gross - b->lift +
                              k->bought_part * b->bought);
    return fmax(room, b->sales);
}

void account_settle(const struct field *f, struct gas_balance *b)
{
    struct balance_factors k = balance_factors(f);
    double fuel = f->station.fuel_fraction * k.gross;
    double sold = -1 - fuel * k.sales_part;
    double bought = 1 + fuel * k.bought_part;
    double all = (double)INFINITY;

    balance_close(f, b);
    if (b->error > 0) {
        shift(f, b, &b->bought, bought, 0, b->bought);
        shift(f, b, &b->sales, sold, 0, sales_room(f, b, &k));
        shift(f, b, &b->flare, -1, 0, all);
    } else {
        shift(f, b, &b->flare, -1, 0, b->flare);
        shift(f, b, &b->sales, sold, f->sales.min_sm3s, b->sales);
        shift(f, b, &b->bought, bought, 0, f->market.max_sm3s);
        shift(f, b, &b->sales, sold, 0, b->sales);
        shift(f, b, &b->bought, bought, 0, all);
    }
    balance_close(f, b);
}

static void fill_wells(const struct field *f, const struct curve *curves,
                       const double *gas_sm3s, struct arena *a,
                       struct plan *out)
{
    const size_t *order = order_wells(f, a);
    out->n_wells = f->n_wells;
    out->well = ARENA_NEW(a, f->n_wells, struct plan_well);
    for (size_t k = 0; k < f->n_wells; k++) {
        size_t i = order[k];
        struct curve_point at = {0};
        if (f->well[i].reading.status != WELL_DOWN)
            at = menu_point_at(&curves[i], gas_sm3s[i]);
        double change_sm3s = at.gas_sm3s - field_well_now_sm3s(&f->well[i]);
        struct plan_well *w = &out->well[i];
        *w = (struct plan_well){
            .gas_sm3s = at.gas_sm3s,
            .oil_sm3s = at.oil_sm3s,
            .water_sm3s = at.water_sm3s,
            .formation_sm3s = at.formation_sm3s,
            .moved = fabs(change_sm3s) > TOL_MOVE_SM3S,
        };
        out->oil_sm3s += w->oil_sm3s;
        out->water_sm3s += w->water_sm3s;
        out->balance.lift += w->gas_sm3s;
        out->balance.formation += w->formation_sm3s;
        out->n_moves += w->moved;
    }
}

static double money(const struct field *f, const struct plan *p)
{
    const struct field_prices *price = &f->prices;
    const struct gas_balance *b = &p->balance;
    if (!price->given)
        return 0;
    return p->oil_sm3s * price->oil_sm3 - p->water_sm3s * price->water_sm3 +
           b->sales * f->sales.price_sm3 - b->bought * f->market.price_sm3 -
           b->compressed * price->compression_sm3;
}

/* A minimum binds from the other side. */
static void add_limit(struct plan *out, enum plan_limit_kind kind,
                      const char *name, double used, double bound)
{
    double near = TOL_LIMIT_REL * fmax(fabs(bound), TOL_LIMIT_SM3S);
    out->limit[out->n_limits++] = (struct plan_limit){
        .kind = kind,
        .name = name,
        .used = used,
        .bound = bound,
        .binding = kind == PLAN_LIMIT_SALES_MIN ? used <= bound + near
                                                : used >= bound - near,
    };
}

static void add_limit_if(bool is_set, struct plan *out,
                         enum plan_limit_kind kind, double used, double bound)
{
    if (is_set)
        add_limit(out, kind, "", used, bound);
}

static void fill_manifolds(const struct field *f, struct arena *a,
                           struct plan *out)
{
    double *used = ARENA_NEW(a, f->groups[GROUP_MANIFOLD].n, double);
    const size_t *order = order_wells(f, a);
    for (size_t k = 0; k < f->n_wells; k++)
        used[f->well[order[k]].group[GROUP_MANIFOLD]] +=
            out->well[order[k]].gas_sm3s;
    for (size_t m = 0; m < f->groups[GROUP_MANIFOLD].n; m++) {
        const struct field_group *manifold =
            &f->groups[GROUP_MANIFOLD].group[m];
        if (isfinite(manifold->caps.lift_sm3s))
            add_limit(out, PLAN_LIMIT_MANIFOLD, manifold->name, used[m],
                      manifold->caps.lift_sm3s);
    }
}

/* A way out or in that there is, and that ends somewhere. */
static bool is_some(double most_sm3s)
{
    return most_sm3s > 0 && isfinite(most_sm3s);
}

static void fill_limits(const struct field *f, struct arena *a,
                        struct plan *out)
{
    const struct gas_balance *b = &out->balance;
    const struct field_limits *l = &f->limits;
    double liquid = out->oil_sm3s + out->water_sm3s;
    out->limit =
        ARENA_NEW(a, PLAN_LIMIT_MOVES + 1 + f->groups[GROUP_MANIFOLD].n,
                  struct plan_limit);

    add_limit_if(isfinite(l->caps.lift_sm3s), out, PLAN_LIMIT_LIFT, b->lift,
                 l->caps.lift_sm3s);
    fill_manifolds(f, a, out);
    add_limit_if(f->station.has_compressors, out, PLAN_LIMIT_COMPRESSION,
                 b->compressed, field_capacity_sm3s(f));
    add_limit_if(isfinite(l->caps.liquid_sm3s), out, PLAN_LIMIT_LIQUID, liquid,
                 l->caps.liquid_sm3s);
    add_limit_if(isfinite(l->caps.water_sm3s), out, PLAN_LIMIT_WATER,
                 out->water_sm3s, l->caps.water_sm3s);
    add_limit_if(f->sales.min_sm3s > 0, out, PLAN_LIMIT_SALES_MIN, b->sales,
                 f->sales.min_sm3s);
    add_limit_if(isfinite(f->sales.max_sm3s), out, PLAN_LIMIT_SALES_MAX,
                 b->sales, f->sales.max_sm3s);
    add_limit_if(is_some(f->market.max_sm3s), out, PLAN_LIMIT_PURCHASE,
                 b->bought, f->market.max_sm3s);
    add_limit_if(is_some(f->station.flare_max_sm3s), out, PLAN_LIMIT_FLARE,
                 b->flare, f->station.flare_max_sm3s);
    add_limit_if(l->caps.moves != SIZE_MAX, out, PLAN_LIMIT_MOVES,
                 (double)out->n_moves, (double)l->caps.moves);
}

void account_fill(const struct field *f, const struct curve *curves,
                  enum plan_objective objective, const double *gas_sm3s,
                  struct gas_balance b, struct arena *a, struct plan *out)
{
    *out = (struct plan){
        .outcome = PLAN_STOPPED,
        .objective = objective,
        .bound = (double)INFINITY,
        .gap = (double)INFINITY,
    };
    fill_wells(f, curves, gas_sm3s, a, out);
    b.lift = out->balance.lift;
    b.formation = out->balance.formation;
    account_settle(f, &b);
    out->balance = b;
    out->money_s = money(f, out);
    out->value = objective == PLAN_MONEY ? out->money_s : out->oil_sm3s;
    fill_limits(f, a, out);
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
    struct gas_balance b = {.sales = f->sales.min_sm3s};
    account_fill(f, curves, PLAN_OIL, gas_sm3s, b, a, out);
}
