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
#include <stdint.h>

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

/* The row of a limit; n_rows when it is none. */
static size_t row_of(const struct problem *p, const struct plan_limit *l)
{
    static const int FIELD_ROW[] = {
        [PLAN_LIMIT_LIFT] = ROW_LIFT,   [PLAN_LIMIT_LIQUID] = ROW_LIQUID,
        [PLAN_LIMIT_WATER] = ROW_WATER, [PLAN_LIMIT_GAS] = ROW_GAS,
        [PLAN_LIMIT_POWER] = ROW_POWER, [PLAN_LIMIT_OIL_TARGET] = ROW_TARGET,
        [PLAN_LIMIT_MOVES] = ROW_MOVES,
    };
    if (l->scope == N_GROUP_KINDS)
        return (size_t)FIELD_ROW[l->kind];
    size_t r = N_FIELD_ROWS;
    while (r < p->n_rows &&
           (p->row[r].kind != l->kind || p->row[r].scope != l->scope ||
            p->row[r].group != l->group))
        r++;
    return r;
}

/* What one more unit of the units' capacity is worth: of the running one that
 * makes most of it. */
static double capacity_price(const struct problem *p, const struct worth *w,
                             const struct plan *out)
{
    double best = 0;
    for (size_t u = 0; u < p->n_units; u++) {
        size_t i = p->unit[u].compressor;
        if (i != SIZE_MAX && out->unit[i].load.runs)
            best = fmax(best, worth_of_column(w, COLUMN_UNIT + 2 * u));
    }
    return best;
}

/* A price in SI: per unit of gas, oil or power, or per move. */
static double limit_price(const struct problem *p, const struct worth *w,
                          const struct plan *out, const struct plan_limit *l,
                          double moves_price)
{
    double per_gas = p->value_unit / p->units.gas_sm3s;
    double per_oil = p->value_unit / p->units.oil_sm3s;
    switch (l->kind) {
    case PLAN_LIMIT_COMPRESSION:
        return capacity_price(p, w, out) * per_gas;
    case PLAN_LIMIT_SALES_MIN:
        return -worth_of_column(w, COLUMN_SALES) * per_gas;
    case PLAN_LIMIT_SALES_MAX:
        return worth_of_column(w, COLUMN_SALES) * per_gas;
    case PLAN_LIMIT_PURCHASE:
        return worth_of_column(w, COLUMN_BOUGHT) * per_gas;
    case PLAN_LIMIT_FLARE:
        return worth_of_column(w, COLUMN_FLARE) * per_gas;
    case PLAN_LIMIT_LIFT:
    case PLAN_LIMIT_LIQUID:
    case PLAN_LIMIT_WATER:
    case PLAN_LIMIT_GAS:
    case PLAN_LIMIT_POWER:
    case PLAN_LIMIT_OIL_TARGET:
    case PLAN_LIMIT_MOVES:
        break;
    }
    size_t row = row_of(p, l);
    double price = row < p->n_rows ? w->row_price[row] : 0;
    switch ((int)l->kind) {
    case PLAN_LIMIT_LIFT:
    case PLAN_LIMIT_GAS:
        return price * per_gas;
    case PLAN_LIMIT_LIQUID:
    case PLAN_LIMIT_WATER:
        return price * per_oil;
    case PLAN_LIMIT_OIL_TARGET:
        return -price * per_oil;
    case PLAN_LIMIT_POWER:
        return price * per_gas / POWER_UNIT;
    default:
        return row == ROW_MOVES ? moves_price * p->value_unit
                                : price * p->value_unit;
    }
}

static const struct plan_limit *limit_of(const struct plan *p,
                                         enum plan_limit_kind kind)
{
    for (size_t i = 0; i < p->n_limits; i++)
        if (p->limit[i].kind == kind && p->limit[i].scope == N_GROUP_KINDS)
            return &p->limit[i];
    return NULL;
}

/* What the field's rows charge for a unit of gas: lift, compression and the
 * fuel that it takes, the balance. */
static void set_gas_price(const struct problem *p, const struct worth *w,
                          struct plan *out)
{
    double charge = (p->goal[USE_GAS] - w->use[USE_GAS]) * p->value_unit /
                    p->units.gas_sm3s;
    double oil_price = p->field->prices.oil_sm3;
    bool has_money = p->field->prices.given && oil_price > 0;
    switch (out->objective) {
    case PLAN_OIL:
        out->gas_price_oil = charge;
        break;
    case PLAN_MONEY:
        out->gas_price_oil = has_money ? charge / oil_price : 0;
        break;
    case PLAN_GAS: {
        /* The target's price is the gas of its last unit of oil. */
        const struct plan_limit *l = limit_of(out, PLAN_LIMIT_OIL_TARGET);
        out->gas_price_oil = l != NULL && l->price > 0 ? 1 / l->price : 0;
        break;
    }
    }
    out->gas_price_money = out->objective == PLAN_MONEY ? charge
                           : has_money ? out->gas_price_oil * oil_price
                                       : 0;
}

static void set_prices(const struct problem *p, const struct search_result *r,
                       struct plan *out)
{
    struct worth w = worth_at(p, r->row_price);
    for (size_t i = 0; i < out->n_limits; i++) {
        struct plan_limit *l = &out->limit[i];
        double price = limit_price(p, &w, out, l, r->moves_price);
        l->price = l->binding ? fmax(price, 0) : 0;
    }
    set_gas_price(p, &w, out);
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
    struct account_rates rates = {
        .gas_sm3s = gas_sm3s,
        .balance = {.sales = f->sales.min_sm3s},
    };
    struct verify check;
    account_fill(f, curves, o, &rates, a, out);
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
    return conflict_find(f, curves, o, a, &out->conflict, err);
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
    problem_make(f, curves, o, lines_only, a, &out->problem);
    return search_run(&out->problem, false, a, &out->result, err);
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

/* The same plan, to be counted in another arena. */
static struct account_rates rates_of_plan(const struct field *f,
                                          const struct plan *p, struct arena *a)
{
    double *gas_sm3s = ARENA_NEW(a, f->n_wells, double);
    bool *shut = ARENA_NEW(a, f->n_wells, bool);
    struct unit_load *load = ARENA_NEW(a, p->n_units, struct unit_load);
    for (size_t i = 0; i < f->n_wells; i++) {
        gas_sm3s[i] = p->well[i].gas_sm3s;
        shut[i] = p->well[i].shut;
    }
    for (size_t i = 0; i < p->n_units; i++)
        load[i] = p->unit[i].load;
    return (struct account_rates){gas_sm3s, shut, p->balance, load};
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
        struct account_rates rates = rates_of_plan(f, &r->plan, &scratch);
        account_fill(f, curves, o, &rates, a, out);
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
