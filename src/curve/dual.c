/* First the arm that comes in first is followed alone, point by point of its
 * curve; then both together, up in casing pressure from each point of either
 * to the next: in between both curves are straight in pressure, and so is
 * their sum. */
#include "curve/dual.h"

#include <math.h>
#include <stdbool.h>

#include "base/arena.h"
#include "num/tol.h"

enum column {
    GAS_0, /* the arms' gas, by index */
    GAS_1,
    TOTAL,
    OIL,
    WATER,
    FORMATION,
    CASING,
    STEADY,
    COLUMNS
};

/* One state of the well, and the columns of the combined curve. */
struct state {
    double v[COLUMNS];
};

struct builder {
    const struct curve *arm; /* [2] */
    /* Of each arm, [n]: its casing pressure, lowered where a greater rate needs
     * less: it never falls. Lifted from the point start on. */
    const double *level[2];
    size_t start[2];
    double gas_max, step; /* step: width of a jump */
    double *column[COLUMNS];
    size_t n;
    bool full; /* gas_max is reached */
};

/* --- one arm -------------------------------------------------------------- */

/* A place on an arm's curve: this part of the way from point k to the next. */
struct place {
    size_t k;
    double part;
};

struct share {
    double gas, oil, water, formation, steady;
};

static double between(double lo, double hi, double part)
{
    if (part <= 0)
        return lo;
    /* Steadiness can be infinite: the lower of the two is safe. */
    return isinf(lo) || isinf(hi) ? fmin(lo, hi) : lo + part * (hi - lo);
}

static double at(const double *column, struct place w)
{
    return w.part > 0 ? between(column[w.k], column[w.k + 1], w.part)
                      : column[w.k];
}

static struct share share_at(const struct curve *c, struct place w)
{
    return (struct share){at(c->gas_sm3s, w), at(c->oil_sm3s, w),
                          at(c->water_sm3s, w), at(c->formation_sm3s, w),
                          at(c->steady, w)};
}

static struct share without_gas(const struct curve *c)
{
    struct place begin = {0, 0};

    return curve_flows_alone(c) ? share_at(c, begin) : (struct share){0};
}

/* Part of the way from point k to the next at which a column that rises there
 * reaches x. */
static double part_to(const double *column, size_t k, double x)
{
    return (x - column[k]) / (column[k + 1] - column[k]);
}

/* The arm's least and greatest rate at a casing pressure between that of its
 * start and that of its end: they differ where the level is flat. */
static struct place least_at(const struct builder *b, int i, double p_pa)
{
    const double *level = b->level[i];
    size_t k = b->start[i];

    while (level[k] < p_pa)
        k++;
    if (level[k] > p_pa && k > b->start[i])
        return (struct place){k - 1, part_to(level, k - 1, p_pa)};
    return (struct place){k, 0};
}

static struct place most_at(const struct builder *b, int i, double p_pa)
{
    const double *level = b->level[i];
    size_t k = b->arm[i].n - 1;

    while (level[k] > p_pa)
        k--;
    if (k + 1 < b->arm[i].n)
        return (struct place){k, part_to(level, k, p_pa)};
    return (struct place){k, 0};
}

/* The next greater level, INFINITY when there is none. */
static double next_level(const struct builder *b, int i, double p_pa)
{
    size_t k = b->start[i];

    while (k < b->arm[i].n && b->level[i][k] <= p_pa)
        k++;
    return k < b->arm[i].n ? b->level[i][k] : HUGE_VAL;
}

static void set_level(struct builder *b, int i, struct arena *a)
{
    const struct curve *c = &b->arm[i];
    double *level = ARENA_NEW(a, c->n, double), lowest = HUGE_VAL;

    for (size_t k = c->n; k-- > 0;) {
        lowest = fmin(lowest, c->p_casing_pa[k]);
        level[k] = lowest;
    }
    b->level[i] = level;
    while (b->start[i] + 1 < c->n && level[b->start[i] + 1] <= level[0])
        b->start[i]++;
}

/* --- both arms ------------------------------------------------------------ */

static struct state sum(const struct share x[2], double p_pa)
{
    double steady = HUGE_VAL;

    for (int i = 0; i < 2; i++)
        if (x[i].gas > 0)
            steady = fmin(steady, x[i].steady);
    if (!(x[0].gas > 0 || x[1].gas > 0))
        steady = 0;
    return (struct state){{x[0].gas, x[1].gas, x[0].gas + x[1].gas,
                           x[0].oil + x[1].oil, x[0].water + x[1].water,
                           x[0].formation + x[1].formation, p_pa, steady}};
}

static struct state both_at(const struct builder *b, struct place w0,
                            struct place w1, double p_pa)
{
    struct share x[2] = {share_at(&b->arm[0], w0), share_at(&b->arm[1], w1)};

    return sum(x, p_pa);
}

/* One arm has this share, the other no gas. */
static struct state alone(const struct builder *b, int i, struct share own,
                          double p_pa)
{
    struct share x[2];

    x[i] = own;
    x[1 - i] = without_gas(&b->arm[1 - i]);
    return sum(x, p_pa);
}

/* Add a state of more gas than the last one's, cut at gas_max. States that are
 * nearer than a jump are the same one. */
static void add(struct builder *b, const struct state *s)
{
    double last = b->n > 0 ? b->column[TOTAL][b->n - 1] : -HUGE_VAL;
    double total = s->v[TOTAL], part = 1;

    if (b->full || total <= last + 0.5 * b->step)
        return;
    if (total > b->gas_max) {
        b->full = true;
        part = (b->gas_max - last) / (total - last);
        if (b->n == 0 || b->gas_max <= last + 0.5 * b->step)
            return;
    }
    for (int c = 0; c < COLUMNS; c++)
        b->column[c][b->n] =
            part < 1 ? between(b->column[c][b->n - 1], s->v[c], part) : s->v[c];
    b->column[TOTAL][b->n] = fmin(total, b->gas_max);
    b->n++;
}

/* Gas does nothing yet in a dead arm, and the other makes what it makes alone.
 */
static void add_below_threshold(struct builder *b, int first)
{
    const struct curve *c = &b->arm[first];
    double gas[2] = {0, c->gas_sm3s[0] - b->step};

    if (curve_flows_alone(c) || !curve_flows_alone(&b->arm[1 - first]))
        return;
    for (int i = 0; i < 2; i++) {
        struct share own = {.gas = gas[i]};
        struct state s = alone(b, first, own, c->p_casing_pa[0]);

        add(b, &s);
    }
}

/* The first arm takes all, to a total rate or to a casing pressure; from there
 * to the total rate, if it is finite, the rest goes to the other and lifts
 * nothing. True: to the end of the arm's curve. */
static bool add_alone(struct builder *b, int first, double gas_to, double p_to)
{
    const struct curve *c = &b->arm[first];
    const double *gas = c->gas_sm3s, *p = c->p_casing_pa;
    struct state s = {0};
    size_t k = 0;

    add_below_threshold(b, first);
    for (; k < c->n && gas[k] <= gas_to && p[k] <= p_to; k++) {
        struct place w = {k, 0};

        s = alone(b, first, share_at(c, w), p[k]);
        add(b, &s);
    }
    if (k > 0 && k < c->n) {
        double by_gas = gas[k] > gas_to ? part_to(gas, k - 1, gas_to) : 1;
        double by_p = p[k] > p_to ? part_to(p, k - 1, p_to) : 1;
        struct place w = {k - 1, fmin(by_gas, by_p)};

        s = alone(b, first, share_at(c, w), at(p, w));
        add(b, &s);
    }
    if (k > 0 && s.v[TOTAL] < gas_to && isfinite(gas_to)) {
        s.v[1 - first] = gas_to - s.v[first];
        s.v[TOTAL] = gas_to;
        s.v[STEADY] = 0;
        add(b, &s);
    }
    return k == c->n;
}

static void add_both(struct builder *b, double p_lo, double p_hi)
{
    double p = p_lo;

    for (;;) {
        struct state least =
            both_at(b, least_at(b, 0, p), least_at(b, 1, p), p);
        struct state most = both_at(b, most_at(b, 0, p), most_at(b, 1, p), p);

        add(b, &least);
        add(b, &most);
        if (!(p < p_hi))
            return;
        p = fmin(p_hi, fmin(next_level(b, 0, p), next_level(b, 1, p)));
    }
}

/* --- the curve ------------------------------------------------------------ */

/* The arm whose curve starts at the lower casing pressure, the first of
 * equals; an arm that is dead at every rate never is. */
static int comes_first(const struct curve arm[2])
{
    if (arm[0].n == 0 || arm[1].n == 0)
        return arm[0].n == 0;
    return arm[1].p_casing_pa[0] < arm[0].p_casing_pa[0];
}

/* Samples the combined curve; writes which arm is starved, and up to where.
 * Returns why the curve ends. */
static enum curve_end sample(struct builder *b, struct dual_split *split)
{
    const struct curve *arm = b->arm;
    int first = comes_first(arm), second = 1 - first;
    double p_lo = 0, p_hi = -1, p_to = HUGE_VAL, gas_to = HUGE_VAL;
    struct state least = {0};

    if (arm[second].n > 0) {
        p_to = arm[second].p_casing_pa[0];
        p_lo = fmax(b->level[0][0], b->level[1][0]);
        p_hi = fmin(b->level[0][arm[0].n - 1], b->level[1][arm[1].n - 1]);
    }
    bool meet = p_lo <= p_hi;
    if (meet) {
        least = both_at(b, least_at(b, 0, p_lo), least_at(b, 1, p_lo), p_lo);
        gas_to = least.v[TOTAL] - (least.v[second] > 0 ? b->step : 0);
    }
    bool to_end = add_alone(b, first, gas_to, p_to);
    split->starved = second;
    if (least.v[TOTAL] > b->gas_max)
        return CURVE_END_MAXIMUM;
    if (meet) {
        split->gas_both_sm3s = least.v[TOTAL];
        if (b->n == 0 || !(b->column[TOTAL][0] < least.v[TOTAL]))
            split->starved = -1;
        add_both(b, p_lo, p_hi);
        to_end = b->level[first][arm[first].n - 1] <= p_hi;
    }
    if (b->full)
        return CURVE_END_MAXIMUM;
    return to_end ? arm[first].end : arm[second].end;
}

/* The least total from the point k0 on at which each arm that counts has its
 * own least rate; *last: the arm that had it last, -1 when all had it at k0
 * already. INFINITY: never. */
static double least_steady(const struct builder *b, size_t k0,
                           const bool counts[2], int *last)
{
    *last = -1;
    for (size_t k = k0; k < b->n; k++) {
        double part = 0;
        bool met = true;

        for (int i = 0; i < 2; i++) {
            const double *gas = b->column[i];
            double least = b->arm[i].gas_min_sm3s;

            if (!counts[i])
                continue;
            if (!(gas[k] >= least)) {
                met = false;
                *last = i;
            } else if (k > k0 && gas[k - 1] < least &&
                       part_to(gas, k - 1, least) > part) {
                part = part_to(gas, k - 1, least);
                *last = i;
            }
        }
        if (met)
            return at(b->column[TOTAL],
                      (struct place){k > k0 ? k - 1 : k, part});
    }
    return HUGE_VAL;
}

static void set_least_rate(const struct builder *b,
                           const struct dual_split *split, struct curve *out)
{
    bool both = !isinf(split->gas_both_sm3s);
    bool counts[2] = {both || split->starved == 1, both || split->starved == 0};
    size_t k0 = 0;
    int last;

    while (both && b->column[TOTAL][k0] < split->gas_both_sm3s - 0.5 * b->step)
        k0++;
    out->gas_min_sm3s = least_steady(b, k0, counts, &last);
    if (last >= 0)
        out->start = b->arm[last].start;
    else
        out->start = k0 > 0 ? CURVE_START_CASING : CURVE_START_FLOW;
}

static void write_curve(const struct builder *b, struct curve *out,
                        struct dual_split *split)
{
    out->n = b->n;
    out->gas_sm3s = b->column[TOTAL];
    out->oil_sm3s = b->column[OIL];
    out->water_sm3s = b->column[WATER];
    out->formation_sm3s = b->column[FORMATION];
    out->p_casing_pa = b->column[CASING];
    out->steady = b->column[STEADY];
    for (size_t k = 1; k < b->n; k++)
        if (out->oil_sm3s[k] > out->oil_sm3s[out->peak])
            out->peak = k;
    split->gas_sm3s[0] = b->column[GAS_0];
    split->gas_sm3s[1] = b->column[GAS_1];
    if (b->n > 0) {
        out->gas_max_sm3s = out->gas_sm3s[b->n - 1];
        set_least_rate(b, split, out);
    }
}

/* Two points of either curve where both arms are flat, two at each end and at
 * each jump: more than can be added. */
static size_t most_points(const struct curve arm[2])
{
    return 3 * (arm[0].n + arm[1].n) + 4;
}

enum status curve_build_dual(const struct curve arm[2], double gas_max_sm3s,
                             struct arena *a, struct curve *out,
                             struct dual_split *split, struct err *err)
{
    struct builder b = {.arm = arm,
                        .gas_max = gas_max_sm3s,
                        .step = TOL_CURVE_GAS * gas_max_sm3s};

    if (!(gas_max_sm3s >= 0 && isfinite(gas_max_sm3s)))
        return err_set(err, ST_RANGE,
                       "well %s: the dual's greatest lift gas, %.6g Sm3/s, is "
                       "not a rate of 0 or more",
                       arm[0].well, gas_max_sm3s);
    for (int i = 0; i < 2; i++)
        if (arm[i].n > 0 && !(arm[i].p_casing_pa && arm[i].steady))
            return err_set(err, ST_RANGE,
                           "well %s: to share an annulus, an arm of a dual "
                           "needs a curve with casing pressure and steadiness; "
                           "describe its gas path and valves",
                           arm[i].well);
    for (int c = 0; c < COLUMNS; c++)
        b.column[c] = ARENA_NEW(a, most_points(arm), double);
    for (int i = 0; i < 2; i++)
        set_level(&b, i, a);

    bool same_head = arm[0].p_head_pa == arm[1].p_head_pa;
    *out = (struct curve){
        .well = arm[0].well,
        .source = CURVE_MODEL,
        .p_head_pa = same_head ? arm[0].p_head_pa : 0,
        .gas_max_sm3s = gas_max_sm3s,
        .tolerance_sm3s = arm[0].tolerance_sm3s + arm[1].tolerance_sm3s,
    };
    *split = (struct dual_split){.gas_both_sm3s = HUGE_VAL, .starved = -1};
    if (arm[0].n + arm[1].n > 0)
        out->end = sample(&b, split);
    write_curve(&b, out, split);
    return ST_OK;
}
