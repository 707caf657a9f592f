#include "morning.h"

#include <math.h>

#include "base/arena.h"
#include "base/numtext.h"

void report_morning(const struct report *r, const struct morning *m,
                    enum report_format f, struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(
        const struct report *, const struct morning *, struct strbuf *) = {
        [REPORT_TABLE] = morning_table,
        [REPORT_CSV] = morning_csv,
        [REPORT_JSON] = morning_json,
    };
    WRITERS[f](r, m, out);
}

const struct plan_limit *morning_limit(const struct plan *p,
                                       enum plan_limit_kind kind)
{
    for (size_t i = 0; i < p->n_limits; i++)
        if (p->limit[i].kind == kind && p->limit[i].scope == N_GROUP_KINDS)
            return &p->limit[i];
    return NULL;
}

const char *morning_limit_text(const struct report *r,
                               const struct plan_limit *l)
{
    static const char *const WORDS[] = {
#define WORD(name, words) words,
        PLAN_LIMIT_LIST(WORD)
#undef WORD
    };
    static const char *const GROUPS[] = {
#define GROUP(name, words) words,
        GROUP_LIST(GROUP)
#undef GROUP
    };
    if (l->scope != N_GROUP_KINDS)
        return arena_printf(r->show.arena, "%s, %s %s", WORDS[l->kind],
                            GROUPS[l->scope], l->name);
    return l->kind == PLAN_LIMIT_LIFT ? "lift gas, field" : WORDS[l->kind];
}

enum show_quantity morning_limit_quantity(const struct plan_limit *l)
{
    bool is_liquid = l->kind == PLAN_LIMIT_LIQUID ||
                     l->kind == PLAN_LIMIT_WATER ||
                     l->kind == PLAN_LIMIT_OIL_TARGET;
    if (l->kind == PLAN_LIMIT_POWER)
        return SHOW_POWER;
    return is_liquid ? SHOW_LIQUID : SHOW_FIELD_GAS;
}

enum show_quantity morning_goal_quantity(const struct plan *p)
{
    return p->objective == PLAN_MONEY ? SHOW_MONEY
           : p->objective == PLAN_OIL ? SHOW_LIQUID
                                      : SHOW_FIELD_GAS;
}

const char *morning_worth_text(const struct report *r, const struct plan *p,
                               const struct plan_limit *l)
{
    const struct show *s = &r->show;
    enum show_quantity goal = morning_goal_quantity(p), limit;
    limit = morning_limit_quantity(l);
    double price = fabs(l->price);
    if (l->kind == PLAN_LIMIT_MOVES)
        return show_full(s, goal, price);
    if (goal == SHOW_LIQUID && limit == SHOW_FIELD_GAS)
        return show_full(s, SHOW_OIL_PER_GAS, price);
    if (goal == SHOW_MONEY && limit == SHOW_FIELD_GAS)
        return show_full(s, SHOW_GAS_PRICE, price);
    if (goal == SHOW_MONEY && limit == SHOW_LIQUID)
        return show_full(s, SHOW_LIQUID_PRICE, price);
    /* Any other pair as so much for one of the limit's unit. */
    double one = 1 / show_value(s, limit, 1);
    char number[40];
    numtext_short(show_value(s, goal, price * one), 3, number, sizeof number);
    return arena_printf(s->arena, "%s %s per %s", number, show_unit(s, goal),
                        show_unit(s, limit));
}

const char *morning_move_text(enum move_kind kind)
{
    static const char *const WORDS[] = {
        [MOVE_START] = "start",
        [MOVE_MORE] = "more",
        [MOVE_LESS] = "less",
        [MOVE_STOP] = "stop",
    };
    return WORDS[kind];
}

const struct move *morning_move_of(const struct morning *m, size_t well)
{
    for (size_t i = 0; i < m->n_moves; i++)
        if (m->move[i].well == well)
            return &m->move[i];
    return NULL;
}

const char *morning_kept_reason(const struct morning *m, size_t well)
{
    for (size_t i = 0; i < m->n_kept; i++)
        if (m->kept[i].well == well)
            return m->kept[i].reason;
    return NULL;
}

const struct plan_well *morning_planned(const struct morning *m, size_t well)
{
    bool has_plan = m->plan.outcome != PLAN_IMPOSSIBLE;
    return has_plan ? &m->plan.well[well] : &m->now.well[well];
}

const char *morning_outcome_key(enum plan_outcome outcome)
{
    static const char *const KEYS[] = {
        [PLAN_OPTIMAL] = "optimal",
        [PLAN_WITHIN_GAP] = "within_gap",
        [PLAN_IMPOSSIBLE] = "impossible",
        [PLAN_STOPPED] = "stopped",
    };
    return KEYS[outcome];
}

/* A gap in percent, so small that fixed digits would show zero. */
static const char *gap_text(const struct plan *p, char *buf, size_t size)
{
    return numtext_short(100 * p->gap, 2, buf, size);
}

const char *morning_outcome_text(const struct report *r, const struct plan *p)
{
    char gap[32];
    switch (p->outcome) {
    case PLAN_IMPOSSIBLE:
        return "NO PLAN MEETS EVERY LIMIT";
    case PLAN_STOPPED:
        if (!isfinite(p->gap))
            return "NOT PROVEN OPTIMAL, stopped early";
        return arena_printf(r->show.arena,
                            "NOT PROVEN OPTIMAL, stopped early, at most %s %% "
                            "below the optimum",
                            gap_text(p, gap, sizeof gap));
    case PLAN_WITHIN_GAP:
        return arena_printf(r->show.arena, "PROVEN WITHIN %s %% OF THE OPTIMUM",
                            gap_text(p, gap, sizeof gap));
    case PLAN_OPTIMAL:
        break;
    }
    return "PROVEN OPTIMAL";
}
