#include "well/working.h"

#include <math.h>

#include "num/root.h"
#include "num/tol.h"
#include "well/operate.h"

/* Step in liquid rate on the way from gas at one station to gas at several,
 * and the least part of it that is looked at. */
#define LIQUID_STEP 0.95
#define LIQUID_LEAST 0.2

enum status working_single(const struct well *w, double gas_sm3s,
                           struct working *out, struct err *err)
{
    struct operating o;
    struct traverse t;
    enum status st = operate_highest(w, gas_sm3s, 1, &o, err);

    *out = (struct working){.flows = st == ST_OK && o.stable >= 0,
                            .traverses = o.traverses,
                            .count = o.count};
    if (!out->flows)
        return st;
    out->liquid_sm3s = o.crossing[o.stable].liquid_sm3s;
    st = string_single(w, out->liquid_sm3s, gas_sm3s, &t, &out->gas, err);
    march_count_add(&out->count, &t.count);
    out->traverses++;
    return st;
}

struct sharing {
    const struct well *well;
    double gas_sm3s;
    struct string_state state;
    struct err *err;
    enum status status;
};

/* Inflow less outflow pressure with the gas where the valves let it in. */
static double shared_excess(double liquid_sm3s, void *context)
{
    struct sharing *s = context;
    struct traverse t;

    s->status = string_outflow(s->well, liquid_sm3s, s->gas_sm3s, &t, &s->state,
                               s->err);
    if (s->status != ST_OK)
        return (double)NAN;
    return inflow_pressure_pa(&s->well->inflow, liquid_sm3s) - t.p_bottom_pa;
}

/* Down from liquid until inflow wins. False: it does not, or a fault. */
static bool bracket(struct sharing *s, double liquid, struct root_end *lo,
                    struct root_end *hi)
{
    double least = LIQUID_LEAST * liquid;

    /* What is found there is found again: the search starts beside it. */
    hi->x = liquid / LIQUID_STEP;
    hi->f = shared_excess(hi->x, s);
    while (hi->x > least && s->status == ST_OK) {
        lo->x = LIQUID_STEP * hi->x;
        lo->f = shared_excess(lo->x, s);
        if (lo->f > 0 && hi->f <= 0)
            return true;
        *hi = *lo;
    }
    return false;
}

enum status working_shared(const struct well *w, double gas_sm3s,
                           struct working *out, struct err *err)
{
    struct sharing s = {
        .well = w, .gas_sm3s = gas_sm3s, .err = err, .status = ST_OK};
    struct root_end lo, hi;
    struct root r;
    enum status st = working_single(w, gas_sm3s, out, err);

    if (st != ST_OK || !out->flows || !(out->gas.to_open_pa < 0))
        return st;
    out->flows = bracket(&s, out->liquid_sm3s, &lo, &hi);
    if (!out->flows)
        return s.status;
    st = root_find(shared_excess, &s, lo, hi, TOL_WORKING_REL * hi.x, &r, err);
    if (st != ST_OK)
        return s.status != ST_OK ? s.status : st;
    out->flows = fabs(shared_excess(r.x, &s)) <= TOL_WORKING_PA;
    out->liquid_sm3s = r.x;
    out->gas = s.state;
    return s.status;
}
