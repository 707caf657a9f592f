#include "support/judges.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "../../src/plan/auction.h"
#include "../../src/plan/search.h"
#include "../../src/plan/stands.h"
#include "plan/verify.h"
#include "support/whole_model.h"

/* What the arithmetic of two solvers may differ by, relative: a choice within
 * 1e-6 of a whole number counts as one for cbc. */
#define AGREE 2e-6
#define WHOLE_NODES 200000
#define CBC_SECONDS 20

static const char *name_of(enum judge who)
{
    static const char *const NAME[] = {
#define JUDGE_NAME(name, words) words,
        JUDGES_ALL(JUDGE_NAME)
#undef JUDGE_NAME
    };
    return NAME[who];
}

static void check_plan(const struct builder *b, const struct plan *p,
                       enum judge who, const char *label)
{
    struct verify v;
    plan_verify(&b->field, b->curves, p, b->arena, &v);
    for (size_t i = 0; i < v.n_faults; i++)
        cr_expect(false, "%s, %s: %s", label, name_of(who), v.fault[i].what);
}

static void ask_plan(struct judges *j, const struct builder *b,
                     const struct plan_options *o, const char *label)
{
    struct err err = {0};
    struct plan *p = &j->plan;
    enum status st = plan_solve(&b->field, b->curves, o, b->arena, p, &err);
    cr_expect(eq(int, st, ST_OK), "%s: %s", label, err.msg);
    if (st != ST_OK)
        return;
    bool has_plan = p->outcome != PLAN_IMPOSSIBLE;
    j->of[JUDGE_PLAN] = (struct opinion){
        .was_asked = true,
        .is_impossible = !has_plan,
        .has_plan = has_plan,
        .is_proven =
            p->outcome == PLAN_OPTIMAL || p->outcome == PLAN_WITHIN_GAP,
        .value = p->value,
        .bound = p->bound,
        .gap = o->gap,
    };
    if (has_plan)
        check_plan(b, p, JUDGE_PLAN, label);
}

/* A bound that somebody may add up again counts, no other. */
static void ask_auction(struct judges *j, const struct builder *b,
                        const struct plan_options *o, const char *label)
{
    struct problem p;
    struct auction_result r;
    struct err err = {0};
    struct auction_options ask = {o->gap, o->nodes_max, o->time_s};
    problem_make(&b->field, b->curves, o, true, b->arena, &p);
    enum status st = auction_run(&p, &ask, b->arena, &r, &err);
    cr_expect(eq(int, st, ST_OK), "%s: the auction: %s", label, err.msg);
    if (st != ST_OK)
        return;
    const char *why = "";
    double bound = certificate_bound(&p, &r.certificate, b->arena, &why);
    double slack = 1e-7 * (1 + fabs(r.bound));
    if (r.has_plan)
        cr_expect(bound <= r.bound + slack,
                  "%s: certified %.9g, claimed %.9g %s", label, bound, r.bound,
                  why);
    struct opinion *to = &j->of[JUDGE_AUCTION];
    *to = (struct opinion){
        .was_asked = true,
        .is_impossible = r.is_impossible,
        .has_plan = r.has_plan,
        .bound = bound * p.value_unit,
        .gap = o->gap,
    };
    if (!r.has_plan)
        return;
    struct stands stands = {r.stand, r.column, r.unit_runs};
    struct plan plan;
    stands_plan(&p, &stands, b->arena, &plan);
    check_plan(b, &plan, JUDGE_AUCTION, label);
    to->value = plan.value;
    to->is_proven = !r.is_stopped;
}

static void ask_flat(struct judges *j, const struct builder *b,
                     const struct plan_options *o, const char *label)
{
    struct problem p;
    struct search_result r;
    struct err err = {0};
    problem_make(&b->field, b->curves, o, true, b->arena, &p);
    enum status st = search_run(&p, false, b->arena, &r, &err);
    cr_expect(eq(int, st, ST_OK), "%s: the flat model: %s", label, err.msg);
    if (st != ST_OK)
        return;
    j->of[JUDGE_FLAT] = (struct opinion){
        .was_asked = true,
        .is_impossible = r.is_impossible,
        .has_plan = r.has_plan,
        .is_proven = r.has_plan && r.bound - r.plan.value <=
                                       (o->gap + 1e-9) * fabs(r.plan.value),
        .value = r.has_plan ? r.plan.value : 0,
        .bound = r.bound,
        .gap = o->gap,
    };
    if (r.has_plan)
        check_plan(b, &r.plan, JUDGE_FLAT, label);
}

static void take_verdict(struct judges *j, enum judge who, struct verdict v)
{
    bool is_closed = v.bound <= v.value + 1e-9 * fabs(v.value);
    j->of[who] = (struct opinion){
        .was_asked = true,
        .is_impossible = v.is_impossible,
        .has_plan = v.has_plan,
        .is_proven = v.has_plan && is_closed,
        .value = v.value,
        .bound = v.bound,
    };
}

void judge_ask(struct judges *j, enum judge who, const struct builder *b,
               const struct plan_options *o, const char *label)
{
    switch (who) {
    case JUDGE_PLAN:
        ask_plan(j, b, o, label);
        break;
    case JUDGE_AUCTION:
        ask_auction(j, b, o, label);
        break;
    case JUDGE_FLAT:
        ask_flat(j, b, o, label);
        break;
    case JUDGE_WHOLE:
        take_verdict(
            j, who,
            whole_by_glpk(&b->field, b->curves, o, WHOLE_NODES, b->arena));
        break;
    case JUDGE_CBC:
        take_verdict(
            j, who,
            whole_by_cbc(&b->field, b->curves, o, CBC_SECONDS, b->arena));
        break;
    case JUDGE_DYNAMIC:
    case N_JUDGES:
        break; /* its verdict is filled in by who can ask it */
    }
}

/* Oil at all peaks, in the objective's unit: what a difference is measured by
 * where the value itself is next to nothing. */
static double size_of(const struct builder *b, enum plan_objective objective)
{
    double sum = 0;
    for (size_t i = 0; i < b->field.n_wells; i++)
        sum += objective == PLAN_GAS ? b->curves[i].gas_max_sm3s
                                     : curve_peak_oil_sm3s(&b->curves[i]);
    return objective == PLAN_MONEY ? sum * b->field.prices.oil_sm3 : sum;
}

static enum judge best_of(const struct judges *j)
{
    enum judge best = N_JUDGES;
    for (enum judge k = 0; k < N_JUDGES; k++)
        if (j->of[k].has_plan &&
            (best == N_JUDGES || j->of[k].value > j->of[best].value))
            best = k;
    return best;
}

size_t judges_compare(const struct judges *j, const struct builder *b,
                      const char *label)
{
    enum judge best = best_of(j);
    if (best == N_JUDGES)
        return 0;
    double value = j->of[best].value;
    double slack = AGREE * (fabs(value) + 0.01 * size_of(b, j->plan.objective));
    size_t n_faults = 0;
    for (enum judge k = 0; k < N_JUDGES; k++) {
        const struct opinion *o = &j->of[k];
        if (!o->was_asked)
            continue;
        bool is_wrong = o->is_impossible;
        bool is_low = !o->is_impossible && o->bound < value - slack;
        bool is_poor =
            o->is_proven && o->value < value - slack - o->gap * fabs(value);
        cr_expect(not(is_wrong), "%s: %s says impossible, %s has %.9g", label,
                  name_of(k), name_of(best), value);
        cr_expect(not(is_low), "%s: %s bounds by %.9g, %s has %.9g", label,
                  name_of(k), o->bound, name_of(best), value);
        cr_expect(not(is_poor), "%s: %s proves %.9g, %s has %.9g", label,
                  name_of(k), o->value, name_of(best), value);
        n_faults += is_wrong || is_low || is_poor;
    }
    return n_faults;
}
