#include "outage_master.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"

/* --- layout --------------------------------------------------------------- */

static bool needs_flare_on(const struct span *s)
{
    return s->flare_periods < (double)s->n_periods;
}

/* The uses whose sums the field's rows of a period ask for. */
static bool asks_for(const struct problem *p, int use)
{
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        if (span_row_counts(p, r) && p->row[r].use[use] != 0)
            return true;
    return false;
}

static size_t *no_rows(struct arena *a, size_t n)
{
    size_t *list = ARENA_NEW(a, n, size_t);
    for (size_t i = 0; i < n; i++)
        list[i] = SIZE_MAX;
    return list;
}

static void lay_period(struct master *m, size_t k)
{
    const struct span *s = m->span;
    const struct problem *p = &s->period[k];
    struct master_rows *rows = &m->rows;
    rows->field[k] = no_rows(m->arena, N_FIELD_ROWS);
    rows->use[k] = no_rows(m->arena, N_USES);
    rows->unit[k] = no_rows(m->arena, p->n_units);
    m->own_at[k] = no_rows(m->arena, p->n_rows);
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        if (span_row_counts(p, r))
            rows->field[k][r] = rows->n++;
    for (int u = 0; u < N_USES; u++)
        if (asks_for(p, u))
            rows->use[k][u] = rows->n++;
    for (size_t u = 0; u < p->n_units; u++)
        if (p->unit[u].may_stop) {
            rows->unit[k][u] = rows->n;
            rows->n += 3;
        }
    if (needs_flare_on(s))
        rows->flare[k] = rows->n++;
}

static void lay_rows(struct master *m)
{
    const struct span *s = m->span;
    const struct outage *o = s->outage;
    struct master_rows *rows = &m->rows;
    size_t n_manifolds = s->today.field->groups[GROUP_MANIFOLD].n;
    rows->field = ARENA_NEW(m->arena, s->n_periods, size_t *);
    rows->use = ARENA_NEW(m->arena, s->n_periods, size_t *);
    rows->unit = ARENA_NEW(m->arena, s->n_periods, size_t *);
    rows->flare = no_rows(m->arena, s->n_periods);
    rows->shift = no_rows(m->arena, o->n_shifts);
    rows->ramp = ARENA_NEW(m->arena, n_manifolds, size_t *);
    m->own_at = ARENA_NEW(m->arena, s->n_periods, size_t *);
    for (size_t k = 0; k < s->n_periods; k++)
        lay_period(m, k);
    for (size_t i = 0; i < o->n_shifts; i++)
        if (o->shift[i].moves_max != SIZE_MAX)
            rows->shift[i] = rows->n++;
    for (size_t g = 0; g < n_manifolds; g++) {
        rows->ramp[g] = no_rows(m->arena, s->n_periods);
        for (size_t k = 1; k < s->n_periods && isfinite(o->ramp_sm3s[g]); k++)
            rows->ramp[g][k] = rows->n++;
    }
    rows->flare_volume = isfinite(s->flare_most) ? rows->n++ : SIZE_MAX;
    rows->flare_periods = needs_flare_on(s) ? rows->n++ : SIZE_MAX;
    rows->well = rows->n;
    rows->n += s->n_wells;
}

void master_make(const struct span *s, struct arena *a, struct master *out)
{
    *out = (struct master){
        .span = s,
        .arena = a,
        .elastic = OUTAGE_ELASTIC,
        .gap = TOL_PLAN_TIE,
        .runs = ARENA_NEW(a, s->n_periods, bool *),
        .column_at = ARENA_NEW(a, s->n_periods, size_t),
        .running_at = ARENA_NEW(a, s->n_periods, size_t),
        .flare_on_at = ARENA_NEW(a, s->n_periods, size_t),
        .store_at = ARENA_NEW(a, s->n_periods + 1, size_t),
        .well_price = ARENA_NEW(a, s->n_wells, double),
        .price = span_prices_make(s, a),
    };
    lay_rows(out);
    out->row_stand = ARENA_NEW(a, out->rows.n, unsigned char);
}

/* --- ways ----------------------------------------------------------------- */

double span_way_worth(const struct span *s, size_t well,
                      const struct path_step *step, const struct use *use)
{
    double sum = -path_end_charge(&s->well[well], step, s->n_periods);
    for (size_t k = 0; k < s->n_periods; k++) {
        const double *goal = s->period[k].goal;
        sum += goal[USE_GAS] * use[k].gas + goal[USE_OIL] * use[k].oil +
               goal[USE_WATER] * use[k].water +
               goal[USE_FORMATION] * use[k].formation -
               (step[k].moved ? s->move_cost : 0);
    }
    return sum;
}

static bool is_same(const struct path_step *x, const struct path_step *y,
                    size_t n)
{
    for (size_t k = 0; k < n; k++)
        if (x[k].point != y[k].point || x[k].since != y[k].since ||
            x[k].moved != y[k].moved)
            return false;
    return true;
}

static struct way *new_way(struct master *m)
{
    if (m->n_ways == m->cap_ways) {
        m->cap_ways = 2 * m->cap_ways + 4 * m->span->n_wells;
        struct way *more = ARENA_NEW(m->arena, m->cap_ways, struct way);
        if (m->n_ways > 0)
            memcpy(more, m->way, m->n_ways * sizeof *more);
        m->way = more;
    }
    return &m->way[m->n_ways++];
}

bool master_offer(struct master *m, size_t well, const struct path_step *step,
                  const struct use *use)
{
    const struct span *s = m->span;
    size_t n = s->n_periods;
    for (size_t i = 0; i < m->n_ways; i++)
        if (m->way[i].well == well && is_same(m->way[i].step, step, n))
            return false;
    struct path_step *own = ARENA_NEW(m->arena, n, struct path_step);
    struct use *uses = ARENA_NEW(m->arena, n, struct use);
    memcpy(own, step, n * sizeof *own);
    bool runs;
    for (size_t k = 0; k < n; k++)
        uses[k] =
            use != NULL ? use[k] : path_use(&s->well[well], &own[k], &runs);
    struct way *w = new_way(m);
    *w = (struct way){.well = well, .step = own, .use = uses};
    w->worth = span_way_worth(s, well, own, uses);
    return true;
}

void master_forget(struct master *m, int idle_most)
{
    size_t kept = 0;
    for (size_t i = 0; i < m->n_ways; i++)
        if (m->way[i].idle <= idle_most)
            m->way[kept++] = m->way[i];
    m->n_ways = kept;
}

/* --- the program ---------------------------------------------------------- */

static void add_term(struct milp *lp, size_t row, double value)
{
    if (row != SIZE_MAX)
        milp_add_term(lp, row, value);
}

static void add_rows(const struct master *m, struct milp *lp)
{
    const struct span *s = m->span;
    const struct outage *o = s->outage;
    double none = (double)INFINITY;
    for (size_t k = 0; k < s->n_periods; k++) {
        const struct problem *p = &s->period[k];
        for (size_t r = 0; r < N_FIELD_ROWS; r++)
            if (m->rows.field[k][r] != SIZE_MAX)
                milp_add_row(lp, p->row[r].low, p->row[r].high);
        for (int u = 0; u < N_USES; u++)
            if (m->rows.use[k][u] != SIZE_MAX)
                milp_add_row(lp, 0, 0);
        for (size_t u = 0; u < p->n_units; u++)
            if (m->rows.unit[k][u] != SIZE_MAX) {
                milp_add_row(lp, -none, 0); /* through its capacity */
                milp_add_row(lp, 0, none);  /* at least its least */
                milp_add_row(lp, -none, 0); /* round it */
            }
        if (m->rows.flare[k] != SIZE_MAX)
            milp_add_row(lp, -none, 0);
    }
    for (size_t i = 0; i < o->n_shifts; i++)
        if (m->rows.shift[i] != SIZE_MAX)
            milp_add_row(
                lp, -none,
                ceil((1 - m->moves_spare) * (double)o->shift[i].moves_max));
    for (size_t g = 0; g < s->today.field->groups[GROUP_MANIFOLD].n; g++)
        for (size_t k = 1; k < s->n_periods; k++)
            if (m->rows.ramp[g][k] != SIZE_MAX) {
                double most = o->ramp_sm3s[g] / s->today.units.gas_sm3s;
                milp_add_row(lp, -most, most);
            }
    if (m->rows.flare_volume != SIZE_MAX)
        milp_add_row(lp, -none, s->flare_most);
    if (m->rows.flare_periods != SIZE_MAX)
        milp_add_row(lp, -none, s->flare_periods);
    for (size_t i = 0; i < s->n_wells; i++)
        milp_add_row(lp, 1, 1);
    for (size_t i = 0; i < m->n_own; i++) {
        const struct own_limit *l = &m->own[i];
        const struct limit_row *row = &s->period[l->period].row[l->row];
        milp_add_row(lp, row->low, row->high);
    }
    for (size_t i = 0; i < m->n_patterns; i++)
        milp_add_row(lp, 0, 0);
}

static void add_field_terms(const struct master *m, size_t k,
                            const double *term, struct milp *lp)
{
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        if (term[r] != 0)
            add_term(lp, m->rows.field[k][r], term[r]);
}

static void add_flows(struct master *m, size_t k, struct milp *lp)
{
    const struct problem *p = &m->span->period[k];
    m->column_at[k] = lp->n_columns;
    for (size_t j = 0; j < p->n_columns; j++) {
        const struct station_column *c = &p->column[j];
        size_t unit = c->unit, link = SIZE_MAX;
        if (unit != SIZE_MAX)
            link = m->rows.unit[k][unit];
        double low = link != SIZE_MAX ? 0 : c->low;
        milp_add_column(lp, low, c->high, c->worth, false);
        add_field_terms(m, k, c->term, lp);
        if (j == COLUMN_FLARE) {
            add_term(lp, m->rows.flare[k], 1);
            add_term(lp, m->rows.flare_volume, 1);
        }
        bool goes_through = (j - COLUMN_UNIT) % 2 == 0;
        if (link != SIZE_MAX && goes_through) {
            milp_add_term(lp, link, 1);
            milp_add_term(lp, link + 1, 1);
        } else if (link != SIZE_MAX) {
            milp_add_term(lp, link + 2, 1);
        }
    }
}

static void add_running(struct master *m, size_t k, struct milp *lp)
{
    const struct problem *p = &m->span->period[k];
    m->running_at[k] = lp->n_columns;
    for (size_t u = 0; u < p->n_units; u++) {
        const struct station_unit *unit = &p->unit[u];
        const struct station_column *c = &p->column[COLUMN_UNIT + 2 * u];
        size_t link = m->rows.unit[k][u];
        bool is_open = unit->may_stop && m->runs[k] == NULL;
        bool runs = !unit->may_stop || (m->runs[k] != NULL && m->runs[k][u]);
        milp_add_column(lp, runs ? 1 : 0, runs || is_open ? 1 : 0, unit->worth,
                        is_open && m->whole);
        add_field_terms(m, k, unit->term, lp);
        if (link != SIZE_MAX) {
            milp_add_term(lp, link, -c[0].high);
            milp_add_term(lp, link + 1, -c[0].low);
            milp_add_term(lp, link + 2, -c[1].high);
        }
    }
}

static void add_flaring(struct master *m, size_t k, struct milp *lp)
{
    if (m->rows.flare[k] == SIZE_MAX)
        return;
    bool is_open = m->flares == NULL, on = !is_open && m->flares[k];
    m->flare_on_at[k] = milp_add_column(lp, on ? 1 : 0, on || is_open ? 1 : 0,
                                        0, is_open && m->whole);
    milp_add_term(lp, m->rows.flare[k],
                  -m->span->period[k].column[COLUMN_FLARE].high);
    milp_add_term(lp, m->rows.flare_periods, 1);
}

/* Gas put by at the end of a period leaves it and is there in the next. */
static void add_store(struct master *m, struct milp *lp)
{
    const struct span *s = m->span;
    size_t n = s->n_periods;
    for (size_t k = 0; k <= n; k++) {
        bool is_given = k == 0;
        double low = k == 0 || k == n ? s->store : 0;
        m->store_at[k] = milp_add_column(
            lp, low, is_given ? s->store : s->store_most, 0, false);
        if (k > 0) {
            milp_add_term(lp, m->rows.field[k - 1][ROW_BALANCE], -1);
            milp_add_term(lp, m->rows.field[k - 1][ROW_COMPRESSED], -1);
        }
        if (k < n) {
            milp_add_term(lp, m->rows.field[k][ROW_BALANCE], 1);
            milp_add_term(lp, m->rows.field[k][ROW_COMPRESSED], 1);
        }
    }
}

/* The wells' sums: as much as anything allows. */
static void add_sums(struct master *m, size_t k, struct milp *lp)
{
    const struct problem *p = &m->span->period[k];
    for (int u = 0; u < N_USES; u++) {
        if (m->rows.use[k][u] == SIZE_MAX)
            continue;
        milp_add_column(lp, 0, OUTAGE_SUM_MOST * (double)(p->n_wells + 1), 0,
                        false);
        milp_add_term(lp, m->rows.use[k][u], -1);
        for (size_t r = 0; r < N_FIELD_ROWS; r++)
            if (p->row[r].use[u] != 0)
                add_term(lp, m->rows.field[k][r], p->row[r].use[u]);
    }
}

/* Past a limit, at a cost: so that there always is a solution. */
static void add_elastic(const struct master *m, size_t row, struct milp *lp)
{
    double most = OUTAGE_SUM_MOST * (double)(m->span->n_wells + 1);
    if (isfinite(lp->row_high[row])) {
        milp_add_column(lp, 0, most, -m->elastic, false);
        milp_add_term(lp, row, -1);
    }
    if (isfinite(lp->row_low[row])) {
        milp_add_column(lp, 0, most, -m->elastic, false);
        milp_add_term(lp, row, 1);
    }
}

static void add_elastics(const struct master *m, struct milp *lp)
{
    const struct span *s = m->span;
    for (size_t k = 0; k < s->n_periods; k++)
        for (size_t r = 0; r < N_FIELD_ROWS; r++)
            if (m->rows.field[k][r] != SIZE_MAX)
                add_elastic(m, m->rows.field[k][r], lp);
    for (size_t i = 0; i < s->outage->n_shifts; i++)
        if (m->rows.shift[i] != SIZE_MAX)
            add_elastic(m, m->rows.shift[i], lp);
    for (size_t g = 0; g < s->today.field->groups[GROUP_MANIFOLD].n; g++)
        for (size_t k = 1; k < s->n_periods; k++)
            if (m->rows.ramp[g][k] != SIZE_MAX)
                add_elastic(m, m->rows.ramp[g][k], lp);
}

static double of_use(const struct use *u, bool runs, const double *part)
{
    return part[USE_GAS] * u->gas + part[USE_OIL] * u->oil +
           part[USE_WATER] * u->water + part[USE_FORMATION] * u->formation +
           (runs ? part[USE_RUNS] : 0);
}

static bool way_runs(const struct master *m, const struct way *w, size_t k)
{
    bool runs;
    path_use(&m->span->well[w->well], &w->step[k], &runs);
    return runs;
}

static void add_way_period(const struct master *m, const struct way *w,
                           size_t k, struct milp *lp)
{
    const struct problem *p = &m->span->period[k];
    const struct bidder *b = &p->bidder[w->well];
    const struct use *u = &w->use[k];
    const size_t *at = m->rows.use[k];
    add_term(lp, at[USE_GAS], u->gas);
    add_term(lp, at[USE_OIL], u->oil);
    add_term(lp, at[USE_WATER], u->water);
    add_term(lp, at[USE_FORMATION], u->formation);
    for (size_t i = 0; i < b->n_own; i++) {
        size_t own = m->own_at[k][b->own[i].row];
        if (own != SIZE_MAX)
            milp_add_term(lp, m->rows.n + own,
                          b->own[i].sign * of_use(u, way_runs(m, w, k),
                                                  p->row[b->own[i].row].use));
    }
    const size_t *ramp = m->rows.ramp[m->span->manifold[w->well]];
    if (k > 0)
        add_term(lp, ramp[k], u->gas - w->use[k - 1].gas);
}

static void add_way(const struct master *m, size_t way, struct milp *lp)
{
    const struct span *s = m->span;
    const struct way *w = &m->way[way];
    milp_add_column(lp, 0, w->is_out ? 0 : 1, w->worth, false);
    milp_add_term(lp, m->rows.well + w->well, 1);
    for (size_t k = 0; k < s->n_periods; k++)
        add_way_period(m, w, k, lp);
    for (size_t i = 0; i < s->outage->n_shifts; i++) {
        size_t n = 0;
        for (size_t k = 0; k < s->n_periods; k++)
            n += s->shift[k] == i && w->step[k].moved;
        add_term(lp, m->rows.shift[i], (double)n);
    }
    if (m->n_patterns > 0)
        milp_add_term(lp, m->rows.n + m->n_own + m->pattern[way], 1);
}

/* All the weight of a well on one pattern. */
static void add_choices(const struct master *m, struct milp *lp)
{
    for (size_t i = 0; i < m->n_patterns; i++) {
        milp_add_column(lp, 0, 1, 0, true);
        milp_add_term(lp, m->rows.n + m->n_own + i, -1);
    }
}

/* Elastic columns of own limits come last, as their number grows. */
static void build(struct master *m, struct milp *lp)
{
    const struct span *s = m->span;
    add_rows(m, lp);
    for (size_t k = 0; k < s->n_periods; k++) {
        add_flows(m, k, lp);
        add_running(m, k, lp);
        add_flaring(m, k, lp);
        add_sums(m, k, lp);
    }
    add_store(m, lp);
    m->elastic_at = lp->n_columns;
    add_elastics(m, lp);
    m->n_station = lp->n_columns;
    for (size_t i = 0; i < m->n_ways; i++)
        add_way(m, i, lp);
    for (size_t i = 0; i < m->n_own; i++)
        add_elastic(m, m->rows.n + i, lp);
    m->elastic_end = lp->n_columns;
    add_choices(m, lp);
}

/* --- its solution --------------------------------------------------------- */

static struct lp_basis known_basis(struct master *m, const struct milp *lp,
                                   struct arena *a)
{
    struct lp_basis b = {ARENA_NEW(a, lp->n_rows, unsigned char),
                         ARENA_NEW(a, lp->n_columns, unsigned char)};
    if (m->station_stand == NULL)
        m->station_stand = ARENA_NEW(m->arena, m->n_station, unsigned char);
    memcpy(b.row, m->row_stand, m->rows.n);
    memcpy(b.column, m->station_stand, m->n_station);
    for (size_t i = 0; i < m->n_ways; i++)
        b.column[m->n_station + i] = m->way[i].stand;
    for (size_t i = 0; i < m->n_own; i++)
        b.row[m->rows.n + i] = m->own[i].stand;
    return b;
}

static void keep_basis(struct master *m, const struct lp_basis *b)
{
    memcpy(m->row_stand, b->row, m->rows.n);
    memcpy(m->station_stand, b->column, m->n_station);
    for (size_t i = 0; i < m->n_ways; i++)
        m->way[i].stand = b->column[m->n_station + i];
    for (size_t i = 0; i < m->n_own; i++)
        m->own[i].stand = b->row[m->rows.n + i];
}

static void read_prices(struct master *m, const double *row_price)
{
    const struct span *s = m->span;
    struct span_prices *to = &m->price;
    for (size_t k = 0; k < s->n_periods; k++) {
        for (size_t r = 0; r < s->period[k].n_rows; r++)
            to->row[k][r] = 0;
        for (size_t r = 0; r < N_FIELD_ROWS; r++)
            if (m->rows.field[k][r] != SIZE_MAX)
                to->row[k][r] = row_price[m->rows.field[k][r]];
    }
    for (size_t i = 0; i < m->n_own; i++)
        to->row[m->own[i].period][m->own[i].row] = row_price[m->rows.n + i];
    for (size_t i = 0; i < s->outage->n_shifts; i++)
        if (m->rows.shift[i] != SIZE_MAX)
            to->shift[i] = row_price[m->rows.shift[i]];
    for (size_t g = 0; g < s->today.field->groups[GROUP_MANIFOLD].n; g++)
        for (size_t k = 1; k < s->n_periods; k++)
            if (m->rows.ramp[g][k] != SIZE_MAX)
                to->ramp[g][k] = row_price[m->rows.ramp[g][k]];
    if (m->rows.flare_volume != SIZE_MAX)
        to->flare_volume = row_price[m->rows.flare_volume];
    if (m->rows.flare_periods != SIZE_MAX)
        to->flare_period = row_price[m->rows.flare_periods];
    for (size_t i = 0; i < s->n_wells; i++)
        m->well_price[i] = row_price[m->rows.well + i];
}

/* How far rows are passed: what the elastic columns carry. */
static void read_past(struct master *m, const struct milp *lp, const double *x)
{
    m->past = 0;
    m->past_row = ARENA_NEW(m->arena, m->rows.n + m->n_own, double);
    for (size_t j = 0; j < m->elastic_end; j++) {
        bool is_way = j >= m->n_station && j < m->n_station + m->n_ways;
        if (j < m->elastic_at || is_way || !(x[j] > 0))
            continue;
        size_t term = lp->start[j];
        m->past += x[j];
        m->past_row[lp->term_row[term]] -= x[j] * lp->term[term];
    }
}

static void read_answer(struct master *m, const struct milp *lp,
                        const struct milp_answer *answer)
{
    m->value = answer->value;
    m->iterations += answer->iterations;
    m->x = ARENA_NEW(m->arena, m->n_station, double);
    memcpy(m->x, answer->x, m->n_station * sizeof *m->x);
    for (size_t i = 0; i < m->n_ways; i++) {
        struct way *w = &m->way[i];
        w->weight = answer->x[m->n_station + i];
        w->idle = w->weight > TOL_PRICES_WEIGHT || w->stand == LP_BASIC
                      ? 0
                      : w->idle + 1;
    }
    read_past(m, lp, answer->x);
    read_prices(m, answer->row_price);
}

static enum status solve_once(struct master *m, struct err *err)
{
    struct arena scratch;
    arena_init(&scratch);
    scratch.on_full = m->arena->on_full;
    scratch.context = m->arena->context;
    struct milp lp;
    milp_init(&lp, &scratch);
    build(m, &lp);
    struct lp_limits limits = {.gap = m->gap,
                               .nodes_max = OUTAGE_STATION_NODES,
                               .time_s = (double)INFINITY};
    struct milp_answer answer;
    enum status st;
    if (m->whole || m->n_patterns > 0) {
        st = lp_solve(&lp, &limits, &scratch, &answer, err);
    } else {
        struct lp_basis basis = known_basis(m, &lp, &scratch);
        st = lp_solve_from(&lp, &limits, &basis, &scratch, &answer, err);
        keep_basis(m, &basis);
    }
    m->is_solved = st == ST_OK && answer.has_point;
    if (m->is_solved)
        read_answer(m, &lp, &answer);
    arena_release(&scratch);
    return st;
}

/* What the ways in use add up to in the own rows of a period. */
static void add_up_own(const struct master *m, size_t k, double *sum)
{
    const struct problem *p = &m->span->period[k];
    memset(sum, 0, p->n_rows * sizeof *sum);
    for (size_t i = 0; i < m->n_ways; i++) {
        const struct way *w = &m->way[i];
        const struct bidder *b = &p->bidder[w->well];
        if (!(w->weight > 0))
            continue;
        for (size_t j = 0; j < b->n_own; j++) {
            size_t r = b->own[j].row;
            sum[r] += w->weight * b->own[j].sign *
                      of_use(&w->use[k], way_runs(m, w, k), p->row[r].use);
        }
    }
}

static void add_own(struct master *m, size_t k, size_t row)
{
    if (m->n_own == m->cap_own) {
        m->cap_own = 2 * m->cap_own + 64;
        struct own_limit *more =
            ARENA_NEW(m->arena, m->cap_own, struct own_limit);
        if (m->n_own > 0)
            memcpy(more, m->own, m->n_own * sizeof *more);
        m->own = more;
    }
    m->own_at[k][row] = m->n_own;
    m->own[m->n_own++] = (struct own_limit){.period = k, .row = row};
}

/* Rows that are passed from now on count; whether there are any. */
static bool add_passed(struct master *m)
{
    const struct span *s = m->span;
    bool any = false;
    for (size_t k = 0; k < s->n_periods; k++) {
        const struct problem *p = &s->period[k];
        struct arena_mark mark = arena_mark(m->arena);
        double *sum = ARENA_NEW(m->arena, p->n_rows, double);
        add_up_own(m, k, sum);
        bool *passed = ARENA_NEW(m->arena, p->n_rows, bool);
        for (size_t r = N_FIELD_ROWS; r < p->n_rows; r++) {
            double slack = TOL_PRICES_PAST * fmax(fabs(p->row[r].high), 1);
            passed[r] = span_row_counts(p, r) && m->own_at[k][r] == SIZE_MAX &&
                        sum[r] > p->row[r].high + slack;
        }
        bool here = false;
        for (size_t r = N_FIELD_ROWS; r < p->n_rows; r++)
            here = here || passed[r];
        any = any || here;
        if (!here) {
            arena_rewind(m->arena, mark);
            continue;
        }
        for (size_t r = N_FIELD_ROWS; r < p->n_rows; r++)
            if (passed[r])
                add_own(m, k, r);
    }
    return any;
}

enum status master_solve(struct master *m, struct err *err)
{
    enum status st = solve_once(m, err);
    while (st == ST_OK && m->is_solved && add_passed(m))
        st = solve_once(m, err);
    return st;
}
