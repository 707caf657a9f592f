#include "plan/outage_start.h"

#include <math.h>

#include "num/tol.h"

/* Of all planned events together. */
static bool find_work(const struct outage *o, double *from_s, double *to_s)
{
    *from_s = (double)INFINITY;
    *to_s = -(double)INFINITY;
    for (size_t i = 0; i < o->n_events; i++)
        if (o->event[i].is_planned) {
            *from_s = fmin(*from_s, o->event[i].from_s);
            *to_s = fmax(*to_s, o->event[i].to_s);
        }
    return *from_s < *to_s;
}

/* The outage with the planned work later by so much. */
static struct outage moved(const struct outage *o, double by_s,
                           const struct field *f, struct arena *a)
{
    struct outage out = *o;
    out.event = ARENA_NEW(a, o->n_events, struct outage_event);
    for (size_t i = 0; i < o->n_events; i++) {
        out.event[i] = o->event[i];
        if (o->event[i].is_planned) {
            out.event[i].from_s += by_s;
            out.event[i].to_s += by_s;
        }
    }
    outage_periods(f, &out, a);
    return out;
}

static bool is_better(const struct outage_starts *s, size_t i)
{
    bool has_plan = s->start[i].outcome != PLAN_IMPOSSIBLE;
    return has_plan &&
           (s->best == s->n || s->start[i].value > s->start[s->best].value);
}

/* The first period that begins at or after the moment. */
static size_t period_from(const struct outage *o, double s)
{
    return (size_t)fmax(ceil(s / o->period_s - TOL_INPUT_RANGE), 0);
}

enum status outage_best_start(const struct field *f, const struct curve *curves,
                              const struct outage *o,
                              const struct plan_options *ask, double from_s,
                              double to_s, struct arena *a,
                              struct outage_starts *out, struct err *err)
{
    double work_from_s, work_to_s;
    double end_s = (double)o->n_periods * o->period_s;
    if (!find_work(o, &work_from_s, &work_to_s))
        return err_set(err, ST_INPUT,
                       "no event of the outage is planned; mark those that can "
                       "be moved with planned: yes");
    double last_s = fmin(to_s, end_s - (work_to_s - work_from_s));
    size_t first = period_from(o, from_s);
    double slack_s = TOL_INPUT_RANGE * end_s;
    if ((double)first * o->period_s > to_s + slack_s)
        return err_set(err, ST_USAGE, "no period begins in the window");
    if ((double)first * o->period_s > last_s + slack_s)
        return err_set(err, ST_USAGE,
                       "the planned work would end past the horizon; write an "
                       "earlier window or a longer horizon");
    size_t n = (size_t)floor((last_s + slack_s) / o->period_s) - first + 1;
    *out = (struct outage_starts){.n = n, .best = n};
    out->start = ARENA_NEW(a, n, struct outage_start);
    for (size_t i = 0; i < n; i++) {
        double start_s = (double)(first + i) * o->period_s;
        struct outage_plan plan;
        struct outage then = moved(o, start_s - work_from_s, f, a);
        enum status st = outage_solve(f, curves, &then, ask, a, &plan, err);
        if (st != ST_OK)
            return st;
        out->start[i] = (struct outage_start){
            start_s,         plan.outcome, plan.deferred_sm3,
            plan.money_lost, plan.value,   plan.bound};
        bool is_best = is_better(out, i);
        if (is_best)
            out->best = i;
        if (is_best || i == 0) {
            out->outage = then;
            out->plan = plan;
        }
    }
    return ST_OK;
}
