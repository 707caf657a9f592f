#include "stands.h"

#include <math.h>

#include "account.h"
#include "base/arena.h"
#include "num/tol.h"

/* A part of a line so near to an end that only rounding keeps it off. */
static double snapped(double part)
{
    if (part < TOL_PLAN_SNAP)
        return 0;
    return part > 1 - TOL_PLAN_SNAP ? 1 : part;
}

static double gas_between(const struct use *a, const struct use *b, double part)
{
    part = snapped(part);
    return part == 1 ? b->gas : a->gas + part * (b->gas - a->gas);
}

/* Least gas on a chain that makes the oil. */
static double gas_for_oil(const struct mode *mode, double oil)
{
    const struct use *p = mode->point;
    size_t last = mode->n - 1;
    oil -= TOL_PLAN_ROUND * p[last].oil;
    for (size_t k = 0; k < last; k++) {
        double rise = p[k + 1].oil - p[k].oil;
        if (oil <= p[k].oil)
            return p[k].gas;
        if (oil < p[k + 1].oil)
            return gas_between(&p[k], &p[k + 1], (oil - p[k].oil) / rise);
    }
    return p[last].gas;
}

double stand_gas(const struct mode *mode, const struct stand *s)
{
    const struct use *p = mode->point;
    if (mode->n == 1)
        return p[0].gas;
    if (!mode->is_chain)
        return gas_between(&p[0], &p[1],
                           (s->use.gas - p[0].gas) / (p[1].gas - p[0].gas));
    /* Never more than the solver counted: it may have mixed a chain's kinks,
     * or its oil may be off in the last digits where the chain is flat. */
    double mixed = fmax(s->use.gas, p[0].gas);
    double gas = gas_for_oil(mode, s->use.oil);
    return gas <= mixed + TOL_PLAN_SNAP * p[mode->n - 1].gas ? gas : mixed;
}

/* Between its bounds, from which rounding may have kept it. */
static double flow_of(const struct problem *p, const struct stands *s, size_t k)
{
    return fmin(fmax(s->column[k], p->column[k].low), p->column[k].high);
}

/* The station's flows, by unit of the problem, as loads of the field's. */
static struct unit_load *loads_of(const struct problem *p,
                                  const struct stands *s, struct arena *a)
{
    const struct field_station *station = &p->field->station;
    struct unit_load *load =
        ARENA_NEW(a, station->n_compressors, struct unit_load);
    for (size_t u = 0; u < p->n_units && station->has_compressors; u++) {
        size_t k = COLUMN_UNIT + 2 * u;
        if (s->unit_runs[u])
            load[p->unit[u].compressor] = (struct unit_load){
                .runs = true,
                .through_sm3s = flow_of(p, s, k) * p->units.gas_sm3s,
                .recycled_sm3s = flow_of(p, s, k + 1) * p->units.gas_sm3s,
            };
    }
    return load;
}

void stands_plan(const struct problem *p, const struct stands *s,
                 struct arena *a, struct plan *out)
{
    double *gas_sm3s = ARENA_NEW(a, p->n_wells, double);
    bool *shut = ARENA_NEW(a, p->n_wells, bool);
    for (size_t i = 0; i < p->n_wells; i++) {
        const struct menu *menu = &p->bidder[i].menu;
        const struct mode *mode = &menu->mode[s->stand[i].mode];
        gas_sm3s[menu->well] =
            stand_gas(mode, &s->stand[i]) * p->units.gas_sm3s;
        shut[menu->well] = mode->shut;
    }
    double unit = p->units.gas_sm3s;
    struct account_rates rates = {
        .gas_sm3s = gas_sm3s,
        .shut = shut,
        .balance = {.sales = s->column[COLUMN_SALES] * unit,
                    .bought = s->column[COLUMN_BOUGHT] * unit,
                    .flare = s->column[COLUMN_FLARE] * unit},
        .load = loads_of(p, s, a),
    };
    account_fill(p->field, p->curves, p->options, &rates, a, out);
}
