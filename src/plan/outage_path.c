#include "outage_path.h"

#include <math.h>
#include <stdint.h>

#include "base/arena.h"
#include "num/tol.h"

/* --- what a well may do --------------------------------------------------- */

/* Oil lost from a moment after the start on, s of full rate. */
static double rest_after(const struct well_restart *r, double at_s)
{
    if (at_s < r->unload_s)
        return r->unload_s - at_s + r->build_up_s / 2;
    double left_s = r->unload_s + r->build_up_s - at_s;
    return left_s > 0 ? left_s * left_s / (2 * r->build_up_s) : 0;
}

static size_t periods_of(double s, double period_s)
{
    return (size_t)ceil(fmax(s, 0) / period_s - TOL_INPUT_RANGE);
}

static void set_return(struct path_well *w, const struct well_restart *r,
                       const struct outage *o, const struct problem *p,
                       struct arena *a)
{
    double back_s = fmax(r->unload_s + r->build_up_s, o->run_least_s);
    w->n_back = periods_of(back_s, o->period_s);
    w->unloading = ARENA_NEW(a, w->n_back, double);
    w->rising = ARENA_NEW(a, w->n_back, double);
    w->rest = ARENA_NEW(a, w->n_back + 1, double);
    for (size_t t = 0; t <= w->n_back; t++)
        w->rest[t] = rest_after(r, (double)t * o->period_s) / o->period_s;
    for (size_t t = 0; t < w->n_back; t++) {
        double left_s = r->unload_s - (double)t * o->period_s;
        w->unloading[t] = fmin(fmax(left_s / o->period_s, 0), 1);
        w->rising[t] = 1 - (w->rest[t] - w->rest[t + 1]);
    }
    if (r->unload_s > 0)
        w->kick_gas = r->gas_sm3 / r->unload_s / p->units.gas_sm3s;
}

static bool is_off(const struct mode *m)
{
    return !m->runs && !m->shut;
}

/* Takes gas and makes no oil. */
static bool is_dead(const struct mode *m, const struct use *u)
{
    return m->runs && !(u->oil > 0);
}

static void add_point(struct path_well *w, const struct use *u, size_t mode,
                      bool runs)
{
    w->point[w->n_points++] = (struct path_point){*u, mode, runs};
}

/* The menu's set points, but for no gas and rates at which the well is dead. */
static void add_menu(struct path_well *w, const struct menu *menu,
                     bool may_shut, struct arena *a)
{
    size_t n = 1;
    for (size_t m = 0; m < menu->n_modes; m++)
        n += menu->mode[m].n;
    w->point = ARENA_NEW(a, n, struct path_point);
    for (size_t m = 0; m < menu->n_modes; m++) {
        const struct mode *mode = &menu->mode[m];
        w->may_stop = w->may_stop || is_off(mode);
        if (is_off(mode) || (mode->shut && !may_shut))
            continue;
        for (size_t j = 0; j < mode->n; j++)
            if (!is_dead(mode, &mode->point[j]))
                add_point(w, &mode->point[j], m, mode->runs);
    }
}

/* This morning's rate, as a mode of its own. */
static void set_first(struct path_well *w, const struct problem *p,
                      const struct menu *menu, bool keeps_now)
{
    const struct field_well *fw = &p->field->well[w->well];
    const struct curve *c = &p->curves[w->well];
    double now_sm3s = field_well_now_sm3s(fw);
    struct curve_point at = menu_point_at(c, now_sm3s);
    bool flows = fw->reading.status != WELL_DOWN && at.oil_sm3s > 0;
    w->first = flows ? POINT_OTHER : POINT_STOPPED;
    if (!flows || !keeps_now || !menu_now_allowed(fw, c))
        return;
    w->first = (int)w->n_points;
    struct use u = {
        .gas = now_sm3s / p->units.gas_sm3s,
        .oil = at.oil_sm3s / p->units.oil_sm3s,
        .water = at.water_sm3s / p->units.oil_sm3s,
        .formation = at.formation_sm3s / p->units.gas_sm3s,
    };
    add_point(w, &u, menu->n_modes, true);
}

static const bool *down_of(const struct outage *o, size_t well, struct arena *a)
{
    bool *down = ARENA_NEW(a, o->n_periods, bool);
    for (size_t k = 0; k < o->n_periods; k++)
        down[k] = o->period[k].well[well].reading.status == WELL_DOWN;
    return down;
}

void path_well_make(const struct problem *today, size_t bidder,
                    const struct outage *o, double today_oil, bool keeps_now,
                    struct arena *a, struct path_well *out)
{
    const struct menu *menu = &today->bidder[bidder].menu;
    const struct curve *c = &today->curves[menu->well];
    bool flows_alone = c->n > 0 && curve_flows_alone(c);
    struct well_restart r = o->restart[menu->well];
    bool never_stops = o->never_stops[menu->well];
    *out = (struct path_well){
        .well = menu->well,
        .stop_least = periods_of(o->stop_least_s, o->period_s),
        .comes_back = r.comes_back || flows_alone,
        .is_down = down_of(o, menu->well, a),
    };
    add_menu(out, menu, !never_stops, a);
    set_first(out, today, menu, keeps_now);
    if (flows_alone || out->stop_least == 0)
        out->stop_least = 1;
    if (!out->comes_back || never_stops)
        out->may_stop = out->n_points == 0;
    if (flows_alone || !r.comes_back)
        r = (struct well_restart){0};
    set_return(out, &r, o, today, a);
    double per_oil = today->goal[USE_OIL];
    if (out->comes_back)
        out->end_charge = fmax(per_oil, 0) * today_oil;
}

struct path_room path_room_make(const struct path_well *w, size_t n_periods,
                                struct arena *a)
{
    return (struct path_room){
        .flow = ARENA_NEW(a, (n_periods + 1) * w->n_points, double),
        .gain = ARENA_NEW(a, n_periods * w->n_points, double),
        .stopped = ARENA_NEW(a, (n_periods + 1) * (w->stop_least + 1), double),
        .moved = ARENA_NEW(a, n_periods + 1, double),
        .move_to = ARENA_NEW(a, n_periods + 1, int),
        .started = ARENA_NEW(a, n_periods + 1, double),
        .start_to = ARENA_NEW(a, n_periods + 1, int),
    };
}

/* --- what a way uses ------------------------------------------------------ */

struct use path_use_at(const struct path_well *w, const struct path_step *s,
                       const struct use *at)
{
    if (s->point == POINT_STOPPED)
        return (struct use){0};
    if (s->since < 0)
        return *at;
    double unloading = w->unloading[s->since], rising = w->rising[s->since];
    return (struct use){
        .gas = unloading * w->kick_gas + (1 - unloading) * at->gas,
        .oil = rising * at->oil,
        .water = rising * at->water,
        .formation = rising * at->formation,
    };
}

struct use path_use(const struct path_well *w, const struct path_step *s,
                    bool *runs)
{
    if (s->point == POINT_STOPPED) {
        *runs = false;
        return (struct use){0};
    }
    *runs = w->point[s->point].runs;
    return path_use_at(w, s, &w->point[s->point].use);
}

double path_end_charge(const struct path_well *w, const struct path_step *step,
                       size_t n_periods)
{
    const struct path_step *last = &step[n_periods - 1];
    if (last->point == POINT_STOPPED)
        return w->end_charge * w->rest[0];
    return last->since < 0 ? 0 : w->end_charge * w->rest[last->since + 1];
}

static double worth_of_use(const struct well_worth *w, const struct use *u,
                           bool runs)
{
    return w->use[USE_GAS] * u->gas + w->use[USE_OIL] * u->oil +
           w->use[USE_WATER] * u->water + w->use[USE_FORMATION] * u->formation +
           (runs ? w->use[USE_RUNS] : 0);
}

static double worth_of_step(const struct path_well *w,
                            const struct path_prices *p, size_t period,
                            const struct path_step *s)
{
    bool runs;
    struct use u = path_use(w, s, &runs);
    return worth_of_use(&p->worth[period], &u, runs);
}

/* --- the dynamic program -------------------------------------------------- */

/* One well, backward in time. */
struct dynamic {
    const struct path_well *w;
    const struct path_prices *p;
    const struct path_room *r;
    size_t n; /* periods */
};

static double *stopped_at(const struct dynamic *d, size_t k, size_t since)
{
    const size_t most = d->w->stop_least;
    return &d->r->stopped[k * (most + 1) + (since < most ? since : most)];
}

static double *flow_at(const struct dynamic *d, size_t k, size_t point)
{
    return &d->r->flow[k * d->w->n_points + point];
}

/* Best from k on for a well that flows at a point just before. */
static double after_flow(const struct dynamic *d, size_t k, size_t point)
{
    if (k == d->n)
        return 0;
    if (d->w->is_down[k])
        return *stopped_at(d, k, 1);
    return fmax(*flow_at(d, k, point), d->r->moved[k]);
}

/* Best from k on for a well that has stood for so long. */
static double after_stop(const struct dynamic *d, size_t k, size_t since)
{
    if (k == d->n)
        return -d->w->end_charge * d->w->rest[0];
    double stays = *stopped_at(d, k, since + 1);
    bool may_start = !d->w->is_down[k] && since >= d->w->stop_least;
    return may_start ? fmax(stays, d->r->started[k]) : stays;
}

/* A start at k with the rate it leads to. */
static double of_start(const struct dynamic *d, size_t k, size_t point)
{
    const struct path_well *w = d->w;
    double sum = -d->p->move[k];
    struct path_step s = {.point = (int)point};
    if (w->n_back == 0)
        return *flow_at(d, k, point) + sum;
    for (size_t t = 0; t < w->n_back; t++) {
        if (k + t == d->n)
            return sum - w->end_charge * w->rest[t];
        if (w->is_down[k + t])
            return -(double)INFINITY;
        s.since = (int)t;
        sum += worth_of_step(w, d->p, k + t, &s);
    }
    return sum + after_flow(d, k + w->n_back, point);
}

static void best_start(const struct dynamic *d, size_t k)
{
    d->r->started[k] = -(double)INFINITY;
    d->r->start_to[k] = POINT_STOPPED;
    for (size_t c = 0; c < d->w->n_points && d->w->comes_back; c++) {
        double worth = of_start(d, k, c);
        if (worth > d->r->started[k]) {
            d->r->started[k] = worth;
            d->r->start_to[k] = (int)c;
        }
    }
}

static void best_move(const struct dynamic *d, size_t k)
{
    double best = d->w->may_stop ? *stopped_at(d, k, 1) : -(double)INFINITY;
    int to = POINT_STOPPED;
    for (size_t c = 0; c < d->w->n_points; c++)
        if (*flow_at(d, k, c) > best) {
            best = *flow_at(d, k, c);
            to = (int)c;
        }
    d->r->moved[k] = best - d->p->move[k];
    d->r->move_to[k] = to;
}

static void fill_period(const struct dynamic *d, size_t k)
{
    const struct path_well *w = d->w;
    for (size_t since = 1; since <= w->stop_least; since++)
        *stopped_at(d, k, since) = after_stop(d, k + 1, since);
    for (size_t c = 0; c < w->n_points; c++) {
        struct path_step s = {.point = (int)c, .since = -1};
        double gain = worth_of_step(w, d->p, k, &s);
        d->r->gain[k * w->n_points + c] = gain;
        *flow_at(d, k, c) =
            w->is_down[k] ? -(double)INFINITY : gain + after_flow(d, k + 1, c);
    }
    best_move(d, k);
    best_start(d, k);
}

/* Forward, along the best. */
static void walk(const struct dynamic *d, struct path_step *step)
{
    const struct path_well *w = d->w;
    int point = w->first;
    size_t stood = w->stop_least;
    for (size_t k = 0; k < d->n; k++) {
        bool was_stopped = point == POINT_STOPPED, moved = false;
        size_t n_fixed = 0;
        if (w->is_down[k]) {
            point = POINT_STOPPED;
        } else if (was_stopped) {
            double stays = *stopped_at(d, k, stood + 1);
            moved = stood >= w->stop_least && d->r->started[k] > stays;
            point = moved ? d->r->start_to[k] : point;
            n_fixed = moved ? w->n_back : 0;
        } else {
            double stays = point == POINT_OTHER ? -(double)INFINITY
                                                : *flow_at(d, k, (size_t)point);
            moved = point == POINT_OTHER || d->r->moved[k] > stays;
            point = moved ? d->r->move_to[k] : point;
        }
        stood = point != POINT_STOPPED ? 0 : was_stopped ? stood + 1 : 1;
        step[k] = (struct path_step){point, n_fixed > 0 ? 0 : -1, moved};
        for (size_t t = 1; t < n_fixed && k + 1 < d->n; t++)
            step[++k] = (struct path_step){point, (int)t, false};
    }
}

double path_best(const struct path_well *w, size_t n_periods,
                 const struct path_prices *p, const struct path_room *room,
                 struct path_step *step)
{
    struct dynamic d = {w, p, room, n_periods};
    for (size_t k = n_periods; k-- > 0;)
        fill_period(&d, k);
    walk(&d, step);
    if (w->first == POINT_STOPPED)
        return after_stop(&d, 0, w->stop_least);
    if (w->is_down[0])
        return *stopped_at(&d, 0, 1);
    double moved = room->moved[0];
    return w->first == POINT_OTHER
               ? moved
               : fmax(moved, *flow_at(&d, 0, (size_t)w->first));
}

/* --- patterns ------------------------------------------------------------- */

static size_t mode_of(const struct path_well *w, const struct path_step *s)
{
    return s->point == POINT_STOPPED ? SIZE_MAX : w->point[s->point].mode;
}

bool path_is_like(const struct path_well *w, size_t n_periods, bool moves_count,
                  const struct path_step *x, const struct path_step *y)
{
    for (size_t k = 0; k < n_periods; k++) {
        bool is_same = mode_of(w, &x[k]) == mode_of(w, &y[k]) &&
                       x[k].since == y[k].since &&
                       (!moves_count || x[k].moved == y[k].moved);
        if (!is_same)
            return false;
    }
    return true;
}

/* The first period from which the rate is free of that in k. */
static size_t stretch_end(const struct path_step *step, size_t k,
                          size_t n_periods, bool moves_count)
{
    size_t end = k + 1;
    while (end < n_periods && step[end].point != POINT_STOPPED &&
           (moves_count ? !step[end].moved : step[end].since > 0))
        end++;
    return end;
}

static double worth_of_stretch(const struct path_well *w,
                               const struct path_prices *p, size_t from,
                               size_t to, int point,
                               const struct path_step *step)
{
    double sum = 0;
    for (size_t k = from; k < to; k++) {
        struct path_step s = {.point = point, .since = step[k].since};
        sum += worth_of_step(w, p, k, &s);
    }
    return sum;
}

double path_best_like(const struct path_well *w, size_t n_periods,
                      const struct path_prices *p, bool moves_count,
                      struct path_step *step)
{
    double sum = -path_end_charge(w, step, n_periods);
    for (size_t k = 0; k < n_periods;) {
        size_t end = stretch_end(step, k, n_periods, moves_count);
        sum -= step[k].moved ? p->move[k] : 0;
        if (step[k].point == POINT_STOPPED) {
            k++;
            continue;
        }
        size_t mode = mode_of(w, &step[k]);
        double best = -(double)INFINITY;
        int to = step[k].point;
        for (size_t c = 0; c < w->n_points; c++) {
            if (w->point[c].mode != mode)
                continue;
            double worth = worth_of_stretch(w, p, k, end, (int)c, step);
            if (worth > best) {
                best = worth;
                to = (int)c;
            }
        }
        sum += best;
        for (; k < end; k++)
            step[k].point = to;
    }
    return sum;
}
