#include "plan/market.h"

#include <math.h>
#include <string.h>

#include "base/units.h"
#include "change.h"
#include "num/tol.h"

struct maker {
    const struct field *field;
    const struct curve *curves;
    struct plan_options ask;
    struct arena *arena;
};

/* --- the curve ----------------------------------------------------------- */

static size_t count_flowing(const struct plan *p)
{
    size_t n = 0;
    for (size_t i = 0; i < p->n_wells; i++)
        n += p->well[i].oil_sm3s > 0;
    return n;
}

/* A point, and how far today's modes carry it to both sides. */
struct probe {
    struct market_point point;
    double from_sm3s, to_sm3s;
};

/* The limit of gas that binds, NULL: none. */
static const struct plan_limit *gas_limit(const struct plan *p)
{
    for (size_t i = 0; i < p->n_limits; i++) {
        const struct plan_limit *l = &p->limit[i];
        if (l->scope == N_GROUP_KINDS && l->binding && l->price > 0 &&
            (l->kind == PLAN_LIMIT_LIFT || l->kind == PLAN_LIMIT_COMPRESSION))
            return l;
    }
    return NULL;
}

static enum status probe(const struct maker *k, double gas_sm3s,
                         struct probe *out, struct err *err)
{
    struct arena scratch;
    arena_init(&scratch);
    struct field changed = change_gas(k->field, gas_sm3s, &scratch);
    struct plan p;
    enum status st =
        plan_solve(&changed, k->curves, &k->ask, &scratch, &p, err);
    *out = (struct probe){
        .point.gas_sm3s = gas_sm3s, .from_sm3s = gas_sm3s, .to_sm3s = gas_sm3s};
    if (st == ST_OK && p.outcome == PLAN_IMPOSSIBLE) {
        out->point.is_impossible = true;
    } else if (st == ST_OK) {
        const struct plan_limit *l = gas_limit(&p);
        out->point = (struct market_point){
            .gas_sm3s = gas_sm3s,
            .lift_sm3s = p.balance.lift,
            .oil_sm3s = p.oil_sm3s,
            .money_s = p.money_s,
            .sales_sm3s = p.balance.sales,
            .bought_sm3s = p.balance.bought,
            .fuel_sm3s = p.balance.fuel,
            .value = p.value,
            .bound = p.bound,
            .n_flowing = count_flowing(&p),
            .n_moves = p.n_moves,
        };
        if (l != NULL) {
            out->from_sm3s += l->price_from - l->bound;
            out->to_sm3s += l->price_to - l->bound;
        }
    }
    arena_release(&scratch);
    return st;
}

struct list {
    size_t n, most;
    struct probe *probe; /* rising gas */
};

static size_t place_of(const struct list *list, double gas_sm3s)
{
    size_t i = 0;
    while (i < list->n && list->probe[i].point.gas_sm3s < gas_sm3s)
        i++;
    return i;
}

/* Nothing when there is a point so near that no meter tells them apart. */
static enum status add_probe(const struct maker *k, struct list *list,
                             double gas_sm3s, struct err *err)
{
    size_t at = place_of(list, gas_sm3s);
    for (size_t i = at > 0 ? at - 1 : 0; i < list->n && i <= at; i++)
        if (fabs(list->probe[i].point.gas_sm3s - gas_sm3s) <= TOL_MARKET_SM3S)
            return ST_OK;
    struct probe p;
    enum status st = probe(k, gas_sm3s, &p, err);
    if (st != ST_OK || list->n == list->most)
        return st;
    memmove(list->probe + at + 1, list->probe + at,
            (list->n - at) * sizeof *list->probe);
    list->probe[at] = p;
    list->n++;
    return ST_OK;
}

/* Where plans begin to be possible, on both sides; `low` is not possible,
 * today is, and less gas never makes a plan possible. */
static enum status find_least(const struct maker *k, struct list *list,
                              double low, struct err *err)
{
    double high = 0;
    while (high - low > 2 * TOL_MARKET_SM3S) {
        struct probe p;
        double middle = 0.5 * (low + high);
        enum status st = probe(k, middle, &p, err);
        if (st != ST_OK)
            return st;
        *(p.point.is_impossible ? &low : &high) = middle;
    }
    enum status st = add_probe(k, list, low, err);
    return st == ST_OK ? add_probe(k, list, high, err) : st;
}

/* From today to where its price ends, then past that corner to where the next
 * one ends, and so on, while prices have a range. */
static enum status follow(const struct maker *k, struct list *list, int sign,
                          double end_sm3s, size_t n_most, struct err *err)
{
    double at_sm3s = 0, past = sign * MARKET_STEP * fabs(end_sm3s);
    for (size_t i = 0; i < n_most; i++) {
        const struct probe *p = &list->probe[place_of(list, at_sm3s)];
        double corner_sm3s = sign > 0 ? p->to_sm3s : p->from_sm3s;
        bool has_range = sign * (corner_sm3s - at_sm3s) > TOL_MARKET_SM3S;
        if (i % 2 == 1 && !has_range)
            break;
        double next_sm3s = has_range ? corner_sm3s : at_sm3s + past;
        if (!(sign * (end_sm3s - next_sm3s) > 0))
            break;
        enum status st = add_probe(k, list, next_sm3s, err);
        if (st != ST_OK)
            return st;
        at_sm3s = next_sm3s;
    }
    return ST_OK;
}

/* What no plan between two points can pass by more: more gas never makes
 * less. */
static double doubt(const struct list *list, size_t i)
{
    const struct market_point *a = &list->probe[i].point;
    const struct market_point *b = &list->probe[i + 1].point;
    if (a->is_impossible || b->is_impossible)
        return 0;
    return b->bound - a->value;
}

/* The same, when there is room for a point between. */
static double open_doubt(const struct list *list, size_t i)
{
    double width_sm3s =
        list->probe[i + 1].point.gas_sm3s - list->probe[i].point.gas_sm3s;
    return width_sm3s > 2 * TOL_MARKET_SM3S ? doubt(list, i) : 0;
}

static enum status refine(const struct maker *k, struct list *list,
                          struct err *err)
{
    while (list->n < list->most) {
        size_t widest = 0;
        for (size_t i = 1; i + 1 < list->n; i++)
            if (open_doubt(list, i) > open_doubt(list, widest))
                widest = i;
        const struct market_point *a = &list->probe[widest].point;
        if (!(open_doubt(list, widest) > k->ask.gap * fabs(a->value)))
            break;
        const struct market_point *b = &list->probe[widest + 1].point;
        enum status st =
            add_probe(k, list, 0.5 * (a->gas_sm3s + b->gas_sm3s), err);
        if (st != ST_OK)
            return st;
    }
    return ST_OK;
}

/* Today's gas and what the wells could use beyond it, as changes. */
static void find_ends(const struct maker *k, double *low, double *high)
{
    const struct field *f = k->field;
    double there_sm3s = fmin(f->limits.caps.lift_sm3s, field_capacity_sm3s(f));
    double most_sm3s = 0;
    for (size_t i = 0; i < f->n_wells; i++)
        most_sm3s += k->curves[i].gas_max_sm3s;
    if (!isfinite(there_sm3s))
        there_sm3s = most_sm3s;
    *low = -there_sm3s;
    *high = fmax(most_sm3s - there_sm3s, 0);
}

static double slope(const struct market_point *a, const struct market_point *b)
{
    if (a->is_impossible || b->is_impossible)
        return (double)NAN;
    return (b->value - a->value) / (b->gas_sm3s - a->gas_sm3s);
}

/* Cut off what follows the first point of the greatest value: more gas is
 * worth nothing there. */
static void finish_curve(const struct list *list, struct market_curve *out)
{
    size_t n = list->n;
    while (n > 2 && list->probe[n - 2].point.value >=
                        list->probe[n - 1].point.bound -
                            TOL_PLAN_GAP * fabs(list->probe[n - 1].point.value))
        n--;
    out->n = n;
    for (size_t i = 0; i < n; i++) {
        struct market_point *p = &out->point[i];
        *p = list->probe[i].point;
        if (p->gas_sm3s == 0)
            out->today = i;
        if (i == 0)
            continue;
        const struct market_point *before = &list->probe[i - 1].point;
        out->point[i - 1].slope_above = p->slope_below = slope(before, p);
        p->is_jump = p->n_flowing != before->n_flowing;
    }
    double size = fmax(fabs(out->point[out->today].value), 1e-300);
    for (size_t i = 0; i + 1 < n; i++)
        out->widest_gap = fmax(out->widest_gap, open_doubt(list, i) / size);
}

enum status market_curve(const struct field *f, const struct curve *curves,
                         const struct plan_options *o, size_t n_most,
                         struct arena *a, struct market_curve *out,
                         struct err *err)
{
    const struct maker k = {f, curves, *o, a};
    *out = (struct market_curve){.objective = o->objective};
    struct list list = {.most = n_most};
    list.probe = ARENA_NEW(a, n_most + 1, struct probe);
    out->point = ARENA_NEW(a, n_most + 1, struct market_point);
    double low, high;
    find_ends(&k, &low, &high);
    enum status st = add_probe(&k, &list, 0, err);
    if (st == ST_OK)
        st = add_probe(&k, &list, low, err);
    if (st == ST_OK && list.probe[0].point.is_impossible)
        st = find_least(&k, &list, low, err);
    if (st == ST_OK)
        st = add_probe(&k, &list, high, err);
    if (st == ST_OK)
        st = follow(&k, &list, 1, high, n_most / 4, err);
    if (st == ST_OK)
        st = follow(&k, &list, -1, low, n_most / 4, err);
    if (st == ST_OK)
        st = refine(&k, &list, err);
    if (st != ST_OK)
        return st;
    out->is_thinned = list.n == list.most;
    finish_curve(&list, out);
    return ST_OK;
}
