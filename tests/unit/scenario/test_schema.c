#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/numtext.h"
#include "base/strbuf.h"
#include "scenario/schema.h"
#include "scenario/source.h"
#include "scenario/value.h"

static bool is_same(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

Test(schema, no_path_is_given_twice, .timeout = 30)
{
    const struct schema_row *a, *b;
    for (size_t i = 0; (a = schema_row(i)) != NULL; i++)
        for (size_t k = i + 1; (b = schema_row(k)) != NULL; k++)
            cr_expect(
                not(is_same(a->table, b->table) && is_same(a->path, b->path)),
                "%s", a->path);
    cr_assert(schema_row(50) != NULL);
}

Test(schema, every_row_explains_itself_in_one_sentence, .timeout = 30)
{
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++) {
        size_t len = strlen(row->help);
        cr_expect(len > 5 && row->help[len - 1] == '.', "%s", row->path);
        cr_expect(strchr(row->help, '|') == NULL, "%s", row->path);
    }
}

Test(schema, limits_are_in_order_and_the_usual_inside_the_allowed,
     .timeout = 30)
{
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++) {
        if (row->kind != SCHEMA_QUANTITY && row->kind != SCHEMA_COUNT)
            continue;
        cr_expect(row->min < row->max || row->kind == SCHEMA_COUNT, "%s",
                  row->path);
        cr_expect(row->usual_min >= row->min && row->usual_max <= row->max &&
                      row->usual_min <= row->usual_max,
                  "%s", row->path);
    }
}

Test(schema, every_dimension_has_a_unit_for_its_limits, .timeout = 30)
{
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++) {
        bool has_unit = row->kind == SCHEMA_QUANTITY && row->dim != DIM_NUMBER;
        cr_expect(eq(int, row->unit != NULL, has_unit), "%s", row->path);
        if (row->unit != NULL)
            cr_expect(unit_find(row->dim, row->unit, strlen(row->unit)) != NULL,
                      "%s", row->path);
        cr_expect(eq(int, row->choices != NULL, row->kind == SCHEMA_CHOICE),
                  "%s", row->path);
    }
}

Test(schema, a_fallback_reads_without_a_fault_and_lies_inside_the_range,
     .timeout = 30)
{
    struct unit_frame frame = unit_frame_default();
    const struct schema_row *row;
    struct arena a;
    arena_init(&a);
    int n = 0;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++) {
        if (row->fallback == NULL)
            continue;
        struct diag d;
        diag_init(&d, &a);
        double read =
            value_read(&(struct value_text){.row = row, .text = row->fallback},
                       &frame, &d);
        cr_expect(eq(sz, d.n, 0), "%s", row->path);
        cr_expect(read == value_fallback(row, &frame), "%s", row->path);
        cr_expect(row->need == SCHEMA_OPTIONAL, "%s", row->path);
        n++;
    }
    cr_assert(lt(int, 20, n));
    arena_release(&a);
}

Test(schema, the_keys_of_a_section_follow_it_without_a_gap, .timeout = 30)
{
    /* Every key is reached by going down from the root. */
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++) {
        if (row->table != NULL || row == schema_outage())
            continue;
        char parent[128];
        snprintf(parent, sizeof parent, "%s", row->path);
        char *point = strrchr(parent, '.');
        const struct schema_row *up = NULL;
        if (point != NULL) {
            *point = '\0';
            if (strcmp(point - 2, ".*") == 0)
                point[-2] = '\0';
            up = schema_key(parent);
            cr_expect(up != NULL, "%s", row->path);
        }
        bool found = false;
        for (const struct schema_row *k = NULL;
             (k = schema_below(up, k)) != NULL;)
            found = found || k == row;
        cr_expect(found, "%s", row->path);
    }
}

Test(schema, a_key_and_a_column_are_found_by_name, .timeout = 30)
{
    cr_assert(strcmp(schema_last_key(schema_key("wells.*.wellhead.pressure")),
                     "pressure") == 0);
    cr_assert(schema_key("well") == NULL);
    cr_assert(schema_column("tests.csv", "lift gas!", 8) != NULL);
    cr_assert(schema_column("tests.csv", "lift gas", 4) == NULL);
    cr_assert(schema_column("readings.csv", "oil", 3) == NULL);
    cr_assert(schema_key("lift gas") == NULL);
}

/* LIFTSPLIT_WRITE_DOCS=1 writes the page instead. */
Test(schema, the_page_in_docs_is_the_one_the_program_writes, .timeout = 30)
{
    struct arena a;
    struct strbuf page;
    arena_init(&a);
    strbuf_init(&page, &a);
    schema_write_markdown(&page);
    if (getenv("LIFTSPLIT_WRITE_DOCS") != NULL) {
        FILE *out = fopen("docs/input.md", "w");
        cr_assert(out != NULL);
        fputs(page.text, out);
        fclose(out);
    }
    struct source now;
    struct err err;
    cr_assert(
        eq(int, (int)source_read("docs/input.md", &a, &now, &err), ST_OK));
    cr_assert(strcmp(now.text, page.text) == 0,
              "run LIFTSPLIT_WRITE_DOCS=1 make unit-scenario");
    arena_release(&a);
}
