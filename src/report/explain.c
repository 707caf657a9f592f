/* A well's bid in words and as a table. */
#include "report/explain.h"

#include <ctype.h>
#include <math.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "cells.h"
#include "jnode.h"
#include "morning.h"
#include "page.h"
#include "report/grid.h"

static const char *way_text(const struct report *r, const struct explain_way *w)
{
    const struct show *s = &r->show;
    switch (w->kind) {
    case WAY_OFF:
        return "without gas";
    case WAY_SHUT:
        return "shut in";
    case WAY_NOW:
        return "as this morning";
    case WAY_CURVE:
        break;
    }
    const char *from = show_number(s, SHOW_WELL_GAS, w->from_sm3s);
    if (!(w->to_sm3s > w->from_sm3s))
        return arena_printf(s->arena, "at %s", from);
    return arena_printf(s->arena, "on its curve, %s to %s", from,
                        show_number(s, SHOW_WELL_GAS, w->to_sm3s));
}

static const char *hold_text(enum explain_hold hold)
{
    static const char *const WORDS[] = {
#define WORD(name, words) words,
        EXPLAIN_HOLD_LIST(WORD)
#undef WORD
    };
    return WORDS[hold];
}

static enum show_quantity worth_quantity(const struct explanation *e)
{
    return e->objective == PLAN_MONEY ? SHOW_MONEY
           : e->objective == PLAN_GAS ? SHOW_WELL_GAS
                                      : SHOW_LIQUID;
}

static const struct explain_way *chosen(const struct explanation *e)
{
    return &e->way[e->chosen];
}

static void say_rate(const struct report *r, const struct explain_facts *x,
                     struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct explanation *e = x->explanation;
    const struct field_well *w = &r->field->well[e->well];
    const struct plan_well *p = &x->morning->plan.well[e->well];
    double now_sm3s = field_well_now_sm3s(w);
    strbuf_addf(out, "%s gets %s and makes %s", w->name,
                show_full(s, SHOW_WELL_GAS, p->gas_sm3s),
                show_full(s, SHOW_LIQUID, p->oil_sm3s));
    if (p->shut)
        strbuf_add(out, ": it is shut in");
    if (p->moved)
        strbuf_addf(out, "; this morning it has %s",
                    show_full(s, SHOW_WELL_GAS, now_sm3s));
    strbuf_add(out, ". ");
    if (e->hold != HOLD_NOTHING)
        strbuf_addf(out, "%c%s. ", toupper(hold_text(e->hold)[0]),
                    hold_text(e->hold) + 1);
}

static const char *slope_text(const struct report *r, double slope)
{
    return show_full(&r->show, SHOW_OIL_PER_GAS, slope);
}

/* The well is free to take another rate. */
static bool is_free(const struct explanation *e)
{
    return e->hold != HOLD_DOWN && e->hold != HOLD_LOCKED;
}

static void say_cost(const struct report *r, const struct explanation *e,
                     struct strbuf *out)
{
    if (!isfinite(e->slope_charged))
        strbuf_add(out, "At today's prices its oil is worth nothing: what it "
                        "brings with it costs more. ");
    else if (is_free(e))
        strbuf_addf(out, "Gas must return %s to be worth it here. ",
                    slope_text(r, e->slope_charged));
}

/* Both sides of the set point are one straight line. */
static bool is_inside(const struct explanation *e)
{
    return fabs(e->slope_above - e->slope_below) <= 1e-9 * fabs(e->slope_below);
}

/* Its last and its next gas, and what would have to change for another rate;
 * a well that stays as it is would have to be worth a move first. */
static void say_slopes(const struct report *r, const struct explanation *e,
                       struct strbuf *out)
{
    if (!(chosen(e)->gas_sm3s > 0) || !is_free(e))
        return;
    if (is_inside(e)) {
        strbuf_addf(out,
                    "It stands on a straight piece of its curve that "
                    "returns %s",
                    slope_text(r, e->slope_below));
        strbuf_add(out, chosen(e)->kind == WAY_CURVE
                            ? ", where it takes and gives as the field's gas "
                              "goes: it sets the price. "
                            : ". ");
        return;
    }
    if (isfinite(e->slope_below))
        strbuf_addf(out, "The last gas that it gets returns %s",
                    slope_text(r, e->slope_below));
    if (isfinite(e->slope_above))
        strbuf_addf(out, "%s next would return %s",
                    isfinite(e->slope_below) ? ", the" : "The",
                    slope_text(r, e->slope_above));
    strbuf_add(out, ". ");
    if (chosen(e)->kind != WAY_CURVE || !(e->slope_below > 0) ||
        !isfinite(e->slope_charged))
        return;
    if (e->slope_above > 0)
        strbuf_addf(out,
                    "It gets more once gas costs less than %s, and less "
                    "once it costs more than %s. ",
                    slope_text(r, e->slope_above),
                    slope_text(r, e->slope_below));
    else
        strbuf_addf(out, "It gets less once gas costs more than %s. ",
                    slope_text(r, e->slope_below));
}

static void say_next(const struct report *r, const struct explanation *e,
                     struct strbuf *out)
{
    const struct show *s = &r->show;
    if (e->next == e->n_ways) {
        strbuf_add(out, "There is no other way to run it today. ");
        return;
    }
    const struct explain_way *way = &e->way[e->next];
    double lead = chosen(e)->worth - way->worth;
    enum show_quantity q = worth_quantity(e);
    strbuf_addf(out,
                "The next best is %s, worth %s %s after what all it uses "
                "costs. ",
                way_text(r, way), show_full(s, q, fabs(lead)),
                lead >= 0 ? "less" : "more");
    if (lead < 0)
        strbuf_add(out, "It is not taken because moves, units and wells are "
                        "whole: the limits leave no room for it. ");
    if (isfinite(e->charge_to_switch))
        strbuf_addf(out, "The two are equal when gas costs %s",
                    slope_text(r, e->charge_to_switch));
    if (isfinite(e->charge_to_switch) && isfinite(e->oil_part_to_switch))
        strbuf_addf(out,
                    ", or when the well makes %s %% of its oil at every "
                    "rate",
                    show_number(s, SHOW_PERCENT, e->oil_part_to_switch));
    if (isfinite(e->charge_to_switch))
        strbuf_add(out, ". ");
    if (e->move_charge > 0)
        strbuf_addf(out, "A move costs %s. ", show_full(s, q, e->move_charge));
}

static const char *paragraph(const struct report *r,
                             const struct explain_facts *x)
{
    if (x->morning->plan.outcome == PLAN_IMPOSSIBLE)
        return "No plan meets every limit, so nothing has a price; liftsplit "
               "morning says which limits conflict.";
    struct strbuf out;
    strbuf_init(&out, r->show.arena);
    say_rate(r, x, &out);
    say_cost(r, x->explanation, &out);
    say_slopes(r, x->explanation, &out);
    say_next(r, x->explanation, &out);
    return out.text;
}

static void write_ways(const struct report *r, const struct explanation *e,
                       struct strbuf *out)
{
    const struct show *s = &r->show;
    enum show_quantity q = worth_quantity(e);
    const struct grid_column columns[] = {
        {{"way to run it"}, false},
        {{"best at", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"oil", show_unit(s, SHOW_LIQUID)}, true},
        {{"worth", show_unit(s, q)}, true},
        {{""}, false},
    };
    page_head(r, out,
              "ITS BIDS at today's prices, after what all it uses "
              "costs");
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < e->n_ways; i++) {
        const struct explain_way *w = &e->way[i];
        const char **cell = grid_row(&g);
        cell[0] = way_text(r, w);
        cell[1] = show_number(s, SHOW_WELL_GAS, w->gas_sm3s);
        cell[2] = show_number(s, SHOW_LIQUID, w->oil_sm3s);
        cell[3] = show_number(s, q, w->worth);
        cell[4] = i == e->chosen ? "the plan's" : NULL;
    }
    grid_write(&g, 0, r->width, out);
}

static void explain_table(const struct report *r, const struct explain_facts *x,
                          struct strbuf *out)
{
    const struct explanation *e = x->explanation;
    page_say(r, out, 2, "%s, %s, %s", r->field->well[e->well].name,
             r->field->name, show_day(&r->show, r->field->day));
    strbuf_add(out, "\n");
    page_say(r, out, 2, "%s", paragraph(r, x));
    if (e->n_ways > 0)
        write_ways(r, e, out);
    page_cautions(r, out);
    page_foot(r, out);
}

static void explain_csv(const struct report *r, const struct explain_facts *x,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct explanation *e = x->explanation;
    enum show_quantity q = worth_quantity(e);
    cells_text(out, "well");
    cells_text(out, "way");
    cells_text(out, show_title(s, "lift gas", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "oil", SHOW_LIQUID));
    cells_text(out, show_title(s, "worth", q));
    cells_text(out, "planned");
    cells_end(out);
    for (size_t i = 0; i < e->n_ways; i++) {
        cells_text(out, r->field->well[e->well].name);
        cells_text(out, way_text(r, &e->way[i]));
        cells_number(out, s, SHOW_WELL_GAS, e->way[i].gas_sm3s);
        cells_number(out, s, SHOW_LIQUID, e->way[i].oil_sm3s);
        cells_number(out, s, q, e->way[i].worth);
        cells_text(out, i == e->chosen ? "yes" : "no");
        cells_end(out);
    }
}

static void explain_json(const struct report *r, const struct explain_facts *x,
                         struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct explanation *e = x->explanation;
    enum show_quantity q = worth_quantity(e);
    struct jnode root = page_json(r, "explain");
    jnode_text(root, "well", r->field->well[e->well].name);
    jnode_text(root, "why", paragraph(r, x));
    jnode_text(root, "held_by", hold_text(e->hold));
    jnode_quantity(root, s, "gas_must_return", SHOW_OIL_PER_GAS,
                   e->slope_charged);
    jnode_quantity(root, s, "last_gas_returns", SHOW_OIL_PER_GAS,
                   e->slope_below);
    jnode_quantity(root, s, "next_gas_returns", SHOW_OIL_PER_GAS,
                   e->slope_above);
    jnode_quantity(root, s, "equal_to_next_best_at", SHOW_OIL_PER_GAS,
                   e->charge_to_switch);
    jnode_number(root, "equal_to_next_best_with_part_of_oil",
                 e->oil_part_to_switch);
    jnode_quantity(root, s, "move_costs", q, e->move_charge);
    struct jnode list = jnode_array(root, "ways");
    for (size_t i = 0; i < e->n_ways; i++) {
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "way", way_text(r, &e->way[i]));
        jnode_flag(node, "planned", i == e->chosen);
        jnode_quantity(node, s, "lift_gas", SHOW_WELL_GAS, e->way[i].gas_sm3s);
        jnode_quantity(node, s, "oil", SHOW_LIQUID, e->way[i].oil_sm3s);
        jnode_quantity(node, s, "worth", q, e->way[i].worth);
    }
    page_json_warnings(r, root);
    page_json_cautions(r, root);
    jnode_write(root, out);
}

void report_explain(const struct report *r, const struct explain_facts *x,
                    enum report_format f, struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(const struct report *,
                                                 const struct explain_facts *,
                                                 struct strbuf *) = {
        [REPORT_TABLE] = explain_table,
        [REPORT_CSV] = explain_csv,
        [REPORT_JSON] = explain_json,
    };
    WRITERS[f](r, x, out);
}
