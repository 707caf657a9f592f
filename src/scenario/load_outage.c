#include "scenario/load_outage.h"

#include <math.h>
#include <stdint.h>
#include <unistd.h>

#include "base/arena.h"
#include "field/compressor.h"
#include "field/outage.h"
#include "load_parts.h"
#include "num/tol.h"
#include "scenario/form.h"
#include "scenario/schema.h"
#include "scenario/value.h"

struct outage_loader {
    struct loader l; /* its field is not used */
    const struct field *f;
    struct outage *o;
    struct names units, manifolds;
};

static double value(const struct outage_loader *ol, const struct ynode *map,
                    const char *path)
{
    return load_value(&ol->l, map, path);
}

static size_t count_of(const struct ynode *list)
{
    return list != NULL && list->kind != YNODE_TEXT ? list->n : 0;
}

static struct names names_of_units(struct arena *a, const struct field *f)
{
    size_t n = f->station.n_compressors;
    struct name_entry *entry = ARENA_NEW(a, n, struct name_entry);
    for (size_t i = 0; i < n; i++)
        entry[i] = (struct name_entry){f->station.compressor[i].name, i};
    return names_build(entry, n);
}

static struct names names_of_manifolds(struct arena *a, const struct field *f)
{
    size_t n = f->groups[GROUP_MANIFOLD].n;
    struct name_entry *entry = ARENA_NEW(a, n, struct name_entry);
    for (size_t i = 0; i < n; i++)
        entry[i] =
            (struct name_entry){f->groups[GROUP_MANIFOLD].group[i].name, i};
    return names_build(entry, n);
}

static struct names names_of_wells(struct arena *a, const struct field *f)
{
    struct name_entry *entry = ARENA_NEW(a, f->n_wells, struct name_entry);
    for (size_t i = 0; i < f->n_wells; i++)
        entry[i] = (struct name_entry){f->well[i].name, i};
    return names_build(entry, f->n_wells);
}

/* --- the horizon and the shifts ------------------------------------------- */

static void load_horizon(const struct outage_loader *ol)
{
    const struct ynode *root = ol->l.root;
    struct outage *o = ol->o;
    const struct ynode *name = ytree_child(root, "name");
    double horizon_s = value(ol, root, "outage.horizon");
    o->name = name != NULL && name->kind == YNODE_TEXT ? name->text : "";
    o->start_s = value(ol, root, "outage.start");
    o->period_s = value(ol, root, "outage.period");
    o->stop_least_s = value(ol, root, "outage.stopped_at_least");
    o->run_least_s = value(ol, root, "outage.running_at_least");
    double n = horizon_s / o->period_s;
    if (isnan(n + o->start_s)) { /* told already */
        o->start_s = (double)NAN;
        o->period_s = UNIT_DAY_S;
        o->n_periods = 1;
        return;
    }
    if (!(n >= 1) || fabs(n - round(n)) > TOL_INPUT_RANGE * n)
        load_fault(&ol->l, ytree_child(root, "horizon"),
                   "it is no whole number of periods",
                   arena_printf(ol->l.arena,
                                "write a multiple of %g min, or another period",
                                o->period_s / 60));
    o->n_periods = (size_t)fmax(round(n), 1);
}

static double horizon_s(const struct outage *o)
{
    return (double)o->n_periods * o->period_s;
}

static void load_shifts(const struct outage_loader *ol)
{
    const struct ynode *map = ytree_child(ol->l.root, "shifts");
    struct outage *o = ol->o;
    double end_s = horizon_s(o);
    double length_s = value(ol, map, "outage.shifts.length");
    double moves = value(ol, map, "outage.shifts.moves");
    /* Without them, or after an error: one for all. */
    if (!(length_s > 0) || isnan(moves)) {
        length_s = end_s;
        moves = (double)INFINITY;
    }
    double first_s =
        map != NULL ? value(ol, map, "outage.shifts.first") - o->start_s : 0;
    /* The one that is on at the start. */
    first_s -= ceil(first_s / length_s) * length_s;
    size_t most = (size_t)ceil(end_s / length_s) + 1;
    o->shift = ARENA_NEW(ol->l.arena, most, struct outage_shift);
    for (size_t k = 0; k < most; k++) {
        double from_s = fmax(first_s + (double)k * length_s, 0);
        double to_s = fmin(first_s + (double)(k + 1) * length_s, end_s);
        if (to_s > from_s)
            o->shift[o->n_shifts++] = (struct outage_shift){
                from_s, to_s, isfinite(moves) ? (size_t)moves : SIZE_MAX};
    }
}

static void load_limits(const struct outage_loader *ol)
{
    const struct ynode *flare = ytree_child(ol->l.root, "flare");
    const struct ynode *store = ytree_child(ol->l.root, "store");
    const struct ynode *now = ytree_child(store, "now");
    struct outage *o = ol->o;
    double none = (double)INFINITY;
    o->flare_hours_max =
        load_value_or(&ol->l, flare, "outage.flare.hours", none) / 3600;
    o->flare_most_sm3 =
        load_value_or(&ol->l, flare, "outage.flare.volume", none);
    if (store == NULL)
        return;
    o->store_sm3 = value(ol, store, "outage.store.now");
    o->store_most_sm3 = value(ol, store, "outage.store.most");
    if (now != NULL && o->store_sm3 > o->store_most_sm3)
        load_fault(&ol->l, now, "more than the headers can hold",
                   "check now and most");
}

static void load_ramps(const struct outage_loader *ol)
{
    const struct ynode *map = ytree_child(ol->l.root, "ramps");
    size_t n = ol->f->groups[GROUP_MANIFOLD].n;
    ol->o->ramp_sm3s = ARENA_NEW(ol->l.arena, n, double);
    for (size_t i = 0; i < n; i++)
        ol->o->ramp_sm3s[i] = (double)INFINITY;
    if (count_of(map) == 0)
        return;
    for (const struct ynode *node = map->first; node; node = node->next) {
        size_t index = names_find(&ol->manifolds, node->key);
        if (index == NAMES_NONE)
            load_fault(&ol->l, node, "there is no manifold of that name",
                       load_nearest(&ol->l, &ol->manifolds, node->key));
        else
            ol->o->ramp_sm3s[index] = value(ol, node, "outage.ramps.*.change");
    }
}

/* --- events --------------------------------------------------------------- */

static void add_event(struct outage *o, struct outage_event e)
{
    o->event[o->n_events++] = e;
}

/* After the start; NaN after an error. */
static double moment_s(const struct outage_loader *ol, const struct ynode *node)
{
    struct value_moment m;
    if (node == NULL || node->kind != YNODE_TEXT || isnan(node->value) ||
        !value_moment(node->text, &m))
        return (double)NAN;
    return value_moment_s(&m, ol->f->day, ol->o->start_s);
}

static bool is_clock(const struct ynode *node)
{
    struct value_moment m;
    return node != NULL && node->kind == YNODE_TEXT &&
           value_moment(node->text, &m) && m.kind == MOMENT_CLOCK;
}

static void read_times(const struct outage_loader *ol, const struct ynode *node,
                       struct outage_event *e)
{
    const struct ynode *to = ytree_child(node, "to");
    e->from_s = moment_s(ol, ytree_child(node, "from"));
    e->to_s = moment_s(ol, to);
    if (is_clock(to) && e->to_s <= e->from_s)
        e->to_s += (floor((e->from_s - e->to_s) / UNIT_DAY_S) + 1) * UNIT_DAY_S;
    if (e->to_s <= e->from_s)
        load_fault(&ol->l, to, "not after from", "check both times");
    else if (e->to_s <= 0 || e->from_s >= horizon_s(ol->o))
        diag_add(ol->l.d, DIAG_WARNING, node->at, ytree_path(node, ol->l.arena),
                 "check its times and the start",
                 "it lies outside the horizon and changes nothing");
}

/* What the event is about. False after an error. */
static bool read_thing(const struct outage_loader *ol, const struct ynode *node,
                       struct outage_event *e)
{
    static const struct {
        const char *key;
        enum outage_cause cause;
    } THINGS[] = {{"unit", CAUSE_UNIT},
                  {"manifold", CAUSE_MANIFOLD},
                  {"well", CAUSE_WELL},
                  {"limit", CAUSE_SALES}};
    const struct names *const names[] = {&ol->units, &ol->manifolds,
                                         &ol->l.wells, NULL};
    static const char *const KINDS[] = {"compressor", "manifold", "well"};
    size_t n = 0, which = 0;
    for (size_t i = 0; i < sizeof THINGS / sizeof THINGS[0]; i++)
        if (ytree_child(node, THINGS[i].key) != NULL) {
            which = i;
            n++;
        }
    if (n != 1) {
        load_fault(&ol->l, node,
                   arena_printf(ol->l.arena,
                                "%s of unit, manifold, well and limit",
                                n == 0 ? "none" : "more than one"),
                   "give exactly one of them");
        return false;
    }
    const struct ynode *thing = ytree_child(node, THINGS[which].key);
    e->cause = THINGS[which].cause;
    if (names[which] != NULL) {
        e->index = load_reference(&ol->l, thing, names[which], KINDS[which]);
        return e->index != NAMES_NONE;
    }
    /* The choices are in the order of the causes, from the sales on. */
    e->cause +=
        (unsigned)form_index(node, "outage.events.*.limit", &ol->l.frame);
    return !isnan(thing->value);
}

static bool is_liquid(enum outage_cause cause)
{
    return cause == CAUSE_LIQUID || cause == CAUSE_WATER;
}

/* What there is without the event; NaN: not a question. */
static double whole_of(const struct outage_loader *ol,
                       const struct outage_event *e)
{
    const struct field *f = ol->f;
    switch (e->cause) {
    case CAUSE_SALES:
        return f->sales.max_sm3s;
    case CAUSE_MANIFOLD:
        return f->groups[GROUP_MANIFOLD].group[e->index].caps.lift_sm3s;
    case CAUSE_LIFT:
        return f->limits.caps.lift_sm3s;
    case CAUSE_LIQUID:
        return f->limits.caps.liquid_sm3s;
    case CAUSE_WATER:
        return f->limits.caps.water_sm3s;
    case CAUSE_GAS:
        return f->limits.caps.gas_sm3s;
    case CAUSE_UNIT:
    case CAUSE_MARKET:
    case CAUSE_FLARE:
    case CAUSE_WELL:
    case CAUSE_AMBIENT:
    case N_OUTAGE_CAUSES:
        break;
    }
    return (double)NAN;
}

static void refuse(const struct outage_loader *ol, const struct ynode *node,
                   const char *what, const char *todo)
{
    if (node != NULL)
        load_fault(&ol->l, node, what, todo);
}

static void check_left(const struct outage_loader *ol, const struct ynode *node,
                       const struct outage_event *e)
{
    const struct ynode *left = ytree_child(node, "left");
    const struct ynode *gas = ytree_child(node, "left_gas");
    const struct ynode *liquid = ytree_child(node, "left_liquid");
    if ((left != NULL) + (gas != NULL) + (liquid != NULL) > 1)
        load_fault(&ol->l, node, "more than one of left, left_gas, left_liquid",
                   "give one of them, or none where nothing is left");
    if (e->cause == CAUSE_WELL) {
        const char *what = "a well stands or it does not";
        refuse(ol, left, what, "delete this key");
        refuse(ol, gas, what, "delete this key");
        refuse(ol, liquid, what, "delete this key");
    } else if (is_liquid(e->cause)) {
        refuse(ol, gas, "this limit is one of liquid", "write left_liquid");
    } else {
        refuse(ol, liquid, "this is no limit of liquid", "write left_gas");
    }
    if (e->cause != CAUSE_MARKET)
        refuse(ol, ytree_child(node, "price"),
               "only gas that is bought has a price here",
               "delete this key, or write limit: market");
    if (left != NULL && left->value > 0 && isinf(whole_of(ol, e)))
        load_fault(&ol->l, left, "the scenario has no such limit",
                   is_liquid(e->cause) ? "write left_liquid"
                                       : "write left_gas");
}

static void read_left(const struct outage_loader *ol, const struct ynode *node,
                      struct outage_event *e)
{
    double gas_sm3s = value(ol, node, "outage.events.*.left_gas");
    e->amount = is_liquid(e->cause)
                    ? value(ol, node, "outage.events.*.left_liquid")
                    : gas_sm3s;
    e->part = value(ol, node, "outage.events.*.left");
    e->price_sm3 = value(ol, node, "outage.events.*.price");
    bool is_told = !isnan(e->part) || !isnan(e->amount) || !isnan(e->price_sm3);
    if (!is_told)
        e->part = 0;
    check_left(ol, node, e);
}

static void load_events(const struct outage_loader *ol)
{
    const struct ynode *list = ytree_child(ol->l.root, "events");
    const struct ynode *node = count_of(list) > 0 ? list->first : NULL;
    for (; node != NULL; node = node->next) {
        struct outage_event e = {.at = node->at};
        if (node->kind != YNODE_MAP)
            continue;
        bool has_thing = read_thing(ol, node, &e);
        read_times(ol, node, &e);
        e.is_planned =
            form_index(node, "outage.events.*.planned", &ol->l.frame) == 1;
        if (has_thing)
            read_left(ol, node, &e);
        add_event(ol->o, e);
    }
}

static bool follows_weather(const struct field *f)
{
    for (size_t i = 0; i < f->station.n_compressors; i++) {
        const struct compressor_spec *s = f->station.compressor[i].spec;
        if (s != NULL && s->derating_per_k > 0)
            return true;
    }
    return false;
}

/* The row, on every day that its hours reach into the horizon. */
static void add_weather(const struct outage_loader *ol,
                        const struct ynode *list, const struct ynode *row)
{
    const char *path = "outage.weather.*.from";
    double from_s = value(ol, row, path);
    double to_s = row->next != NULL ? value(ol, row->next, path)
                                    : value(ol, list->first, path) + UNIT_DAY_S;
    size_t n_days = (size_t)(horizon_s(ol->o) / UNIT_DAY_S) + 3;
    if (row->next != NULL && !(to_s > from_s) && !isnan(to_s - from_s))
        load_fault(&ol->l, row->next, "its time does not rise",
                   "put the rows in the order of the day");
    for (size_t k = 0; k < n_days; k++) {
        double day_s = ((double)k - 1) * UNIT_DAY_S - ol->o->start_s;
        struct outage_event e = {
            .at = row->at,
            .cause = CAUSE_AMBIENT,
            .from_s = day_s + from_s,
            .to_s = day_s + to_s,
            .part = (double)NAN,
            .amount = value(ol, row, "outage.weather.*.ambient"),
            .price_sm3 = (double)NAN,
        };
        if (e.to_s > 0 && e.from_s < horizon_s(ol->o))
            add_event(ol->o, e);
    }
}

static void load_weather(const struct outage_loader *ol)
{
    const struct ynode *list = ytree_child(ol->l.root, "weather");
    if (count_of(list) == 0)
        return;
    if (!follows_weather(ol->f))
        diag_add(ol->l.d, DIAG_WARNING, list->at, "weather",
                 "give a compressor power and derating in scenario.yaml",
                 "no unit follows the weather");
    for (const struct ynode *row = list->first; row; row = row->next)
        if (row->kind == YNODE_MAP)
            add_weather(ol, list, row);
}

/* Room for every event of the list, and for the weather of every day. */
static void make_room(const struct outage_loader *ol)
{
    size_t n_days = (size_t)(horizon_s(ol->o) / UNIT_DAY_S) + 3;
    size_t n = count_of(ytree_child(ol->l.root, "events")) +
               n_days * count_of(ytree_child(ol->l.root, "weather"));
    ol->o->event = ARENA_NEW(ol->l.arena, n, struct outage_event);
}

/* --- bringing wells back -------------------------------------------------- */

static struct well_restart read_restart(const struct outage_loader *ol,
                                        const struct ynode *map,
                                        const char *section)
{
    struct arena *a = ol->l.arena;
    return (struct well_restart){
        .unload_s = value(ol, map, arena_printf(a, "%s.unload", section)),
        .gas_sm3 = value(ol, map, arena_printf(a, "%s.gas", section)),
        .build_up_s = value(ol, map, arena_printf(a, "%s.build_up", section)),
        .alone_s = value(ol, map, arena_printf(a, "%s.alone", section)),
        .comes_back = true,
    };
}

static void load_own_restart(const struct outage_loader *ol,
                             const struct ynode *node)
{
    size_t index = names_find(&ol->l.wells, node->key);
    const struct ynode *unload = ytree_child(node, "unload");
    const struct ynode *gas = ytree_child(node, "gas");
    if (index == NAMES_NONE) {
        load_fault(&ol->l, node, "there is no well of that name",
                   load_nearest(&ol->l, &ol->l.wells, node->key));
        return;
    }
    if (unload != NULL && gas == NULL)
        load_require(&ol->l, node, "gas", "unload and gas go together");
    if (gas != NULL && unload == NULL)
        load_require(&ol->l, node, "unload", "unload and gas go together");
    ol->o->restart[index] = read_restart(ol, node, "outage.wells.*");
    ol->o->never_stops[index] =
        form_index(node, "outage.wells.*.never_stop", &ol->l.frame) == 1;
}

static void load_restarts(const struct outage_loader *ol)
{
    const struct ynode *map = ytree_child(ol->l.root, "restart");
    const struct ynode *wells = ytree_child(ol->l.root, "wells");
    struct outage *o = ol->o;
    size_t n = ol->f->n_wells;
    double unknown = (double)NAN;
    o->restart = ARENA_NEW(ol->l.arena, n, struct well_restart);
    o->never_stops = ARENA_NEW(ol->l.arena, n, bool);
    for (size_t i = 0; i < n; i++)
        o->restart[i] = (struct well_restart){unknown, unknown, unknown,
                                              unknown, .comes_back = true};
    o->restart_else = read_restart(ol, map, "outage.restart");
    if (isnan(o->restart_else.alone_s))
        o->restart_else.alone_s = (double)INFINITY;
    const struct ynode *node = count_of(wells) > 0 ? wells->first : NULL;
    for (; node != NULL; node = node->next)
        load_own_restart(ol, node);
}

/* -------------------------------------------------------------------------- */

static void load_all(struct outage_loader *ol, struct ynode *root)
{
    ol->l.root = root;
    ol->l.wells = names_of_wells(ol->l.arena, ol->f);
    ol->units = names_of_units(ol->l.arena, ol->f);
    ol->manifolds = names_of_manifolds(ol->l.arena, ol->f);
    load_horizon(ol);
    make_room(ol);
    load_shifts(ol);
    load_limits(ol);
    load_ramps(ol);
    load_events(ol);
    load_weather(ol);
    load_restarts(ol);
}

static const char *path_in(const char *folder, struct arena *a)
{
    return arena_printf(a, "%s/outage.yaml", folder);
}

bool scenario_has_outage(const char *folder, struct arena *a)
{
    return access(path_in(folder, a), F_OK) == 0;
}

enum status scenario_load_outage(const char *folder, const struct field *f,
                                 struct arena *a, struct diag *d,
                                 struct outage **out, struct err *err)
{
    struct source source;
    const char *path = path_in(folder, a);
    enum status st = source_read(path, a, &source, err);
    if (st != ST_OK)
        return st;

    struct outage_loader ol = {
        .l = {.folder = folder, .arena = a, .d = d, .frame = f->frame}, .f = f};
    ol.o = ARENA_NEW(a, 1, struct outage);
    size_t n_before = d->n_errors;
    struct ynode *root = ytree_read(&source, a, d);
    if (root != NULL)
        form_check(root, schema_outage(), &f->frame, d);
    if (root != NULL && root->kind == YNODE_MAP)
        load_all(&ol, root);
    size_t n = d->n_errors - n_before;
    if (n > 0)
        return err_set(err, ST_INPUT, "%s has %zu error%s", path, n,
                       n > 1 ? "s" : "");
    *out = ol.o;
    return ST_OK;
}
