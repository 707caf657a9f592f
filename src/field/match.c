#include "field/match.h"

#include <math.h>

#include "well/traverse.h"

static double in_unit(const struct field *f, enum dim d, const char *unit,
                      double si)
{
    return unit_from_si(unit_named(d, unit), si, &f->frame);
}

/* Why a test cannot have happened, or NULL. */
static const char *impossible(const struct field *f, const struct field_test *t)
{
    if (t->day > f->day)
        return "the test is dated after the day of the plan";
    if (!(t->liquid_sm3s > 0))
        return "the test has no liquid";
    if (t->gas_sm3s < t->lift_sm3s)
        return "the test has less gas than lift gas";
    return NULL;
}

static const struct field_test *
newest(const struct field *f, const struct field_well *w, struct diag *d)
{
    const struct field_test *best = NULL;

    for (size_t i = 0; i < w->n_tests; i++) {
        const struct field_test *t = &w->test[i];
        const char *why = t->accepted ? impossible(f, t) : NULL;

        if (why)
            diag_add(d, DIAG_WARNING, t->at, w->name,
                     "correct it or mark it as not accepted",
                     "%s; it is not used", why);
        if (t->accepted && !why && (!best || t->day > best->day))
            best = t;
    }
    return best;
}

static void set_rates(struct well *w, const struct field_test *t)
{
    if (!isnan(t->water_cut))
        w->water_cut = t->water_cut;
    if (w->inflow.water_cut >= 0)
        w->inflow.water_cut = w->water_cut;
    double oil = t->liquid_sm3s * (1 - w->water_cut);
    double formation = t->gas_sm3s - t->lift_sm3s;
    if (oil > 0 && !isnan(formation))
        w->gor_sm3sm3 = formation / oil;
}

static enum status set_productivity(const struct field *f,
                                    struct field_well *fw,
                                    const struct field_test *t, struct diag *d,
                                    struct err *err)
{
    struct well at_test = *fw->model;
    struct traverse tr;

    if (isnan(t->lift_sm3s)) {
        diag_add(d, DIAG_WARNING, t->at, fw->name,
                 "give the test's lift gas, 0 for none",
                 "the test has no lift gas; the productivity is left as it "
                 "was");
        return ST_OK;
    }
    if (!isnan(t->p_head_pa))
        at_test.p_head_pa = t->p_head_pa;
    enum status st =
        traverse_solve(&at_test, t->liquid_sm3s, t->lift_sm3s, &tr, NULL, err);
    if (st != ST_OK && st != ST_RANGE)
        return st;
    struct inflow matched = fw->model->inflow;
    if (st == ST_OK &&
        !isnan(inflow_match(&matched, t->liquid_sm3s, tr.p_bottom_pa))) {
        fw->model->inflow = matched;
        return ST_OK;
    }
    diag_add(d, DIAG_WARNING, t->at, fw->name,
             "check the test, the reservoir pressure and the tubing",
             "at the tested %.0f stb/d the tubing needs %.0f psia at the "
             "bottom and the reservoir has %.0f psia; the productivity is "
             "left as it was",
             in_unit(f, DIM_LIQUID_RATE, "stb/d", t->liquid_sm3s),
             in_unit(f, DIM_PRESSURE, "psia", tr.p_bottom_pa),
             in_unit(f, DIM_PRESSURE, "psia", matched.p_res_pa));
    return ST_OK;
}

static enum status match_well(const struct field *f, struct field_well *w,
                              struct diag *d, struct err *err)
{
    const struct field_test *t = newest(f, w, d);

    w->matched = t;
    if (!t)
        return ST_OK;
    if (f->day - t->day > f->test_age_max_days)
        diag_add(d, DIAG_WARNING, t->at, w->name, "test the well again",
                 "the newest test is %ld days old, more than %ld; it is used "
                 "all the same",
                 f->day - t->day, f->test_age_max_days);
    set_rates(w->model, t);
    return w->match == MATCH_PRODUCTIVITY ? set_productivity(f, w, t, d, err)
                                          : ST_OK;
}

enum status field_match(struct field *f, struct diag *d, struct err *err)
{
    enum status st = ST_OK;

    for (size_t i = 0; i < f->n_wells && st == ST_OK; i++) {
        struct field_well *w = &f->well[i];

        if (w->model && w->match != MATCH_NONE)
            st = match_well(f, w, d, err);
        if (st == ST_OK && w->second && w->second->match != MATCH_NONE)
            st = match_well(f, w->second, d, err);
    }
    return st;
}
