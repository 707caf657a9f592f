#include "outage_conflict.h"

#include <math.h>
#include <stdint.h>

#include "base/numtext.h"
#include "base/strbuf.h"
#include "base/units.h"
#include "num/tol.h"

/* A limit that has to give: a row of its kind in neighbouring periods. */
struct need {
    const char *words;
    double past; /* signed, SI */
    const char *unit;
    enum dim dim;
};

static const char *amount(const struct span *s, const struct need *n,
                          struct arena *a)
{
    double value = unit_from_si(unit_named(n->dim, n->unit), fabs(n->past),
                                &s->today.field->frame);
    return arena_printf(a, "%.3g %s", value, n->unit);
}

/* Sm3/s of gas. */
static struct need of_gas(const struct span *s, const char *words, double past)
{
    return (struct need){words, past * s->today.units.gas_sm3s, "MMscf/d",
                         DIM_GAS_RATE};
}

static struct need of_liquid(const struct span *s, const char *words,
                             double past)
{
    return (struct need){words, past * s->today.units.oil_sm3s, "stb/d",
                         DIM_LIQUID_RATE};
}

static struct need of_field_row(const struct span *s, size_t row, double past)
{
    switch (row) {
    case ROW_BALANCE:
        return of_gas(s,
                      past > 0 ? "more outlet for gas (sales, flare)"
                               : "more gas (market, less sales)",
                      past);
    case ROW_COMPRESSED:
        return of_gas(s,
                      past > 0 ? "less gas through the units (their least rate)"
                               : "more compression",
                      past);
    case ROW_LIQUID:
        return of_liquid(s, "more liquid handling", past);
    case ROW_WATER:
        return of_liquid(s, "more water handling", past);
    case ROW_GAS:
        return of_gas(s, "more gas handling", past);
    case ROW_POWER:
        return (struct need){"more electric power",
                             past * s->today.units.gas_sm3s * POWER_UNIT, "kW",
                             DIM_POWER};
    default:
        return of_gas(s, "more lift gas", past);
    }
}

static const char *clock_of(const struct span *s, size_t k, struct arena *a)
{
    const struct outage *o = s->outage;
    long minutes = lround((o->start_s + (double)k * o->period_s) / 60);
    long day = minutes / (24L * 60), of_day = minutes % (24L * 60);
    const char *time = arena_printf(a, "%02ld:%02ld", of_day / 60, of_day % 60);
    return day > 0 ? arena_printf(a, "+%ld %s", day, time) : time;
}

static void add_need(const struct span *s, size_t from, size_t to,
                     const struct need *n, struct arena *a, struct strbuf *out)
{
    strbuf_addf(out, "%s %s to %s %s %s", out->len > 0 ? ";" : "",
                clock_of(s, from, a), clock_of(s, to, a), n->words,
                amount(s, n, a));
}

static double past_at(const struct master *m, size_t k, size_t row)
{
    size_t at = m->rows.field[k][row];
    return at == SIZE_MAX ? 0 : m->past_row[at];
}

/* Periods that follow each other with the same need are one. */
static void add_field_row(const struct master *m, size_t row, struct arena *a,
                          struct strbuf *out)
{
    const struct span *s = m->span;
    for (size_t k = 0; k < s->n_periods;) {
        double past = past_at(m, k, row);
        size_t end = k + 1;
        while (end < s->n_periods &&
               fabs(past_at(m, end, row) - past) <= TOL_OUTAGE_PAST)
            end++;
        if (fabs(past) > TOL_OUTAGE_PAST) {
            struct need n = of_field_row(s, row, past);
            add_need(s, k, end, &n, a, out);
        }
        k = end;
    }
}

static struct need of_own(const struct span *s, const struct own_limit *l,
                          double past, struct arena *a)
{
    const struct limit_row *row = &s->period[l->period].row[l->row];
    if (row->scope == SCOPE_PAIR)
        return of_gas(s, "a well without the one it runs with", past);
    const char *name =
        s->today.field->groups[row->scope].group[row->group].name;
    switch ((int)row->kind) {
    case PLAN_LIMIT_LIQUID:
        return of_liquid(s, arena_printf(a, "more liquid on %s", name), past);
    case PLAN_LIMIT_WATER:
        return of_liquid(s, arena_printf(a, "more water on %s", name), past);
    default:
        return of_gas(s, arena_printf(a, "more gas on %s", name), past);
    }
}

static void add_shifts(const struct master *m, struct arena *a,
                       struct strbuf *out)
{
    const struct outage *o = m->span->outage;
    for (size_t i = 0; i < o->n_shifts; i++) {
        size_t at = m->rows.shift[i];
        double past = at == SIZE_MAX ? 0 : m->past_row[at];
        size_t from = (size_t)fmax(o->shift[i].from_s / o->period_s, 0);
        if (past > TOL_OUTAGE_PAST)
            strbuf_addf(out, "%s in the shift from %s %.0f more moves",
                        out->len > 0 ? ";" : "", clock_of(m->span, from, a),
                        ceil(past - TOL_OUTAGE_PAST));
    }
}

static void add_ramps(const struct master *m, struct arena *a,
                      struct strbuf *out)
{
    const struct span *s = m->span;
    const struct field_groups *g = &s->today.field->groups[GROUP_MANIFOLD];
    for (size_t i = 0; i < g->n; i++)
        for (size_t k = 1; k < s->n_periods; k++) {
            size_t at = m->rows.ramp[i][k];
            double past = at == SIZE_MAX ? 0 : m->past_row[at];
            if (!(fabs(past) > TOL_OUTAGE_PAST))
                continue;
            struct need n = of_gas(
                s,
                arena_printf(a, "a faster change of %s by", g->group[i].name),
                past);
            add_need(s, k, k + 1, &n, a, out);
        }
}

const char *outage_conflict(const struct master *m, struct arena *a)
{
    struct strbuf out;
    strbuf_init(&out, a);
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        add_field_row(m, r, a, &out);
    for (size_t i = 0; i < m->n_own; i++) {
        const struct own_limit *l = &m->own[i];
        double past = m->past_row[m->rows.n + i];
        if (!(fabs(past) > TOL_OUTAGE_PAST))
            continue;
        struct need n = of_own(m->span, l, past, a);
        add_need(m->span, l->period, l->period + 1, &n, a, &out);
    }
    add_shifts(m, a, &out);
    add_ramps(m, a, &out);
    return arena_printf(a,
                        "no way through the outage meets every limit; it "
                        "would take, at least:%s",
                        out.text);
}
