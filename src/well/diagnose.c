#include "well/diagnose.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "num/root.h"
#include "num/tol.h"
#include "well/gas_path.h"
#include "well/working.h"

/* A meter further off than this is not called wrong but broken; and a port. */
#define RATIO_LEAST 0.4
#define RATIO_MOST 2.0
/* Nearer to 1 than this there is nothing to explain. */
#define RATIO_NONE 0.01
/* Depths looked at for a hole. */
#define HOLE_PIECES 16
/* Rates looked at for what the meter should show, relative to it. */
#define TRUE_RATE_PIECES 16

/* What cannot be worked out (the well is dead, a pressure leaves the range of
 * the correlations) explains nothing and is not listed. */
struct doctor {
    struct well well; /* with the read wellhead pressure */
    const struct diagnose_reading *reading;
    struct diagnosis *out;
    struct err unsaid; /* why something is not listed */
};

const char *diagnose_text(enum diagnose_kind kind)
{
    static const char *const TEXT[] = {
#define TEXT_OF(name, text) text,
        DIAGNOSE_LIST(TEXT_OF)
#undef TEXT_OF
    };
    return TEXT[kind];
}

/* What it costs to believe each, and by which factor its number may be off
 * before that doubles (logarithm). */
static const struct {
    double cost, spread;
} BELIEF[DIAGNOSE_COUNT] = {
    [DIAGNOSE_AS_MEANT] = {0, 1},  [DIAGNOSE_ABOVE] = {0.5, 1},
    [DIAGNOSE_SEVERAL] = {0.5, 1}, [DIAGNOSE_STUCK] = {2, 1},
    [DIAGNOSE_HOLE] = {2.5, 1},    [DIAGNOSE_PLUGGED] = {1.2, 0.5},
    [DIAGNOSE_CUT] = {2, 0.5},     [DIAGNOSE_METER] = {0.6, 0.25},
};

/* spread_pa: what the meter's error makes of the casing pressure. */
static void add(struct doctor *d, struct explanation e, double spread_pa)
{
    e.score = fabs(e.miss_pa) / hypot(DIAGNOSE_GAUGE_PA, spread_pa) +
              BELIEF[e.kind].cost;
    if (!isnan(e.ratio))
        e.score += fabs(log(e.ratio)) / BELIEF[e.kind].spread;
    if (isfinite(e.score))
        d->out->at[d->out->n++] = e;
}

/* --- a well at work ------------------------------------------------------- */

/* False: dead, or not to be worked out. */
static bool work(struct doctor *d, const struct well *w, double gas_sm3s,
                 bool shares, struct string_state *state)
{
    struct working at;
    enum status st = shares ? working_shared(w, gas_sm3s, &at, &d->unsaid)
                            : working_single(w, gas_sm3s, &at, &d->unsaid);

    *state = at.gas;
    return st == ST_OK && at.flows;
}

/* Casing pressure at a depth, from the reading; 0 when friction takes it
 * all. */
static double casing_pa(struct doctor *d, double md_m)
{
    double p;

    return gas_path_pressure(&d->well, 0, md_m, d->reading->gas_sm3s,
                             d->reading->p_casing_pa, &p, NULL,
                             &d->unsaid) == ST_OK
               ? p
               : 0;
}

/* Gas that the stations pass at the read casing pressure. */
static double passes(struct doctor *d, const struct well *w,
                     const struct string_state *s)
{
    double sum = 0;

    for (size_t i = 0; i <= w->operating; i++)
        sum +=
            valve_rate_sm3s(&w->valve[i], &w->fluid.lift_gas, i == w->operating,
                            casing_pa(d, w->valve[i].md_m),
                            s->station[i].p_tubing_pa, s->station[i].t_k);
    return sum;
}

/* The misses of a well that works as in s. */
static void compare(struct doctor *d, enum diagnose_kind kind, double md_m,
                    const struct well *w, bool shares,
                    const struct string_state *s)
{
    double gas = d->reading->gas_sm3s, spread = 0;
    struct string_state more;

    if (work(d, w, gas * (1 + DIAGNOSE_METER_PART), shares, &more) &&
        isfinite(more.p_head_pa))
        spread = more.p_head_pa - s->p_head_pa;
    add(d,
        (struct explanation){.kind = kind,
                             .md_m = md_m,
                             .ratio = (double)NAN,
                             .miss_pa = s->p_head_pa - d->reading->p_casing_pa,
                             .miss_sm3s = passes(d, w, s) - gas},
        spread);
}

/* --- one station ---------------------------------------------------------- */

/* The well with gas at one station alone. */
static struct well only_at(const struct doctor *d, size_t i)
{
    struct well w = d->well;

    w.valve = &d->well.valve[i];
    w.n_valves = 1;
    w.operating = 0;
    w.md_inject_m = d->well.valve[i].md_m;
    return w;
}

/* A port of another size would explain the readings. */
static void try_port(struct doctor *d, const struct well *w,
                     const struct string_state *s)
{
    double ratio = sqrt(d->reading->gas_sm3s / passes(d, w, s));

    if (fabs(ratio - 1) < RATIO_NONE ||
        !(ratio >= RATIO_LEAST && ratio <= RATIO_MOST))
        return;
    add(d,
        (struct explanation){.kind =
                                 ratio < 1 ? DIAGNOSE_PLUGGED : DIAGNOSE_CUT,
                             .md_m = w->md_inject_m,
                             .ratio = ratio},
        0);
}

struct meter {
    struct doctor *doctor;
    const struct well *well;
};

/* What the station needs at a rate less the reading, Pa. */
static double needs_over(double gas_sm3s, void *context)
{
    struct meter *m = context;
    struct string_state s;

    return work(m->doctor, m->well, gas_sm3s, false, &s)
               ? s.p_head_pa - m->doctor->reading->p_casing_pa
               : (double)NAN;
}

/* Another rate than the meter's would explain the casing pressure: the one
 * nearest to it. */
static void try_meter(struct doctor *d, const struct well *w)
{
    struct meter m = {d, w};
    double metered = d->reading->gas_sm3s, best = (double)NAN;
    double least = metered / RATIO_MOST, most = metered / RATIO_LEAST;
    struct root_end last = {0};

    for (int k = 0; k <= TRUE_RATE_PIECES; k++) {
        struct root_end now = {least + k * (most - least) / TRUE_RATE_PIECES,
                               0};
        struct root r;

        now.f = needs_over(now.x, &m);
        if (k > 0 && isfinite(last.f) && isfinite(now.f) &&
            (last.f > 0) != (now.f > 0) &&
            root_find(needs_over, &m, last, now, TOL_DIAGNOSE_REL * metered, &r,
                      &d->unsaid) == ST_OK &&
            !(fabs(log(r.x / metered)) > fabs(log(best / metered))))
            best = r.x;
        last = now;
    }
    if (fabs(metered / best - 1) >= RATIO_NONE)
        add(d,
            (struct explanation){.kind = DIAGNOSE_METER,
                                 .md_m = w->md_inject_m,
                                 .ratio = metered / best},
            0);
}

static void try_station(struct doctor *d, size_t i)
{
    struct well w = only_at(d, i);
    bool is_meant = i == d->well.operating;
    struct string_state s;

    if (w.valve->kind == VALVE_DUMMY)
        return;
    if (is_meant)
        try_meter(d, &w);
    if (!work(d, &w, d->reading->gas_sm3s, false, &s))
        return;
    compare(d, is_meant ? DIAGNOSE_AS_MEANT : DIAGNOSE_ABOVE, w.md_inject_m, &w,
            false, &s);
    if (is_meant)
        try_port(d, &w, &s);
}

/* --- several -------------------------------------------------------------- */

static void try_several(struct doctor *d)
{
    const struct well *w = &d->well;
    struct string_state s;
    size_t most = 0;

    if (!work(d, w, d->reading->gas_sm3s, true, &s) || s.n_passing < 2)
        return;
    for (size_t i = 1; i < s.n; i++)
        if (s.station[i].gas_sm3s > s.station[most].gas_sm3s)
            most = i;
    compare(d, DIAGNOSE_SEVERAL, w->valve[most].md_m, w, true, &s);
}

/* A valve stands open though the casing pressure does not open it. */
static void try_stuck(struct doctor *d, size_t i)
{
    struct valve valve[STRING_MAX];
    struct well w = d->well;
    struct string_state s;

    if (w.valve[i].kind == VALVE_DUMMY || w.valve[i].kind == VALVE_ORIFICE)
        return;
    memcpy(valve, w.valve, (w.operating + 1) * sizeof valve[0]);
    valve[i].kind = VALVE_ORIFICE;
    w.valve = valve;
    if (work(d, &w, d->reading->gas_sm3s, true, &s) &&
        s.station[i].gas_sm3s > 0)
        compare(d, DIAGNOSE_STUCK, valve[i].md_m, &w, true, &s);
}

/* --- a hole --------------------------------------------------------------- */

/* Casing pressure at a depth less the tubing's with gas in there. */
static double push_at(double md_m, void *context)
{
    struct doctor *d = context;
    struct well w = d->well;
    struct string_state s;

    w.n_valves = 0;
    w.md_inject_m = md_m;
    return work(d, &w, d->reading->gas_sm3s, false, &s)
               ? casing_pa(d, md_m) - s.station[0].p_tubing_pa
               : (double)NAN;
}

/* Gas enters without loss where casing and tubing have one pressure: the
 * deepest such place above the operating station. */
static void try_hole(struct doctor *d)
{
    double deep = d->well.md_inject_m;
    struct root_end above = {0}, below = {deep, push_at(deep, d)};
    struct root r;

    for (int k = HOLE_PIECES - 1; k > 0; k--, below = above) {
        above.x = deep * k / HOLE_PIECES;
        above.f = push_at(above.x, d);
        if (above.f > 0 && below.f < 0)
            break;
    }
    if (above.f > 0 && below.f < 0 &&
        root_find(push_at, d, above, below, TOL_DIAGNOSE_REL * deep, &r,
                  &d->unsaid) == ST_OK)
        add(d,
            (struct explanation){
                .kind = DIAGNOSE_HOLE, .md_m = r.x, .ratio = (double)NAN},
            0);
}

static int by_score(const void *a, const void *b)
{
    const struct explanation *x = a, *y = b;

    if (x->score < y->score)
        return -1;
    if (x->score > y->score)
        return 1;
    return x->kind < y->kind ? -1 : x->kind > y->kind;
}

enum status diagnose_solve(const struct well *w,
                           const struct diagnose_reading *r,
                           struct diagnosis *out, struct err *err)
{
    struct doctor d = {.well = *w, .reading = r, .out = out};

    out->n = 0;
    if (!(r->p_casing_pa > 0 && r->gas_sm3s > 0 && w->n_valves > 0))
        return err_set(err, ST_RANGE,
                       "well %s: a diagnosis needs valves, a casing pressure "
                       "and an injection rate above 0",
                       w->name);
    if (r->p_head_pa > 0)
        d.well.p_head_pa = r->p_head_pa;
    for (size_t i = 0; i <= w->operating; i++)
        try_station(&d, i);
    try_several(&d);
    for (size_t i = 0; i < w->operating; i++)
        try_stuck(&d, i);
    try_hole(&d);
    qsort(out->at, out->n, sizeof out->at[0], by_score);
    return ST_OK;
}
