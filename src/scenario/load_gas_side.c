#include <math.h>

#include "base/arena.h"
#include "load_parts.h"
#include "num/tol.h"
#include "scenario/form.h"
#include "well/gas_path.h"
#include "well/valve_string.h"

/* --- valves --------------------------------------------------------------- */

/* A key that this type of valve has no use for. */
static void refuse(const struct loader *l, const struct ynode *valve,
                   const char *key, const char *type)
{
    const struct ynode *node = ytree_child(valve, key);

    if (node != NULL)
        load_fault(l, node, arena_printf(l->arena, "%s has none", type),
                   "delete this key, or correct the type");
}

static void read_port(const struct loader *l, const struct ynode *node,
                      struct valve *v)
{
    if (v->kind == VALVE_DUMMY) {
        refuse(l, node, "port", "a dummy");
        return;
    }
    load_require(l, node, "port", "gas goes through it");
    double d_m = load_value(l, node, "wells.*.valves.*.port");
    v->port = (struct orifice){
        0.25 * M_PI * d_m * d_m,
        load_value(l, node, "wells.*.valves.*.discharge_coefficient")};
}

/* Exactly one of the two pressures says what is in the dome. */
static void read_dome(const struct loader *l, const struct ynode *node,
                      struct valve *v)
{
    const struct ynode *rack = ytree_child(node, "test_rack_pressure");
    const struct ynode *dome = ytree_child(node, "dome_pressure");

    load_require(l, node, "bellows_area", "a bellows valve opens by it");
    v->bellows_area_m2 = load_value(l, node, "wells.*.valves.*.bellows_area");
    if ((rack != NULL) == (dome != NULL))
        load_fault(l, node,
                   rack != NULL
                       ? "test_rack_pressure and dome_pressure are both given"
                       : "neither test_rack_pressure nor dome_pressure",
                   "a bellows valve needs exactly one of them");
    if (v->bellows_area_m2 <= v->port.area_m2) {
        load_fault(l, ytree_child(node, "bellows_area"),
                   "the bellows is not larger than the port",
                   "check the bellows' area and the port's diameter");
        return;
    }
    v->p_dome_60f_pa =
        rack == NULL
            ? load_value(l, node, "wells.*.valves.*.dome_pressure")
            : valve_dome_60f_pa(
                  load_value(l, node, "wells.*.valves.*.test_rack_pressure"),
                  l->frame.p_atm_pa, v->port.area_m2, v->bellows_area_m2);
}

static void read_valve(const struct loader *l, const struct ynode *node,
                       const struct well *w, struct valve *v)
{
    bool has_bellows;

    v->kind =
        (enum valve_kind)form_index(node, "wells.*.valves.*.type", &l->frame);
    v->md_m = load_value(l, node, "wells.*.valves.*.depth");
    has_bellows = v->kind == VALVE_INJECTION || v->kind == VALVE_PRODUCTION;
    read_port(l, node, v);
    if (has_bellows) {
        read_dome(l, node, v);
    } else {
        const char *type = v->kind == VALVE_DUMMY ? "a dummy" : "an orifice";

        refuse(l, node, "bellows_area", type);
        refuse(l, node, "test_rack_pressure", type);
        refuse(l, node, "dome_pressure", type);
    }
    if (w->n_stations > 0 && v->md_m > well_bottom_m(w) + TOL_INPUT_DEPTH_M)
        load_fault(l, node, "the valve is below the end of the survey",
                   "check both depths");
}

/* The one that is meant to pass the gas. */
static void choose_operating(const struct loader *l, const struct ynode *well,
                             const struct valve *v, struct well *out)
{
    const struct ynode *depth = ytree_child(well, "injection_depth");
    double md_m = load_value(l, well, "wells.*.injection_depth");
    size_t i = out->n_valves;

    while (i > 0 &&
           (depth == NULL ? v[i - 1].kind == VALVE_DUMMY
                          : fabs(v[i - 1].md_m - md_m) > TOL_INPUT_DEPTH_M))
        i--;
    if (i == 0 && depth != NULL)
        load_fault(l, depth, "no valve is at this depth",
                   "give the depth of one of the valves");
    else if (i == 0)
        load_fault(l, ytree_child(well, "valves"),
                   "no gas gets through dummies",
                   "give the valve that is meant to pass the gas");
    else if (v[i - 1].kind == VALVE_DUMMY)
        load_fault(l, depth, "a dummy is at this depth",
                   "give the depth of a valve that passes gas");
    out->operating = i > 0 ? i - 1 : 0;
    out->md_inject_m = v[out->operating].md_m;
}

static void read_valves(const struct loader *l, const struct ynode *well,
                        const struct ynode *list, struct well *out)
{
    struct valve *v = ARENA_NEW(l->arena, list->n, struct valve);
    const struct ynode *node = list->first;

    if (list->n == 0 || list->n > STRING_MAX) {
        load_fault(l, list,
                   list->n == 0 ? "no valve"
                                : "more valves than the program takes (16)",
                   "give the stations that can pass gas");
        return;
    }
    if (ytree_child(well, "casing") == NULL)
        load_fault(l, list, "valves without casing",
                   "give casing and the tubing's outside_diameter: the gas "
                   "goes down between them");
    for (size_t i = 0; i < list->n; i++, node = node->next) {
        read_valve(l, node, out, &v[i]);
        if (i > 0 && v[i].md_m <= v[i - 1].md_m)
            load_fault(l, node, "depth does not rise from valve to valve",
                       "sort the valves from the wellhead down");
    }
    out->valve = v;
    out->n_valves = list->n;
    choose_operating(l, well, v, out);
}

/* Without valves: one depth. */
static void read_injection(const struct loader *l, const struct ynode *well,
                           struct well *out)
{
    const struct ynode *node = ytree_child(well, "injection_depth");

    load_require(l, well, "injection_depth",
                 "the lift gas enters there, unless valves are given");
    out->md_inject_m = load_value(l, well, "wells.*.injection_depth");
    if (node == NULL || out->n_stations == 0)
        return;
    double bottom_m = well_bottom_m(out);
    if (out->md_inject_m > bottom_m + TOL_INPUT_DEPTH_M)
        load_fault(l, node, "the gas would enter below the end of the survey",
                   "check both depths");
    else if (out->md_inject_m > bottom_m)
        out->md_inject_m = bottom_m;
}

/* --- line and limits ------------------------------------------------------ */

static void check_line(const struct loader *l, const struct ynode *map)
{
    bool is_measured = ytree_child(map, "loss") || ytree_child(map, "at");

    if (is_measured) {
        load_require(l, map, "loss", "a measured loss has both");
        load_require(l, map, "at", "a loss belongs to a rate");
    } else {
        load_require(l, map, "length", "or give loss and at");
        load_require(l, map, "inside_diameter", "or give loss and at");
    }
    if (is_measured && (ytree_child(map, "length") != NULL ||
                        ytree_child(map, "inside_diameter") != NULL))
        load_fault(l, map, "the line is given twice",
                   "give length and inside_diameter, or loss and at");
}

void load_gas_side(const struct loader *l, const struct ynode *well,
                   struct well *out)
{
    const struct ynode *valves = ytree_child(well, "valves");
    const struct ynode *line = ytree_child(well, "supply_line");
    struct gas_path *g = &out->gas_path;

    g->p_header_pa = (double)INFINITY;
    g->p_casing_max_pa = load_value_or(
        l, well, "wells.*.casing_pressure_maximum", (double)INFINITY);
    g->t_head_k = load_value_or(l, well, "wells.*.gas_temperature",
                                out->thermal.t_head_k);
    if (valves != NULL && valves->kind == YNODE_LIST)
        read_valves(l, well, valves, out);
    else if (well->kind == YNODE_MAP && valves == NULL)
        read_injection(l, well, out);
    if (line != NULL && line->kind == YNODE_MAP)
        check_line(l, line);
}

void load_check_pressures(const struct loader *l, const struct ynode *well,
                          const struct field_group *manifold,
                          const struct field_well *w)
{
    const struct ynode *line = ytree_child(well, "supply_line");
    const struct ynode *intermitter = ytree_child(well, "intermitter");
    const struct gas_path *g = &w->model->gas_path;
    double p_pa = manifold != NULL ? manifold->p_header_pa : (double)NAN;
    double loss_pa = load_value_or(l, line, "wells.*.supply_line.loss", 0);

    if (line != NULL && p_pa == 0)
        load_fault(l, line, "the manifold has no header_pressure",
                   "give it: the loss in the line counts from it");
    else if (line != NULL && loss_pa >= p_pa)
        load_fault(l, ytree_child(line, "loss"),
                   "the loss is not below the header pressure",
                   "check both pressures");
    if (intermitter == NULL || w->kind != KIND_INTERMITTENT ||
        w->intermitter->p_casing_pa > 0)
        return;
    if (g->n_sections == 0 || (p_pa == 0 && isinf(g->p_casing_max_pa)))
        load_fault(l, intermitter, "no casing pressure is known",
                   "give casing_pressure here; or casing, and a header or "
                   "annulus pressure");
}

/* --- valves against pressures --------------------------------------------- */

static double psig(const struct loader *l, double p_pa)
{
    return unit_from_si(unit_named(DIM_PRESSURE, "psig"), p_pa, &l->frame);
}

/* A tubing pressure that helps is at most the casing's: above it no gas flows.
 * Kick-off gas serves the valves above the operating one. */
static void check_opens(const struct loader *l, const struct ynode *node,
                        const struct well *w, size_t i, double p_kickoff_pa)
{
    double p_pa = gas_path_available_pa(&w->gas_path, 0);
    double t_k = gas_path_temperature_k(w, w->valve[i].md_m);
    struct err err;

    if (i != w->operating)
        p_pa = fmax(p_pa, p_kickoff_pa);
    if (!isfinite(p_pa) ||
        gas_path_pressure(w, 0, w->valve[i].md_m, 0, p_pa, &p_pa, NULL, &err) !=
            ST_OK ||
        valve_opens_pa(&w->valve[i], p_pa, t_k) <= p_pa)
        return;
    diag_add(l->d, DIAG_WARNING, node->at, ytree_path(node, l->arena),
             "check the valve's pressure, the header pressure and the annulus "
             "limit",
             "the valve never opens: at its depth the dome has %.0f psig and "
             "the casing %.0f psig",
             psig(l, nitrogen_pressure_pa(w->valve[i].p_dome_60f_pa, t_k)),
             psig(l, p_pa));
}

static void check_all_open(const struct loader *l, const struct ynode *well,
                           const struct well *w)
{
    double p_kickoff_pa = load_value_or(l, ytree_child(well, "kill"),
                                        "wells.*.kill.kickoff_pressure", 0);
    const struct ynode *node =
        w->n_valves > 0 ? ytree_child(well, "valves")->first : NULL;

    for (size_t i = 0; i < w->n_valves; i++, node = node->next)
        if (w->valve[i].bellows_area_m2 > 0)
            check_opens(l, node, w, i, p_kickoff_pa);
}

/* --- with prepared gas ---------------------------------------------------- */

static double line_pa2_sm3s2(const struct loader *l, const struct ynode *line,
                             const struct well *w)
{
    double p_pa = w->gas_path.p_header_pa;

    if (ytree_child(line, "loss") != NULL) {
        double loss_pa = load_value(l, line, "wells.*.supply_line.loss");
        double at_sm3s = load_value(l, line, "wells.*.supply_line.at");

        return (2 * p_pa - loss_pa) * loss_pa / (at_sm3s * at_sm3s);
    }
    return gas_path_line_pa2_sm3s2(
        &w->fluid.lift_gas, load_value(l, line, "wells.*.supply_line.length"),
        load_value(l, line, "wells.*.supply_line.inside_diameter"),
        load_value(l, line, "wells.*.supply_line.roughness"), p_pa,
        w->gas_path.t_head_k);
}

void load_finish_gas_side(const struct loader *l, const struct ynode *well,
                          const struct field_group *manifold, struct well *out)
{
    const struct ynode *line = ytree_child(well, "supply_line");

    if (manifold->p_header_pa > 0)
        out->gas_path.p_header_pa = manifold->p_header_pa;
    if (line != NULL)
        out->gas_path.line_pa2_sm3s2 = line_pa2_sm3s2(l, line, out);
    check_all_open(l, well, out);
}
