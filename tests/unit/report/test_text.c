#include "report/text.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "support/text.h"

TestSuite(text, .timeout = 10);

Test(text, width_counts_what_the_eye_sees)
{
    static const struct {
        const char *text;
        int width;
    } CASES[] = {
        {"", 0},
        {"A-12", 4},
        {"Br\xc3\xb8nn", 5},       /* o with stroke, one character */
        {"e\xcc\x81t\xc3\xa9", 3}, /* combining accent on the e */
        {"\xe4\xba\x95 7", 4},     /* wide ideograph, blank, digit */
        {"\xff\xfe", 2},           /* not UTF-8: two '?' */
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
        cr_expect(eq(int, text_width(CASES[i].text), CASES[i].width), "row %zu",
                  i);
}

static const char *wrapped(struct arena *a, const char *text, int column,
                           int indent, int width)
{
    struct strbuf out;
    strbuf_init(&out, a);
    text_wrap(&out, text, column, indent, width);
    return out.text;
}

Test(text, lines_break_at_the_width_and_not_before)
{
    struct arena a;
    arena_init(&a);
    cr_expect(text_is(wrapped(&a, "aaa bbb ccc", 0, 2, 7), "aaa bbb\n  ccc\n"));
    cr_expect(
        text_is(wrapped(&a, "aaa bbb ccc", 0, 2, 6), "aaa\n  bbb\n  ccc\n"));
    cr_expect(text_is(wrapped(&a, "aaa bbb", 4, 4, 10), "aaa\n    bbb\n"));
    cr_expect(text_is(wrapped(&a, "longer than five", 0, 0, 5),
                      "longer\nthan\nfive\n"));
    cr_expect(
        text_is(wrapped(&a, "  two   blanks ", 0, 0, 80), "two blanks\n"));
    arena_release(&a);
}

Test(text, nothing_that_a_terminal_obeys_gets_through)
{
    struct arena a;
    arena_init(&a);
    struct strbuf out;
    strbuf_init(&out, &a);
    text_add(&out, "red \x1b[31m \xe2\x80\xae back \x07\xc3");
    cr_assert(text_is(out.text, "red ?[31m ? back ??"));
    arena_release(&a);
}
