#include "report/curves.h"

#include <math.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "cells.h"
#include "curves.h"
#include "page.h"
#include "report/grid.h"

/* The curve at this morning's rate; false past its end. */
static bool present(const struct report *r, size_t i, struct curve_point *p)
{
    struct err err;
    double now_sm3s = field_well_now_sm3s(&r->field->well[i]);
    return curve_at(&r->curves[i], now_sm3s, p, &err) == ST_OK;
}

/* What is out of the ordinary about a curve, or NULL. */
static const char *curve_note(const struct curve *c, bool is_inside)
{
    static const char *const ENDS[] = {
        [CURVE_END_MAXIMUM] = NULL,
        [CURVE_END_DIES] = "more kills it",
        [CURVE_END_TABLE] = "ends with its table",
        [CURVE_END_HEADER] = "header",
        [CURVE_END_ANNULUS] = "annulus limit",
        [CURVE_END_VALVE] = "upper valve",
        [CURVE_END_CYCLES] = "cycles",
    };
    if (c->n == 0)
        return c->end == CURVE_END_HEADER || c->end == CURVE_END_ANNULUS ||
                       c->end == CURVE_END_VALVE
                   ? "no rate can be had"
                   : "dead at every rate";
    if (!is_inside)
        return "takes more gas now than its curve reaches";
    return c->gas_max_sm3s > 0 ? ENDS[c->end] : "takes no gas";
}

static void add_curve(const struct report *r, size_t i, struct grid *g)
{
    const struct show *s = &r->show;
    const struct curve *c = &r->curves[i];
    struct curve_point now = {.oil_sm3s = (double)NAN, .slope = (double)NAN};
    bool is_inside = present(r, i, &now);
    const char **cell = grid_row(g);
    cell[0] = r->field->well[i].name;
    if (c->n > 0) {
        cell[1] = show_number(s, SHOW_WELL_GAS, c->gas_sm3s[0]);
        cell[2] = show_number(s, SHOW_WELL_GAS, c->gas_sm3s[c->peak]);
        cell[3] = show_number(s, SHOW_LIQUID, c->oil_sm3s[c->peak]);
        cell[4] = show_number(s, SHOW_LIQUID,
                              curve_flows_alone(c) ? c->oil_sm3s[0] : 0);
        cell[5] = show_number(s, SHOW_WELL_GAS,
                              field_well_now_sm3s(&r->field->well[i]));
        cell[6] = show_number(s, SHOW_LIQUID, now.oil_sm3s);
        cell[7] = show_number(s, SHOW_OIL_PER_GAS, now.slope);
        if (c->start != CURVE_START_FLOW)
            cell[8] = show_number(s, SHOW_WELL_GAS, c->gas_min_sm3s);
        cell[9] = show_number(s, SHOW_WELL_GAS, c->gas_max_sm3s);
    }
    cell[10] = curve_note(c, is_inside);
}

static void write_table(const struct report *r, struct strbuf *out)
{
    const char *gas = show_unit(&r->show, SHOW_WELL_GAS);
    const char *oil = show_unit(&r->show, SHOW_LIQUID);
    const struct grid_column columns[] = {
        {{"well"}, false},
        {{"starts", "at", gas}, true},
        {{"peak", "gas", gas}, true},
        {{"peak", "oil", oil}, true},
        {{"no gas", "oil", oil}, true},
        {{"now", "gas", gas}, true},
        {{"now", "oil", oil}, true},
        {{"slope", "now", show_unit(&r->show, SHOW_OIL_PER_GAS)}, true},
        {{"at", "least", gas}, true},
        {{"ends", "at", gas}, true},
        {{""}, false},
    };
    page_say(r, out, 2, "%s, %s: the lift curves of %zu wells", r->field->name,
             show_day(&r->show, r->field->day), r->field->n_wells);
    strbuf_add(out, "\n");
    struct grid g;
    grid_init(&g, r->show.arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < r->field->n_wells; i++)
        add_curve(r, i, &g);
    grid_write(&g, 0, r->width, out);
    page_say(r, out, 2,
             "Slope: what the next gas would make. No gas: oil of a well that "
             "flows by itself. At least: what the casing pressure allows and "
             "is steady, where valves are given. Last: what ends the curve.");
    page_warnings(r, out);
    page_foot(r, out);
}

/* NaN where a table has no pressures. */
static double pressure_at(const double *p_pa, size_t k)
{
    return p_pa != NULL ? p_pa[k] : (double)NAN;
}

static void write_csv(const struct report *r, struct strbuf *out)
{
    const struct show *s = &r->show;
    cells_text(out, "well");
    cells_text(out, show_title(s, "lift gas", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "oil", SHOW_LIQUID));
    cells_text(out, show_title(s, "water", SHOW_LIQUID));
    cells_text(out, show_title(s, "formation gas", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "bottom pressure", SHOW_PRESSURE));
    cells_text(out, show_title(s, "injection point pressure", SHOW_PRESSURE));
    cells_text(out, show_title(s, "casing pressure", SHOW_PRESSURE));
    cells_end(out);
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct curve *c = &r->curves[i];
        for (size_t k = 0; k < c->n; k++) {
            cells_text(out, r->field->well[i].name);
            cells_number(out, s, SHOW_WELL_GAS, c->gas_sm3s[k]);
            cells_number(out, s, SHOW_LIQUID, c->oil_sm3s[k]);
            cells_number(out, s, SHOW_LIQUID, c->water_sm3s[k]);
            cells_number(out, s, SHOW_WELL_GAS, c->formation_sm3s[k]);
            cells_number(out, s, SHOW_PRESSURE, pressure_at(c->p_bottom_pa, k));
            cells_number(out, s, SHOW_PRESSURE, pressure_at(c->p_inject_pa, k));
            cells_number(out, s, SHOW_PRESSURE, pressure_at(c->p_casing_pa, k));
            cells_end(out);
        }
    }
}

void curves_json_points(const struct report *r, const struct curve *c,
                        struct jnode node)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(node, "points");
    for (size_t k = 0; k < c->n; k++) {
        struct jnode point = jnode_object(list, NULL);
        jnode_quantity(point, s, "lift_gas", SHOW_WELL_GAS, c->gas_sm3s[k]);
        jnode_quantity(point, s, "oil", SHOW_LIQUID, c->oil_sm3s[k]);
        jnode_quantity(point, s, "water", SHOW_LIQUID, c->water_sm3s[k]);
        jnode_quantity(point, s, "formation_gas", SHOW_WELL_GAS,
                       c->formation_sm3s[k]);
        jnode_quantity(point, s, "bottom_pressure", SHOW_PRESSURE,
                       pressure_at(c->p_bottom_pa, k));
        jnode_quantity(point, s, "injection_point_pressure", SHOW_PRESSURE,
                       pressure_at(c->p_inject_pa, k));
        jnode_quantity(point, s, "casing_pressure", SHOW_PRESSURE,
                       pressure_at(c->p_casing_pa, k));
        jnode_number(point, "steady_above_1", pressure_at(c->steady, k));
    }
}

static void write_json(const struct report *r, struct strbuf *out)
{
    const struct show *s = &r->show;
    struct jnode root = page_json(r, "curves");
    struct jnode list = jnode_array(root, "wells");
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct curve *c = &r->curves[i];
        struct curve_point now = {.oil_sm3s = (double)NAN,
                                  .slope = (double)NAN};
        bool is_inside = present(r, i, &now);
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "well", r->field->well[i].name);
        jnode_text(node, "source",
                   c->source == CURVE_MODEL ? "model" : "table");
        jnode_flag(node, "dead_at_every_rate", c->n == 0);
        jnode_flag(node, "flows_without_gas", curve_flows_alone(c));
        jnode_quantity(node, s, "lift_gas_now", SHOW_WELL_GAS,
                       field_well_now_sm3s(&r->field->well[i]));
        jnode_flag(node, "now_is_inside", is_inside);
        jnode_quantity(node, s, "oil_now", SHOW_LIQUID, now.oil_sm3s);
        jnode_quantity(node, s, "slope_now", SHOW_OIL_PER_GAS, now.slope);
        jnode_quantity(node, s, "wellhead_pressure", SHOW_PRESSURE,
                       c->p_head_pa > 0 ? c->p_head_pa : (double)NAN);
        jnode_quantity(node, s, "tolerance", SHOW_LIQUID, c->tolerance_sm3s);
        curves_json_points(r, c, node);
    }
    page_json_warnings(r, root);
    jnode_write(root, out);
}

void report_curves(const struct report *r, enum report_format f,
                   struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(const struct report *,
                                                 struct strbuf *) = {
        [REPORT_TABLE] = write_table,
        [REPORT_CSV] = write_csv,
        [REPORT_JSON] = write_json,
    };
    WRITERS[f](r, out);
}
