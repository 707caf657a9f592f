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
#include <string.h>

#include "account.h"
#include "auction.h"
#include "num/tol.h"
#include "plan/verify.h"
#include "pricing.h"
#include "range.h"
#include "search.h"
#include "stands.h"

struct plan_options plan_options_default(void)
{
    return (struct plan_options){
        .objective = PLAN_OIL,
        .gap = TOL_PLAN_GAP,
        .nodes_max = TOL_PLAN_NODES,
        .time_s = (double)INFINITY,
    };
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
 * plan holds this morning's rates. */
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
    return ST_OK;
}

/* A problem and what was found for it. */
struct attempt {
    struct problem problem;
    struct search_result result;
};

static bool is_closed(const struct plan_options *o,
                      const struct search_result *r)
{
    double size = fmax(fabs(r->plan.value), DBL_MIN);
    return r->has_plan && r->bound - r->plan.value <= o->gap * size;
}

/* The auction's answer, put on the curves and checked; its bound added up
 * again from the certificate. */
static enum status by_auction(const struct problem *p, struct arena *a,
                              struct search_result *out, struct err *err)
{
    const struct plan_options *o = p->options;
    struct auction_options ask = {o->gap, o->nodes_max, o->time_s};
    struct auction_result r;
    enum status st = auction_run(p, &ask, a, &r, err);
    if (st != ST_OK)
        return st;
    const char *why;
    double bound = certificate_bound(p, &r.certificate, a, &why);
    *out = (struct search_result){
        .is_impossible = r.is_impossible,
        .is_stopped = r.is_stopped,
        .bound = bound * p->value_unit,
        .row_price = r.row_price,
        .moves_price = r.moves_price,
        .proof = r.proof,
        .nodes = r.nodes,
        .iterations = r.offers,
        .open_wells = r.open_wells,
    };
    if (!r.has_plan)
        return ST_OK;
    struct stands stands = {r.stand, r.column, r.unit_runs};
    struct verify check;
    stands_plan(p, &stands, a, &out->plan);
    plan_verify(p->field, p->curves, &out->plan, a, &check);
    out->has_plan = check.n_faults == 0;
    return ST_OK;
}

/* The better plan of two, and the lower bound. */
static void join(struct search_result *to, const struct search_result *other)
{
    long nodes = to->nodes + other->nodes;
    long iterations = to->iterations + other->iterations;
    bool other_is_lower = other->bound < to->bound;
    double bound = fmin(to->bound, other->bound);
    enum plan_proof proof = other_is_lower ? other->proof : to->proof;
    bool is_better = other->has_plan &&
                     (!to->has_plan || other->plan.value > to->plan.value);
    bool is_impossible = to->is_impossible || other->is_impossible;
    if (is_better)
        *to = *other;
    to->is_impossible = is_impossible && !to->has_plan;
    to->bound = bound;
    to->proof = proof;
    to->nodes = nodes;
    to->iterations = iterations;
}

/* The auction, and where it has neither a plan nor a proof that there is none
 * the whole problem, if that is not too large. */
static enum status by_auction_first(const struct problem *p, struct arena *a,
                                    struct search_result *out, struct err *err)
{
    enum status st = by_auction(p, a, out, err);
    bool is_open = st == ST_OK && !out->has_plan && !out->is_impossible &&
                   !out->is_stopped;
    if (!is_open || p->n_wells > PLAN_FLAT_MOST)
        return st;
    struct search_result whole;
    if (search_run(p, false, a, &whole, err) == ST_OK)
        join(out, &whole);
    return ST_OK;
}

/* A small field as a whole; the auction for others, and where the solver
 * library fails or leaves a gap. */
static enum status attempt(const struct field *f, const struct curve *curves,
                           const struct plan_options *o, bool lines_only,
                           struct arena *a, struct attempt *out,
                           struct err *err)
{
    problem_make(f, curves, o, lines_only, a, &out->problem);
    if (f->n_wells > PLAN_FLAT_WELLS)
        return by_auction_first(&out->problem, a, &out->result, err);
    enum status st = search_run(&out->problem, false, a, &out->result, err);
    bool is_done = st == ST_OK &&
                   (is_closed(o, &out->result) || out->result.is_impossible);
    if (is_done)
        return st;
    struct search_result other;
    enum status second = by_auction(&out->problem, a, &other, err);
    if (st != ST_OK)
        out->result = other;
    else if (second == ST_OK)
        join(&out->result, &other);
    return st == ST_OK ? st : second;
}

/* Where a limit is met by making less oil or burning more gas, the search may
 * have mixed points to a set point below a curve, which is none, or have
 * missed one below the hull of a curve: then once more without mixtures. */
static enum status search(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct arena *a,
                          struct attempt *out, struct err *err)
{
    enum status st = attempt(f, curves, o, false, a, out, err);
    if (st != ST_OK || is_closed(o, &out->result) || out->result.is_stopped)
        return st;
    struct attempt lines;
    st = attempt(f, curves, o, true, a, &lines, err);
    if (st != ST_OK)
        return st;
    bool was_impossible = out->result.is_impossible;
    bool is_better = lines.result.has_plan &&
                     (!out->result.has_plan ||
                      lines.result.plan.value > out->result.plan.value);
    join(&out->result, &lines.result);
    if (is_better)
        out->problem = lines.problem;
    /* What was called impossible may have been a mixture's fault only. */
    if (was_impossible)
        out->result.bound = lines.result.bound;
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

static void keep_prices(const struct attempt *done, struct arena *a,
                        struct plan *out)
{
    const struct search_result *r = &done->result;
    out->n_rows = done->problem.n_rows;
    out->lines_only = done->problem.lines_only;
    out->row_price = ARENA_NEW(a, out->n_rows, double);
    memcpy(out->row_price, r->row_price, out->n_rows * sizeof *r->row_price);
    out->row_price[ROW_MOVES] = r->moves_price;
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
        pricing_set(&done.problem, r->row_price, r->moves_price, out);
        range_find(&done.problem, out, a);
        keep_prices(&done, a, out);
        set_outcome(&done.problem, o, r->bound, out);
    } else if (st == ST_OK) {
        st = without_plan(f, curves, o, r, a, out, err);
    }
    if (st == ST_OK) {
        out->proof = r->proof;
        out->nodes = r->nodes;
        out->iterations = r->iterations;
        out->open_wells = r->open_wells;
    }
    arena_release(&scratch);
    return st;
}
