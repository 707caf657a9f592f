#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "fluid/gas.h"
#include "fluid/oil.h"
#include "load_parts.h"
#include "num/tol.h"
#include "scenario/form.h"
#include "well/inflow.h"

/* --- fluids --------------------------------------------------------------- */

struct gas_spec load_lift_gas(const struct loader *l)
{
    const struct ynode *map = ytree_child(l->root, "lift_gas");
    return (struct gas_spec){
        .gravity = load_value(l, map, "lift_gas.gravity"),
        .nitrogen = load_value(l, map, "lift_gas.nitrogen"),
        .carbon_dioxide = load_value(l, map, "lift_gas.carbon_dioxide"),
        .hydrogen_sulphide = load_value(l, map, "lift_gas.hydrogen_sulphide"),
    };
}

static struct gas_spec read_formation_gas(const struct loader *l,
                                          const struct ynode *map)
{
    return (struct gas_spec){
        .gravity = load_value(l, map, "fluids.*.gas_gravity"),
        .nitrogen = load_value(l, map, "fluids.*.nitrogen"),
        .carbon_dioxide = load_value(l, map, "fluids.*.carbon_dioxide"),
        .hydrogen_sulphide = load_value(l, map, "fluids.*.hydrogen_sulphide"),
    };
}

static struct oil_spec read_oil(const struct loader *l, const struct ynode *map,
                                double gor_sm3sm3)
{
    const struct ynode *separator = ytree_child(map, "separator");
    return (struct oil_spec){
        .gravity = load_value(l, map, "fluids.*.oil_gravity"),
        .gas_gravity = load_value(l, map, "fluids.*.gas_gravity"),
        .correlation = (enum oil_correlation)form_index(
            map, "fluids.*.correlation", &l->frame),
        .p_separator_pa =
            load_value_or(l, separator, "fluids.*.separator.pressure", 0.0),
        .t_separator_k =
            load_value_or(l, separator, "fluids.*.separator.temperature", 0.0),
        .p_bubble_pa = load_value_or(l, map, "fluids.*.bubble_point", 0.0),
        .t_bubble_k =
            load_value_or(l, map, "fluids.*.bubble_point_temperature", 0.0),
        .gor_sm3sm3 = load_value_or(
            l, map, "fluids.*.bubble_point_gas_oil_ratio", gor_sm3sm3),
        .volume_factor_bubble =
            load_value_or(l, map, "fluids.*.oil_volume_factor", 0.0),
    };
}

/* What the well's fluid is made of, not yet prepared. */
static void read_fluid(const struct loader *l, const struct ynode *well,
                       struct well *out)
{
    const struct ynode *fluids = ytree_child(l->root, "fluids");
    const struct ynode *name = ytree_child(well, "fluid");
    if (load_reference(l, name, &l->fluids, "fluid") == NAMES_NONE)
        return;
    const struct ynode *map = ytree_child(fluids, name->text);
    out->fluid.lift_gas.spec = load_lift_gas(l);
    out->fluid.formation_gas.spec = read_formation_gas(l, map);
    out->fluid.oil.spec = read_oil(l, map, out->gor_sm3sm3);
    if (out->fluid.oil.spec.p_bubble_pa > 0.0 &&
        out->fluid.oil.spec.gor_sm3sm3 == 0.0)
        load_fault(l, name, "oil without gas has no bubble point",
                   "give bubble_point_gas_oil_ratio in the fluid");
    out->fluid.salinity = load_value(l, map, "fluids.*.water_salinity");
    out->fluid.log_viscosity =
        form_index(map, "fluids.*.viscosity_mixing", &l->frame) == 1;
}

void load_check_fluids(const struct loader *l)
{
    const struct ynode *fluids = ytree_child(l->root, "fluids");
    for (const struct ynode *map = l->fluids.n > 0 ? fluids->first : NULL; map;
         map = map->next) {
        if (ytree_child(map, "bubble_point") != NULL)
            load_require(l, map, "bubble_point_temperature",
                         "a measured bubble point belongs to a temperature");
        if (ytree_child(map, "oil_volume_factor") != NULL)
            load_require(
                l, map, "bubble_point",
                "the volume factor is that of a measured bubble point");
    }
}

/* --- temperature, inflow -------------------------------------------------- */

static void read_temperature(const struct loader *l, const struct ynode *well,
                             struct well *out)
{
    const struct ynode *map = ytree_child(well, "temperature");
    if (map == NULL || map->kind != YNODE_MAP)
        return;
    enum thermal_model model = (enum thermal_model)form_index(
        map, "wells.*.temperature.model", &l->frame);
    bool flows = model == THERMAL_FLOWING;
    if (flows) {
        load_require(l, map, "surface", "the flowing model needs the ground");
        load_require(l, map, "heat_transfer", "the flowing model needs it");
    } else {
        load_require(l, map, "wellhead", "the linear model needs both ends");
    }
    out->thermal = (struct thermal){
        .model = model,
        .t_head_k = load_value(l, map,
                               flows ? "wells.*.temperature.surface"
                                     : "wells.*.temperature.wellhead"),
        .t_bottom_k = load_value(l, map, "wells.*.temperature.bottomhole"),
        .tvd_bottom_m = out->n_stations > 0
                            ? out->station[out->n_stations - 1].tvd_m
                            : (double)NAN,
        .u_wm2k =
            load_value_or(l, map, "wells.*.temperature.heat_transfer", 0.0),
        .k_earth_wmk =
            load_value(l, map, "wells.*.temperature.ground_conductivity"),
        .diffusivity_m2s =
            load_value(l, map, "wells.*.temperature.ground_diffusivity"),
        .r_wellbore_m =
            load_value(l, map, "wells.*.temperature.wellbore_diameter") / 2.0,
        .time_s = load_value(l, map, "wells.*.temperature.producing_for"),
    };
}

/* One of the three ways to say how much the well gives. */
static void check_capacity(const struct loader *l, const struct ynode *map,
                           const struct inflow *f)
{
    const struct ynode *productivity = ytree_child(map, "productivity");
    const struct ynode *test = ytree_child(map, "test");
    const struct ynode *point = ytree_child(test, "pressure");
    int n = (productivity != NULL) + (test != NULL) +
            (ytree_child(map, "open_flow") != NULL);
    if (n != 1)
        load_fault(l, map,
                   arena_printf(l->arena,
                                "%s of productivity, open_flow and test",
                                n == 0 ? "none" : "more than one"),
                   "give exactly one of them");
    if (productivity != NULL && f->model == INFLOW_FETKOVICH)
        load_fault(l, productivity, "fetkovich has no productivity index",
                   "give open_flow or test");
    if (point != NULL && point->value >= f->p_res_pa)
        load_fault(l, point, "not below the reservoir pressure",
                   "check both pressures");
}

static void read_inflow(const struct loader *l, const struct ynode *well,
                        struct well *out)
{
    const struct ynode *map = ytree_child(well, "inflow");
    if (map == NULL || map->kind != YNODE_MAP)
        return;
    struct inflow *f = &out->inflow;
    *f = (struct inflow){
        .model = (enum inflow_model)form_index(map, "wells.*.inflow.model",
                                               &l->frame),
        .p_res_pa = load_value(l, map, "wells.*.inflow.reservoir_pressure"),
        .j_sm3spa = load_value(l, map, "wells.*.inflow.productivity"),
        .p_bubble_pa =
            load_value_or(l, map, "wells.*.inflow.bubble_point", 0.0),
        .exponent = load_value(l, map, "wells.*.inflow.exponent"),
        .water_cut = -1.0,
    };
    if (form_index(map, "wells.*.inflow.water_rule", &l->frame) == 1)
        f->water_cut = out->water_cut;
    if (f->model == INFLOW_COMPOSITE)
        load_require(l, map, "bubble_point", "the composite curve bends there");
    check_capacity(l, map, f);
}

/* --- the well ------------------------------------------------------------- */

static struct well *read_model(const struct loader *l, const struct ynode *node,
                               enum well_kind kind)
{
    struct well *w = ARENA_NEW(l->arena, 1, struct well);
    w->name = node->key;
    w->gor_sm3sm3 = load_value(l, node, "wells.*.gas_oil_ratio");
    w->water_cut = load_value(l, node, "wells.*.water_cut");
    w->gradient =
        (enum gradient_model)form_index(node, "wells.*.gradient", &l->frame);
    if (kind == KIND_ANNULAR && ytree_child(node, "gradient") == NULL)
        w->gradient = GRADIENT_DRIFT_FLUX;
    w->p_head_pa = load_value(l, ytree_child(node, "wellhead"),
                              "wells.*.wellhead.pressure");
    read_fluid(l, node, w);
    load_survey(l, node, w);
    read_temperature(l, node, w);
    load_pipes(l, node, kind, w);
    load_gas_side(l, node, w);
    read_inflow(l, node, w);
    return w;
}

/* Keys that a measured curve or a pump leaves without a use. */
static const char *const MODEL_KEYS[] = {
    "fluid",  "wellhead",        "survey",
    "tubing", "injection_depth", "temperature",
    "inflow", "gradient",        "match",
    "casing", "valves",          "supply_line",
    "kill",   "gas_temperature", "casing_pressure_maximum",
    NULL};
static const char *const CURVE_KEYS[] = {"gas_oil_ratio", "water_cut",
                                         "lift_gas", NULL};

static void refuse_keys(const struct loader *l, const struct ynode *node,
                        const char *const *key, const char *what,
                        const char *todo)
{
    for (; *key != NULL; key++) {
        const struct ynode *found = ytree_child(node, *key);
        if (found != NULL)
            load_fault(l, found, what, todo);
    }
}

static void load_pumped(const struct loader *l, const struct ynode *node,
                        struct field_well *out)
{
    const char *what = "a pumped well has only its output";
    const char *todo = "delete this key, or correct kind";

    refuse_keys(l, node, MODEL_KEYS, what, todo);
    refuse_keys(l, node, CURVE_KEYS, what, todo);
    out->match = MATCH_NONE;
    out->table = load_output(l, node);
    out->lift_max_sm3s = 0;
    out->may_stop = false;
}

/* Nothing is known past the last point of a measured curve. maximum is its
 * node or NULL. */
static void end_with_curve(const struct loader *l, const struct ynode *maximum,
                           struct field_well *w)
{
    double end_sm3s = w->table->gas_max_sm3s;
    if (w->lift_max_sm3s <= end_sm3s)
        return;
    if (maximum != NULL && !isnan(w->lift_max_sm3s))
        diag_add(l->d, DIAG_WARNING, maximum->at, ytree_path(maximum, l->arena),
                 "no plan goes further than the curve",
                 "%s is past the last point of the measured curve",
                 diag_quote(l->d, maximum->text));
    w->lift_max_sm3s = end_sm3s;
}

/* What a model leaves open: its curve may end, and begin, by itself. */
static void set_limits(const struct loader *l, const struct ynode *node,
                       const struct field_group *manifold,
                       struct field_well *out)
{
    const struct ynode *lift = ytree_child(node, "lift_gas");
    struct gas_path *g = &out->model->gas_path;
    bool has_pressure = manifold == NULL || manifold->p_header_pa > 0 ||
                        isfinite(g->p_casing_max_pa);
    bool ends = ytree_child(node, "valves") != NULL &&
                out->kind != KIND_INTERMITTENT && has_pressure;

    g->allow_unsteady =
        l->field->limits.allow_unsteady || ytree_child(lift, "minimum") != NULL;
    if (ytree_child(lift, "maximum") != NULL)
        return;
    out->lift_max_sm3s = (double)INFINITY;
    if (node->kind == YNODE_MAP && !ends && !load_is_second(l, node))
        load_fault(l, lift != NULL ? lift : node,
                   "key maximum of lift_gas is missing",
                   out->kind == KIND_INTERMITTENT
                       ? "the curve of an intermittent well ends there"
                       : "a model's curve ends there, unless valves and a "
                         "header pressure or annulus limit end it");
}

/* A second string of a dual has no oil of its own in the field. */
static const char *read_companion(const struct loader *l,
                                  const struct ynode *well)
{
    const struct ynode *node = ytree_child(well, "runs_with");
    if (load_reference(l, node, &l->wells, "well") == NAMES_NONE)
        return NULL;
    const struct ynode *other =
        ytree_child(ytree_child(l->root, "wells"), node->text);
    if (load_is_second(l, other))
        load_fault(l, node, "it is the second string of a dual",
                   arena_printf(l->arena, "name %s, which stands for both",
                                ytree_child(other, "partner")->text));
    return node->text;
}

void load_well(const struct loader *l, const struct ynode *node,
               struct field_well *out)
{
    const struct ynode *lift = ytree_child(node, "lift_gas");
    const struct ynode *curve = ytree_child(node, "curve");
    *out = (struct field_well){
        .name = node->key,
        .at = node->key_at,
        .kind = load_kind(l, node),
        .lift_min_sm3s = load_value(l, lift, "wells.*.lift_gas.minimum"),
        .lift_max_sm3s = load_value(l, lift, "wells.*.lift_gas.maximum"),
        .change_max_sm3s =
            load_value_or(l, lift, "wells.*.lift_gas.change_maximum", 0),
        .step_sm3s = load_value_or(l, lift, "wells.*.lift_gas.step", 0),
        .may_stop =
            form_index(lift, "wells.*.lift_gas.may_stop", &l->frame) == 1,
        .may_shut = form_index(node, "wells.*.may_shut", &l->frame) == 1,
        .runs_with = read_companion(l, node),
        .match = (enum match_kind)form_index(node, "wells.*.match", &l->frame),
        .reading = {.lift_sm3s = (double)NAN,
                    .p_casing_pa = (double)NAN,
                    .p_tubing_pa = (double)NAN,
                    .status = WELL_FLOWING,
                    .reason = ""},
    };
    const struct field_group *manifold = load_membership(l, node, out);
    if (out->kind == KIND_PUMPED) {
        load_pumped(l, node, out);
        return;
    }
    if (out->kind == KIND_INTERMITTENT)
        out->intermitter = load_intermitter(l, node);
    if (curve == NULL) {
        out->model = read_model(l, node, out->kind);
        out->kill = load_kill(l, node);
        set_limits(l, node, manifold, out);
        load_check_pressures(l, node, manifold, out);
        return;
    }
    refuse_keys(l, node, MODEL_KEYS,
                "a well with a measured curve has no model",
                "delete this key, or the curve");
    out->match = MATCH_NONE;
    out->table = load_curve(l, node, curve);
    if (out->table != NULL)
        end_with_curve(l, ytree_child(lift, "maximum"), out);
}

/* --- preparing ------------------------------------------------------------ */

static void prepare_inflow(const struct loader *l, const struct ynode *node,
                           struct inflow *f)
{
    const struct ynode *map = ytree_child(node, "inflow");
    const struct ynode *test = ytree_child(map, "test");
    if (ytree_child(map, "productivity") != NULL)
        return;
    double open_sm3s = load_value(l, map, "wells.*.inflow.open_flow");
    f->j_sm3spa = 1.0;
    f->c_sm3s_pa2n = 1.0;
    if (test == NULL)
        inflow_match(f, open_sm3s, 0.0);
    else
        inflow_match(f, load_value(l, test, "wells.*.inflow.test.liquid"),
                     load_value(l, test, "wells.*.inflow.test.pressure"));
}

static void prepare_model(const struct loader *l, const struct ynode *node,
                          const struct field_well *fw)
{
    struct well *w = fw->model;
    struct gas_spec lift = w->fluid.lift_gas.spec;
    struct gas_spec formation = w->fluid.formation_gas.spec;
    struct oil_spec oil = w->fluid.oil.spec;
    gas_init(&w->fluid.lift_gas, &lift);
    gas_init(&w->fluid.formation_gas, &formation);
    oil_init(&w->fluid.oil, &oil);
    prepare_inflow(l, node, &w->inflow);
    load_finish_gas_side(
        l, node,
        &l->field->groups[GROUP_MANIFOLD].group[fw->group[GROUP_MANIFOLD]], w);
}

void load_finish_wells(const struct loader *l)
{
    const struct ynode *node = ytree_child(l->root, "wells")->first;
    for (size_t i = 0; i < l->field->n_wells; i++, node = node->next)
        if (l->field->well[i].model != NULL)
            prepare_model(l, node, &l->field->well[i]);
}
