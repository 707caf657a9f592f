/* The page for the control room: what happens when, who does what, what it
 * costs and what that rests on. */
#include "outage.h"

#include <ctype.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "morning.h"
#include "num/tol.h"
#include "page.h"
#include "report/grid.h"

#define INDENT 2
#define MOST_COLUMNS 12

static bool has_plan(const struct outage_facts *x)
{
    return x->plan->outcome != PLAN_IMPOSSIBLE;
}

static const char *clock_at(const struct report *r,
                            const struct outage_facts *x, size_t period)
{
    return outage_clock(r, x->outage, outage_time_s(x->outage, period));
}

/* --- head ----------------------------------------------------------------- */

static void write_title(const struct report *r, const struct outage_facts *x,
                        struct strbuf *out)
{
    const struct plan summary = {.outcome = x->plan->outcome,
                                 .gap = x->plan->gap};
    const char *outcome = morning_outcome_text(r, &summary);
    if (has_plan(x) && x->fault[0] != NULL)
        outcome = "DO NOT USE, the plan failed its own check (see CHECK)";
    page_say(r, out, INDENT, "%s: %s, %s, %s from %s to %s", outcome,
             x->outage->name, r->field->name, show_day(&r->show, r->field->day),
             clock_at(r, x, 0), clock_at(r, x, x->outage->n_periods));
    strbuf_add(out, "\n");
}

/* Of wells that are not back at the end. */
static void say_after(const struct report *r, const struct outage_facts *x,
                      struct strbuf *out)
{
    const struct outage_plan *p = x->plan;
    double after_sm3 = p->deferred_sm3 - (p->potential_sm3 - p->oil_sm3);
    if (after_sm3 > TOL_PLAN_SUM_REL * p->potential_sm3)
        page_say(r, out, INDENT,
                 "Of what is deferred %s are lost after the horizon, until all "
                 "wells are back at their rates.",
                 show_full(&r->show, SHOW_OIL_VOLUME, after_sm3));
}

static void say_oil(const struct report *r, const struct outage_facts *x,
                    struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct outage_plan *p = x->plan;
    const char *part =
        p->potential_sm3 > 0
            ? arena_printf(s->arena, ", %s %%",
                           show_number(s, SHOW_PERCENT,
                                       p->deferred_sm3 / p->potential_sm3))
            : "";
    page_say(r, out, INDENT,
             "Today's plan all along would make %s; this one makes %s: %s are "
             "deferred%s%s.",
             show_full(s, SHOW_OIL_VOLUME, p->potential_sm3),
             show_full(s, SHOW_OIL_VOLUME, p->oil_sm3),
             show_full(s, SHOW_OIL_VOLUME, p->deferred_sm3), part,
             r->field->prices.given
                 ? arena_printf(s->arena, ", worth %s",
                                show_full(s, SHOW_MONEY_SUM, p->money_lost))
                 : "");
    say_after(r, x, out);
}

/* Wells that make no oil and would with today's plan. */
static size_t standing(const struct outage_plan *p, size_t period)
{
    size_t n = 0;
    for (size_t i = 0; i < p->n_wells; i++) {
        enum well_phase phase = outage_well_in(p, period, i)->phase;
        bool stands = phase == PHASE_STOPPED || phase == PHASE_UNLOADS;
        n += stands && p->undisturbed.well[i].oil_sm3s > 0;
    }
    return n;
}

/* When and how many wells are off at once. */
static void say_wells(const struct report *r, const struct outage_facts *x,
                      struct strbuf *out)
{
    const struct outage_plan *p = x->plan;
    size_t worst = 0, most = 0, last = p->n_periods;
    for (size_t k = 0; k < p->n_periods; k++) {
        size_t n_off = standing(p, k);
        if (n_off > most) {
            most = n_off;
            worst = k;
        }
        if (n_off > 0)
            last = k;
    }
    if (most == 0)
        page_say(r, out, INDENT,
                 "No well has to stand that today's plan keeps going.");
    else if (last + 1 < p->n_periods)
        page_say(r, out, INDENT,
                 "At most %zu %s at once, first at %s; the last makes oil "
                 "again at %s.",
                 most, most == 1 ? "well stands" : "wells stand",
                 clock_at(r, x, worst), clock_at(r, x, last + 1));
    else
        page_say(r, out, INDENT,
                 "At most %zu %s at once, first at %s; not all make oil again "
                 "before the horizon ends.",
                 most, most == 1 ? "well stands" : "wells stand",
                 clock_at(r, x, worst));
}

static void say_gas(const struct report *r, const struct outage_facts *x,
                    struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct outage_plan *p = x->plan;
    page_say(
        r, out, INDENT, "Gas bought: %s; sold: %s; flared: %s in %.1f hours.",
        show_full(s, SHOW_FIELD_GAS_VOLUME, p->bought_sm3),
        show_full(s, SHOW_FIELD_GAS_VOLUME, p->sold_sm3),
        show_full(s, SHOW_FIELD_GAS_VOLUME, p->flared_sm3), p->flare_hours);
}

/* --- when to start -------------------------------------------------------- */

static void write_starts(const struct report *r, const struct outage_facts *x,
                         struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"start at"}, true},
        {{"deferred", show_unit(s, SHOW_OIL_VOLUME)}, true},
        {{"worth", show_unit(s, SHOW_MONEY_SUM)}, true},
        {{""}, false},
    };
    struct grid g;
    bool has_money = r->field->prices.given;
    if (x->starts == NULL)
        return;
    page_head(r, out, "WHEN TO START the planned work");
    grid_init(&g, s->arena, columns, 4);
    for (size_t i = 0; i < x->starts->n; i++) {
        const struct outage_start *start = &x->starts->start[i];
        const char **cell = grid_row(&g);
        cell[0] = outage_clock(r, x->outage, start->start_s);
        if (start->outcome == PLAN_IMPOSSIBLE) {
            cell[3] = "no plan";
            continue;
        }
        cell[1] = show_number(s, SHOW_OIL_VOLUME, start->deferred_sm3);
        if (has_money)
            cell[2] = show_number(s, SHOW_MONEY_SUM, start->money_lost);
        cell[3] = i == x->starts->best ? "BEST, shown here" : NULL;
    }
    grid_write(&g, 0, r->width, out);
}

/* --- timeline ------------------------------------------------------------- */

/* What the units can deliver in the period. */
static double available_sm3s(const struct outage_facts *x, size_t k)
{
    return field_capacity_sm3s(&x->outage->period[k]);
}

static bool any_bought(const struct outage_facts *x)
{
    for (size_t k = 0; k < x->outage->n_periods; k++)
        if (x->outage->period[k].market.max_sm3s > 0)
            return true;
    return false;
}

/* As much as is seen in the digits shown. */
static bool any_flared(const struct report *r, const struct outage_facts *x)
{
    const char *none = show_number(&r->show, SHOW_FIELD_GAS, 0);
    for (size_t k = 0; k < x->plan->n_periods; k++)
        if (strcmp(show_number(&r->show, SHOW_FIELD_GAS,
                               x->plan->period[k].balance.flare),
                   none) != 0)
            return true;
    return false;
}

/* The columns in use: those of what the field does not have are left out. */
static size_t timeline_columns(const struct report *r,
                               const struct outage_facts *x,
                               struct grid_column *c)
{
    const struct show *s = &r->show;
    const char *gas = show_unit(s, SHOW_FIELD_GAS);
    const char *oil = show_unit(s, SHOW_LIQUID);
    size_t n = 0;
    c[n++] = (struct grid_column){{"from"}, true};
    c[n++] = (struct grid_column){{"units", "have", gas}, true};
    c[n++] = (struct grid_column){{"lift", "gas", gas}, true};
    if (any_bought(x))
        c[n++] = (struct grid_column){{"bought", gas}, true};
    if (any_flared(r, x))
        c[n++] = (struct grid_column){{"flared", gas}, true};
    if (x->outage->store_most_sm3 > 0)
        c[n++] = (struct grid_column){
            {"stored", show_unit(s, SHOW_WELL_GAS_VOLUME)}, true};
    c[n++] = (struct grid_column){{"wells", "off"}, true};
    c[n++] = (struct grid_column){{"un-", "load"}, true};
    c[n++] = (struct grid_column){{"oil", oil}, true};
    c[n++] = (struct grid_column){{"def.", oil}, true};
    return n;
}

static void fill_period(const struct report *r, const struct outage_facts *x,
                        size_t k, const char **cell)
{
    const struct show *s = &r->show;
    const struct outage_period *p = &x->plan->period[k];
    size_t n = 0;
    cell[n++] = clock_at(r, x, k);
    cell[n++] = show_number(s, SHOW_FIELD_GAS, available_sm3s(x, k));
    cell[n++] = show_number(s, SHOW_FIELD_GAS, p->balance.lift);
    if (any_bought(x))
        cell[n++] = show_number(s, SHOW_FIELD_GAS, p->balance.bought);
    if (any_flared(r, x))
        cell[n++] = show_number(s, SHOW_FIELD_GAS, p->balance.flare);
    if (x->outage->store_most_sm3 > 0)
        cell[n++] = show_number(s, SHOW_WELL_GAS_VOLUME, p->stored_sm3);
    cell[n++] = arena_printf(s->arena, "%zu", p->n_stopped);
    cell[n++] = arena_printf(s->arena, "%zu", p->n_unloading);
    cell[n++] = show_number(s, SHOW_LIQUID, p->oil_sm3s);
    cell[n++] = show_number(s, SHOW_LIQUID, p->deferred_sm3s);
}

/* Beside the time, which comes first. */
static bool is_alike(const char *const *a, const char *const *b, size_t n)
{
    for (size_t i = 1; i < n; i++)
        if (strcmp(a[i], b[i]) != 0)
            return false;
    return true;
}

static void write_timeline(const struct report *r, const struct outage_facts *x,
                           struct strbuf *out)
{
    struct grid_column columns[MOST_COLUMNS];
    size_t n = timeline_columns(r, x, columns);
    struct grid g;
    const char **row = NULL;
    page_head(r, out, "HOUR BY HOUR");
    grid_init(&g, r->show.arena, columns, n);
    for (size_t k = 0; k < x->plan->n_periods; k++) {
        const char *cell[MOST_COLUMNS];
        fill_period(r, x, k, cell);
        if (row != NULL && is_alike(row, cell, n))
            continue;
        row = grid_row(&g);
        memcpy(row, cell, n * sizeof *cell);
    }
    grid_write(&g, 0, r->width, out);
    page_say(r, out, INDENT,
             "The last line holds until %s. Units have: what the compressors "
             "that are up could compress. Def.: deferred.",
             clock_at(r, x, x->plan->n_periods));
}

/* --- orders --------------------------------------------------------------- */

static void add_order(const struct report *r, const struct outage_facts *x,
                      const struct order *o, struct grid *g)
{
    const struct show *s = &r->show;
    const char **cell = grid_row(g);
    cell[0] = clock_at(r, x, o->period);
    cell[1] = r->field->well[o->well].name;
    cell[2] = outage_order_text(o->kind);
    cell[3] = show_number(s, SHOW_WELL_GAS, o->from_sm3s);
    cell[4] = show_number(s, SHOW_WELL_GAS, o->to_sm3s);
    cell[5] = show_change(s, SHOW_LIQUID, o->oil_to_sm3s - o->oil_from_sm3s);
    cell[6] = outage_order_reason(r, x, o);
}

static bool is_in_shift(const struct outage_facts *x, const struct order *o,
                        const struct outage_shift *shift)
{
    double s = outage_time_s(x->outage, o->period);
    return s >= shift->from_s && s < shift->to_s;
}

static void write_shift(const struct report *r, const struct outage_facts *x,
                        const struct orders *orders,
                        const struct outage_shift *shift, struct strbuf *out)
{
    const char *gas = show_unit(&r->show, SHOW_WELL_GAS);
    const struct grid_column columns[] = {
        {{"at"}, true},      {{"well"}, false},
        {{"do"}, false},     {{"from", gas}, true},
        {{"to", gas}, true}, {{"oil", show_unit(&r->show, SHOW_LIQUID)}, true},
        {{"why"}, false},
    };
    struct grid g;
    grid_init(&g, r->show.arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < orders->n; i++)
        if (is_in_shift(x, &orders->order[i], shift))
            add_order(r, x, &orders->order[i], &g);
    const char *allowed =
        shift->moves_max == SIZE_MAX
            ? ""
            : arena_printf(r->show.arena, " of %zu", shift->moves_max);
    page_head(r, out, "ORDERS, shift %s to %s: %zu%s changes",
              outage_clock(r, x->outage, shift->from_s),
              outage_clock(r, x->outage, shift->to_s), g.n_rows, allowed);
    grid_write(&g, 0, r->width, out);
}

static void write_orders(const struct report *r, const struct outage_facts *x,
                         struct strbuf *out)
{
    struct orders orders = outage_orders(r, x);
    for (size_t i = 0; i < x->outage->n_shifts; i++)
        write_shift(r, x, &orders, &x->outage->shift[i], out);
    if (orders.n > 0)
        page_say(r, out, INDENT,
                 "At each time first what gives gas, the least oil for it "
                 "first; then wells that flow; then those that have to be "
                 "kicked off, the most oil for its gas first. Oil: the change, "
                 "of a start when it is at its rate.");
}

/* --- wells without gas ---------------------------------------------------- */

static const char *leave_text(const struct report *r,
                              const struct outage_facts *x,
                              const struct rest *rest)
{
    double stands_s = (double)(rest->to - rest->from) * x->outage->period_s;
    if (isinf(rest->leave_s))
        return "no limit entered";
    return arena_printf(
        r->show.arena, "%s h at most%s", outage_hours(r, rest->leave_s),
        stands_s > rest->leave_s ? ": TOO LONG, look at it" : "");
}

static void write_rests(const struct report *r, const struct outage_facts *x,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"well"}, false},
        {{"from"}, true},
        {{"to"}, true},
        {{"hours"}, true},
        {{""}, false},
        {{"oil", show_unit(s, SHOW_LIQUID)}, true},
        {{"may be left"}, false},
    };
    struct rests rests = outage_rests(r, x);
    struct grid g;
    if (rests.n == 0)
        return;
    page_head(r, out, "WELLS WITHOUT GAS");
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < rests.n; i++) {
        const struct rest *rest = &rests.rest[i];
        const char **cell = grid_row(&g);
        cell[0] = r->field->well[rest->well].name;
        cell[1] = clock_at(r, x, rest->from);
        cell[2] = clock_at(r, x, rest->to);
        cell[3] = outage_hours(r, (double)(rest->to - rest->from) *
                                      x->outage->period_s);
        cell[4] = rest->flows ? "flows by itself" : "stands";
        cell[5] = show_number(s, SHOW_LIQUID, rest->oil_sm3s);
        cell[6] = leave_text(r, x, rest);
    }
    grid_write(&g, 0, r->width, out);
}

/* --- what it costs, what it rests on -------------------------------------- */

static void write_losses(const struct report *r, const struct outage_facts *x,
                         struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"lost to"}, false},
        {{"oil", show_unit(s, SHOW_OIL_VOLUME)}, true},
        {{"worth", show_unit(s, SHOW_MONEY_SUM)}, true},
    };
    struct grid g;
    if (x->plan->n_losses == 0)
        return;
    page_head(r, out, "WHAT IT COSTS");
    grid_init(&g, s->arena, columns, r->field->prices.given ? 3 : 2);
    for (size_t i = 0; i < x->plan->n_losses; i++) {
        const struct outage_loss *l = &x->plan->loss[i];
        const char **cell = grid_row(&g);
        cell[0] = outage_cause_text(l->cause);
        cell[1] = show_number(s, SHOW_OIL_VOLUME, l->oil_sm3);
        if (r->field->prices.given)
            cell[2] = show_number(s, SHOW_MONEY_SUM, l->money);
    }
    grid_write(&g, 0, r->width, out);
}

static void say_sources(const struct report *r, const struct outage_facts *x,
                        struct strbuf *out)
{
    size_t n_model = 0, n_never = 0;
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct well_restart *w = &x->outage->restart[i];
        bool has_string =
            r->field->well[i].model && r->field->well[i].model->n_valves > 0;
        n_model += has_string && !w->is_input && w->unload_s > 0;
        n_never += !w->comes_back;
    }
    page_say(r, out, INDENT,
             "Time and gas of a restart: %zu %s from the model of its valves, "
             "the others as entered.",
             n_model, n_model == 1 ? "well" : "wells");
    if (n_never > 0)
        page_say(r, out, INDENT,
                 "%zu %s not come back by lift gas alone once stopped: the "
                 "plan does not stop %s.",
                 n_never, n_never == 1 ? "well does" : "wells do",
                 n_never == 1 ? "it" : "them");
}

static void write_check(const struct report *r, const struct outage_facts *x,
                        struct strbuf *out)
{
    static const char *const WORDS[] = {
#define WORD(name, words) words,
        PLAN_PROOF_LIST(WORD)
#undef WORD
    };
    const struct outage_plan *p = x->plan;
    enum show_quantity q =
        p->objective == PLAN_MONEY ? SHOW_MONEY_SUM : SHOW_OIL_VOLUME;
    page_head(r, out, "CHECK, by code that shares nothing with the planner");
    for (const char *const *f = x->fault; *f != NULL; f++)
        page_say(r, out, 4, "- FAILED: %s", *f);
    if (x->fault[0] == NULL)
        page_say(r, out, INDENT,
                 "Every limit and rule holds in every period and the sums are "
                 "right.");
    if (isfinite(p->bound))
        page_say(r, out, INDENT,
                 "No plan can come to more than %s over the horizon; this one "
                 "comes to %s, what wells that end it stopped take to come "
                 "back taken off. Proof: %s.",
                 show_full(&r->show, q, p->bound),
                 show_full(&r->show, q, p->value), WORDS[p->proof]);
    say_sources(r, x, out);
}

static void write_impossible(const struct report *r,
                             const struct outage_facts *x, struct strbuf *out)
{
    const char *why = x->plan->conflict;
    if (why != NULL && why[0] != '\0')
        page_say(r, out, INDENT, "%c%s.", toupper((unsigned char)why[0]),
                 why + 1);
    page_say(r, out, INDENT, "No order is given before a limit is relaxed.");
}

void outage_table(const struct report *r, const struct outage_facts *x,
                  struct strbuf *out)
{
    write_title(r, x, out);
    if (has_plan(x)) {
        say_oil(r, x, out);
        say_wells(r, x, out);
        say_gas(r, x, out);
        write_starts(r, x, out);
        write_timeline(r, x, out);
        write_orders(r, x, out);
        write_rests(r, x, out);
        write_losses(r, x, out);
        write_check(r, x, out);
    } else {
        write_impossible(r, x, out);
    }
    page_warnings(r, out);
    page_cautions(r, out);
    page_foot(r, out);
}
