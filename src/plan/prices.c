#include "prices.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"
#include "tableau.h"

/* A way to run a unit: its flows at their ends. */
struct running {
    size_t unit, column;
    double through, round;
};

/* Rows: the bound ones, the sum of each group's weights, a unit's ways. */
struct master {
    struct prices *of;
    const struct offer *base; /* offers count by what they differ from it:
                                 near the end that is little */
    struct tableau *tableau;
    size_t n_bound, n_groups, n_rows;
    double whole[COLUMN_UNIT]; /* flow of a station's column at 1 */
    size_t station[COLUMN_UNIT];
    size_t n_running;
    struct running *running; /* [4 n_units] */
    size_t first_offer;      /* column */
    double *term;            /* [n_rows] scratch */
    double *largest;         /* [n_bound] term of each row */
    double largest_cost;
};

/* --- the program ----------------------------------------------------------*/

/* Numbers of the program are near 1: values in ranges of the goal, rows in
 * what they are about. */
static double per_row(const struct prices *q, size_t i)
{
    return q->scale[i] / q->range;
}

static void set_bounds(struct master *m)
{
    const struct prices *q = m->of;
    const struct problem *p = q->problem;
    for (size_t i = 0; i < m->n_bound; i++) {
        size_t row = q->asking->bound[i];
        double first = tally_row(q->asking, &m->base->tally, row);
        tableau_row(m->tableau, i, (p->row[row].low - first) * per_row(q, i),
                    (p->row[row].high - first) * per_row(q, i));
    }
    for (size_t g = 0; g < m->n_groups; g++)
        tableau_row(m->tableau, m->n_bound + g, 1, 1);
    for (size_t u = 0; u < p->n_units; u++)
        tableau_row(m->tableau, m->n_bound + m->n_groups + u,
                    p->unit[u].may_stop ? 0 : 1, p->unit[u].may_run ? 1 : 0);
}

static void add_terms(struct master *m, const double *field_row, double times)
{
    const struct asking *k = m->of->asking;
    for (size_t i = 0; i < k->n_bound && k->bound[i] < N_FIELD_ROWS; i++)
        m->term[i] += times * field_row[k->bound[i]] * per_row(m->of, i);
}

static size_t add_column(struct master *m, double low, double high,
                         double worth)
{
    double cost = worth / m->of->range;
    for (size_t i = 0; i < m->n_bound; i++)
        m->largest[i] = fmax(m->largest[i], fabs(m->term[i]));
    m->largest_cost = fmax(m->largest_cost, fabs(cost));
    return tableau_add(m->tableau, low, high, cost, m->term);
}

static void clear_terms(struct master *m)
{
    memset(m->term, 0, m->n_rows * sizeof *m->term);
}

static void add_running(struct master *m, size_t u, double through,
                        double round)
{
    const struct problem *p = m->of->problem;
    const struct station_column *c = &p->column[COLUMN_UNIT + 2 * u];
    clear_terms(m);
    add_terms(m, p->unit[u].term, 1);
    add_terms(m, c[0].term, through);
    add_terms(m, c[1].term, round);
    m->term[m->n_bound + m->n_groups + u] = 1;
    double worth = p->unit[u].worth + c[0].worth * through + c[1].worth * round;
    size_t column = add_column(m, 0, 1, worth);
    m->running[m->n_running++] = (struct running){u, column, through, round};
}

static void add_station(struct master *m)
{
    const struct problem *p = m->of->problem;
    for (size_t c = 0; c < COLUMN_UNIT; c++) {
        const struct station_column *flow = &p->column[c];
        double whole = m->whole[c] = flow->high > 0 ? flow->high : 1;
        clear_terms(m);
        add_terms(m, flow->term, whole);
        m->station[c] = add_column(m, flow->low / whole, flow->high / whole,
                                   flow->worth * whole);
    }
    for (size_t u = 0; u < p->n_units; u++) {
        const struct station_column *c = &p->column[COLUMN_UNIT + 2 * u];
        for (int i = 0; i < 4; i++)
            if ((i < 2 || c[0].high > c[0].low) &&
                (i % 2 == 0 || c[1].high > c[1].low))
                add_running(m, u, i < 2 ? c[0].low : c[0].high,
                            i % 2 == 0 ? c[1].low : c[1].high);
    }
}

/* A column for each group. */
static void add_offer(struct master *m, const struct offer *o)
{
    const struct asking *k = m->of->asking;
    for (size_t g = 0; g < m->n_groups; g++) {
        const struct tally *group = &o->group[g], *base = &m->base->group[g];
        clear_terms(m);
        for (size_t i = 0; i < k->n_bound; i++)
            m->term[i] = (tally_row(k, group, k->bound[i]) -
                          tally_row(k, base, k->bound[i])) *
                         per_row(m->of, i);
        m->term[m->n_bound + g] = 1;
        add_column(m, 0, (double)INFINITY,
                   tally_value(k, group) - tally_value(k, base));
    }
}

/* --- prices in a box ------------------------------------------------------*/

/* What wells of an offer, the station, or the bounds bring into a row. */
static double size_of_row(const struct prices *q, const struct offer *o,
                          size_t row)
{
    const struct problem *p = q->problem;
    const struct limit_row *r = &p->row[row];
    double size = fabs(tally_row(q->asking, &o->tally, row));
    if (isfinite(r->high))
        size = fmax(size, fabs(r->high));
    if (isfinite(r->low))
        size = fmax(size, fabs(r->low));
    for (size_t c = 0; c < p->n_columns && row < N_FIELD_ROWS; c++)
        size = fmax(size, fabs(p->column[c].term[row]) * p->column[c].high);
    return size;
}

/* The price at which a whole row is worth the whole range. */
static void set_scales(struct prices *q, const struct offer *o)
{
    const struct asking *k = q->asking;
    q->scale = ARENA_NEW(k->arena, k->n_bound, double);
    for (size_t i = 0; i < k->n_bound; i++) {
        double size = size_of_row(q, o, k->bound[i]);
        q->scale[i] = q->range / fmax(size, PRICES_SIZE_LEAST);
    }
}

/* true: the box ends at the caps everywhere. The other rows' prices must only
 * never reach an end: no farther than columns can be worth in the box, or
 * rounding in these rows would weigh too much. */
static bool set_boxes(struct master *m)
{
    const struct prices *q = m->of;
    bool at_cap = true;
    double most = m->largest_cost;
    for (size_t i = 0; i < m->n_bound; i++) {
        double price = q->best->row_price[q->asking->bound[i]] / q->scale[i];
        double low = fmax(-q->cap, price - q->radius);
        double high = fmin(q->cap, price + q->radius);
        at_cap = at_cap && low == -q->cap && high == q->cap;
        tableau_box(m->tableau, i, low, high);
        most += fmax(fabs(low), fabs(high)) * m->largest[i];
    }
    for (size_t i = m->n_bound; i < m->n_rows; i++)
        tableau_box(m->tableau, i, -2 * most, 2 * most);
    return at_cap;
}

static struct master master_new(struct prices *q)
{
    const struct problem *p = q->problem;
    struct arena *a = q->asking->arena;
    size_t n_bound = q->asking->n_bound, n_groups = q->asking->n_groups;
    size_t n_rows = n_bound + n_groups + p->n_units;
    struct master m = {
        .of = q,
        .base = q->best,
        .tableau = tableau_new(n_rows, 1, a),
        .n_bound = n_bound,
        .n_groups = n_groups,
        .n_rows = n_rows,
        .running = ARENA_NEW(a, 4 * p->n_units, struct running),
        .term = ARENA_NEW(a, n_rows, double),
        .largest = ARENA_NEW(a, n_bound, double),
    };
    set_bounds(&m);
    add_station(&m);
    m.first_offer = COLUMN_UNIT + m.n_running;
    for (size_t i = 0; i < q->n_offers; i++)
        add_offer(&m, q->offer[i]);
    return m;
}

/* --- the search -----------------------------------------------------------*/

void prices_start(const struct asking *k, const struct problem *p,
                  const struct menu *const *menu, double gap,
                  struct prices *out)
{
    *out = (struct prices){
        .asking = k,
        .problem = p,
        .menu = menu,
        .gap = gap,
        .cutoff = -(double)INFINITY,
        .bound = (double)INFINITY,
        .radius = PRICES_RADIUS,
        .cap = PRICES_CAP,
        .cap_last = PRICES_CAP_LAST,
        .range = k->range,
        .column = ARENA_NEW(k->arena, p->n_columns, double),
        .runs = ARENA_NEW(k->arena, p->n_units, double),
    };
}

double prices_weight(const struct prices *q, size_t offer, size_t block)
{
    return q->weight[offer][asking_group(q->asking, block)];
}

double prices_weight_most(const struct prices *q, size_t offer)
{
    double most = 0;
    for (size_t g = 0; g < q->asking->n_groups; g++)
        most = fmax(most, q->weight[offer][g]);
    return most;
}

void prices_offer(struct prices *q, const struct offer *o)
{
    if (q->scale == NULL)
        set_scales(q, o);
    q->is_stuck = q->is_stuck || !o->is_whole;
    if (o->is_whole && q->n_offers < PRICES_OFFERS)
        q->offer[q->n_offers++] = o;
    double bound = offer_bound(q->problem, o);
    if (bound < q->bound) {
        q->bound = bound;
        q->best = o;
    }
}

bool prices_ask(struct prices *q, double *row_price)
{
    double before = q->bound;
    prices_offer(q, offer_ask(q->asking, q->menu, row_price, q->best));
    return q->bound < before;
}

static double *true_prices(const struct prices *q, const double *scaled)
{
    double *row_price = asking_prices(q->asking);
    for (size_t i = 0; i < q->asking->n_bound; i++)
        row_price[q->asking->bound[i]] = scaled[i] * q->scale[i];
    return row_price;
}

static double worth_of_tally(const struct asking *k, const struct tally *t,
                             const double *row_price)
{
    double worth = tally_value(k, t);
    for (size_t i = 0; i < k->n_bound; i++)
        worth -= row_price[k->bound[i]] * tally_row(k, t, k->bound[i]);
    return worth;
}

/* The program's value by its prices: what its columns make of rounding in rows
 * without a limit on their price is not in it. */
static double promise_at(const struct prices *q, double *row_price)
{
    const struct asking *k = q->asking;
    struct worth w = worth_at(q->problem, row_price);
    double sum = w.fixed + worth_of_station(&w);
    for (size_t g = 0; g < k->n_groups; g++) {
        double best = -(double)INFINITY;
        for (size_t o = 0; o < q->n_offers; o++)
            best = fmax(best,
                        worth_of_tally(k, &q->offer[o]->group[g], row_price));
        sum += best;
    }
    return sum;
}

static double value_of_mixture(const struct prices *q)
{
    const struct problem *p = q->problem;
    double sum = 0;
    for (size_t o = 0; o < q->n_offers; o++)
        for (size_t g = 0; g < q->asking->n_groups; g++)
            sum += q->weight[o][g] *
                   tally_value(q->asking, &q->offer[o]->group[g]);
    for (size_t c = 0; c < p->n_columns; c++)
        sum += q->column[c] * p->column[c].worth;
    for (size_t u = 0; u < p->n_units; u++)
        sum += q->runs[u] * p->unit[u].worth;
    return sum;
}

static void read_mixture(struct master *m, const struct tableau_answer *answer)
{
    struct prices *q = m->of;
    const struct problem *p = q->problem;
    q->past = answer->past;
    for (size_t i = 0; i < q->n_offers; i++)
        for (size_t g = 0; g < m->n_groups; g++)
            q->weight[i][g] = answer->x[m->first_offer + i * m->n_groups + g];
    for (size_t c = 0; c < COLUMN_UNIT; c++)
        q->column[c] = answer->x[m->station[c]] * m->whole[c];
    memset(q->runs, 0, p->n_units * sizeof *q->runs);
    memset(q->column + COLUMN_UNIT, 0,
           (p->n_columns - COLUMN_UNIT) * sizeof *q->column);
    for (size_t i = 0; i < m->n_running; i++) {
        const struct running *r = &m->running[i];
        double part = answer->x[r->column];
        q->runs[r->unit] += part;
        q->column[COLUMN_UNIT + 2 * r->unit] += part * r->through;
        q->column[COLUMN_UNIT + 2 * r->unit + 1] += part * r->round;
    }
    q->row_price = true_prices(q, answer->row_price);
    q->promise = promise_at(q, q->row_price);
    q->value = value_of_mixture(q);
}

/* One ask at the program's prices. The box grows where the bound falls as
 * promised, by more where it keeps a row from being met, and shrinks where the
 * bound does not fall. */
static void step(struct master *m)
{
    struct prices *q = m->of;
    double promised = q->bound - q->promise, before = q->bound;
    prices_ask(q, q->row_price);
    if (!q->is_stuck)
        add_offer(m, q->offer[q->n_offers - 1]);
    double kept = before - q->bound;
    if (kept >= PRICES_GROW_FROM * promised)
        q->radius *= q->past > TOL_PRICES_PAST ? PRICES_LEAP : PRICES_GROW;
    else if (kept <= 0)
        q->radius *= PRICES_SHRINK;
}

/* What stands when the program is stuck: the best offer alone. */
static void take_best(struct prices *q)
{
    q->row_price = q->best->row_price;
    q->past = (double)INFINITY;
    for (size_t i = 0; i < q->n_offers; i++)
        for (size_t g = 0; g < q->asking->n_groups; g++)
            q->weight[i][g] = q->offer[i] == q->best ? 1 : 0;
}

void prices_find(struct prices *q, long asks_most)
{
    take_best(q);
    q->is_stuck = false;
    if (q->n_offers == 0)
        return;
    struct master m = master_new(q);
    for (;;) {
        bool at_cap = set_boxes(&m);
        struct tableau_answer answer = tableau_solve(m.tableau);
        if (!answer.solved)
            return;
        read_mixture(&m, &answer);
        bool is_close = q->bound - q->promise <= q->gap;
        q->is_exact =
            q->past <= TOL_PRICES_PAST && q->bound - q->value <= q->gap;
        if (q->is_exact || q->bound < q->cutoff)
            return;
        if (is_close && at_cap) {
            if (q->cap >= q->cap_last)
                return;
            q->cap *= PRICES_CAP_STEP;
        } else if (is_close) {
            q->radius *= PRICES_LEAP;
        } else {
            if (asks_most-- <= 0 || q->n_offers == PRICES_OFFERS)
                return;
            step(&m);
            if (q->is_stuck)
                return;
        }
    }
}
