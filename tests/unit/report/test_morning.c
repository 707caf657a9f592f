#include "report/morning.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "example.h"
#include "report/text.h"
#include "support/text.h"

TestSuite(morning, .timeout = 10);

static const struct place NOWHERE = {0};

Test(morning, the_first_lines_answer_the_supervisor)
{
    struct example e;
    example_init(&e);
    const char *text = example_morning(&e, REPORT_TABLE);
    const char *want =
        "PROVEN OPTIMAL: lift gas for the most oil, Test Field, 2024-10-04\n"
        "\n"
        "Oil goes from 400 to 420 stb/d (+20, +5.0 %) with 2 moves.\n"
        "Lift gas goes from 1.00 to 1.00 MMscf/d of 1.00 allowed; the "
        "compressors take\n"
        "  1.10 MMscf/d.\n"
        "One more MMscf/d of gas would make 84 stb/d; one less would cost 91 "
        "stb/d.\n";
    cr_assert(eq(int, strncmp(text, want, strlen(want)), 0), "%s", text);
    arena_release(&e.arena);
}

Test(morning, every_section_carries_its_figures)
{
    struct example e;
    example_init(&e);
    diag_add(&e.diag, DIAG_WARNING, (struct place){"readings.csv", 4, 1}, NULL,
             "read it again", "B-2 was read twice");
    const char *text = example_morning(&e, REPORT_TABLE);
    static const char *const PARTS[] = {
        "1  A-1   more     300     500    +200    +30     0.150  makes the "
        "most of it\n",
        "2  B-2   less     600     400    -200    -10     0.050  others make "
        "more of it\n",
        "Make the cuts before the raises",
        "C-3        100  held by hand: wireline\n",
        "formation gas      0.25  0.25\n",
        "  all in           1.25  1.25\n",
        "  all out          1.25  1.25\n",
        "Compressors: K-1 running (1.20), K-2 down (0.90); 1.20 MMscf/d "
        "running in all.\n",
        "lift gas, field           1.00     1.00  MMscf/d  BINDING, worth "
        "0.125 stb/Mscf\n",
        "lift gas, manifold north  1.00     1.10  MMscf/d\n",
        "Every limit holds and the sums are right.\nNo plan can make more than "
        "420 stb/d. Proof: ",
        "The models of 3 wells, run again at the planned rates, bring the "
        "field to 413\n  stb/d of 420 promised (-1.7 %).\n",
        "The worst well is B-2: 133 stb/d of 140 promised (-5.0 %).\n",
        "- readings.csv:4: B-2 was read twice; read it again\n",
        "with API RP 11V5, 11V6,\n  11V10, 14B, 14C and 90 and ISO 16530-1.\n",
        "No hydrogen sulphide (H2S) is entered",
        "Gas volumes are at 14.696 psia and 60 F",
    };
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++)
        cr_expect(text_has(text, PARTS[i]), "part %zu", i);
    cr_expect(strstr(text, "\nwater ") == NULL,
              "a limit that is not set has no line");
    arena_release(&e.arena);
}

Test(morning, no_line_is_wider_than_asked_for_and_none_ends_in_a_blank)
{
    struct example e;
    example_init(&e);
    e.move[0].reason = "it makes 0.150 stb with each Mscf, more than any "
                       "other well of this field, and its manifold has room";
    for (e.report.width = 80; e.report.width <= 120; e.report.width += 20) {
        const char *text = example_morning(&e, REPORT_TABLE);
        for (const char *line = text; *line != '\0';) {
            size_t len = strcspn(line, "\n");
            char *copy = arena_text(&e.arena, line, len);
            cr_expect(le(int, text_width(copy), e.report.width), "%s", copy);
            cr_expect(len == 0 || copy[len - 1] != ' ', "%s|", copy);
            line += len + 1;
        }
    }
    arena_release(&e.arena);
}

Test(morning, what_is_not_optimal_is_said_in_the_first_line)
{
    static const struct {
        enum plan_outcome outcome;
        double gap;
        size_t n_faults;
        const char *words;
    } CASES[] = {
        {PLAN_WITHIN_GAP, 0.0005, 0, "PROVEN WITHIN 0.05 % OF THE OPTIMUM:"},
        {PLAN_STOPPED, 0.012, 0,
         "NOT PROVEN OPTIMAL, stopped early, at most 1.2 % below"},
        {PLAN_IMPOSSIBLE, 0, 0, "NO PLAN MEETS EVERY LIMIT"},
        {PLAN_OPTIMAL, 0, 1, "DO NOT USE"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct example e;
        example_init(&e);
        struct verify_fault fault = {"lift gas: 1.2 of 1.0 MMscf/d"};
        e.morning.verify.fault = &fault;
        e.morning.verify.n_faults = CASES[i].n_faults;
        e.morning.plan.outcome = CASES[i].outcome;
        e.morning.plan.gap = CASES[i].gap;
        const char *text = example_morning(&e, REPORT_TABLE);
        char *first = arena_text(&e.arena, text, strcspn(text, "\n"));
        cr_expect(text_has(first, CASES[i].words), "row %zu", i);
        arena_release(&e.arena);
    }
}

Test(morning, an_impossible_plan_names_the_conflict_and_advises_no_move)
{
    struct example e;
    example_init(&e);
    e.morning.plan = (struct plan){
        .outcome = PLAN_IMPOSSIBLE,
        .conflict = "the wells on test need 1.2 MMscf/d and 1.0 is there"};
    e.morning.n_moves = 0;
    e.limit[0].used = gas_mscfd(1200);
    const char *text = example_morning(&e, REPORT_TABLE);
    cr_expect(text_has(text, "\nThe wells on test need 1.2"));
    cr_expect(text_has(text, "1.20     1.00  MMscf/d  BROKEN\n"));
    cr_expect(strstr(text, "MOVES") == NULL);
    cr_expect(strstr(text, "plan\n----") == NULL);
    arena_release(&e.arena);
}

Test(morning, what_a_start_takes_besides_is_not_hidden)
{
    struct example e;
    example_init(&e);
    cr_expect(strstr(example_morning(&e, REPORT_TABLE), "kick-off") == NULL);
    e.move[0].kind = MOVE_START;
    cr_expect(text_has(example_morning(&e, REPORT_TABLE),
                       "The kick-off gas and the hours that a start takes"));
    arena_release(&e.arena);
}

Test(morning, money_is_shown_when_there_are_prices)
{
    struct example e;
    example_init(&e);
    cr_expect(strchr(example_morning(&e, REPORT_TABLE), '$') == NULL);
    e.field.prices.given = true;
    e.morning.now.money_s = 20000 / UNIT_DAY_S;
    e.morning.plan.money_s = 21500 / UNIT_DAY_S;
    e.morning.more_money_s = 5200 / UNIT_DAY_S;
    e.morning.less_money_s = -5600 / UNIT_DAY_S;
    const char *text = example_morning(&e, REPORT_TABLE);
    cr_expect(
        text_has(text, "Money goes from $20000/d to $21500/d (+1500).\n"));
    cr_expect(text_has(text, "would make 84 stb/d ($5200/d); one less would "
                             "cost 91\n  stb/d (-$5600/d).\n"));
    arena_release(&e.arena);
}

Test(morning, a_step_that_cannot_be_taken_is_said_in_words)
{
    struct example e;
    example_init(&e);
    e.morning.more_oil_sm3s = 0;
    e.morning.less_oil_sm3s = (double)NAN;
    const char *text = example_morning(&e, REPORT_TABLE);
    cr_expect(text_has(text, "One more MMscf/d of gas would change no oil; "
                             "one less leaves no plan that meets\n  every"));
    arena_release(&e.arena);
}

Test(morning, metric_reports_hold_the_same_morning)
{
    struct example e;
    example_init(&e);
    e.report.show.system = SHOW_METRIC;
    const char *text = example_morning(&e, REPORT_TABLE);
    /* 420 stb of 0.158987 m3 each; 28.262 Sm3 in a Mscf (test_show). */
    cr_expect(text_has(text, "from 63.6 to 66.8 Sm3/d (+3.2, +5.0 %)"));
    cr_expect(text_has(text, "One more MMscf/d (28.3 kSm3/d) of gas"));
    cr_expect(text_has(text, "1  A-1   more     8.5    14.1    +5.6"));
    cr_expect(strstr(text, "stb") == NULL);
    arena_release(&e.arena);
}

Test(morning, csv_has_a_row_for_each_well_and_quotes_what_must_be)
{
    struct example e;
    example_init(&e);
    e.well[2].name = "=C,\"3\"";
    const char *text = example_morning(&e, REPORT_CSV);
    cr_expect(text_has(text, "well,manifold,status,do,lift gas now (Mscf/d),"
                             "lift gas (Mscf/d),"));
    cr_expect(text_has(text, "\nA-1,north,flowing,more,300,500,200,200,230,"
                             "30,0,0,0.15,makes the most of it\n"));
    cr_expect(text_has(text, "\n\"'=C,\"\"3\"\"\",north,held,keep,100,100,0,"
                             "50,50,0,0,0,,held by hand: wireline\n"));
    arena_release(&e.arena);
}

static double number_at(const json_t *node, const char *key)
{
    bool is_number = json_is_number(json_object_get(node, key));
    cr_assert(is_number, "%s", key);
    return json_number_value(json_object_get(node, key));
}

Test(morning, json_is_whole_and_has_its_units_in_the_names)
{
    struct example e;
    example_init(&e);
    const char *text = example_morning(&e, REPORT_JSON);
    json_error_t error;
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    cr_assert(root != NULL, "%s", error.text);
    cr_expect(eq(dbl, number_at(root, "schema"), 1));
    cr_expect(text_is(json_string_value(json_object_get(root, "outcome")),
                      "optimal"));
    const json_t *plan = json_object_get(root, "plan");
    cr_expect(epsilon_eq(dbl, number_at(plan, "oil_stb_d"), 420, 1e-9));
    const json_t *balance = json_object_get(plan, "gas_balance");
    cr_expect(epsilon_eq(dbl, number_at(balance, "lift_mmscf_d"), 1, 1e-12));
    cr_expect(
        epsilon_eq(dbl, number_at(root, "gas_worth_stb_mscf"), 0.125, 1e-12));
    const json_t *moves = json_object_get(root, "moves");
    cr_expect(eq(sz, json_array_size(moves), 2));
    const json_t *move = json_array_get(moves, 1);
    cr_expect(
        epsilon_eq(dbl, number_at(move, "oil_per_gas_stb_mscf"), 0.05, 1e-12));
    cr_expect(eq(sz, json_array_size(json_object_get(root, "wells")), 3));
    const json_t *limit = json_array_get(json_object_get(root, "limits"), 2);
    bool is_null = json_is_null(json_object_get(limit, "bound_stb_d"));
    cr_expect(is_null, "no limit is null, not a number");
    json_decref(root);
    arena_release(&e.arena);
}

Test(morning, hydrogen_sulphide_is_shown_in_ppm_as_entered)
{
    struct example e;
    example_init(&e);
    e.field.hydrogen_sulphide = 40e-6;
    cr_expect(text_has(example_morning(&e, REPORT_TABLE),
                       "The lift gas is entered with 40 ppm of hydrogen"));
    arena_release(&e.arena);
}

Test(morning, words_that_could_harm_a_terminal_or_a_parser_are_defused)
{
    struct example e;
    example_init(&e);
    e.kept[0].reason = "held: \x1b[2J \xff \"quote\"";
    cr_expect(
        text_has(example_morning(&e, REPORT_TABLE), "held: ?[2J ? \"quote\""));
    json_t *root = json_loads(example_morning(&e, REPORT_JSON), 0, NULL);
    cr_assert(root != NULL);
    json_decref(root);
    arena_release(&e.arena);
}

Test(morning, twenty_warnings_are_enough_for_one_page)
{
    struct example e;
    example_init(&e);
    for (int i = 1; i <= 23; i++)
        diag_add(&e.diag, DIAG_WARNING, NOWHERE, NULL, NULL, "fault %d", i);
    const char *text = example_morning(&e, REPORT_TABLE);
    cr_expect(text_has(text, "- fault 20\n"));
    cr_expect(strstr(text, "- fault 21\n") == NULL);
    cr_expect(text_has(text, "- and 3 more"));
    arena_release(&e.arena);
}

/* A unit of which more than a capacity is known is a line of a table. */
Test(morning, a_machine_is_shown_with_what_passes_it)
{
    struct example e;
    example_init(&e);
    e.compressor[0].least_sm3s = gas_mscfd(500);
    e.compressor[0].state = UNIT_AVAILABLE;
    e.unit[0].chosen = true;
    const char *text = example_morning(&e, REPORT_TABLE);
    cr_expect(text_has(text, "\nK-1   to run  0.50 to 1.20  1.10  1.10 "));
    cr_expect(text_has(text, "\nK-2   down      up to 0.90  0.00  0.00 "));
    arena_release(&e.arena);
}

Test(morning, the_least_gas_for_a_target_is_said_as_such)
{
    struct example e;
    example_init(&e);
    struct plan *p = &e.morning.plan;
    p->objective = PLAN_GAS;
    p->oil_target_sm3s = oil_stbd(420);
    p->value = -gas_mscfd(1000);
    p->bound = -gas_mscfd(990);
    p->limit[0].price = 0.5;
    const char *text = example_morning(&e, REPORT_TABLE);
    cr_expect(text_has(text, ": the least lift gas for 420 stb/d of oil, "));
    cr_expect(text_has(text, "No plan can do with less than 0.99 MMscf/d."));
    cr_expect(text_has(text, "BINDING, worth 0.5 MMscf/d per MMscf/d"));
    text = example_morning(&e, REPORT_JSON);
    cr_expect(text_has(text, "\"objective\": \"gas\""));
    cr_expect(text_has(text, "\"bound_mmscf_d\": 0.98999"));
    arena_release(&e.arena);
}
