#include "unload.h"

#include <math.h>

#include "base/arena.h"
#include "page.h"
#include "report/grid.h"

#define HOUR_S 3600.0
/* Gas through stations above that is worth a word, as a part of what the
 * operating one passes; no meter shows less. */
#define ABOVE_PART 0.01

/* A volume of gas or liquid: what a rate makes in a day. */
static const char *gas_text(const struct report *r, double gas_sm3)
{
    return show_number(&r->show, SHOW_WELL_GAS, gas_sm3 / UNIT_DAY_S);
}

static const char *liquid_text(const struct report *r, double liquid_m3)
{
    return show_number(&r->show, SHOW_LIQUID, liquid_m3 / UNIT_DAY_S);
}

static const char *hours(const struct report *r, double time_s)
{
    return arena_printf(r->show.arena, "%.1f", time_s / HOUR_S);
}

/* "Mscf" of "Mscf/d" */
static const char *volume_unit(const struct report *r, enum show_quantity q)
{
    const char *unit = show_unit(&r->show, q);
    int len = 0;

    while (unit[len] != '\0' && unit[len] != '/')
        len++;
    return arena_printf(r->show.arena, "%.*s", len, unit);
}

static void write_stages(const struct report *r, const struct well_facts *w,
                         struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *p = show_unit(s, SHOW_PRESSURE);
    const struct grid_column columns[] = {
        {{"gas enters", show_unit(s, SHOW_DEPTH)}, true},
        {{"after", "h"}, true},
        {{"casing", p}, true},
        {{"tubing", p}, true},
        {{"passes", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"gas in", volume_unit(r, SHOW_WELL_GAS)}, true},
        {{"out", volume_unit(r, SHOW_LIQUID)}, true},
        {{"inflow", volume_unit(r, SHOW_LIQUID)}, true},
    };
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < w->unload.n; i++) {
        const struct unload_stage *u = &w->unload.stage[i];
        const char **cell = grid_row(&g);

        cell[0] = show_number(s, SHOW_DEPTH, w->model.valve[u->valve].md_m);
        cell[1] = hours(r, u->time_s);
        cell[2] = show_number(s, SHOW_PRESSURE, u->p_casing_pa);
        cell[3] = show_number(s, SHOW_PRESSURE, u->p_tubing_pa);
        cell[4] = show_number(s, SHOW_WELL_GAS, u->rate_sm3s);
        cell[5] = gas_text(r, u->gas_sm3);
        cell[6] = liquid_text(r, u->liquid_out_m3);
        cell[7] = liquid_text(r, u->inflow_m3);
    }
    grid_write(&g, 0, r->width, out);
    page_say(r, out, 2,
             "Casing: at the head, held from then on. Tubing: at the valve. "
             "The valve above closes when the next takes over.");
}

static void say_end(const struct report *r, const struct unload *u,
                    struct strbuf *out)
{
    const struct show *s = &r->show;

    if (u->n == 0)
        page_say(r, out, 2,
                 "The first valve is NOT reached: it takes %s at the casing "
                 "head.",
                 show_full(s, SHOW_PRESSURE, u->p_first_pa));
    else if (!u->reaches)
        page_say(r, out, 2,
                 "It STOPS there: the next valve would take %s at the casing "
                 "head, with the ones above closed.",
                 show_full(s, SHOW_PRESSURE, u->p_next_pa));
    else if (!u->comes_back)
        page_say(r, out, 2,
                 "The operating valve passes gas, but the reservoir does not "
                 "push the kill liquid out.");
    else
        page_say(r, out, 2,
                 "At its rate after %s h: %s %s of gas let in (%s annulus, %s "
                 "tubing, %s produced), %s %s of liquid out (%s displaced, %s "
                 "inflow).",
                 hours(r, u->time_s), gas_text(r, u->gas_sm3),
                 volume_unit(r, SHOW_WELL_GAS), gas_text(r, u->annulus_sm3),
                 gas_text(r, u->tubing_sm3), gas_text(r, u->produced_sm3),
                 liquid_text(r, u->liquid_out_m3), volume_unit(r, SHOW_LIQUID),
                 liquid_text(r, u->displaced_m3), liquid_text(r, u->inflow_m3));
    if (u->comes_back &&
        u->above_sm3s > ABOVE_PART * u->stage[u->n - 1].rate_sm3s)
        page_say(
            r, out, 2,
            "Stations above do NOT close: they would pass %s, and the well "
            "cannot work as meant.",
            show_full(s, SHOW_WELL_GAS, u->above_sm3s));
}

void unload_table(const struct report *r, const struct well_facts *w,
                  struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct unload_spec *k = &w->string->kill;

    if (!w->shows_unload)
        return;
    page_head(r, out, "UNLOADING after a kill");
    page_say(r, out, 2,
             "Kill liquid of %.0f kg/m3 up to %s, at most %s through a valve; "
             "the first valve takes %s at the casing head.",
             k->rho_kgm3,
             k->level_m > 0 ? show_full(s, SHOW_DEPTH, k->level_m)
                            : "the surface",
             show_full(s, SHOW_LIQUID, k->liquid_m3s),
             show_full(s, SHOW_PRESSURE, w->unload.p_first_pa));
    if (w->unload.n > 0)
        write_stages(r, w, out);
    say_end(r, &w->unload, out);
    page_head(r, out, "RESTART, the annulus still full of gas");
    if (w->restart.comes_back)
        page_say(r, out, 2, "At its rate after %s h with %s %s of gas.",
                 hours(r, w->restart.time_s), gas_text(r, w->restart.gas_sm3),
                 volume_unit(r, SHOW_WELL_GAS));
    else
        say_end(r, &w->restart, out);
    page_say(r, out, 2,
             "A quasi-steady estimate: the site's unloading procedure and the "
             "valves' own limits decide.");
}

static void json_one(const struct report *r, const struct well_facts *w,
                     const struct unload *u, struct jnode node)
{
    const struct show *s = &r->show;

    jnode_flag(node, "reaches_operating_station", u->reaches);
    jnode_flag(node, "comes_back", u->comes_back);
    jnode_number(node, "time_s", u->time_s);
    jnode_number(node, "gas_sm3", u->gas_sm3);
    jnode_number(node, "liquid_out_m3", u->liquid_out_m3);
    jnode_number(node, "inflow_m3", u->inflow_m3);
    jnode_quantity(node, s, "stations_above_pass", SHOW_WELL_GAS,
                   u->above_sm3s);
    jnode_quantity(node, s, "first_valve_takes", SHOW_PRESSURE, u->p_first_pa);
    if (!u->reaches)
        jnode_quantity(node, s, "next_valve_takes", SHOW_PRESSURE,
                       u->p_next_pa);
    struct jnode list = jnode_array(node, "stages");
    for (size_t i = 0; i < u->n; i++) {
        const struct unload_stage *g = &u->stage[i];
        struct jnode stage = jnode_object(list, NULL);

        jnode_quantity(stage, s, "measured_depth", SHOW_DEPTH,
                       w->model.valve[g->valve].md_m);
        jnode_number(stage, "time_s", g->time_s);
        jnode_number(stage, "gas_sm3", g->gas_sm3);
        jnode_quantity(stage, s, "casing_pressure", SHOW_PRESSURE,
                       g->p_casing_pa);
        jnode_quantity(stage, s, "tubing_pressure", SHOW_PRESSURE,
                       g->p_tubing_pa);
    }
}

void unload_json(const struct report *r, const struct well_facts *w,
                 struct jnode root)
{
    if (!w->shows_unload)
        return;
    json_one(r, w, &w->unload, jnode_object(root, "unloading"));
    json_one(r, w, &w->restart, jnode_object(root, "restart"));
}
