/* Everything that the plan through the outage knows, for programs. */
#include "outage.h"

#include <math.h>

#include "base/strbuf.h"
#include "morning.h"
#include "page.h"

static void add_answer(const struct report *r, const struct outage_facts *x,
                       struct jnode root)
{
    const struct show *s = &r->show;
    const struct outage_plan *p = x->plan;
    const struct plan summary = {.outcome = p->outcome, .gap = p->gap};
    bool is_money = p->objective == PLAN_MONEY;
    enum show_quantity q = is_money ? SHOW_MONEY_SUM : SHOW_OIL_VOLUME;
    jnode_text(root, "outage", x->outage->name);
    jnode_text(root, "start", outage_stamp(r, x->outage, 0));
    jnode_number(root, "period_hours", x->outage->period_s / 3600);
    jnode_count(root, "periods", (long long)x->outage->n_periods);
    jnode_text(root, "objective", is_money ? "money" : "oil");
    jnode_text(root, "outcome", morning_outcome_key(p->outcome));
    jnode_text(root, "outcome_words", morning_outcome_text(r, &summary));
    jnode_text(root, "conflict", p->conflict);
    jnode_quantity(root, s, "value", q, p->value);
    jnode_quantity(root, s, "bound", q, p->bound);
    jnode_number(root, "gap", p->gap);
    jnode_count(root, "search_columns", p->columns);
    jnode_count(root, "search_iterations", p->iterations);
    jnode_count(root, "search_nodes", p->nodes);
}

static void add_totals(const struct report *r, const struct outage_facts *x,
                       struct jnode root)
{
    const struct show *s = &r->show;
    const struct outage_plan *p = x->plan;
    struct jnode node = jnode_object(root, "totals");
    double none = (double)NAN;
    bool has_money = r->field->prices.given;
    jnode_quantity(node, s, "potential", SHOW_OIL_VOLUME, p->potential_sm3);
    jnode_quantity(node, s, "oil", SHOW_OIL_VOLUME, p->oil_sm3);
    jnode_quantity(node, s, "deferred", SHOW_OIL_VOLUME, p->deferred_sm3);
    jnode_quantity(node, s, "money", SHOW_MONEY_SUM,
                   has_money ? p->money : none);
    jnode_quantity(node, s, "money_lost", SHOW_MONEY_SUM,
                   has_money ? p->money_lost : none);
    jnode_quantity(node, s, "bought", SHOW_FIELD_GAS_VOLUME, p->bought_sm3);
    jnode_quantity(node, s, "sold", SHOW_FIELD_GAS_VOLUME, p->sold_sm3);
    jnode_quantity(node, s, "flared", SHOW_FIELD_GAS_VOLUME, p->flared_sm3);
    jnode_number(node, "flare_hours", p->flare_hours);
    struct jnode list = jnode_array(node, "lost_to");
    for (size_t i = 0; i < p->n_losses; i++) {
        struct jnode loss = jnode_object(list, NULL);
        jnode_text(loss, "cause", outage_cause_text(p->loss[i].cause));
        jnode_quantity(loss, s, "oil", SHOW_OIL_VOLUME, p->loss[i].oil_sm3);
        jnode_quantity(loss, s, "money", SHOW_MONEY_SUM,
                       has_money ? p->loss[i].money : none);
    }
}

static void add_balance(const struct show *s, const struct gas_balance *b,
                        struct jnode node)
{
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

static void add_limits(const struct report *r, const struct outage_period *p,
                       struct jnode node)
{
    struct jnode list = jnode_array(node, "binding_limits");
    for (size_t i = 0; i < p->n_limits; i++)
        if (p->limit[i].binding)
            jnode_text(list, NULL, morning_limit_text(r, &p->limit[i]));
}

static void add_wells(const struct report *r, const struct outage_facts *x,
                      size_t k, struct jnode node)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(node, "wells");
    for (size_t i = 0; i < x->plan->n_wells; i++) {
        const struct outage_well *w = outage_well_in(x->plan, k, i);
        struct jnode well = jnode_object(list, NULL);
        jnode_text(well, "well", r->field->well[i].name);
        jnode_text(well, "state", outage_phase_text(w->phase));
        jnode_quantity(well, s, "lift_gas", SHOW_WELL_GAS, w->gas_sm3s);
        jnode_quantity(well, s, "oil", SHOW_LIQUID, w->oil_sm3s);
        jnode_quantity(well, s, "water", SHOW_LIQUID, w->water_sm3s);
        jnode_quantity(well, s, "formation_gas", SHOW_WELL_GAS,
                       w->formation_sm3s);
        jnode_flag(well, "changed", w->moved);
    }
}

static void add_periods(const struct report *r, const struct outage_facts *x,
                        struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, "timeline");
    for (size_t k = 0; k < x->plan->n_periods; k++) {
        const struct outage_period *p = &x->plan->period[k];
        struct jnode node = jnode_object(list, NULL);
        double from_s = outage_time_s(x->outage, k);
        jnode_text(node, "from", outage_stamp(r, x->outage, from_s));
        jnode_text(node, "to",
                   outage_stamp(r, x->outage, from_s + x->outage->period_s));
        jnode_quantity(node, s, "units_have", SHOW_FIELD_GAS,
                       field_capacity_sm3s(&x->outage->period[k]));
        add_balance(s, &p->balance, jnode_object(node, "gas_balance"));
        jnode_quantity(node, s, "stored", SHOW_WELL_GAS_VOLUME, p->stored_sm3);
        jnode_quantity(node, s, "oil", SHOW_LIQUID, p->oil_sm3s);
        jnode_quantity(node, s, "water", SHOW_LIQUID, p->water_sm3s);
        jnode_quantity(node, s, "deferred", SHOW_LIQUID, p->deferred_sm3s);
        jnode_count(node, "wells_stopped", (long long)p->n_stopped);
        jnode_count(node, "wells_unloading", (long long)p->n_unloading);
        jnode_count(node, "changes", (long long)p->n_moves);
        add_limits(r, p, node);
        add_wells(r, x, k, node);
    }
}

static void add_orders(const struct report *r, const struct outage_facts *x,
                       struct jnode root)
{
    const struct show *s = &r->show;
    struct orders orders = outage_orders(r, x);
    struct jnode list = jnode_array(root, "orders");
    for (size_t i = 0; i < orders.n; i++) {
        const struct order *o = &orders.order[i];
        struct jnode node = jnode_object(list, NULL);
        double at_s = outage_time_s(x->outage, o->period);
        jnode_text(node, "at", outage_stamp(r, x->outage, at_s));
        jnode_text(node, "well", r->field->well[o->well].name);
        jnode_text(node, "do", outage_order_text(o->kind));
        jnode_quantity(node, s, "from", SHOW_WELL_GAS, o->from_sm3s);
        jnode_quantity(node, s, "to", SHOW_WELL_GAS, o->to_sm3s);
        jnode_quantity(node, s, "oil_change", SHOW_LIQUID,
                       o->oil_to_sm3s - o->oil_from_sm3s);
        jnode_quantity(node, s, "oil_per_gas", SHOW_OIL_PER_GAS,
                       o->oil_per_gas);
        jnode_text(node, "reason", outage_order_reason(r, x, o));
    }
}

static void add_rests(const struct report *r, const struct outage_facts *x,
                      struct jnode root)
{
    struct rests rests = outage_rests(r, x);
    struct jnode list = jnode_array(root, "without_gas");
    for (size_t i = 0; i < rests.n; i++) {
        const struct rest *rest = &rests.rest[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "well", r->field->well[rest->well].name);
        jnode_text(
            node, "from",
            outage_stamp(r, x->outage, outage_time_s(x->outage, rest->from)));
        jnode_text(
            node, "to",
            outage_stamp(r, x->outage, outage_time_s(x->outage, rest->to)));
        jnode_flag(node, "flows_by_itself", rest->flows);
        jnode_quantity(node, &r->show, "oil", SHOW_LIQUID, rest->oil_sm3s);
        jnode_number(node, "may_be_left_hours", rest->leave_s / 3600);
    }
}

static void add_restarts(const struct report *r, const struct outage_facts *x,
                         struct jnode root)
{
    struct jnode list = jnode_array(root, "restarts");
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct well_restart *w = &x->outage->restart[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "well", r->field->well[i].name);
        jnode_flag(node, "comes_back", w->comes_back);
        jnode_number(node, "unload_hours", w->unload_s / 3600);
        jnode_quantity(node, &r->show, "gas", SHOW_WELL_GAS_VOLUME, w->gas_sm3);
        jnode_number(node, "build_up_hours", w->build_up_s / 3600);
        jnode_flag(node, "entered", w->is_input);
    }
}

static void add_starts(const struct report *r, const struct outage_facts *x,
                       struct jnode root)
{
    const struct outage_starts *starts = x->starts;
    if (starts == NULL)
        return;
    struct jnode list = jnode_array(root, "starts");
    for (size_t i = 0; i < starts->n; i++) {
        const struct outage_start *start = &starts->start[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "at", outage_stamp(r, x->outage, start->start_s));
        jnode_text(node, "outcome", morning_outcome_key(start->outcome));
        jnode_quantity(node, &r->show, "deferred", SHOW_OIL_VOLUME,
                       start->deferred_sm3);
        jnode_flag(node, "best", i == starts->best);
    }
}

void outage_json(const struct report *r, const struct outage_facts *x,
                 struct strbuf *out)
{
    struct jnode root = page_json(r, "outage");
    add_answer(r, x, root);
    if (x->plan->outcome != PLAN_IMPOSSIBLE) {
        add_totals(r, x, root);
        add_periods(r, x, root);
        add_orders(r, x, root);
        add_rests(r, x, root);
    }
    add_starts(r, x, root);
    add_restarts(r, x, root);
    struct jnode faults = jnode_array(root, "faults");
    for (const char *const *f = x->fault; *f != NULL; f++)
        jnode_text(faults, NULL, *f);
    page_json_warnings(r, root);
    page_json_cautions(r, root);
    jnode_write(root, out);
}
