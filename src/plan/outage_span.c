#include "outage_span.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "base/units.h"
#include "num/tol.h"

/* --- making it ------------------------------------------------------------ */

static const size_t *find_shifts(const struct outage *o, struct arena *a)
{
    size_t *shift = ARENA_NEW(a, o->n_periods, size_t);
    for (size_t k = 0; k < o->n_periods; k++) {
        double at_s = (double)k * o->period_s;
        double slack_s = TOL_INPUT_RANGE * o->period_s;
        shift[k] = 0;
        while (shift[k] < o->n_shifts &&
               o->shift[shift[k]].to_s <= at_s + slack_s)
            shift[k]++;
    }
    return shift;
}

static bool moves_count(const struct span *s)
{
    for (size_t i = 0; i < s->outage->n_shifts; i++)
        if (s->outage->shift[i].moves_max != SIZE_MAX)
            return true;
    return s->move_cost > 0;
}

static void make_wells(struct span *s, struct arena *a)
{
    s->well = ARENA_NEW(a, s->n_wells, struct path_well);
    s->room = ARENA_NEW(a, s->n_wells, struct path_room);
    size_t *manifold = ARENA_NEW(a, s->n_wells, size_t);
    for (size_t i = 0; i < s->n_wells; i++) {
        size_t well = s->today.bidder[i].menu.well;
        double oil =
            s->today_plan->well[well].oil_sm3s / s->today.units.oil_sm3s;
        path_well_make(&s->today, i, s->outage, oil, s->moves_count, a,
                       &s->well[i]);
        s->room[i] = path_room_make(&s->well[i], s->n_periods, a);
        manifold[i] = s->today.field->well[well].group[GROUP_MANIFOLD];
    }
    s->manifold = manifold;
}

static void set_store_and_flare(struct span *s)
{
    const struct outage *o = s->outage;
    double unit_sm3 = s->today.units.gas_sm3s * o->period_s;
    s->store_most = fmax(o->store_most_sm3, o->store_sm3) / unit_sm3;
    s->store = o->store_sm3 / unit_sm3;
    s->flare_most = o->flare_most_sm3 / unit_sm3;
    s->flare_periods =
        floor(o->flare_hours_max * 3600 / o->period_s + TOL_INPUT_RANGE);
}

static bool is_apart(const struct span *s)
{
    const struct outage *o = s->outage;
    bool is_limited = isfinite(s->flare_most) || isfinite(s->flare_periods);
    if (s->moves_count || is_limited || s->store_most > 0)
        return false;
    for (size_t m = 0; m < s->today.field->groups[GROUP_MANIFOLD].n; m++)
        if (isfinite(o->ramp_sm3s[m]))
            return false;
    for (size_t i = 0; i < s->n_wells; i++) {
        const struct path_well *w = &s->well[i];
        if (w->n_back > 0 || w->stop_least > 1 || !w->comes_back)
            return false;
    }
    return true;
}

void span_make(const struct field *f, const struct curve *curves,
               const struct outage *o, const struct plan_options *ask,
               const struct plan *today, struct arena *a, struct span *out)
{
    *out = (struct span){
        .outage = o,
        .today_plan = today,
        .options = *ask,
        .n_periods = o->n_periods,
        .n_wells = f->n_wells,
        .shift = find_shifts(o, a),
    };
    out->options.oil_target_sm3s = 0;
    problem_make(f, curves, &out->options, false, a, &out->today);
    out->period = ARENA_NEW(a, o->n_periods, struct problem);
    for (size_t k = 0; k < o->n_periods; k++)
        problem_make(&o->period[k], curves, &out->options, false, a,
                     &out->period[k]);
    out->value_si = out->today.value_unit * o->period_s;
    if (ask->objective == PLAN_MONEY)
        out->move_cost = f->prices.move * UNIT_DAY_S / out->value_si;
    out->moves_count = moves_count(out);
    make_wells(out, a);
    set_store_and_flare(out);
    out->is_apart = is_apart(out);
}

bool span_row_counts(const struct problem *p, size_t row)
{
    const struct limit_row *r = &p->row[row];
    return r->use[USE_MOVED] == 0 && (isfinite(r->low) || isfinite(r->high));
}

/* --- prices --------------------------------------------------------------- */

static size_t n_manifolds(const struct span *s)
{
    return s->today.field->groups[GROUP_MANIFOLD].n;
}

struct span_prices span_prices_make(const struct span *s, struct arena *a)
{
    struct span_prices p = {
        .row = ARENA_NEW(a, s->n_periods, double *),
        .shift = ARENA_NEW(a, s->outage->n_shifts, double),
        .ramp = ARENA_NEW(a, n_manifolds(s), double *),
    };
    for (size_t k = 0; k < s->n_periods; k++)
        p.row[k] = ARENA_NEW(a, s->period[k].n_rows, double);
    for (size_t m = 0; m < n_manifolds(s); m++)
        p.ramp[m] = ARENA_NEW(a, s->n_periods, double);
    return p;
}

static void mix(double *to, double part, const double *from, size_t n)
{
    for (size_t i = 0; i < n; i++)
        to[i] = part * to[i] + (1 - part) * from[i];
}

void span_prices_mix(const struct span *s, struct span_prices *to, double part,
                     const struct span_prices *from)
{
    for (size_t k = 0; k < s->n_periods; k++)
        mix(to->row[k], part, from->row[k], s->period[k].n_rows);
    for (size_t m = 0; m < n_manifolds(s); m++)
        mix(to->ramp[m], part, from->ramp[m], s->n_periods);
    mix(to->shift, part, from->shift, s->outage->n_shifts);
    mix(&to->flare_volume, part, &from->flare_volume, 1);
    mix(&to->flare_period, part, &from->flare_period, 1);
}

/* --- worth ---------------------------------------------------------------- */

struct span_worth span_worth_make(const struct span *s, struct arena *a)
{
    struct span_worth w = {
        .span = s,
        .period = ARENA_NEW(a, s->n_periods, struct worth),
        .well = ARENA_NEW(a, s->n_wells, struct well_worth *),
        .move = ARENA_NEW(a, s->n_periods, double),
    };
    for (size_t i = 0; i < s->n_wells; i++)
        w.well[i] = ARENA_NEW(a, s->n_periods, struct well_worth);
    return w;
}

static void clip(const struct span *s, struct span_prices *p)
{
    const struct outage *o = s->outage;
    for (size_t i = 0; i < o->n_shifts; i++)
        p->shift[i] =
            o->shift[i].moves_max == SIZE_MAX ? 0 : fmax(p->shift[i], 0);
    for (size_t m = 0; m < n_manifolds(s); m++)
        for (size_t k = 0; k < s->n_periods; k++)
            if (k == 0 || !isfinite(o->ramp_sm3s[m]))
                p->ramp[m][k] = 0;
    p->flare_volume = isfinite(s->flare_most) ? fmax(p->flare_volume, 0) : 0;
    p->flare_period = isfinite(s->flare_periods) ? fmax(p->flare_period, 0) : 0;
    for (size_t k = 0; k < s->n_periods; k++)
        for (size_t r = 0; r < s->period[k].n_rows; r++)
            if (!span_row_counts(&s->period[k], r))
                p->row[k][r] = 0;
}

/* What the ramps charge for gas of the manifold in a period. */
static double ramp_charge(const struct span *s, const struct span_prices *p,
                          size_t manifold, size_t k)
{
    double next = k + 1 < s->n_periods ? p->ramp[manifold][k + 1] : 0;
    return p->ramp[manifold][k] - next;
}

void span_worth_at(struct span_prices *price, struct span_worth *out)
{
    const struct span *s = out->span;
    clip(s, price);
    out->price = price;
    for (size_t k = 0; k < s->n_periods; k++) {
        size_t shift = s->shift[k];
        out->period[k] = worth_at(&s->period[k], price->row[k]);
        out->move[k] = s->move_cost;
        if (shift < s->outage->n_shifts)
            out->move[k] += price->shift[shift];
        for (size_t i = 0; i < s->n_wells; i++) {
            struct well_worth *w = &out->well[i][k];
            *w = worth_for(&out->period[k], &s->period[k].bidder[i]);
            w->use[USE_GAS] -= ramp_charge(s, price, s->manifold[i], k);
        }
    }
}

static double best_of(double worth, double low, double high)
{
    return fmax(worth * low, worth * high);
}

/* The station's best in a period, flaring charged over all periods. */
static double best_station(const struct span_worth *w, size_t k)
{
    const struct worth *own = &w->period[k];
    const struct station_column *flare = &own->problem->column[COLUMN_FLARE];
    double worth = worth_of_column(own, COLUMN_FLARE);
    double free = best_of(worth, flare->low, flare->high);
    double charged = best_of(worth - w->price->flare_volume, 0, flare->high);
    return own->fixed + worth_of_station(own) - free +
           fmax(charged - w->price->flare_period, 0);
}

/* What gas is worth on the header in a period. */
static double gas_on_header(const struct span_worth *w, size_t k)
{
    const double *row = w->price->row[k];
    return row[ROW_BALANCE] + row[ROW_COMPRESSED];
}

/* Gas put by at the end of each period; as much at the end as before. */
static double best_store(const struct span_worth *w)
{
    const struct span *s = w->span;
    double sum = -gas_on_header(w, 0) * s->store;
    for (size_t k = 0; k < s->n_periods; k++) {
        bool is_last = k + 1 == s->n_periods;
        double charge =
            gas_on_header(w, k) - (is_last ? 0 : gas_on_header(w, k + 1));
        sum += best_of(charge, is_last ? s->store : 0, s->store_most);
    }
    return sum;
}

double span_worth_shared(const struct span_worth *w)
{
    const struct span *s = w->span;
    const struct outage *o = s->outage;
    double sum = best_store(w);
    for (size_t k = 0; k < s->n_periods; k++)
        sum += best_station(w, k);
    for (size_t i = 0; i < o->n_shifts; i++)
        if (w->price->shift[i] > 0)
            sum += w->price->shift[i] * (double)o->shift[i].moves_max;
    for (size_t m = 0; m < n_manifolds(s); m++)
        for (size_t k = 1; k < s->n_periods; k++)
            if (w->price->ramp[m][k] != 0)
                sum += fabs(w->price->ramp[m][k]) * o->ramp_sm3s[m] /
                       s->today.units.gas_sm3s;
    if (w->price->flare_volume > 0)
        sum += w->price->flare_volume * s->flare_most;
    if (w->price->flare_period > 0)
        sum += w->price->flare_period * s->flare_periods;
    return sum;
}
