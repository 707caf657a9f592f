/* The plan that people get: solver's answer, prices, outcome.
 *
 * Ties. Among plans of the same value (within TOL_PLAN_TIE) the one with the
 * least lift gas is taken; among these the one that buys least, then the one
 * that flares least, then the one that gives the gas to the wells first in
 * name order. It is a second solve with the value held as a row, so the value
 * reported is not disturbed. Wells and manifolds are taken in name order
 * everywhere, so that the order of the file plays no part. */
#include "plan/plan.h"

#include <float.h>
#include <math.h>

#include "account.h"
#include "conflict.h"
#include "num/tol.h"
#include "plan/verify.h"
#include "search.h"

struct plan_options plan_options_default(void)
{
    return (struct plan_options){
        .objective = PLAN_OIL,
        .gap = TOL_PLAN_GAP,
        .nodes_max = TOL_PLAN_NODES,
        .time_s = (double)INFINITY,
    };
}

/* A price in SI: per unit of gas or oil, or for moves per move. */
static double limit_price(const struct problem *p, const struct worth *w,
                          const struct plan_limit *l, double moves_price)
{
    const double *row = w->row_price;
    double per_gas = p->value_unit / p->units.gas_sm3s;
    double per_oil = p->value_unit / p->units.oil_sm3s;
    switch (l->kind) {
    case PLAN_LIMIT_LIFT:
        return row[ROW_LIFT] * per_gas;
    case PLAN_LIMIT_COMPRESSION:
        return row[ROW_COMPRESSION] * per_gas;
    case PLAN_LIMIT_LIQUID:
        return row[ROW_LIQUID] * per_oil;
    case PLAN_LIMIT_WATER:
        return row[ROW_WATER] * per_oil;
    case PLAN_LIMIT_SALES_MIN:
        return -w->outside[OUT_SALES] * per_gas;
    case PLAN_LIMIT_SALES_MAX:
        return w->outside[OUT_SALES] * per_gas;
    case PLAN_LIMIT_PURCHASE:
        return w->outside[OUT_BOUGHT] * per_gas;
    case PLAN_LIMIT_FLARE:
        return w->outside[OUT_FLARE] * per_gas;
    case PLAN_LIMIT_MOVES:
        return moves_price * p->value_unit;
    case PLAN_LIMIT_MANIFOLD:
        for (size_t m = 0; m < p->field->groups[GROUP_MANIFOLD].n; m++)
            if (p->field->groups[GROUP_MANIFOLD].group[m].name == l->name)
                return row[p->manifold_row[m]] * per_gas;
        return 0;
    }
    return 0;
}

static void set_prices(const struct problem *p, const struct search_result *r,
                       struct plan *out)
{
    struct worth w = worth_at(p, r->row_price);
    for (size_t i = 0; i < out->n_limits; i++) {
        struct plan_limit *l = &out->limit[i];
        double price = limit_price(p, &w, l, r->moves_price);
        l->price = l->binding ? fmax(price, 0) : 0;
    }
    /* What the field's rows charge for a unit of gas: lift, compression, and
     * the fuel that it takes. */
    double charge = (p->goal.gas - w.gas) * p->value_unit / p->units.gas_sm3s;
    double oil_price = p->field->prices.oil_sm3;
    bool has_money = p->field->prices.given && oil_price > 0;
    if (p->objective == PLAN_OIL) {
        out->gas_price_oil = charge;
        out->gas_price_money = has_money ? charge * oil_price : 0;
    } else {
        out->gas_price_money = charge;
        out->gas_price_oil = has_money ? charge / oil_price : 0;
    }
}

static void set_outcome(const struct problem *p, const struct plan_options *o,
                        double bound, struct plan *out)
{
    double size = fmax(fabs(out->value), TOL_PLAN_ABS * p->value_unit);
    out->bound = fmax(bound, out->value);
    out->gap = (out->bound - out->value) / size;
    out->outcome = out->gap <= TOL_PLAN_OPTIMAL ? PLAN_OPTIMAL
                   : out->gap <= o->gap         ? PLAN_WITHIN_GAP
                                                : PLAN_STOPPED;
}

/* Rates that need no solver: all wells as now, or off. One that meets every
 * limit disproves the verdict "impossible". */
static bool is_plan(const struct field *f, const struct curve *curves,
                    const struct plan_options *o, const double *gas_sm3s,
                    struct arena *a, struct plan *out)
{
    struct gas_balance b = {.sales = f->sales.min_sm3s};
    struct verify check;
    account_fill(f, curves, o->objective, gas_sm3s, b, a, out);
    plan_verify(f, curves, out, a, &check);
    return check.n_faults == 0;
}

static bool find_witness(const struct field *f, const struct curve *curves,
                         const struct plan_options *o, struct arena *a,
                         struct plan *out)
{
    double *gas_sm3s = ARENA_NEW(a, f->n_wells, double);
    for (size_t i = 0; i < f->n_wells; i++)
        gas_sm3s[i] = field_well_locked(&f->well[i])
                          ? field_well_now_sm3s(&f->well[i])
                          : 0;
    if (is_plan(f, curves, o, gas_sm3s, a, out))
        return true;
    for (size_t i = 0; i < f->n_wells; i++)
        gas_sm3s[i] = field_well_now_sm3s(&f->well[i]);
    return is_plan(f, curves, o, gas_sm3s, a, out);
}

/* The search has no plan. A witness is an answer, unproven; without one the
 * plan holds this morning's rates, and the limits that conflict. */
static enum status without_plan(const struct field *f,
                                const struct curve *curves,
                                const struct plan_options *o,
                                const struct search_result *r, struct arena *a,
                                struct plan *out, struct err *err)
{
    if (find_witness(f, curves, o, a, out)) {
        out->bound = r->is_impossible ? (double)INFINITY : r->bound;
        return ST_OK;
    }
    if (!r->is_impossible)
        return err_set(err, ST_SOLVER,
                       "no plan was found in %ld nodes, nor is it proven that "
                       "there is none",
                       r->nodes);
    out->outcome = PLAN_IMPOSSIBLE;
    return conflict_find(f, curves, a, &out->conflict, err);
}

/* A problem and what the search made of it. */
struct attempt {
    struct problem problem;
    struct search_result result;
};

static enum status attempt(const struct field *f, const struct curve *curves,
                           const struct plan_options *o, bool lines_only,
                           struct arena *a, struct attempt *out,
                           struct err *err)
{
    problem_make(f, curves, o->objective, lines_only, a, &out->problem);
    return search_run(&out->problem, o, false, a, &out->result, err);
}

static bool is_closed(const struct plan_options *o,
                      const struct search_result *r)
{
    double size = fmax(fabs(r->plan.value), DBL_MIN);
    return r->has_plan && r->bound - r->plan.value <= o->gap * size;
}

/* Where a limit is met by making less oil or burning more gas, the search may
 * have mixed points to a set point below a curve, which is none, or have
 * missed one below the hull of a curve: then once more without mixtures. */
static enum status search(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct arena *a,
                          struct attempt *out, struct err *err)
{
    enum status st = attempt(f, curves, o, false, a, out, err);
    const struct search_result *r = &out->result;
    if (st != ST_OK || is_closed(o, r) || r->is_stopped)
        return st;
    struct attempt lines;
    st = attempt(f, curves, o, true, a, &lines, err);
    if (st != ST_OK)
        return st;
    double bound = r->is_impossible ? lines.result.bound
                                    : fmin(r->bound, lines.result.bound);
    lines.result.nodes += r->nodes;
    lines.result.iterations += r->iterations;
    bool is_better = !r->has_plan || (lines.result.has_plan &&
                                      lines.result.plan.value > r->plan.value);
    if (is_better)
        *out = lines;
    out->result.bound = bound;
    return ST_OK;
}

enum status plan_solve(const struct field *f, const struct curve *curves,
                       const struct plan_options *o, struct arena *a,
                       struct plan *out, struct err *err)
{
    if (o->objective == PLAN_MONEY && !f->prices.given)
        return err_set(err, ST_INPUT,
                       "money is asked for, yet the price of oil is not set");
    struct arena scratch;
    arena_init(&scratch);
    scratch.on_full = a->on_full;
    scratch.context = a->context;
    struct attempt done;
    const struct search_result *r = &done.result;
    enum status st = search(f, curves, o, &scratch, &done, err);
    if (st == ST_OK && r->has_plan) {
        double *gas_sm3s = ARENA_NEW(&scratch, f->n_wells, double);
        for (size_t i = 0; i < f->n_wells; i++)
            gas_sm3s[i] = r->plan.well[i].gas_sm3s;
        account_fill(f, curves, o->objective, gas_sm3s, r->plan.balance, a,
                     out);
        set_prices(&done.problem, r, out);
        set_outcome(&done.problem, o, r->bound, out);
    } else if (st == ST_OK) {
        st = without_plan(f, curves, o, r, a, out, err);
    }
    if (st == ST_OK) {
        out->nodes = r->nodes;
        out->iterations = r->iterations;
        out->open_wells = r->open_wells;
    }
    arena_release(&scratch);
    return st;
}
