#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "scenario/columns.h"
#include "support/text.h"

struct read {
    struct arena arena;
    struct diag diag;
    struct unit_frame frame;
    struct columns columns;
};

static void bind(struct read *r, const char *name, const char *text)
{
    arena_init(&r->arena);
    diag_init(&r->diag, &r->arena);
    r->frame = unit_frame_default();
    struct source s = {"f", text, strlen(text)};
    const struct table *table = table_read(&s, &r->arena, &r->diag);
    cr_assert(table != NULL);
    columns_bind(&r->columns, table, name, &r->frame, &r->diag);
}

static const char *messages(struct read *r)
{
    struct strbuf out;
    strbuf_init(&out, &r->arena);
    diag_write(&r->diag, 100, &out);
    return out.text;
}

Test(columns, cells_are_read_in_the_unit_of_their_header, .timeout = 30)
{
    struct read r;
    bind(&r, "tests.csv",
         "note,gas(MSm3/d),well,oil (stb/d),date,accepted\n"
         "ok,0.0864,A,100,2026-11-25,no\n"
         "-,-,B,,2026-11-26,\n");
    cr_assert(text_is(messages(&r), ""));
    const struct columns *c = &r.columns;
    cr_assert(epsilon_eq(dbl, columns_value(c, 0, "gas"), 1.0, 1e-12));
    cr_assert(epsilon_eq(dbl, columns_value(c, 0, "oil"),
                         15.8987294928 / 86400.0, 1e-15));
    cr_assert(eq(dbl, columns_value(c, 0, "accepted"), 0.0));
    cr_assert(text_is(columns_text(c, 0, "well"), "A"));
    cr_assert(text_is(columns_text(c, 0, "note"), "ok"));
    cr_assert(text_is(columns_text(c, 1, "note"), ""));
    cr_assert(isnan(columns_value(c, 1, "gas")));
    cr_assert(isnan(columns_value(c, 1, "oil")));
    cr_assert(isnan(columns_value(c, 1, "accepted")));
    cr_assert(columns_has(c, "gas") && !columns_has(c, "water"));
    cr_assert(isnan(columns_value(c, 0, "water")));
    cr_assert(text_is(columns_text(c, 0, "water"), ""));
    struct place at = columns_place(c, 1, "oil");
    cr_assert(at.line == 3 && at.column == 7);
    at = columns_place(c, 1, "water");
    cr_assert(at.line == 3 && at.column == 1);
    cr_assert(text_is(messages(&r), ""));
    arena_release(&r.arena);
}

Test(columns, a_required_cell_may_not_be_missing, .timeout = 30)
{
    struct read r;
    bind(&r, "tests.csv", "well,date\nA,-\n");
    cr_assert(isnan(columns_value(&r.columns, 0, "date")));
    cr_assert(
        text_is(messages(&r), "f:2:3: date: the value is missing; write it\n"));
    arena_release(&r.arena);
}

Test(columns, every_fault_of_a_header_has_its_place_and_words, .timeout = 30)
{
    static const struct {
        const char *header, *want;
    } ROWS[] = {
        {"well,date,oil", "f:1:11: column \"oil\" has no unit; write oil "
                          "(UNIT) with one of: stb/d, bbl/d, Sm3/d, m3/d\n"},
        {"well,date,oil (psi)",
         "f:1:11: column \"oil (psi)\" needs the unit of a liquid rate; "
         "write oil (UNIT) with one of: stb/d, bbl/d, Sm3/d, m3/d\n"},
        {"well,date (d)",
         "f:1:6: column \"date (d)\" takes no unit; delete the unit\n"},
        {"well,date,ol (stb/d)", "f:1:11: column \"ol (stb/d)\" is unknown; "
                                 "did you mean oil?\n"},
        {"well,date,temperature (F)",
         "f:1:11: column \"temperature (F)\" is unknown; the columns are: "
         "well, date, liquid, oil, water, gas, lift gas, wellhead pressure, "
         "accepted, note\n"},
        {"well,date,well", "f:1:11: column \"well\" is given twice; keep "
                           "one\n"},
        {"well,date,", "f:1:11: column \"\" has no name; delete the comma, "
                       "or name the column\n"},
        {"well,note,gas (Mscf/d)", "f:1:1: column date is missing; add it\n"},
        {"A-1,2026-01-01,100",
         "f:1:1: the first line must name the columns; the columns are: "
         "well, date, liquid, oil, water, gas, lift gas, wellhead pressure, "
         "accepted, note\n"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct read r;
        char text[128];
        bool is_pair = i == 2;
        snprintf(text, sizeof text, "%s\n%s\n", ROWS[i].header,
                 is_pair ? "A,b" : "A,b,1");
        bind(&r, "tests.csv", text);
        cr_expect(text_is(messages(&r), ROWS[i].want));
        arena_release(&r.arena);
    }
}

Test(columns, units_below_the_names_are_recognised, .timeout = 30)
{
    struct read r;
    bind(&r, "curve table",
         "lift gas (Mscf/d),oil (stb/d)\nMscf/d,stb/d\n200,100\n");
    cr_assert(eq(sz, r.columns.first_row, 1));
    cr_assert(text_has(messages(&r), "f:2:1: a second header row"));
    arena_release(&r.arena);
}

Test(columns, a_column_without_its_unit_gives_no_faults_below, .timeout = 30)
{
    struct read r;
    bind(&r, "curve table", "lift gas (Mscf/d),oil\n200,100\n");
    cr_assert(isnan(columns_value(&r.columns, 0, "oil")));
    cr_assert(eq(sz, r.diag.n_errors, 1));
    arena_release(&r.arena);
}
