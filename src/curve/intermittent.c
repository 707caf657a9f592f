/* Both rates follow from the slug. Gas per liquid falls as the slug grows, so
 * that the longer of two slugs that take the same gas a day makes more oil;
 * the curve therefore keeps to the slugs longer than the one that takes the
 * most gas, along which gas rises as the slug shrinks. */
#include "curve/intermittent.h"

#include <math.h>
#include <stdbool.h>

#include "base/arena.h"
#include "base/units.h"
#include "num/root.h"
#include "num/tol.h"

/* Fewest cycles a day that are considered: common practice, no source. */
#define PERIOD_MOST_S UNIT_DAY_S
/* The shortest slug that is considered, as a part of the longest, where lift
 * and blow-down leave no time for another limit. */
#define SLUG_LEAST 1e-3
/* Times that a piece is halved whatever it looks like: a chord may meet a bent
 * curve in its middle once. */
#define HALVINGS_LEAST 2

struct builder {
    const struct intermittent_well *well;
    struct intermittent_cycle *cycle; /* [CURVE_POINTS] rising in gas */
    size_t n;
    double near_sm3s; /* of liquid, how near a chord must be */
    double sought_sm3s;
    struct err *err;
    enum status status; /* first failure; everything stops on it */
};

static struct intermittent_cycle cycle_of(struct builder *b, double slug_m)
{
    struct intermittent_cycle c = {.slug_m = slug_m};

    if (b->status == ST_OK)
        b->status = intermittent_of_slug(b->well, slug_m, &c, b->err);
    return c;
}

/* NaN after a failure: ends a search. */
static double gas_of_slug(double slug_m, void *context)
{
    struct builder *b = context;
    struct intermittent_cycle c = cycle_of(b, slug_m);

    return b->status == ST_OK ? c.gas_sm3s : (double)NAN;
}

static double liquid_of_slug(double slug_m, void *context)
{
    struct builder *b = context;
    struct intermittent_cycle c = cycle_of(b, slug_m);

    return b->status == ST_OK ? c.liquid_sm3s : (double)NAN;
}

static double gas_over(double slug_m, void *context)
{
    struct builder *b = context;

    return gas_of_slug(slug_m, b) - b->sought_sm3s;
}

/* The slug between two that takes the sought gas. */
static double slug_of_gas(struct builder *b, double gas_sm3s, double shorter_m,
                          double longer_m)
{
    struct root r = {.x = longer_m};

    b->sought_sm3s = gas_sm3s;
    struct root_end lo = {shorter_m, gas_over(shorter_m, b)};
    struct root_end hi = {longer_m, gas_over(longer_m, b)};
    if (b->status == ST_OK)
        b->status =
            root_find(gas_over, b, lo, hi, TOL_SLUG_REL * longer_m, &r, b->err);
    return r.x;
}

/* Where f is greatest between two slugs: inside or at an end. */
static double slug_of_most(struct builder *b, root_function *f,
                           double shorter_m, double longer_m)
{
    double at_short = f(shorter_m, b), at_long = f(longer_m, b);
    struct root top = {.x = longer_m};

    if (b->status == ST_OK)
        b->status = root_hump(f, b, shorter_m, longer_m,
                              TOL_PEAK_REL * longer_m, &top, b->err);
    if (top.f > fmax(at_short, at_long))
        return top.x;
    return at_short > at_long ? shorter_m : longer_m;
}

/* --- the ends ------------------------------------------------------------- */

/* Longest slug of the curve; 0 when none can be lifted in the time there is.
 * *why_no_less: what becomes of a longer one. */
static double find_start(struct builder *b,
                         enum intermittent_outcome *why_no_less)
{
    const struct intermittent_well *x = b->well;
    struct intermittent_cycle c = {0};

    if (b->status == ST_OK)
        b->status = intermittent_of_period(x, PERIOD_MOST_S, &c, b->err);
    bool is_heavy = c.outcome == INTERMITTENT_TOO_HEAVY;
    double longest_m = is_heavy ? x->slug_most_m : c.slug_m;

    *why_no_less =
        c.outcome == INTERMITTENT_LIFTS ? INTERMITTENT_NO_SLUG : c.outcome;
    return longest_m > 0 && cycle_of(b, longest_m).period_s > x->period_least_s
               ? longest_m
               : 0;
}

/* Shortest slug of the curve. */
static double find_end(struct builder *b, double longest_m)
{
    struct intermittent_cycle c = {0};

    if (b->status == ST_OK)
        b->status = intermittent_of_period(b->well, b->well->period_least_s, &c,
                                           b->err);
    return slug_of_most(b, gas_of_slug, fmax(c.slug_m, SLUG_LEAST * longest_m),
                        longest_m);
}

/* --- the points ----------------------------------------------------------- */

static void add(struct builder *b, const struct intermittent_cycle *c)
{
    bool rises = b->n == 0 || c->gas_sm3s > b->cycle[b->n - 1].gas_sm3s;

    if (b->status == ST_OK && rises && b->n < CURVE_POINTS)
        b->cycle[b->n++] = *c;
}

/* Adds what is needed after few, up to and with many. */
static void add_up_to(struct builder *b, const struct intermittent_cycle *few,
                      const struct intermittent_cycle *many, int halvings)
{
    struct intermittent_cycle mid =
        cycle_of(b, 0.5 * (few->slug_m + many->slug_m));
    double run = many->gas_sm3s - few->gas_sm3s;
    double part = run > 0 ? (mid.gas_sm3s - few->gas_sm3s) / run : 0.5;
    double chord =
        few->liquid_sm3s + part * (many->liquid_sm3s - few->liquid_sm3s);
    bool is_near = fabs(mid.liquid_sm3s - chord) <= b->near_sm3s;

    if (b->status == ST_OK && (halvings < HALVINGS_LEAST || !is_near) &&
        run > TOL_CURVE_GAS * many->gas_sm3s) {
        add_up_to(b, few, &mid, halvings + 1);
        add_up_to(b, &mid, many, halvings + 1);
    } else {
        add(b, many);
    }
}

static void add_all(struct builder *b, double longest_m, double shortest_m)
{
    double peak_m = slug_of_most(b, liquid_of_slug, shortest_m, longest_m);
    struct intermittent_cycle few = cycle_of(b, longest_m);
    struct intermittent_cycle many = cycle_of(b, shortest_m);
    struct intermittent_cycle peak = cycle_of(b, peak_m);

    /* Half: the middle is not always where a chord is farthest off. */
    b->near_sm3s = 0.5 * TOL_CURVE_PEAK * peak.liquid_sm3s;
    add(b, &few);
    add_up_to(b, &few, &peak, 0);
    add_up_to(b, &peak, &many, 0);
}

static void write_curve(const struct builder *b, struct arena *a,
                        struct curve *c)
{
    double *column[8];

    for (size_t k = 0; k < 8; k++)
        column[k] = ARENA_NEW(a, b->n, double);
    for (size_t i = 0; i < b->n; i++) {
        const struct intermittent_cycle *at = &b->cycle[i];
        struct stream made = well_stream(b->well->well, at->liquid_sm3s, 0);
        /* The last one may be off the limit by rounding. */
        double gas_sm3s = fmin(at->gas_sm3s, c->gas_max_sm3s);
        double row[8] = {gas_sm3s,
                         made.oil_sm3s,
                         made.water_sm3s,
                         made.gas_sm3s,
                         at->p_bottom_mean_pa,
                         at->p_valve_pa,
                         b->well->p_casing_pa,
                         (double)INFINITY};

        for (size_t k = 0; k < 8; k++)
            column[k][i] = row[k];
        c->peak = column[1][i] > column[1][c->peak] ? i : c->peak;
    }
    c->n = b->n;
    c->gas_sm3s = column[0];
    c->oil_sm3s = column[1];
    c->water_sm3s = column[2];
    c->formation_sm3s = column[3];
    c->p_bottom_pa = column[4];
    c->p_inject_pa = column[5];
    c->p_casing_pa = column[6];
    c->steady = column[7];
    c->gas_min_sm3s = c->gas_sm3s[0];
    c->gas_max_sm3s = c->gas_sm3s[c->n - 1];
    c->tolerance_sm3s = TOL_CURVE_PEAK * c->oil_sm3s[c->peak];
}

/* --- what others call ----------------------------------------------------- */

enum status curve_build_intermittent(const struct well *w,
                                     const struct intermittent *m,
                                     double gas_max_sm3s, struct arena *a,
                                     struct curve *out, struct err *err)
{
    struct intermittent_cycle cycle[CURVE_POINTS];
    struct intermittent_well x;
    struct builder b = {.well = &x, .cycle = cycle, .err = err};
    enum intermittent_outcome why_no_less;

    if (!(gas_max_sm3s >= 0 && isfinite(gas_max_sm3s)))
        return err_set(err, ST_RANGE, "well %s: a curve up to %g Sm3/s of gas",
                       w->name, gas_max_sm3s);
    *out = (struct curve){.well = w->name,
                          .source = CURVE_MODEL,
                          .p_head_pa = w->p_head_pa,
                          .gas_max_sm3s = gas_max_sm3s,
                          .operating = w->operating};
    b.status = intermittent_prepare(w, m, &x, err);
    if (b.status != ST_OK || w->water_cut >= 1)
        return b.status;
    double longest_m = find_start(&b, &why_no_less);
    if (why_no_less == INTERMITTENT_TOO_HEAVY)
        out->start = CURVE_START_CASING;
    if (!(longest_m > 0) || !(gas_of_slug(longest_m, &b) <= gas_max_sm3s))
        return b.status;
    double shortest_m = find_end(&b, longest_m);
    out->end = CURVE_END_CYCLES;
    if (gas_of_slug(shortest_m, &b) > gas_max_sm3s) {
        out->end = CURVE_END_MAXIMUM;
        shortest_m = slug_of_gas(&b, gas_max_sm3s, shortest_m, longest_m);
    }
    add_all(&b, longest_m, shortest_m);
    if (b.status == ST_OK)
        write_curve(&b, a, out);
    return b.status;
}

enum status curve_cycle_at(const struct well *w, const struct intermittent *m,
                           double gas_sm3s, struct intermittent_cycle *out,
                           struct err *err)
{
    struct intermittent_well x;
    struct builder b = {.well = &x, .err = err};
    enum intermittent_outcome why_no_less;

    b.status = intermittent_prepare(w, m, &x, err);
    if (b.status != ST_OK)
        return b.status;
    double slug_m = find_start(&b, &why_no_less);
    *out = (struct intermittent_cycle){.outcome = why_no_less};
    if (!(slug_m > 0))
        return b.status;
    double least_sm3s = gas_of_slug(slug_m, &b);
    if (!(gas_sm3s >= least_sm3s * (1 - TOL_SAME_RATE)))
        return b.status;
    double shortest_m = find_end(&b, slug_m);
    if (!(gas_sm3s < gas_of_slug(shortest_m, &b)))
        slug_m = shortest_m;
    else if (gas_sm3s > least_sm3s)
        slug_m = slug_of_gas(&b, gas_sm3s, shortest_m, slug_m);
    struct intermittent_cycle c = cycle_of(&b, slug_m);
    if (b.status == ST_OK)
        *out = c;
    return b.status;
}
