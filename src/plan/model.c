#include "model.h"

#include <math.h>
#include <stdint.h>

#include "base/arena.h"
#include "num/tol.h"

/* What a well does at a point of a mode. */
struct part {
    size_t bidder;
    struct use use;
    double moved, runs;
};

static double count(const double *use, const struct part *x)
{
    return use[USE_GAS] * x->use.gas + use[USE_OIL] * x->use.oil +
           use[USE_WATER] * x->use.water +
           use[USE_FORMATION] * x->use.formation + use[USE_MOVED] * x->moved +
           use[USE_RUNS] * x->runs;
}

static double in_goal(const struct problem *p, const struct part *x)
{
    double last = p->n_wells > 1 ? (double)(p->n_wells - 1) : 1;
    double rank = (double)x->bidder / last;
    return count(p->goal, x) - (p->tie_gas + p->tie_rank * rank) * x->use.gas;
}

static struct use difference(const struct use *to, const struct use *from)
{
    return (struct use){
        to->gas - from->gas,
        to->oil - from->oil,
        to->water - from->water,
        to->formation - from->formation,
    };
}

static void add_part(struct model *m, const struct part *x, bool whole)
{
    const struct problem *p = m->problem;
    const struct bidder *b = &p->bidder[x->bidder];
    milp_add_column(&m->lp, 0, 1, in_goal(p, x), whole);
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        milp_add_term(&m->lp, r, count(p->row[r].use, x));
    for (size_t k = 0; k < b->n_own; k++)
        milp_add_term(&m->lp, b->own[k].row,
                      b->own[k].sign * count(p->row[b->own[k].row].use, x));
}

static void shift_row(struct model *m, size_t row, double by)
{
    m->lp.row_low[row] -= by;
    m->lp.row_high[row] -= by;
}

/* What does not depend on any column goes into the bounds. */
static void add_constant(struct model *m, const struct part *x)
{
    const struct problem *p = m->problem;
    const struct bidder *b = &p->bidder[x->bidder];
    m->lp.constant += in_goal(p, x);
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        shift_row(m, r, count(p->row[r].use, x));
    for (size_t k = 0; k < b->n_own; k++)
        shift_row(m, b->own[k].row,
                  b->own[k].sign * count(p->row[b->own[k].row].use, x));
}

static struct part part_of(size_t i, const struct use *u,
                           const struct mode *mode)
{
    return (struct part){i, *u, mode->moved ? 1 : 0, mode->runs ? 1 : 0};
}

static void add_segments(struct model *m, size_t i, const struct mode *mode)
{
    struct part first = part_of(i, &mode->point[0], mode);
    add_constant(m, &first);
    for (size_t k = 0; k + 1 < mode->n; k++) {
        struct part step = {
            .bidder = i,
            .use = difference(&mode->point[k + 1], &mode->point[k]),
        };
        add_part(m, &step, false);
    }
}

static void add_choice(struct model *m, size_t i, bool whole)
{
    const struct menu *menu = &m->menu[i];
    size_t one = milp_add_row(&m->lp, 1, 1);
    for (size_t k = 0; k < menu->n_modes; k++) {
        const struct mode *mode = &menu->mode[k];
        bool is_linked = whole && mode->n > 1;
        size_t link = is_linked ? milp_add_row(&m->lp, 0, 0) : 0;
        for (size_t j = 0; j < mode->n; j++) {
            struct part x = part_of(i, &mode->point[j], mode);
            add_part(m, &x, whole && mode->n == 1);
            milp_add_term(&m->lp, is_linked ? link : one, 1);
        }
        if (is_linked) {
            milp_add_column(&m->lp, 0, 1, 0, true);
            milp_add_term(&m->lp, one, 1);
            milp_add_term(&m->lp, link, -1);
        }
    }
}

static bool is_single_chain(const struct menu *menu)
{
    return menu->n_modes == 1 &&
           (menu->mode[0].is_chain || menu->mode[0].n <= 2);
}

static double tie_of_flow(const struct problem *p, size_t flow)
{
    return flow == COLUMN_BOUGHT  ? p->tie_bought
           : flow == COLUMN_FLARE ? p->tie_flare
                                  : 0;
}

/* A flow; of a unit that may run or not, what is over its least, and only
 * while it runs: link is that row. */
static void add_flow(struct model *m, size_t flow, size_t link)
{
    const struct problem *p = m->problem;
    const struct station_column *c = &p->column[flow];
    bool stands = c->unit != SIZE_MAX && m->unit[c->unit] == SIZE_MAX &&
                  !m->unit_runs[c->unit];
    bool is_open = link != SIZE_MAX;
    double low = stands || is_open ? 0 : c->low;
    double high = stands ? 0 : c->high - (is_open ? c->low : 0);
    milp_add_column(&m->lp, low, high, c->worth - tie_of_flow(p, flow), false);
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        milp_add_term(&m->lp, r, c->term[r]);
    if (is_open)
        milp_add_term(&m->lp, link, 1);
}

/* What running adds to a row, or to the goal: with its flows at their least. */
static double running_part(const struct problem *p, size_t u, int row)
{
    const struct station_unit *unit = &p->unit[u];
    double sum = row < 0 ? unit->worth : unit->term[row];
    for (size_t k = COLUMN_UNIT + 2 * u; k < COLUMN_UNIT + 2 * u + 2; k++) {
        const struct station_column *c = &p->column[k];
        sum += c->low * (row < 0 ? c->worth : c->term[row]);
    }
    return sum;
}

static void add_running(struct model *m, size_t u, const size_t *link,
                        bool whole)
{
    const struct problem *p = m->problem;
    m->unit[u] = m->lp.n_columns;
    milp_add_column(&m->lp, 0, 1, running_part(p, u, -1), whole);
    for (int r = 0; r < N_FIELD_ROWS; r++)
        milp_add_term(&m->lp, (size_t)r, running_part(p, u, r));
    for (size_t k = COLUMN_UNIT + 2 * u; k < COLUMN_UNIT + 2 * u + 2; k++)
        milp_add_term(&m->lp, link[k], p->column[k].low - p->column[k].high);
}

static void add_fixed_unit(struct model *m, size_t u)
{
    const struct problem *p = m->problem;
    if (!m->unit_runs[u])
        return;
    m->lp.constant += p->unit[u].worth;
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        shift_row(m, r, p->unit[u].term[r]);
}

static void add_station(struct model *m, const bool *unit_runs, bool whole,
                        struct arena *a)
{
    const struct problem *p = m->problem;
    size_t *link = ARENA_NEW(a, p->n_columns, size_t);
    m->unit = ARENA_NEW(a, p->n_units, size_t);
    m->unit_runs = ARENA_NEW(a, p->n_units, bool);
    for (size_t u = 0; u < p->n_units; u++) {
        bool is_open =
            unit_runs == NULL && p->unit[u].may_run && p->unit[u].may_stop;
        m->unit[u] = is_open ? 0 : SIZE_MAX;
        m->unit_runs[u] = unit_runs != NULL ? unit_runs[u] : p->unit[u].may_run;
    }
    for (size_t k = 0; k < p->n_columns; k++) {
        size_t u = p->column[k].unit;
        bool is_open = u != SIZE_MAX && m->unit[u] != SIZE_MAX;
        link[k] =
            is_open ? milp_add_row(&m->lp, -(double)INFINITY, 0) : SIZE_MAX;
    }
    m->station = m->lp.n_columns;
    for (size_t k = 0; k < p->n_columns; k++)
        add_flow(m, k, link[k]);
    for (size_t u = 0; u < p->n_units; u++) {
        if (m->unit[u] != SIZE_MAX)
            add_running(m, u, link, whole);
        else
            add_fixed_unit(m, u);
    }
}

void model_make(const struct problem *p, const struct menu *menu, bool whole,
                const bool *unit_runs, struct arena *a, struct model *out)
{
    *out = (struct model){
        .problem = p,
        .menu = menu,
        .whole = whole,
        .first = ARENA_NEW(a, p->n_wells, size_t),
    };
    milp_init(&out->lp, a);
    for (size_t r = 0; r < p->n_rows; r++)
        milp_add_row(&out->lp, p->row[r].low, p->row[r].high);
    add_station(out, unit_runs, whole, a);
    for (size_t i = 0; i < p->n_wells; i++) {
        out->first[i] = out->lp.n_columns;
        if (is_single_chain(&menu[i]))
            add_segments(out, i, &menu[i].mode[0]);
        else
            add_choice(out, i, whole);
    }
}

static void add_weighted(struct use *sum, const struct use *u, double weight)
{
    sum->gas += weight * u->gas;
    sum->oil += weight * u->oil;
    sum->water += weight * u->water;
    sum->formation += weight * u->formation;
}

static struct stand read_segments(const struct mode *mode, const double *x)
{
    struct stand s = {.use = mode->point[0]};
    for (size_t k = 0; k + 1 < mode->n; k++) {
        struct use step = difference(&mode->point[k + 1], &mode->point[k]);
        add_weighted(&s.use, &step, x[k]);
    }
    return s;
}

static struct stand read_choice(const struct menu *menu, bool whole,
                                const double *x)
{
    struct stand s = {0};
    double most = -1;
    for (size_t k = 0; k < menu->n_modes; k++) {
        const struct mode *mode = &menu->mode[k];
        double weight = 0;
        for (size_t j = 0; j < mode->n; j++) {
            add_weighted(&s.use, &mode->point[j], *x);
            weight += *x++;
        }
        if (whole && mode->n > 1)
            x++;
        if (weight > most) {
            most = weight;
            s.mode = k;
        }
    }
    return s;
}

void model_read(const struct model *m, const double *x, struct stand *stand)
{
    for (size_t i = 0; i < m->problem->n_wells; i++) {
        const struct menu *menu = &m->menu[i];
        const double *own = x + m->first[i];
        stand[i] = is_single_chain(menu) ? read_segments(&menu->mode[0], own)
                                         : read_choice(menu, m->whole, own);
    }
}

void model_read_units(const struct model *m, const double *x, bool *unit_runs)
{
    for (size_t u = 0; u < m->problem->n_units; u++)
        unit_runs[u] =
            m->unit[u] == SIZE_MAX ? m->unit_runs[u] : x[m->unit[u]] > 0.5;
}
