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

/* The field of a period by itself. *has_prices: it has a plan. */
static enum status solve_alone(const struct span *s, size_t k, double *price,
                               bool *has_prices, struct err *err)
{
    const struct problem *p = &s->period[k];
    struct field f = *p->field;
    struct plan_options o = s->options;
    struct plan plan;
    struct arena scratch;
    arena_init(&scratch);
    f.limits.caps.moves = SIZE_MAX;
    o.gap = fmax(o.gap, TOL_OUTAGE_ALONE);
    enum status st = plan_solve(&f, s->today.curves, &o, &scratch, &plan, err);
    *has_prices = st == ST_OK && plan.outcome != PLAN_IMPOSSIBLE &&
                  plan.n_rows == p->n_rows;
    if (*has_prices)
        memcpy(price, plan.row_price, p->n_rows * sizeof *price);
    arena_release(&scratch);
    /* What cannot be solved alone only lacks prices to begin with. */
    return st == ST_SOLVER ? ST_OK : st;
}

static enum status first_prices(const struct span *s, struct arena *a,
                                struct span_prices *out, struct err *err)
{
    *out = span_prices_make(s, a);
    size_t n_alone = 0;
    for (size_t k = 0; k < s->n_periods; k++) {
        size_t like = 0;
        bool has_prices = false;
        while (like < k && !is_alike(s, like, k))
            like++;
        if (like == k && n_alone++ < OUTAGE_ALONE) {
            enum status st = solve_alone(s, k, out->row[k], &has_prices, err);
            if (st != ST_OK)
                return st;
        }
        size_t from = like < k ? like : k > 0 ? k - 1 : 0;
        if (!has_prices && s->period[from].n_rows == s->period[k].n_rows)
            memmove(out->row[k], out->row[from],
                    s->period[k].n_rows * sizeof *out->row[k]);
    }
    return ST_OK;
}

/* --- a way to begin with: today's plan, as far as possible ---------------- */

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

static void way_like_today(const struct span *s, size_t i,
                           struct path_step *step)
{
    const struct path_well *w = &s->well[i];
    const struct plan_well *today = &s->today_plan->well[w->well];
    int to = point_for(w, &s->today.bidder[i].menu,
                       today->gas_sm3s / s->today.units.gas_sm3s, today->shut);
    int point = w->first;
    size_t stood = w->stop_least;
    if (w->first >= 0 && !today->moved)
        to = w->first;
    if (to == POINT_STOPPED && !w->may_stop && w->n_points > 0)
        to = w->first >= 0 ? w->first : 0;
    for (size_t k = 0; k < s->n_periods; k++) {
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

static struct path_step **like_today(const struct span *s, struct arena *a)
{
    struct path_step **like = ARENA_NEW(a, s->n_wells, struct path_step *);
    for (size_t i = 0; i < s->n_wells; i++) {
        like[i] = ARENA_NEW(a, s->n_periods, struct path_step);
        way_like_today(s, i, like[i]);
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
    struct span_prices first;
    struct outage_found found;
    span_make(f, curves, o, ask, &out->undisturbed, scratch, &s);
    enum status st = first_prices(&s, scratch, &first, err);
    if (st == ST_OK)
        st = outage_search(&s, &first, like_today(&s, scratch), scratch, &found,
                           err);
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
