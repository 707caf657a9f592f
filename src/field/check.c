#include "field/check.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/numtext.h"
#include "field/compressor.h"
#include "num/tol.h"

/* A value with its unit for a message, at the field's base. */
static const char *in_unit(const struct field *f, struct diag *d, enum dim dim,
                           const char *name, double si)
{
    char number[40];
    numtext_short(unit_from_si(unit_named(dim, name), si, &f->frame), 4, number,
                  sizeof number);
    return arena_printf(d->arena, "%s %s", number, name);
}

static const char *gas_text(const struct field *f, struct diag *d,
                            double gas_sm3s)
{
    return in_unit(f, d, DIM_GAS_RATE, "MMscf/d", gas_sm3s);
}

static const char *const GROUP_WORDS[N_GROUP_KINDS] = {
#define WORD(name, word) word,
    GROUP_LIST(WORD)
#undef WORD
};

/* --- a well's limits ------------------------------------------------------ */

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

/* The least that may be given to a well, for whatever it shares. */
static void check_least(const struct field *f, const struct field_well *w,
                        struct diag *d)
{
    double most_sm3s = fmin(f->limits.caps.lift_sm3s, field_capacity_sm3s(f));
    for (size_t k = 0; k < N_GROUP_KINDS; k++)
        if (w->group[k] < f->groups[k].n)
            most_sm3s =
                fmin(most_sm3s, f->groups[k].group[w->group[k]].caps.lift_sm3s);
    /* Nothing at all is meant: a manifold is closed, the machines are down. */
    if (most_sm3s > 0 && w->lift_min_sm3s > most_sm3s)
        diag_add(d, DIAG_WARNING, w->at, NULL,
                 "lower it, or raise the limits of its manifold and pad, of "
                 "the field or of the compressors",
                 "well %s: its minimum of %s is more than the %s that can "
                 "reach it; no plan lifts it",
                 w->name, gas_text(f, d, w->lift_min_sm3s),
                 gas_text(f, d, most_sm3s));
}

/* Whether some running rate is a multiple of the step. */
static bool has_rate(const struct field_well *w)
{
    double steps = ceil(w->lift_min_sm3s / w->step_sm3s * (1 - TOL_SAME_RATE));
    return fmax(steps, 1) * w->step_sm3s <=
           w->lift_max_sm3s * (1 + TOL_SAME_RATE);
}

/* Rates in steps, and changes that are neither too large nor too small. */
static void check_steps(const struct field *f, const struct field_well *w,
                        struct diag *d)
{
    double step_sm3s = w->step_sm3s, change_sm3s = w->change_max_sm3s;
    if (step_sm3s > 0 && w->lift_min_sm3s <= w->lift_max_sm3s && !has_rate(w))
        diag_add(d, DIAG_ERROR, w->at, NULL, "choose a smaller step",
                 "well %s: no multiple of its step of %s lies between its "
                 "minimum and its maximum",
                 w->name, gas_text(f, d, step_sm3s));
    double least_sm3s = fmax(step_sm3s, f->limits.dead_band_sm3s);
    if (change_sm3s > 0 && change_sm3s < least_sm3s)
        diag_add(d, DIAG_WARNING, w->at, NULL,
                 "raise change_maximum, or lower the step or the dead band",
                 "well %s: its largest change of %s is below the smallest, "
                 "of %s; no plan changes it while it runs",
                 w->name, gas_text(f, d, change_sm3s),
                 gas_text(f, d, least_sm3s));
}

/* --- this morning's readings ---------------------------------------------- */

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

/* --- names, and wells that name each other -------------------------------- */

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

/* Sorts the list. */
static void check_names(struct named *list, size_t n, const char *what,
                        struct diag *d)
{
    if (n > 0)
        qsort(list, n, sizeof *list, compare_named);
    for (size_t i = 1; i < n; i++)
        if (strcmp(list[i].name, list[i - 1].name) == 0)
            diag_add(d, DIAG_ERROR, list[i].at, NULL, "rename one of them",
                     "two %ss have the name %s", what,
                     diag_quote(d, list[i].name));
}

static void check_group_names(const struct field *f, struct diag *d)
{
    for (size_t k = 0; k < N_GROUP_KINDS; k++) {
        const struct field_groups *g = &f->groups[k];
        struct named *list = ARENA_NEW(d->arena, g->n, struct named);
        for (size_t i = 0; i < g->n; i++)
            list[i] = (struct named){g->group[i].name, g->group[i].at, i};
        check_names(list, g->n, GROUP_WORDS[k], d);
    }
}

static int compare_name(const void *name, const void *named)
{
    return strcmp(name, ((const struct named *)named)->name);
}

/* The well that the i-th runs with; SIZE_MAX: none, or itself. */
static size_t companion(const struct field *f, size_t i,
                        const struct named *by_name)
{
    const char *name = f->well[i].runs_with;
    const struct named *found =
        name != NULL
            ? bsearch(name, by_name, f->n_wells, sizeof *by_name, compare_name)
            : NULL;
    return found != NULL && found->index != i ? found->index : SIZE_MAX;
}

static void check_companion(const struct field *f, size_t i, size_t other,
                            struct diag *d)
{
    const struct field_well *w = &f->well[i];
    if (w->runs_with != NULL && strcmp(w->runs_with, w->name) == 0)
        diag_add(d, DIAG_ERROR, w->at, NULL,
                 "name another well, or delete runs_with",
                 "well %s runs with itself", w->name);
    else if (other != SIZE_MAX && f->well[other].reading.status == WELL_DOWN &&
             w->reading.status != WELL_DOWN)
        diag_add(d, DIAG_WARNING, w->reading.given ? w->reading.at : w->at,
                 NULL, "check whether it is down too",
                 "well %s runs only with %s, which is down", w->name,
                 w->runs_with);
}

/* Each well names one other at most, so a walk ends or comes round. */
static void check_companions(const struct field *f, const struct named *by_name,
                             struct diag *d)
{
    size_t *next = ARENA_NEW(d->arena, f->n_wells, size_t);
    size_t *walk = ARENA_NEW(d->arena, f->n_wells, size_t); /* 0: not yet */
    for (size_t i = 0; i < f->n_wells; i++) {
        next[i] = companion(f, i, by_name);
        check_companion(f, i, next[i], d);
    }
    for (size_t i = 0; i < f->n_wells; i++) {
        size_t at = i;
        for (; at != SIZE_MAX && walk[at] == 0; at = next[at])
            walk[at] = i + 1;
        if (at != SIZE_MAX && walk[at] == i + 1)
            diag_add(d, DIAG_ERROR, f->well[at].at, NULL,
                     "delete one runs_with",
                     "well %s runs only with %s, and %s, by itself or through "
                     "others, only with %s",
                     f->well[at].name, f->well[at].runs_with,
                     f->well[at].runs_with, f->well[at].name);
    }
}

static void check_well_names(const struct field *f, struct diag *d)
{
    struct named *list = ARENA_NEW(d->arena, f->n_wells, struct named);
    for (size_t i = 0; i < f->n_wells; i++)
        list[i] = (struct named){f->well[i].name, f->well[i].at, i};
    check_names(list, f->n_wells, "well", d);
    check_companions(f, list, d);
}

/* --- groups --------------------------------------------------------------- */

/* What a plan cannot take from a well. */
static double bound_sm3s(const struct field_well *w)
{
    if (w->reading.status == WELL_DOWN)
        return 0;
    if (field_well_locked(w))
        return field_well_now_sm3s(w);
    return w->may_stop ? 0 : w->lift_min_sm3s;
}

static void check_group(const struct field *f, enum group_kind kind,
                        const struct field_group *group, size_t n_wells,
                        double bound, struct diag *d)
{
    if (n_wells == 0)
        diag_add(d, DIAG_WARNING, group->at, NULL,
                 "delete it, or name it in its wells", "no well is on %s %s",
                 GROUP_WORDS[kind], group->name);
    if (bound > group->caps.lift_sm3s * (1 + TOL_SAME_RATE))
        diag_add(d, DIAG_WARNING, group->at, NULL,
                 "release one of them, or raise its limit",
                 "%s %s can take %s, yet wells on it that are locked or may "
                 "not stop take %s",
                 GROUP_WORDS[kind], group->name,
                 gas_text(f, d, group->caps.lift_sm3s), gas_text(f, d, bound));
}

static void check_groups(const struct field *f, enum group_kind kind,
                         struct diag *d)
{
    const struct field_groups *g = &f->groups[kind];
    double *bound = ARENA_NEW(d->arena, g->n, double);
    size_t *n_wells = ARENA_NEW(d->arena, g->n, size_t);
    for (size_t i = 0; i < f->n_wells; i++) {
        size_t at = f->well[i].group[kind];
        if (at < g->n) {
            bound[at] += bound_sm3s(&f->well[i]);
            n_wells[at]++;
        }
    }
    for (size_t i = 0; i < g->n; i++)
        check_group(f, kind, &g->group[i], n_wells[i], bound[i], d);
}

/* --- the station ---------------------------------------------------------- */

static void check_power(const struct field *f, const struct field_compressor *u,
                        struct diag *d)
{
    if (!u->electric || !field_unit_may_run(u))
        return;
    bool is_known = u->power_j_sm3 > 0 || u->power_fixed_w > 0;
    if (isfinite(f->station.power_max_w) && !is_known)
        diag_add(d, DIAG_WARNING, u->at, NULL, "give its pressures and stages",
                 "compressor %s is electric and its power is not known; it "
                 "does not count against the power there is",
                 u->name);
    if (f->prices.given && f->prices.power_j == 0 && is_known)
        diag_add(d, DIAG_WARNING, u->at, NULL, "add power under prices",
                 "compressor %s is electric and power has no price; plans by "
                 "money take it as free",
                 u->name);
}

static void check_flow(const struct field *f, const struct field_compressor *u,
                       struct diag *d)
{
    if (!field_unit_may_run(u))
        return;
    if (u->spec != NULL && u->capacity_sm3s == 0)
        diag_add(d, DIAG_WARNING, u->at, NULL,
                 "check power, idle_power, derating and the ambient "
                 "temperature",
                 "compressor %s moves nothing: what the weather leaves of its "
                 "driver does not exceed its idle power",
                 u->name);
    else if (u->least_sm3s > u->capacity_sm3s * (1 + TOL_SAME_RATE))
        diag_add(d, DIAG_WARNING, u->at, NULL,
                 "check turndown, derating and the ambient temperature",
                 "compressor %s needs %s and compresses %s in this weather; "
                 "it cannot run",
                 u->name, gas_text(f, d, u->least_sm3s),
                 gas_text(f, d, u->capacity_sm3s));
}

/* Its discharge against what the wells' models take from the header. */
static void check_discharge(const struct field *f,
                            const struct field_compressor *u, struct diag *d)
{
    double header_pa = 0;
    const char *name = NULL;
    for (size_t i = 0; i < f->groups[GROUP_MANIFOLD].n; i++) {
        const struct field_group *m = &f->groups[GROUP_MANIFOLD].group[i];
        if (m->p_header_pa > header_pa) {
            header_pa = m->p_header_pa;
            name = m->name;
        }
    }
    if (u->spec != NULL && u->spec->p_discharge_pa < header_pa)
        diag_add(d, DIAG_WARNING, u->at, NULL, "check both pressures",
                 "compressor %s delivers at %s, below the %s of manifold %s",
                 u->name,
                 in_unit(f, d, DIM_PRESSURE, "psig", u->spec->p_discharge_pa),
                 in_unit(f, d, DIM_PRESSURE, "psig", header_pa), name);
}

static void check_sales(const struct field *f, struct diag *d)
{
    const struct field_sales *s = &f->sales;
    double most_sm3s = field_capacity_sm3s(f);
    if (f->market.enters == SIDE_DISCHARGE)
        most_sm3s += f->market.max_sm3s;
    if (s->min_sm3s > s->max_sm3s)
        diag_add(d, DIAG_ERROR, (struct place){0}, "sales",
                 "lower the minimum or raise the maximum",
                 "the minimum of %s is above the maximum of %s",
                 gas_text(f, d, s->min_sm3s), gas_text(f, d, s->max_sm3s));
    else if (s->from == SIDE_DISCHARGE && s->min_sm3s > most_sm3s)
        diag_add(d, DIAG_WARNING, (struct place){0}, "sales",
                 "check the minimum and the compressors",
                 "the minimum of %s is more than the %s that there can be at "
                 "discharge",
                 gas_text(f, d, s->min_sm3s), gas_text(f, d, most_sm3s));
}

static void check_station(const struct field *f, struct diag *d)
{
    const struct field_station *s = &f->station;
    struct named *list = ARENA_NEW(d->arena, s->n_compressors, struct named);
    for (size_t i = 0; i < s->n_compressors; i++) {
        const struct field_compressor *u = &s->compressor[i];
        list[i] = (struct named){u->name, u->at, i};
        check_flow(f, u, d);
        check_power(f, u, d);
        check_discharge(f, u, d);
    }
    check_names(list, s->n_compressors, "compressor", d);
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
    check_well_names(f, d);
    check_group_names(f, d);
    for (size_t i = 0; i < f->n_wells; i++) {
        check_well_limits(f, &f->well[i], d);
        check_least(f, &f->well[i], d);
        check_steps(f, &f->well[i], d);
        check_reading(f, &f->well[i], d);
    }
    for (enum group_kind k = 0; k < N_GROUP_KINDS; k++)
        check_groups(f, k, d);
    check_station(f, d);
    check_sales(f, d);
    check_present_gas(f, d);
}
