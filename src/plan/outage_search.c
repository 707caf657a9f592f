#include "outage_search.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"
#include "stands.h"

struct banned {
    size_t well;
    const struct path_step *step;
};

/* Prices, ways and what is fixed so far. */
struct search {
    const struct span *span;
    struct arena *arena;
    struct master master;
    struct span_worth worth;
    struct span_prices price, centre; /* to be tried; the best so far */
    struct span_prices root;          /* the best with nothing fixed */
    struct path_step **step;          /* [n_wells][n_periods] the last asked */
    double *well_worth;               /* [n_wells] */
    const struct path_step **fixed;   /* [n_wells] pattern; NULL: free */
    size_t n_known;
    struct way *known;             /* when nothing was fixed */
    const struct path_step **kept; /* those before the last ones */
    size_t n_banned, cap_banned;
    struct banned *banned; /* patterns that left no plan */
};

static void open_search(struct search *s, const struct span *span,
                        struct arena *a)
{
    *s = (struct search){
        .span = span,
        .arena = a,
        .worth = span_worth_make(span, a),
        .price = span_prices_make(span, a),
        .centre = span_prices_make(span, a),
        .root = span_prices_make(span, a),
        .step = ARENA_NEW(a, span->n_wells, struct path_step *),
        .well_worth = ARENA_NEW(a, span->n_wells, double),
        .fixed = ARENA_NEW(a, span->n_wells, const struct path_step *),
        .kept = ARENA_NEW(a, span->n_wells, const struct path_step *),
    };
    for (size_t i = 0; i < span->n_wells; i++)
        s->step[i] = ARENA_NEW(a, span->n_periods, struct path_step);
    master_make(span, a, &s->master);
}

/* --- asking the wells ----------------------------------------------------- */

static double ask_well(struct search *s, size_t i)
{
    const struct span *span = s->span;
    const struct path_well *w = &span->well[i];
    struct path_prices p = {s->worth.well[i], s->worth.move};
    size_t n = span->n_periods;
    if (s->fixed[i] == NULL)
        return path_best(w, n, &p, &span->room[i], s->step[i]);
    memcpy(s->step[i], s->fixed[i], n * sizeof **s->step);
    return path_best_like(w, n, &p, span->moves_count, s->step[i]);
}

/* What no plan passes at s->price, but for what is fixed. */
static double ask_all(struct search *s)
{
    span_worth_at(&s->price, &s->worth);
#pragma omp parallel for schedule(dynamic)
    for (size_t i = 0; i < s->span->n_wells; i++)
        s->well_worth[i] = ask_well(s, i);
    double sum = span_worth_shared(&s->worth);
    for (size_t i = 0; i < s->span->n_wells; i++)
        sum += s->well_worth[i];
    return sum;
}

/* How many of the ways just asked for are new, of those worth more than the
 * master's price of the well. */
static size_t offer_all(struct search *s, bool only_better)
{
    size_t n_new = 0;
    for (size_t i = 0; i < s->span->n_wells; i++) {
        double least = s->master.well_price[i];
        double slack = TOL_LP_REL * fmax(fabs(least), 1);
        if (only_better && !(s->well_worth[i] > least + slack))
            continue;
        n_new += master_offer(&s->master, i, s->step[i], NULL);
    }
    return n_new;
}

static void keep_centre(struct search *s, double bound, double *best)
{
    if (!(bound < *best))
        return;
    *best = bound;
    span_prices_mix(s->span, &s->centre, 0, &s->price);
}

static bool is_near(double value, double bound, double gap)
{
    return bound - value <= gap * fmax(fabs(value), TOL_PLAN_ABS);
}

static bool is_met(const struct master *m)
{
    return m->is_solved && m->past <= TOL_OUTAGE_PAST;
}

/* Prices between the best so far and the master's, until value and bound are
 * near or no well has a better way. *bound is what no plan passes, but for what
 * is fixed. */
static enum status find_prices(struct search *s, double gap, int rounds,
                               double *bound, struct err *err)
{
    const struct span *span = s->span;
    if (!isfinite(*bound)) {
        span_prices_mix(span, &s->price, 0, &s->centre);
        keep_centre(s, ask_all(s), bound);
        offer_all(s, false);
    }
    /* More of them while limits are passed. */
    for (int i = 0, most = rounds; i < most; i++) {
        enum status st = master_solve(&s->master, err);
        if (st != ST_OK)
            return st;
        if (!s->master.is_solved)
            return err_set(err, ST_SOLVER,
                           "the program of the outage was not solved");
        if (is_met(&s->master) && is_near(s->master.value, *bound, gap))
            break;
        most = is_met(&s->master) ? rounds : OUTAGE_ROUNDS;
        span_prices_mix(span, &s->price, 0, &s->master.price);
        span_prices_mix(span, &s->price, 1 - OUTAGE_SMOOTH, &s->centre);
        keep_centre(s, ask_all(s), bound);
        master_forget(&s->master, OUTAGE_IDLE);
        if (offer_all(s, false) > 0)
            continue;
        span_prices_mix(span, &s->price, 0, &s->master.price);
        keep_centre(s, ask_all(s), bound);
        if (offer_all(s, true) == 0)
            break;
    }
    return ST_OK;
}

/* --- fixing wells --------------------------------------------------------- */

/* A well's pattern of most weight. */
struct lead {
    size_t well;
    const struct path_step *step;
    double weight;
};

static double weight_like(const struct search *s, const struct way *w)
{
    const struct span *span = s->span;
    double sum = 0;
    for (size_t i = 0; i < s->master.n_ways; i++) {
        const struct way *other = &s->master.way[i];
        if (other->well == w->well && other->weight > 0 &&
            path_is_like(&span->well[w->well], span->n_periods,
                         span->moves_count, w->step, other->step))
            sum += other->weight;
    }
    return sum;
}

static size_t moves_in(const struct span *span, const struct path_step *step,
                       size_t shift)
{
    size_t n = 0;
    for (size_t k = 0; k < span->n_periods; k++)
        n += span->shift[k] == shift && step[k].moved;
    return n;
}

/* With it the wells that are fixed keep to the shifts' moves. */
static bool fits_shifts(const struct search *s, const struct path_step *step)
{
    const struct outage *o = s->span->outage;
    for (size_t i = 0; i < o->n_shifts; i++) {
        size_t n = moves_in(s->span, step, i);
        if (n == 0 || o->shift[i].moves_max == SIZE_MAX)
            continue;
        for (size_t w = 0; w < s->span->n_wells; w++)
            n += s->fixed[w] != NULL ? moves_in(s->span, s->fixed[w], i) : 0;
        if (n > o->shift[i].moves_max)
            return false;
    }
    return true;
}

static int by_weight(const void *a, const void *b)
{
    const struct lead *x = a, *y = b;
    if (x->weight != y->weight)
        return x->weight > y->weight ? -1 : 1;
    return (x->well > y->well) - (x->well < y->well);
}

static bool is_banned(const struct search *s, const struct way *w)
{
    const struct span *span = s->span;
    for (size_t i = 0; i < s->n_banned; i++)
        if (s->banned[i].well == w->well &&
            path_is_like(&span->well[w->well], span->n_periods,
                         span->moves_count, s->banned[i].step, w->step))
            return true;
    return false;
}

/* Of the wells that are free. */
static size_t find_leads(const struct search *s, struct lead *lead)
{
    const struct span *span = s->span;
    struct lead *of = ARENA_NEW(s->arena, span->n_wells, struct lead);
    for (size_t i = 0; i < s->master.n_ways; i++) {
        const struct way *w = &s->master.way[i];
        if (!(w->weight > 0) || s->fixed[w->well] != NULL ||
            !fits_shifts(s, w->step) || is_banned(s, w))
            continue;
        double weight = weight_like(s, w);
        if (weight > of[w->well].weight)
            of[w->well] = (struct lead){w->well, w->step, weight};
    }
    size_t n = 0;
    for (size_t i = 0; i < span->n_wells; i++)
        if (of[i].step != NULL)
            lead[n++] = of[i];
    if (n > 0)
        qsort(lead, n, sizeof *lead, by_weight);
    return n;
}

/* Ways that do not fit what is fixed, or left no plan, may have no weight. */
static void shut_others(struct search *s)
{
    const struct span *span = s->span;
    for (size_t i = 0; i < s->master.n_ways; i++) {
        struct way *w = &s->master.way[i];
        const struct path_step *fixed = s->fixed[w->well];
        w->is_out = fixed != NULL
                        ? !path_is_like(&span->well[w->well], span->n_periods,
                                        span->moves_count, fixed, w->step)
                        : is_banned(s, w);
    }
}

static void fix_well(struct search *s, size_t well,
                     const struct path_step *step)
{
    s->fixed[well] = step;
    master_offer(&s->master, well, step, NULL);
}

/* Those that are as good as decided, and a part of the others, or one. */
static bool fix_some(struct search *s, bool only_one)
{
    struct lead *lead = ARENA_NEW(s->arena, s->span->n_wells, struct lead);
    size_t n = find_leads(s, lead), n_more = 0;
    double part = n > OUTAGE_FIX_MANY ? OUTAGE_FIX_PART : OUTAGE_FIX_PART_FEW;
    size_t most = only_one ? 1 : (size_t)ceil(part * (double)n);
    for (size_t i = 0; i < n; i++) {
        bool is_sure = lead[i].weight >= OUTAGE_FIX_WEIGHT && !only_one;
        if (!is_sure && n_more++ >= most)
            break;
        if (fits_shifts(s, lead[i].step))
            fix_well(s, lead[i].well, lead[i].step);
    }
    shut_others(s);
    return n > 0;
}

/* What is fixed so far is kept when the next wells are not. */
static bool keep_fixed(struct search *s)
{
    memcpy(s->kept, s->fixed, s->span->n_wells * sizeof *s->kept);
    return true;
}

static void unfix_last(struct search *s)
{
    memcpy(s->fixed, s->kept, s->span->n_wells * sizeof *s->kept);
    shut_others(s);
}

static void ban_last(struct search *s)
{
    for (size_t i = 0; i < s->span->n_wells; i++) {
        if (s->fixed[i] == s->kept[i])
            continue;
        if (s->n_banned == s->cap_banned) {
            s->cap_banned = 2 * s->cap_banned + 16;
            struct banned *more =
                ARENA_NEW(s->arena, s->cap_banned, struct banned);
            if (s->n_banned > 0)
                memcpy(more, s->banned, s->n_banned * sizeof *more);
            s->banned = more;
        }
        s->banned[s->n_banned++] = (struct banned){i, s->fixed[i]};
    }
}

/* Wells none of whose ways fits the shifts: with as few moves as can be. */
static void fix_rest(struct search *s)
{
    const struct span *span = s->span;
    double *dear = ARENA_NEW(s->arena, span->n_periods, double);
    for (size_t k = 0; k < span->n_periods; k++)
        dear[k] = s->master.elastic;
    for (size_t i = 0; i < span->n_wells; i++) {
        if (s->fixed[i] != NULL)
            continue;
        struct path_prices p = {s->worth.well[i], dear};
        struct path_step *step =
            ARENA_NEW(s->arena, span->n_periods, struct path_step);
        path_best(&span->well[i], span->n_periods, &p, &span->room[i], step);
        fix_well(s, i, step);
    }
    shut_others(s);
}

/* Units as the prices have them: all that are wanted at all, or by half. */
static void fix_units(struct search *s, double least)
{
    const struct span *span = s->span;
    struct master *m = &s->master;
    for (size_t k = 0; k < span->n_periods; k++) {
        size_t n = span->period[k].n_units;
        m->runs[k] = ARENA_NEW(s->arena, n, bool);
        for (size_t u = 0; u < n; u++)
            m->runs[k][u] = m->x[m->running_at[k] + u] > least;
    }
}

static void free_all(struct search *s)
{
    span_prices_mix(s->span, &s->centre, 0, &s->root);
    for (size_t i = 0; i < s->span->n_wells; i++)
        s->fixed[i] = NULL;
    for (size_t k = 0; k < s->span->n_periods; k++)
        s->master.runs[k] = NULL;
    s->master.flares = NULL;
    s->n_banned = 0;
    shut_others(s);
}

/* Periods with flaring: those that flare most, as many as are allowed. */
static void fix_flaring(struct search *s)
{
    const struct span *span = s->span;
    struct master *m = &s->master;
    size_t n = span->n_periods;
    if (!(span->flare_periods < (double)n))
        return;
    m->flares = ARENA_NEW(s->arena, n, bool);
    for (size_t taken = 0; (double)taken < span->flare_periods; taken++) {
        size_t best = n;
        double most = TOL_PRICES_WEIGHT;
        for (size_t k = 0; k < n; k++) {
            double flow = m->x[m->column_at[k] + COLUMN_FLARE];
            if (!m->flares[k] && flow > most) {
                most = flow;
                best = k;
            }
        }
        if (best == n)
            break;
        m->flares[best] = true;
    }
}

/* --- a plan --------------------------------------------------------------- */

static struct use mixed(const struct search *s, size_t well, size_t k)
{
    struct use sum = {0};
    for (size_t i = 0; i < s->master.n_ways; i++) {
        const struct way *w = &s->master.way[i];
        if (w->well != well || !(w->weight > 0) ||
            w->step[k].point == POINT_STOPPED)
            continue;
        const struct use *u = &s->span->well[well].point[w->step[k].point].use;
        sum.gas += w->weight * u->gas;
        sum.oil += w->weight * u->oil;
        sum.water += w->weight * u->water;
        sum.formation += w->weight * u->formation;
    }
    return sum;
}

/* The same oil with the least gas, when it lies on a curve. */
static struct use on_curve(const struct span *s, size_t well, size_t mode,
                           struct use at)
{
    const struct menu *menu = &s->today.bidder[well].menu;
    struct stand stand = {.mode = mode, .use = at};
    if (mode < menu->n_modes)
        at.gas = stand_gas(&menu->mode[mode], &stand);
    return at;
}

static void take_stands(const struct search *s, bool projects,
                        struct outage_found *out)
{
    const struct span *span = s->span;
    for (size_t i = 0; i < span->n_wells; i++) {
        const struct path_well *w = &span->well[i];
        for (size_t k = 0; k < span->n_periods; k++) {
            struct outage_stand *to = &out->stand[i][k];
            to->step = s->fixed[i][k];
            to->at = (struct use){0};
            if (to->step.point != POINT_STOPPED) {
                size_t mode = w->point[to->step.point].mode;
                to->at = mixed(s, i, k);
                if (projects)
                    to->at = on_curve(span, i, mode, to->at);
            }
            to->use = path_use_at(w, &to->step, &to->at);
        }
    }
}

/* Station and store for the wells as they stand. */
static enum status solve_station(const struct search *s,
                                 struct outage_found *out, struct err *err)
{
    const struct span *span = s->span;
    struct use *use = ARENA_NEW(s->arena, span->n_periods, struct use);
    struct path_step *step =
        ARENA_NEW(s->arena, span->n_periods, struct path_step);
    master_make(span, s->arena, &out->station);
    out->station.whole = true;
    out->station.elastic = s->master.elastic;
    for (size_t i = 0; i < span->n_wells; i++) {
        for (size_t k = 0; k < span->n_periods; k++) {
            use[k] = out->stand[i][k].use;
            step[k] = out->stand[i][k].step;
        }
        master_offer(&out->station, i, step, use);
    }
    return master_solve(&out->station, err);
}

/* All wells are fixed: set points, then the station. Kept when better. */
static enum status finish(struct search *s, double gap,
                          struct outage_found *out, struct err *err)
{
    const struct span *span = s->span;
    double bound = (double)INFINITY;
    enum status st = find_prices(s, gap, OUTAGE_ROUNDS, &bound, err);
    if (st != ST_OK || !is_met(&s->master))
        return st;
    struct outage_found next = *out;
    next.stand = ARENA_NEW(s->arena, span->n_wells, struct outage_stand *);
    for (size_t i = 0; i < span->n_wells; i++)
        next.stand[i] =
            ARENA_NEW(s->arena, span->n_periods, struct outage_stand);
    take_stands(s, true, &next);
    st = solve_station(s, &next, err);
    if (st == ST_OK && !is_met(&next.station)) {
        take_stands(s, false, &next);
        st = solve_station(s, &next, err);
    }
    next.value = next.station.value;
    bool is_better = !out->has_plan || next.value > out->value;
    if (st == ST_OK && is_met(&next.station) && is_better) {
        next.has_plan = true;
        *out = next;
    }
    return st;
}

static enum status try_pattern(struct search *s, struct path_step *const *like,
                               double gap, struct outage_found *out,
                               struct err *err)
{
    span_prices_mix(s->span, &s->root, 0, &s->centre);
    for (size_t i = 0; i < s->span->n_wells; i++)
        fix_well(s, i, like[i]);
    shut_others(s);
    enum status st = finish(s, gap, out, err);
    free_all(s);
    return st;
}

/* The ways that were known when prices were found, beside those since. */
static void remember(struct search *s)
{
    s->n_known = s->master.n_ways;
    s->known = ARENA_NEW(s->arena, s->n_known, struct way);
    if (s->n_known > 0)
        memcpy(s->known, s->master.way, s->n_known * sizeof *s->known);
}

static void recall(struct search *s)
{
    for (size_t i = 0; i < s->n_known; i++)
        master_offer(&s->master, s->known[i].well, s->known[i].step, NULL);
}

/* Fix wells bit by bit, prices following. */
static enum status dive(struct search *s, double units_from, bool only_one,
                        double gap, struct outage_found *out, struct err *err)
{
    double bound = (double)INFINITY;
    recall(s);
    enum status st = master_solve(&s->master, err);
    if (st != ST_OK || !s->master.is_solved)
        return st;
    span_prices_mix(s->span, &s->root, 0, &s->centre);
    fix_units(s, units_from);
    fix_flaring(s);
    while (st == ST_OK && keep_fixed(s) && fix_some(s, only_one)) {
        bound = (double)INFINITY;
        st = find_prices(s, gap, OUTAGE_ROUNDS_FIXING, &bound, err);
        if (st != ST_OK || is_met(&s->master))
            continue;
        /* Too much at once; or, one by one, not that way. */
        if (only_one)
            ban_last(s);
        unfix_last(s);
        only_one = true;
        bound = (double)INFINITY;
        st = find_prices(s, gap, OUTAGE_ROUNDS_FIXING, &bound, err);
    }
    fix_rest(s);
    if (st == ST_OK)
        st = finish(s, gap, out, err);
    free_all(s);
    return st;
}

/* Each way's pattern; how many there are. */
static size_t find_patterns(const struct search *s, size_t *pattern)
{
    const struct span *span = s->span;
    const struct master *m = &s->master;
    size_t n = 0;
    for (size_t i = 0; i < m->n_ways; i++) {
        const struct way *w = &m->way[i];
        size_t j = 0;
        while (j < i &&
               !(m->way[j].well == w->well &&
                 path_is_like(&span->well[w->well], span->n_periods,
                              span->moves_count, m->way[j].step, w->step)))
            j++;
        pattern[i] = j < i ? pattern[j] : n++;
    }
    return n;
}

/* The best choice of one pattern a well among the ways that are known. */
static enum status choose(struct search *s, double gap,
                          struct outage_found *out, struct err *err)
{
    struct master *m = &s->master;
    recall(s);
    size_t *pattern = ARENA_NEW(s->arena, m->n_ways, size_t);
    span_prices_mix(s->span, &s->root, 0, &s->centre);
    m->n_patterns = find_patterns(s, pattern);
    m->pattern = pattern;
    m->whole = true;
    m->gap = gap;
    enum status st = master_solve(m, err);
    m->n_patterns = 0;
    m->whole = false;
    if (st != ST_OK || !is_met(m))
        return st;
    fix_units(s, 0.5);
    fix_flaring(s);
    while (fix_some(s, false))
        continue;
    fix_rest(s);
    st = finish(s, gap, out, err);
    free_all(s);
    return st;
}

/* --- whether there is a plan at all --------------------------------------- */

/* The same without any goal. */
static struct span without_goal(const struct span *s, struct arena *a)
{
    struct span out = *s;
    out.move_cost = 0;
    out.period = ARENA_NEW(a, s->n_periods, struct problem);
    out.well = ARENA_NEW(a, s->n_wells, struct path_well);
    memcpy(out.well, s->well, s->n_wells * sizeof *s->well);
    for (size_t i = 0; i < s->n_wells; i++)
        out.well[i].end_charge = 0;
    for (size_t k = 0; k < s->n_periods; k++) {
        struct problem *p = &out.period[k];
        *p = s->period[k];
        memset(p->goal, 0, sizeof p->goal);
        p->column = ARENA_NEW(a, p->n_columns, struct station_column);
        memcpy(p->column, s->period[k].column,
               p->n_columns * sizeof *p->column);
        for (size_t j = 0; j < p->n_columns; j++)
            p->column[j].worth = 0;
        p->unit = ARENA_NEW(a, p->n_units, struct station_unit);
        memcpy(p->unit, s->period[k].unit, p->n_units * sizeof *p->unit);
        for (size_t u = 0; u < p->n_units; u++)
            p->unit[u].worth = 0;
    }
    return out;
}

/* How far limits must be passed at least, in all. */
static enum status ask_possible(const struct search *s,
                                struct outage_found *out, struct err *err)
{
    struct span *bare = ARENA_NEW(s->arena, 1, struct span);
    *bare = without_goal(s->span, s->arena);
    struct search own;
    open_search(&own, bare, s->arena);
    own.master.elastic = 1;
    for (size_t i = 0; i < s->master.n_ways; i++)
        master_offer(&own.master, s->master.way[i].well, s->master.way[i].step,
                     NULL);
    double any = (double)INFINITY, bound = any;
    enum status st = find_prices(&own, any, OUTAGE_ROUNDS, &bound, err);
    out->is_impossible = st == ST_OK && bound < -TOL_OUTAGE_PAST;
    out->needs = own.master;
    return st;
}

static enum status find_bound(struct search *s, double gap,
                              struct outage_found *out, struct err *err)
{
    enum status st =
        find_prices(s, OUTAGE_GAP_SHARE * gap, OUTAGE_ROUNDS, &out->bound, err);
    while (st == ST_OK && !is_met(&s->master) && !out->is_impossible &&
           s->master.elastic < OUTAGE_ELASTIC_LAST) {
        st = ask_possible(s, out, err);
        if (st != ST_OK || out->is_impossible)
            break;
        s->master.elastic *= OUTAGE_ELASTIC_STEP;
        st = find_prices(s, OUTAGE_GAP_SHARE * gap, OUTAGE_ROUNDS, &out->bound,
                         err);
    }
    return st;
}

static bool is_done(const struct outage_found *found, double gap)
{
    return found->has_plan && is_near(found->value, found->bound, gap);
}

/* Units that are wanted at all; then the best choice, while it is small; then
 * units that are wanted by half; then with moves to spare. */
static enum status find_plan(struct search *s, double gap,
                             struct outage_found *out, struct err *err)
{
    double own_gap = OUTAGE_GAP_SHARE * gap;
    enum status st = ST_OK;
    remember(s);
    if (!is_done(out, gap))
        st = dive(s, TOL_LP_WHOLE, false, own_gap, out, err);
    if (st == ST_OK && !is_done(out, gap) && s->n_known <= OUTAGE_CHOOSE_WAYS)
        st = choose(s, own_gap, out, err);
    if (st == ST_OK && !is_done(out, gap))
        st = dive(s, 0.5, true, own_gap, out, err);
    s->master.moves_spare = OUTAGE_MOVES_SPARE;
    if (st == ST_OK && !out->has_plan)
        st = dive(s, TOL_LP_WHOLE, true, own_gap, out, err);
    return st;
}

enum status outage_search(const struct span *s, const struct outage_known *from,
                          struct arena *a, struct outage_found *out,
                          struct err *err)
{
    double gap = s->options.gap;
    struct search own;
    *out = (struct outage_found){.bound = (double)INFINITY};
    open_search(&own, s, a);
    span_prices_mix(s, &own.price, 0, &from->price);
    keep_centre(&own, ask_all(&own), &out->bound);
    offer_all(&own, false);
    out->bound = fmin(out->bound, from->bound);
    enum status st =
        try_pattern(&own, from->like, OUTAGE_GAP_SHARE * gap, out, err);
    if (st == ST_OK && !is_done(out, gap))
        st = find_bound(&own, gap, out, err);
    if (st == ST_OK && !out->is_impossible)
        st = find_plan(&own, gap, out, err);
    out->price = own.centre;
    out->columns = (long)own.master.n_ways;
    out->iterations = own.master.iterations;
    return st;
}
