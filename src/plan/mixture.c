/* Simplex with one key point for each well (Dantzig & Van Slyke 1967): as a
 * well's weights sum to 1, the others' columns count against the key's, and
 * the basis is no larger than the rows. Points are priced as they are needed,
 * well after well. Every row's price is kept in a box round a guess: past its
 * bound a row is charged the box's upper end, below it paid the lower one, and
 * where one of them is in force in the end, the box is widened. */
#include "mixture_parts.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "inverse.h"
#include "num/tol.h"

struct mixture *mixture_new(const struct tied_wells *t, struct arena *a)
{
    struct mixture *m = ARENA_NEW(a, 1, struct mixture);
    size_t n = t->n, k = t->n_rows;
    m->tied = t;
    m->key = ARENA_NEW(a, n, struct pick);
    m->row_place = ARENA_NEW(a, k, enum spot);
    m->basic = ARENA_NEW(a, k, struct basic);
    m->active = ARENA_NEW(a, k, size_t);
    m->stop = ARENA_NEW(a, 2 * k + 1, struct stop);
    double *room = ARENA_NEW(a, n * k + n + 13 * k + 5 * k * k, double);
    m->key_part = room;
    m->best = room += n * k;
    m->sum = room += n;
    m->least = room += k;
    m->most = room += k;
    m->limit = room += k;
    m->growth = room += k;
    m->mean = room += k;
    m->level = room += k;
    m->price = room += k;
    m->part = room += k;
    m->column = room += k;
    m->rate = room += k;
    m->before = room += k;
    m->older = room += k;
    m->inverse = room += k;
    m->fall = room += k * k;
    m->work = room += k * k;
    room += 2 * k * k;
    for (size_t i = 0; i < k; i++)
        m->basic[i].part = room + i * k;
    return m;
}

/* --- what points count ----------------------------------------------------*/

/* What is gained per unit of a point that takes the place of the key, when it
 * is more than rounding; else 0. part: what the point counts. */
static double gain_of(const struct mixture *m, size_t well,
                      const struct pick *pick, const double *part)
{
    const double *key = part_of_key(m, well);
    double gain = pick->worth - m->key[well].worth, size = m->size;
    for (size_t r = 0; r < m->tied->n_rows; r++) {
        gain -= m->price[r] * (part[r] - key[r]);
        size += fabs(m->price[r]) * (fabs(part[r]) + fabs(key[r]));
    }
    return gain > TOL_SIMPLEX_GAIN * size ? gain : 0;
}

/* --- the basis ------------------------------------------------------------*/

static double price_on(const struct mixture *m, size_t row)
{
    return m->row_place[row] == OVER ? m->most[row] : m->least[row];
}

static void find_prices(struct mixture *m)
{
    size_t k = m->tied->n_rows;
    memset(m->price, 0, k * sizeof *m->price);
    for (size_t i = 0; i < k; i++) {
        const struct basic *b = &m->basic[i];
        double cost = is_row(m, b) ? -price_on(m, b->row)
                                   : b->pick.worth - m->key[b->well].worth;
        if (cost == 0)
            continue;
        for (size_t r = 0; r < k; r++)
            m->price[r] += cost * m->inverse[i * k + r];
    }
}

static void find_levels(struct mixture *m)
{
    const struct tied_wells *t = m->tied;
    size_t k = t->n_rows;
    double *rest = m->rate;
    for (size_t r = 0; r < k; r++)
        rest[r] = (m->row_place[r] == AT_BOUND ? t->high[r] : 0) - m->sum[r];
    for (size_t i = 0; i < k; i++) {
        m->level[i] = 0;
        for (size_t r = 0; r < k; r++)
            m->level[i] += m->inverse[i * k + r] * rest[r];
    }
}

/* The side of the bound that a row's sum is on; at the bound, as before. */
static void find_sides(struct mixture *m)
{
    for (size_t i = 0; i < m->tied->n_rows; i++) {
        if (!is_row(m, &m->basic[i]))
            continue;
        size_t r = m->basic[i].row;
        double past = m->level[i] - m->tied->high[r];
        double hair = slack(m->tied->high[r]);
        if (fabs(past) > hair)
            m->row_place[r] = past > 0 ? OVER : BELOW;
    }
}

/* Only the rows' sums: every row in the basis. */
static void clear_basis(struct mixture *m)
{
    size_t k = m->tied->n_rows;
    memset(m->inverse, 0, k * k * sizeof *m->inverse);
    for (size_t r = 0; r < k; r++) {
        m->basic[r].well = m->tied->n;
        m->basic[r].row = r;
        m->row_place[r] = BELOW;
        m->inverse[r * k + r] = -1;
    }
    m->stale = 0;
}

/* All afresh from keys and basis: what rounding has gathered is gone. */
static void refresh(struct mixture *m)
{
    size_t k = m->tied->n_rows;
    memset(m->work, 0, 2 * k * k * sizeof *m->work);
    for (size_t i = 0; i < k; i++) {
        const struct basic *b = &m->basic[i];
        m->work[i * 2 * k + k + i] = 1;
        for (size_t r = 0; r < k; r++)
            m->work[r * 2 * k + i] =
                is_row(m, b) ? (b->row == r ? -1 : 0)
                             : b->part[r] - part_of_key(m, b->well)[r];
    }
    m->stale = 0;
    if (!inverse_make(k, m->work, m->inverse))
        clear_basis(m);
    mixture_sum(m);
    find_levels(m);
    find_sides(m);
    find_prices(m);
}

static void find_rates(struct mixture *m)
{
    size_t k = m->tied->n_rows;
    for (size_t i = 0; i < k; i++) {
        m->rate[i] = 0;
        for (size_t r = 0; r < k; r++)
            m->rate[i] += m->inverse[i * k + r] * m->column[r];
    }
}

/* --- steps ----------------------------------------------------------------*/

static void set_key(struct mixture *m, size_t well, const struct pick *pick,
                    const double *part)
{
    double *key = part_of_key(m, well);
    for (size_t r = 0; r < m->tied->n_rows; r++) {
        m->sum[r] += part[r] - key[r];
        key[r] = part[r];
    }
    m->key[well] = *pick;
}

/* The well's heaviest point in the basis becomes its key, and the key takes
 * its place there, which is returned; SIZE_MAX: it has none. That line of the
 * inverse has the wrong sign until the exchange of this place, which must
 * follow. */
static size_t swap_key(struct mixture *m, size_t well)
{
    size_t k = m->tied->n_rows, at = SIZE_MAX;
    for (size_t i = 0; i < k; i++)
        if (m->basic[i].well == well &&
            (at == SIZE_MAX || m->level[i] > m->level[at]))
            at = i;
    if (at == SIZE_MAX)
        return at;
    double *line = m->inverse + at * k;
    for (size_t i = 0; i < k; i++)
        if (m->basic[i].well == well && i != at)
            for (size_t r = 0; r < k; r++)
                line[r] += m->inverse[i * k + r];
    struct pick key = m->key[well];
    memcpy(m->before, part_of_key(m, well), k * sizeof *m->before);
    set_key(m, well, &m->basic[at].pick, m->basic[at].part);
    m->basic[at].pick = key;
    memcpy(m->basic[at].part, m->before, k * sizeof *m->before);
    return at;
}

static void settle(struct mixture *m)
{
    if (m->stale >= SIMPLEX_FRESH) {
        refresh(m);
        return;
    }
    find_levels(m);
    find_prices(m);
}

/* Makes room in the basis where the step stops; SIZE_MAX: there is no place to
 * make, the well's only point goes. */
static size_t leave(struct mixture *m, const struct stop *s)
{
    if (s->kind == STOP_KEY)
        return swap_key(m, s->at);
    if (is_row(m, &m->basic[s->at]))
        m->row_place[m->basic[s->at].row] = AT_BOUND;
    return s->at;
}

static void count_step(struct mixture *m, double step)
{
    m->still = step > TOL_SIMPLEX_REL ? 0 : m->still + 1;
    m->steps_left--;
}

static void set_column(struct mixture *m, size_t well)
{
    for (size_t r = 0; r < m->tied->n_rows; r++)
        m->column[r] = m->part[r] - part_of_key(m, well)[r];
}

/* A point, its part in m->part. True when the prices changed. */
static bool enter_pick(struct mixture *m, size_t well, const struct pick *pick)
{
    size_t k = m->tied->n_rows;
    set_column(m, well);
    find_rates(m);
    const struct stop *s = mixture_stop(m, well);
    if (s == NULL) {
        m->steps_left = 0;
        return false;
    }
    count_step(m, s->step);
    size_t at = leave(m, s);
    if (at == SIZE_MAX) {
        set_key(m, well, pick, m->part);
        find_levels(m);
        return false;
    }
    set_column(m, well);
    find_rates(m);
    inverse_exchange(k, m->inverse, at, m->rate);
    m->basic[at].well = well;
    m->basic[at].pick = *pick;
    memcpy(m->basic[at].part, m->part, k * sizeof *m->part);
    m->stale++;
    settle(m);
    return true;
}

/* A row's sum leaves its bound for a side of it. */
static void enter_row(struct mixture *m, size_t row, enum spot side)
{
    size_t k = m->tied->n_rows;
    memset(m->column, 0, k * sizeof *m->column);
    m->column[row] = side == OVER ? -1 : 1;
    find_rates(m);
    const struct stop *s = mixture_stop(m, m->tied->n);
    if (s == NULL) {
        m->steps_left = 0;
        return;
    }
    count_step(m, s->step);
    size_t at = leave(m, s);
    m->column[row] = -1;
    find_rates(m);
    inverse_exchange(k, m->inverse, at, m->rate);
    m->basic[at].well = m->tied->n;
    m->basic[at].row = row;
    m->row_place[row] = side;
    m->stale++;
    settle(m);
}

/* A row at its bound whose price leaves the box. */
static bool try_rows(struct mixture *m)
{
    for (size_t r = 0; r < m->tied->n_rows; r++) {
        double price = m->price[r], hair = TOL_SIMPLEX_GAIN * fabs(price);
        bool is_over = price > m->most[r] + hair;
        if (m->row_place[r] != AT_BOUND ||
            !(is_over || price < m->least[r] - hair))
            continue;
        enter_row(m, r, is_over ? OVER : BELOW);
        return true;
    }
    return false;
}

/* In plain order the first point that gains, not the best. */
static struct pick first_pick(struct mixture *m, size_t well,
                              const struct pick *best)
{
    const struct menu *menu = m->tied->well[well].menu;
    struct range range = m->range[well];
    for (size_t i = range.first; i < range.end; i++)
        for (size_t p = 0; p < menu->mode[i].n; p++) {
            struct pick pick = {i, p, 0};
            pick.worth = worth_at_pick(m, well, &pick);
            find_part(m, well, &pick, m->part);
            if (gain_of(m, well, &pick, m->part) > 0)
                return pick;
        }
    return *best;
}

/* True when a point of the well entered and changed the prices. */
static bool try_well(struct mixture *m, size_t well)
{
    struct pick pick = ask_well(m, well);
    m->best[well] = pick.worth;
    if (pick.mode == m->key[well].mode && pick.point == m->key[well].point)
        return false;
    pick.worth = worth_at_pick(m, well, &pick);
    if (m->still > SIMPLEX_STILL)
        pick = first_pick(m, well, &pick);
    find_part(m, well, &pick, m->part);
    if (!(gain_of(m, well, &pick, m->part) > 0))
        return false;
    return enter_pick(m, well, &pick);
}

/* Until a round over all rows and wells gains nothing. */
static void improve(struct mixture *m)
{
    size_t n = m->tied->n, quiet = 0, well = 0;
    while (quiet < n && m->steps_left > 0) {
        if (quiet == 0 && try_rows(m))
            continue;
        quiet = try_well(m, well) ? 0 : quiet + 1;
        bool plain = quiet == 0 && m->still > SIMPLEX_STILL;
        well = plain || well + 1 == n ? 0 : well + 1;
    }
}

/* --- start and end --------------------------------------------------------*/

/* A basis of the rows alone, and boxes round prices that are near the
 * answer. */
static void start(struct mixture *m)
{
    const struct tied_wells *t = m->tied;
    size_t k = t->n_rows;
    for (size_t r = 0; r < k; r++) {
        m->least[r] = (1 - MIXTURE_BOX) * m->price[r];
        m->most[r] =
            fmax((1 + MIXTURE_BOX) * m->price[r], MIXTURE_LEAP * m->mean[r]);
        m->limit[r] = MIXTURE_CAP * m->most[r];
        m->growth[r] = 2;
    }
    m->still = 0;
    m->steps_left = SIMPLEX_STEPS + (long)(SIMPLEX_STEPS_PER * t->n);
    clear_basis(m);
    find_levels(m);
    find_sides(m);
    find_prices(m);
}

/* Further out each time; false: as far as is of any use. */
static bool raise_most(struct mixture *m, size_t row)
{
    if (m->most[row] >= m->limit[row])
        return false;
    m->most[row] = fmin(m->most[row] * m->growth[row], m->limit[row]);
    m->growth[row] *= m->growth[row];
    return true;
}

static bool lower_least(struct mixture *m, size_t row)
{
    if (!(m->least[row] > 0))
        return false;
    bool is_first = m->least[row] > 0.5 * m->most[row];
    m->least[row] = is_first ? m->least[row] / 4 : 0;
    return true;
}

/* Wider boxes for the rows that are past their bound, or below it at a price;
 * false: there are none. Pivots too small to count may have let a sum drift to
 * the other side. */
static bool widen(struct mixture *m, bool *is_past)
{
    bool is_wider = *is_past = false;
    for (size_t i = 0; i < m->tied->n_rows; i++) {
        if (!is_row(m, &m->basic[i]))
            continue;
        size_t r = m->basic[i].row;
        double past = m->level[i] - m->tied->high[r];
        if (!(fabs(past) > slack(m->tied->high[r])))
            continue;
        enum spot side = past > 0 ? OVER : BELOW;
        bool is_changed = m->row_place[r] != side;
        if (!is_changed)
            is_changed = past > 0 ? raise_most(m, r) : lower_least(m, r);
        m->row_place[r] = side;
        *is_past = *is_past || past > 0;
        is_wider = is_wider || is_changed;
    }
    return is_wider;
}

/* What wells yield at the prices and bounds cost. Prices below 0 are rounding:
 * taken as 0. */
static double find_bound(struct mixture *m)
{
    double sum = 0;
    for (size_t r = 0; r < m->tied->n_rows; r++) {
        m->price[r] = fmax(m->price[r], 0);
        sum += m->price[r] * m->tied->high[r];
    }
    for (size_t i = 0; i < m->tied->n; i++)
        sum += m->best[i];
    return sum;
}

static void price_all(struct mixture *m)
{
    for (size_t i = 0; i < m->tied->n; i++)
        m->best[i] = ask_well(m, i).worth;
}

/* Value of the mixture less that of prices and levels alike: rounding, as long
 * as the inverse is good. */
static double error_of(const struct mixture *m, double bound)
{
    double value = 0;
    for (size_t i = 0; i < m->tied->n; i++)
        value += m->key[i].worth;
    for (size_t i = 0; i < m->tied->n_rows; i++) {
        const struct basic *b = &m->basic[i];
        if (!is_row(m, b))
            value += m->level[i] * (b->pick.worth - m->key[b->well].worth);
    }
    return fabs(bound - value);
}

struct mixture_answer mixture_solve(struct mixture *m,
                                    const struct range *range,
                                    const double *price,
                                    const struct pick *near)
{
    bool is_past;
    m->range = range;
    mixture_approach(m, price, near);
    start(m);
    improve(m);
    for (int i = 0; i < MIXTURE_ROUNDS && widen(m, &is_past); i++) {
        find_prices(m);
        improve(m);
    }
    double bound = find_bound(m), size = m->size * (double)m->tied->n;
    if (m->steps_left <= 0 ||
        (!is_past && error_of(m, bound) > TOL_SIMPLEX_REL * size)) {
        refresh(m);
        improve(m);
        price_all(m);
        bound = find_bound(m);
    }
    return (struct mixture_answer){bound, !is_past};
}

const double *mixture_prices(const struct mixture *m)
{
    return m->price;
}

const struct pick *mixture_keys(const struct mixture *m)
{
    return m->key;
}

size_t mixture_shares(const struct mixture *m, size_t well, struct share *share)
{
    size_t n = 1;
    double rest = 1;
    for (size_t i = 0; i < m->tied->n_rows; i++) {
        if (m->basic[i].well != well || !(m->level[i] > TOL_SIMPLEX_REL))
            continue;
        share[n++] = (struct share){m->basic[i].pick, m->level[i]};
        rest -= m->level[i];
    }
    share[0] = (struct share){m->key[well], rest};
    if (rest > TOL_SIMPLEX_REL || n == 1)
        return n;
    share[0] = share[--n];
    return n;
}
