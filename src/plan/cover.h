/* Whether boxes of choices together hold all of a box: each dimension (a
 * well, a unit) has a few choices, a box allows some of each. */
#ifndef PLAN_COVER_H
#define PLAN_COVER_H

#include <stdbool.h>
#include <stddef.h>

struct arena;

struct cover {
    size_t n;            /* dimensions */
    const size_t *first; /* [n + 1] of its choices */
    const bool *whole;   /* [first[n]] what is to be held */
    size_t n_boxes;
    const bool *const *box; /* [n_boxes] of [first[n]] */
};

bool cover_holds(const struct cover *c, struct arena *a);

#endif
