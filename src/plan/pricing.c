#include "pricing.h"

#include <math.h>
#include <stdint.h>

size_t pricing_row(const struct problem *p, const struct plan_limit *l)
{
    static const int FIELD_ROW[] = {
        [PLAN_LIMIT_LIFT] = ROW_LIFT,   [PLAN_LIMIT_LIQUID] = ROW_LIQUID,
        [PLAN_LIMIT_WATER] = ROW_WATER, [PLAN_LIMIT_GAS] = ROW_GAS,
        [PLAN_LIMIT_POWER] = ROW_POWER, [PLAN_LIMIT_OIL_TARGET] = ROW_TARGET,
        [PLAN_LIMIT_MOVES] = ROW_MOVES,
    };
    static const bool IS_FLOW[PLAN_LIMIT_MOVES + 1] = {
        [PLAN_LIMIT_COMPRESSION] = true, [PLAN_LIMIT_SALES_MIN] = true,
        [PLAN_LIMIT_SALES_MAX] = true,   [PLAN_LIMIT_PURCHASE] = true,
        [PLAN_LIMIT_FLARE] = true,
    };
    if (IS_FLOW[l->kind])
        return p->n_rows;
    if (l->scope == N_GROUP_KINDS)
        return (size_t)FIELD_ROW[l->kind];
    size_t r = N_FIELD_ROWS;
    while (r < p->n_rows &&
           (p->row[r].kind != l->kind || p->row[r].scope != l->scope ||
            p->row[r].group != l->group))
        r++;
    return r;
}

/* What one more unit of the units' capacity is worth: of the running one that
 * makes most of it. */
static double capacity_price(const struct problem *p, const struct worth *w,
                             const struct plan *out)
{
    double best = 0;
    for (size_t u = 0; u < p->n_units; u++) {
        size_t i = p->unit[u].compressor;
        if (i != SIZE_MAX && out->unit[i].load.runs)
            best = fmax(best, worth_of_column(w, COLUMN_UNIT + 2 * u));
    }
    return best;
}

/* A price in SI: per unit of gas, oil or power, or per move. */
static double limit_price(const struct problem *p, const struct worth *w,
                          const struct plan *out, const struct plan_limit *l,
                          double moves_price)
{
    double per_gas = p->value_unit / p->units.gas_sm3s;
    double per_oil = p->value_unit / p->units.oil_sm3s;
    switch (l->kind) {
    case PLAN_LIMIT_COMPRESSION:
        return capacity_price(p, w, out) * per_gas;
    case PLAN_LIMIT_SALES_MIN:
        return -worth_of_column(w, COLUMN_SALES) * per_gas;
    case PLAN_LIMIT_SALES_MAX:
        return worth_of_column(w, COLUMN_SALES) * per_gas;
    case PLAN_LIMIT_PURCHASE:
        return worth_of_column(w, COLUMN_BOUGHT) * per_gas;
    case PLAN_LIMIT_FLARE:
        return worth_of_column(w, COLUMN_FLARE) * per_gas;
    case PLAN_LIMIT_LIFT:
    case PLAN_LIMIT_LIQUID:
    case PLAN_LIMIT_WATER:
    case PLAN_LIMIT_GAS:
    case PLAN_LIMIT_POWER:
    case PLAN_LIMIT_OIL_TARGET:
    case PLAN_LIMIT_MOVES:
        break;
    }
    size_t row = pricing_row(p, l);
    double price = row < p->n_rows ? w->row_price[row] : 0;
    switch ((int)l->kind) {
    case PLAN_LIMIT_LIFT:
    case PLAN_LIMIT_GAS:
        return price * per_gas;
    case PLAN_LIMIT_LIQUID:
    case PLAN_LIMIT_WATER:
        return price * per_oil;
    case PLAN_LIMIT_OIL_TARGET:
        return -price * per_oil;
    case PLAN_LIMIT_POWER:
        return price * per_gas / POWER_UNIT;
    default:
        return row == ROW_MOVES ? moves_price * p->value_unit
                                : price * p->value_unit;
    }
}

static const struct plan_limit *limit_of(const struct plan *p,
                                         enum plan_limit_kind kind)
{
    for (size_t i = 0; i < p->n_limits; i++)
        if (p->limit[i].kind == kind && p->limit[i].scope == N_GROUP_KINDS)
            return &p->limit[i];
    return NULL;
}

/* What the field's rows charge for a unit of gas: lift, compression and the
 * fuel that it takes, the balance. */
static void set_gas_price(const struct problem *p, const struct worth *w,
                          struct plan *out)
{
    double charge = (p->goal[USE_GAS] - w->use[USE_GAS]) * p->value_unit /
                    p->units.gas_sm3s;
    double oil_price = p->field->prices.oil_sm3;
    bool has_money = p->field->prices.given && oil_price > 0;
    switch (out->objective) {
    case PLAN_OIL:
        out->gas_price_oil = charge;
        break;
    case PLAN_MONEY:
        out->gas_price_oil = has_money ? charge / oil_price : 0;
        break;
    case PLAN_GAS: {
        /* The target's price is the gas of its last unit of oil. */
        const struct plan_limit *l = limit_of(out, PLAN_LIMIT_OIL_TARGET);
        out->gas_price_oil = l != NULL && l->price > 0 ? 1 / l->price : 0;
        break;
    }
    }
    out->gas_price_money = out->objective == PLAN_MONEY ? charge
                           : has_money ? out->gas_price_oil * oil_price
                                       : 0;
}

void pricing_set(const struct problem *p, double *row_price, double moves_price,
                 struct plan *out)
{
    struct worth w = worth_at(p, row_price);
    for (size_t i = 0; i < out->n_limits; i++) {
        struct plan_limit *l = &out->limit[i];
        double price = limit_price(p, &w, out, l, moves_price);
        l->price = l->binding ? fmax(price, 0) : 0;
    }
    set_gas_price(p, &w, out);
}
