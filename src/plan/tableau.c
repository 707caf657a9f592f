/* Bounded primal simplex (Dantzig 1963) on an explicit inverse of the basis.
 * What a row adds up to is a variable of its own with three pieces: below its
 * bounds, between them, above; each piece has its price, and the variable
 * rests, when not basic, at one of the bounds. So every basis has a feasible
 * point, and what a change of bounds pushes out is put right in settle(). */
#include "tableau.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "inverse.h"
#include "num/tol.h"

/* Where a variable is: at a bound, or in the basis; a row's, on a piece. */
enum spot { AT_LOW, AT_HIGH, BETWEEN, UNDER, OVER };

struct tableau {
    struct arena *arena;
    size_t n_rows, n_columns, room;
    double *row_low, *row_high, *least, *most;   /* [n_rows] */
    double *low, *high, *cost;                   /* [room] */
    double *term;                                /* [room][n_rows] */
    enum spot *row_place /* [n_rows] */, *place; /* [room] */
    size_t *basic;       /* [n_rows] a row, or n_rows + a column */
    double *inverse;     /* [n_rows][n_rows] */
    double *level;       /* [n_rows] of basics */
    double *price;       /* [n_rows] */
    double *rate, *work; /* [n_rows], [n_rows][2 n_rows]: scratch */
    double *x;           /* [room] */
    size_t stale;        /* pivots since the inverse was made afresh */
};

/* A variable that would gain, the way it goes (1 up, -1 down), and what is
 * gained per unit. */
struct entry {
    size_t variable; /* SIZE_MAX: none */
    double way, gain;
};

/* What ends a step: a basic variable, or (n_rows) the entering one itself. */
struct stop {
    size_t at;
    double step;
    enum spot place; /* where the one that stops then rests */
};

static void start_afresh(struct tableau *t)
{
    size_t m = t->n_rows;
    memset(t->inverse, 0, m * m * sizeof *t->inverse);
    for (size_t r = 0; r < m; r++) {
        t->basic[r] = r;
        t->row_place[r] = BETWEEN;
        t->inverse[r * m + r] = -1;
    }
    for (size_t j = 0; j < t->n_columns; j++)
        t->place[j] = AT_LOW;
    t->stale = 0;
}

struct tableau *tableau_new(size_t n_rows, double box, struct arena *a)
{
    struct tableau *t = ARENA_NEW(a, 1, struct tableau);
    t->arena = a;
    t->n_rows = n_rows;
    t->row_low = ARENA_NEW(a, n_rows, double);
    t->row_high = ARENA_NEW(a, n_rows, double);
    t->least = ARENA_NEW(a, n_rows, double);
    t->most = ARENA_NEW(a, n_rows, double);
    t->row_place = ARENA_NEW(a, n_rows, enum spot);
    t->basic = ARENA_NEW(a, n_rows, size_t);
    t->inverse = ARENA_NEW(a, n_rows * n_rows, double);
    t->level = ARENA_NEW(a, n_rows, double);
    t->price = ARENA_NEW(a, n_rows, double);
    t->rate = ARENA_NEW(a, n_rows, double);
    t->work = ARENA_NEW(a, 2 * n_rows * n_rows, double);
    for (size_t r = 0; r < n_rows; r++) {
        tableau_row(t, r, -(double)INFINITY, (double)INFINITY);
        tableau_box(t, r, -box, box);
    }
    start_afresh(t);
    return t;
}

void tableau_row(struct tableau *t, size_t row, double low, double high)
{
    t->row_low[row] = low;
    t->row_high[row] = high;
}

void tableau_box(struct tableau *t, size_t row, double least, double most)
{
    t->least[row] = least;
    t->most[row] = most;
}

static double *grown(const struct tableau *t, const double *old, size_t n,
                     size_t room)
{
    double *list = ARENA_NEW(t->arena, room, double);
    if (n > 0)
        memcpy(list, old, n * sizeof *list);
    return list;
}

static void make_room(struct tableau *t)
{
    size_t n = t->n_columns, m = t->n_rows;
    if (n < t->room)
        return;
    size_t room = t->room = 2 * n + 8;
    t->low = grown(t, t->low, n, room);
    t->high = grown(t, t->high, n, room);
    t->cost = grown(t, t->cost, n, room);
    t->term = grown(t, t->term, n * m, room * m);
    t->x = ARENA_NEW(t->arena, room, double);
    enum spot *place = ARENA_NEW(t->arena, room, enum spot);
    if (n > 0)
        memcpy(place, t->place, n * sizeof *place);
    t->place = place;
}

size_t tableau_add(struct tableau *t, double low, double high, double cost,
                   const double *term)
{
    make_room(t);
    size_t j = t->n_columns++, m = t->n_rows;
    t->low[j] = low;
    t->high[j] = high;
    t->cost[j] = cost;
    t->place[j] = AT_LOW;
    for (size_t r = 0; r < m; r++)
        t->term[j * m + r] = term[r];
    return j;
}

void tableau_bound(struct tableau *t, size_t column, double low, double high)
{
    t->low[column] = low;
    t->high[column] = high;
}

void tableau_cost(struct tableau *t, size_t column, double cost)
{
    t->cost[column] = cost;
}

void tableau_drop(struct tableau *t, const bool *keep)
{
    size_t m = t->n_rows, kept = 0;
    for (size_t j = 0; j < t->n_columns; j++) {
        if (!keep[j] && t->place[j] == AT_LOW)
            continue;
        for (size_t r = 0; r < m; r++) {
            t->term[kept * m + r] = t->term[j * m + r];
            if (t->basic[r] == m + j)
                t->basic[r] = m + kept;
        }
        t->low[kept] = t->low[j];
        t->high[kept] = t->high[j];
        t->cost[kept] = t->cost[j];
        t->place[kept++] = t->place[j];
    }
    t->n_columns = kept;
}

/* --- rows' pieces ---------------------------------------------------------*/

/* The box without prices of a sign that no bound could have. */
static double least_of(const struct tableau *t, size_t r)
{
    double least = t->least[r];
    if (!isfinite(t->row_low[r]))
        least = fmax(least, 0);
    return isfinite(t->row_high[r]) ? least : fmin(least, 0);
}

static double most_of(const struct tableau *t, size_t r)
{
    double most = t->most[r];
    if (!isfinite(t->row_high[r]))
        most = fmin(most, 0);
    return isfinite(t->row_low[r]) ? most : fmax(most, 0);
}

/* The price of the row on a piece. */
static double price_on(const struct tableau *t, size_t r, enum spot piece)
{
    if (piece == UNDER)
        return least_of(t, r);
    if (piece == OVER)
        return most_of(t, r);
    return fmax(least_of(t, r), fmin(most_of(t, r), 0));
}

/* What the row costs at a level: the most that prices in the box make of its
 * distance from the bound that they belong to. */
static double charge_at(const struct tableau *t, size_t r, double level)
{
    double charge = -(double)INFINITY;
    for (enum spot piece = BETWEEN; piece <= OVER; piece++) {
        double price = price_on(t, r, piece);
        double bound = price > 0 ? t->row_high[r] : t->row_low[r];
        charge = fmax(charge, price == 0 ? 0 : price * (level - bound));
    }
    return charge;
}

static double slack(double bound)
{
    return TOL_SIMPLEX_REL * fmax(1, fabs(bound));
}

/* The piece for a level: the one it is on, as long as the level belongs to it:
 * a row at its bound belongs to two, and only one may be right. */
static enum spot piece_at(const struct tableau *t, size_t r, double level)
{
    double low = t->row_low[r], high = t->row_high[r];
    bool is_under = t->row_place[r] == UNDER, is_over = t->row_place[r] == OVER;
    if (level < low + (is_under ? slack(low) : -slack(low)))
        return UNDER;
    return level > high + (is_over ? -slack(high) : slack(high)) ? OVER
                                                                 : BETWEEN;
}

/* --- the basis ------------------------------------------------------------*/

static double cost_of_basic(const struct tableau *t, size_t at)
{
    size_t b = t->basic[at], m = t->n_rows;
    return b < m ? -price_on(t, b, t->row_place[b]) : t->cost[b - m];
}

static double resting(enum spot place, double low, double high)
{
    return place == AT_HIGH ? high : low;
}

static bool is_basic(enum spot place)
{
    return place != AT_LOW && place != AT_HIGH;
}

/* Levels of the basic variables from those that rest. */
static void find_levels(struct tableau *t)
{
    size_t m = t->n_rows;
    double *rest = t->rate;
    for (size_t r = 0; r < m; r++)
        rest[r] = is_basic(t->row_place[r])
                      ? 0
                      : resting(t->row_place[r], t->row_low[r], t->row_high[r]);
    for (size_t j = 0; j < t->n_columns; j++) {
        double x = resting(t->place[j], t->low[j], t->high[j]);
        if (is_basic(t->place[j]) || x == 0)
            continue;
        for (size_t r = 0; r < m; r++)
            rest[r] -= t->term[j * m + r] * x;
    }
    for (size_t i = 0; i < m; i++) {
        t->level[i] = 0;
        for (size_t r = 0; r < m; r++)
            t->level[i] += t->inverse[i * m + r] * rest[r];
    }
}

static void find_prices(struct tableau *t)
{
    size_t m = t->n_rows;
    memset(t->price, 0, m * sizeof *t->price);
    for (size_t i = 0; i < m; i++) {
        double cost = cost_of_basic(t, i);
        if (cost == 0)
            continue;
        for (size_t r = 0; r < m; r++)
            t->price[r] += cost * t->inverse[i * m + r];
    }
}

/* Basis and unit matrix side by side: [n_rows][2 n_rows]. */
static void write_basis(struct tableau *t)
{
    size_t m = t->n_rows;
    memset(t->work, 0, 2 * m * m * sizeof *t->work);
    for (size_t r = 0; r < m; r++) {
        double *line = t->work + 2 * m * r;
        line[m + r] = 1;
        for (size_t i = 0; i < m; i++) {
            size_t b = t->basic[i];
            if (b >= m)
                line[i] = t->term[(b - m) * m + r];
            else if (b == r)
                line[i] = -1;
        }
    }
}

/* Per unit of a variable, what the basic ones fall by. */
static void find_rates(struct tableau *t, size_t variable)
{
    size_t m = t->n_rows;
    const double *term = variable < m ? NULL : t->term + (variable - m) * m;
    for (size_t i = 0; i < m; i++) {
        const double *line = t->inverse + i * m;
        double rate = 0;
        if (term == NULL)
            rate = -line[variable];
        else
            for (size_t r = 0; r < m; r++)
                rate += line[r] * term[r];
        t->rate[i] = rate;
    }
}

/* The variable of the last find_rates takes a place in the basis. */
static void exchange(struct tableau *t, size_t at, size_t variable)
{
    inverse_exchange(t->n_rows, t->inverse, at, t->rate);
    t->basic[at] = variable;
    t->stale++;
}

/* --- putting right what changed between two solves ------------------------*/

static bool rest_rows(struct tableau *t)
{
    for (size_t r = 0; r < t->n_rows; r++) {
        enum spot *place = &t->row_place[r];
        if (*place == AT_LOW && !isfinite(t->row_low[r]))
            *place = AT_HIGH;
        if (*place == AT_HIGH && !isfinite(t->row_high[r]))
            *place = AT_LOW;
        if (*place == AT_LOW && !isfinite(t->row_low[r]))
            return false;
    }
    for (size_t j = 0; j < t->n_columns; j++)
        if (t->place[j] == AT_HIGH && !isfinite(t->high[j]))
            t->place[j] = AT_LOW;
    return true;
}

/* A column outside its bounds leaves to the nearer one; the row variable that
 * it moves most takes its place. */
static bool expel_one(struct tableau *t)
{
    size_t m = t->n_rows;
    for (size_t i = 0; i < m; i++) {
        if (t->basic[i] < m)
            continue;
        size_t j = t->basic[i] - m, row = 0;
        bool is_low = t->level[i] < t->low[j] - slack(t->low[j]);
        if (!is_low && !(t->level[i] > t->high[j] + slack(t->high[j])))
            continue;
        for (size_t r = 1; r < m; r++)
            if (fabs(t->inverse[i * m + r]) > fabs(t->inverse[i * m + row]))
                row = r;
        find_rates(t, row);
        exchange(t, i, row);
        t->place[j] = is_low ? AT_LOW : AT_HIGH;
        t->row_place[row] = BETWEEN;
        return true;
    }
    return false;
}

static void settle(struct tableau *t)
{
    if (!rest_rows(t))
        start_afresh(t);
    do
        find_levels(t);
    while (expel_one(t));
    for (size_t i = 0; i < t->n_rows; i++) {
        size_t r = t->basic[i];
        if (r < t->n_rows)
            t->row_place[r] = piece_at(t, r, t->level[i]);
    }
    find_prices(t);
}

/* --- one step -------------------------------------------------------------*/

static void consider(struct entry *best, size_t variable, double way,
                     double gain)
{
    if (gain > best->gain)
        *best = (struct entry){variable, way, gain};
}

/* What gains most, or in `plain` order (Bland 1977) the first that gains. */
static struct entry find_entry(const struct tableau *t, bool plain)
{
    size_t m = t->n_rows;
    double largest = 1;
    for (size_t r = 0; r < m; r++)
        largest = fmax(largest, fabs(t->price[r]));
    struct entry best = {SIZE_MAX, 0, TOL_SIMPLEX_GAIN * largest};
    for (size_t r = 0; r < m; r++) {
        if (is_basic(t->row_place[r]))
            continue;
        bool is_high = t->row_place[r] == AT_HIGH;
        double above = price_on(t, r, is_high ? OVER : BETWEEN);
        double below = price_on(t, r, is_high ? BETWEEN : UNDER);
        consider(&best, r, 1, t->price[r] - above);
        consider(&best, r, -1, below - t->price[r]);
        if (plain && best.variable != SIZE_MAX)
            return best;
    }
    for (size_t j = 0; j < t->n_columns; j++) {
        if (is_basic(t->place[j]) || !(t->low[j] < t->high[j]))
            continue;
        double gain = t->cost[j];
        for (size_t r = 0; r < m; r++)
            gain -= t->price[r] * t->term[j * m + r];
        double way = t->place[j] == AT_LOW ? 1 : -1;
        consider(&best, m + j, way, way * gain);
        if (plain && best.variable != SIZE_MAX)
            return best;
    }
    return best;
}

/* The bound that a basic variable meets first on its way. */
static struct stop bound_of(const struct tableau *t, size_t at, bool up,
                            double *level)
{
    size_t m = t->n_rows, b = t->basic[at];
    double low, high;
    struct stop s = {at, (double)INFINITY, up ? AT_HIGH : AT_LOW};
    if (b >= m) {
        low = t->low[b - m];
        high = t->high[b - m];
    } else if (t->row_place[b] == BETWEEN) {
        low = t->row_low[b];
        high = t->row_high[b];
    } else if (t->row_place[b] == UNDER) {
        low = -(double)INFINITY;
        high = t->row_low[b];
        s.place = AT_LOW;
    } else {
        low = t->row_high[b];
        high = (double)INFINITY;
        s.place = AT_HIGH;
    }
    *level = up ? high : low;
    return s;
}

/* How far the entering variable itself may go. */
static struct stop own_stop(const struct tableau *t, const struct entry *e)
{
    size_t m = t->n_rows, v = e->variable;
    bool up = e->way > 0;
    enum spot from = v < m ? t->row_place[v] : t->place[v - m];
    double range =
        v < m ? t->row_high[v] - t->row_low[v] : t->high[v - m] - t->low[v - m];
    bool is_outward = up == (from == AT_HIGH);
    return (struct stop){m, is_outward ? (double)INFINITY : range,
                         up ? AT_HIGH : AT_LOW};
}

/* The first bound met. In two passes (Harris 1973): among those within a hair
 * of it the largest pivot, in plain order the first variable. */
static struct stop find_stop(const struct tableau *t, const struct entry *e,
                             bool plain)
{
    size_t m = t->n_rows;
    struct stop first = own_stop(t, e);
    double reach = first.step, largest = 0;
    for (size_t i = 0; i < m; i++) {
        double fall = e->way * t->rate[i], level;
        if (!(fabs(fall) > TOL_SIMPLEX_PIVOT))
            continue;
        bound_of(t, i, fall < 0, &level);
        double room = fabs(level - t->level[i]) + (plain ? 0 : slack(level));
        bool is_past = fall < 0 ? t->level[i] > level : t->level[i] < level;
        if (is_past)
            room = plain ? 0 : slack(level);
        reach = fmin(reach, room / fabs(fall));
    }
    for (size_t i = 0; i < m; i++) {
        double fall = e->way * t->rate[i], level;
        if (!(fabs(fall) > TOL_SIMPLEX_PIVOT))
            continue;
        struct stop s = bound_of(t, i, fall < 0, &level);
        s.step = fmax(0, (t->level[i] - level) / fall);
        double merit = plain ? -(double)t->basic[i] : fabs(fall);
        bool is_better = first.at == m || merit > largest;
        if (s.step <= reach && s.step <= own_stop(t, e).step && is_better) {
            first = s;
            largest = merit;
        }
    }
    return first;
}

static void set_place(struct tableau *t, size_t variable, enum spot place)
{
    if (variable < t->n_rows)
        t->row_place[variable] = place;
    else
        t->place[variable - t->n_rows] = place;
}

/* The piece on which an entering variable leaves its bound. */
static enum spot piece_from(const struct tableau *t, const struct entry *e)
{
    if (e->variable >= t->n_rows)
        return BETWEEN;
    if (t->row_place[e->variable] == AT_HIGH)
        return e->way > 0 ? OVER : BETWEEN;
    return e->way > 0 ? BETWEEN : UNDER;
}

static void go(struct tableau *t, const struct entry *e, const struct stop *s)
{
    size_t m = t->n_rows, v = e->variable;
    for (size_t i = 0; i < m; i++)
        t->level[i] -= e->way * s->step * t->rate[i];
    if (s->at == m) {
        set_place(t, v, s->place);
        return;
    }
    enum spot from = v < m ? t->row_place[v] : t->place[v - m];
    double start = v < m ? resting(from, t->row_low[v], t->row_high[v])
                         : resting(from, t->low[v - m], t->high[v - m]);
    enum spot piece = piece_from(t, e);
    set_place(t, t->basic[s->at], s->place);
    set_place(t, v, piece);
    t->level[s->at] = start + e->way * s->step;
    exchange(t, s->at, v);
    double per_pivot = e->way * e->gain;
    for (size_t r = 0; r < m; r++)
        t->price[r] += per_pivot * t->inverse[s->at * m + r];
}

static void refresh(struct tableau *t)
{
    write_basis(t);
    t->stale = 0;
    if (!inverse_make(t->n_rows, t->work, t->inverse))
        start_afresh(t);
    settle(t);
}

/* Until nothing gains at prices made afresh. */
static bool improve(struct tableau *t, long *iterations)
{
    long most = SIMPLEX_STEPS + (long)(SIMPLEX_STEPS_PER * t->n_columns);
    size_t still = 0;
    while (++*iterations <= most) {
        bool plain = still > SIMPLEX_STILL;
        struct entry e = find_entry(t, plain);
        if (e.variable == SIZE_MAX) {
            if (t->stale == 0)
                return true;
            refresh(t);
            continue;
        }
        find_rates(t, e.variable);
        struct stop s = find_stop(t, &e, plain);
        if (!isfinite(s.step))
            return false;
        still = s.step > TOL_SIMPLEX_REL ? 0 : still + 1;
        go(t, &e, &s);
        if (t->stale >= SIMPLEX_FRESH)
            refresh(t);
    }
    return false;
}

/* Fills x and what follows from it; false where a number is none. */
static bool read_answer(struct tableau *t, struct tableau_answer *out)
{
    size_t m = t->n_rows;
    for (size_t j = 0; j < t->n_columns; j++)
        t->x[j] = resting(t->place[j], t->low[j], t->high[j]);
    for (size_t i = 0; i < m; i++)
        if (t->basic[i] >= m)
            t->x[t->basic[i] - m] = t->level[i];
    bool is_sound = true;
    for (size_t j = 0; j < t->n_columns; j++) {
        out->value += t->cost[j] * t->x[j];
        is_sound = is_sound && t->low[j] <= t->high[j];
    }
    for (size_t r = 0; r < m; r++) {
        double level = 0;
        for (size_t j = 0; j < t->n_columns; j++)
            level += t->term[j * m + r] * t->x[j];
        out->value -= charge_at(t, r, level);
        double past = fmax(t->row_low[r] - level, level - t->row_high[r]);
        out->past += fmax(past, 0);
        is_sound = is_sound && isfinite(level) && isfinite(t->price[r]);
        t->price[r] = fmax(least_of(t, r), fmin(most_of(t, r), t->price[r]));
    }
    return is_sound && isfinite(out->value);
}

struct tableau_answer tableau_solve(struct tableau *t)
{
    struct tableau_answer out = {.row_price = t->price};
    settle(t);
    bool is_best = improve(t, &out.iterations);
    out.solved = read_answer(t, &out) && is_best;
    out.x = t->x;
    return out;
}
