#include "market.h"

#include <math.h>

void report_market(const struct report *r, const struct market *m,
                   enum report_format f, struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(
        const struct report *, const struct market *, struct strbuf *) = {
        [REPORT_TABLE] = market_table,
        [REPORT_CSV] = market_csv,
        [REPORT_JSON] = market_json,
    };
    WRITERS[f](r, m, out);
}

const struct plan *market_today(const struct market *m)
{
    return &m->by_objective[m->curve.objective];
}

const char *market_objective_key(enum plan_objective objective)
{
    static const char *const KEYS[] = {
        [PLAN_OIL] = "oil",
        [PLAN_MONEY] = "money",
        [PLAN_GAS] = "gas",
    };
    return KEYS[objective];
}

/* Gas between point i and the next; NaN when it leads nowhere. */
static double step_sm3s(const struct market_curve *c, size_t i)
{
    if (i + 1 >= c->n || c->point[i].is_impossible ||
        c->point[i + 1].is_impossible)
        return (double)NAN;
    return c->point[i + 1].gas_sm3s - c->point[i].gas_sm3s;
}

double market_oil_slope(const struct market_curve *c, size_t i)
{
    double gas_sm3s = step_sm3s(c, i);
    if (isnan(gas_sm3s))
        return gas_sm3s;
    return (c->point[i + 1].oil_sm3s - c->point[i].oil_sm3s) / gas_sm3s;
}

double market_money_slope(const struct market_curve *c, size_t i)
{
    double gas_sm3s = step_sm3s(c, i);
    if (isnan(gas_sm3s))
        return gas_sm3s;
    return (c->point[i + 1].money_s - c->point[i].money_s) / gas_sm3s;
}
