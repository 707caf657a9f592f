/* Simplex with one key point for each well (Dantzig & Van Slyke 1967): as a
 * well's weights sum to 1, the others' columns count against the key's, and
 * the basis is no larger than the rows. Points are priced as they are needed,
 * well after well. A row may be passed at a cost, raised until that stops. */
#include "mixture.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "inverse.h"
#include "num/tol.h"

/* Where a row's sum is: at a bound, or in the basis on a piece. */
enum spot { AT_LOW, AT_HIGH, BETWEEN, UNDER, OVER };

struct basic {
    size_t well; /* n: a row's sum */
    size_t row;
    struct pick pick;
    double *part; /* [n_rows] what the point counts in the rows */
};

enum stop_kind { STOP_BASIC, STOP_KEY, STOP_SELF };

struct stop {
    enum stop_kind kind;
    size_t at; /* place in the basis, or well */
    enum spot place;
    double step, slack, pivot;
};

struct mixture {
    const struct tied_wells *tied;
    const struct range *range;
    struct pick *key;     /* [n] */
    double *key_part;     /* [n][n_rows] */
    double *best;         /* [n] what a well yields at the prices */
    double *sum;          /* [n_rows] of the keys' parts */
    enum spot *row_place; /* [n_rows] */
    double *cap;          /* [n_rows] cost of passing the row */
    struct basic *basic;  /* [n_rows] */
    double *inverse, *work;
    double *level, *price;                 /* [n_rows] */
    double *part, *column, *rate, *before; /* [n_rows] scratch */
    struct stop *stop;                     /* [2 n_rows + 1] scratch */
    size_t stale, still;
    long steps_left;
    double size; /* of a well's worth */
};

struct mixture *mixture_new(const struct tied_wells *t, struct arena *a)
{
    struct mixture *m = ARENA_NEW(a, 1, struct mixture);
    size_t n = t->n, k = t->n_rows;
    m->tied = t;
    m->key = ARENA_NEW(a, n, struct pick);
    m->row_place = ARENA_NEW(a, k, enum spot);
    m->basic = ARENA_NEW(a, k, struct basic);
    m->stop = ARENA_NEW(a, 2 * k + 1, struct stop);
    double *room = ARENA_NEW(a, n * k + n + 8 * k + 4 * k * k, double);
    m->key_part = room;
    m->best = room += n * k;
    m->sum = room += n;
    m->cap = room += k;
    m->level = room += k;
    m->price = room += k;
    m->part = room += k;
    m->column = room += k;
    m->rate = room += k;
    m->before = room += k;
    m->inverse = room += k;
    m->work = room += k * k;
    room += 2 * k * k;
    for (size_t i = 0; i < k; i++)
        m->basic[i].part = room + i * k;
    return m;
}

struct pick best_pick(const struct menu *menu, struct range range,
                      const struct well_worth *worth)
{
    struct pick best = {range.first, 0, -(double)INFINITY};
    for (size_t i = range.first; i < range.end; i++) {
        const struct mode *mode = &menu->mode[i];
        for (size_t p = 0; p < mode->n; p++) {
            double w = worth_of_point(worth, &mode->point[p], mode);
            if (w > best.worth)
                best = (struct pick){i, p, w};
        }
    }
    return best;
}

/* --- what points count ----------------------------------------------------*/

static double *part_of_key(const struct mixture *m, size_t well)
{
    return m->key_part + well * m->tied->n_rows;
}

static void find_part(const struct mixture *m, size_t well,
                      const struct pick *pick, double *part)
{
    const struct tied_well *w = &m->tied->well[well];
    const struct mode *mode = &w->menu->mode[pick->mode];
    memset(part, 0, m->tied->n_rows * sizeof *part);
    for (size_t i = 0; i < w->n_ties; i++) {
        struct well_worth count;
        memcpy(count.use, w->tie[i].use, sizeof count.use);
        part[w->tie[i].row] +=
            worth_of_point(&count, &mode->point[pick->point], mode);
    }
}

static struct well_worth worth_charged(const struct mixture *m, size_t well)
{
    const struct tied_well *w = &m->tied->well[well];
    struct well_worth charged = w->worth;
    for (size_t i = 0; i < w->n_ties; i++) {
        double price = m->price[w->tie[i].row];
        if (price == 0)
            continue;
        for (int u = 0; u < N_USES; u++)
            charged.use[u] -= price * w->tie[i].use[u];
    }
    return charged;
}

static double worth_at_pick(const struct mixture *m, size_t well,
                            const struct pick *pick)
{
    const struct tied_well *w = &m->tied->well[well];
    const struct mode *mode = &w->menu->mode[pick->mode];
    return worth_of_point(&w->worth, &mode->point[pick->point], mode);
}

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

static double slack(double bound)
{
    return TOL_SIMPLEX_REL * fmax(1, fabs(bound));
}

static double price_on(const struct mixture *m, size_t row, enum spot piece)
{
    return piece == OVER ? m->cap[row] : piece == UNDER ? -m->cap[row] : 0;
}

static bool is_row(const struct mixture *m, const struct basic *b)
{
    return b->well == m->tied->n;
}

static void find_prices(struct mixture *m)
{
    size_t k = m->tied->n_rows;
    memset(m->price, 0, k * sizeof *m->price);
    for (size_t i = 0; i < k; i++) {
        const struct basic *b = &m->basic[i];
        double cost = is_row(m, b) ? -price_on(m, b->row, m->row_place[b->row])
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
        rest[r] = (m->row_place[r] == AT_LOW    ? t->low[r]
                   : m->row_place[r] == AT_HIGH ? t->high[r]
                                                : 0) -
                  m->sum[r];
    for (size_t i = 0; i < k; i++) {
        m->level[i] = 0;
        for (size_t r = 0; r < k; r++)
            m->level[i] += m->inverse[i * k + r] * rest[r];
    }
}

static void find_sum(struct mixture *m)
{
    size_t k = m->tied->n_rows;
    memset(m->sum, 0, k * sizeof *m->sum);
    for (size_t i = 0; i < m->tied->n; i++)
        for (size_t r = 0; r < k; r++)
            m->sum[r] += part_of_key(m, i)[r];
}

/* A row's sum on the piece of its level; at a bound, on the one it is on. */
static void find_pieces(struct mixture *m)
{
    const struct tied_wells *t = m->tied;
    for (size_t i = 0; i < t->n_rows; i++) {
        if (!is_row(m, &m->basic[i]))
            continue;
        size_t r = m->basic[i].row;
        double low = t->low[r], high = t->high[r], level = m->level[i];
        enum spot *place = &m->row_place[r];
        if (level < low + (*place == UNDER ? slack(low) : -slack(low)))
            *place = UNDER;
        else if (level > high + (*place == OVER ? -slack(high) : slack(high)))
            *place = OVER;
        else
            *place = BETWEEN;
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
        m->row_place[r] = BETWEEN;
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
    find_sum(m);
    find_levels(m);
    find_pieces(m);
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

/* --- how far a step goes --------------------------------------------------*/

/* Room until a bound, and how fast it is used up. */
static void add_stop(struct mixture *m, size_t *n, struct stop s, double room,
                     double speed, double hair)
{
    if (!(speed > TOL_SIMPLEX_PIVOT))
        return;
    s.step = fmax(room, 0) / speed;
    s.slack = hair / speed;
    s.pivot = speed;
    m->stop[(*n)++] = s;
}

static void add_row_stop(struct mixture *m, size_t *n, size_t at)
{
    const struct tied_wells *t = m->tied;
    size_t r = m->basic[at].row;
    enum spot piece = m->row_place[r];
    struct stop s = {.kind = STOP_BASIC, .at = at, .place = AT_LOW};
    double low = piece == UNDER  ? -(double)INFINITY
                 : piece == OVER ? t->high[r]
                                 : t->low[r];
    double high = piece == UNDER  ? t->low[r]
                  : piece == OVER ? (double)INFINITY
                                  : t->high[r];
    if (m->rate[at] > 0 && isfinite(low)) {
        s.place = piece == OVER ? AT_HIGH : AT_LOW;
        add_stop(m, n, s, m->level[at] - low, m->rate[at], slack(low));
    } else if (m->rate[at] < 0 && isfinite(high)) {
        s.place = piece == UNDER ? AT_LOW : AT_HIGH;
        add_stop(m, n, s, high - m->level[at], -m->rate[at], slack(high));
    }
}

/* The key's weight is what its well's others leave of 1; is_entering: one
 * more of them grows. */
static void add_key_stop(struct mixture *m, size_t *n, size_t well,
                         bool is_entering)
{
    double weight = 1, speed = is_entering ? 1 : 0;
    for (size_t i = 0; i < m->tied->n_rows; i++) {
        if (m->basic[i].well != well)
            continue;
        weight -= m->level[i];
        speed -= m->rate[i];
    }
    struct stop s = {.kind = STOP_KEY, .at = well};
    add_stop(m, n, s, weight, speed, slack(1));
}

static bool is_first_of_well(const struct mixture *m, size_t at)
{
    for (size_t i = 0; i < at; i++)
        if (m->basic[i].well == m->basic[at].well)
            return false;
    return true;
}

/* In plain order (Bland 1977), for when steps lead nowhere: rows, then wells'
 * points. */
static uint64_t rank_of(const struct mixture *m, const struct stop *s)
{
    const struct pick *pick = NULL;
    size_t well = s->at;
    if (s->kind == STOP_SELF)
        return 0;
    if (s->kind == STOP_KEY) {
        pick = &m->key[well];
    } else {
        const struct basic *b = &m->basic[s->at];
        if (is_row(m, b))
            return b->row;
        well = b->well;
        pick = &b->pick;
    }
    return (uint64_t)(well + 1) << 40 | (uint64_t)pick->mode << 20 |
           (uint64_t)pick->point;
}

/* Of n stops the first; among those within a hair of it (Harris 1973) the one
 * with the largest pivot, in plain order the first by rank. */
static const struct stop *first_stop(const struct mixture *m, size_t n,
                                     bool plain)
{
    double reach = (double)INFINITY;
    for (size_t i = 0; i < n; i++)
        reach = fmin(reach, m->stop[i].step + (plain ? 0 : m->stop[i].slack));
    const struct stop *first = NULL;
    for (size_t i = 0; i < n; i++) {
        const struct stop *s = &m->stop[i];
        if (!(s->step <= reach))
            continue;
        if (first == NULL || (plain ? rank_of(m, s) < rank_of(m, first)
                                    : s->pivot > first->pivot))
            first = s;
    }
    return first;
}

/* well: the one of which a point enters; n when a row's sum does, then `own`
 * is how far it may go. */
static const struct stop *find_stop(struct mixture *m, size_t well,
                                    const struct stop *own)
{
    size_t n = 0, count = m->tied->n_rows;
    bool has_others = false;
    if (own != NULL && isfinite(own->step))
        m->stop[n++] = *own;
    for (size_t i = 0; i < count; i++) {
        const struct basic *b = &m->basic[i];
        if (is_row(m, b)) {
            add_row_stop(m, &n, i);
            continue;
        }
        struct stop s = {.kind = STOP_BASIC, .at = i};
        add_stop(m, &n, s, m->level[i], m->rate[i], slack(1));
        has_others = has_others || b->well == well;
        if (is_first_of_well(m, i))
            add_key_stop(m, &n, b->well, b->well == well);
    }
    if (well < m->tied->n && !has_others)
        add_key_stop(m, &n, well, true);
    return first_stop(m, n, m->still > SIMPLEX_STILL);
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
 * its place there, which is returned; SIZE_MAX: it has none. */
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
    for (size_t r = 0; r < k; r++)
        line[r] = -line[r];
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
        m->row_place[m->basic[s->at].row] = s->place;
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
    const struct stop *s = find_stop(m, well, NULL);
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

/* A row's sum leaves its bound, up (1) or down (-1), onto a piece. */
static void enter_row(struct mixture *m, size_t row, double way,
                      enum spot piece)
{
    const struct tied_wells *t = m->tied;
    size_t k = t->n_rows;
    struct stop own = {
        .kind = STOP_SELF,
        .place = way > 0 ? AT_HIGH : AT_LOW,
        .step =
            piece == BETWEEN ? t->high[row] - t->low[row] : (double)INFINITY,
        .pivot = 1,
    };
    memset(m->column, 0, k * sizeof *m->column);
    m->column[row] = -way;
    find_rates(m);
    const struct stop *s = find_stop(m, t->n, &own);
    if (s == NULL) { /* nothing ties it: rounding alone said that it gains */
        m->steps_left = 0;
        return;
    }
    count_step(m, s->step);
    if (s->kind == STOP_SELF) {
        m->row_place[row] = s->place;
        settle(m);
        return;
    }
    size_t at = leave(m, s);
    m->column[row] = -1;
    find_rates(m);
    inverse_exchange(k, m->inverse, at, m->rate);
    m->basic[at].well = t->n;
    m->basic[at].row = row;
    m->row_place[row] = piece;
    m->stale++;
    settle(m);
}

/* A row at its bound whose price asks it to move. */
static bool try_rows(struct mixture *m)
{
    for (size_t r = 0; r < m->tied->n_rows; r++) {
        enum spot place = m->row_place[r];
        if (place != AT_LOW && place != AT_HIGH)
            continue;
        enum spot above = place == AT_HIGH ? OVER : BETWEEN;
        enum spot below = place == AT_HIGH ? BETWEEN : UNDER;
        double price = m->price[r], tol = TOL_SIMPLEX_GAIN * fabs(price);
        if (price > price_on(m, r, above) + tol) {
            enter_row(m, r, 1, above);
            return true;
        }
        if (price < price_on(m, r, below) - tol) {
            enter_row(m, r, -1, below);
            return true;
        }
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
    struct well_worth charged = worth_charged(m, well);
    struct pick pick =
        best_pick(m->tied->well[well].menu, m->range[well], &charged);
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

/* Keys where the wells yield most at the prices, and costs of passing a row
 * of the size of what the wells make of it. */
static void start(struct mixture *m, const double *price)
{
    const struct tied_wells *t = m->tied;
    size_t k = t->n_rows;
    memset(m->price, 0, k * sizeof *m->price);
    if (price != NULL)
        memcpy(m->price, price, k * sizeof *m->price);
    memset(m->cap, 0, k * sizeof *m->cap);
    double size = 0;
    for (size_t i = 0; i < t->n; i++) {
        struct well_worth charged = worth_charged(m, i);
        m->key[i] = best_pick(t->well[i].menu, m->range[i], &charged);
        m->key[i].worth = worth_at_pick(m, i, &m->key[i]);
        size += fabs(m->key[i].worth);
        find_part(m, i, &m->key[i], part_of_key(m, i));
        for (size_t r = 0; r < k; r++)
            m->cap[r] += fabs(part_of_key(m, i)[r]);
    }
    for (size_t r = 0; r < k; r++) {
        double mean = m->cap[r] > 0 && size > 0 ? size / m->cap[r] : 1;
        m->cap[r] = fmax(fabs(m->price[r]), mean);
    }
    m->size = size / (double)t->n;
    m->still = 0;
    m->steps_left = SIMPLEX_STEPS + (long)(SIMPLEX_STEPS_PER * t->n);
    clear_basis(m);
    find_sum(m);
    find_levels(m);
    find_pieces(m);
    find_prices(m);
}

/* Passing a row becomes dearer; false: none is passed. */
static bool raise_caps(struct mixture *m, double factor)
{
    bool is_past = false;
    for (size_t i = 0; i < m->tied->n_rows; i++) {
        const struct basic *b = &m->basic[i];
        enum spot place = is_row(m, b) ? m->row_place[b->row] : BETWEEN;
        if (place != UNDER && place != OVER)
            continue;
        double low = m->tied->low[b->row], high = m->tied->high[b->row];
        if (m->level[i] > low - slack(low) && m->level[i] < high + slack(high))
            continue;
        m->cap[b->row] *= factor;
        is_past = true;
    }
    find_prices(m);
    return is_past;
}

/* Prices of a sign that no bound could have are rounding: taken as 0. */
static double find_bound(struct mixture *m)
{
    const struct tied_wells *t = m->tied;
    double sum = 0;
    for (size_t r = 0; r < t->n_rows; r++) {
        double *price = &m->price[r];
        bool is_wrong = !isfinite(*price > 0 ? t->high[r] : t->low[r]);
        *price = is_wrong ? 0 : *price;
        sum += *price == 0 ? 0 : *price * (*price > 0 ? t->high[r] : t->low[r]);
    }
    for (size_t i = 0; i < t->n; i++) {
        struct well_worth charged = worth_charged(m, i);
        sum += best_pick(t->well[i].menu, m->range[i], &charged).worth;
    }
    return sum;
}

struct mixture_answer
mixture_solve(struct mixture *m, const struct range *range, const double *price)
{
    m->range = range;
    start(m, price);
    improve(m);
    double factor = 2, raised = 1;
    bool is_past = raise_caps(m, factor);
    while (is_past && raised < MIXTURE_CAP && m->steps_left > 0) {
        raised *= factor;
        factor = fmin(factor * factor, MIXTURE_CAP / raised);
        improve(m);
        is_past = raise_caps(m, factor);
    }
    if (m->stale > 0) {
        refresh(m);
        improve(m);
    }
    return (struct mixture_answer){find_bound(m), !is_past, m->price};
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
