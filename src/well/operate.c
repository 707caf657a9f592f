/* Inflow less outflow pressure is scanned over the rates that the reservoir
 * can give, closer where it is near zero; every change of sign is closed by a
 * root, and where it turns back before zero the turn itself is looked at. */
#include "well/operate.h"

#include <math.h>

#include "num/root.h"
#include "num/tol.h"

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
    enum status st =
        traverse_solve(e->well, liquid_sm3s, e->lift_sm3s, &t, NULL, e->err);
    double p_in = inflow_pressure_pa(&e->well->inflow, liquid_sm3s);

    e->traverses++;
    march_count_add(&e->count, &t.count);
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
    double q_max;
    int seen;
    struct root_end last[3]; /* the points seen last, rising */
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

/* Three points on one side of zero with the middle one nearest to it: two
 * crossings may hide there. */
static bool is_turn(const struct root_end p[3])
{
    double side = p[1].f > 0 ? 1 : -1;
    double near = side * p[1].f;

    return side * p[0].f > near && side * p[2].f > near;
}

/* How far the excess is past zero as seen from one side. */
struct side {
    struct excess *e;
    double sign;
};

static double past_zero(double liquid_sm3s, void *context)
{
    struct side *s = context;

    return -s->sign * excess_pa(liquid_sm3s, s->e);
}

static enum status look_at_turn(struct scan *s, const struct root_end p[3])
{
    struct side side = {s->e, p[1].f > 0 ? 1 : -1};
    struct root top;
    enum status st = root_hump(past_zero, &side, p[0].x, p[2].x,
                               TOL_HUMP_REL * p[2].x, &top, s->e->err);

    if (st != ST_OK || top.f <= 0)
        return st;
    struct root_end turn = {top.x, -side.sign * top.f};
    st = add_crossing(s, turn, p[2]);
    return st == ST_OK ? add_crossing(s, p[0], turn) : st;
}

static bool is_done(const struct scan *s)
{
    return s->only_highest && s->out->n > 0;
}

/* The next point down: what lies between it and the ones before. */
static enum status visit(struct scan *s, struct root_end next)
{
    struct root_end *p = s->last;

    p[2] = p[1];
    p[1] = p[0];
    p[0] = next;
    s->seen++;
    if (s->seen > 1 && (p[0].f > 0) != (p[1].f > 0))
        return add_crossing(s, p[0], p[1]);
    return s->seen > 2 && is_turn(p) ? look_at_turn(s, p) : ST_OK;
}

/* Near zero the excess changes with rate by no more than this part of the
 * reservoir pressure over the rate (random wells: below 1.1 in nine of ten that
 * rise at all, 2.6 at most). What is too far from zero to get there between two
 * points is not looked at closer. */
#define STEEPEST 1.0
#define REFINE 3 /* halvings at most */

static bool may_hide(const struct scan *s, struct root_end lo,
                     struct root_end hi)
{
    double change =
        STEEPEST * s->e->well->inflow.p_res_pa * (hi.x - lo.x) / lo.x;

    return (lo.f > 0) == (hi.f > 0) && fabs(lo.f + hi.f) < change;
}

/* Down from hi, which has been visited, to lo: closer where zero may be reached
 * and left again between them. */
static enum status descend(struct scan *s, struct root_end lo,
                           struct root_end hi, int halvings)
{
    if (isnan(lo.f))
        return ST_NUMERIC;
    if (halvings == 0 || !may_hide(s, lo, hi))
        return visit(s, lo);
    struct root_end middle = {0.5 * (lo.x + hi.x), 0};
    middle.f = excess_pa(middle.x, s->e);
    enum status st = descend(s, middle, hi, halvings - 1);
    return st != ST_OK || is_done(s) ? st
                                     : descend(s, lo, middle, halvings - 1);
}

/* From the greatest rate down, so that the stable crossing of highest rate is
 * met first. */
static enum status scan_rates(struct scan *s)
{
    enum status st = ST_OK;

    for (int i = SCAN; i >= 0 && st == ST_OK && !is_done(s); i--) {
        double part = (double)i / SCAN;
        struct root_end next = {
            s->q_max * (TOL_RATE_FLOOR +
                        (TOL_RATE_CEILING - TOL_RATE_FLOOR) * part * part),
            0};

        next.f = excess_pa(next.x, s->e);
        st = descend(s, next, s->last[0], i < SCAN ? REFINE : 0);
    }
    return st;
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
    struct scan s = {.e = e,
                     .out = out,
                     .only_highest = only_highest,
                     .q_max = inflow_max_sm3s(&e->well->inflow)};

    *out = (struct operating){.stable = -1};
    if (!(s.q_max >= 0))
        return err_set(e->err, ST_RANGE,
                       "the inflow at no pressure is not a number");
    enum status st = s.q_max > 0 ? scan_rates(&s) : ST_OK;
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
