#include "field/check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/numtext.h"

/* A gas rate for a message: MMscf/d at the field's base. */
static const char *gas_text(const struct field *f, struct diag *d,
                            double gas_sm3s)
{
    const struct unit *unit = unit_named(DIM_GAS_RATE, "MMscf/d");
    char number[40];
    numtext_short(unit_from_si(unit, gas_sm3s, &f->frame), 4, number,
                  sizeof number);
    return arena_printf(d->arena, "%s MMscf/d", number);
}

static void check_well_limits(const struct field *f, const struct field_well *w,
                              struct diag *d)
{
    if (w->lift_min_sm3s > w->lift_max_sm3s)
        diag_add(d, DIAG_ERROR, w->at, NULL,
                 "lower the minimum or raise the maximum",
                 "well %s: its minimum of %s is above its maximum of %s",
                 w->name, gas_text(f, d, w->lift_min_sm3s),
                 gas_text(f, d, w->lift_max_sm3s));
}

static void check_present_rate(const struct field *f,
                               const struct field_well *w, struct diag *d)
{
    double now_sm3s = w->reading.lift_sm3s;
    if (w->lift_min_sm3s > w->lift_max_sm3s)
        return; /* no rate would do; said already */
    if (now_sm3s > w->lift_max_sm3s)
        diag_add(d, DIAG_WARNING, w->reading.at, NULL,
                 "check the meter, or the well's maximum; the plan will lower "
                 "it",
                 "well %s takes %s, above its maximum of %s", w->name,
                 gas_text(f, d, now_sm3s), gas_text(f, d, w->lift_max_sm3s));
    else if (now_sm3s > 0 && now_sm3s < w->lift_min_sm3s)
        diag_add(d, DIAG_WARNING, w->reading.at, NULL,
                 "check the meter; the plan will shut it in or raise it",
                 "well %s takes %s, below its minimum of %s", w->name,
                 gas_text(f, d, now_sm3s), gas_text(f, d, w->lift_min_sm3s));
}

static void check_reading(const struct field *f, const struct field_well *w,
                          struct diag *d)
{
    const struct field_reading *r = &w->reading;
    if (r->given && r->status == WELL_DOWN)
        return;
    if (w->kind == KIND_PUMPED && !(r->lift_sm3s > 0))
        return; /* it needs no gas */
    bool is_read = r->given && r->lift_sm3s >= 0;
    if (field_well_locked(w) && !is_read)
        diag_add(d, DIAG_ERROR, r->given ? r->at : w->at, NULL,
                 "give the rate at which it is held",
                 "well %s is locked at its rate, yet its lift gas is not read",
                 w->name);
    else if (!is_read)
        diag_add(d, DIAG_WARNING, r->given ? r->at : w->at, NULL,
                 "read it, or say that the well is down",
                 "well %s: no lift gas read; taken as none", w->name);
    else if (!field_well_locked(w))
        check_present_rate(f, w, d);
}

struct named {
    const char *name;
    struct place at;
    size_t index;
};

static int compare_named(const void *a, const void *b)
{
    const struct named *x = a, *y = b;
    int order = strcmp(x->name, y->name);
    if (order != 0)
        return order;
    return x->index < y->index ? -1 : x->index > y->index;
}

static void check_names(struct named *list, size_t n, const char *what,
                        struct diag *d)
{
    if (n > 0)
        qsort(list, n, sizeof *list, compare_named);
    for (size_t i = 1; i < n; i++)
        if (strcmp(list[i].name, list[i - 1].name) == 0)
            diag_add(d, DIAG_ERROR, list[i].at, NULL, "rename one of them",
                     "two %s have the name %s", what,
                     diag_quote(d, list[i].name));
}

static void check_all_names(const struct field *f, struct diag *d)
{
    struct named *list = ARENA_NEW(d->arena, f->n_wells, struct named);
    for (size_t i = 0; i < f->n_wells; i++)
        list[i] = (struct named){f->well[i].name, f->well[i].at, i};
    check_names(list, f->n_wells, "wells", d);

    list = ARENA_NEW(d->arena, f->groups[GROUP_MANIFOLD].n, struct named);
    for (size_t i = 0; i < f->groups[GROUP_MANIFOLD].n; i++)
        list[i] = (struct named){f->groups[GROUP_MANIFOLD].group[i].name,
                                 f->groups[GROUP_MANIFOLD].group[i].at, i};
    check_names(list, f->groups[GROUP_MANIFOLD].n, "manifolds", d);
}

static void check_manifold(const struct field *f, size_t m, struct diag *d)
{
    const struct field_group *manifold = &f->groups[GROUP_MANIFOLD].group[m];
    double locked_sm3s = 0;
    for (size_t i = 0; i < f->n_wells; i++)
        if (f->well[i].group[GROUP_MANIFOLD] == m &&
            field_well_locked(&f->well[i]))
            locked_sm3s += field_well_now_sm3s(&f->well[i]);
    if (locked_sm3s > manifold->caps.lift_sm3s)
        diag_add(d, DIAG_WARNING, manifold->at, NULL,
                 "release one of them, or raise the manifold's limit",
                 "manifold %s can take %s, yet the wells locked on it take %s",
                 manifold->name, gas_text(f, d, manifold->caps.lift_sm3s),
                 gas_text(f, d, locked_sm3s));
}

/* Lift gas read this morning against the limit and against the machines. */
static void check_present_gas(const struct field *f, struct diag *d)
{
    double lift_sm3s = 0;
    for (size_t i = 0; i < f->n_wells; i++)
        lift_sm3s += field_well_now_sm3s(&f->well[i]);
    double capacity_sm3s = field_capacity_sm3s(f);
    double least_sm3s = fmin(f->limits.caps.lift_sm3s, capacity_sm3s);
    if (lift_sm3s > least_sm3s)
        diag_add(d, DIAG_WARNING, (struct place){0}, NULL,
                 "check the meters and the state of the compressors",
                 "the wells take %s of lift gas this morning, more than the "
                 "%s that there is",
                 gas_text(f, d, lift_sm3s), gas_text(f, d, least_sm3s));
}

void field_check(const struct field *f, struct diag *d)
{
    check_all_names(f, d);
    for (size_t i = 0; i < f->n_wells; i++) {
        check_well_limits(f, &f->well[i], d);
        check_reading(f, &f->well[i], d);
    }
    for (size_t m = 0; m < f->groups[GROUP_MANIFOLD].n; m++)
        check_manifold(f, m, d);
    if (f->sales.min_sm3s > f->sales.max_sm3s)
        diag_add(d, DIAG_ERROR, (struct place){0}, "sales",
                 "lower the minimum or raise the maximum",
                 "the minimum of %s is above the maximum of %s",
                 gas_text(f, d, f->sales.min_sm3s),
                 gas_text(f, d, f->sales.max_sm3s));
    check_present_gas(f, d);
}
