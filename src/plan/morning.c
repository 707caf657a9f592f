#include "plan/morning.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/units.h"
#include "change.h"
#include "order.h"

static double *present_rates(const struct field *f, struct arena *a)
{
    double *gas_sm3s = ARENA_NEW(a, f->n_wells, double);
    for (size_t i = 0; i < f->n_wells; i++)
        gas_sm3s[i] = field_well_now_sm3s(&f->well[i]);
    return gas_sm3s;
}

/* Limits that gas runs into: what one well takes another misses. */
static bool is_of_gas(enum plan_limit_kind kind)
{
    return kind == PLAN_LIMIT_LIFT || kind == PLAN_LIMIT_COMPRESSION ||
           kind == PLAN_LIMIT_POWER || kind == PLAN_LIMIT_SALES_MIN ||
           kind == PLAN_LIMIT_PURCHASE;
}

/* Gas is worth something to this well's neighbours. */
static bool gas_is_short(const struct field *f, const struct plan *p,
                         size_t well)
{
    for (size_t i = 0; i < p->n_limits; i++) {
        const struct plan_limit *l = &p->limit[i];
        bool counts = l->scope == N_GROUP_KINDS ||
                      f->well[well].group[l->scope] == l->group;
        if (counts && is_of_gas(l->kind) && l->binding && l->price > 0)
            return true;
    }
    return p->objective != PLAN_MONEY && p->gas_price_oil > 0;
}

/* Why less or none where no limit of gas asks for it. */
static const char *reason_without_need(const struct plan *p)
{
    return p->objective == PLAN_MONEY
               ? "its last gas costs more than its oil brings"
               : "the field's limits leave no room for what it makes";
}

static const char *reason_to_stop(const struct field *f, const struct plan *now,
                                  const struct plan *p, const struct move *m)
{
    if (p->well[m->well].shut)
        return "shut in: the field's limits leave no room for what it makes";
    if (!(now->well[m->well].oil_sm3s > 0))
        return "takes gas and makes no oil";
    if (!gas_is_short(f, p, m->well))
        return reason_without_need(p);
    return f->well[m->well].lift_min_sm3s > 0
               ? "not worth its minimum while gas is short"
               : "returns less oil per gas than elsewhere";
}

static const char *reason_for_less(const struct field *f, const struct curve *c,
                                   const struct plan *p, const struct move *m)
{
    if (m->from_sm3s > c->gas_max_sm3s)
        return "more gas than its curve knows";
    if (m->from_sm3s > f->well[m->well].lift_max_sm3s)
        return "above its maximum";
    if (m->oil_change_sm3s >= 0)
        return "takes more gas than its peak rate: less gas, no less oil";
    return gas_is_short(f, p, m->well)
               ? "returns less oil per gas than elsewhere"
               : reason_without_need(p);
}

/* A running well below its minimum. */
static const char *reason_of_minimum(const struct field_well *w,
                                     const struct curve *c)
{
    if (c->start == CURVE_START_FLOW || c->gas_min_sm3s < w->lift_min_sm3s)
        return "below its minimum: either off or at least the minimum";
    return c->start == CURVE_START_STEADY
               ? "less than its least steady rate: either off or that"
               : "with less the tubing is too heavy for the casing pressure";
}

static const char *reason_for_more(const struct field *f, const struct curve *c,
                                   const struct plan *now, const struct plan *p,
                                   const struct move *m)
{
    const struct field_well *w = &f->well[m->well];
    if (m->from_sm3s > 0 && m->from_sm3s < w->lift_min_sm3s)
        return reason_of_minimum(w, c);
    if (!(now->well[m->well].oil_sm3s > 0))
        return "dead as it is and worth its start";
    return gas_is_short(f, p, m->well)
               ? "returns more oil per gas than the rest of the field"
               : "gas is not short: more gas, more oil";
}

static const char *reason_for(const struct field *f, const struct curve *curves,
                              const struct plan *now, const struct plan *p,
                              const struct move *m)
{
    switch (m->kind) {
    case MOVE_STOP:
        return reason_to_stop(f, now, p, m);
    case MOVE_LESS:
        return reason_for_less(f, &curves[m->well], p, m);
    case MOVE_START:
    case MOVE_MORE:
        break;
    }
    return reason_for_more(f, &curves[m->well], now, p, m);
}

static enum move_kind kind_of(double from_sm3s, double to_sm3s)
{
    if (to_sm3s <= 0)
        return MOVE_STOP;
    if (from_sm3s <= 0)
        return MOVE_START;
    return to_sm3s > from_sm3s ? MOVE_MORE : MOVE_LESS;
}

static struct move move_of(const struct morning *m, size_t well)
{
    const struct plan_well *from = &m->now.well[well];
    const struct plan_well *to = &m->plan.well[well];
    double gas_change_sm3s = to->gas_sm3s - from->gas_sm3s;
    double oil_change_sm3s = to->oil_sm3s - from->oil_sm3s;
    return (struct move){
        .well = well,
        .kind = kind_of(from->gas_sm3s, to->gas_sm3s),
        .from_sm3s = from->gas_sm3s,
        .to_sm3s = to->gas_sm3s,
        .oil_change_sm3s = oil_change_sm3s,
        .oil_per_gas = gas_change_sm3s != 0 ? oil_change_sm3s / gas_change_sm3s
                                            : (double)NAN,
    };
}

/* Most oil first; of equals, more gas freed first. Equals in both keep the
 * order in which they come, that of the names. */
static bool comes_before(const struct move *a, const struct move *b)
{
    if (a->oil_change_sm3s != b->oil_change_sm3s)
        return a->oil_change_sm3s > b->oil_change_sm3s;
    return a->to_sm3s - a->from_sm3s < b->to_sm3s - b->from_sm3s;
}

static void insert_move(struct morning *out, struct move move)
{
    size_t i = out->n_moves++;
    for (; i > 0 && comes_before(&move, &out->move[i - 1]); i--)
        out->move[i] = out->move[i - 1];
    out->move[i] = move;
}

static void list_moves(const struct field *f, const struct curve *curves,
                       struct arena *a, struct morning *out)
{
    const size_t *order = order_wells(f, a);
    out->move = ARENA_NEW(a, f->n_wells, struct move);
    for (size_t k = 0; k < f->n_wells; k++) {
        if (!out->plan.well[order[k]].moved)
            continue;
        struct move move = move_of(out, order[k]);
        move.reason = reason_for(f, curves, &out->now, &out->plan, &move);
        insert_move(out, move);
    }
}

static const char *kept_reason(const struct field_well *w, struct arena *a)
{
    static const char *const TEXTS[] = {
#define STATUS_WORDS(name, key, text) text,
        WELL_STATUS_LIST(STATUS_WORDS)
#undef STATUS_WORDS
    };
    const char *text = TEXTS[w->reading.status];
    if (w->reading.reason == NULL || w->reading.reason[0] == '\0')
        return text;
    return arena_printf(a, "%s: %s", text, w->reading.reason);
}

static void list_kept(const struct field *f, struct arena *a,
                      struct morning *out)
{
    const size_t *order = order_wells(f, a);
    out->kept = ARENA_NEW(a, f->n_wells, struct kept_well);
    for (size_t k = 0; k < f->n_wells; k++) {
        const struct field_well *w = &f->well[order[k]];
        if (w->reading.status != WELL_FLOWING)
            out->kept[out->n_kept++] =
                (struct kept_well){order[k], kept_reason(w, a)};
    }
}

static enum status solve_with_gas(const struct field *f,
                                  const struct curve *curves,
                                  const struct plan_options *o,
                                  double change_sm3s, const struct plan *base,
                                  double *oil_sm3s, double *money_s,
                                  struct err *err)
{
    struct arena scratch;
    arena_init(&scratch);
    struct field changed = change_gas(f, change_sm3s, &scratch);
    struct plan p;
    enum status st = plan_solve(&changed, curves, o, &scratch, &p, err);
    *oil_sm3s = *money_s = (double)NAN;
    if (st == ST_OK && p.outcome != PLAN_IMPOSSIBLE) {
        /* More gas is never worse and less never better: what says otherwise
         * is the gap that the proofs may leave. */
        double gain = p.value - base->value;
        bool is_noise = change_sm3s > 0 ? gain < 0 : gain > 0;
        *oil_sm3s = is_noise ? 0 : p.oil_sm3s - base->oil_sm3s;
        *money_s = is_noise ? 0 : p.money_s - base->money_s;
    }
    arena_release(&scratch);
    return st;
}

static enum status what_if(const struct field *f, const struct curve *curves,
                           const struct plan_options *o, struct morning *out,
                           struct err *err)
{
    double step_sm3s =
        unit_to_si(unit_named(DIM_GAS_RATE, "MMscf/d"), 1, &f->frame);
    enum status st =
        solve_with_gas(f, curves, o, step_sm3s, &out->plan, &out->more_oil_sm3s,
                       &out->more_money_s, err);
    if (st != ST_OK)
        return st;
    return solve_with_gas(f, curves, o, -step_sm3s, &out->plan,
                          &out->less_oil_sm3s, &out->less_money_s, err);
}

enum status morning_solve(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct arena *a,
                          struct morning *out, struct err *err)
{
    double none = (double)NAN;
    *out = (struct morning){
        .more_oil_sm3s = none,
        .less_oil_sm3s = none,
        .more_money_s = none,
        .less_money_s = none,
    };
    plan_at_rates(f, curves, present_rates(f, a), a, &out->now, &out->n_beyond);
    enum status st = plan_solve(f, curves, o, a, &out->plan, err);
    if (st != ST_OK)
        return st;
    list_kept(f, a, out);
    plan_verify(f, curves, &out->plan, a, &out->verify);
    if (out->plan.outcome == PLAN_IMPOSSIBLE)
        return plan_reasons(f, curves, o, a, &out->plan, err);
    list_moves(f, curves, a, out);
    st = what_if(f, curves, o, out, err);
    if (st != ST_OK)
        return st;
    return plan_verify_models(f, curves, &out->plan, a, &out->verify, err);
}
