#include "report/well.h"

#include <math.h>

#include "base/arena.h"
#include "curve/build.h"
#include "field/deliver.h"
#include "well/working.h"

/* More points than a march makes on any well seen; further ones are counted
 * and not kept. */
#define PROFILE_CAP 4000

static enum status solve_state(const struct well_facts *w, bool has_model,
                               const struct plan_well *at_rate,
                               double string_sm3s, struct well_state *out,
                               struct err *err)
{
    struct working at;
    enum status st = ST_OK;

    *out = (struct well_state){.lift_sm3s = at_rate->gas_sm3s,
                               .oil_sm3s = at_rate->oil_sm3s,
                               .string_sm3s = string_sm3s};
    out->operating.stable = -1;
    if (has_model)
        st = operate_at(&w->model, string_sm3s, &out->operating, err);
    if (st != ST_OK || out->operating.stable < 0)
        return st;
    st = working_shared(&w->model, string_sm3s, &at, err);
    out->gas = at.gas;
    return st;
}

/* The way up of the planned stream; no points when the well is dead. */
static enum status solve_profile(struct arena *a, struct well_facts *w,
                                 struct err *err)
{
    const struct operating *o = &w->plan.operating;
    if (o->stable < 0)
        return ST_OK;
    struct traverse t;
    w->profile.cap = PROFILE_CAP;
    w->profile.point = ARENA_NEW(a, PROFILE_CAP, struct traverse_point);
    return traverse_solve(&w->model, o->crossing[o->stable].liquid_sm3s,
                          w->plan.string_sm3s, &t, &w->profile, err);
}

/* From 75 to 125 % of the present header pressure. */
static enum status solve_headers(struct well_facts *w, struct err *err)
{
    const struct string_state *gas = &w->plan.gas;
    double now_pa = w->model.gas_path.p_header_pa;
    enum status st = ST_OK;

    if (w->model.n_valves == 0 || gas->n == 0 || !isfinite(now_pa))
        return ST_OK;
    w->n_headers = WELL_HEADERS;
    for (size_t i = 0; i < WELL_HEADERS && st == ST_OK; i++) {
        w->header[i].p_header_pa = now_pa * (0.75 + 0.05 * (double)i);
        st = string_rates(&w->model, gas, w->header[i].p_header_pa,
                          w->header[i].rate_sm3s, err);
    }
    return st;
}

/* The gas of this string of a dual. */
static double share(const struct curve *c, bool second, double gas_sm3s)
{
    double first = c->arm_sm3s ? field_first_share(c, gas_sm3s) : gas_sm3s;

    return second ? gas_sm3s - first : first;
}

static enum status solve_model(const struct field_well *fw,
                               const struct curve *c, struct arena *a,
                               struct well_facts *out, struct err *err)
{
    double gas = out->plan.string_sm3s;
    const struct string_state *s = &out->plan.gas;
    enum status st = solve_profile(a, out, err);

    if (st == ST_OK && fw->kind == KIND_INTERMITTENT)
        return field_cycle(fw, gas, &out->cycle, err);
    if (st == ST_OK)
        st = solve_headers(out, err);
    out->heads = out->model.n_valves > 0 && s->n > 0 && gas > 0 &&
                 !is_steady(&s->steady);
    if (st == ST_OK && out->heads && fw->kind != KIND_DUAL)
        st = cures_find(&out->model, c, gas, &out->cures, err);
    if (st == ST_OK && c->n > 0)
        st = curve_trust(&out->model, gas, &out->oil_low_sm3s,
                         &out->oil_high_sm3s, err);
    return st;
}

enum status well_facts_solve(const struct field *f, const struct curve *curves,
                             const struct morning *m, size_t well, bool second,
                             struct arena *a, struct well_facts *out,
                             struct err *err)
{
    const struct field_well *fw = &f->well[well];
    const struct curve *c = &curves[well];
    const struct plan *plan =
        m->plan.outcome == PLAN_IMPOSSIBLE ? &m->now : &m->plan;
    const struct plan_well *now = &m->now.well[well], *to = &plan->well[well];
    *out = (struct well_facts){.well = well,
                               .string = second ? fw->second : fw,
                               .morning = m,
                               .oil_low_sm3s = (double)NAN,
                               .oil_high_sm3s = (double)NAN};
    const struct well *model = out->string->model;
    bool runs = model != NULL && fw->kind != KIND_INTERMITTENT;

    if (model != NULL)
        out->model = second ? field_second_well(c, fw) : curve_well(c, model);
    enum status st = solve_state(
        out, runs, now, share(c, second, now->gas_sm3s), &out->now, err);
    if (st == ST_OK)
        st = solve_state(out, runs, to, share(c, second, to->gas_sm3s),
                         &out->plan, err);
    if (st == ST_OK && model != NULL)
        st = solve_model(fw, c, a, out, err);
    return st;
}

/* What was asked for cannot be had of this well: the one who asked can tell. */
static enum status asked_in_vain(enum status st)
{
    return st == ST_RANGE ? ST_USAGE : st;
}

enum status well_facts_unload(struct well_facts *w, struct err *err)
{
    struct unload_spec spec = w->string->kill;

    if (!w->string->model)
        return err_set(err, ST_USAGE, "well %s has no model to unload",
                       w->string->name);
    enum status st = unload_solve(w->string->model, &spec, &w->unload, err);
    spec.annulus_is_full = true;
    if (st == ST_OK)
        st = unload_solve(w->string->model, &spec, &w->restart, err);
    w->shows_unload = st == ST_OK;
    return asked_in_vain(st);
}

enum status well_facts_diagnose(const struct field *f, struct well_facts *w,
                                struct err *err)
{
    const struct field_reading *r = &w->string->reading;
    const struct diagnose_reading reading = {
        r->given ? r->p_casing_pa : (double)NAN,
        r->given ? r->lift_sm3s : (double)NAN, r->p_tubing_pa};

    if (!w->string->model || f->well[w->well].kind == KIND_DUAL)
        return err_set(err, ST_USAGE,
                       "well %s: a diagnosis needs a model of one string",
                       w->string->name);
    enum status st =
        diagnose_solve(w->string->model, &reading, &w->diagnosis, err);
    w->shows_diagnosis = st == ST_OK;
    return asked_in_vain(st);
}
