/* The casing-head pressure is worked out at every point of the curve, and
 * between two points, where a limit is crossed, at rates in between on the
 * straight line. */
#include "gas_side.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "num/root.h"
#include "num/tol.h"
#include "well/gas_path.h"
#include "well/operate.h"
#include "well/working.h"

enum column {
    GAS,
    OIL,
    WATER,
    FORMATION,
    BOTTOM,
    INJECT,
    CASING,
    STEADY,
    OPENS,
    N
};

struct table {
    const struct well *well;
    size_t n;
    double step;       /* rates nearer than this are one */
    double *column[N]; /* [n] and a spare row */
    struct curve_count *count;
    struct err *err;
    enum status status;
};

/* Enough for a rate that is a thousandth off. */
#define SETTLE_STEPS 2

/* More than any pressure of a well. */
#define FAR_PA 1e9

/* Parts of the greatest rate at which a valve is tried. */
#define REACH_TRIES 4
static const double REACH_AT[REACH_TRIES] = {0.4, 0.15, 0.7, 0.05};

static void add_count(struct curve_count *sum, int traverses,
                      const struct march_count *march)
{
    sum->traverses += traverses;
    march_count_add(&sum->march, march);
}

static double larger(const struct steadiness *s)
{
    return s->critical ? (double)INFINITY : fmax(s->f1, s->f2);
}

/* Fills row i from its rates. */
static void work_out(struct table *t, size_t i)
{
    double liquid = t->column[OIL][i] + t->column[WATER][i];
    double gas = t->column[GAS][i];
    struct string_state state;
    struct traverse tr;

    if (t->status != ST_OK)
        return;
    t->status = string_single(t->well, liquid, gas, &tr, &state, t->err);
    add_count(t->count, 1, &tr.count);
    t->column[INJECT][i] = tr.p_inject_pa;
    t->column[CASING][i] = state.p_head_pa;
    t->column[OPENS][i] = state.to_open_pa;
    /* Without a port nothing is known, and nothing is said. */
    t->column[STEADY][i] =
        t->well->n_valves > 0 ? larger(&state.steady) : (double)INFINITY;
}

/* How far the casing pressure of row i stays below what there is, Pa. */
static double to_available_pa(const struct table *t, size_t i)
{
    return gas_path_available_pa(&t->well->gas_path, t->column[GAS][i]) -
           t->column[CASING][i];
}

/* The same, and below what opens a valve above. Finite where no pressure passes
 * the rate or nothing limits it, so that a search can go by it. */
static double margin_pa(const struct table *t, size_t i)
{
    double margin = fmin(to_available_pa(t, i), t->column[OPENS][i]);

    return fmin(fmax(margin, -FAR_PA), FAR_PA);
}

static double steady_margin(const struct table *t, size_t i)
{
    return fmin(t->column[STEADY][i] - 1, 1);
}

typedef double margin_of(const struct table *t, size_t i);

/* --- a crossing between two points ---------------------------------------- */

struct crossing_search {
    struct table *table;
    margin_of *margin;
    size_t left; /* between it and the next row */
};

/* The rate at which the well works, from one that is near: secants, the last
 * of which needs no check. */
static double settle(struct table *t, double gas, double liquid)
{
    double last = liquid * (1 + TOL_HUMP_REL), f_last = 0;

    for (int i = 0; i < SETTLE_STEPS && t->status == ST_OK; i++) {
        struct traverse tr;
        double f = 0;

        if (i == 0)
            t->status =
                operate_excess(t->well, last, gas, &f_last, &tr, t->err);
        if (i == 0 && t->status == ST_OK)
            add_count(t->count, 1, &tr.count);
        if (t->status == ST_OK)
            t->status = operate_excess(t->well, liquid, gas, &f, &tr, t->err);
        if (t->status != ST_OK || f_last == f)
            break;
        add_count(t->count, 1, &tr.count);
        double next = liquid - f * (last - liquid) / (f_last - f);
        last = liquid;
        f_last = f;
        liquid = next;
    }
    return liquid;
}

/* Into the spare row, which is the one after the last. */
static void fill_between(struct table *t, size_t left, double gas)
{
    const double *at = t->column[GAS];
    double part = (gas - at[left]) / (at[left + 1] - at[left]);
    double row[CASING];

    for (size_t k = 0; k < CASING; k++) {
        const double *c = t->column[k];

        row[k] = c[left] + part * (c[left + 1] - c[left]);
    }
    double liquid = settle(t, gas, row[OIL] + row[WATER]);
    struct stream made = well_stream(t->well, liquid, 0);
    row[GAS] = gas;
    row[OIL] = made.oil_sm3s;
    row[WATER] = made.water_sm3s;
    row[FORMATION] = made.gas_sm3s;
    row[BOTTOM] = inflow_pressure_pa(&t->well->inflow, liquid);
    for (size_t k = 0; k < CASING; k++)
        t->column[k][t->n] = row[k];
    work_out(t, t->n);
}

static double margin_between(double gas, void *context)
{
    struct crossing_search *c = context;

    fill_between(c->table, c->left, gas);
    return c->table->status == ST_OK ? c->margin(c->table, c->table->n)
                                     : (double)NAN;
}

/* The rate between left and the next row where the margin is 0. */
static double cross(struct table *t, size_t left, margin_of *margin)
{
    struct crossing_search c = {t, margin, left};
    const double *gas = t->column[GAS];
    struct root_end a = {gas[left], margin(t, left)};
    struct root_end b = {gas[left + 1], margin(t, left + 1)};
    struct root r = {.x = a.x};

    if (t->status == ST_OK)
        t->status = root_find(margin_between, &c, a, b, t->step, &r, t->err);
    return r.x;
}

/* --- the limits ---------------------------------------------------------- */

static enum curve_end limit_at(const struct table *t, size_t i)
{
    const struct gas_path *g = &t->well->gas_path;
    double gas = t->column[GAS][i];

    if (t->column[OPENS][i] < to_available_pa(t, i))
        return CURVE_END_VALVE;
    return gas_path_available_pa(g, gas) >= g->p_casing_max_pa
               ? CURVE_END_ANNULUS
               : CURVE_END_HEADER;
}

/* Rows past the greatest rate that can be had are dropped; one is put in just
 * inside the limit. */
static void cut(struct table *t, enum curve_end *end)
{
    size_t keep = t->n;

    while (keep > 0 && !(margin_pa(t, keep - 1) >= 0))
        keep--;
    if (keep == t->n || t->status != ST_OK)
        return;
    *end = limit_at(t, keep);
    double gas = keep > 0 ? cross(t, keep - 1, margin_pa) - t->step : 0;
    if (keep > 0 && gas > t->column[GAS][keep - 1]) {
        fill_between(t, keep - 1, gas);
        for (size_t k = 0; k < N; k++)
            t->column[k][keep] = t->column[k][t->n];
        keep++;
    }
    t->n = keep;
}

/* The least rate from which on the margin is kept up to the end. */
static double lowest(struct table *t, margin_of *margin)
{
    size_t i = t->n - 1;

    if (!(margin(t, i) >= 0))
        return (double)INFINITY;
    while (i > 0 && margin(t, i - 1) >= 0)
        i--;
    return i > 0 ? fmin(cross(t, i - 1, margin) + t->step, t->column[GAS][i])
                 : t->column[GAS][0];
}

static void set_least(struct table *t, struct curve *c)
{
    double casing = lowest(t, margin_pa);
    double steady = t->well->gas_path.allow_unsteady ? c->gas_min_sm3s
                                                     : lowest(t, steady_margin);

    if (casing > c->gas_min_sm3s) {
        c->gas_min_sm3s = casing;
        c->start = CURVE_START_CASING;
    }
    if (steady > c->gas_min_sm3s) {
        c->gas_min_sm3s = steady;
        c->start = CURVE_START_STEADY;
    }
}

/* --- in and out ---------------------------------------------------------- */

static void take(struct table *t, const struct curve *c, struct arena *a)
{
    const double *from[CASING] = {c->gas_sm3s,    c->oil_sm3s,
                                  c->water_sm3s,  c->formation_sm3s,
                                  c->p_bottom_pa, c->p_inject_pa};

    t->n = c->n;
    t->step = TOL_CURVE_GAS * c->gas_sm3s[c->n - 1];
    for (size_t k = 0; k < N; k++) {
        /* One for the spare row. */
        t->column[k] = ARENA_NEW(a, c->n + 1, double);
        if (k < CASING)
            memcpy(t->column[k], from[k], c->n * sizeof(double));
    }
    for (size_t i = 0; i < t->n; i++)
        work_out(t, i);
}

static void give(const struct table *t, struct curve *c)
{
    c->n = t->n;
    c->gas_sm3s = t->column[GAS];
    c->oil_sm3s = t->column[OIL];
    c->water_sm3s = t->column[WATER];
    c->formation_sm3s = t->column[FORMATION];
    c->p_bottom_pa = t->column[BOTTOM];
    c->p_inject_pa = t->column[INJECT];
    c->p_casing_pa = t->column[CASING];
    c->steady = t->column[STEADY];
    c->peak = 0;
    for (size_t i = 1; i < c->n; i++)
        if (c->oil_sm3s[i] > c->oil_sm3s[c->peak])
            c->peak = i;
    if (c->n > 0)
        c->gas_max_sm3s = c->gas_sm3s[c->n - 1];
}

enum status gas_side_add(const struct well *w, struct arena *a, struct curve *c,
                         struct curve_count *count, struct err *err)
{
    struct table t = {.well = w, .count = count, .err = err, .status = ST_OK};

    if (c->n == 0)
        return ST_OK;
    take(&t, c, a);
    cut(&t, &c->end);
    if (t.n > 0)
        set_least(&t, c);
    give(&t, c);
    return t.status;
}

/* --- which valve is reached ----------------------------------------------- */

bool gas_side_go_up(struct well *w)
{
    for (size_t i = w->n_valves > 0 ? w->operating : 0; i > 0; i--)
        if (w->valve[i - 1].kind != VALVE_DUMMY) {
            w->operating = i - 1;
            w->md_inject_m = w->valve[i - 1].md_m;
            return true;
        }
    return false;
}

/* With gas at this valve alone: is the pressure there that it needs? */
static enum status is_reached_at(const struct well *w, double gas_sm3s,
                                 bool *reached, struct curve_count *count,
                                 struct err *err)
{
    struct working at;
    enum status st = working_single(w, gas_sm3s, &at, err);

    add_count(count, at.traverses, &at.count);
    *reached =
        st == ST_OK && at.flows &&
        at.gas.p_head_pa <= gas_path_available_pa(&w->gas_path, gas_sm3s);
    return st;
}

enum status gas_side_reach(struct well *w, double gas_max_sm3s,
                           struct curve_count *count, struct err *err)
{
    struct well at = *w;
    bool reached = w->n_valves == 0;
    enum status st = ST_OK;

    while (!reached && st == ST_OK) {
        double most;

        st = string_most_sm3s(&at, &most, err);
        /* The middle first: little gas leaves the tubing heavy, much needs
         * pressure at the port. */
        for (int i = 0; i < REACH_TRIES && st == ST_OK && !reached; i++)
            st = is_reached_at(&at, fmin(most, gas_max_sm3s) * REACH_AT[i],
                               &reached, count, err);
        if (reached)
            *w = at;
        else if (!gas_side_go_up(&at))
            break;
    }
    return st;
}
