#include "order.h"

#include <stdlib.h>
#include <string.h>

struct named {
    const char *name;
    size_t index;
};

static int compare(const void *a, const void *b)
{
    const struct named *x = a, *y = b;
    int order = strcmp(x->name, y->name);
    if (order != 0)
        return order;
    return x->index < y->index ? -1 : x->index > y->index;
}

static size_t *sort(struct named *list, size_t n, struct arena *a)
{
    size_t *index = ARENA_NEW(a, n, size_t);
    if (n > 0)
        qsort(list, n, sizeof *list, compare);
    for (size_t i = 0; i < n; i++)
        index[i] = list[i].index;
    return index;
}

size_t *order_wells(const struct field *f, struct arena *a)
{
    struct named *list = ARENA_NEW(a, f->n_wells, struct named);
    for (size_t i = 0; i < f->n_wells; i++)
        list[i] = (struct named){f->well[i].name, i};
    return sort(list, f->n_wells, a);
}

size_t *order_groups(const struct field_groups *g, struct arena *a)
{
    struct named *list = ARENA_NEW(a, g->n, struct named);
    for (size_t i = 0; i < g->n; i++)
        list[i] = (struct named){g->group[i].name, i};
    return sort(list, g->n, a);
}
