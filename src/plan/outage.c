#include "plan/outage.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "outage_account.h"
#include "outage_conflict.h"
#include "num/tol.h"

/* --- when nothing happens ------------------------------------------------- */

/* The well's way from this morning's rate to today's plan takes time. */
static bool takes_time(const struct field *f, const struct curve *curves,
                       const struct outage *o, const struct plan *today,
                       size_t i)
{
    const struct well_restart *r = &o->restart[i];
    const struct plan_well *to = &today->well[i];
    struct curve_point now =
        menu_point_at(&curves[i], field_well_now_sm3s(&f->well[i]));
    bool starts = to->oil_sm3s > 0 && !(now.oil_sm3s > 0);
    bool stops = now.oil_sm3s > 0 && !(to->oil_sm3s > 0);
    bool is_timed = r->unload_s + r->build_up_s > 0 || !r->comes_back;
    return (starts && is_timed) || (stops && o->never_stops[i]);
}

static bool flaring_fits(const struct outage *o, const struct plan *today)
{
    double horizon_s = (double)o->n_periods * o->period_s;
    bool fits_hours = o->flare_hours_max * 3600 >= horizon_s;
    bool fits_volume = today->balance.flare * horizon_s <= o->flare_most_sm3;
    return !(today->balance.flare > 0) || (fits_hours && fits_volume);
}

/* Then today's plan in every period is the best: periods that are alike and do
 * not touch each other. */
static bool nothing_happens(const struct field *f, const struct curve *curves,
                            const struct outage *o, const struct plan *today)
{
    bool is_one = o->n_periods == 1;
    bool moves_cost = f->limits.caps.moves != SIZE_MAX || f->prices.move > 0;
    bool touch = o->store_most_sm3 > 0 || moves_cost;
    if (o->n_events > 0 || (!is_one && touch) || !flaring_fits(o, today))
        return false;
    if (o->n_shifts > 0 && o->shift[0].moves_max < today->n_moves)
        return false;
    for (size_t i = 0; i < f->n_wells; i++)
        if (takes_time(f, curves, o, today, i))
            return false;
    return true;
}

/* --- prices to begin with ------------------------------------------------- */

static bool is_alike(const struct span *s, size_t a, size_t b)
{
    const struct problem *p = &s->period[a], *q = &s->period[b];
    if (p->n_rows != q->n_rows || p->n_units != q->n_units)
        return false;
    for (size_t r = 0; r < p->n_rows; r++)
        if (p->row[r].low != q->row[r].low || p->row[r].high != q->row[r].high)
            return false;
    for (size_t j = 0; j < p->n_columns; j++)
        if (p->column[j].low != q->column[j].low ||
            p->column[j].high != q->column[j].high ||
            p->column[j].worth != q->column[j].worth)
            return false;
    for (size_t i = 0; i < s->n_wells; i++)
        if (s->well[i].is_down[a] != s->well[i].is_down[b])
            return false;
    return true;
}

/* The field of a period by itself. *out, in the arena, has prices when it has
 * a plan. */
static enum status solve_alone(const struct span *s, size_t k, struct arena *a,
                               struct plan *out, struct err *err)
{
    struct field f = *s->period[k].field;
    struct plan_options o = s->options;
    f.limits.caps.moves = SIZE_MAX;
    f.prices.move = 0;
    f.well = ARENA_NEW(a, s->n_wells, struct field_well);
    memcpy(f.well, s->period[k].field->well, s->n_wells * sizeof *f.well);
    for (size_t i = 0; i < s->n_wells; i++)
        if (!s->well[i].may_stop && s->well[i].first != POINT_STOPPED)
            f.well[s->well[i].well].may_stop = false;
    if (!s->is_apart)
        o.gap = fmax(o.gap, TOL_OUTAGE_ALONE);
    enum status st = plan_solve(&f, s->today.curves, &o, a, out, err);
    if (st != ST_OK || out->outcome == PLAN_IMPOSSIBLE)
        out->n_rows = 0;
    /* What cannot be solved alone only lacks prices to begin with. */
    return st == ST_SOLVER ? ST_OK : st;
}

/* Each period's plan by itself; NULL: like the one before. */
static enum status plans_alone(const struct span *s, struct arena *a,
                               struct plan **plan, struct err *err)
{
    size_t n_alone = 0;
    for (size_t k = 0; k < s->n_periods; k++) {
        size_t like = 0;
        while (like < k && !is_alike(s, like, k))
            like++;
        plan[k] = like < k ? plan[like] : NULL;
        if (like < k || (n_alone++ >= OUTAGE_ALONE && !s->is_apart))
            continue;
        plan[k] = ARENA_NEW(a, 1, struct plan);
        enum status st = solve_alone(s, k, a, plan[k], err);
        if (st != ST_OK)
            return st;
        if (plan[k]->n_rows != s->period[k].n_rows)
            plan[k] = NULL;
    }
    return ST_OK;
}

static struct span_prices
first_prices(const struct span *s, struct plan *const *plan, struct arena *a)
{
    struct span_prices out = span_prices_make(s, a);
    for (size_t k = 0; k < s->n_periods; k++) {
        size_t n = s->period[k].n_rows;
        const double *from = plan[k] != NULL ? plan[k]->row_price
                             : k > 0 && s->period[k - 1].n_rows == n
                                 ? out.row[k - 1]
                                 : NULL;
        if (from != NULL)
            memcpy(out.row[k], from, n * sizeof *from);
    }
    return out;
}

/* What no plan passes where no period touches another. */
static double bound_apart(const struct span *s, struct plan *const *plan)
{
    double sum = 0;
    for (size_t k = 0; k < s->n_periods; k++) {
        if (!s->is_apart || plan[k] == NULL)
            return (double)INFINITY;
        sum += plan[k]->bound / s->today.value_unit;
    }
    return sum;
}

/* --- a way to begin with: the periods' own plans, as far as possible; today's
 * where moves count ---------------------------------------------------------
 */

/* The set point nearest to the rate in a mode that holds it; POINT_STOPPED:
 * no gas. */
static int point_for(const struct path_well *w, const struct menu *menu,
                     double gas, bool shut)
{
    int best = POINT_STOPPED;
    double least = (double)INFINITY;
    for (size_t c = 0; c < w->n_points; c++) {
        const struct path_point *p = &w->point[c];
        bool is_menu = p->mode < menu->n_modes;
        const struct mode *m = is_menu ? &menu->mode[p->mode] : NULL;
        double low = is_menu ? m->point[0].gas : p->use.gas;
        double high = is_menu ? m->point[m->n - 1].gas : p->use.gas;
        double slack = TOL_SAME_RATE * fmax(gas, 1);
        bool holds = gas >= low - slack && gas <= high + slack;
        double away = fabs(p->use.gas - gas);
        if (holds && p->runs == !shut && away < least) {
            least = away;
            best = (int)c;
        }
    }
    return best;
}

static int point_like(const struct span *s, size_t i,
                      const struct plan_well *like)
{
    const struct path_well *w = &s->well[i];
    int to = point_for(w, &s->today.bidder[i].menu,
                       like->gas_sm3s / s->today.units.gas_sm3s, like->shut);
    if (w->first >= 0 && !like->moved)
        to = w->first;
    if (to == POINT_STOPPED && !w->may_stop && w->n_points > 0)
        to = w->first >= 0 ? w->first : 0;
    return to;
}

static void way_like(const struct span *s, size_t i, struct plan *const *plan,
                     struct path_step *step)
{
    const struct path_well *w = &s->well[i];
    int point = w->first;
    size_t stood = w->stop_least;
    for (size_t k = 0; k < s->n_periods; k++) {
        const struct plan *like =
            plan[k] == NULL || s->moves_count ? s->today_plan : plan[k];
        int to = point_like(s, i, &like->well[w->well]);
        bool stands = point == POINT_STOPPED;
        size_t end = k + (stands ? w->n_back : 0);
        bool may_start = stood >= w->stop_least && w->comes_back;
        for (size_t t = k; t < end && t < s->n_periods; t++)
            may_start = may_start && !w->is_down[t];
        int next = w->is_down[k] || (stands && !may_start) ? POINT_STOPPED : to;
        step[k] = (struct path_step){next, -1, next != point && !w->is_down[k]};
        stood = next != POINT_STOPPED ? 0 : stands ? stood + 1 : 1;
        if (stands && next != POINT_STOPPED && w->n_back > 0) {
            step[k].since = 0;
            for (size_t t = 1; t < w->n_back && k + 1 < s->n_periods; t++)
                step[++k] = (struct path_step){next, (int)t, false};
        }
        point = next;
    }
}

static struct path_step **ways_like(const struct span *s,
                                    struct plan *const *plan, struct arena *a)
{
    struct path_step **like = ARENA_NEW(a, s->n_wells, struct path_step *);
    for (size_t i = 0; i < s->n_wells; i++) {
        like[i] = ARENA_NEW(a, s->n_periods, struct path_step);
        way_like(s, i, plan, like[i]);
    }
    return like;
}

/* --- in all --------------------------------------------------------------- */

static void set_outcome(double gap_asked, double value, double bound,
                        struct outage_plan *out)
{
    out->value = value;
    out->bound = fmax(bound, value);
    out->gap = (out->bound - value) / fmax(fabs(value), TOL_PLAN_ABS);
    out->outcome = out->gap <= TOL_PLAN_OPTIMAL ? PLAN_OPTIMAL
                   : out->gap <= gap_asked      ? PLAN_WITHIN_GAP
                                                : PLAN_STOPPED;
    out->proof = PROOF_PRICES;
}

static void as_today(const struct field *f, const struct outage *o,
                     const struct plan_options *ask, struct arena *a,
                     struct outage_plan *out)
{
    double horizon_s = (double)o->n_periods * o->period_s;
    outage_account_today(f, o, a, out);
    set_outcome(ask->gap, out->undisturbed.value * horizon_s,
                out->undisturbed.bound * horizon_s, out);
    out->outcome = out->undisturbed.outcome;
    out->proof = out->undisturbed.proof;
}

static enum status through_periods(const struct field *f,
                                   const struct curve *curves,
                                   const struct outage *o,
                                   const struct plan_options *ask,
                                   struct arena *scratch, struct arena *a,
                                   struct outage_plan *out, struct err *err)
{
    struct span s;
    struct outage_found found;
    span_make(f, curves, o, ask, &out->undisturbed, scratch, &s);
    struct plan **alone = ARENA_NEW(scratch, s.n_periods, struct plan *);
    enum status st = plans_alone(&s, scratch, alone, err);
    if (st != ST_OK)
        return st;
    struct outage_known from = {
        .price = first_prices(&s, alone, scratch),
        .like = ways_like(&s, alone, scratch),
        .bound = bound_apart(&s, alone),
    };
    st = outage_search(&s, &from, scratch, &found, err);
    if (st != ST_OK)
        return st;
    out->columns = found.columns;
    out->iterations = found.iterations;
    if (found.is_impossible) {
        out->outcome = PLAN_IMPOSSIBLE;
        out->bound = out->gap = (double)INFINITY;
        out->conflict = outage_conflict(&found.needs, a);
        return ST_OK;
    }
    if (!found.has_plan)
        return err_set(err, ST_SOLVER,
                       "no plan through the outage was found; no proof that "
                       "there is none");
    outage_account(&s, &found, a, out);
    set_outcome(ask->gap, found.value * s.value_si, found.bound * s.value_si,
                out);
    return ST_OK;
}

enum status outage_solve(const struct field *f, const struct curve *curves,
                         const struct outage *o, const struct plan_options *ask,
                         struct arena *a, struct outage_plan *out,
                         struct err *err)
{
    struct plan_options today = *ask;
    *out = (struct outage_plan){.objective = ask->objective};
    if (ask->objective == PLAN_GAS)
        return err_set(err, ST_INPUT,
                       "an outage is planned for most oil or most money, not "
                       "for least gas");
    today.gap = fmin(ask->gap, TOL_PLAN_GAP);
    today.oil_target_sm3s = 0;
    enum status st = plan_solve(f, curves, &today, a, &out->undisturbed, err);
    if (st != ST_OK)
        return st;
    if (out->undisturbed.outcome == PLAN_IMPOSSIBLE) {
        out->outcome = PLAN_IMPOSSIBLE;
        out->bound = out->gap = (double)INFINITY;
        out->conflict = out->undisturbed.conflict;
        return ST_OK;
    }
    if (nothing_happens(f, curves, o, &out->undisturbed)) {
        as_today(f, o, ask, a, out);
        return ST_OK;
    }
    struct arena scratch;
    arena_init(&scratch);
    scratch.on_full = a->on_full;
    scratch.context = a->context;
    st = through_periods(f, curves, o, ask, &scratch, a, out, err);
    arena_release(&scratch);
    return st;
}
