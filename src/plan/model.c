#include "model.h"

#include <math.h>
#include <stdint.h>

#include "base/arena.h"
#include "num/tol.h"

static double rank_of(const struct problem *p, size_t i)
{
    return p->n_wells > 1 ? (double)i / (double)(p->n_wells - 1) : 0;
}

/* What well i adds to a row by using u. */
static double part_of(const struct problem *p, const struct limit_row *r,
                      size_t i, const struct use *u, double moved)
{
    bool has_gas =
        r->manifold == SIZE_MAX || r->manifold == p->menu[i].manifold;
    double gas = has_gas ? r->gas + r->gas_by_rank * rank_of(p, i) : 0;
    return gas * u->gas + r->oil * u->oil + r->water * u->water +
           r->formation * u->formation + r->moved * moved;
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

/* The rows that can matter for a well: those of the field, its manifold's,
 * and rows added after the manifolds. */
static bool row_counts(const struct problem *p, size_t row, size_t i)
{
    return p->row[row].manifold == SIZE_MAX ||
           p->row[row].manifold == p->menu[i].manifold;
}

static void add_use_column(struct model *m, size_t i, const struct use *u,
                           double moved, bool whole)
{
    const struct problem *p = m->problem;
    milp_add_column(&m->lp, 0, 1, part_of(p, &p->goal, i, u, moved), whole);
    for (size_t r = 0; r < p->n_rows; r++)
        if (row_counts(p, r, i))
            milp_add_term(&m->lp, r, part_of(p, &p->row[r], i, u, moved));
}

/* What does not depend on any column goes into the bounds. */
static void add_constant(struct model *m, size_t i, const struct use *u,
                         double moved)
{
    const struct problem *p = m->problem;
    m->lp.constant += part_of(p, &p->goal, i, u, moved);
    for (size_t r = 0; r < p->n_rows; r++) {
        if (!row_counts(p, r, i))
            continue;
        double part = part_of(p, &p->row[r], i, u, moved);
        m->lp.row_low[r] -= part;
        m->lp.row_high[r] -= part;
    }
}

static void add_segments(struct model *m, size_t i, const struct mode *mode)
{
    add_constant(m, i, &mode->point[0], mode->moved ? 1 : 0);
    for (size_t k = 0; k + 1 < mode->n; k++) {
        struct use step = difference(&mode->point[k + 1], &mode->point[k]);
        add_use_column(m, i, &step, 0, false);
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
            add_use_column(m, i, &mode->point[j], mode->moved ? 1 : 0,
                           whole && mode->n == 1);
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

static void add_outside(struct model *m, enum outside k)
{
    const struct problem *p = m->problem;
    milp_add_column(&m->lp, p->outside_low[k], p->outside_high[k],
                    p->goal.outside[k], false);
    for (size_t r = 0; r < p->n_rows; r++)
        milp_add_term(&m->lp, r, p->row[r].outside[k]);
}

void model_make(const struct problem *p, const struct menu *menu, bool whole,
                struct arena *a, struct model *out)
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
    out->outside = out->lp.n_columns;
    for (enum outside k = OUT_SALES; k < N_OUTSIDE; k++)
        add_outside(out, k);
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

/* A part of a line so near to an end that only rounding keeps it off. */
static double snapped(double part)
{
    if (part < TOL_PLAN_SNAP)
        return 0;
    return part > 1 - TOL_PLAN_SNAP ? 1 : part;
}

static double gas_between(const struct use *a, const struct use *b, double part)
{
    part = snapped(part);
    return part == 1 ? b->gas : a->gas + part * (b->gas - a->gas);
}

/* Least gas on a chain that makes the oil. */
static double gas_for_oil(const struct mode *mode, double oil)
{
    const struct use *p = mode->point;
    size_t last = mode->n - 1;
    oil -= TOL_PLAN_ROUND * p[last].oil;
    for (size_t k = 0; k < last; k++) {
        double rise = p[k + 1].oil - p[k].oil;
        if (oil <= p[k].oil)
            return p[k].gas;
        if (oil < p[k + 1].oil)
            return gas_between(&p[k], &p[k + 1], (oil - p[k].oil) / rise);
    }
    return p[last].gas;
}

double model_settle_gas(const struct mode *mode, const struct stand *s)
{
    const struct use *p = mode->point;
    if (mode->n == 1)
        return p[0].gas;
    if (!mode->is_chain)
        return gas_between(&p[0], &p[1],
                           (s->use.gas - p[0].gas) / (p[1].gas - p[0].gas));
    /* Never more than the solver counted: it may have mixed a chain's kinks,
     * or its oil may be off in the last digits where the chain is flat. */
    double mixed = fmax(s->use.gas, p[0].gas);
    double gas = gas_for_oil(mode, s->use.oil);
    return gas <= mixed + TOL_PLAN_SNAP * p[mode->n - 1].gas ? gas : mixed;
}
