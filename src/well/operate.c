/* Inflow less outflow pressure is scanned over the rates that the reservoir
 * can give; every change of sign is closed by a root, and a hump that stays
 * below zero between scan points is looked at from the top. */
#include "well/operate.h"

#include <math.h>

#include "num/root.h"
#include "num/tol.h"
#include "well/valve_string.h"

/* Points of the scan: enough that a hump of outflow pressure (it has one or
 * two) cannot hide between three of them. */
#define SCAN 20

/* A pressure beyond the correlations, met at rates far above any crossing:
 * counts as more than the reservoir has. */
#define P_BEYOND_PA 2e8

struct excess {
    const struct well *well;
    double lift_sm3s, outflow_factor;
    int traverses;
    struct march_count count;
    struct traverse last;
    struct err *err;
};

static double excess_pa(double liquid_sm3s, void *context)
{
    struct excess *e = context;
    struct traverse t;
    enum status st = string_outflow(e->well, liquid_sm3s, e->lift_sm3s, &t,
                                    NULL, NULL, e->err);
    double p_in = inflow_pressure_pa(&e->well->inflow, liquid_sm3s);

    e->traverses++;
    e->count.calls += t.count.calls;
    e->count.steps += t.count.steps;
    e->count.rejected += t.count.rejected;
    e->count.events += t.count.events;
    e->last = t;
    if (st == ST_RANGE && t.p_bottom_pa > 0.5 * P_BEYOND_PA)
        return p_in - P_BEYOND_PA;
    if (st != ST_OK)
        return (double)NAN;
    return p_in - e->outflow_factor * t.p_bottom_pa;
}

enum status operate_excess(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, double *excess, struct traverse *t,
                           struct err *err)
{
    struct excess e = {
        .well = w, .lift_sm3s = lift_sm3s, .outflow_factor = 1, .err = err};

    *excess = excess_pa(liquid_sm3s, &e);
    if (t)
        *t = e.last;
    return isnan(*excess) ? ST_NUMERIC : ST_OK;
}

struct scan {
    struct excess *e;
    struct operating *out;
    bool only_highest;
};

static enum status add_crossing(struct scan *s, struct root_end a,
                                struct root_end b)
{
    struct operating *out = s->out;
    struct root r;
    enum status st =
        root_find(excess_pa, s->e, a, b, TOL_RATE_REL * b.x, &r, s->e->err);

    if (st != ST_OK || out->n == OPERATE_MAX)
        return st;
    /* The root's own traverse need not be the last one called. */
    excess_pa(r.x, s->e);
    out->crossing[out->n++] = (struct crossing){
        r.x, s->e->last.p_bottom_pa, s->e->last.p_inject_pa, a.f > 0};
    return ST_OK;
}

static bool is_hump_below_zero(const struct root_end p[3])
{
    return p[0].f < 0 && p[1].f < 0 && p[2].f < 0 && p[1].f > p[0].f &&
           p[1].f > p[2].f;
}

/* Three points of the scan with the middle one highest and all below zero:
 * two crossings may hide there. */
static enum status look_at_hump(struct scan *s, const struct root_end p[3])
{
    struct root top;
    enum status st = root_hump(excess_pa, s->e, p[0].x, p[2].x,
                               TOL_HUMP_REL * p[2].x, &top, s->e->err);

    if (st != ST_OK || top.f <= 0)
        return st;
    struct root_end peak = {top.x, top.f};
    st = add_crossing(s, peak, p[2]);
    return st == ST_OK ? add_crossing(s, p[0], peak) : st;
}

/* From the greatest rate down, so that the stable crossing of highest rate is
 * met first. */
static enum status scan_rates(struct scan *s, double q_max)
{
    struct root_end p[3] = {{0}};

    for (int i = SCAN; i >= 0; i--) {
        double part = (double)i / SCAN;
        enum status st = ST_OK;

        p[2] = p[1];
        p[1] = p[0];
        p[0].x = q_max * (TOL_RATE_FLOOR +
                          (TOL_RATE_CEILING - TOL_RATE_FLOOR) * part * part);
        p[0].f = excess_pa(p[0].x, s->e);
        if (isnan(p[0].f))
            return ST_NUMERIC;
        if (i < SCAN && (p[0].f > 0) != (p[1].f > 0))
            st = add_crossing(s, p[0], p[1]);
        else if (i < SCAN - 1 && is_hump_below_zero(p))
            st = look_at_hump(s, p);
        if (st != ST_OK || (s->only_highest && s->out->n > 0))
            return st;
    }
    return ST_OK;
}

static void rising(struct operating *o)
{
    for (int i = 0, j = o->n - 1; i < j; i++, j--) {
        struct crossing swap = o->crossing[i];

        o->crossing[i] = o->crossing[j];
        o->crossing[j] = swap;
    }
    for (int i = 0; i < o->n; i++)
        if (o->crossing[i].stable)
            o->stable = i;
}

static enum status operate(struct excess *e, bool only_highest,
                           struct operating *out)
{
    struct scan s = {e, out, only_highest};

    *out = (struct operating){.stable = -1};
    double q_max = inflow_max_sm3s(&e->well->inflow);
    if (!(q_max >= 0))
        return err_set(e->err, ST_RANGE,
                       "the inflow at no pressure is not a number");
    enum status st = q_max > 0 ? scan_rates(&s, q_max) : ST_OK;
    rising(out);
    out->traverses = e->traverses;
    out->count = e->count;
    return st;
}

enum status operate_at(const struct well *w, double lift_sm3s,
                       struct operating *out, struct err *err)
{
    struct excess e = {
        .well = w, .lift_sm3s = lift_sm3s, .outflow_factor = 1, .err = err};

    return operate(&e, false, out);
}

enum status operate_highest(const struct well *w, double lift_sm3s,
                            double outflow_factor, struct operating *out,
                            struct err *err)
{
    struct excess e = {.well = w,
                       .lift_sm3s = lift_sm3s,
                       .outflow_factor = outflow_factor,
                       .err = err};

    return operate(&e, true, out);
}
