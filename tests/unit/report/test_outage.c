/* The outage report of a plan built by hand: three wells, six periods of four
 * hours, a unit down in the second and third. */
#include "report/outage.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "base/strbuf.h"
#include "example.h"
#include "support/text.h"

#define PERIODS 6
#define HOUR 3600.0

TestSuite(report_outage, .timeout = 20);

struct page {
    struct example e;
    struct outage o;
    struct outage_plan p;
    struct field period[PERIODS];
    struct field_compressor down[2];
    struct outage_period timeline[PERIODS];
    struct outage_well well[PERIODS * EXAMPLE_WELLS];
    struct outage_shift shift[2];
    struct well_restart restart[EXAMPLE_WELLS];
    struct outage_loss loss[2];
    const char *fault[2];
    struct outage_facts facts;
};

static struct outage_well row(enum well_phase phase, double gas, double oil,
                              bool moved)
{
    return (struct outage_well){.phase = phase,
                                .gas_sm3s = gas_mscfd(gas),
                                .oil_sm3s = oil_stbd(oil),
                                .moved = moved};
}

/* A-1 is cut and raised, B-2 stopped, unloaded and back, C-3 left alone. */
static void init_wells(struct page *g)
{
    const struct outage_well wells[PERIODS][EXAMPLE_WELLS] = {
        {row(PHASE_FLOWS, 300, 200, false), row(PHASE_FLOWS, 600, 150, false),
         row(PHASE_FLOWS, 100, 50, false)},
        {row(PHASE_FLOWS, 200, 170, true), row(PHASE_STOPPED, 0, 0, true),
         row(PHASE_FLOWS, 0, 30, true)},
        {row(PHASE_FLOWS, 200, 170, false), row(PHASE_STOPPED, 0, 0, false),
         row(PHASE_FLOWS, 0, 30, false)},
        {row(PHASE_FLOWS, 300, 200, true), row(PHASE_UNLOADS, 400, 0, true),
         row(PHASE_FLOWS, 100, 50, true)},
        {row(PHASE_FLOWS, 300, 200, false), row(PHASE_RETURNS, 600, 75, false),
         row(PHASE_FLOWS, 100, 50, false)},
        {row(PHASE_FLOWS, 300, 200, false), row(PHASE_FLOWS, 600, 150, false),
         row(PHASE_FLOWS, 100, 50, false)},
    };
    memcpy(g->well, wells, sizeof wells);
}

static void init_periods(struct page *g)
{
    g->down[0] = g->e.compressor[0];
    g->down[0].state = UNIT_DOWN;
    g->down[1] = g->e.compressor[1];
    for (size_t k = 0; k < PERIODS; k++) {
        bool is_down = k == 1 || k == 2;
        double oil = 0;
        g->period[k] = g->e.field;
        if (is_down)
            g->period[k].station.compressor = g->down;
        for (size_t i = 0; i < EXAMPLE_WELLS; i++)
            oil += g->well[k * EXAMPLE_WELLS + i].oil_sm3s;
        g->timeline[k] = (struct outage_period){
            .balance = {.lift = gas_mscfd(is_down ? 200 : 1000),
                        .flare = gas_mscfd(is_down ? 90 : 0)},
            .oil_sm3s = oil,
            .deferred_sm3s = oil_stbd(400) - oil,
            .n_stopped = is_down,
            .n_unloading = k == 3,
        };
    }
}

static void open_page(struct page *g)
{
    *g = (struct page){0};
    example_init(&g->e);
    init_wells(g);
    init_periods(g);
    g->shift[0] = (struct outage_shift){0, 12 * HOUR, 4};
    g->shift[1] = (struct outage_shift){12 * HOUR, 24 * HOUR, 4};
    for (size_t i = 0; i < EXAMPLE_WELLS; i++)
        g->restart[i] = (struct well_restart){.alone_s = (double)INFINITY,
                                              .comes_back = true};
    g->restart[1].unload_s = 3.5 * HOUR;
    g->restart[1].gas_sm3 = gas_mscfd(58) * 86400;
    g->restart[1].alone_s = 6 * HOUR;
    g->o = (struct outage){.name = "K-1 down",
                           .start_s = 6 * HOUR,
                           .n_periods = PERIODS,
                           .period_s = 4 * HOUR,
                           .n_shifts = 2,
                           .shift = g->shift,
                           .restart = g->restart,
                           .period = g->period};
    g->loss[0] = (struct outage_loss){CAUSE_UNIT, oil_stbd(80) * 86400, 0};
    g->loss[1] = (struct outage_loss){N_OUTAGE_CAUSES, oil_stbd(32) * 86400, 0};
    g->p = (struct outage_plan){
        .outcome = PLAN_WITHIN_GAP,
        .gap = 0.002,
        .value = oil_stbd(325) * 86400,
        .bound = oil_stbd(326) * 86400,
        .potential_sm3 = oil_stbd(400) * 86400,
        .oil_sm3 = oil_stbd(325) * 86400,
        .deferred_sm3 = oil_stbd(75) * 86400,
        .flared_sm3 = gas_mscfd(30) * 86400,
        .flare_hours = 8,
        .n_periods = PERIODS,
        .n_wells = EXAMPLE_WELLS,
        .period = g->timeline,
        .well = g->well,
        .undisturbed = g->e.morning.now,
        .n_losses = 2,
        .loss = g->loss,
        .proof = PROOF_PRICES,
    };
    g->facts = (struct outage_facts){&g->o, &g->p, g->fault, NULL};
}

static const char *page_text(struct page *g, enum report_format f)
{
    struct strbuf out;
    strbuf_init(&out, &g->e.arena);
    report_outage(&g->e.report, &g->facts, f, &out);
    return out.text;
}

static void close_page(struct page *g)
{
    arena_release(&g->e.arena);
}

/* The text has each of the lines, in this order. */
static void expect_lines(const char *text, const char *const *line, size_t n)
{
    const char *from = text;
    for (size_t i = 0; i < n; i++) {
        const char *hit = strstr(from, line[i]);
        cr_expect(hit != NULL, "missing after the lines before: %s\n%s",
                  line[i], text);
        from = hit != NULL ? hit + strlen(line[i]) : from;
    }
}

Test(report_outage, the_page_says_first_how_good_it_is_and_what_is_deferred)
{
    static const char *const LINES[] = {
        "PROVEN WITHIN 0.2 % OF THE OPTIMUM: K-1 down, Test Field, 2024-10-04 "
        "from 06:00\n",
        "to +1 06:00\n",
        "Today's plan all along would make 400 stb; this one makes 325 stb: "
        "75 stb are\n",
        "deferred, 18.8 %.\n",
        "At most 1 well stands at once, first at 10:00; the last makes oil "
        "again at\n",
        "22:00.\n",
        "flared: 0.03 MMscf in 8.0 hours.\n",
    };
    struct page g;
    open_page(&g);
    expect_lines(page_text(&g, REPORT_TABLE), LINES,
                 sizeof LINES / sizeof LINES[0]);
    close_page(&g);
}

Test(report_outage, what_is_deferred_after_the_horizon_is_told)
{
    struct page g;
    open_page(&g);
    cr_expect(strstr(page_text(&g, REPORT_TABLE), "after the horizon") == NULL);
    /* 75 stb are missing at the end of it. */
    g.p.deferred_sm3 = oil_stbd(85) * 86400;
    const char *text = page_text(&g, REPORT_TABLE);
    cr_expect(strstr(text, "deferred 10 stb are lost after the horizon") !=
                  NULL,
              "%s", text);
    close_page(&g);
}

Test(report_outage, a_well_that_is_off_today_too_does_not_count_as_standing)
{
    struct page g;
    open_page(&g);
    g.e.now[1].oil_sm3s = 0;
    const char *text = page_text(&g, REPORT_TABLE);
    cr_expect(strstr(text, "No well has to stand that today's plan keeps "
                           "going.") != NULL,
              "%s", text);
    close_page(&g);
}

Test(report_outage, periods_that_are_alike_are_one_line)
{
    static const char *const LINES[] = {
        "HOUR BY HOUR",
        "   06:00     1.20     1.00     0.00      0     0    400",
        "   10:00     0.00     0.20     0.09      1     0    200",
        "   18:00     1.20     1.00     0.00      0     1    250",
        "   22:00     1.20     1.00     0.00      0     0    325",
        "+1 02:00     1.20     1.00     0.00      0     0    400",
    };
    struct page g;
    open_page(&g);
    expect_lines(page_text(&g, REPORT_TABLE), LINES,
                 sizeof LINES / sizeof LINES[0]);
    close_page(&g);
}

Test(report_outage, columns_of_what_the_field_does_not_have_are_left_out)
{
    struct page g;
    open_page(&g);
    cr_expect(strstr(page_text(&g, REPORT_TABLE), "stored") == NULL);
    cr_expect(strstr(page_text(&g, REPORT_TABLE), "bought  ") == NULL);
    g.o.store_most_sm3 = 1000;
    g.period[2].market.max_sm3s = 1;
    for (size_t k = 0; k < PERIODS; k++)
        g.p.period[k].balance.flare = 1e-9;
    const char *text = page_text(&g, REPORT_TABLE);
    cr_expect(strstr(text, "bought  ") != NULL, "%s", text);
    cr_expect(strstr(text, "stored") != NULL);
    cr_expect(strstr(text, "flared  ") == NULL);
    close_page(&g);
}

Test(report_outage, orders_come_in_the_crews_sequence)
{
    /* B-2 gives 600 for 150 (0.25 stb/Mscf), C-3 100 for 20 (0.2), A-1 100 for
     * 30 (0.3). At 18:00 A-1 gets 100 for 30, C-3 100 for 20, then the
     * kick-off. */
    static const char *const LINES[] = {
        "ORDERS, shift 06:00 to 18:00: 3 of 4 changes",
        "C-3",
        "gives 100 Mscf/d for 20 stb/d; flows",
        "B-2",
        "gives 600 Mscf/d for 150 stb/d",
        "A-1",
        "gives 100 Mscf/d for 30 stb/d",
        "ORDERS, shift 18:00 to +1 06:00: 3 of 4 changes",
        "A-1",
        "makes 0.300 stb/Mscf",
        "C-3",
        "makes 0.200 stb/Mscf",
        "B-2",
        "start",
        "unload 3.5 h, 58 Mscf; at rate +1 02:00",
        "WELLS WITHOUT GAS",
    };
    struct page g;
    open_page(&g);
    expect_lines(page_text(&g, REPORT_TABLE), LINES,
                 sizeof LINES / sizeof LINES[0]);
    close_page(&g);
}

Test(report_outage, the_first_orders_are_against_this_mornings_rates)
{
    /* The curve of B-2 makes 233.3 stb/d at this morning's 600 Mscf/d. */
    static const char *const LINES[] = {
        "06:00  B-2   less     600     500     -3  gives 100 Mscf/d for 3 "
        "stb/d",
    };
    struct page g;
    open_page(&g);
    g.well[1] = row(PHASE_FLOWS, 500, 230, true);
    expect_lines(page_text(&g, REPORT_TABLE), LINES, 1);
    /* Past its end, at 800 Mscf/d, it makes what it makes there: 240. */
    g.e.well[1].reading.lift_sm3s = gas_mscfd(900);
    cr_expect(strstr(page_text(&g, REPORT_TABLE),
                     "06:00  B-2   less     900     500    -10") != NULL);
    close_page(&g);
}

Test(report_outage, a_start_that_is_not_at_rate_in_time_comes_last)
{
    static const char *const LINES[] = {
        "ORDERS, shift 18:00",
        "A-1",
        "start",
        "at rate 22:00",
        "B-2",
        "start",
        "-",
        "at rate after the horizon",
    };
    struct page g;
    open_page(&g);
    for (size_t k = 1; k < PERIODS; k++) {
        struct outage_well *w = &g.well[k * EXAMPLE_WELLS];
        w[0] = k < 3    ? row(PHASE_STOPPED, 0, 0, k == 1)
               : k == 3 ? row(PHASE_UNLOADS, 300, 0, true)
                        : row(PHASE_FLOWS, 300, 200, false);
        w[1] = k < 3 ? row(PHASE_STOPPED, 0, 0, k == 1)
                     : row(PHASE_UNLOADS, 400, 0, k == 3);
    }
    expect_lines(page_text(&g, REPORT_TABLE), LINES,
                 sizeof LINES / sizeof LINES[0]);
    close_page(&g);
}

Test(report_outage, a_line_ends_where_only_the_units_change)
{
    struct page g;
    open_page(&g);
    struct field_compressor spare = g.down[1];
    spare.state = UNIT_RUNNING;
    g.period[2].station.compressor = &spare;
    g.period[2].station.n_compressors = 1;
    const char *text = page_text(&g, REPORT_TABLE);
    cr_expect(strstr(text, "\n   10:00     0.00") != NULL, "%s", text);
    cr_expect(strstr(text, "\n   14:00     0.90") != NULL);
    close_page(&g);
}

Test(report_outage, a_well_that_does_not_unload_is_told_apart)
{
    struct page g;
    open_page(&g);
    g.restart[1].comes_back = false;
    g.restart[1].unload_s = (double)INFINITY;
    const char *text = page_text(&g, REPORT_TABLE);
    cr_expect(strstr(text, "does not unload by this gas alone") != NULL, "%s",
              text);
    cr_expect(strstr(text, "1 well does not come back by lift gas alone") !=
              NULL);
    close_page(&g);
}

Test(report_outage, wells_without_gas_are_shown_with_how_long_they_may_be_left)
{
    static const char *const LINES[] = {
        "WELLS WITHOUT GAS",
        "B-2",
        "10:00",
        "18:00",
        "8.0",
        "stands",
        "6.0 h at most: TOO LONG",
        "C-3",
        "flows by itself",
        "30",
        "no limit entered",
    };
    struct page g;
    open_page(&g);
    expect_lines(page_text(&g, REPORT_TABLE), LINES,
                 sizeof LINES / sizeof LINES[0]);
    cr_expect(strstr(strstr(page_text(&g, REPORT_TABLE), LINES[0]), "14:00") ==
              NULL);
    g.restart[1].alone_s = 9 * HOUR;
    cr_expect(strstr(page_text(&g, REPORT_TABLE), "TOO LONG") == NULL);
    close_page(&g);
}

Test(report_outage, losses_and_the_proof_are_told)
{
    static const char *const LINES[] = {
        "WHAT IT COSTS",
        "compressor",
        "80",
        "wells coming back",
        "32",
        "CHECK",
        "No plan can come to more than 326 stb",
    };
    struct page g;
    open_page(&g);
    expect_lines(page_text(&g, REPORT_TABLE), LINES,
                 sizeof LINES / sizeof LINES[0]);
    close_page(&g);
}

Test(report_outage, a_plan_that_fails_its_check_is_not_to_be_used)
{
    struct page g;
    open_page(&g);
    g.fault[0] = "the water plant is overrun at 14:00";
    const char *text = page_text(&g, REPORT_TABLE);
    cr_expect(strncmp(text, "DO NOT USE", 10) == 0, "%s", text);
    cr_expect(strstr(text, "FAILED: the water plant is overrun") != NULL);
    close_page(&g);
}

Test(report_outage, without_a_plan_it_says_why_and_gives_no_order)
{
    struct page g;
    open_page(&g);
    g.p.outcome = PLAN_IMPOSSIBLE;
    g.p.conflict = "gas has no way out at 10:00";
    const char *text = page_text(&g, REPORT_TABLE);
    cr_expect(strncmp(text, "NO PLAN MEETS EVERY LIMIT", 25) == 0);
    cr_expect(strstr(text, "Gas has no way out at 10:00.") != NULL);
    cr_expect(strstr(text, "ORDERS") == NULL);
    cr_expect(strstr(text, "CAUTIONS") != NULL);
    cr_expect(strstr(page_text(&g, REPORT_JSON), "\"impossible\"") != NULL);
    close_page(&g);
}

Test(report_outage, starts_of_planned_work_are_compared)
{
    static const char *const LINES[] = {
        "WHEN TO START", "   06:00        90", "   10:00        75",
        "BEST",          "   14:00",           "no plan",
        "HOUR BY HOUR",
    };
    struct page g;
    struct outage_start start[] = {
        {0, PLAN_OPTIMAL, oil_stbd(90) * 86400, 0, 0, 0},
        {4 * HOUR, PLAN_OPTIMAL, oil_stbd(75) * 86400, 0, 0, 0},
        {8 * HOUR, PLAN_IMPOSSIBLE, 0, 0, 0, 0}};
    struct outage_starts starts = {.n = 3, .best = 1, .start = start};
    open_page(&g);
    g.facts.starts = &starts;
    expect_lines(page_text(&g, REPORT_TABLE), LINES,
                 sizeof LINES / sizeof LINES[0]);
    cr_expect(strstr(page_text(&g, REPORT_JSON), "\"best\": true") != NULL);
    close_page(&g);
}

Test(report_outage, csv_has_a_row_for_each_period_and_well)
{
    struct page g;
    open_page(&g);
    const char *text = page_text(&g, REPORT_CSV);
    size_t n = 0;
    for (const char *c = text; *c != '\0'; c++)
        n += *c == '\n';
    cr_expect(eq(sz, n, 1 + PERIODS * EXAMPLE_WELLS));
    cr_expect(strstr(text, "2024-10-04 18:00,2024-10-04 22:00,B-2,unloads,"
                           "start,400,0,") != NULL,
              "%s", text);
    cr_expect(strstr(text, "2024-10-05 02:00,2024-10-05 06:00,A-1,flows,keep,"
                           "300,200,") != NULL);
    close_page(&g);
}

Test(report_outage, json_has_the_totals_the_timeline_and_the_orders)
{
    static const char *const LINES[] = {
        "\"outage\": \"K-1 down\"",
        "\"deferred_stb\": 75",
        "\"cause\": \"compressor\"",
        "\"timeline\"",
        "\"from\": \"2024-10-04 10:00\"",
        "\"wells_stopped\": 1",
        "\"orders\"",
        "\"do\": \"stop\"",
        "\"without_gas\"",
        "\"restarts\"",
        "\"unload_hours\": 3.5",
    };
    struct page g;
    open_page(&g);
    expect_lines(page_text(&g, REPORT_JSON), LINES,
                 sizeof LINES / sizeof LINES[0]);
    close_page(&g);
}

Test(report_outage, no_line_is_wider_than_the_page)
{
    struct page g;
    open_page(&g);
    const char *line = page_text(&g, REPORT_TABLE);
    while (*line != '\0') {
        size_t n = strcspn(line, "\n");
        cr_expect(le(sz, n, REPORT_WIDTH_LEAST), "%.*s", (int)n, line);
        line += n + (line[n] == '\n');
    }
    close_page(&g);
}

Test(report_outage, the_ladder_says_what_to_cut_for_each_shortfall)
{
    static const char *const LINES[] = {
        "WHAT TO CUT WHEN GAS FAILS",
        "SHORT OUTAGE, of 2.0 hours",
        "1.00",
        "400",
        "0.50",
        "320",
        "12",
        "A-1 300 to 200 (-30); B-2 400 to off (-50)",
        "LONG OUTAGE, of 24.0 hours",
    };
    struct page g;
    struct ladder_change change[] = {
        {0, gas_mscfd(300), gas_mscfd(200), oil_stbd(30)},
        {1, gas_mscfd(400), 0, oil_stbd(50)}};
    struct ladder_step step[] = {
        {gas_mscfd(1000), oil_stbd(400), 0, NULL, (double)INFINITY},
        {gas_mscfd(500), oil_stbd(320), 2, change, 12.9}};
    struct ladder quick = {true, 2 * HOUR, 2, step};
    struct ladder slow = {false, 24 * HOUR, 2, step};
    open_page(&g);
    struct ladder_facts facts = {&g.o, &quick, &slow};
    struct strbuf out;
    strbuf_init(&out, &g.e.arena);
    report_ladder(&g.e.report, &facts, REPORT_TABLE, &out);
    expect_lines(out.text, LINES, sizeof LINES / sizeof LINES[0]);
    strbuf_init(&out, &g.e.arena);
    report_ladder(&g.e.report, &facts, REPORT_CSV, &out);
    cr_expect(strstr(out.text, "short,0.5,320,12,B-2,400,0,50\n") != NULL, "%s",
              out.text);
    close_page(&g);
}
