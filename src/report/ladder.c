/* The cut list made beforehand. */
#include "report/outage.h"

#include <math.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "cells.h"
#include "page.h"
#include "report/grid.h"

/* --- the page ------------------------------------------------------------- */

/* "A-1 500 to 0 (-40); ..." */
static const char *changes_text(const struct report *r,
                                const struct ladder_step *step)
{
    const struct show *s = &r->show;
    struct strbuf b;
    strbuf_init(&b, s->arena);
    for (size_t i = 0; i < step->n_changes; i++) {
        const struct ladder_change *c = &step->change[i];
        strbuf_addf(&b, "%s%s %s to %s (%s)", i > 0 ? "; " : "",
                    r->field->well[c->well].name,
                    show_number(s, SHOW_WELL_GAS, c->from_sm3s),
                    c->to_sm3s > 0 ? show_number(s, SHOW_WELL_GAS, c->to_sm3s)
                                   : "off",
                    show_change(s, SHOW_LIQUID, -c->oil_lost_sm3s));
    }
    return b.text;
}

static const char *minutes_text(const struct report *r, double minutes)
{
    return isfinite(minutes)
               ? arena_printf(r->show.arena, "%.0f", floor(minutes))
               : "-";
}

/* What its wells are held by, and where the list ends. */
static void say_rules(const struct report *r, const struct ladder *l,
                      struct strbuf *out)
{
    if (l->is_short)
        page_say(r, out, 2,
                 "Wells that take longer to bring back than this are not "
                 "stopped.");
    if (l->n == 0)
        page_say(r, out, 2,
                 "There is no plan for today: see liftsplit morning.");
    else if (l->step[l->n - 1].gas_sm3s > 0)
        page_say(r, out, 2,
                 "With less gas than in the last line the wells that are not "
                 "to be stopped cannot all be kept going.");
}

static void write_one(const struct report *r, const struct ladder *l,
                      const char *kind, struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"line"}, false},
        {{"gas left", show_unit(s, SHOW_FIELD_GAS)}, true},
        {{"oil", show_unit(s, SHOW_LIQUID)}, true},
        {{"act in", "min"}, true},
        {{"cut"}, false},
    };
    struct grid g;
    page_head(r, out, "%s OUTAGE, of %.1f hours", kind, l->lasts_s / 3600);
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < l->n; i++) {
        const struct ladder_step *step = &l->step[i];
        const char **cell = grid_row(&g);
        cell[0] = arena_printf(s->arena, "%zu", i);
        cell[1] = show_number(s, SHOW_FIELD_GAS, step->gas_sm3s);
        cell[2] = show_number(s, SHOW_LIQUID, step->oil_sm3s);
        cell[3] = minutes_text(r, step->minutes);
        cell[4] = changes_text(r, step);
    }
    grid_write(&g, 0, r->width, out);
    say_rules(r, l, out);
}

static void ladder_table(const struct report *r, const struct ladder_facts *x,
                         struct strbuf *out)
{
    page_say(r, out, 2, "WHAT TO CUT WHEN GAS FAILS: %s, %s", r->field->name,
             show_day(&r->show, r->field->day));
    page_say(r, out, 2,
             "Find the gas that is left, and do every line down to it. Cut: "
             "well, from what to what in %s, and the oil that costs in %s. Act "
             "in: the minutes that the gas in the headers makes up for what is "
             "missing.",
             show_unit(&r->show, SHOW_WELL_GAS),
             show_unit(&r->show, SHOW_LIQUID));
    write_one(r, x->short_one, "SHORT", out);
    page_say(r, out, 2,
             "Where this list ends, go by the one for a long outage.");
    write_one(r, x->long_one, "LONG", out);
    page_warnings(r, out);
    page_cautions(r, out);
    page_foot(r, out);
}

/* --- for programs --------------------------------------------------------- */

static void csv_rows(const struct report *r, const struct ladder *l,
                     const char *kind, struct strbuf *out)
{
    const struct show *s = &r->show;
    for (size_t i = 0; i < l->n; i++)
        for (size_t k = 0; k < l->step[i].n_changes; k++) {
            const struct ladder_change *c = &l->step[i].change[k];
            cells_text(out, kind);
            cells_number(out, s, SHOW_FIELD_GAS, l->step[i].gas_sm3s);
            cells_number(out, s, SHOW_LIQUID, l->step[i].oil_sm3s);
            cells_text(out, minutes_text(r, l->step[i].minutes));
            cells_text(out, r->field->well[c->well].name);
            cells_number(out, s, SHOW_WELL_GAS, c->from_sm3s);
            cells_number(out, s, SHOW_WELL_GAS, c->to_sm3s);
            cells_number(out, s, SHOW_LIQUID, c->oil_lost_sm3s);
            cells_end(out);
        }
}

static void ladder_csv(const struct report *r, const struct ladder_facts *x,
                       struct strbuf *out)
{
    const struct show *s = &r->show;
    cells_text(out, "outage");
    cells_text(out, show_title(s, "gas left", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "field oil", SHOW_LIQUID));
    cells_text(out, "act in (min)");
    cells_text(out, "well");
    cells_text(out, show_title(s, "from", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "to", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "oil lost", SHOW_LIQUID));
    cells_end(out);
    csv_rows(r, x->short_one, "short", out);
    csv_rows(r, x->long_one, "long", out);
}

static void add_step(const struct report *r, const struct ladder_step *step,
                     struct jnode node)
{
    const struct show *s = &r->show;
    jnode_quantity(node, s, "gas_left", SHOW_FIELD_GAS, step->gas_sm3s);
    jnode_quantity(node, s, "oil", SHOW_LIQUID, step->oil_sm3s);
    jnode_number(node, "act_in_minutes", step->minutes);
    struct jnode list = jnode_array(node, "cut");
    for (size_t k = 0; k < step->n_changes; k++) {
        const struct ladder_change *c = &step->change[k];
        struct jnode cut = jnode_object(list, NULL);
        jnode_text(cut, "well", r->field->well[c->well].name);
        jnode_quantity(cut, s, "from", SHOW_WELL_GAS, c->from_sm3s);
        jnode_quantity(cut, s, "to", SHOW_WELL_GAS, c->to_sm3s);
        jnode_quantity(cut, s, "oil_lost", SHOW_LIQUID, c->oil_lost_sm3s);
    }
}

static void add_ladder(const struct report *r, const struct ladder *l,
                       const char *kind, struct jnode root)
{
    struct jnode node = jnode_object(root, kind);
    jnode_number(node, "lasts_hours", l->lasts_s / 3600);
    jnode_flag(node, "keeps_wells_slow_to_return", l->is_short);
    struct jnode list = jnode_array(node, "steps");
    for (size_t i = 0; i < l->n; i++)
        add_step(r, &l->step[i], jnode_object(list, NULL));
}

static void ladder_json(const struct report *r, const struct ladder_facts *x,
                        struct strbuf *out)
{
    struct jnode root = page_json(r, "ladder");
    add_ladder(r, x->short_one, "short", root);
    add_ladder(r, x->long_one, "long", root);
    page_json_warnings(r, root);
    page_json_cautions(r, root);
    jnode_write(root, out);
}

void report_ladder(const struct report *r, const struct ladder_facts *x,
                   enum report_format f, struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(
        const struct report *, const struct ladder_facts *, struct strbuf *) = {
        [REPORT_TABLE] = ladder_table,
        [REPORT_CSV] = ladder_csv,
        [REPORT_JSON] = ladder_json,
    };
    WRITERS[f](r, x, out);
}
