#include "cover.h"

#include <string.h>

#include "base/arena.h"

static bool meets(const struct cover *c, size_t d, const bool *x, const bool *y)
{
    for (size_t k = c->first[d]; k < c->first[d + 1]; k++)
        if (x[k] && y[k])
            return true;
    return false;
}

static bool boxes_meet(const struct cover *c, const bool *x, const bool *y)
{
    for (size_t d = 0; d < c->n; d++)
        if (!meets(c, d, x, y))
            return false;
    return true;
}

/* What the box does not hold is looked for in the boxes after it, one
 * dimension at a time. */
static bool is_held(const struct cover *c, const bool *what, size_t from,
                    struct arena *a)
{
    while (from < c->n_boxes && !boxes_meet(c, what, c->box[from]))
        from++;
    if (from == c->n_boxes)
        return false;
    const bool *box = c->box[from];
    size_t size = c->first[c->n];
    struct arena_mark mark = arena_mark(a);
    bool *left = ARENA_NEW(a, size, bool), *rest = ARENA_NEW(a, size, bool);
    memcpy(left, what, size);
    bool holds = true;
    for (size_t d = 0; d < c->n && holds; d++) {
        bool some = false;
        memcpy(rest, left, size);
        for (size_t k = c->first[d]; k < c->first[d + 1]; k++) {
            rest[k] = left[k] && !box[k];
            left[k] = left[k] && box[k];
            some = some || rest[k];
        }
        holds = !some || is_held(c, rest, from + 1, a);
    }
    arena_rewind(a, mark);
    return holds;
}

bool cover_holds(const struct cover *c, struct arena *a)
{
    return boxes_meet(c, c->whole, c->whole) ? is_held(c, c->whole, 0, a)
                                             : true;
}
