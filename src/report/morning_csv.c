/* A row for each well, in the order of the scenario. */
#include "morning.h"

#include <math.h>

#include "base/strbuf.h"
#include "cells.h"
#include "page.h"

static void write_heads(const struct show *s, struct strbuf *out)
{
    cells_text(out, "well");
    cells_text(out, "manifold");
    cells_text(out, "status");
    cells_text(out, "do");
    cells_text(out, show_title(s, "lift gas now", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "lift gas", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "lift gas change", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "oil now", SHOW_LIQUID));
    cells_text(out, show_title(s, "oil", SHOW_LIQUID));
    cells_text(out, show_title(s, "oil change", SHOW_LIQUID));
    cells_text(out, show_title(s, "water", SHOW_LIQUID));
    cells_text(out, show_title(s, "formation gas", SHOW_WELL_GAS));
    cells_text(out, show_title(s, "oil per gas", SHOW_OIL_PER_GAS));
    cells_text(out, "reason");
    cells_end(out);
}

static void write_well(const struct report *r, const struct morning *m,
                       size_t i, struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_well *w = &r->field->well[i];
    const struct plan_well *now = &m->now.well[i];
    const struct plan_well *to = morning_planned(m, i);
    const struct move *move = morning_move_of(m, i);
    double present_sm3s = field_well_now_sm3s(w);

    cells_text(out, w->name);
    cells_text(out, field_manifold(r->field, w)->name);
    cells_text(out, page_status_key(w->reading.status));
    cells_text(out, move != NULL ? morning_move_text(move->kind) : "keep");
    cells_number(out, s, SHOW_WELL_GAS, present_sm3s);
    cells_number(out, s, SHOW_WELL_GAS, to->gas_sm3s);
    cells_number(out, s, SHOW_WELL_GAS, to->gas_sm3s - present_sm3s);
    cells_number(out, s, SHOW_LIQUID, now->oil_sm3s);
    cells_number(out, s, SHOW_LIQUID, to->oil_sm3s);
    cells_number(out, s, SHOW_LIQUID, to->oil_sm3s - now->oil_sm3s);
    cells_number(out, s, SHOW_LIQUID, to->water_sm3s);
    cells_number(out, s, SHOW_WELL_GAS, to->formation_sm3s);
    cells_number(out, s, SHOW_OIL_PER_GAS,
                 move != NULL ? move->oil_per_gas : (double)NAN);
    cells_text(out, move != NULL ? move->reason : morning_kept_reason(m, i));
    cells_end(out);
}

void morning_csv(const struct report *r, const struct morning *m,
                 struct strbuf *out)
{
    write_heads(&r->show, out);
    for (size_t i = 0; i < r->field->n_wells; i++)
        write_well(r, m, i, out);
}
