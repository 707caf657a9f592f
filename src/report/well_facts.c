#include "report/well.h"

#include <math.h>

#include "base/arena.h"
#include "curve/build.h"

/* More points than a march makes on any well seen; further ones are counted
 * and not kept. */
#define PROFILE_CAP 4000

static enum status solve_state(const struct well *model, double lift_sm3s,
                               double oil_sm3s, struct well_state *out,
                               struct err *err)
{
    *out = (struct well_state){.lift_sm3s = lift_sm3s, .oil_sm3s = oil_sm3s};
    out->operating.stable = -1;
    return model != NULL ? operate_at(model, lift_sm3s, &out->operating, err)
                         : ST_OK;
}

/* The way up of the planned stream; no points when the well is dead. */
static enum status solve_profile(const struct well *model, struct arena *a,
                                 struct well_facts *w, struct err *err)
{
    const struct operating *o = &w->plan.operating;
    if (o->stable < 0)
        return ST_OK;
    struct traverse t;
    w->profile.cap = PROFILE_CAP;
    w->profile.point = ARENA_NEW(a, PROFILE_CAP, struct traverse_point);
    return traverse_solve(model, o->crossing[o->stable].liquid_sm3s,
                          w->plan.lift_sm3s, &t, &w->profile, err);
}

enum status well_facts_solve(const struct field *f, const struct curve *curves,
                             const struct morning *m, size_t well,
                             struct arena *a, struct well_facts *out,
                             struct err *err)
{
    const struct well *model = f->well[well].model;
    const struct plan *plan =
        m->plan.outcome == PLAN_IMPOSSIBLE ? &m->now : &m->plan;
    const struct plan_well *now = &m->now.well[well], *to = &plan->well[well];
    *out = (struct well_facts){.well = well,
                               .morning = m,
                               .oil_low_sm3s = (double)NAN,
                               .oil_high_sm3s = (double)NAN};

    enum status st =
        solve_state(model, now->gas_sm3s, now->oil_sm3s, &out->now, err);
    if (st == ST_OK)
        st = solve_state(model, to->gas_sm3s, to->oil_sm3s, &out->plan, err);
    if (st == ST_OK && model != NULL)
        st = solve_profile(model, a, out, err);
    if (st == ST_OK && model != NULL && curves[well].n > 0)
        st = curve_trust(model, to->gas_sm3s, &out->oil_low_sm3s,
                         &out->oil_high_sm3s, err);
    return st;
}
