#include "relax.h"

#include <math.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "morning.h"
#include "page.h"
#include "plan/relax.h"
#include "report/grid.h"

#define INDENT 2

static enum show_quantity quantity_of(const struct relaxed_limit *l)
{
    struct plan_limit limit = {.kind = l->kind};
    return morning_limit_quantity(&limit);
}

/* "would have to be 0.90 MMscf/d instead of 0.80". */
static const char *step_text(const struct report *r,
                             const struct relaxed_limit *l)
{
    const struct show *s = &r->show;
    if (!l->has_amount)
        return "would have to be given up";
    if (!isfinite(l->to))
        return "no amount of it was found to be enough";
    if (l->kind == PLAN_LIMIT_MOVES)
        return arena_printf(s->arena, "would have to be %.0f instead of %.0f",
                            l->to, l->from);
    enum show_quantity q = quantity_of(l);
    return arena_printf(s->arena, "would have to be %s instead of %s",
                        show_full(s, q, l->to), show_number(s, q, l->from));
}

static void list_limits(const struct report *r, const struct relaxed_limit *l,
                        size_t n, struct strbuf *out)
{
    for (size_t i = 0; i < n; i++)
        page_say(r, out, 2 * INDENT, "- %s: %s.", l[i].what,
                 step_text(r, &l[i]));
}

static void write_rates(const struct report *r, const struct plan *p,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"well"}, false},
        {{"from", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"to", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"oil", show_unit(s, SHOW_LIQUID)}, true},
    };
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < p->n_wells; i++) {
        if (!p->well[i].moved)
            continue;
        const char **cell = grid_row(&g);
        cell[0] = r->field->well[i].name;
        cell[1] = show_number(s, SHOW_WELL_GAS,
                              field_well_now_sm3s(&r->field->well[i]));
        cell[2] = show_number(s, SHOW_WELL_GAS, p->well[i].gas_sm3s);
        cell[3] = show_number(s, SHOW_LIQUID, p->well[i].oil_sm3s);
    }
    if (g.n_rows > 0)
        grid_write(&g, 0, r->width, out);
}

void relax_table(const struct report *r, const struct plan *p,
                 struct strbuf *out)
{
    const struct plan_relax *x = p->relax;
    const struct show *s = &r->show;
    if (x == NULL)
        return;
    page_head(r, out, "WHAT WOULD MAKE A PLAN POSSIBLE, each by itself");
    list_limits(r, x->alone, x->n_alone, out);
    page_head(r, out,
              "THE PLAN THAT VIOLATES LEAST: it breaks what was "
              "entered");
    page_say(r, out, INDENT,
             "Given up first to last: the dead band and moves, a target of "
             "oil, the sales minimum, the purchase maximum, the sales maximum, "
             "wells that must run, the flare. Never: lift gas, machines, "
             "power, limits of groups, liquids and gas handled, and what holds "
             "a single well.");
    if (!x->has_plan) {
        page_say(r, out, INDENT,
                 "Even without all of the former there is no plan.");
        return;
    }
    list_limits(r, x->moved, x->n_moved, out);
    page_say(r, out, INDENT, "It makes %s with %s of lift gas and %zu %s.",
             show_full(s, SHOW_LIQUID, x->plan.oil_sm3s),
             show_full(s, SHOW_FIELD_GAS, x->plan.balance.lift),
             x->plan.n_moves, x->plan.n_moves == 1 ? "move" : "moves");
    write_rates(r, &x->plan, out);
}

static void add_limits(const struct report *r, const char *key,
                       const struct relaxed_limit *l, size_t n,
                       struct jnode parent)
{
    struct jnode list = jnode_array(parent, key);
    for (size_t i = 0; i < n; i++) {
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "limit", l[i].what);
        if (!l[i].has_amount)
            continue;
        if (l[i].kind == PLAN_LIMIT_MOVES) {
            jnode_number(node, "from", l[i].from);
            jnode_number(node, "to", l[i].to);
        } else {
            jnode_quantity(node, &r->show, "from", quantity_of(&l[i]),
                           l[i].from);
            jnode_quantity(node, &r->show, "to", quantity_of(&l[i]), l[i].to);
        }
    }
}

void relax_json(const struct report *r, const struct plan *p, struct jnode root)
{
    const struct plan_relax *x = p->relax;
    const struct show *s = &r->show;
    if (x == NULL)
        return;
    add_limits(r, "possible_when", x->alone, x->n_alone, root);
    if (!x->has_plan)
        return;
    struct jnode node = jnode_object(root, "least_violating");
    add_limits(r, "moved", x->moved, x->n_moved, node);
    jnode_quantity(node, s, "oil", SHOW_LIQUID, x->plan.oil_sm3s);
    jnode_quantity(node, s, "lift", SHOW_FIELD_GAS, x->plan.balance.lift);
    struct jnode list = jnode_array(node, "wells");
    for (size_t i = 0; i < x->plan.n_wells; i++) {
        struct jnode well = jnode_object(list, NULL);
        jnode_text(well, "well", r->field->well[i].name);
        jnode_quantity(well, s, "lift_gas", SHOW_WELL_GAS,
                       x->plan.well[i].gas_sm3s);
        jnode_quantity(well, s, "oil", SHOW_LIQUID, x->plan.well[i].oil_sm3s);
    }
}
