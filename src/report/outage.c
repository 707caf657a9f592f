#include "outage.h"

#include <math.h>
#include <stdlib.h>

#include "base/arena.h"

#define HOUR_S 3600.0
#define MINUTE_S 60.0

void report_outage(const struct report *r, const struct outage_facts *x,
                   enum report_format f, struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(
        const struct report *, const struct outage_facts *, struct strbuf *) = {
        [REPORT_TABLE] = outage_table,
        [REPORT_CSV] = outage_csv,
        [REPORT_JSON] = outage_json,
    };
    WRITERS[f](r, x, out);
}

/* --- words ---------------------------------------------------------------- */

const char *outage_order_text(enum order_kind kind)
{
    static const char *const WORDS[] = {
        [ORDER_LESS] = "less",
        [ORDER_STOP] = "stop",
        [ORDER_MORE] = "more",
        [ORDER_START] = "start",
    };
    return WORDS[kind];
}

const char *outage_phase_text(enum well_phase phase)
{
    static const char *const WORDS[] = {
        [PHASE_FLOWS] = "flows",
        [PHASE_STOPPED] = "stopped",
        [PHASE_UNLOADS] = "unloads",
        [PHASE_RETURNS] = "returns",
    };
    return WORDS[phase];
}

const char *outage_cause_text(enum outage_cause cause)
{
    static const char *const WORDS[] = {
#define WORD(name, key, words) words,
        OUTAGE_CAUSE_LIST(WORD)
#undef WORD
            [N_OUTAGE_CAUSES] = "wells coming back",
    };
    return WORDS[cause];
}

double outage_time_s(const struct outage *o, size_t period)
{
    return (double)period * o->period_s;
}

struct clock {
    long day, hour, minute; /* day 0: that of the scenario */
};

static struct clock clock_of(const struct outage *o, double s)
{
    long minutes = lround((o->start_s + s) / MINUTE_S);
    long of_day = minutes % (24L * 60);
    return (struct clock){minutes / (24L * 60), of_day / 60, of_day % 60};
}

const char *outage_clock(const struct report *r, const struct outage *o,
                         double s)
{
    struct clock c = clock_of(o, s);
    const char *time =
        arena_printf(r->show.arena, "%02ld:%02ld", c.hour, c.minute);
    return c.day == 0 ? time
                      : arena_printf(r->show.arena, "+%ld %s", c.day, time);
}

const char *outage_stamp(const struct report *r, const struct outage *o,
                         double s)
{
    struct clock c = clock_of(o, s);
    return arena_printf(r->show.arena, "%s %02ld:%02ld",
                        show_day(&r->show, r->field->day + c.day), c.hour,
                        c.minute);
}

const char *outage_hours(const struct report *r, double s)
{
    return arena_printf(r->show.arena, "%.1f", s / HOUR_S);
}

const struct outage_well *outage_well_in(const struct outage_plan *p,
                                         size_t period, size_t well)
{
    return &p->well[period * p->n_wells + well];
}

/* --- orders --------------------------------------------------------------- */

/* Past the curve's end: that of its end. */
static double oil_at(const struct curve *c, double gas_sm3s)
{
    struct curve_point p;
    struct err err;
    double gas_known_sm3s = fmin(gas_sm3s, c->gas_max_sm3s);
    return curve_at(c, gas_known_sm3s, &p, &err) == ST_OK ? p.oil_sm3s : 0;
}

/* What the well does before the period. */
static struct outage_well before(const struct report *r,
                                 const struct outage_plan *p, size_t period,
                                 size_t well)
{
    if (period > 0)
        return *outage_well_in(p, period - 1, well);
    double gas_sm3s = field_well_now_sm3s(&r->field->well[well]);
    double oil_sm3s = oil_at(&r->curves[well], gas_sm3s);
    return (struct outage_well){
        .phase = gas_sm3s > 0 || oil_sm3s > 0 ? PHASE_FLOWS : PHASE_STOPPED,
        .gas_sm3s = gas_sm3s,
        .oil_sm3s = oil_sm3s};
}

/* The first period from this one on in which it flows at its rate again. */
static size_t at_rate(const struct outage_plan *p, size_t period, size_t well)
{
    while (period < p->n_periods &&
           outage_well_in(p, period, well)->phase != PHASE_FLOWS)
        period++;
    return period;
}

static enum order_kind kind_of(const struct outage_well *was,
                               const struct outage_well *is)
{
    if (is->phase == PHASE_STOPPED || !(is->gas_sm3s > 0))
        return ORDER_STOP;
    if (is->phase == PHASE_UNLOADS || was->phase == PHASE_STOPPED)
        return ORDER_START;
    return is->gas_sm3s < was->gas_sm3s ? ORDER_LESS : ORDER_MORE;
}

static struct order order_of(const struct report *r,
                             const struct outage_facts *x, size_t period,
                             size_t well)
{
    const struct outage_plan *p = x->plan;
    const struct outage_well was = before(r, p, period, well);
    const struct outage_well *is = outage_well_in(p, period, well);
    struct order o = {.kind = kind_of(&was, is),
                      .period = period,
                      .well = well,
                      .from_sm3s = was.gas_sm3s,
                      .to_sm3s = is->gas_sm3s,
                      .oil_from_sm3s = was.oil_sm3s,
                      .oil_to_sm3s = is->oil_sm3s,
                      .at_rate_s = outage_time_s(x->outage, period)};
    double gas_sm3s = is->gas_sm3s - was.gas_sm3s;
    if (o.kind == ORDER_START) {
        size_t back = at_rate(p, period, well);
        bool is_back = back < p->n_periods;
        o.at_rate_s = is_back ? outage_time_s(x->outage, back) : (double)NAN;
        o.oil_to_sm3s =
            is_back ? outage_well_in(p, back, well)->oil_sm3s : (double)NAN;
        gas_sm3s =
            is_back ? outage_well_in(p, back, well)->gas_sm3s : (double)NAN;
    }
    o.oil_per_gas = (o.oil_to_sm3s - o.oil_from_sm3s) / gas_sm3s;
    return o;
}

/* NaN last. */
static int by_worth(double a, double b)
{
    if (isnan(a) || isnan(b))
        return isnan(a) - isnan(b);
    return (a < b) - (a > b);
}

static int in_sequence(const void *left, const void *right)
{
    /* What gives gas, what takes it, what has to be kicked off. */
    static const int GROUP[] = {[ORDER_LESS] = 0,
                                [ORDER_STOP] = 0,
                                [ORDER_MORE] = 1,
                                [ORDER_START] = 2};
    const struct order *a = left, *b = right;
    if (a->period != b->period)
        return a->period < b->period ? -1 : 1;
    if (GROUP[a->kind] != GROUP[b->kind])
        return GROUP[a->kind] - GROUP[b->kind];
    int sign = GROUP[a->kind] == 0 ? -1 : 1;
    int order = sign * by_worth(a->oil_per_gas, b->oil_per_gas);
    return order != 0 ? order : (a->well > b->well) - (a->well < b->well);
}

struct orders outage_orders(const struct report *r,
                            const struct outage_facts *x)
{
    const struct outage_plan *p = x->plan;
    struct orders out = {0};
    for (size_t k = 0; k < p->n_periods * p->n_wells; k++)
        out.n += p->well[k].moved;
    out.order = ARENA_NEW(r->show.arena, out.n, struct order);
    size_t n = 0;
    for (size_t k = 0; k < p->n_periods; k++)
        for (size_t i = 0; i < p->n_wells; i++)
            if (outage_well_in(p, k, i)->moved)
                out.order[n++] = order_of(r, x, k, i);
    if (n > 0)
        qsort(out.order, n, sizeof *out.order, in_sequence);
    return out;
}

static const char *kick_off(const struct report *r,
                            const struct outage_facts *x, const struct order *o)
{
    const struct show *s = &r->show;
    const struct well_restart *w = &x->outage->restart[o->well];
    if (!w->comes_back)
        return "does not unload by this gas alone";
    if (!(w->unload_s > 0))
        return "flows at once";
    return arena_printf(s->arena, "unload %s h, %s",
                        outage_hours(r, w->unload_s),
                        show_full(s, SHOW_WELL_GAS_VOLUME, w->gas_sm3));
}

const char *outage_order_reason(const struct report *r,
                                const struct outage_facts *x,
                                const struct order *o)
{
    const struct show *s = &r->show;
    double oil_sm3s = o->oil_to_sm3s - o->oil_from_sm3s;
    switch (o->kind) {
    case ORDER_LESS:
    case ORDER_STOP:
        return arena_printf(
            s->arena, "gives %s for %s%s",
            show_full(s, SHOW_WELL_GAS, o->from_sm3s - o->to_sm3s),
            show_full(s, SHOW_LIQUID, fmax(-oil_sm3s, 0)),
            o->kind == ORDER_STOP && o->oil_to_sm3s > 0 ? "; flows by itself"
                                                        : "");
    case ORDER_START:
        if (isnan(o->at_rate_s))
            return arena_printf(s->arena, "%s; at rate after the horizon",
                                kick_off(r, x, o));
        return arena_printf(s->arena, "%s; at rate %s", kick_off(r, x, o),
                            outage_clock(r, x->outage, o->at_rate_s));
    case ORDER_MORE:
        break;
    }
    return arena_printf(s->arena, "makes %s",
                        show_full(s, SHOW_OIL_PER_GAS, o->oil_per_gas));
}

/* --- wells without gas ---------------------------------------------------- */

static bool is_without(const struct outage_plan *p, size_t period, size_t well)
{
    return period < p->n_periods &&
           !(outage_well_in(p, period, well)->gas_sm3s > 0);
}

static struct rest rest_from(const struct outage_facts *x, size_t from,
                             size_t well)
{
    const struct outage_plan *p = x->plan;
    struct rest rest = {.well = well,
                        .from = from,
                        .to = from,
                        .flows = true,
                        .leave_s = x->outage->restart[well].alone_s};
    for (; is_without(p, rest.to, well); rest.to++) {
        const struct outage_well *w = outage_well_in(p, rest.to, well);
        rest.flows = rest.flows && w->phase == PHASE_FLOWS;
        rest.oil_sm3s += w->oil_sm3s;
    }
    rest.oil_sm3s /= (double)(rest.to - from);
    return rest;
}

struct rests outage_rests(const struct report *r, const struct outage_facts *x)
{
    const struct outage_plan *p = x->plan;
    struct rests out = {0};
    /* No well rests more often than every other period. */
    size_t most = p->n_wells * (p->n_periods / 2 + 1);
    out.rest = ARENA_NEW(r->show.arena, most, struct rest);
    for (size_t i = 0; i < p->n_wells; i++) {
        if (!(p->undisturbed.well[i].gas_sm3s > 0))
            continue;
        for (size_t k = 0; k < p->n_periods; k++)
            if (is_without(p, k, i)) {
                out.rest[out.n] = rest_from(x, k, i);
                k = out.rest[out.n++].to;
            }
    }
    return out;
}
