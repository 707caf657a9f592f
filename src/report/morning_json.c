/* Everything that the plan knows, for programs. */
#include "morning.h"

#include <math.h>

#include "casing.h"
#include "base/strbuf.h"
#include "page.h"
#include "relax.h"
#include "station.h"

static void add_objective(const struct report *r, const struct plan *p,
                          struct jnode root)
{
    static const char *const KEYS[] = {
        [PLAN_OIL] = "oil",
        [PLAN_MONEY] = "money",
        [PLAN_GAS] = "gas",
    };
    static const char *const PROOFS[] = {
        [PROOF_NONE] = "none",
        [PROOF_PRICES] = "prices",
        [PROOF_TREE] = "tree",
        [PROOF_FLAT] = "whole",
    };
    enum show_quantity q = morning_goal_quantity(p);
    double sign = p->objective == PLAN_GAS ? -1 : 1;
    jnode_text(root, "objective", KEYS[p->objective]);
    if (p->oil_target_sm3s > 0)
        jnode_quantity(root, &r->show, "oil_target", SHOW_LIQUID,
                       p->oil_target_sm3s);
    jnode_text(root, "outcome", morning_outcome_key(p->outcome));
    jnode_text(root, "outcome_words", morning_outcome_text(r, p));
    jnode_text(root, "conflict", p->conflict);
    jnode_quantity(root, &r->show, "value", q, sign * p->value);
    jnode_quantity(root, &r->show, "bound", q, sign * p->bound);
    jnode_text(root, "proof", PROOFS[p->proof]);
    jnode_number(root, "gap", p->gap);
    jnode_count(root, "search_nodes", p->nodes);
    jnode_count(root, "search_iterations", p->iterations);
}

static void add_balance(const struct report *r, struct jnode parent,
                        const struct gas_balance *b)
{
    const struct show *s = &r->show;
    struct jnode node = jnode_object(parent, "gas_balance");
    jnode_quantity(node, s, "formation", SHOW_FIELD_GAS, b->formation);
    jnode_quantity(node, s, "lift", SHOW_FIELD_GAS, b->lift);
    jnode_quantity(node, s, "bought", SHOW_FIELD_GAS, b->bought);
    jnode_quantity(node, s, "sales", SHOW_FIELD_GAS, b->sales);
    jnode_quantity(node, s, "fuel", SHOW_FIELD_GAS, b->fuel);
    jnode_quantity(node, s, "flare", SHOW_FIELD_GAS, b->flare);
    jnode_quantity(node, s, "shrinkage", SHOW_FIELD_GAS, b->shrinkage);
    jnode_quantity(node, s, "compressed", SHOW_FIELD_GAS, b->compressed);
    jnode_quantity(node, s, "closing_error", SHOW_FIELD_GAS, b->error);
}

static void add_totals(const struct report *r, struct jnode root,
                       const char *key, const struct plan *p)
{
    const struct show *s = &r->show;
    struct jnode node = jnode_object(root, key);
    jnode_quantity(node, s, "oil", SHOW_LIQUID, p->oil_sm3s);
    jnode_quantity(node, s, "water", SHOW_LIQUID, p->water_sm3s);
    jnode_quantity(node, s, "money", SHOW_MONEY,
                   r->field->prices.given ? p->money_s : (double)NAN);
    add_balance(r, node, &p->balance);
}

static void add_step(const struct report *r, struct jnode root, const char *key,
                     double oil_sm3s, double money_s)
{
    struct jnode node = jnode_object(root, key);
    jnode_quantity(node, &r->show, "oil_change", SHOW_LIQUID, oil_sm3s);
    jnode_quantity(node, &r->show, "money_change", SHOW_MONEY,
                   r->field->prices.given ? money_s : (double)NAN);
}

static void add_moves(const struct report *r, const struct morning *m,
                      struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, "moves");
    for (size_t i = 0; i < m->n_moves; i++) {
        const struct move *move = &m->move[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "well", r->field->well[move->well].name);
        jnode_text(node, "do", morning_move_text(move->kind));
        jnode_quantity(node, s, "from", SHOW_WELL_GAS, move->from_sm3s);
        jnode_quantity(node, s, "to", SHOW_WELL_GAS, move->to_sm3s);
        jnode_quantity(node, s, "oil_change", SHOW_LIQUID,
                       move->oil_change_sm3s);
        jnode_quantity(node, s, "oil_per_gas", SHOW_OIL_PER_GAS,
                       move->oil_per_gas);
        jnode_text(node, "reason", move->reason);
    }
}

static void add_check(const struct report *r, const struct verify *v, size_t i,
                      struct jnode node)
{
    if (v->well == NULL || !v->well[i].checked)
        return;
    jnode_quantity(node, &r->show, "oil_by_model", SHOW_LIQUID,
                   v->well[i].delivered_oil_sm3s);
    jnode_quantity(node, &r->show, "casing_pressure_by_model", SHOW_PRESSURE,
                   v->well[i].p_casing_pa);
}

static void add_wells(const struct report *r, const struct morning *m,
                      struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, "wells");
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct field_well *w = &r->field->well[i];
        const struct plan_well *to = morning_planned(m, i);
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "well", w->name);
        jnode_text(node, "manifold", field_manifold(r->field, w)->name);
        jnode_text(node, "status", page_status_key(w->reading.status));
        jnode_quantity(node, s, "lift_gas_now", SHOW_WELL_GAS,
                       field_well_now_sm3s(w));
        jnode_quantity(node, s, "oil_now", SHOW_LIQUID,
                       m->now.well[i].oil_sm3s);
        jnode_quantity(node, s, "lift_gas", SHOW_WELL_GAS, to->gas_sm3s);
        jnode_quantity(node, s, "oil", SHOW_LIQUID, to->oil_sm3s);
        jnode_quantity(node, s, "water", SHOW_LIQUID, to->water_sm3s);
        jnode_quantity(node, s, "formation_gas", SHOW_WELL_GAS,
                       to->formation_sm3s);
        jnode_text(node, "left_alone", morning_kept_reason(m, i));
        if (m->plan.outcome != PLAN_IMPOSSIBLE && r->curves[i].steady != NULL)
            jnode_flag(node, "steady_as_planned",
                       !casing_heads(r, &m->plan, i));
        add_check(r, &m->verify, i, node);
    }
}

static void add_limit(const struct report *r, const struct plan *p,
                      const struct plan_limit *l, struct jnode list)
{
    const struct show *s = &r->show;
    struct jnode node = jnode_object(list, NULL);
    jnode_text(node, "limit", morning_limit_text(r, l));
    jnode_flag(node, "binding", l->binding);
    enum show_quantity goal = morning_goal_quantity(p);
    if (l->kind == PLAN_LIMIT_MOVES) {
        jnode_number(node, "used", l->used);
        jnode_number(node, "bound", l->bound);
        jnode_quantity(node, s, "worth_of_one", goal, l->price);
        return;
    }
    enum show_quantity q = morning_limit_quantity(l);
    bool is_gas = q == SHOW_FIELD_GAS;
    jnode_quantity(node, s, "used", q, l->used);
    jnode_quantity(node, s, "bound", q, l->bound);
    if (l->binding) {
        jnode_quantity(node, s, "worth_holds_from", q, l->price_from);
        jnode_quantity(node, s, "worth_holds_to", q, l->price_to);
        struct jnode set_by = jnode_array(node, "worth_set_by");
        for (size_t i = 0; i < l->n_setters; i++)
            jnode_text(set_by, NULL, r->field->well[l->setter[i]].name);
    }
    if (goal == SHOW_FIELD_GAS || q == SHOW_POWER) {
        jnode_text(node, "worth_of_one", morning_worth_text(r, p, l));
        return;
    }
    enum show_quantity price =
        goal == SHOW_MONEY ? (is_gas ? SHOW_GAS_PRICE : SHOW_LIQUID_PRICE)
                           : (is_gas ? SHOW_OIL_PER_GAS : SHOW_OIL_PER_LIQUID);
    jnode_quantity(node, s, "worth_of_one", price, l->price);
}

static void add_limits(const struct report *r, const struct plan *p,
                       struct jnode root)
{
    struct jnode list = jnode_array(root, "limits");
    for (size_t i = 0; i < p->n_limits; i++)
        add_limit(r, p, &p->limit[i], list);
}

static void add_verify(const struct report *r, const struct verify *v,
                       struct jnode root)
{
    struct jnode node = jnode_object(root, "check");
    jnode_flag(node, "sound", v->n_faults == 0);
    jnode_quantity(node, &r->show, "oil_promised", SHOW_LIQUID,
                   v->promised_oil_sm3s);
    jnode_quantity(node, &r->show, "oil_by_models", SHOW_LIQUID,
                   v->delivered_oil_sm3s);
    struct jnode list = jnode_array(node, "faults");
    for (size_t i = 0; i < v->n_faults; i++)
        jnode_text(list, NULL, v->fault[i].what);
}

void morning_json(const struct report *r, const struct morning *m,
                  struct strbuf *out)
{
    struct jnode root = page_json(r, "morning");
    bool has_plan = m->plan.outcome != PLAN_IMPOSSIBLE;
    add_objective(r, &m->plan, root);
    add_totals(r, root, "now", &m->now);
    if (has_plan) {
        add_totals(r, root, "plan", &m->plan);
        add_step(r, root, "one_mmscf_d_more", m->more_oil_sm3s,
                 m->more_money_s);
        add_step(r, root, "one_mmscf_d_less", m->less_oil_sm3s,
                 m->less_money_s);
        jnode_quantity(root, &r->show, "gas_worth", SHOW_OIL_PER_GAS,
                       m->plan.gas_price_oil);
        add_verify(r, &m->verify, root);
    }
    relax_json(r, &m->plan, root);
    add_moves(r, m, root);
    add_wells(r, m, root);
    add_limits(r, has_plan ? &m->plan : &m->now, root);
    station_json(r, has_plan ? &m->plan : &m->now, root);
    jnode_count(root, "wells_beyond_their_curve", (long long)m->n_beyond);
    page_json_warnings(r, root);
    page_json_cautions(r, root);
    jnode_write(root, out);
}
