#include "conflict.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/numtext.h"
#include "base/strbuf.h"
#include "base/units.h"
#include "menu.h"
#include "order.h"
#include "search.h"

/* What wells must have, beside the limits of the field. */
enum { CAUSE_LOCKED = PLAN_LIMIT_MOVES + 1, CAUSE_MUST_RUN, CAUSE_BAND };

/* Wells named in the sentence; the rest are counted. */
#define NAMES_MOST 5

/* Every manifold at once: a shortcut, not a cause to be named. */
#define ALL_MANIFOLDS SIZE_MAX

struct cause {
    int kind;        /* enum plan_limit_kind, or one of the above */
    size_t manifold; /* of PLAN_LIMIT_MANIFOLD */
};

static struct field_groups copied_groups(const struct field_groups *from,
                                         struct arena *a)
{
    struct field_groups to = {from->n,
                              ARENA_NEW(a, from->n, struct field_group)};
    if (from->n > 0)
        memcpy(to.group, from->group, from->n * sizeof *to.group);
    return to;
}

static struct field copied(const struct field *f, struct arena *a)
{
    struct field c = *f;
    for (int k = 0; k < N_GROUP_KINDS; k++)
        c.groups[k] = copied_groups(&f->groups[k], a);
    c.well = ARENA_NEW(a, f->n_wells, struct field_well);
    if (f->n_wells > 0)
        memcpy(c.well, f->well, f->n_wells * sizeof *c.well);
    return c;
}

static void leave_away(struct field *f, const struct cause *cause)
{
    double none = (double)INFINITY;
    switch (cause->kind) {
    case PLAN_LIMIT_LIFT:
        f->limits.caps.lift_sm3s = none;
        break;
    case PLAN_LIMIT_MANIFOLD:
        for (size_t m = 0; m < f->groups[GROUP_MANIFOLD].n; m++)
            if (cause->manifold == m || cause->manifold == ALL_MANIFOLDS)
                f->groups[GROUP_MANIFOLD].group[m].caps.lift_sm3s = none;
        break;
    case PLAN_LIMIT_COMPRESSION:
        f->station.has_compressors = false;
        break;
    case PLAN_LIMIT_LIQUID:
        f->limits.caps.liquid_sm3s = none;
        break;
    case PLAN_LIMIT_WATER:
        f->limits.caps.water_sm3s = none;
        break;
    case PLAN_LIMIT_SALES_MIN:
        f->sales.min_sm3s = 0;
        break;
    case PLAN_LIMIT_SALES_MAX:
        f->sales.max_sm3s = none;
        break;
    case PLAN_LIMIT_PURCHASE:
        f->market.max_sm3s = none;
        break;
    case PLAN_LIMIT_FLARE:
        f->station.flare_max_sm3s = none;
        break;
    case PLAN_LIMIT_MOVES:
        f->limits.caps.moves = SIZE_MAX;
        break;
    case CAUSE_BAND:
        f->limits.dead_band_sm3s = 0;
        break;
    case CAUSE_LOCKED:
        for (size_t i = 0; i < f->n_wells; i++)
            if (field_well_locked(&f->well[i])) {
                f->well[i].reading.status = WELL_FLOWING;
                f->well[i].may_stop = true;
            }
        break;
    case CAUSE_MUST_RUN:
        for (size_t i = 0; i < f->n_wells; i++)
            f->well[i].may_stop = true;
        break;
    default:
        break;
    }
}

static struct cause *all_causes(const struct field *f, struct arena *a,
                                size_t *n)
{
    struct cause *list = ARENA_NEW(
        a, CAUSE_BAND + 2 + f->groups[GROUP_MANIFOLD].n, struct cause);
    *n = 0;
    /* The first ones are the first to go when others explain it as well. */
    list[(*n)++].kind = CAUSE_BAND;
    list[(*n)++] = (struct cause){PLAN_LIMIT_MANIFOLD, ALL_MANIFOLDS};
    for (size_t m = 0; m < f->groups[GROUP_MANIFOLD].n; m++)
        list[(*n)++] = (struct cause){PLAN_LIMIT_MANIFOLD, m};
    for (int kind = CAUSE_MUST_RUN; kind >= 0; kind--)
        if (kind != PLAN_LIMIT_MANIFOLD)
            list[(*n)++].kind = kind;
    return list;
}

static enum status try_plan(const struct field *f, const struct curve *curves,
                            bool lines_only, struct arena *a, bool *possible,
                            struct err *err)
{
    struct plan_options o = plan_options_default();
    struct problem p;
    struct search_result r;
    struct arena_mark mark = arena_mark(a);
    problem_make(f, curves, PLAN_OIL, lines_only, a, &p);
    enum status st = search_run(&p, &o, true, a, &r, err);
    *possible = st == ST_OK && !r.is_impossible;
    arena_rewind(a, mark);
    return st;
}

static enum status is_possible(const struct field *f,
                               const struct curve *curves, struct arena *a,
                               bool *possible, struct err *err)
{
    enum status st = try_plan(f, curves, false, a, possible, err);
    if (st != ST_OK || *possible)
        return st;
    return try_plan(f, curves, true, a, possible, err);
}

static const char *rate(const struct field *f, struct strbuf *b, enum dim dim,
                        const char *unit, double si)
{
    char number[40];
    double value = unit_from_si(unit_named(dim, unit), si, &f->frame);
    numtext_short(value, 4, number, sizeof number);
    return arena_printf(b->arena, "%s %s", number, unit);
}

static const char *gas(const struct field *f, struct strbuf *b, double sm3s)
{
    return rate(f, b, DIM_GAS_RATE, "MMscf/d", sm3s);
}

static const char *liquid(const struct field *f, struct strbuf *b, double sm3s)
{
    return rate(f, b, DIM_LIQUID_RATE, "stb/d", sm3s);
}

/* Whether a well has to do with a cause. */
static bool is_part_of(int kind, const struct field_well *w,
                       const struct curve *c)
{
    if (kind == CAUSE_LOCKED)
        return field_well_locked(w);
    if (kind == PLAN_LIMIT_MOVES)
        return !menu_now_allowed(w, c);
    return !w->may_stop && w->lift_min_sm3s > 0 &&
           w->reading.status == WELL_FLOWING;
}

/* " (intro A, B and 2 more)", or nothing when no well is part of it. */
static void add_names(const struct field *f, const struct curve *curves,
                      int kind, const char *intro, struct strbuf *b)
{
    const size_t *order = order_wells(f, b->arena);
    size_t n = 0;
    for (size_t k = 0; k < f->n_wells; k++) {
        const struct field_well *w = &f->well[order[k]];
        if (!is_part_of(kind, w, &curves[order[k]]))
            continue;
        if (n < NAMES_MOST)
            strbuf_addf(b, "%s%s", n > 0 ? ", " : intro, w->name);
        n++;
    }
    if (n > NAMES_MOST)
        strbuf_addf(b, " and %zu more", n - NAMES_MOST);
    strbuf_add(b, n > 0 ? ")" : "");
}

static void name_cause(const struct field *f, const struct curve *curves,
                       const struct cause *c, struct strbuf *b)
{
    switch (c->kind) {
    case PLAN_LIMIT_LIFT:
        strbuf_addf(b, "at most %s of lift gas in the field",
                    gas(f, b, f->limits.caps.lift_sm3s));
        break;
    case PLAN_LIMIT_MANIFOLD:
        strbuf_addf(
            b, "at most %s of lift gas on manifold %s",
            gas(f, b,
                f->groups[GROUP_MANIFOLD].group[c->manifold].caps.lift_sm3s),
            f->groups[GROUP_MANIFOLD].group[c->manifold].name);
        break;
    case PLAN_LIMIT_COMPRESSION:
        strbuf_addf(b, "at most %s compressed",
                    gas(f, b, field_capacity_sm3s(f)));
        break;
    case PLAN_LIMIT_LIQUID:
        strbuf_addf(b, "at most %s of liquid",
                    liquid(f, b, f->limits.caps.liquid_sm3s));
        break;
    case PLAN_LIMIT_WATER:
        strbuf_addf(b, "at most %s of water",
                    liquid(f, b, f->limits.caps.water_sm3s));
        break;
    case PLAN_LIMIT_SALES_MIN:
        strbuf_addf(b, "at least %s sold", gas(f, b, f->sales.min_sm3s));
        break;
    case PLAN_LIMIT_SALES_MAX:
        strbuf_addf(b, "at most %s sold", gas(f, b, f->sales.max_sm3s));
        break;
    case PLAN_LIMIT_PURCHASE:
        strbuf_addf(b, "at most %s bought", gas(f, b, f->market.max_sm3s));
        break;
    case PLAN_LIMIT_FLARE:
        strbuf_addf(b, "at most %s flared",
                    gas(f, b, f->station.flare_max_sm3s));
        break;
    case PLAN_LIMIT_MOVES:
        strbuf_addf(b, "at most %zu moves", f->limits.caps.moves);
        add_names(f, curves, c->kind, " (the present rate is not allowed: ", b);
        break;
    case CAUSE_LOCKED:
        strbuf_add(b, "the wells locked at their rate");
        add_names(f, curves, c->kind, " (", b);
        break;
    case CAUSE_MUST_RUN:
        strbuf_add(b, "the wells that may not stop");
        add_names(f, curves, c->kind, " (", b);
        break;
    default:
        strbuf_add(b, "the dead band");
        break;
    }
}

static const char *sentence(const struct field *f, const struct curve *curves,
                            const struct cause *kept, size_t n, struct arena *a)
{
    struct strbuf b;
    strbuf_init(&b, a);
    strbuf_add(&b, n == 0   ? "the wells' own rates leave no plan"
                   : n == 1 ? "this cannot be met: "
                            : "these cannot be met together: ");
    for (size_t i = 0; i < n; i++) {
        strbuf_add(&b, i > 0 ? "; " : "");
        name_cause(f, curves, &kept[i], &b);
    }
    return b.text;
}

static bool is_gone(const struct field *f, const struct cause *cause)
{
    return cause->kind == PLAN_LIMIT_MANIFOLD &&
           cause->manifold != ALL_MANIFOLDS &&
           !isfinite(
               f->groups[GROUP_MANIFOLD].group[cause->manifold].caps.lift_sm3s);
}

/* The causes that are needed for the conflict come to the front of the list;
 * one that is of no part in it is gone for good. */
static enum status filter(const struct field *f, const struct curve *curves,
                          struct cause *cause, size_t *n, struct arena *a,
                          struct err *err)
{
    struct field trial = copied(f, a);
    size_t n_kept = 0;
    for (size_t i = 0; i < *n; i++) {
        if (is_gone(&trial, &cause[i]))
            continue;
        struct field without = copied(&trial, a);
        leave_away(&without, &cause[i]);
        bool possible;
        enum status st = is_possible(&without, curves, a, &possible, err);
        if (st != ST_OK)
            return st;
        if (!possible)
            trial = without;
        else if (cause[i].manifold != ALL_MANIFOLDS)
            cause[n_kept++] = cause[i];
    }
    *n = n_kept;
    return ST_OK;
}

enum status conflict_find(const struct field *f, const struct curve *curves,
                          struct arena *a, const char **out, struct err *err)
{
    struct arena scratch;
    arena_init(&scratch);
    size_t n;
    struct cause *cause = all_causes(f, &scratch, &n);
    enum status st = filter(f, curves, cause, &n, &scratch, err);
    if (st == ST_OK)
        *out = sentence(f, curves, cause, n, a);
    arena_release(&scratch);
    return st;
}
