#include "report/well.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "base/strbuf.h"
#include "curve/build.h"
#include "example.h"
#include "support/sample_wells.h"
#include "support/text.h"

TestSuite(well_report, .timeout = 20);

static const char *written(struct example *e, const struct well_facts *w,
                           enum report_format f)
{
    struct strbuf out;
    strbuf_init(&out, &e->arena);
    report_well(&e->report, w, f, &out);
    return out.text;
}

static struct well_facts solved(struct example *e, size_t well)
{
    struct well_facts facts;
    struct err err = {0};
    enum status st = well_facts_solve(&e->field, e->curve, &e->morning, well,
                                      false, &e->arena, &facts, &err);
    cr_assert(eq(int, st, ST_OK), "%s", err.msg);
    return facts;
}

/* A-1 gets a model and its curve; the plan's oil is that of the curve. */
static void use_model(struct example *e, struct sample_well *s)
{
    struct err err = {0};
    sample_well(0, s);
    e->well[0].model = &s->well;
    e->well[0].table = NULL;
    enum status st = curve_build(&s->well, gas_mscfd(800), &e->arena,
                                 &e->curve[0], NULL, &err);
    cr_assert(eq(int, st, ST_OK), "%s", err.msg);
    struct curve_point p;
    st = curve_at(&e->curve[0], gas_mscfd(500), &p, &err);
    cr_assert(eq(int, st, ST_OK), "%s", err.msg);
    e->plan[0].oil_sm3s = p.oil_sm3s;
}

Test(well_report, the_well_works_where_its_model_meets_its_curve)
{
    struct example e;
    struct sample_well s;
    example_init(&e);
    use_model(&e, &s);
    struct well_facts w = solved(&e, 0);
    cr_assert(ge(int, w.plan.operating.stable, 0));
    const struct crossing *c =
        &w.plan.operating.crossing[w.plan.operating.stable];
    double oil_sm3s = c->liquid_sm3s * (1 - s.well.water_cut);
    /* Within the curve's own promise. */
    cr_expect(epsilon_eq(dbl, oil_sm3s, w.plan.oil_sm3s,
                         2 * e.curve[0].tolerance_sm3s));
    cr_expect(lt(dbl, w.oil_low_sm3s, oil_sm3s));
    cr_expect(lt(dbl, oil_sm3s, w.oil_high_sm3s));
    cr_assert(lt(sz, 2, w.profile.n));
    const struct traverse_point *deep = &w.profile.point[w.profile.n - 1];
    cr_expect(epsilon_eq(dbl, deep->md_m, well_bottom_m(&s.well), 1e-6));
    cr_expect(epsilon_eq(dbl, deep->p_pa, c->p_bottom_pa, 1e-4 * deep->p_pa));
    arena_release(&e.arena);
}

Test(well_report, every_section_is_there_and_no_line_is_too_wide)
{
    struct example e;
    struct sample_well s;
    example_init(&e);
    use_model(&e, &s);
    struct well_facts w = solved(&e, 0);
    const char *text = written(&e, &w, REPORT_TABLE);
    static const char *const PARTS[] = {
        "Test Field, 2024-10-04, well A-1: oil 200 now,",
        "The plan says more, from 300 to 500 Mscf/d: makes the most of it.",
        "whole field gas is worth 0.125 stb/Mscf.\n",
        "LIFT CURVE\n",
        "WHAT THE WELL IS\n",
        "  manifold            north\n",
        "  lift gas allowed    0 to 800 Mscf/d\n",
        "INFLOW AT THE PERFORATIONS\n",
        "WHERE INFLOW AND OUTFLOW MEET\n",
        "the well works here\n",
        "Trust: with the outflow pressure 2 % higher",
        "PRESSURE AND TEMPERATURE BY DEPTH, AS PLANNED\n",
        "; lift gas enters\n",
        "CAUTIONS\n",
    };
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++)
        cr_expect(text_has(text, PARTS[i]), "part %zu", i);
    for (const char *line = text; *line != '\0';) {
        size_t len = strcspn(line, "\n");
        cr_expect(le(sz, len, 80), "%.*s", (int)len, line);
        line += len + 1;
    }
    arena_release(&e.arena);
}

Test(well_report, a_well_with_a_table_is_reported_without_a_model)
{
    struct example e;
    example_init(&e);
    struct well_facts w = solved(&e, 1);
    const char *text = written(&e, &w, REPORT_TABLE);
    cr_expect(text_has(text, "a table; there is no model of this well\n"));
    /* On the curve at 400: 15 stb/d in 100 Mscf/d on both sides. */
    cr_expect(text_has(
        text,
        "gas\n  that it gets makes 0.150 stb/Mscf. More gas would make 0.150"));
    cr_expect(strstr(text, "INFLOW") == NULL);
    cr_expect(strstr(text, "Trust") == NULL);
    arena_release(&e.arena);
}

Test(well_report, slopes_differ_on_the_two_sides_of_a_bend)
{
    struct example e;
    example_init(&e);
    e.plan[1].gas_sm3s = gas_mscfd(500);
    struct well_facts w = solved(&e, 1);
    const char *text = written(&e, &w, REPORT_JSON);
    json_t *root = json_loads(text, 0, NULL);
    cr_assert(root != NULL);
    static const struct {
        const char *key;
        double want;
    } CASES[] = {{"last_gas_makes_stb_mscf", 30.0 / 200},
                 {"next_gas_makes_stb_mscf", 10.0 / 300}};
    for (size_t i = 0; i < 2; i++) {
        double got = json_real_value(json_object_get(root, CASES[i].key));
        cr_expect(epsilon_eq(dbl, got, CASES[i].want, 1e-9), "%s",
                  CASES[i].key);
    }
    json_decref(root);
    arena_release(&e.arena);
}

/* Of the mark in the drawing: 100 * lines below the top + column. */
static int line_and_column(const char *text, char mark)
{
    const char *top = strstr(text, "     240 |");
    int line = 0;
    for (const char *c = top, *start = top; *c != '+'; c++) {
        if (*c == mark)
            return 100 * line + (int)(c - start);
        if (*c == '\n') {
            line++;
            start = c + 1;
        }
    }
    return -1;
}

Test(well_report, the_plot_marks_now_and_plan_on_the_curve)
{
    struct example e;
    example_init(&e);
    struct well_facts w = solved(&e, 0);
    const char *text = written(&e, &w, REPORT_TABLE);
    static const char *const PARTS[] = {
        "  oil, stb/d\n",
        "     240 |",
        "       0 |",
        "lift gas, Mscf/d; N now, P planned\n",
        "0",
        "800\n",
    };
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++)
        cr_expect(text_has(text, PARTS[i]), "part %zu", i);
    /* 70 columns of drawing after 10 of margin: 300 and 500 of 800 stand at 26
     * and 43 of 69; of 15 lines below the top 200 is 2.5 and 230 is 0.6. */
    cr_expect(eq(int, line_and_column(text, 'N'), 100 * 3 + 36));
    cr_expect(eq(int, line_and_column(text, 'P'), 100 * 1 + 53));
    arena_release(&e.arena);
}

Test(well_report, csv_is_the_profile_from_top_to_bottom)
{
    struct example e;
    struct sample_well s;
    example_init(&e);
    use_model(&e, &s);
    struct well_facts w = solved(&e, 0);
    const char *text = written(&e, &w, REPORT_CSV);
    cr_expect(text_has(text, "well,measured depth (ft),true vertical depth "
                             "(ft),pressure (psig),temperature (F),liquid "
                             "part (%),flow\nA-1,0,0,"));
    arena_release(&e.arena);
}
