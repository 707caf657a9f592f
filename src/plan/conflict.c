#include "conflict.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/numtext.h"
#include "base/strbuf.h"
#include "base/units.h"
#include "caps.h"
#include "menu.h"
#include "order.h"
#include "search.h"

/* Wells named in the sentence; the rest are counted. */
#define NAMES_MOST 5

/* Every group at once: a shortcut, not a cause to be named. */
#define ALL_GROUPS SIZE_MAX

/* Capacity that is no limit any more, Sm3/s and per Sm3/s that there was. */
#define CAPACITY_FREE 1e3

static struct field_groups copied_groups(const struct field_groups *from,
                                         struct arena *a)
{
    struct field_groups to = {from->n,
                              ARENA_NEW(a, from->n, struct field_group)};
    if (from->n > 0)
        memcpy(to.group, from->group, from->n * sizeof *to.group);
    return to;
}

struct field conflict_copy(const struct field *f, struct arena *a)
{
    struct field c = *f;
    for (int k = 0; k < N_GROUP_KINDS; k++)
        c.groups[k] = copied_groups(&f->groups[k], a);
    c.well = ARENA_NEW(a, f->n_wells, struct field_well);
    if (f->n_wells > 0)
        memcpy(c.well, f->well, f->n_wells * sizeof *c.well);
    return c;
}

static void lift_cap(struct field_caps *c, int kind)
{
    caps_set(c, (enum plan_limit_kind)kind, (double)INFINITY);
}

static void lift_group_caps(struct field *f, const struct cause *cause)
{
    if (cause->group == ALL_GROUPS) {
        for (int k = 0; k < N_GROUP_KINDS; k++)
            for (size_t i = 0; i < f->groups[k].n; i++)
                f->groups[k].group[i].caps = field_caps_none();
        return;
    }
    lift_cap(&f->groups[cause->scope].group[cause->group].caps, cause->kind);
}

static void free_units(struct field *f, struct arena *a)
{
    struct field_station *s = &f->station;
    struct field_compressor *all =
        ARENA_NEW(a, s->n_compressors, struct field_compressor);
    for (size_t i = 0; i < s->n_compressors; i++) {
        all[i] = s->compressor[i];
        all[i].capacity_sm3s = CAPACITY_FREE * (1 + all[i].capacity_sm3s);
        all[i].least_sm3s = 0;
        all[i].state = UNIT_AVAILABLE;
    }
    s->compressor = all;
}

static void free_wells(struct field *f, bool locked_too)
{
    for (size_t i = 0; i < f->n_wells; i++) {
        struct field_well *w = &f->well[i];
        if (locked_too && !field_well_locked(w))
            continue;
        w->may_stop = true;
        if (locked_too)
            w->reading.status = WELL_FLOWING;
    }
}

void conflict_leave_away(struct field *f, const struct cause *cause,
                         struct plan_options *o, struct arena *a)
{
    double none = (double)INFINITY;
    if (cause->scope != N_GROUP_KINDS) {
        lift_group_caps(f, cause);
        return;
    }
    switch (cause->kind) {
    case PLAN_LIMIT_COMPRESSION:
        free_units(f, a);
        break;
    case PLAN_LIMIT_POWER:
        f->station.power_max_w = none;
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
    case PLAN_LIMIT_OIL_TARGET:
        o->oil_target_sm3s = 0;
        break;
    case CAUSE_BAND:
        f->limits.dead_band_sm3s = 0;
        break;
    case CAUSE_LOCKED:
        free_wells(f, true);
        break;
    case CAUSE_MUST_RUN:
        free_wells(f, false);
        break;
    default:
        lift_cap(&f->limits.caps, cause->kind);
        break;
    }
}

static bool is_capped(const struct field_caps *c, int kind)
{
    return isfinite(caps_get(c, (enum plan_limit_kind)kind));
}

static size_t count_groups(const struct field *f)
{
    size_t n = 0;
    for (int k = 0; k < N_GROUP_KINDS; k++)
        n += f->groups[k].n;
    return n;
}

/* The first ones are the first to go when others explain it as well. */
static struct cause *all_causes(const struct field *f, struct arena *a,
                                size_t *n)
{
    size_t most = (CAUSE_BAND + 1) * (count_groups(f) + 1) + 1;
    struct cause *list = ARENA_NEW(a, most, struct cause);
    *n = 0;
    list[(*n)++] = (struct cause){CAUSE_BAND, N_GROUP_KINDS, 0};
    list[(*n)++] = (struct cause){PLAN_LIMIT_LIFT, 0, ALL_GROUPS};
    for (int k = 0; k < N_GROUP_KINDS; k++)
        for (size_t i = 0; i < f->groups[k].n; i++)
            for (int kind = PLAN_LIMIT_MOVES; kind >= 0; kind--)
                if (is_capped(&f->groups[k].group[i].caps, kind))
                    list[(*n)++] = (struct cause){kind, k, i};
    for (int kind = CAUSE_MUST_RUN; kind >= 0; kind--)
        list[(*n)++] = (struct cause){kind, N_GROUP_KINDS, 0};
    return list;
}

static enum status try_plan(const struct field *f, const struct curve *curves,
                            const struct plan_options *o, bool lines_only,
                            struct arena *a, bool *possible, struct err *err)
{
    struct problem p;
    struct search_result r;
    struct arena_mark mark = arena_mark(a);
    problem_make(f, curves, o, lines_only, a, &p);
    enum status st = search_run(&p, true, a, &r, err);
    *possible = st == ST_OK && !r.is_impossible;
    arena_rewind(a, mark);
    return st;
}

enum status conflict_is_possible(const struct field *f,
                                 const struct curve *curves,
                                 const struct plan_options *o, struct arena *a,
                                 bool *possible, struct err *err)
{
    enum status st = try_plan(f, curves, o, false, a, possible, err);
    if (st != ST_OK || *possible)
        return st;
    return try_plan(f, curves, o, true, a, possible, err);
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
    return !w->may_stop && w->reading.status == WELL_FLOWING;
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

static const char *count_text(struct strbuf *b, size_t n)
{
    return arena_printf(b->arena, "%zu", n);
}

/* "at most 2 MMscf/d of lift gas"; the caller says where. */
static void name_cap(const struct field *f, const struct field_caps *c,
                     int kind, struct strbuf *b)
{
    switch (kind) {
    case PLAN_LIMIT_LIFT:
        strbuf_addf(b, "at most %s of lift gas", gas(f, b, c->lift_sm3s));
        break;
    case PLAN_LIMIT_LIQUID:
        strbuf_addf(b, "at most %s of liquid", liquid(f, b, c->liquid_sm3s));
        break;
    case PLAN_LIMIT_WATER:
        strbuf_addf(b, "at most %s of water", liquid(f, b, c->water_sm3s));
        break;
    case PLAN_LIMIT_GAS:
        strbuf_addf(b, "at most %s of gas handled", gas(f, b, c->gas_sm3s));
        break;
    default:
        strbuf_addf(b, "at most %s moves", count_text(b, c->moves));
        break;
    }
}

static void name_group_cap(const struct field *f, const struct cause *c,
                           struct strbuf *b)
{
    static const char *const WORDS[] = {
#define WORDS_OF(name, words) words,
        GROUP_LIST(WORDS_OF)
#undef WORDS_OF
    };
    const struct field_group *g = &f->groups[c->scope].group[c->group];
    name_cap(f, &g->caps, c->kind, b);
    strbuf_addf(b, " on %s %s", WORDS[c->scope], g->name);
}

static void name_cause(const struct field *f, const struct curve *curves,
                       const struct plan_options *o, const struct cause *c,
                       struct strbuf *b)
{
    if (c->scope != N_GROUP_KINDS) {
        name_group_cap(f, c, b);
        return;
    }
    switch (c->kind) {
    case PLAN_LIMIT_COMPRESSION:
        strbuf_addf(b, "at most %s compressed by the units as they are",
                    gas(f, b, field_capacity_sm3s(f)));
        break;
    case PLAN_LIMIT_POWER:
        strbuf_addf(b, "at most %.6g kW of electric power",
                    f->station.power_max_w / 1000);
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
    case PLAN_LIMIT_OIL_TARGET:
        strbuf_addf(b, "at least %s of oil", liquid(f, b, o->oil_target_sm3s));
        break;
    case CAUSE_LOCKED:
        strbuf_add(b, "the wells locked at their rate");
        add_names(f, curves, c->kind, " (", b);
        break;
    case CAUSE_MUST_RUN:
        strbuf_add(b, "the wells that may not stop");
        add_names(f, curves, c->kind, " (", b);
        break;
    case CAUSE_BAND:
        strbuf_add(b, "the dead band");
        break;
    default:
        name_cap(f, &f->limits.caps, c->kind, b);
        strbuf_add(b, c->kind == PLAN_LIMIT_MOVES ? "" : " in the field");
        if (c->kind == PLAN_LIMIT_MOVES)
            add_names(f, curves, c->kind,
                      " (the present rate is not allowed: ", b);
        break;
    }
}

const char *conflict_words(const struct field *f, const struct curve *curves,
                           const struct plan_options *o, const struct cause *c,
                           struct arena *a)
{
    static const char *const KEYS[CAUSE_BAND + 1] = {
        [PLAN_LIMIT_LIFT] = "limits.lift_gas",
        [PLAN_LIMIT_LIQUID] = "limits.liquid",
        [PLAN_LIMIT_WATER] = "limits.water",
        [PLAN_LIMIT_GAS] = "limits.gas",
        [PLAN_LIMIT_COMPRESSION] = "compressors",
        [PLAN_LIMIT_POWER] = "station.power_maximum",
        [PLAN_LIMIT_SALES_MIN] = "sales.minimum",
        [PLAN_LIMIT_SALES_MAX] = "sales.maximum",
        [PLAN_LIMIT_PURCHASE] = "market.maximum",
        [PLAN_LIMIT_FLARE] = "station.flare_maximum",
        [PLAN_LIMIT_OIL_TARGET] = "--target",
        [PLAN_LIMIT_MOVES] = "limits.moves",
        [CAUSE_LOCKED] = "readings.csv",
        [CAUSE_MUST_RUN] = "may_stop",
        [CAUSE_BAND] = "limits.dead_band",
    };
    struct strbuf b;
    strbuf_init(&b, a);
    name_cause(f, curves, o, c, &b);
    if (c->scope == N_GROUP_KINDS) {
        strbuf_addf(&b, " [%s]", KEYS[c->kind]);
        return b.text;
    }
    struct place at = f->groups[c->scope].group[c->group].at;
    if (at.file != NULL)
        strbuf_addf(&b, " [%s:%d]", at.file, at.line);
    return b.text;
}

static const char *sentence(const struct field *f, const struct curve *curves,
                            const struct plan_options *o,
                            const struct cause *kept, size_t n, struct arena *a)
{
    struct strbuf b;
    strbuf_init(&b, a);
    strbuf_add(&b, n == 0   ? "the wells' own rates leave no plan"
                   : n == 1 ? "this cannot be met: "
                            : "these cannot be met together: ");
    for (size_t i = 0; i < n; i++) {
        strbuf_add(&b, i > 0 ? "; " : "");
        name_cause(f, curves, o, &kept[i], &b);
    }
    return b.text;
}

static bool is_gone(const struct field *f, const struct cause *c)
{
    return c->scope != N_GROUP_KINDS && c->group != ALL_GROUPS &&
           !is_capped(&f->groups[c->scope].group[c->group].caps, c->kind);
}

/* The causes that are needed for the conflict come to the front of the list;
 * one that is of no part in it is gone for good. */
static enum status filter(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct cause *cause,
                          size_t *n, struct arena *a, struct err *err)
{
    struct field trial = conflict_copy(f, a);
    struct plan_options asked = *o;
    size_t n_kept = 0;
    for (size_t i = 0; i < *n; i++) {
        if (is_gone(&trial, &cause[i]))
            continue;
        struct field without = conflict_copy(&trial, a);
        struct plan_options ask = asked;
        conflict_leave_away(&without, &cause[i], &ask, a);
        bool possible;
        enum status st =
            conflict_is_possible(&without, curves, &ask, a, &possible, err);
        if (st != ST_OK)
            return st;
        if (!possible) {
            trial = without;
            asked = ask;
        } else if (cause[i].group != ALL_GROUPS) {
            cause[n_kept++] = cause[i];
        }
    }
    *n = n_kept;
    return ST_OK;
}

enum status conflict_find(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct arena *a,
                          struct conflict *out, struct err *err)
{
    struct arena scratch;
    arena_init(&scratch);
    size_t n;
    struct cause *cause = all_causes(f, &scratch, &n);
    enum status st = filter(f, curves, o, cause, &n, &scratch, err);
    if (st == ST_OK) {
        out->sentence = sentence(f, curves, o, cause, n, a);
        out->n = n;
        out->cause = ARENA_NEW(a, n, struct cause);
        for (size_t i = 0; i < n; i++)
            out->cause[i] = cause[i];
    }
    arena_release(&scratch);
    return st;
}
