/* A row for each period and well, with what the field does meanwhile. */
#include "outage.h"

#include "base/strbuf.h"
#include "cells.h"

static void write_heads(const struct show *s, struct strbuf *out)
{
    cells_text(out, "from");
    cells_text(out, "to");
    cells_text(out, "well");
    cells_text(out, "state");
    cells_text(out, "do");
    cells_text(out, show_title(s, "lift gas", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "oil", SHOW_LIQUID));
    cells_text(out, show_title(s, "water", SHOW_LIQUID));
    cells_text(out, show_title(s, "formation gas", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "units have", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "field lift gas", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "field bought", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "field sales", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "field flare", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "stored", SHOW_WELL_GAS_VOLUME));
    cells_text(out, show_title(s, "field oil", SHOW_LIQUID));
    cells_text(out, show_title(s, "deferred", SHOW_LIQUID));
    cells_end(out);
}

static const char *order_in(const struct orders *orders, size_t period,
                            size_t well)
{
    for (size_t i = 0; i < orders->n; i++)
        if (orders->order[i].period == period && orders->order[i].well == well)
            return outage_order_text(orders->order[i].kind);
    return "keep";
}

static void write_period(const struct report *r, const struct outage_facts *x,
                         size_t k, struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct outage_period *p = &x->plan->period[k];
    cells_number(out, s, SHOW_FIELD_GAS,
                 field_capacity_sm3s(&x->outage->period[k]));
    cells_number(out, s, SHOW_FIELD_GAS, p->balance.lift);
    cells_number(out, s, SHOW_FIELD_GAS, p->balance.bought);
    cells_number(out, s, SHOW_FIELD_GAS, p->balance.sales);
    cells_number(out, s, SHOW_FIELD_GAS, p->balance.flare);
    cells_number(out, s, SHOW_WELL_GAS_VOLUME, p->stored_sm3);
    cells_number(out, s, SHOW_LIQUID, p->oil_sm3s);
    cells_number(out, s, SHOW_LIQUID, p->deferred_sm3s);
}

void outage_csv(const struct report *r, const struct outage_facts *x,
                struct strbuf *out)
{
    const struct show *s = &r->show;
    write_heads(s, out);
    if (x->plan->outcome == PLAN_IMPOSSIBLE)
        return;
    struct orders orders = outage_orders(r, x);
    for (size_t k = 0; k < x->plan->n_periods; k++)
        for (size_t i = 0; i < x->plan->n_wells; i++) {
            const struct outage_well *w = outage_well_in(x->plan, k, i);
            double from_s = outage_time_s(x->outage, k);
            cells_text(out, outage_stamp(r, x->outage, from_s));
            cells_text(
                out, outage_stamp(r, x->outage, from_s + x->outage->period_s));
            cells_text(out, r->field->well[i].name);
            cells_text(out, outage_phase_text(w->phase));
            cells_text(out, w->moved ? order_in(&orders, k, i) : "keep");
            cells_number(out, s, SHOW_WELL_GAS, w->gas_sm3s);
            cells_number(out, s, SHOW_LIQUID, w->oil_sm3s);
            cells_number(out, s, SHOW_LIQUID, w->water_sm3s);
            cells_number(out, s, SHOW_WELL_GAS, w->formation_sm3s);
            write_period(r, x, k, out);
            cells_end(out);
        }
}
