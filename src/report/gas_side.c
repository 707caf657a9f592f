#include "gas_side.h"

#include <math.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "page.h"
#include "report/grid.h"
#include "well/choke.h"
#include "well/gas_path.h"

/* --- words ---------------------------------------------------------------- */

static const char *kind_text(enum valve_kind kind)
{
    static const char *const KINDS[] = {
#define KIND(name, key, text) text,
        VALVE_LIST(KIND)
#undef KIND
    };
    return KINDS[kind];
}

static const char *number(const struct report *r, double value)
{
    if (!isfinite(value))
        return "-";
    return arena_printf(r->show.arena, value < 10 ? "%.2f" : "%.0f", value);
}

static const char *port_text(const struct report *r, const struct valve *v)
{
    double d_m = sqrt(4 * v->port.area_m2 / M_PI);

    return v->kind == VALVE_DUMMY
               ? "-"
               : arena_printf(r->show.arena, "%.0f", d_m / UNIT_INCH_M * 64);
}

static const char *steady_text(const struct report *r,
                               const struct steadiness *s)
{
    if (s->critical)
        return "steady: the port's flow is critical";
    return arena_printf(r->show.arena, "%s by Asheim 1988: F1 %s, F2 %s",
                        is_steady(s) ? "steady" : "NOT steady",
                        number(r, s->f1), number(r, s->f2));
}

/* --- stations ------------------------------------------------------------- */

static void add_station(const struct report *r, const struct well_facts *w,
                        size_t i, struct grid *g)
{
    const struct show *s = &r->show;
    const struct valve *v = &w->model.valve[i];
    const struct station_state *at = &w->plan.gas.station[i];
    const char **cell = grid_row(g);
    bool is_open = at->gas_sm3s > 0;

    cell[0] = show_number(s, SHOW_DEPTH, v->md_m);
    cell[1] = kind_text(v->kind);
    cell[2] = port_text(r, v);
    cell[3] = show_number(s, SHOW_PRESSURE, at->p_casing_pa);
    cell[4] = show_number(s, SHOW_PRESSURE, at->p_tubing_pa);
    if (v->kind == VALVE_INJECTION || v->kind == VALVE_PRODUCTION) {
        cell[5] = show_number(s, SHOW_PRESSURE, at->opens_pa);
        cell[6] = show_number(s, SHOW_PRESSURE, at->closes_pa);
    }
    cell[7] = show_number(s, SHOW_WELL_GAS, at->gas_sm3s);
    cell[8] = is_open ? "open" : "closed";
}

static void write_stations(const struct report *r, const struct well_facts *w,
                           struct strbuf *out)
{
    const char *p = show_unit(&r->show, SHOW_PRESSURE);
    const struct grid_column columns[] = {
        {{"depth", show_unit(&r->show, SHOW_DEPTH)}, true},
        {{"station"}, false},
        {{"port", "64ths"}, true},
        {{"casing", p}, true},
        {{"tubing", p}, true},
        {{"opens", p}, true},
        {{"closes", p}, true},
        {{"gas", show_unit(&r->show, SHOW_WELL_GAS)}, true},
        {{""}, false},
    };
    struct grid g;
    grid_init(&g, r->show.arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < w->plan.gas.n; i++)
        add_station(r, w, i, &g);
    grid_write(&g, 0, r->width, out);
    page_say(r, out, 2,
             "Pressures at depth, as planned; opens and closes: casing "
             "pressure at this tubing pressure.");
}

static const char *stations_text(const struct string_state *gas)
{
    if (gas->n_passing > 1)
        return ", through several stations";
    return gas->to_open_pa < 0 ? "; that would open a station above, and no "
                                 "steady share was found"
                               : "";
}

static void say_casing(const struct report *r, const struct well_facts *w,
                       struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct gas_path *g = &w->model.gas_path;
    const struct string_state *gas = &w->plan.gas;
    double brings = gas_path_available_pa(
        &(struct gas_path){.p_header_pa = g->p_header_pa,
                           .line_pa2_sm3s2 = g->line_pa2_sm3s2,
                           .p_casing_max_pa = (double)INFINITY},
        w->plan.string_sm3s);

    if (w->now.gas.n > 0 && w->now.string_sm3s > 0)
        page_say(r, out, 2,
                 "The present rate needs %s at the casing head by the model%s.",
                 show_full(s, SHOW_PRESSURE, w->now.gas.p_head_pa),
                 stations_text(&w->now.gas));
    if (w->plan.string_sm3s > 0)
        page_say(r, out, 2, "The planned rate needs %s at the casing head%s.",
                 show_full(s, SHOW_PRESSURE, gas->p_head_pa),
                 stations_text(gas));
    if (isfinite(brings))
        page_say(r, out, 2, "Header and line bring %s at that rate.",
                 show_full(s, SHOW_PRESSURE, brings));
    if (isfinite(g->p_casing_max_pa))
        page_say(r, out, 2, "The annulus limit is %s; margin %s.",
                 show_full(s, SHOW_PRESSURE, g->p_casing_max_pa),
                 show_full(s, SHOW_PRESSURE_STEP,
                           g->p_casing_max_pa - gas->p_head_pa));
}

static void say_station(const struct report *r, const struct well_facts *w,
                        struct strbuf *out)
{
    const struct well *own = w->string->model;

    if (own->n_valves == 0 || w->model.operating == own->operating)
        return;
    page_say(r, out, 2,
             "The casing pressure does not reach the station at %s, which is "
             "meant to pass the gas: the curve is that of the one at %s.",
             show_full(&r->show, SHOW_DEPTH, own->md_inject_m),
             show_full(&r->show, SHOW_DEPTH, w->model.md_inject_m));
}

/* --- cures ---------------------------------------------------------------- */

static void write_cures(const struct report *r, const struct well_facts *w,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct cures *c = &w->cures;

    page_head(r, out, "STEADYING IT");
    if (isfinite(c->gas_sm3s))
        page_say(r, out, 2,
                 "More gas: steady from %s on, where it makes %s of oil.",
                 show_full(s, SHOW_WELL_GAS, c->gas_sm3s),
                 show_full(s, SHOW_LIQUID, c->gas_oil_sm3s));
    else
        page_say(r, out, 2, "More gas: no rate of its curve is steady.");
    if (c->port_64ths > 0)
        page_say(r, out, 2,
                 "A smaller port: %d/64 in is steady at the planned rate, with "
                 "the same oil; it needs %s at the casing head, which the "
                 "header %s.",
                 c->port_64ths,
                 show_full(s, SHOW_PRESSURE, c->port_p_casing_pa),
                 c->port_is_fed ? "brings" : "does NOT bring");
    else
        page_say(r, out, 2, "A smaller port: none down to %d/64 in does.",
                 CURES_PORT_LEAST);
    if (!isfinite(c->p_head_pa)) {
        page_say(r, out, 2,
                 "More wellhead choke: not within %s more at the wellhead.",
                 show_full(s, SHOW_PRESSURE_STEP, CURES_HEAD_MOST_PA));
        return;
    }
    double gor = w->model.gor_sm3sm3 * (1 - w->model.water_cut);
    struct choke_stream stream = {
        c->head_liquid_sm3s, gor + w->plan.string_sm3s / c->head_liquid_sm3s};
    double bean_m =
        choke_bean_m(CHOKE_GILBERT, &stream, c->p_head_pa, s->frame.p_atm_pa);
    page_say(r, out, 2,
             "More wellhead choke: steady at %s at the wellhead (a bean of "
             "some %.0f/64 in by Gilbert 1954), where it makes %s of oil.",
             show_full(s, SHOW_PRESSURE, c->p_head_pa),
             bean_m / UNIT_INCH_M * 64,
             show_full(s, SHOW_LIQUID, c->head_oil_sm3s));
}

/* --- header --------------------------------------------------------------- */

static void add_header(const struct report *r, const struct well_facts *w,
                       const struct well_header *h, struct grid *g)
{
    const struct show *s = &r->show;
    const struct well *model = &w->model;
    const char **cell = grid_row(g);
    double sum = 0;
    size_t n_open = 0;
    bool is_lost = !(h->rate_sm3s[model->operating] > 0);

    for (size_t i = 0; i < w->plan.gas.n; i++) {
        sum += h->rate_sm3s[i];
        n_open += h->rate_sm3s[i] > 0;
        if (h->rate_sm3s[i] > 0)
            cell[3] = show_number(s, SHOW_DEPTH, model->valve[i].md_m);
    }
    cell[0] = show_number(s, SHOW_PRESSURE, h->p_header_pa);
    cell[1] = show_number(s, SHOW_WELL_GAS, sum);
    cell[2] = arena_printf(s->arena, "%zu of %zu", n_open, w->plan.gas.n);
    cell[4] = n_open == 0  ? "no gas gets in"
              : is_lost    ? "operating station lost"
              : n_open > 1 ? "opens above"
                           : "as meant";
}

static void write_headers(const struct report *r, const struct well_facts *w,
                          struct strbuf *out)
{
    const struct grid_column columns[] = {
        {{"at the casing", "head", show_unit(&r->show, SHOW_PRESSURE)}, true},
        {{"could", "pass", show_unit(&r->show, SHOW_WELL_GAS)}, true},
        {{"stations", "open"}, true},
        {{"deepest", "", show_unit(&r->show, SHOW_DEPTH)}, true},
        {{""}, false},
    };
    page_head(r, out, "IF THE HEADER PRESSURE CHANGES");
    struct grid g;
    grid_init(&g, r->show.arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < w->n_headers; i++)
        add_header(r, w, &w->header[i], &g);
    grid_write(&g, 0, r->width, out);
    page_say(r, out, 2,
             "With the tubing as planned and no choke at the surface; a "
             "station above the operating one opens from closed.");
}

/* --- the part ------------------------------------------------------------- */

static void write_cycle(const struct report *r, const struct well_facts *w,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct intermittent_cycle *c = &w->cycle;

    page_head(r, out, "THE CYCLE, AS PLANNED");
    if (!(w->plan.string_sm3s > 0) || c->outcome != INTERMITTENT_LIFTS) {
        page_say(r, out, 2, "No slug is lifted at the planned rate.");
        return;
    }
    page_say(r, out, 2,
             "%.1f cycles a day: the intermitter opens for %.1f min every "
             "%.0f min and draws %s from the header while open.",
             UNIT_DAY_S / c->period_s, c->open_s / 60, c->period_s / 60,
             show_full(s, SHOW_WELL_GAS, c->draw_sm3s));
    page_say(r, out, 2,
             "A slug of %s stands on the valve when it opens; %.0f %% of it "
             "falls back.",
             show_full(s, SHOW_DEPTH, c->slug_m),
             100 * (1 - c->produced_sm3 / c->slug_sm3));
}

void gas_side_table(const struct report *r, const struct well_facts *w,
                    struct strbuf *out)
{
    if (r->field->well[w->well].kind == KIND_INTERMITTENT) {
        write_cycle(r, w, out);
        return;
    }
    if (w->plan.gas.n == 0)
        return;
    page_head(r, out, "HOW THE GAS GETS IN");
    say_station(r, w, out);
    say_casing(r, w, out);
    if (w->model.n_valves > 0 && w->plan.string_sm3s > 0)
        page_say(r, out, 2, "The injection is %s.",
                 steady_text(r, &w->plan.gas.steady));
    if (w->model.n_valves > 0) {
        strbuf_add(out, "\n");
        write_stations(r, w, out);
    }
    if (w->heads && r->field->well[w->well].kind != KIND_DUAL)
        write_cures(r, w, out);
    if (w->n_headers > 0)
        write_headers(r, w, out);
}

/* --- JSON ----------------------------------------------------------------- */

static void json_stations(const struct report *r, const struct well_facts *w,
                          struct jnode node)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(node, "stations");

    for (size_t i = 0; i < w->plan.gas.n && w->model.n_valves > 0; i++) {
        const struct station_state *at = &w->plan.gas.station[i];
        struct jnode station = jnode_object(list, NULL);
        jnode_quantity(station, s, "measured_depth", SHOW_DEPTH,
                       w->model.valve[i].md_m);
        jnode_text(station, "type", kind_text(w->model.valve[i].kind));
        jnode_quantity(station, s, "casing_pressure", SHOW_PRESSURE,
                       at->p_casing_pa);
        jnode_quantity(station, s, "tubing_pressure", SHOW_PRESSURE,
                       at->p_tubing_pa);
        jnode_quantity(station, s, "opens_at", SHOW_PRESSURE, at->opens_pa);
        jnode_quantity(station, s, "closes_at", SHOW_PRESSURE, at->closes_pa);
        jnode_quantity(station, s, "gas", SHOW_WELL_GAS, at->gas_sm3s);
    }
}

static void json_cycle(const struct report *r, const struct well_facts *w,
                       struct jnode root)
{
    const struct intermittent_cycle *c = &w->cycle;
    struct jnode node = jnode_object(root, "cycle");

    jnode_flag(node, "lifts", c->outcome == INTERMITTENT_LIFTS);
    jnode_number(node, "period_s", c->period_s);
    jnode_number(node, "open_s", c->open_s);
    jnode_quantity(node, &r->show, "draw_while_open", SHOW_WELL_GAS,
                   c->draw_sm3s);
    jnode_quantity(node, &r->show, "slug", SHOW_DEPTH, c->slug_m);
}

void gas_side_json(const struct report *r, const struct well_facts *w,
                   struct jnode root)
{
    const struct show *s = &r->show;
    const struct string_state *gas = &w->plan.gas;

    if (r->field->well[w->well].kind == KIND_INTERMITTENT) {
        json_cycle(r, w, root);
        return;
    }
    if (gas->n == 0)
        return;
    struct jnode node = jnode_object(root, "gas_side");
    jnode_quantity(node, s, "casing_pressure_now", SHOW_PRESSURE,
                   w->now.gas.p_head_pa);
    jnode_quantity(node, s, "casing_pressure_planned", SHOW_PRESSURE,
                   gas->p_head_pa);
    jnode_quantity(node, s, "casing_pressure_maximum", SHOW_PRESSURE,
                   w->model.gas_path.p_casing_max_pa);
    jnode_count(node, "stations_passing", (long long)gas->n_passing);
    jnode_flag(node, "intended_station_reached",
               w->model.operating == w->string->model->operating);
    jnode_flag(node, "steady", is_steady(&gas->steady));
    jnode_flag(node, "critical_port", gas->steady.critical);
    jnode_number(node, "asheim_f1", gas->steady.f1);
    jnode_number(node, "asheim_f2", gas->steady.f2);
    json_stations(r, w, node);
}
