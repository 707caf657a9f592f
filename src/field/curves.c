#include "field/curves.h"

#include "base/arena.h"

/* What one thread made for one well. */
struct built {
    struct curve curve;
    struct curve_count count;
    enum status status;
    struct err err;
};

static struct curve dead_curve(const struct field_well *w)
{
    return (struct curve){.well = w->name,
                          .source = CURVE_MODEL,
                          .gas_max_sm3s = w->lift_max_sm3s};
}

/* A curve from one thread's arena into the run's. */
static struct curve kept_curve(const struct curve *c, struct arena *a)
{
    struct curve out = *c;
    const double **array[] = {&out.gas_sm3s,    &out.oil_sm3s,
                              &out.water_sm3s,  &out.formation_sm3s,
                              &out.p_bottom_pa, &out.p_inject_pa,
                              &out.p_casing_pa, &out.steady};

    for (size_t k = 0; k < sizeof array / sizeof array[0]; k++) {
        const double *from = *array[k];
        double *to = from ? ARENA_NEW(a, c->n, double) : NULL;

        for (size_t i = 0; from && i < c->n; i++)
            to[i] = from[i];
        *array[k] = to;
    }
    return out;
}

static void build_one(const struct field_well *w, struct arena *a,
                      struct built *b)
{
    struct arena scratch;

    arena_init(&scratch);
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
    sum->march.calls += c->march.calls;
    sum->march.steps += c->march.steps;
    sum->march.rejected += c->march.rejected;
    sum->march.events += c->march.events;
    sum->traverses += c->traverses;
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
        }
    }
}
