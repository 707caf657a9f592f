#include "twins.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"

/* The line to a neighbouring point of a well's mode. */
struct line {
    const struct bidder *bidder;
    double slope[3]; /* oil, water, formation gas, per gas */
    double kind[3];  /* the same, rounded */
    double up, down; /* gas that may be added, taken away */
    struct stand *stand;
};

/* Equal slopes come out equal, whatever points they were made from. */
static double rounded(double slope)
{
    int exponent;
    double part = frexp(slope, &exponent);
    return ldexp(round(part * TWIN_STEPS) / TWIN_STEPS, exponent);
}

static void add_line(const struct bidder *b, struct stand *s,
                     const struct use *from, const struct use *to,
                     struct line *list, size_t *n)
{
    double gas = to->gas - from->gas;
    if (!(gas > 0))
        return;
    struct line *line = &list[(*n)++];
    *line = (struct line){
        .bidder = b,
        .slope = {(to->oil - from->oil) / gas, (to->water - from->water) / gas,
                  (to->formation - from->formation) / gas},
        .up = to->gas - s->use.gas,
        .down = s->use.gas - from->gas,
        .stand = s,
    };
    for (int i = 0; i < 3; i++)
        line->kind[i] = rounded(line->slope[i]);
}

/* Inside a line that one, at a point both. */
static void add_lines(const struct problem *p, size_t bidder, struct stand *s,
                      struct line *list, size_t *n)
{
    const struct bidder *b = &p->bidder[bidder];
    const struct mode *mode = &b->menu.mode[s->mode];
    size_t k = 0;
    while (k + 1 < mode->n && mode->point[k + 1].gas < s->use.gas)
        k++;
    for (; k + 1 < mode->n && mode->point[k].gas <= s->use.gas; k++)
        add_line(b, s, &mode->point[k], &mode->point[k + 1], list, n);
}

static int compare_rows(const struct bidder *a, const struct bidder *b)
{
    if (a->n_own != b->n_own)
        return a->n_own < b->n_own ? -1 : 1;
    /* The tie row, the last one, ranks them and is no limit. */
    for (size_t i = 0; i + 1 < a->n_own; i++) {
        if (a->own[i].row != b->own[i].row)
            return a->own[i].row < b->own[i].row ? -1 : 1;
        if (a->own[i].sign != b->own[i].sign)
            return a->own[i].sign < b->own[i].sign ? -1 : 1;
    }
    return 0;
}

static int compare_kinds(const struct line *a, const struct line *b)
{
    for (int i = 0; i < 3; i++)
        if (a->kind[i] != b->kind[i])
            return a->kind[i] < b->kind[i] ? -1 : 1;
    return compare_rows(a->bidder, b->bidder);
}

static int by_kind_then_name(const void *a, const void *b)
{
    const struct line *x = a, *y = b;
    int order = compare_kinds(x, y);
    if (order != 0)
        return order;
    return x->bidder < y->bidder ? -1 : x->bidder > y->bidder;
}

static void shift(struct line *line, double gas)
{
    struct use *u = &line->stand->use;
    line->up -= gas;
    line->down += gas;
    u->gas += gas;
    u->oil += gas * line->slope[0];
    u->water += gas * line->slope[1];
    u->formation += gas * line->slope[2];
}

/* Lines of one kind by name: from the last to the first. */
static void order_kind(struct line *first, struct line *last)
{
    while (first < last) {
        double gas = fmin(first->up, last->down);
        if (gas > 0) {
            shift(first, gas);
            shift(last, -gas);
        }
        if (first->up <= last->down)
            first++;
        else
            last--;
    }
}

void twins_order(const struct problem *p, struct stand *stand, struct arena *a)
{
    struct arena_mark mark = arena_mark(a);
    struct line *list = ARENA_NEW(a, 2 * p->n_wells, struct line);
    size_t n = 0;
    for (size_t i = 0; i < p->n_wells; i++)
        add_lines(p, i, &stand[i], list, &n);
    if (n > 0)
        qsort(list, n, sizeof *list, by_kind_then_name);
    for (size_t i = 0, end; i < n; i = end) {
        end = i + 1;
        while (end < n && compare_kinds(&list[i], &list[end]) == 0)
            end++;
        order_kind(&list[i], &list[end - 1]);
    }
    arena_rewind(a, mark);
}
