#include "well/diagnose.h"

#include <math.h>
#include <stdlib.h>

#include "num/root.h"
#include "num/tol.h"
#include "well/gas_path.h"
#include "well/operate.h"

/* A meter further off than this is not called wrong but broken; and a port. */
#define RATIO_LEAST 0.4
#define RATIO_MOST 2.0
/* Nearer to 1 than this there is nothing to explain. */
#define RATIO_NONE 0.01
/* Depths looked at for a hole. */
#define HOLE_PIECES 16
/* Rates looked at for what the meter should show, relative to it. */
#define TRUE_RATE_PIECES 16

struct doctor {
    struct well well; /* with the read wellhead pressure */
    const struct diagnose_reading *reading;
    struct diagnosis *out;
    struct err *err;
    enum status status;
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
    if (isfinite(e.score) &&
        d->out->n < sizeof d->out->at / sizeof d->out->at[0])
        d->out->at[d->out->n++] = e;
}

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

/* State of a well at a rate. False: dead, or a fault. */
static bool work(struct doctor *d, const struct well *w, double gas_sm3s,
                 bool shares, struct string_state *state)
{
    struct operating o;
    struct traverse t;

    if (d->status == ST_OK)
        d->status = operate_highest(w, gas_sm3s, 1, &o, d->err);
    if (d->status != ST_OK || o.stable < 0)
        return false;
    double liquid = o.crossing[o.stable].liquid_sm3s;
    d->status = shares ? string_outflow(w, liquid, gas_sm3s, &t, state, d->err)
                       : string_single(w, liquid, gas_sm3s, &t, state, d->err);
    return d->status == ST_OK;
}

/* Casing pressure at a depth, from the reading. */
static double casing_pa(struct doctor *d, double md_m)
{
    double p = 0;

    if (d->status == ST_OK)
        d->status =
            gas_path_pressure(&d->well, 0, md_m, d->reading->gas_sm3s,
                              d->reading->p_casing_pa, &p, NULL, d->err);
    return p;
}

/* Gas through a port at the read casing pressure. */
static double through(struct doctor *d, const struct valve *v,
                      const struct station_state *at)
{
    return orifice_rate_sm3s(&v->port, &d->well.fluid.lift_gas,
                             casing_pa(d, v->md_m), at->p_tubing_pa, at->t_k);
}

/* --- one station ---------------------------------------------------------- */

/* A port of another size would explain the readings. */
static void try_port(struct doctor *d, const struct valve *v,
                     const struct station_state *at)
{
    double passes = through(d, v, at);
    double ratio = sqrt(d->reading->gas_sm3s / passes);
    bool is_small = ratio < 1;

    if (!(passes > 0) || fabs(ratio - 1) < RATIO_NONE ||
        !(ratio >= RATIO_LEAST && ratio <= RATIO_MOST))
        return;
    add(d,
        (struct explanation){.kind = is_small ? DIAGNOSE_PLUGGED : DIAGNOSE_CUT,
                             .md_m = v->md_m,
                             .ratio = ratio},
        0);
}

struct meter {
    struct doctor *doctor;
    struct well well;
};

/* What the station needs at a rate less the reading, Pa. */
static double needs_over(double gas_sm3s, void *context)
{
    struct meter *m = context;
    struct string_state s;

    return work(m->doctor, &m->well, gas_sm3s, false, &s)
               ? s.p_head_pa - m->doctor->reading->p_casing_pa
               : (double)NAN;
}

/* Another rate than the meter's would explain the casing pressure: the one
 * nearest to it. */
static void try_meter(struct doctor *d, size_t i)
{
    struct meter m = {d, only_at(d, i)};
    double metered = d->reading->gas_sm3s, best = (double)NAN;
    struct root_end last = {0};

    for (int k = 0; k <= TRUE_RATE_PIECES && d->status == ST_OK; k++) {
        double x =
            metered * (1 / RATIO_MOST + k * (1 / RATIO_LEAST - 1 / RATIO_MOST) /
                                            TRUE_RATE_PIECES);
        struct root_end now = {x, needs_over(x, &m)};
        struct root r;

        if (k > 0 && isfinite(last.f) && isfinite(now.f) &&
            (last.f > 0) != (now.f > 0)) {
            d->status = root_find(needs_over, &m, last, now, 1e-4 * metered, &r,
                                  d->err);
            if (d->status == ST_OK &&
                !(fabs(log(r.x / metered)) > fabs(log(best / metered))))
                best = r.x;
        }
        last = now;
    }
    if (d->status == ST_OK && isfinite(best) &&
        fabs(metered / best - 1) >= RATIO_NONE)
        add(d,
            (struct explanation){.kind = DIAGNOSE_METER,
                                 .md_m = d->well.valve[i].md_m,
                                 .ratio = metered / best},
            0);
}

static void try_station(struct doctor *d, size_t i)
{
    struct well w = only_at(d, i);
    const struct valve *v = &d->well.valve[i];
    bool is_meant = i == d->well.operating;
    struct string_state s, more;

    if (v->kind == VALVE_DUMMY || !work(d, &w, d->reading->gas_sm3s, false, &s))
        return;
    double spread =
        work(d, &w, d->reading->gas_sm3s * (1 + DIAGNOSE_METER_PART), false,
             &more)
            ? more.p_head_pa - s.p_head_pa
            : 0;
    add(d,
        (struct explanation){
            .kind = is_meant ? DIAGNOSE_AS_MEANT : DIAGNOSE_ABOVE,
            .md_m = v->md_m,
            .ratio = (double)NAN,
            .miss_pa = s.p_head_pa - d->reading->p_casing_pa,
            .miss_sm3s = through(d, v, &s.station[0]) - d->reading->gas_sm3s},
        spread);
    if (!is_meant)
        return;
    try_port(d, v, &s.station[0]);
    try_meter(d, i);
}

/* --- several -------------------------------------------------------------- */

/* Gas at the stations that share it; stuck: one stands open though the casing
 * pressure does not open it, n for none. */
static void try_several(struct doctor *d, size_t stuck)
{
    struct valve valve[STRING_MAX];
    struct well w = d->well;
    struct string_state s;
    struct operating o;
    struct traverse t;
    double rate[STRING_MAX], sum = 0;
    size_t most = 0;
    bool is_stuck = stuck < w.n_valves;

    for (size_t i = 0; i < w.n_valves; i++)
        valve[i] = w.valve[i];
    w.valve = valve;
    if (is_stuck)
        valve[stuck].kind = VALVE_ORIFICE;
    if (d->status == ST_OK)
        d->status = operate_highest(&w, d->reading->gas_sm3s, 1, &o, d->err);
    if (d->status != ST_OK || o.stable < 0)
        return;
    /* A state that cannot be found is no explanation. */
    if (string_outflow(&w, o.crossing[o.stable].liquid_sm3s,
                       d->reading->gas_sm3s, &t, &s, d->err) != ST_OK ||
        (is_stuck ? !(s.station[stuck].gas_sm3s > 0) : s.n_passing < 2))
        return;
    d->status = string_rates(&w, &s, d->reading->p_casing_pa, rate, d->err);
    for (size_t i = 0; i < s.n && d->status == ST_OK; i++) {
        sum += rate[i];
        if (s.station[i].gas_sm3s > s.station[most].gas_sm3s)
            most = i;
    }
    add(d,
        (struct explanation){.kind =
                                 is_stuck ? DIAGNOSE_STUCK : DIAGNOSE_SEVERAL,
                             .md_m = w.valve[is_stuck ? stuck : most].md_m,
                             .ratio = (double)NAN,
                             .miss_pa = s.p_head_pa - d->reading->p_casing_pa,
                             .miss_sm3s = sum - d->reading->gas_sm3s},
        0);
}

/* --- a hole --------------------------------------------------------------- */

struct hole {
    struct doctor *doctor;
};

/* Casing pressure at a depth less the tubing's with gas in there. */
static double push_at(double md_m, void *context)
{
    struct hole *h = context;
    struct well w = h->doctor->well;
    struct string_state s;

    w.n_valves = 0;
    w.md_inject_m = md_m;
    if (!work(h->doctor, &w, h->doctor->reading->gas_sm3s, false, &s))
        return (double)NAN;
    return casing_pa(h->doctor, md_m) - s.station[0].p_tubing_pa;
}

/* Gas enters without loss where casing and tubing have one pressure: the
 * deepest such place above the operating station. */
static void try_hole(struct doctor *d)
{
    struct hole h = {d};
    double deep = d->well.md_inject_m;
    struct root_end below = {deep, push_at(deep, &h)};

    for (int k = HOLE_PIECES - 1; k > 0 && d->status == ST_OK; k--) {
        struct root_end above = {deep * k / HOLE_PIECES, 0};
        struct root r;

        above.f = push_at(above.x, &h);
        if (above.f > 0 && below.f < 0) {
            d->status =
                root_find(push_at, &h, above, below, 1e-3 * deep, &r, d->err);
            if (d->status == ST_OK)
                add(d,
                    (struct explanation){.kind = DIAGNOSE_HOLE,
                                         .md_m = r.x,
                                         .ratio = (double)NAN},
                    0);
            return;
        }
        below = above;
    }
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
    struct doctor d = {
        .well = *w, .reading = r, .out = out, .err = err, .status = ST_OK};

    out->n = 0;
    if (!(r->p_casing_pa > 0 && r->gas_sm3s > 0 && w->n_valves > 0))
        return err_set(err, ST_RANGE,
                       "well %s: a diagnosis needs valves, a casing pressure "
                       "and an injection rate above 0",
                       w->name);
    if (r->p_head_pa > 0)
        d.well.p_head_pa = r->p_head_pa;
    for (size_t i = 0; i <= w->operating && d.status == ST_OK; i++)
        try_station(&d, i);
    try_several(&d, w->n_valves);
    for (size_t i = 0; i < w->operating && d.status == ST_OK; i++)
        if (w->valve[i].kind == VALVE_INJECTION ||
            w->valve[i].kind == VALVE_PRODUCTION)
            try_several(&d, i);
    if (d.status == ST_OK)
        try_hole(&d);
    qsort(out->at, out->n, sizeof out->at[0], by_score);
    return d.status;
}
