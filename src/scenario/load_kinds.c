#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "load_parts.h"
#include "scenario/form.h"

/* --- what each kind needs ------------------------------------------------- */

static void belongs_to(const struct loader *l, const struct ynode *well,
                       const char *key, bool is_kind, const char *kind)
{
    const struct ynode *node = ytree_child(well, key);

    if (is_kind)
        load_require(l, well, key,
                     arena_printf(l->arena, "a well of kind %s has it", kind));
    else if (node != NULL)
        load_fault(
            l, node,
            arena_printf(l->arena, "only a well of kind %s has it", kind),
            "delete this key, or correct kind");
}

enum well_kind load_kind(const struct loader *l, const struct ynode *well)
{
    enum well_kind kind =
        (enum well_kind)form_index(well, "wells.*.kind", &l->frame);

    if (well->kind != YNODE_MAP)
        return kind;
    if (ytree_child(well, "curve") != NULL && kind != KIND_CONTINUOUS) {
        load_fault(l, ytree_child(well, "kind"),
                   "a well with a measured curve has no kind",
                   "delete this key, or the curve");
        return KIND_CONTINUOUS;
    }
    belongs_to(l, well, "partner", kind == KIND_DUAL, "dual");
    belongs_to(l, well, "output", kind == KIND_PUMPED, "pumped");
    belongs_to(l, well, "intermitter", kind == KIND_INTERMITTENT,
               "intermittent");
    if (ytree_child(well, "output") != NULL)
        return KIND_PUMPED;
    if (kind == KIND_DUAL)
        load_require(l, well, "valves",
                     "they divide the gas of the annulus between the strings");
    if (kind == KIND_ANNULAR)
        load_require(l, well, "casing", "the production comes up in it");
    return kind;
}

const struct intermittent *load_intermitter(const struct loader *l,
                                            const struct ynode *well)
{
    const struct ynode *map = ytree_child(well, "intermitter");
    struct intermittent *m = ARENA_NEW(l->arena, 1, struct intermittent);
    const double per_m = 1 / (1000 * UNIT_FT_M);

    *m = intermittent_default(
        load_value(l, map, "wells.*.intermitter.gas_rate_open"));
    m->open_s = load_value_or(l, map, "wells.*.intermitter.open_time", 0);
    m->p_casing_pa =
        load_value_or(l, map, "wells.*.intermitter.casing_pressure", 0);
    m->fallback_per_m =
        load_value(l, map, "wells.*.intermitter.fallback_per_1000ft") * per_m;
    m->slug_ms = load_value(l, map, "wells.*.intermitter.slug_velocity");
    m->cycle_sm =
        load_value(l, map, "wells.*.intermitter.cycle_per_1000ft") * per_m;
    return m;
}

struct unload_spec load_kill(const struct loader *l, const struct ynode *well)
{
    const struct ynode *map = ytree_child(well, "kill");

    if (map != NULL)
        load_require(l, well, "valves", "they are what unloads the well");
    return (struct unload_spec){
        .rho_kgm3 = load_value(l, map, "wells.*.kill.density"),
        .level_m = load_value(l, map, "wells.*.kill.level"),
        .p_kickoff_pa =
            load_value_or(l, map, "wells.*.kill.kickoff_pressure", 0),
        .liquid_m3s = load_value(l, map, "wells.*.kill.liquid_through_valves")};
}

/* A curve of one point, at no gas. */
struct curve *load_output(const struct loader *l, const struct ynode *well)
{
    const struct ynode *map = ytree_child(well, "output");
    struct curve *c = ARENA_NEW(l->arena, 1, struct curve);
    double *v = ARENA_NEW(l->arena, 4, double);

    v[1] = load_value_or(l, map, "wells.*.output.oil", 0);
    v[2] = load_value_or(l, map, "wells.*.output.water", 0);
    v[3] = load_value_or(l, map, "wells.*.output.formation_gas", 0);
    *c = (struct curve){.well = well->key,
                        .source = CURVE_TABLE,
                        .n = 1,
                        .gas_sm3s = &v[0],
                        .oil_sm3s = &v[1],
                        .water_sm3s = &v[2],
                        .formation_sm3s = &v[3],
                        .end = CURVE_END_TABLE};
    return c;
}

/* --- duals ---------------------------------------------------------------- */

static const struct ynode *well_node(const struct loader *l, size_t i)
{
    const struct ynode *node = ytree_child(l->root, "wells")->first;

    while (i-- > 0)
        node = node->next;
    return node;
}

/* The index of the partner that names this well too; NAMES_NONE after an
 * error. */
static size_t partner_of(const struct loader *l, size_t i)
{
    const struct ynode *node = ytree_child(well_node(l, i), "partner");
    size_t other = load_reference(l, node, &l->wells, "well");

    if (other == NAMES_NONE)
        return NAMES_NONE;
    const struct ynode *back = ytree_child(well_node(l, other), "partner");
    bool names_back = back != NULL && back->kind == YNODE_TEXT &&
                      strcmp(back->text, l->field->well[i].name) == 0;
    if (other == i || !names_back) {
        load_fault(l, node,
                   other == i ? "a well is not its own partner"
                              : "the partner does not name this well",
                   "two strings share an annulus: let each name the other");
        return NAMES_NONE;
    }
    return other;
}

bool load_is_second(const struct loader *l, const struct ynode *well)
{
    const struct ynode *node = ytree_child(well, "partner");

    return node != NULL && node->kind == YNODE_TEXT &&
           names_find(&l->wells, node->text) < names_find(&l->wells, well->key);
}

/* Keys by which one well of a pair speaks for both. */
static const char *const FIRST_KEYS[] = {"pad", "separator", "route",
                                         "runs_with", "may_shut"};

/* The second of a pair has no gas of its own. */
static void check_pair(const struct loader *l, size_t first, size_t second)
{
    const struct ynode *node = well_node(l, second);
    const struct ynode *lift = ytree_child(node, "lift_gas");
    const struct field_well *a = &l->field->well[first];
    const struct field_well *b = &l->field->well[second];

    if (lift != NULL)
        load_fault(l, lift,
                   arena_printf(l->arena,
                                "well %s, named before, has the gas of both "
                                "strings",
                                a->name),
                   "delete this section; the valves divide the gas");
    for (size_t i = 0; i < sizeof FIRST_KEYS / sizeof FIRST_KEYS[0]; i++) {
        const struct ynode *key = ytree_child(node, FIRST_KEYS[i]);
        if (key != NULL)
            load_fault(l, key,
                       arena_printf(l->arena,
                                    "well %s, named before, has this key for "
                                    "both strings",
                                    a->name),
                       "delete it here");
    }
    if (a->group[GROUP_MANIFOLD] != b->group[GROUP_MANIFOLD])
        load_fault(l, ytree_child(node, "manifold"),
                   "the partner has another manifold",
                   "one annulus is fed from one manifold");
    if (b->reading.lift_sm3s > 0)
        diag_add(l->d, DIAG_ERROR, b->reading.at, b->name,
                 "leave it empty in this row",
                 "the lift gas of both strings stands in the row of %s",
                 a->name);
}

void load_check_duals(const struct loader *l)
{
    for (size_t i = 0; i < l->field->n_wells; i++) {
        struct field_well *w = &l->field->well[i];
        size_t other =
            w->kind == KIND_DUAL && ytree_child(well_node(l, i), "partner")
                ? partner_of(l, i)
                : NAMES_NONE;

        if (other == NAMES_NONE || other < i)
            continue;
        check_pair(l, i, other);
        w->second = &l->field->well[other];
        if (w->model && w->second->model)
            w->second->model->gas_path.allow_unsteady =
                w->model->gas_path.allow_unsteady;
    }
}

void load_join_duals(const struct loader *l)
{
    struct field *f = l->field;
    size_t n = 0;

    for (size_t i = 0; i < f->n_wells; i++)
        if (f->well[i].second) {
            struct field_well *kept = ARENA_NEW(l->arena, 1, struct field_well);

            *kept = *f->well[i].second;
            f->well[i].second->name = NULL;
            f->well[i].second = kept;
        }
    for (size_t i = 0; i < f->n_wells; i++)
        if (f->well[i].name)
            f->well[n++] = f->well[i];
    f->n_wells = n;
}
