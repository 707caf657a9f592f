#include "report/check.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <jansson.h>
#include <string.h>

#include "base/strbuf.h"
#include "example.h"
#include "support/text.h"

TestSuite(check, .timeout = 10);

static const char *written(struct example *e, enum report_format f)
{
    struct strbuf out;
    strbuf_init(&out, &e->arena);
    report_check(&e->report, f, &out);
    return out.text;
}

/* A-1 gets two tests, the second not accepted, the first in use. */
static void add_tests(struct example *e)
{
    struct field_test *test = ARENA_NEW(&e->arena, 2, struct field_test);
    test[0] = (struct field_test){.day = 19990, .accepted = true};
    test[1] = (struct field_test){.day = 19995};
    e->well[0].test = test;
    e->well[0].n_tests = 2;
    e->well[0].matched = &test[0];
}

Test(check, what_was_read_is_counted_and_the_sums_close)
{
    struct example e;
    example_init(&e);
    add_tests(&e);
    e.well[1].reading.given = false;
    const char *text = written(&e, REPORT_TABLE);
    static const char *const PARTS[] = {
        "Test Field, 2024-10-04: the scenario is SOUND, with 0 warnings.\n",
        "Wells: 3 = 0 with a model + 3 with a table; 0 dead at every rate. "
        "Manifolds: 1.\n  Compressors: 2, 1 running.\n",
        "Tests: 2 = 1 accepted + 1 not accepted; 1 in use",
        "Wells read this morning: 2 = 1 flowing + 0 down + 0 on test + 1 "
        "held; 1 not\n  read.\n",
        "A-1   north     flowing        300      2   2024-09-24  table\n",
        "B-2   north     not read                0               table\n",
    };
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++)
        cr_expect(text_has(text, PARTS[i]), "part %zu", i);
    arena_release(&e.arena);
}

Test(check, a_dead_well_is_named)
{
    struct example e;
    example_init(&e);
    e.curve[1].n = 0;
    const char *text = written(&e, REPORT_TABLE);
    cr_expect(text_has(text, "1 dead at every rate"));
    cr_expect(text_has(text, "dead at every rate\nC-3"));
    arena_release(&e.arena);
}

Test(check, csv_and_json_hold_the_same_wells)
{
    struct example e;
    example_init(&e);
    add_tests(&e);
    cr_expect(text_is(written(&e, REPORT_CSV),
                      "well,manifold,status,lift gas now (Mscf/d),tests,"
                      "test in use,curve\n"
                      "A-1,north,flowing,300,2,2024-09-24,table\n"
                      "B-2,north,flowing,600,0,,table\n"
                      "C-3,north,held,100,0,,table\n"));
    json_t *root = json_loads(written(&e, REPORT_JSON), 0, NULL);
    cr_assert(root != NULL);
    const json_t *counts = json_object_get(root, "counts");
    const json_t *tests = json_object_get(counts, "tests");
    cr_expect(eq(i64, json_integer_value(tests), 2));
    cr_expect(eq(sz, json_array_size(json_object_get(root, "wells")), 3));
    json_decref(root);
    arena_release(&e.arena);
}

Test(check, compressors_are_shown_as_rated)
{
    struct example e;
    example_init(&e);
    struct field_compressor *u = e.compressor;
    struct unit_frame frame = unit_frame_default();
    double mmscfd = unit_to_si(unit_named(DIM_GAS_RATE, "MMscf/d"), 1, &frame);
    double hp = unit_to_si(unit_named(DIM_POWER, "hp"), 1, &frame);
    e.field.station.fuel_fraction = 0.05;
    u[1].electric = u[1].has_fuel = true;
    u[1].state = UNIT_AVAILABLE;
    u[1].capacity_sm3s = 5 * mmscfd;
    u[1].least_sm3s = 2 * mmscfd;
    u[1].power_fixed_w = 40 * hp;
    u[1].power_j_sm3 = 120 * hp / mmscfd; /* 40 + 5 120 = 640 hp */
    const char *text = written(&e, REPORT_TABLE);
    cr_expect(text_has(text,
                       "K-1   running    gas          0.00      1.20      "
                       "-     0.06\n"));
    cr_expect(text_has(text, "K-2   available  electric     2.00      5.00    "
                             "640     0.00\n"));
    u[0].has_fuel = true;
    u[0].fuel_fixed_sm3s = 0.01 * mmscfd;
    u[0].fuel_fraction = 0.1; /* 0.01 + 0.1 1.2 */
    text = written(&e, REPORT_TABLE);
    cr_expect(text_has(text, "      -     0.13\n"));
    json_t *root = json_loads(written(&e, REPORT_JSON), 0, NULL);
    const json_t *unit =
        json_array_get(json_object_get(root, "compressors"), 1);
    const json_t *power = json_object_get(unit, "power_hp");
    cr_expect(epsilon_eq(dbl, json_number_value(power), 640, 1e-9));
    json_decref(root);
    arena_release(&e.arena);
}
