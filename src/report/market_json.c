/* Everything that the market knows, for programs. */
#include "market.h"

#include <math.h>

#include "base/strbuf.h"
#include "morning.h"
#include "page.h"

/* Money, or none without an oil price. */
static double money_of(const struct report *r, double money_s)
{
    return r->field->prices.given ? money_s : (double)NAN;
}

static void add_point(const struct report *r, const struct market_curve *c,
                      size_t i, struct jnode list)
{
    const struct show *s = &r->show;
    const struct market_point *p = &c->point[i];
    struct jnode node = jnode_object(list, NULL);
    jnode_quantity(node, s, "gas_change", SHOW_FIELD_GAS, p->gas_sm3s);
    jnode_flag(node, "today", i == c->today);
    jnode_flag(node, "impossible", p->is_impossible);
    if (p->is_impossible)
        return;
    enum show_quantity goal =
        c->objective == PLAN_MONEY ? SHOW_MONEY : SHOW_LIQUID;
    jnode_quantity(node, s, "lift", SHOW_FIELD_GAS, p->lift_sm3s);
    jnode_quantity(node, s, "oil", SHOW_LIQUID, p->oil_sm3s);
    jnode_quantity(node, s, "money", SHOW_MONEY, money_of(r, p->money_s));
    jnode_quantity(node, s, "sales", SHOW_FIELD_GAS, p->sales_sm3s);
    jnode_quantity(node, s, "bought", SHOW_FIELD_GAS, p->bought_sm3s);
    jnode_quantity(node, s, "fuel", SHOW_FIELD_GAS, p->fuel_sm3s);
    jnode_quantity(node, s, "bound", goal, p->bound);
    jnode_count(node, "wells_flowing", (long long)p->n_flowing);
    jnode_count(node, "moves", (long long)p->n_moves);
    jnode_flag(node, "other_wells_run", p->is_jump);
    jnode_quantity(node, s, "next_oil_per_gas", SHOW_OIL_PER_GAS,
                   market_oil_slope(c, i));
    jnode_quantity(node, s, "next_money_per_gas", SHOW_GAS_PRICE,
                   money_of(r, market_money_slope(c, i)));
}

static void add_curve(const struct report *r, const struct market_curve *c,
                      struct jnode root)
{
    jnode_number(root, "widest_gap", c->widest_gap);
    jnode_flag(root, "thinned", c->is_thinned);
    struct jnode list = jnode_array(root, "points");
    for (size_t i = 0; i < c->n; i++)
        add_point(r, c, i, list);
}

static void add_costs(const struct report *r, const struct market *m,
                      struct jnode root)
{
    struct jnode list = jnode_array(root, "cost_of_lift_gas");
#define COST(name, words)                                      \
    {                                                          \
        struct jnode node = jnode_object(list, NULL);          \
        jnode_text(node, "from", words);                       \
        jnode_quantity(node, &r->show, "cost", SHOW_GAS_PRICE, \
                       m->cost_##name);                        \
    }
    MARKET_COST_LIST(COST)
#undef COST
}

static void add_quantities(const struct report *r, const char *key,
                           const char *cost, size_t n,
                           const struct market_quantity *q, struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, key);
    for (size_t i = 0; i < n; i++) {
        struct jnode node = jnode_object(list, NULL);
        jnode_quantity(node, s, "price", SHOW_GAS_PRICE, q[i].price_sm3);
        jnode_text(node, "cost_meant", cost);
        jnode_quantity(node, s, "bought", SHOW_FIELD_GAS, q[i].bought_sm3s);
        jnode_quantity(node, s, "sales", SHOW_FIELD_GAS, q[i].sales_sm3s);
        jnode_quantity(node, s, "oil", SHOW_LIQUID, q[i].oil_sm3s);
        jnode_quantity(node, s, "money", SHOW_MONEY, q[i].money_s);
    }
}

static void add_worths(const struct report *r, const struct market *m,
                       struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, "worth_today");
    for (size_t i = 0; i < m->n_worths; i++) {
        const struct market_worth *w = &m->worth[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "what", w->what);
        jnode_flag(node, "impossible", isnan(w->oil_sm3s));
        jnode_quantity(node, s, "oil_change", SHOW_LIQUID, w->oil_sm3s);
        jnode_quantity(node, s, "money_change", SHOW_MONEY,
                       money_of(r, w->money_s));
        jnode_quantity(node, s, "lift_change", SHOW_FIELD_GAS, w->lift_sm3s);
    }
}

static void add_wells(const struct report *r, const struct market *m,
                      struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, "wells");
    for (size_t i = 0; i < m->n_wells; i++) {
        const struct market_well *w = &m->well[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "well", r->field->well[w->well].name);
        jnode_quantity(node, s, "lift_gas", SHOW_WELL_GAS, w->gas_sm3s);
        jnode_quantity(node, s, "oil_per_gas", SHOW_OIL_PER_GAS,
                       w->oil_per_gas);
        jnode_quantity(node, s, "gives_a_part_at", SHOW_GAS_PRICE,
                       money_of(r, w->price_to_give));
        jnode_quantity(node, s, "gives_all_at", SHOW_GAS_PRICE,
                       money_of(r, w->price_to_stop));
    }
}

static void add_objectives(const struct report *r, const struct market *m,
                           struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode all = jnode_object(root, "by_objective");
    for (int k = PLAN_OIL; k <= PLAN_GAS; k++) {
        const struct plan *p = &m->by_objective[k];
        if (!m->has_objective[k])
            continue;
        struct jnode node =
            jnode_object(all, market_objective_key((enum plan_objective)k));
        jnode_text(node, "outcome", morning_outcome_key(p->outcome));
        jnode_text(node, "conflict", p->conflict);
        if (p->oil_target_sm3s > 0)
            jnode_quantity(node, s, "oil_target", SHOW_LIQUID,
                           p->oil_target_sm3s);
        if (p->outcome == PLAN_IMPOSSIBLE)
            continue;
        jnode_number(node, "gap", p->gap);
        jnode_quantity(node, s, "oil", SHOW_LIQUID, p->oil_sm3s);
        jnode_quantity(node, s, "money", SHOW_MONEY, money_of(r, p->money_s));
        jnode_quantity(node, s, "lift", SHOW_FIELD_GAS, p->balance.lift);
        jnode_quantity(node, s, "sales", SHOW_FIELD_GAS, p->balance.sales);
        jnode_quantity(node, s, "bought", SHOW_FIELD_GAS, p->balance.bought);
        jnode_quantity(node, s, "fuel", SHOW_FIELD_GAS, p->balance.fuel);
        jnode_count(node, "moves", (long long)p->n_moves);
    }
}

void market_json(const struct report *r, const struct market *m,
                 struct strbuf *out)
{
    struct jnode root = page_json(r, "market");
    jnode_text(root, "objective", market_objective_key(m->curve.objective));
    jnode_text(root, "outcome", morning_outcome_key(market_today(m)->outcome));
    add_objectives(r, m, root);
    if (market_today(m)->outcome != PLAN_IMPOSSIBLE) {
        add_curve(r, &m->curve, root);
        add_costs(r, m, root);
        add_quantities(r, "buying", "bought", m->n_buys, m->buy, root);
        add_quantities(r, "selling", "displacing sales", m->n_sells, m->sell,
                       root);
        add_worths(r, m, root);
        add_wells(r, m, root);
    }
    page_json_warnings(r, root);
    page_json_cautions(r, root);
    jnode_write(root, out);
}
