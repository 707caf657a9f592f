#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "base/diag.h"
#include "base/strbuf.h"

#include <string.h>

#include "support/text.h"

static char *written(const struct diag *d, size_t most)
{
    struct strbuf out;
    strbuf_init(&out, d->arena);
    diag_write(d, most, &out);
    return out.text;
}

Test(diag, items_come_in_order_of_file_line_and_column, .timeout = 5)
{
    struct arena a;
    struct diag d;
    arena_init(&a);
    diag_init(&d, &a);
    diag_add(&d, DIAG_ERROR, (struct place){"b.yaml", 9, 2}, "p", NULL,
             "value %d", 1);
    diag_add(&d, DIAG_ERROR, (struct place){"a.csv", 1, 1}, NULL, NULL, "two");
    diag_add(&d, DIAG_WARNING, (struct place){"b.yaml", 2, 7}, "w.t", "do it",
             "three");
    diag_add(&d, DIAG_ERROR, (struct place){"b.yaml", 2, 3}, NULL, "see", "%s",
             "four");
    diag_add(&d, DIAG_ERROR, (struct place){"b.yaml", 2, 3}, NULL, NULL,
             "five");
    diag_add(&d, DIAG_ERROR, (struct place){"b.yaml", 0, 0}, NULL, NULL, "six");

    cr_assert(text_is(written(&d, 20),
                      "b.yaml: six\n"
                      "b.yaml:2:3: four; see\n"
                      "b.yaml:2:3: five\n"
                      "b.yaml:2:7: warning: w.t: three; do it\n"
                      "b.yaml:9:2: p: value 1\n"
                      "a.csv:1:1: two\n"));
    cr_assert(eq(sz, d.n_errors, 5));
    cr_assert(eq(sz, d.n_warnings, 1));
    arena_release(&a);
}

Test(diag, a_path_cannot_steer_the_terminal, .timeout = 5)
{
    struct arena a;
    struct diag d;
    arena_init(&a);
    diag_init(&d, &a);
    diag_add(&d, DIAG_ERROR, (struct place){"f", 1, 1}, "wells.\x1b[31m", NULL,
             "x");
    cr_assert(text_is(written(&d, 20), "f:1:1: wells.\\x1b[31m: x\n"));
    arena_release(&a);
}

Test(diag, an_item_without_a_file_has_no_place, .timeout = 5)
{
    struct arena a;
    struct diag d;
    arena_init(&a);
    diag_init(&d, &a);
    cr_assert(text_is(written(&d, 20), ""));
    diag_add(&d, DIAG_ERROR, (struct place){0}, NULL, NULL, "no wells");
    cr_assert(text_is(written(&d, 20), "no wells\n"));
    arena_release(&a);
}

Test(diag, the_first_of_each_level_are_shown_and_the_rest_counted, .timeout = 5)
{
    struct arena a;
    struct diag d;
    arena_init(&a);
    diag_init(&d, &a);
    for (int i = 100; i > 0; i--)
        diag_add(&d, i <= 97 ? DIAG_ERROR : DIAG_WARNING,
                 (struct place){"f", i, 1}, NULL, NULL, "n%d", i);

    cr_assert(text_is(written(&d, 2),
                      "f:1:1: n1\nf:2:1: n2\n"
                      "f:98:1: warning: n98\nf:99:1: warning: n99\n"
                      "and 95 more errors\nand 1 more warning\n"));
    arena_release(&a);
}

Test(diag, quoted_text_is_cut_and_its_hidden_characters_shown, .timeout = 5)
{
    static const struct {
        const char *text, *want;
    } ROWS[] = {
        {"A-1", "\"A-1\""},
        {"", "\"\""},
        {"a\tb\x1b[31m", "\"a\\x09b\\x1b[31m\""},
        {"caf\xc3\xa9", "\"caf\xc3\xa9\""},
        {"caf\xe9", "\"caf\\xe9\""},
        {"A\xe2\x80\xae"
         "1",
         "\"A\\u202e1\""},
        {"0123456789012345678901234567890123456789012345678901234567890",
         "\"012345678901234567890123456789012345678901234567890123456789"
         "...\""},
    };
    struct arena a;
    struct diag d;
    arena_init(&a);
    diag_init(&d, &a);
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        cr_expect(text_is(diag_quote(&d, ROWS[i].text), ROWS[i].want),
                  "row %zu", i);
    arena_release(&a);
}
