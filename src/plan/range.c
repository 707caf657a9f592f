#include "range.h"

#include <math.h>
#include <stdint.h>

#include "base/arena.h"
#include "inverse.h"
#include "num/tol.h"
#include "pricing.h"

/* Something that moves when a limit does: a well along its straight piece, by
 * its gas, or a flow of the station. */
struct mover {
    size_t bidder; /* SIZE_MAX: a flow */
    size_t column;
    const struct mode *mode; /* of the well */
    struct use rate;         /* per unit of its gas */
    double below, above;     /* how far it can go, 0 or more */
};

struct system {
    const struct problem *problem;
    struct plan *plan;
    struct arena *arena;
    double *use;    /* [n_rows] of the plan */
    double *column; /* [n_columns] of the plan */
    size_t n;       /* movers, and as many rows that bind */
    struct mover *mover;
    size_t *row;
    double *inverse; /* [n][n] */
};

/* --- the plan in the problem's units ------------------------------------- */

/* The mode in which the well stands, and the piece: mode->n when it stands on
 * a point. */
static const struct mode *find_mode(const struct system *s, size_t i,
                                    size_t *piece)
{
    const struct menu *menu = &s->problem->bidder[i].menu;
    const struct plan_well *w = &s->plan->well[menu->well];
    double gas = w->gas_sm3s / s->problem->units.gas_sm3s;
    double near = TOL_RANGE_END * (1 + gas);
    const struct mode *on_point = NULL;
    for (size_t m = 0; m < menu->n_modes; m++) {
        const struct mode *mode = &menu->mode[m];
        if (mode->moved != w->moved || mode->shut != w->shut)
            continue;
        for (size_t k = 0; k + 1 < mode->n; k++)
            if (gas > mode->point[k].gas + near &&
                gas < mode->point[k + 1].gas - near) {
                *piece = k;
                return mode;
            }
        if (fabs(mode->point[0].gas - gas) <= near ||
            fabs(mode->point[mode->n - 1].gas - gas) <= near ||
            (gas > mode->point[0].gas && gas < mode->point[mode->n - 1].gas))
            on_point = mode;
    }
    *piece = SIZE_MAX;
    return on_point;
}

static void add_mover(struct system *s, size_t i, const struct mode *mode,
                      size_t k)
{
    const struct use *a = &mode->point[k], *b = &mode->point[k + 1];
    const struct plan_well *w = &s->plan->well[s->problem->bidder[i].menu.well];
    double gas = w->gas_sm3s / s->problem->units.gas_sm3s;
    double step = b->gas - a->gas;
    s->mover[s->n++] = (struct mover){
        .bidder = i,
        .mode = mode,
        .rate = {1, (b->oil - a->oil) / step, (b->water - a->water) / step,
                 (b->formation - a->formation) / step},
        .below = gas - a->gas,
        .above = b->gas - gas,
    };
}

static void count_well(struct system *s, size_t i, const struct mode *mode)
{
    const struct problem *p = s->problem;
    const struct bidder *b = &p->bidder[i];
    const struct plan_well *w = &s->plan->well[b->menu.well];
    struct use u = {w->gas_sm3s / p->units.gas_sm3s,
                    w->oil_sm3s / p->units.oil_sm3s,
                    w->water_sm3s / p->units.oil_sm3s,
                    w->formation_sm3s / p->units.gas_sm3s};
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        s->use[r] += row_part(p, r, i, &u, mode);
    for (size_t k = 0; k < b->n_own; k++)
        s->use[b->own[k].row] += row_part(p, b->own[k].row, i, &u, mode);
}

static void set_columns(struct system *s)
{
    const struct problem *p = s->problem;
    const struct gas_balance *b = &s->plan->balance;
    double unit = p->units.gas_sm3s;
    s->column[COLUMN_SALES] = b->sales / unit;
    s->column[COLUMN_BOUGHT] = b->bought / unit;
    s->column[COLUMN_FLARE] = b->flare / unit;
    for (size_t u = 0; u < p->n_units; u++) {
        size_t i = p->unit[u].compressor;
        double *own = s->column + COLUMN_UNIT + 2 * u;
        own[0] = i == SIZE_MAX ? b->compressed / unit
                               : s->plan->unit[i].load.through_sm3s / unit;
        own[1] = i == SIZE_MAX ? 0 : s->plan->unit[i].load.recycled_sm3s / unit;
    }
}

static bool unit_runs(const struct system *s, size_t u)
{
    size_t i = s->problem->unit[u].compressor;
    return i == SIZE_MAX || s->plan->unit[i].load.runs;
}

static void count_station(struct system *s)
{
    const struct problem *p = s->problem;
    for (size_t r = 0; r < N_FIELD_ROWS; r++) {
        for (size_t k = 0; k < p->n_columns; k++)
            s->use[r] += p->column[k].term[r] * s->column[k];
        for (size_t u = 0; u < p->n_units; u++)
            s->use[r] += unit_runs(s, u) ? p->unit[u].term[r] : 0;
    }
}

static void add_flows(struct system *s)
{
    const struct problem *p = s->problem;
    for (size_t k = 0; k < p->n_columns; k++) {
        const struct station_column *c = &p->column[k];
        double near = TOL_RANGE_END * (1 + s->column[k]);
        bool flows = c->unit == SIZE_MAX || unit_runs(s, c->unit);
        if (flows && s->column[k] > c->low + near &&
            s->column[k] < c->high - near)
            s->mover[s->n++] = (struct mover){
                .bidder = SIZE_MAX,
                .column = k,
                .below = s->column[k] - c->low,
                .above = c->high - s->column[k],
            };
    }
}

/* --- the system ---------------------------------------------------------- */

/* What a unit of a mover adds to a row. */
static double part_of(const struct system *s, const struct mover *m, size_t row)
{
    const struct problem *p = s->problem;
    if (m->bidder == SIZE_MAX)
        return row < N_FIELD_ROWS ? p->column[m->column].term[row] : 0;
    struct mode plain = *m->mode;
    plain.moved = plain.runs = false;
    return row_part(p, row, m->bidder, &m->rate, &plain);
}

static double goal_of(const struct system *s, const struct mover *m)
{
    const double *goal = s->problem->goal;
    if (m->bidder == SIZE_MAX)
        return s->problem->column[m->column].worth;
    return goal[USE_GAS] * m->rate.gas + goal[USE_OIL] * m->rate.oil +
           goal[USE_WATER] * m->rate.water +
           goal[USE_FORMATION] * m->rate.formation;
}

static bool binds(const struct system *s, size_t row)
{
    const struct limit_row *r = &s->problem->row[row];
    double near = TOL_LIMIT_REL * (1 + fabs(s->use[row]));
    return s->use[row] >= r->high - near || s->use[row] <= r->low + near;
}

static bool touches(const struct system *s, size_t row)
{
    for (size_t j = 0; j < s->n; j++)
        if (part_of(s, &s->mover[j], row) != 0)
            return true;
    return false;
}

static bool make_system(struct system *s)
{
    const struct problem *p = s->problem;
    size_t n = 0;
    s->row = ARENA_NEW(s->arena, s->n + 1, size_t);
    for (size_t r = 0; r < p->n_rows; r++) {
        if (!binds(s, r) || !touches(s, r))
            continue;
        if (n == s->n)
            return false;
        s->row[n++] = r;
    }
    if (n != s->n)
        return false;
    double *work = ARENA_NEW(s->arena, 2 * n * n + 1, double);
    s->inverse = ARENA_NEW(s->arena, n * n + 1, double);
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++)
            work[i * 2 * n + j] = part_of(s, &s->mover[j], s->row[i]);
        work[i * 2 * n + n + i] = 1;
    }
    return inverse_make(n, work, s->inverse);
}

/* --- one limit ----------------------------------------------------------- */

/* The limit as something that moves by one: a row's bound, or a flow that
 * stands at its own. */
struct push {
    size_t row;    /* SIZE_MAX: a flow */
    size_t column; /* SIZE_MAX: a row */
    double unit;   /* SI of one */
};

static double flow_part(const struct system *s, const struct push *u,
                        size_t row)
{
    return u->column != SIZE_MAX && row < N_FIELD_ROWS
               ? s->problem->column[u->column].term[row]
               : 0;
}

/* How far each mover goes when the limit is pushed by one. */
static double *find_rates(const struct system *s, const struct push *u)
{
    double *rate = ARENA_NEW(s->arena, s->n + 1, double);
    for (size_t i = 0; i < s->n; i++) {
        double wanted = s->row[i] == u->row ? 1 : 0;
        wanted -= flow_part(s, u, s->row[i]);
        for (size_t j = 0; j < s->n; j++)
            rate[j] += s->inverse[j * s->n + i] * wanted;
    }
    return rate;
}

/* Shrink [*from, *to] to what keeps value + rate * t between low and high. */
static void keep_between(double value, double rate, double low, double high,
                         double *from, double *to)
{
    if (fabs(rate) <= TOL_RANGE_RATE)
        return;
    double up = fmax((high - value) / fabs(rate), 0);
    double down = fmax((value - low) / fabs(rate), 0);
    *to = fmin(*to, rate > 0 ? up : down);
    *from = fmax(*from, rate > 0 ? -down : -up);
}

static void find_range(const struct system *s, const struct push *u,
                       const double *rate, double *from, double *to)
{
    const struct problem *p = s->problem;
    *from = -(double)INFINITY;
    *to = (double)INFINITY;
    if (u->column != SIZE_MAX) {
        /* Not past its other end. */
        const struct station_column *c = &p->column[u->column];
        double at = s->column[u->column], width = c->high - c->low;
        bool is_low = at - c->low < c->high - at;
        *(is_low ? to : from) = is_low ? width : -width;
    }
    for (size_t j = 0; j < s->n; j++)
        keep_between(0, rate[j], -s->mover[j].below, s->mover[j].above, from,
                     to);
    for (size_t r = 0; r < p->n_rows; r++) {
        if (r == u->row || binds(s, r))
            continue;
        double change = flow_part(s, u, r);
        for (size_t j = 0; j < s->n; j++)
            change += part_of(s, &s->mover[j], r) * rate[j];
        keep_between(s->use[r], change, p->row[r].low, p->row[r].high, from,
                     to);
    }
}

static double price_of(const struct system *s, const struct push *u,
                       const double *rate)
{
    double sum =
        u->column != SIZE_MAX ? s->problem->column[u->column].worth : 0;
    for (size_t j = 0; j < s->n; j++)
        sum += goal_of(s, &s->mover[j]) * rate[j];
    return sum * s->problem->value_unit / u->unit;
}

static void list_setters(const struct system *s, const double *rate,
                         struct plan_limit *l)
{
    size_t *list = ARENA_NEW(s->arena, s->n + 1, size_t);
    for (size_t j = 0; j < s->n; j++)
        if (s->mover[j].bidder != SIZE_MAX && fabs(rate[j]) > TOL_RANGE_RATE)
            list[l->n_setters++] =
                s->problem->bidder[s->mover[j].bidder].menu.well;
    l->setter = list;
}

/* A limit that is lowered to be relaxed. */
static bool is_least(const struct plan_limit *l)
{
    return l->kind == PLAN_LIMIT_SALES_MIN || l->kind == PLAN_LIMIT_OIL_TARGET;
}

/* SI of one unit of a row. */
static double row_unit(const struct problem *p, enum plan_limit_kind kind)
{
    switch ((int)kind) {
    case PLAN_LIMIT_LIQUID:
    case PLAN_LIMIT_WATER:
    case PLAN_LIMIT_OIL_TARGET:
        return p->units.oil_sm3s;
    case PLAN_LIMIT_POWER:
        return p->units.gas_sm3s * POWER_UNIT;
    default:
        return p->units.gas_sm3s;
    }
}

/* false: the system does not give the limit's price. */
static bool try_push(const struct system *s, const struct push *u,
                     struct plan_limit *l)
{
    const double *rate = find_rates(s, u);
    double price = price_of(s, u, rate) * (is_least(l) ? -1 : 1);
    if (!(fabs(price - l->price) <= TOL_RANGE_PRICE * (fabs(price) + l->price)))
        return false;
    double from, to;
    find_range(s, u, rate, &from, &to);
    l->price_from = fmax(l->bound + from * u->unit, 0);
    l->price_to = l->bound + to * u->unit;
    list_setters(s, rate, l);
    return true;
}

/* The flow that stands at the limit; of the units' capacity the one whose
 * price it is. */
static void push_flow(const struct system *s, struct plan_limit *l)
{
    const struct problem *p = s->problem;
    struct push u = {SIZE_MAX, COLUMN_SALES, p->units.gas_sm3s};
    if (l->kind == PLAN_LIMIT_PURCHASE)
        u.column = COLUMN_BOUGHT;
    if (l->kind == PLAN_LIMIT_FLARE)
        u.column = COLUMN_FLARE;
    if (l->kind != PLAN_LIMIT_COMPRESSION) {
        try_push(s, &u, l);
        return;
    }
    for (size_t k = 0; k < p->n_units; k++) {
        u.column = COLUMN_UNIT + 2 * k;
        if (unit_runs(s, k) && try_push(s, &u, l))
            return;
    }
}

static void find_limit(const struct system *s, struct plan_limit *l)
{
    if (!l->binding || l->kind == PLAN_LIMIT_MOVES)
        return;
    size_t row = pricing_row(s->problem, l);
    struct push u = {row, SIZE_MAX, row_unit(s->problem, l->kind)};
    if (row < s->problem->n_rows)
        try_push(s, &u, l);
    else
        push_flow(s, l);
}

void range_find(const struct problem *p, struct plan *plan, struct arena *a)
{
    struct system s = {
        .problem = p,
        .plan = plan,
        .arena = a,
        .use = ARENA_NEW(a, p->n_rows, double),
        .column = ARENA_NEW(a, p->n_columns, double),
        .mover = ARENA_NEW(a, p->n_wells + p->n_columns, struct mover),
    };
    for (size_t i = 0; i < p->n_wells; i++) {
        size_t piece;
        const struct mode *mode = find_mode(&s, i, &piece);
        if (mode == NULL)
            return;
        if (piece != SIZE_MAX)
            add_mover(&s, i, mode, piece);
        count_well(&s, i, mode);
    }
    set_columns(&s);
    add_flows(&s);
    count_station(&s);
    if (!make_system(&s))
        return;
    for (size_t i = 0; i < plan->n_limits; i++)
        find_limit(&s, &plan->limit[i]);
}
