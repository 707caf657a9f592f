/* The page for a talk about gas: what more of it would yield, what it costs,
 * and what everything that limits the field is worth. */
#include "market.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "morning.h"
#include "page.h"
#include "plot.h"
#include "report/grid.h"

#define INDENT 2

/* Points of the curve that are shown: all near today, and so many others. */
#define NEAR_TODAY 3
#define POINTS_ELSE 14

/* Wells that are shown, those with the cheapest gas first. */
#define WELLS_MOST 16

#define COLUMNS_OF(c) (sizeof(c) / sizeof((c)[0]))

static bool has_money(const struct report *r)
{
    return r->field->prices.given;
}

static const char *money(const struct report *r, double money_s)
{
    return has_money(r) ? show_number(&r->show, SHOW_MONEY, money_s) : NULL;
}

/* "16190 stb/d ($980311/d)" */
static const char *yield(const struct report *r, double oil_sm3s,
                         double money_s)
{
    const struct show *s = &r->show;
    const char *oil = show_full(s, SHOW_LIQUID, oil_sm3s);
    return has_money(r) ? arena_printf(s->arena, "%s (%s)", oil,
                                       show_full(s, SHOW_MONEY, money_s))
                        : oil;
}

/* What a step of the curve brings: "0.339 stb/Mscf ($20.68/Mscf)". */
static const char *slope(const struct report *r, const struct market_curve *c,
                         size_t i)
{
    const struct show *s = &r->show;
    const char *oil = show_full(s, SHOW_OIL_PER_GAS, market_oil_slope(c, i));
    return has_money(r) ? arena_printf(s->arena, "%s (%s)", oil,
                                       show_full(s, SHOW_GAS_PRICE,
                                                 market_money_slope(c, i)))
                        : oil;
}

/* --- headline ------------------------------------------------------------- */

static bool is_limited(const struct field *f)
{
    return isfinite(f->limits.caps.lift_sm3s) ||
           isfinite(field_capacity_sm3s(f));
}

static void say_less(const struct report *r, const struct market_curve *c,
                     struct strbuf *out)
{
    if (c->today == 0)
        return;
    const struct market_point *below = &c->point[c->today - 1];
    if (below->is_impossible)
        page_say(r, out, INDENT, "With less gas no plan meets every limit.");
    else
        page_say(r, out, INDENT, "The last %s of today's gas brings %s.",
                 show_full(&r->show, SHOW_FIELD_GAS, -below->gas_sm3s),
                 slope(r, c, c->today - 1));
}

static void say_more(const struct report *r, const struct market_curve *c,
                     struct strbuf *out)
{
    const struct show *s = &r->show;
    if (c->today + 1 == c->n) {
        page_say(r, out, INDENT, "More gas brings nothing.");
        return;
    }
    const struct market_point *end = &c->point[c->n - 1];
    page_say(r, out, INDENT, "The next %s would bring %s.",
             show_full(s, SHOW_FIELD_GAS, c->point[c->today + 1].gas_sm3s),
             slope(r, c, c->today));
    page_say(r, out, INDENT,
             "More gas brings something up to %s above today's: %s then.",
             show_full(s, SHOW_FIELD_GAS, end->gas_sm3s),
             yield(r, end->oil_sm3s, end->money_s));
}

static void write_headline(const struct report *r, const struct market *m,
                           struct strbuf *out)
{
    const struct plan *p = market_today(m);
    page_say(r, out, INDENT, "%s with today's gas: %s with %s of lift gas.",
             morning_outcome_text(r, p), yield(r, p->oil_sm3s, p->money_s),
             show_full(&r->show, SHOW_FIELD_GAS, p->balance.lift));
    if (!is_limited(r->field)) {
        page_say(r, out, INDENT,
                 "Neither lift gas nor compression has a limit: the wells "
                 "have what they want, and more gas brings nothing.");
        return;
    }
    say_more(r, &m->curve, out);
    say_less(r, &m->curve, out);
}

/* --- the curve ------------------------------------------------------------ */

/* Points near today, the ends, and one in each part of the rest. */
static bool is_shown(const struct market_curve *c, size_t i)
{
    size_t off = i > c->today ? i - c->today : c->today - i;
    bool is_least = i > 0 && c->point[i - 1].is_impossible;
    if (off <= NEAR_TODAY || i == 0 || i + 1 == c->n || is_least)
        return true;
    double from_sm3s = c->point[0].gas_sm3s;
    double part_sm3s = (c->point[c->n - 1].gas_sm3s - from_sm3s) / POINTS_ELSE;
    return floor((c->point[i].gas_sm3s - from_sm3s) / part_sm3s) >
           floor((c->point[i - 1].gas_sm3s - from_sm3s) / part_sm3s);
}

static void add_point(const struct report *r, const struct market_curve *c,
                      size_t i, struct grid *g)
{
    const struct show *s = &r->show;
    const struct market_point *p = &c->point[i];
    const char **cell = grid_row(g);
    cell[0] =
        i == c->today ? "today" : show_change(s, SHOW_FIELD_GAS, p->gas_sm3s);
    if (p->is_impossible) {
        cell[2] = "no plan";
        return;
    }
    cell[1] = show_number(s, SHOW_FIELD_GAS, p->lift_sm3s);
    cell[2] = show_number(s, SHOW_LIQUID, p->oil_sm3s);
    cell[3] = money(r, p->money_s);
    cell[4] = show_number(s, SHOW_FIELD_GAS, p->sales_sm3s);
    cell[5] = show_number(s, SHOW_FIELD_GAS, p->bought_sm3s);
    cell[6] =
        arena_printf(s->arena, "%zu%s", p->n_flowing, p->is_jump ? "*" : " ");
    cell[7] = show_number(s, SHOW_OIL_PER_GAS, market_oil_slope(c, i));
    cell[8] = has_money(r)
                  ? show_number(s, SHOW_GAS_PRICE, market_money_slope(c, i))
                  : NULL;
}

static void say_curve(const struct report *r, const struct market_curve *c,
                      size_t n_shown, struct strbuf *out)
{
    page_say(r, out, INDENT,
             "Gas: change of the lift gas limit and of what the compressors "
             "can do, both. Next: what a little more brings, up to the next "
             "point. *: other wells run than at the point above.");
    if (has_money(r))
        page_say(r, out, INDENT,
                 "The cost of gas meant in the last column: compression full, "
                 "the price from the plan, after fuel and wear%s.",
                 c->objective == PLAN_OIL
                     ? "; the plans are for oil, and money follows"
                     : "");
    page_say(r, out, INDENT,
             "%zu of %zu points are shown; CSV and JSON have all. Each is a "
             "plan of its own; between two no plan is more than %s %% better "
             "than the lower one, but for jumps that no meter could place.",
             n_shown, c->n, show_number(&r->show, SHOW_PERCENT, c->widest_gap));
}

static void write_curve(const struct report *r, const struct market *m,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *gas = show_unit(s, SHOW_FIELD_GAS);
    const struct grid_column columns[] = {
        {{"", "gas", gas}, true},
        {{"lift", "gas", gas}, true},
        {{"", "oil", show_unit(s, SHOW_LIQUID)}, true},
        {{"", "money", has_money(r) ? show_unit(s, SHOW_MONEY) : ""}, true},
        {{"", "sold", gas}, true},
        {{"", "bought", gas}, true},
        {{"wells", "flowing"}, true},
        {{"", "next", show_unit(s, SHOW_OIL_PER_GAS)}, true},
        {{"", "next", has_money(r) ? show_unit(s, SHOW_GAS_PRICE) : ""}, true},
    };
    const struct market_curve *c = &m->curve;
    if (!is_limited(r->field))
        return;
    page_head(r, out, "%s AGAINST GAS",
              c->objective == PLAN_MONEY ? "MONEY" : "OIL");
    plot_market(r, c, out);
    struct grid g;
    grid_init(&g, s->arena, columns, COLUMNS_OF(columns));
    for (size_t i = 0; i < c->n; i++)
        if (is_shown(c, i))
            add_point(r, c, i, &g);
    strbuf_add(out, "\n");
    grid_write(&g, 0, r->width, out);
    say_curve(r, c, g.n_rows, out);
}

/* --- what gas costs ------------------------------------------------------- */

static void write_costs(const struct report *r, const struct market *m,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"cost", show_unit(s, SHOW_GAS_PRICE)}, true},
        {{"a little lift gas that is"}, false},
    };
    if (!has_money(r))
        return;
    page_head(r, out, "WHAT LIFT GAS COSTS, by where it comes from");
    struct grid g;
    grid_init(&g, s->arena, columns, COLUMNS_OF(columns));
#define COST(name, words)                                         \
    if (isfinite(m->cost_##name)) {                               \
        const char **cell = grid_row(&g);                         \
        cell[0] = show_number(s, SHOW_GAS_PRICE, m->cost_##name); \
        cell[1] = words;                                          \
    }
    MARKET_COST_LIST(COST)
#undef COST
    grid_write(&g, 0, r->width, out);
}

/* --- bought and sold ------------------------------------------------------ */

/* The last price after i at which as much is bought and sold, as shown. */
static size_t last_alike(const struct report *r,
                         const struct market_quantity *q, size_t n, size_t i)
{
    const struct show *s = &r->show;
    const char *bought = show_number(s, SHOW_FIELD_GAS, q[i].bought_sm3s);
    const char *sold = show_number(s, SHOW_FIELD_GAS, q[i].sales_sm3s);
    size_t k = i;
    while (
        k + 1 < n &&
        strcmp(show_number(s, SHOW_FIELD_GAS, q[k + 1].bought_sm3s), bought) ==
            0 &&
        strcmp(show_number(s, SHOW_FIELD_GAS, q[k + 1].sales_sm3s), sold) == 0)
        k++;
    return k;
}

/* A row for prices that make no difference. */
static void add_quantity(const struct report *r,
                         const struct market_quantity *from,
                         const struct market_quantity *to, struct grid *g)
{
    const struct show *s = &r->show;
    const char **cell = grid_row(g);
    cell[0] = show_number(s, SHOW_GAS_PRICE, from->price_sm3);
    cell[1] = show_number(s, SHOW_GAS_PRICE, to->price_sm3);
    cell[2] = show_number(s, SHOW_FIELD_GAS, from->bought_sm3s);
    cell[3] = show_number(s, SHOW_FIELD_GAS, from->sales_sm3s);
    cell[4] = show_number(s, SHOW_LIQUID, from->oil_sm3s);
    cell[5] = money(r, from->money_s);
}

static void write_prices(const struct report *r,
                         const struct market_quantity *q, size_t n,
                         const char *head, const char *cost, struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *gas = show_unit(s, SHOW_FIELD_GAS);
    const char *price = show_unit(s, SHOW_GAS_PRICE);
    const struct grid_column columns[] = {
        {{"from", price}, true},
        {{"to", price}, true},
        {{"bought", gas}, true},
        {{"sold", gas}, true},
        {{"oil", show_unit(s, SHOW_LIQUID)}, true},
        {{"money", show_unit(s, SHOW_MONEY)}, true},
    };
    if (n == 0)
        return;
    page_head(r, out, "%s, in plans for the most money", head);
    struct grid g;
    grid_init(&g, s->arena, columns, COLUMNS_OF(columns));
    for (size_t i = 0; i < n; i++) {
        size_t last = last_alike(r, q, n, i);
        add_quantity(r, &q[i], &q[last], &g);
        i = last;
    }
    grid_write(&g, 0, r->width, out);
    page_say(r, out, INDENT, "The cost of gas meant: %s.", cost);
}

/* Up to which price any is bought. */
static void say_buying(const struct report *r, const struct market *m,
                       struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct market_quantity *dearest = NULL;
    for (size_t i = 0; i < m->n_buys; i++)
        if (m->buy[i].bought_sm3s > 0)
            dearest = &m->buy[i];
    if (m->n_buys == 0)
        return;
    if (dearest == NULL)
        page_say(r, out, INDENT, "Buying pays at no price.");
    else
        page_say(r, out, INDENT, "Buying pays up to %s; today it costs %s.",
                 show_full(s, SHOW_GAS_PRICE, dearest->price_sm3),
                 show_full(s, SHOW_GAS_PRICE, r->field->market.price_sm3));
}

static void write_trade(const struct report *r, const struct market *m,
                        struct strbuf *out)
{
    write_prices(r, m->buy, m->n_buys, "GAS BOUGHT, at a price from..to",
                 "bought, at the price of the row, with fuel and wear", out);
    say_buying(r, m, out);
    write_prices(r, m->sell, m->n_sells, "GAS SOLD, at a price from..to",
                 "displacing sales, at the price of the row", out);
}

/* --- who gives gas up ----------------------------------------------------- */

static const char *price_or_never(const struct show *s, double price_sm3)
{
    if (price_sm3 < 0)
        return "now";
    return isfinite(price_sm3) ? show_number(s, SHOW_GAS_PRICE, price_sm3)
                               : "never";
}

static void add_well(const struct report *r, const struct market_well *w,
                     struct grid *g)
{
    const struct show *s = &r->show;
    const char **cell = grid_row(g);
    cell[0] = r->field->well[w->well].name;
    cell[1] = show_number(s, SHOW_WELL_GAS, w->gas_sm3s);
    cell[2] = show_number(s, SHOW_OIL_PER_GAS, w->oil_per_gas);
    if (!has_money(r))
        return;
    cell[3] = price_or_never(s, w->price_to_give);
    cell[4] = price_or_never(s, w->price_to_stop);
}

static void write_wells(const struct report *r, const struct market *m,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *price = has_money(r) ? show_unit(s, SHOW_GAS_PRICE) : "";
    const struct grid_column columns[] = {
        {{"", "well"}, false},
        {{"", "lift gas", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"its last", "gas brings", show_unit(s, SHOW_OIL_PER_GAS)}, true},
        {{has_money(r) ? "gives a" : "", has_money(r) ? "part at" : "", price},
         true},
        {{has_money(r) ? "gives" : "", has_money(r) ? "all at" : "", price},
         true},
    };
    if (m->n_wells == 0)
        return;
    page_head(r, out, "WHO GIVES GAS UP FIRST");
    struct grid g;
    grid_init(&g, s->arena, columns, has_money(r) ? 5 : 3);
    for (size_t i = 0; i < m->n_wells && i < WELLS_MOST; i++)
        add_well(r, &m->well[i], &g);
    grid_write(&g, 0, r->width, out);
    if (m->n_wells > WELLS_MOST)
        page_say(r, out, INDENT, "%zu more in JSON.", m->n_wells - WELLS_MOST);
    if (has_money(r))
        page_say(r, out, INDENT,
                 "The cost of gas meant: what it would fetch elsewhere, sold "
                 "or in another well, where compression is full. Now: it "
                 "would do better with less; its dead band or the moves keep "
                 "it.");
}

/* --- what things are worth ------------------------------------------------ */

static void write_worths(const struct report *r, const struct market *m,
                         struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"oil", show_unit(s, SHOW_LIQUID)}, true},
        {{"money", has_money(r) ? show_unit(s, SHOW_MONEY) : ""}, true},
        {{"lift gas", show_unit(s, SHOW_FIELD_GAS)}, true},
        {{"the plan again"}, false},
    };
    if (m->n_worths == 0)
        return;
    page_head(r, out, "WHAT THINGS ARE WORTH TODAY");
    struct grid g;
    grid_init(&g, s->arena, columns, COLUMNS_OF(columns));
    for (size_t i = 0; i < m->n_worths; i++) {
        const struct market_worth *w = &m->worth[i];
        const char **cell = grid_row(&g);
        cell[3] = w->what;
        if (isnan(w->oil_sm3s)) {
            cell[0] = "no plan";
            continue;
        }
        cell[0] = show_change(s, SHOW_LIQUID, w->oil_sm3s);
        cell[1] = has_money(r) ? show_change(s, SHOW_MONEY, w->money_s) : NULL;
        cell[2] = show_change(s, SHOW_FIELD_GAS, w->lift_sm3s);
    }
    grid_write(&g, 0, r->width, out);
}

/* --- objectives ----------------------------------------------------------- */

static const char *objective_words(const struct plan *p)
{
    static const char *const WORDS[] = {
        [PLAN_OIL] = "most oil",
        [PLAN_MONEY] = "most money",
        [PLAN_GAS] = "least gas",
    };
    return WORDS[p->objective];
}

static void add_objective(const struct report *r, const struct plan *p,
                          struct grid *g)
{
    const struct show *s = &r->show;
    const struct gas_balance *b = &p->balance;
    const char **cell = grid_row(g);
    cell[7] = objective_words(p);
    if (p->outcome == PLAN_IMPOSSIBLE) {
        cell[0] = "no plan";
        return;
    }
    cell[0] = show_number(s, SHOW_LIQUID, p->oil_sm3s);
    cell[1] = money(r, p->money_s);
    cell[2] = show_number(s, SHOW_FIELD_GAS, b->lift);
    cell[3] = show_number(s, SHOW_FIELD_GAS, b->sales);
    cell[4] = show_number(s, SHOW_FIELD_GAS, b->bought);
    cell[5] = show_number(s, SHOW_FIELD_GAS, b->fuel);
    cell[6] = arena_printf(s->arena, "%zu", p->n_moves);
}

static void write_objectives(const struct report *r, const struct market *m,
                             struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *gas = show_unit(s, SHOW_FIELD_GAS);
    const struct grid_column columns[] = {
        {{"oil", show_unit(s, SHOW_LIQUID)}, true},
        {{"money", has_money(r) ? show_unit(s, SHOW_MONEY) : ""}, true},
        {{"lift gas", gas}, true},
        {{"sold", gas}, true},
        {{"bought", gas}, true},
        {{"fuel", gas}, true},
        {{"moves"}, true},
        {{"plan for the"}, false},
    };
    page_head(r, out, "OBJECTIVES SIDE BY SIDE, with today's gas");
    struct grid g;
    grid_init(&g, s->arena, columns, COLUMNS_OF(columns));
    for (int k = PLAN_OIL; k <= PLAN_GAS; k++)
        if (m->has_objective[k])
            add_objective(r, &m->by_objective[k], &g);
    grid_write(&g, 0, r->width, out);
    if (m->has_objective[PLAN_GAS])
        page_say(r, out, INDENT, "The least gas is that for %s of oil.",
                 show_full(s, SHOW_LIQUID,
                           m->by_objective[PLAN_GAS].oil_target_sm3s));
    if (!has_money(r))
        page_say(r, out, INDENT,
                 "No oil price is given: money is not counted, and nothing "
                 "can be said about gas bought or sold at a price.");
}

void market_table(const struct report *r, const struct market *m,
                  struct strbuf *out)
{
    const struct plan *p = market_today(m);
    page_say(r, out, INDENT, "What more lift gas would yield: %s, %s",
             r->field->name, show_day(&r->show, r->field->day));
    strbuf_add(out, "\n");
    if (p->outcome == PLAN_IMPOSSIBLE) {
        page_say(r, out, INDENT,
                 "%s with today's gas. liftsplit morning says which conflict, "
                 "and what would have to give.",
                 morning_outcome_text(r, p));
    } else {
        write_headline(r, m, out);
        write_curve(r, m, out);
        write_costs(r, m, out);
        write_trade(r, m, out);
        write_wells(r, m, out);
        write_worths(r, m, out);
        write_objectives(r, m, out);
    }
    page_warnings(r, out);
    page_cautions(r, out);
    page_foot(r, out);
}
