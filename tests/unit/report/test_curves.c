#include "report/curves.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <jansson.h>
#include <string.h>

#include "base/strbuf.h"
#include "example.h"
#include "support/text.h"

TestSuite(curves, .timeout = 10);

static const char *written(struct example *e, enum report_format f)
{
    struct strbuf out;
    strbuf_init(&out, &e->arena);
    report_curves(&e->report, f, &out);
    return out.text;
}

Test(curves, a_line_tells_where_a_well_stands_on_its_curve)
{
    struct example e;
    example_init(&e);
    const char *text = written(&e, REPORT_TABLE);
    /* B-2 at 600: a third of the way from 230 to 240, slope 10 / 300. */
    cr_expect(text_has(text, "B-2        0     800    240     120     600    "
                             "233     0.033             800"));
    arena_release(&e.arena);
}

Test(curves, the_unusual_is_said_in_words)
{
    struct example e;
    example_init(&e);
    e.report.width = REPORT_WIDTH_MOST;
    e.curve[0].n = 0;
    e.well[1].reading.lift_sm3s = gas_mscfd(900);
    const char *text = written(&e, REPORT_TABLE);
    cr_expect(text_has(text, "dead at every rate\n"));
    cr_expect(text_has(text, "takes more gas now than its curve reaches\n"));
    cr_expect(text_has(text, "ends with its table\n"));
    arena_release(&e.arena);
}

static size_t count_lines(const char *text)
{
    size_t n = 0;
    for (; *text != '\0'; text++)
        n += *text == '\n';
    return n;
}

Test(curves, csv_has_every_point_and_leaves_out_unknown_pressures)
{
    struct example e;
    example_init(&e);
    const char *text = written(&e, REPORT_CSV);
    cr_expect(eq(sz, count_lines(text), 1 + 3 * 4));
    cr_expect(text_has(text, "A-1,500,230,0,0,,,\n"));
    static const double PRESSURE_PA[] = {5e6, 4e6, 3e6, 2e6};
    e.curve[0].p_bottom_pa = e.curve[0].p_inject_pa = PRESSURE_PA;
    e.report.show.system = SHOW_METRIC;
    /* 3 MPa less an atmosphere of 14.696 psia (1.0132535 bar). */
    cr_expect(text_has(written(&e, REPORT_CSV), ",28.9867465,28.9867465,\n"));
    arena_release(&e.arena);
}

Test(curves, json_has_every_point_with_null_for_what_is_unknown)
{
    struct example e;
    example_init(&e);
    json_t *root = json_loads(written(&e, REPORT_JSON), 0, NULL);
    cr_assert(root != NULL);
    const json_t *well = json_array_get(json_object_get(root, "wells"), 0);
    const json_t *points = json_object_get(well, "points");
    cr_expect(eq(sz, json_array_size(points), 4));
    const json_t *point = json_array_get(points, 1);
    cr_expect(epsilon_eq(
        dbl, json_real_value(json_object_get(point, "oil_stb_d")), 200, 1e-9));
    bool is_null = json_is_null(json_object_get(point, "bottom_pressure_psig"));
    cr_expect(is_null);
    json_decref(root);
    arena_release(&e.arena);
}
