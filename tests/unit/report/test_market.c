/* The market report of a curve built by hand: no plan with 1 MMscf/d less, 400,
 * 420, 440 and 450 stb/d at -0.2, 0, +0.2 and +0.6 MMscf/d. */
#include "report/market.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <jansson.h>
#include <math.h>
#include <string.h>

#include "base/strbuf.h"
#include "example.h"
#include "report/text.h"
#include "support/text.h"

TestSuite(report_market, .timeout = 10);

#define POINTS 5

struct page {
    struct example e;
    struct market_point point[POINTS];
    struct market_well well[3];
    struct market_worth worth[2];
    struct market_quantity buy[3], sell[2];
    struct market m;
};

static double per_gas(const struct page *p, double usd_mscf)
{
    return unit_to_si(unit_named(DIM_GAS_PRICE, "$/Mscf"), usd_mscf,
                      &p->e.field.frame);
}

static double usd_d(double v)
{
    return v / 86400;
}

static void init_curve(struct page *p)
{
    static const double GAS[] = {-1000, -200, 0, 200, 600};
    static const double OIL[] = {0, 400, 420, 440, 450};
    for (size_t i = 0; i < POINTS; i++)
        p->point[i] = (struct market_point){
            .gas_sm3s = gas_mscfd(GAS[i]),
            .lift_sm3s = gas_mscfd(1000 + GAS[i]),
            .oil_sm3s = oil_stbd(OIL[i]),
            .money_s = usd_d(60 * OIL[i]),
            .value = oil_stbd(OIL[i]),
            .bound = oil_stbd(OIL[i]),
            .n_flowing = i == 4 ? 3 : 2,
            .is_impossible = i == 0,
            .is_jump = i == 4,
        };
    p->m.curve = (struct market_curve){.objective = PLAN_OIL,
                                       .n = POINTS,
                                       .today = 2,
                                       .point = p->point,
                                       .widest_gap = 0.0123};
}

static void init_rest(struct page *p)
{
    double never = (double)INFINITY;
    struct market *m = &p->m;
    p->well[0] =
        (struct market_well){1, gas_mscfd(400), per_gas(p, -1), per_gas(p, 9),
                             oil_stbd(0.05) / gas_mscfd(1)};
    p->well[1] =
        (struct market_well){0, gas_mscfd(500), per_gas(p, 7.5),
                             per_gas(p, 12.25), oil_stbd(0.125) / gas_mscfd(1)};
    p->well[2] =
        (struct market_well){2, gas_mscfd(100), never, never, (double)NAN};
    p->worth[0] = (struct market_worth){"without compressor K-1", (double)NAN,
                                        (double)NAN, (double)NAN};
    p->worth[1] = (struct market_worth){"one more move", oil_stbd(12),
                                        usd_d(720), gas_mscfd(50)};
    p->buy[0] = (struct market_quantity){0, gas_mscfd(300), 0, oil_stbd(430),
                                         usd_d(25800)};
    p->buy[1] = (struct market_quantity){per_gas(p, 4), gas_mscfd(300), 0,
                                         oil_stbd(430), usd_d(24600)};
    p->buy[2] = (struct market_quantity){per_gas(p, 8), 0, 0, oil_stbd(420),
                                         usd_d(24200)};
    p->sell[0] = p->buy[2];
    p->sell[1] = p->buy[2];
    m->n_wells = 3, m->well = p->well;
    m->n_worths = 2, m->worth = p->worth;
    m->n_buys = 3, m->buy = p->buy;
    m->n_sells = 2, m->sell = p->sell;
    m->cost_recirculated = per_gas(p, 0.25);
    m->cost_full = per_gas(p, 6);
    m->cost_displaced = per_gas(p, 2.5);
    m->cost_bought = (double)NAN;
    m->by_objective[PLAN_OIL] = p->e.morning.plan;
    m->by_objective[PLAN_GAS] = p->e.morning.plan;
    m->by_objective[PLAN_GAS].objective = PLAN_GAS;
    m->by_objective[PLAN_GAS].oil_target_sm3s = oil_stbd(390);
    m->by_objective[PLAN_GAS].oil_sm3s = oil_stbd(390);
    m->has_objective[PLAN_OIL] = m->has_objective[PLAN_GAS] = true;
}

static void page_init(struct page *p, bool has_prices)
{
    *p = (struct page){0};
    example_init(&p->e);
    p->e.field.limits.caps = field_caps_none();
    p->e.field.limits.caps.lift_sm3s = gas_mscfd(1000);
    p->e.field.prices.given = has_prices;
    p->e.field.market.price_sm3 = per_gas(p, 3);
    init_curve(p);
    init_rest(p);
}

static const char *page_text(struct page *p, enum report_format f)
{
    struct strbuf out;
    strbuf_init(&out, &p->e.arena);
    report_market(&p->e.report, &p->m, f, &out);
    return out.text;
}

Test(report_market, every_section_carries_its_figures)
{
    /* 20 stb/d for 200 Mscf/d: 0.1 stb/Mscf, at 60 $/stb 6 $/Mscf. */
    static const char *const PARTS[] = {
        "today's gas: 420 stb/d",
        "The next 0.20 MMscf/d would bring 0.100 stb/Mscf ($6.00/Mscf).",
        "up to 0.60 MMscf/d above today's: 450 stb/d",
        "The last 0.20 MMscf/d of today's gas brings 0.100 stb/Mscf",
        "-1.00           no plan\n",
        "  -0.20     0.80      400  24000     0.00     0.00       2      0.100 "
        "   6.00\n",
        "  today     1.00      420  25200     0.00     0.00       2      0.100 "
        "   6.00\n",
        "  +0.20     1.20      440  26400     0.00     0.00       2      0.025 "
        "   1.50\n",
        "  +0.60     1.60      450  27000     0.00     0.00       3*         - "
        "      -\n",
        "5 of 5 points",
        "more than 1.2 % better",
        "  0.25  spare compression",
        "  6.00  compression full: the price from the plan",
        "  2.50  displacing sales",
        "  0.00    4.00     0.30     0.00    430  25800\n",
        "  8.00    8.00     0.00     0.00    420  24200\n",
        "Buying pays up to $4.00/Mscf; today it costs $3.00/Mscf.",
        "B-2        400       0.050      now    9.00\n",
        "A-1        500       0.125     7.50   12.25\n",
        "C-3        100           -    never   never\n",
        "no plan                   without compressor K-1\n",
        "    +12   +720     +0.05  one more move\n",
        "  390      0      1.00     0.24     0.00     0.01      2  least gas\n",
        "The least gas is that for 390 stb/d of oil.",
        "with API RP 11V5",
    };
    struct page p;
    page_init(&p, true);
    const char *text = page_text(&p, REPORT_TABLE);
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++)
        cr_expect(text_has(text, PARTS[i]), "part %zu", i);
    cr_expect(strstr(text, "bought: fuel") == NULL, "nothing can be bought");
    arena_release(&p.e.arena);
}

Test(report_market, without_an_oil_price_no_money_is_shown)
{
    struct page p;
    page_init(&p, false);
    p.m.n_buys = p.m.n_sells = 0;
    const char *text = page_text(&p, REPORT_TABLE);
    cr_expect(strchr(text, '$') == NULL, "%s", text);
    cr_expect(text_has(text, "No oil price is given"));
    cr_expect(text_has(text, "would bring 0.100 stb/Mscf.\n"));
    arena_release(&p.e.arena);
}

Test(report_market, no_line_is_wider_than_asked_for_and_none_ends_in_a_blank)
{
    struct page p;
    page_init(&p, true);
    for (p.e.report.width = 80; p.e.report.width <= 120;
         p.e.report.width += 20) {
        const char *text = page_text(&p, REPORT_TABLE);
        for (const char *line = text; *line != '\0';) {
            size_t len = strcspn(line, "\n");
            char *copy = arena_text(&p.e.arena, line, len);
            cr_expect(le(int, text_width(copy), p.e.report.width), "%s", copy);
            cr_expect(len == 0 || copy[len - 1] != ' ', "%s|", copy);
            line += len + 1;
        }
    }
    arena_release(&p.e.arena);
}

/* The plot begins where plans do. Its first line is the most oil, its last
 * none; today's column is 200 of 800 Mscf/d from the left edge, its line 420 of
 * 450 stb/d. */
Test(report_market, the_plot_puts_today_where_it_is)
{
    struct page p;
    page_init(&p, true);
    const char *text = page_text(&p, REPORT_TABLE);
    const char *plot = strstr(text, "oil, stb/d\n");
    cr_assert(plot != NULL);
    const char *line = strchr(plot, '\n') + 1;
    cr_expect(eq(int, strncmp(line, "     450 |", 10), 0), "%.20s", line);
    const char *second = strchr(line, '\n') + 1;
    const char *mark = strchr(second, 'T');
    long column = 10 + lround(200.0 / 800 * (70 - 1));
    cr_assert(mark != NULL);
    cr_expect(eq(long, mark - second, column),
              "of 15 steps (1 - 420/450) is 1");
    arena_release(&p.e.arena);
}

Test(report_market, csv_has_a_row_for_each_point)
{
    struct page p;
    page_init(&p, true);
    const char *text = page_text(&p, REPORT_CSV);
    cr_expect(text_has(text, "gas change (MMscf/d),plan,lift gas (MMscf/d),oil "
                             "(stb/d),money ($/d),"));
    cr_expect(text_has(text, "\n-1,none,,,,,,,"));
    cr_expect(text_has(text, "\n0,today,1,420,25200,0,0,0,2,0,0.1,6\n"));
    cr_expect(text_has(text, "\n0.6,other wells,1.6,450,27000,0,0,0,3,0,,\n"));
    arena_release(&p.e.arena);
}

static double number(const json_t *object, const char *key)
{
    const json_t *v = json_object_get(object, key);
    return json_is_number(v) ? json_number_value(v) : (double)NAN;
}

static bool flag(const json_t *object, const char *key)
{
    return json_is_true(json_object_get(object, key));
}

Test(report_market, json_has_all_of_it)
{
    struct page p;
    page_init(&p, true);
    json_t *root = json_loads(page_text(&p, REPORT_JSON), 0, NULL);
    cr_assert(root != NULL);
    const json_t *points = json_object_get(root, "points");
    cr_assert(eq(sz, json_array_size(points), POINTS));
    const json_t *today = json_array_get(points, 2);
    cr_expect(flag(today, "today"));
    cr_expect(epsilon_eq(dbl, number(today, "oil_stb_d"), 420, 1e-9));
    cr_expect(
        epsilon_eq(dbl, number(today, "next_oil_per_gas_stb_mscf"), 0.1, 1e-9));
    cr_expect(flag(json_array_get(points, 0), "impossible"));
    const json_t *cost =
        json_array_get(json_object_get(root, "cost_of_lift_gas"), 2);
    cr_expect(epsilon_eq(dbl, number(cost, "cost_usd_mscf"), 2.5, 1e-9));
    const json_t *buy = json_array_get(json_object_get(root, "buying"), 1);
    cr_expect(epsilon_eq(dbl, number(buy, "price_usd_mscf"), 4, 1e-9));
    cr_expect(epsilon_eq(dbl, number(buy, "bought_mmscf_d"), 0.3, 1e-9));
    const json_t *well = json_array_get(json_object_get(root, "wells"), 1);
    cr_expect(
        epsilon_eq(dbl, number(well, "gives_all_at_usd_mscf"), 12.25, 1e-9));
    const json_t *worth =
        json_array_get(json_object_get(root, "worth_today"), 1);
    cr_expect(epsilon_eq(dbl, number(worth, "money_change_usd_d"), 720, 1e-9));
    const json_t *gas =
        json_object_get(json_object_get(root, "by_objective"), "gas");
    cr_expect(epsilon_eq(dbl, number(gas, "oil_target_stb_d"), 390, 1e-9));
    json_decref(root);
    arena_release(&p.e.arena);
}

Test(report_market, without_a_plan_the_page_says_so_and_nothing_else)
{
    struct page p;
    page_init(&p, true);
    p.m = (struct market){.curve.objective = PLAN_OIL};
    p.m.by_objective[PLAN_OIL].outcome = PLAN_IMPOSSIBLE;
    const char *text = page_text(&p, REPORT_TABLE);
    cr_expect(text_has(text, "NO PLAN MEETS EVERY LIMIT"));
    cr_expect(strstr(text, "AGAINST GAS") == NULL);
    cr_expect(
        text_has(page_text(&p, REPORT_JSON), "\"outcome\": \"impossible\""));
    arena_release(&p.e.arena);
}
