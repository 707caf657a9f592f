#include "scenario/load.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "load_parts.h"
#include "scenario/form.h"

/* --- helpers -------------------------------------------------------------- */

void load_fault(const struct loader *l, const struct ynode *node,
                const char *what, const char *todo)
{
    diag_add(l->d, DIAG_ERROR, node->at, ytree_path(node, l->arena), todo, "%s",
             what);
}

/* A table of another field names thousands of unknown wells, and every search
 * looks at every name. */
#define NEAREST_MOST_ERRORS 100

const char *load_nearest(const struct loader *l, const struct names *names,
                         const char *name)
{
    if (l->d->n_errors >= NEAREST_MOST_ERRORS)
        return NULL;
    const char *nearest = names_nearest(names, name);
    return nearest != NULL ? arena_printf(l->arena, "did you mean %s?",
                                          diag_quote(l->d, nearest))
                           : NULL;
}

size_t load_reference(const struct loader *l, const struct ynode *node,
                      const struct names *names, const char *kind)
{
    if (node == NULL || node->kind != YNODE_TEXT || isnan(node->value))
        return NAMES_NONE;
    size_t index = names_find(names, node->text);
    if (index == NAMES_NONE)
        load_fault(l, node,
                   arena_printf(l->arena, "there is no %s %s", kind,
                                diag_quote(l->d, node->text)),
                   load_nearest(l, names, node->text));
    return index;
}

void load_require(const struct loader *l, const struct ynode *map,
                  const char *key, const char *why)
{
    if (ytree_child(map, key) == NULL)
        load_fault(l, map, arena_printf(l->arena, "key %s is missing", key),
                   why);
}

double load_value(const struct loader *l, const struct ynode *map,
                  const char *path)
{
    return form_value(map, path, &l->frame);
}

double load_value_or(const struct loader *l, const struct ynode *map,
                     const char *path, double otherwise)
{
    double v = load_value(l, map, path);
    return isnan(v) ? otherwise : v;
}

static const struct ynode *section(const struct loader *l, const char *key)
{
    return ytree_child(l->root, key);
}

struct names load_names(const struct loader *l, const struct ynode *map)
{
    size_t n = map != NULL && map->kind == YNODE_MAP ? map->n : 0;
    struct name_entry *entry = ARENA_NEW(l->arena, n, struct name_entry);
    const struct ynode *child = n > 0 ? map->first : NULL;
    for (size_t i = 0; i < n; i++, child = child->next)
        entry[i] = (struct name_entry){child->key, i};
    return names_build(entry, n);
}

/* --- the field's own objects ---------------------------------------------- */

static void load_field(struct loader *l)
{
    const struct ynode *map = section(l, "field");
    const struct ynode *name = ytree_child(map, "name");
    const struct ynode *gas = section(l, "lift_gas");
    struct field *f = l->field;
    bool is_named = name != NULL && name->kind == YNODE_TEXT;
    f->name = is_named ? name->text : "";
    f->frame = l->frame;
    f->day = (long)load_value_or(l, map, "field.date", 0.0);
    f->hydrogen_sulphide =
        load_value_or(l, gas, "lift_gas.hydrogen_sulphide", 0.0);
    f->test_age_max_days = (long)(load_value_or(l, section(l, "tests"),
                                                "tests.newest_within", 0.0) /
                                  UNIT_DAY_S);
}

static void load_sales_and_market(struct loader *l)
{
    const struct ynode *sales = section(l, "sales");
    const struct ynode *market = section(l, "market");
    l->field->sales = (struct field_sales){
        .min_sm3s = load_value(l, sales, "sales.minimum"),
        .max_sm3s = load_value_or(l, sales, "sales.maximum", (double)INFINITY),
        .price_sm3 = load_value(l, sales, "sales.price"),
        .from = (enum station_side)form_index(sales, "sales.from", &l->frame),
    };
    l->field->market = (struct field_market){
        .max_sm3s = load_value_or(l, market, "market.maximum", 0.0),
        .price_sm3 = load_value(l, market, "market.price"),
        .enters =
            (enum station_side)form_index(market, "market.enters", &l->frame),
    };
}

static void load_limits_and_prices(struct loader *l)
{
    const struct ynode *limits = section(l, "limits");
    const struct ynode *prices = section(l, "prices");
    double moves = load_value(l, limits, "limits.moves");
    double none = (double)INFINITY;
    l->field->limits = (struct field_limits){
        .caps =
            {
                .lift_sm3s = load_value_or(l, limits, "limits.lift_gas", none),
                .liquid_sm3s = load_value_or(l, limits, "limits.liquid", none),
                .water_sm3s = load_value_or(l, limits, "limits.water", none),
                .gas_sm3s = load_value_or(l, limits, "limits.gas", none),
                .moves = isnan(moves) ? SIZE_MAX : (size_t)moves,
            },
        .dead_band_sm3s = load_value(l, limits, "limits.dead_band"),
        .allow_unsteady = form_index(limits, "limits.unsteady", &l->frame) == 1,
    };
    l->field->prices = (struct field_prices){
        .oil_sm3 = load_value_or(l, prices, "prices.oil", 0.0),
        .water_sm3 = load_value(l, prices, "prices.water"),
        .compression_sm3 = load_value(l, prices, "prices.compression"),
        .move = load_value(l, prices, "prices.move") / UNIT_DAY_S,
        .carbon_sm3 = load_value(l, prices, "prices.carbon"),
        .power_j = load_value(l, prices, "prices.power"),
        .given = ytree_child(prices, "oil") != NULL,
    };
}

static void load_wells(struct loader *l)
{
    const struct ynode *map = section(l, "wells");
    struct field *f = l->field;
    l->wells = load_names(l, map);
    l->fluids = load_names(l, section(l, "fluids"));
    load_check_fluids(l);
    f->n_wells = l->wells.n;
    f->well = ARENA_NEW(l->arena, f->n_wells, struct field_well);
    const struct ynode *node = f->n_wells > 0 ? map->first : NULL;
    for (size_t i = 0; i < f->n_wells; i++, node = node->next)
        load_well(l, node, &f->well[i]);

    bool has_model = false;
    for (size_t i = 0; i < f->n_wells; i++)
        has_model = has_model || f->well[i].model != NULL;
    if (has_model && section(l, "lift_gas") == NULL)
        diag_add(l->d, DIAG_ERROR, l->root->at, NULL,
                 "the wells' models need the gas that is injected",
                 "key lift_gas is missing");
}

/* -------------------------------------------------------------------------- */

static void load_tree(struct loader *l, struct ynode *root)
{
    l->root = root;
    l->frame = form_frame(root, l->d);
    form_check(root, NULL, &l->frame, l->d);
    load_field(l);
    load_groups(l);
    load_station(l);
    load_sales_and_market(l);
    load_limits_and_prices(l);
    load_wells(l);
}

enum status scenario_load(const char *folder, struct arena *a, struct diag *d,
                          struct field **out, struct err *err)
{
    struct source source;
    const char *path = arena_printf(a, "%s/scenario.yaml", folder);
    enum status st = source_read(path, a, &source, err);
    if (st != ST_OK)
        return st;

    struct loader l = {.folder = folder, .arena = a, .d = d};
    l.field = ARENA_NEW(a, 1, struct field);
    size_t n_before = d->n_errors;
    struct ynode *root = ytree_read(&source, a, d);
    /* Without wells every row of the tables would be a fault. */
    if (root != NULL && root->kind == YNODE_MAP) {
        load_tree(&l, root);
        load_tests(&l);
        load_readings(&l);
        load_check_duals(&l);
    } else if (root != NULL) {
        form_check(root, NULL, &l.frame, d);
    }
    if (d->n_errors == n_before) {
        load_finish_wells(&l);
        load_finish_station(&l);
    }
    size_t n = d->n_errors - n_before;
    if (n > 0)
        return err_set(err, ST_INPUT, "the scenario in %s has %zu error%s",
                       folder, n, n > 1 ? "s" : "");
    load_join_duals(&l);
    *out = l.field;
    return ST_OK;
}
