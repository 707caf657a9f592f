/* A row for each point of the curve, from no gas on. */
#include "market.h"

#include <math.h>

#include "base/strbuf.h"
#include "cells.h"

static void write_heads(const struct show *s, struct strbuf *out)
{
    cells_text(out, show_title(s, "gas change", SHOW_FIELD_GAS));
    cells_text(out, "plan");
    cells_text(out, show_title(s, "lift gas", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "oil", SHOW_LIQUID));
    cells_text(out, show_title(s, "money", SHOW_MONEY));
    cells_text(out, show_title(s, "sold", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "bought", SHOW_FIELD_GAS));
    cells_text(out, show_title(s, "fuel", SHOW_FIELD_GAS));
    cells_text(out, "wells flowing");
    cells_text(out, "moves");
    cells_text(out, show_title(s, "next oil per gas", SHOW_OIL_PER_GAS));
    cells_text(out, show_title(s, "next money per gas", SHOW_GAS_PRICE));
    cells_end(out);
}

static void write_point(const struct report *r, const struct market_curve *c,
                        size_t i, struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct market_point *p = &c->point[i];
    bool has_money = r->field->prices.given;
    double none = (double)NAN;
    cells_number(out, s, SHOW_FIELD_GAS, p->gas_sm3s);
    cells_text(out, i == c->today      ? "today"
                    : p->is_impossible ? "none"
                    : p->is_jump       ? "other wells"
                                       : "");
    bool has_plan = !p->is_impossible;
    cells_number(out, s, SHOW_FIELD_GAS, has_plan ? p->lift_sm3s : none);
    cells_number(out, s, SHOW_LIQUID, has_plan ? p->oil_sm3s : none);
    cells_number(out, s, SHOW_MONEY, has_plan && has_money ? p->money_s : none);
    cells_number(out, s, SHOW_FIELD_GAS, has_plan ? p->sales_sm3s : none);
    cells_number(out, s, SHOW_FIELD_GAS, has_plan ? p->bought_sm3s : none);
    cells_number(out, s, SHOW_FIELD_GAS, has_plan ? p->fuel_sm3s : none);
    cells_count(out, (long)p->n_flowing);
    cells_count(out, (long)p->n_moves);
    cells_number(out, s, SHOW_OIL_PER_GAS, market_oil_slope(c, i));
    cells_number(out, s, SHOW_GAS_PRICE,
                 has_money ? market_money_slope(c, i) : none);
    cells_end(out);
}

void market_csv(const struct report *r, const struct market *m,
                struct strbuf *out)
{
    write_heads(&r->show, out);
    for (size_t i = 0; i < m->curve.n; i++)
        write_point(r, &m->curve, i, out);
}
