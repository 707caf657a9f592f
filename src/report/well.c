#include "well.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "cells.h"
#include "morning.h"

void report_well(const struct report *r, const struct well_facts *w,
                 enum report_format f, struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(
        const struct report *, const struct well_facts *, struct strbuf *) = {
        [REPORT_TABLE] = well_table,
        [REPORT_CSV] = well_csv,
        [REPORT_JSON] = well_json,
    };
    WRITERS[f](r, w, out);
}

struct well_slopes well_slopes_at(const struct curve *c, double gas_sm3s)
{
    struct well_slopes s = {(double)NAN, (double)NAN};
    for (size_t i = 0; i + 1 < c->n; i++) {
        double slope = (c->oil_sm3s[i + 1] - c->oil_sm3s[i]) /
                       (c->gas_sm3s[i + 1] - c->gas_sm3s[i]);
        if (c->gas_sm3s[i] < gas_sm3s && gas_sm3s <= c->gas_sm3s[i + 1])
            s.last = slope;
        if (c->gas_sm3s[i] <= gas_sm3s && gas_sm3s < c->gas_sm3s[i + 1])
            s.next = slope;
    }
    return s;
}

static bool looks_the_same(const struct report *r, double a_sm3s, double b_sm3s)
{
    return strcmp(show_number(&r->show, SHOW_WELL_GAS, a_sm3s),
                  show_number(&r->show, SHOW_WELL_GAS, b_sm3s)) == 0;
}

static void say_reason(const struct report *r, const struct well_facts *w,
                       struct strbuf *out)
{
    const struct move *move = morning_move_of(w->morning, w->well);
    const char *kept = morning_kept_reason(w->morning, w->well);
    const struct show *s = &r->show;
    if (move != NULL)
        strbuf_addf(out, "The plan says %s, from %s to %s: %s. ",
                    morning_move_text(move->kind),
                    show_number(s, SHOW_WELL_GAS, move->from_sm3s),
                    show_full(s, SHOW_WELL_GAS, move->to_sm3s), move->reason);
    else if (kept != NULL)
        strbuf_addf(out, "The plan leaves the well alone: %s. ", kept);
    else
        strbuf_addf(out, "The plan keeps the well at %s. ",
                    show_full(s, SHOW_WELL_GAS, w->plan.lift_sm3s));
}

static void say_slopes(const struct report *r, const struct well_facts *w,
                       struct strbuf *out)
{
    const struct show *s = &r->show;
    struct well_slopes slope =
        well_slopes_at(&r->curves[w->well], w->plan.lift_sm3s);
    if (isfinite(slope.last))
        strbuf_addf(out, "The last gas that it gets makes %s. ",
                    show_full(s, SHOW_OIL_PER_GAS, slope.last));
    if (isfinite(slope.next))
        strbuf_addf(out, "More gas would make %s. ",
                    show_full(s, SHOW_OIL_PER_GAS, slope.next));
    if (w->morning->plan.outcome != PLAN_IMPOSSIBLE)
        strbuf_addf(
            out, "In the whole field gas is worth %s. ",
            show_full(s, SHOW_OIL_PER_GAS, w->morning->plan.gas_price_oil));
}

static void say_bounds(const struct report *r, const struct well_facts *w,
                       struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_well *fw = &r->field->well[w->well];
    double lift_sm3s = w->plan.lift_sm3s;
    if (!(lift_sm3s > 0))
        return;
    if (looks_the_same(r, lift_sm3s, fw->lift_max_sm3s))
        strbuf_addf(out, "It is at the most that it may take, %s. ",
                    show_full(s, SHOW_WELL_GAS, fw->lift_max_sm3s));
    if (looks_the_same(r, lift_sm3s, fw->lift_min_sm3s))
        strbuf_addf(out, "It is at the least that it must take, %s. ",
                    show_full(s, SHOW_WELL_GAS, fw->lift_min_sm3s));
}

const char *well_why(const struct report *r, const struct well_facts *w)
{
    struct strbuf out;
    strbuf_init(&out, r->show.arena);
    if (w->morning->plan.outcome == PLAN_IMPOSSIBLE)
        strbuf_add(&out, "No plan meets every limit; this is the well as it "
                         "flows this morning. ");
    else
        say_reason(r, w, &out);
    say_slopes(r, w, &out);
    say_bounds(r, w, &out);
    return out.text;
}

void well_csv(const struct report *r, const struct well_facts *w,
              struct strbuf *out)
{
    const struct show *s = &r->show;
    cells_text(out, "well");
    cells_text(out, show_title(s, "measured depth", SHOW_DEPTH));
    cells_text(out, show_title(s, "true vertical depth", SHOW_DEPTH));
    cells_text(out, show_title(s, "pressure", SHOW_PRESSURE));
    cells_text(out, show_title(s, "temperature", SHOW_TEMPERATURE));
    cells_text(out, show_title(s, "liquid part", SHOW_PERCENT));
    cells_text(out, "flow");
    cells_end(out);
    for (size_t i = 0; i < w->profile.n && i < w->profile.cap; i++) {
        const struct traverse_point *p = &w->profile.point[i];
        cells_text(out, w->string->name);
        cells_number(out, s, SHOW_DEPTH, p->md_m);
        cells_number(out, s, SHOW_DEPTH, p->tvd_m);
        cells_number(out, s, SHOW_PRESSURE, p->p_pa);
        cells_number(out, s, SHOW_TEMPERATURE, p->t_k);
        cells_number(out, s, SHOW_PERCENT, p->holdup);
        cells_text(out, gradient_regime_text(w->model.gradient, p->regime));
        cells_end(out);
    }
}
