/* The page that a production supervisor reads at six in the morning: what to
 * do first, then what it rests on. */
#include "morning.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "casing.h"
#include "page.h"
#include "relax.h"
#include "report/grid.h"
#include "station.h"

#define INDENT 2

/* Wells named for a limit; the rest are counted. */
#define SETTERS_MOST 4

/* Part of a group's limit from which on it is shown. */
#define NEAR_LIMIT 0.9

static bool has_plan(const struct morning *m)
{
    return m->plan.outcome != PLAN_IMPOSSIBLE;
}

/* The plan; without one, what this morning's rates come to. */
static const struct plan *shown(const struct morning *m)
{
    return has_plan(m) ? &m->plan : &m->now;
}

static const char *goal_text(const struct report *r, const struct plan *p)
{
    switch (p->objective) {
    case PLAN_OIL:
        return "lift gas for the most oil";
    case PLAN_MONEY:
        return "lift gas for the most money";
    case PLAN_GAS:
        break;
    }
    return arena_printf(r->show.arena, "the least lift gas for %s of oil",
                        show_full(&r->show, SHOW_LIQUID, p->oil_target_sm3s));
}

static void write_title(const struct report *r, const struct morning *m,
                        struct strbuf *out)
{
    const char *outcome = morning_outcome_text(r, &m->plan);
    if (has_plan(m) && m->verify.n_faults > 0)
        outcome = "DO NOT USE, the plan failed its own check (see CHECK)";
    page_say(r, out, INDENT, "%s: %s, %s, %s", outcome, goal_text(r, &m->plan),
             r->field->name, show_day(&r->show, r->field->day));
    strbuf_add(out, "\n");
}

static void say_oil(const struct report *r, const struct morning *m,
                    struct strbuf *out)
{
    const struct show *s = &r->show;
    double now = m->now.oil_sm3s, to = m->plan.oil_sm3s;
    const char *part =
        now > 0 ? arena_printf(s->arena, ", %s %%",
                               show_change(s, SHOW_PERCENT, (to - now) / now))
                : "";
    page_say(r, out, INDENT, "Oil goes from %s to %s (%s%s) with %zu %s.",
             show_number(s, SHOW_LIQUID, now), show_full(s, SHOW_LIQUID, to),
             show_step(s, SHOW_LIQUID, now, to), part, m->n_moves,
             m->n_moves == 1 ? "move" : "moves");
    if (r->field->prices.given)
        page_say(r, out, INDENT, "Money goes from %s to %s (%s).",
                 show_full(s, SHOW_MONEY, m->now.money_s),
                 show_full(s, SHOW_MONEY, m->plan.money_s),
                 show_step(s, SHOW_MONEY, m->now.money_s, m->plan.money_s));
}

/* " of 28.00 allowed", "" without such a limit. */
static const char *of_bound(const struct report *r, const struct plan *p,
                            enum plan_limit_kind kind, const char *word)
{
    const struct plan_limit *l = morning_limit(p, kind);
    if (l == NULL || !isfinite(l->bound))
        return "";
    return arena_printf(r->show.arena, " of %s %s",
                        show_number(&r->show, SHOW_FIELD_GAS, l->bound), word);
}

static void say_gas(const struct report *r, const struct morning *m,
                    struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct plan *p = &m->plan;
    page_say(r, out, INDENT,
             "Lift gas goes from %s to %s%s; the compressors take %s%s.",
             show_number(s, SHOW_FIELD_GAS, m->now.balance.lift),
             show_full(s, SHOW_FIELD_GAS, p->balance.lift),
             of_bound(r, p, PLAN_LIMIT_LIFT, "allowed"),
             show_full(s, SHOW_FIELD_GAS, p->balance.compressed),
             of_bound(r, p, PLAN_LIMIT_COMPRESSION, "running"));
}

static const char *money_in_brackets(const struct report *r, double money_s)
{
    if (!r->field->prices.given || !isfinite(money_s))
        return "";
    return arena_printf(r->show.arena, " (%s)",
                        show_full(&r->show, SHOW_MONEY, money_s));
}

/* What a step of gas changes: "would make 84 stb/d more ($5200/d)". */
static const char *step_text(const struct report *r, double oil_sm3s,
                             double money_s)
{
    const struct show *s = &r->show;
    if (!isfinite(oil_sm3s))
        return "leaves no plan that meets every limit";
    const char *change = show_change(s, SHOW_LIQUID, oil_sm3s);
    const char *money = money_in_brackets(r, money_s);
    if (change[0] != '+' && change[0] != '-')
        return arena_printf(s->arena, "would change no oil%s", money);
    return arena_printf(s->arena, "would %s %s%s",
                        change[0] == '+' ? "make" : "cost",
                        show_full(s, SHOW_LIQUID, fabs(oil_sm3s)), money);
}

static void say_step(const struct report *r, const struct morning *m,
                     struct strbuf *out)
{
    const struct show *s = &r->show;
    double step_sm3s =
        unit_to_si(unit_named(DIM_GAS_RATE, "MMscf/d"), 1, &s->frame);
    const char *step =
        s->system == SHOW_METRIC
            ? arena_printf(s->arena, "MMscf/d (%s)",
                           show_full(s, SHOW_FIELD_GAS, step_sm3s))
            : "MMscf/d";
    page_say(r, out, INDENT, "One more %s of gas %s; one less %s.", step,
             step_text(r, m->more_oil_sm3s, m->more_money_s),
             step_text(r, m->less_oil_sm3s, m->less_money_s));
}

static void say_beyond(const struct report *r, const struct morning *m,
                       struct strbuf *out)
{
    if (m->n_beyond > 0)
        page_say(r, out, INDENT,
                 "%zu %s more gas this morning than the curve reaches: \"now\""
                 " counts the oil at the curve's end.",
                 m->n_beyond, m->n_beyond == 1 ? "well takes" : "wells take");
}

static void write_impossible(const struct report *r, const struct morning *m,
                             struct strbuf *out)
{
    const struct show *s = &r->show;
    if (m->plan.conflict != NULL)
        page_say(r, out, INDENT, "%c%s.", toupper(m->plan.conflict[0]),
                 m->plan.conflict + 1);
    page_say(r, out, INDENT,
             "This morning's rates make %s with %s of lift gas. No move is "
             "advised before a limit is relaxed.",
             show_full(s, SHOW_LIQUID, m->now.oil_sm3s),
             show_full(s, SHOW_FIELD_GAS, m->now.balance.lift));
    relax_table(r, &m->plan, out);
}

static void add_move(const struct report *r, const struct move *move,
                     struct grid *g)
{
    const struct show *s = &r->show;
    const char **cell = grid_row(g);
    cell[0] = arena_printf(s->arena, "%zu", g->n_rows);
    cell[1] = r->field->well[move->well].name;
    cell[2] = morning_move_text(move->kind);
    cell[3] = show_number(s, SHOW_WELL_GAS, move->from_sm3s);
    cell[4] = show_number(s, SHOW_WELL_GAS, move->to_sm3s);
    cell[5] = show_step(s, SHOW_WELL_GAS, move->from_sm3s, move->to_sm3s);
    cell[6] = show_change(s, SHOW_LIQUID, move->oil_change_sm3s);
    cell[7] = show_number(s, SHOW_OIL_PER_GAS, move->oil_per_gas);
    cell[8] = move->reason;
}

/* The gas for the wells that get more comes from those that get less. */
static void say_order(const struct report *r, const struct morning *m,
                      struct strbuf *out)
{
    size_t n_cuts = 0, n_starts = 0;
    for (size_t i = 0; i < m->n_moves; i++) {
        n_cuts += m->move[i].to_sm3s < m->move[i].from_sm3s;
        n_starts += m->move[i].kind == MOVE_START;
    }
    if (n_cuts > 0 && n_cuts < m->n_moves)
        page_say(r, out, INDENT,
                 "Make the cuts before the raises: the raises need that "
                 "gas.");
    if (n_starts > 0)
        page_say(r, out, INDENT,
                 "The kick-off gas and the hours that a start takes are not "
                 "counted here.");
}

static void write_moves(const struct report *r, const struct morning *m,
                        struct strbuf *out)
{
    const char *gas = show_unit(&r->show, SHOW_WELL_GAS);
    const struct grid_column columns[] = {
        {{"#"}, true},
        {{"well"}, false},
        {{"do"}, false},
        {{"from", gas}, true},
        {{"to", gas}, true},
        {{"change", gas}, true},
        {{"oil", show_unit(&r->show, SHOW_LIQUID)}, true},
        {{"oil/gas", show_unit(&r->show, SHOW_OIL_PER_GAS)}, true},
        {{"why"}, false},
    };
    if (m->n_moves == 0) {
        page_head(r, out, "MOVES: none. Leave every well as it is.");
        return;
    }
    page_head(r, out, "MOVES, best first");
    struct grid g;
    grid_init(&g, r->show.arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < m->n_moves; i++)
        add_move(r, &m->move[i], &g);
    grid_write(&g, 0, r->width, out);
    say_order(r, m, out);
}

static void write_kept(const struct report *r, const struct morning *m,
                       struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"well"}, false},
        {{"lift gas", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"why"}, false},
    };
    if (m->n_kept == 0)
        return;
    page_head(r, out, "LEAVE ALONE");
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < m->n_kept; i++) {
        const struct field_well *w = &r->field->well[m->kept[i].well];
        const char **cell = grid_row(&g);
        cell[0] = w->name;
        cell[1] = show_number(s, SHOW_WELL_GAS, field_well_now_sm3s(w));
        cell[2] = m->kept[i].reason;
    }
    grid_write(&g, 0, r->width, out);
}

/* One line of the balance, now and planned. */
static void add_flow(const struct report *r, struct grid *g, const char *label,
                     double now_sm3s, double plan_sm3s)
{
    const char **cell = grid_row(g);
    cell[0] = label;
    cell[1] = show_number(&r->show, SHOW_FIELD_GAS, now_sm3s);
    if (g->n_columns > 2)
        cell[2] = show_number(&r->show, SHOW_FIELD_GAS, plan_sm3s);
}

static double gas_in(const struct gas_balance *b)
{
    return b->formation + b->lift + b->bought;
}

static double gas_out(const struct gas_balance *b)
{
    return b->lift + b->sales + b->fuel + b->flare + b->shrinkage;
}

static void add_flows(const struct report *r, const struct gas_balance *now,
                      const struct gas_balance *to, struct grid *g)
{
    add_flow(r, g, "formation gas", now->formation, to->formation);
    add_flow(r, g, "lift gas returned", now->lift, to->lift);
    add_flow(r, g, "gas bought", now->bought, to->bought);
    add_flow(r, g, "  all in", gas_in(now), gas_in(to));
    add_flow(r, g, "lift gas", now->lift, to->lift);
    add_flow(r, g, "sales", now->sales, to->sales);
    add_flow(r, g, "fuel", now->fuel, to->fuel);
    add_flow(r, g, "flare", now->flare, to->flare);
    add_flow(r, g, "shrinkage", now->shrinkage, to->shrinkage);
    add_flow(r, g, "  all out", gas_out(now), gas_out(to));
    add_flow(r, g, "closing error", now->error, to->error);
    add_flow(r, g, "compressed", now->compressed, to->compressed);
}

static void write_balance(const struct report *r, const struct morning *m,
                          struct strbuf *out)
{
    static const struct grid_column COLUMNS[] = {
        {{""}, false}, {{"now"}, true}, {{"plan"}, true}};
    page_head(r, out, "GAS BALANCE, %s", show_unit(&r->show, SHOW_FIELD_GAS));
    struct grid g;
    grid_init(&g, r->show.arena, COLUMNS, has_plan(m) ? 3 : 2);
    add_flows(r, &m->now.balance, &m->plan.balance, &g);
    grid_write(&g, 0, r->width, out);
    station_table(r, m, out);
}

static const char *number_of_limit(const struct report *r,
                                   const struct plan_limit *l, double value)
{
    if (l->kind == PLAN_LIMIT_MOVES)
        return arena_printf(r->show.arena, "%.0f", value);
    return show_number(&r->show, morning_limit_quantity(l), value);
}

/* Between which values of the limit its worth holds: " from 22.9 to 23.1". */
static const char *holds_text(const struct report *r,
                              const struct plan_limit *l)
{
    if (l->kind == PLAN_LIMIT_MOVES || !(l->price_from < l->price_to))
        return "";
    const char *from = number_of_limit(r, l, l->price_from);
    if (!isfinite(l->price_to))
        return arena_printf(r->show.arena, " from %s on", from);
    return arena_printf(r->show.arena, " from %s to %s", from,
                        number_of_limit(r, l, l->price_to));
}

/* The wells that stand between points of their curves: they give and take when
 * the limit moves. */
static void say_setters(const struct report *r, const struct plan *p,
                        struct strbuf *out)
{
    struct strbuf list;
    strbuf_init(&list, r->show.arena);
    size_t n = 0;
    for (size_t i = 0; i < p->n_limits; i++) {
        const struct plan_limit *l = &p->limit[i];
        if (l->n_setters == 0)
            continue;
        strbuf_addf(&list, "%s%s (", n++ > 0 ? "; " : "",
                    morning_limit_text(r, l));
        for (size_t k = 0; k < l->n_setters && k < SETTERS_MOST; k++)
            strbuf_addf(&list, "%s%s", k > 0 ? ", " : "",
                        r->field->well[l->setter[k]].name);
        if (l->n_setters > SETTERS_MOST)
            strbuf_addf(&list, " and %zu more", l->n_setters - SETTERS_MOST);
        strbuf_add(&list, ")");
    }
    if (n > 0)
        page_say(r, out, INDENT, "Wells that set a worth: %s.", list.text);
}

static const char *limit_note(const struct report *r, const struct plan *p,
                              const struct plan_limit *l)
{
    bool is_least =
        l->kind == PLAN_LIMIT_SALES_MIN || l->kind == PLAN_LIMIT_OIL_TARGET;
    bool is_broken = is_least ? l->used < l->bound : l->used > l->bound;
    /* Broken by less than the digits shown is kept. */
    if (is_broken && strcmp(number_of_limit(r, l, l->used),
                            number_of_limit(r, l, l->bound)) != 0)
        return "BROKEN";
    if (!l->binding)
        return NULL;
    if (!(fabs(l->price) > 0))
        return "reached";
    return arena_printf(r->show.arena, "BINDING, worth %s%s",
                        morning_worth_text(r, p, l), holds_text(r, l));
}

/* Groups have many limits: those that are far from it only count. */
static bool is_far(const struct plan_limit *l)
{
    return l->scope != N_GROUP_KINDS && !l->binding &&
           l->used < NEAR_LIMIT * l->bound;
}

static void write_limits(const struct report *r, const struct plan *p,
                         struct strbuf *out)
{
    static const struct grid_column COLUMNS[] = {{{"limit"}, false},
                                                 {{"used"}, true},
                                                 {{"allowed"}, true},
                                                 {{"unit"}, false},
                                                 {{""}, false}};
    struct grid g;
    bool has_worth = false;
    size_t n_far = 0;
    grid_init(&g, r->show.arena, COLUMNS, sizeof COLUMNS / sizeof COLUMNS[0]);
    for (size_t i = 0; i < p->n_limits; i++) {
        const struct plan_limit *l = &p->limit[i];
        n_far += is_far(l);
        if (!isfinite(l->bound) || is_far(l))
            continue;
        const char **cell = grid_row(&g);
        cell[0] = morning_limit_text(r, l);
        cell[1] = number_of_limit(r, l, l->used);
        cell[2] = number_of_limit(r, l, l->bound);
        cell[3] = l->kind == PLAN_LIMIT_MOVES
                      ? "moves"
                      : show_unit(&r->show, morning_limit_quantity(l));
        cell[4] = limit_note(r, p, l);
        has_worth = has_worth || fabs(l->price) > 0;
    }
    if (g.n_rows == 0)
        return;
    page_head(r, out, "LIMITS");
    grid_write(&g, 0, r->width, out);
    if (n_far > 0)
        page_say(r, out, INDENT,
                 "%zu %s of groups %s more than a tenth below: not shown.",
                 n_far, n_far == 1 ? "limit" : "limits",
                 n_far == 1 ? "is" : "are");
    if (has_worth)
        page_say(r, out, INDENT,
                 "Worth: what one more of a binding limit would bring (one "
                 "less of a minimum), within the range given; with none given "
                 "the next step has another worth.");
    say_setters(r, p, out);
}

static const char *miss_text(const struct report *r, double promised,
                             double delivered)
{
    const struct show *s = &r->show;
    const char *part =
        promised > 0
            ? arena_printf(s->arena, " (%s %%)",
                           show_change(s, SHOW_PERCENT,
                                       (delivered - promised) / promised))
            : "";
    return arena_printf(s->arena, "%s of %s promised%s",
                        show_full(s, SHOW_LIQUID, delivered),
                        show_number(s, SHOW_LIQUID, promised), part);
}

/* Why no plan can be better, or how much better one could be. */
static void say_proof(const struct report *r, const struct plan *p,
                      struct strbuf *out)
{
    static const char *const WORDS[] = {
#define WORD(name, words) words,
        PLAN_PROOF_LIST(WORD)
#undef WORD
    };
    if (!isfinite(p->bound))
        return;
    enum show_quantity q = morning_goal_quantity(p);
    double bound = p->objective == PLAN_GAS ? -p->bound : p->bound;
    page_say(r, out, INDENT, "No plan can %s than %s. Proof: %s.",
             p->objective == PLAN_GAS ? "do with less" : "make more",
             show_full(&r->show, q, bound), WORDS[p->proof]);
}

static void write_check(const struct report *r, const struct morning *m,
                        struct strbuf *out)
{
    const struct verify *v = &m->verify;
    page_head(r, out, "CHECK, by code that shares nothing with the planner");
    for (size_t i = 0; i < v->n_faults; i++)
        page_say(r, out, 4, "- FAILED: %s", v->fault[i].what);
    if (v->n_faults == 0)
        page_say(r, out, INDENT, "Every limit holds and the sums are right.");
    say_proof(r, &m->plan, out);
    size_t n_run = 0;
    for (size_t i = 0; i < r->field->n_wells; i++)
        n_run += v->well[i].checked;
    if (n_run == 0) {
        page_say(r, out, INDENT,
                 "No well model was run: measured curves cannot be checked.");
        return;
    }
    page_say(r, out, INDENT,
             "The models of %zu wells, run again at the planned rates, bring "
             "the field to %s.",
             n_run, miss_text(r, v->promised_oil_sm3s, v->delivered_oil_sm3s));
    if (v->worst < r->field->n_wells) {
        const struct verify_well *w = &v->well[v->worst];
        page_say(r, out, INDENT, "The worst well is %s: %s.",
                 r->field->well[v->worst].name,
                 miss_text(r, w->promised_oil_sm3s, w->delivered_oil_sm3s));
    }
}

void morning_table(const struct report *r, const struct morning *m,
                   struct strbuf *out)
{
    write_title(r, m, out);
    if (has_plan(m)) {
        say_oil(r, m, out);
        say_gas(r, m, out);
        say_step(r, m, out);
    } else {
        write_impossible(r, m, out);
    }
    say_beyond(r, m, out);
    if (has_plan(m)) {
        write_moves(r, m, out);
        casing_notes(r, &m->plan, out);
    }
    write_kept(r, m, out);
    write_balance(r, m, out);
    write_limits(r, shown(m), out);
    if (has_plan(m)) {
        casing_table(r, &m->verify, out);
        write_check(r, m, out);
    }
    page_warnings(r, out);
    page_cautions(r, out);
    page_foot(r, out);
}
