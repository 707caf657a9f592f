#include "field/curves.h"

#include <math.h>

#include "base/arena.h"
#include "curve/dual.h"
#include "curve/intermittent.h"

/* What one thread made for one well. */
struct built {
    struct curve curve;
    struct curve_count count;
    double gas_both_sm3s; /* of a dual */
    int starved;          /* string of a dual with less; -1: none */
    enum status status;
    struct err err;
};

static struct curve dead_curve(const struct field_well *w)
{
    return (struct curve){
        .well = w->name,
        .source = CURVE_MODEL,
        .gas_max_sm3s = isfinite(w->lift_max_sm3s) ? w->lift_max_sm3s : 0};
}

/* A curve from one thread's arena into the run's. */
static struct curve kept_curve(const struct curve *c, struct arena *a)
{
    struct curve out = *c;
    const double **array[] = {
        &out.gas_sm3s,       &out.oil_sm3s,    &out.water_sm3s,
        &out.formation_sm3s, &out.p_bottom_pa, &out.p_inject_pa,
        &out.p_casing_pa,    &out.steady,      &out.arm_sm3s};

    for (size_t k = 0; k < sizeof array / sizeof array[0]; k++) {
        const double *from = *array[k];
        double *to = from ? ARENA_NEW(a, c->n, double) : NULL;

        for (size_t i = 0; from && i < c->n; i++)
            to[i] = from[i];
        *array[k] = to;
    }
    return out;
}

/* Both strings by themselves, and what they make of a shared annulus. */
static enum status build_dual(const struct field_well *w, struct arena *a,
                              struct built *b)
{
    struct curve arm[2];
    struct dual_split split;
    const struct field_well *string[2] = {w, w->second};
    double gas_max = 0;

    for (int i = 0; i < 2; i++) {
        enum status st = curve_build(string[i]->model, w->lift_max_sm3s, a,
                                     &arm[i], &b->count, &b->err);
        if (st != ST_OK)
            return st;
        gas_max += arm[i].gas_max_sm3s;
    }
    enum status st = curve_build_dual(arm, fmin(gas_max, w->lift_max_sm3s), a,
                                      &b->curve, &split, &b->err);
    b->curve.well = w->name;
    b->curve.arm_sm3s = split.gas_sm3s[0];
    b->curve.operating = arm[0].operating;
    b->curve.operating_second = arm[1].operating;
    b->gas_both_sm3s = split.gas_both_sm3s;
    b->starved = split.starved;
    return st;
}

static enum status build_cycles(const struct field_well *w, struct arena *a,
                                struct built *b)
{
    return curve_build_intermittent(w->model, w->intermitter, w->lift_max_sm3s,
                                    a, &b->curve, &b->err);
}

static void build_one(const struct field_well *w, struct arena *a,
                      struct built *b)
{
    struct arena scratch;

    arena_init(&scratch);
    b->starved = -1;
    if (w->kind == KIND_DUAL)
        b->status = build_dual(w, &scratch, b);
    else if (w->kind == KIND_INTERMITTENT)
        b->status = build_cycles(w, &scratch, b);
    else
        b->status = curve_build(w->model, w->lift_max_sm3s, &scratch, &b->curve,
                                &b->count, &b->err);
        /* The arena of the run serves one thread at a time. */
#pragma omp critical
    if (b->status == ST_OK)
        b->curve = kept_curve(&b->curve, a);
    arena_release(&scratch);
}

static void add_count(struct curve_count *sum, const struct curve_count *c)
{
    march_count_add(&sum->march, &c->march);
    sum->traverses += c->traverses;
}

static void warn_of_starved(const struct field *f, const struct field_well *w,
                            const struct built *b, struct diag *d)
{
    const struct unit *unit = unit_named(DIM_GAS_RATE, "Mscf/d");
    const char *name = b->starved == 0 ? w->name : w->second->name;

    if (isinf(b->gas_both_sm3s))
        diag_add(d, DIAG_WARNING, w->at, w->name,
                 "look at its valves: no rate lifts both strings",
                 "string %s is starved at every rate", name);
    else
        diag_add(d, DIAG_WARNING, w->at, w->name,
                 "give the pair more, or look at its valves",
                 "string %s is starved below %.0f Mscf/d for both", name,
                 unit_from_si(unit, b->gas_both_sm3s, &f->frame));
}

/* The gas does not get where it is meant to. */
static void warn_of_valves(const struct field *f, const struct field_well *w,
                           const struct built *b, struct diag *d)
{
    const struct unit *ft = unit_named(DIM_LENGTH, "ft");
    const struct well *m = w->model;

    if (b->starved >= 0)
        warn_of_starved(f, w, b, d);
    if (m && m->n_valves > 0 && b->curve.operating != m->operating)
        diag_add(
            d, DIAG_WARNING, w->at, w->name,
            "its report shows what each station needs",
            "the casing pressure does not reach the valve at %.0f ft; its "
            "curve is that of the one at %.0f ft",
            unit_from_si(ft, m->md_inject_m, &f->frame),
            unit_from_si(ft, m->valve[b->curve.operating].md_m, &f->frame));
}

void field_limit_by_curves(struct field *f, const struct curve *curves)
{
    for (size_t i = 0; i < f->n_wells; i++) {
        struct field_well *w = &f->well[i];
        const struct curve *c = &curves[i];

        if (c->n > 0 && c->start != CURVE_START_FLOW)
            w->lift_min_sm3s = fmax(w->lift_min_sm3s, c->gas_min_sm3s);
        w->lift_max_sm3s = fmin(w->lift_max_sm3s, c->gas_max_sm3s);
    }
}

void field_build_curves(const struct field *f, struct arena *a, struct diag *d,
                        struct curve **curves, struct curve_count *count,
                        void (*done)(size_t n_done, void *context),
                        void *context)
{
    struct built *built = ARENA_NEW(a, f->n_wells, struct built);
    size_t n_done = 0;

    *curves = ARENA_NEW(a, f->n_wells, struct curve);
#pragma omp parallel for schedule(dynamic)
    for (size_t i = 0; i < f->n_wells; i++) {
        if (f->well[i].model)
            build_one(&f->well[i], a, &built[i]);
#pragma omp critical
        if (done)
            done(++n_done, context);
    }
    /* Gathered by index: the same whatever thread built what. */
    for (size_t i = 0; i < f->n_wells; i++) {
        const struct field_well *w = &f->well[i];

        (*curves)[i] = w->table ? *w->table : built[i].curve;
        if (count)
            add_count(count, &built[i].count);
        if (!w->table && built[i].status != ST_OK) {
            (*curves)[i] = dead_curve(w);
            diag_add(d, DIAG_ERROR, w->at, w->name,
                     "check the well's inputs; the plan counts it as dead",
                     "the well model failed: %s", built[i].err.msg);
        } else if (!w->table) {
            warn_of_valves(f, w, &built[i], d);
        }
    }
}
