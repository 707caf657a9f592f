/* How far a step of the mixture's simplex goes. */
#include "mixture_parts.h"

#include <stdint.h>

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
    size_t r = m->basic[at].row;
    double past = m->level[at] - m->tied->high[r];
    double way = m->row_place[r] == OVER ? 1 : -1;
    struct stop s = {.kind = STOP_BASIC, .at = at};
    add_stop(m, n, s, way * past, way * m->rate[at], slack(m->tied->high[r]));
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

const struct stop *mixture_stop(struct mixture *m, size_t well)
{
    size_t n = 0, count = m->tied->n_rows;
    bool has_others = false;
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
