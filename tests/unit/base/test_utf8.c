/* Cases from RFC 3629 and the code charts of Unicode. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/utf8.h"

#include <string.h>

Test(utf8, characters_are_read_with_their_length, .timeout = 5)
{
    static const struct {
        const char *text;
        size_t bytes;
        uint32_t code;
    } ROWS[] = {
        {"A", 1, 0x41},
        {"\x7f", 1, 0x7f},
        {"\xc2\x80", 2, 0x80},
        {"\xc3\xa9", 2, 0xe9},
        {"\xe2\x82\xac", 3, 0x20ac},
        {"\xf0\x9f\x98\x80", 4, 0x1f600},
        {"\xf4\x8f\xbf\xbf", 4, 0x10ffff},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        uint32_t code = 0;
        size_t n = utf8_read(ROWS[i].text, strlen(ROWS[i].text), &code);
        cr_expect(eq(sz, n, ROWS[i].bytes), "row %zu", i);
        cr_expect(eq(u32, code, ROWS[i].code), "row %zu", i);
    }
}

Test(utf8, bytes_that_are_not_utf8_are_refused, .timeout = 5)
{
    static const char *const ROWS[] = {
        "\x80",             /* continuation alone */
        "\xc3",             /* cut short */
        "\xe9t\xe9",        /* Latin-1 */
        "\xc0\xaf",         /* overlong slash */
        "\xe0\x80\xaf",     /* overlong slash */
        "\xf0\x80\x80\xaf", /* overlong slash */
        "\xed\xa0\x80",     /* surrogate */
        "\xf4\x90\x80\x80", /* above U+10FFFF */
        "\xff",
        "\xe2\x82",
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        uint32_t code = 7;
        cr_expect(eq(sz, utf8_read(ROWS[i], strlen(ROWS[i]), &code), 0),
                  "row %zu", i);
        cr_expect(eq(u32, code, 7), "row %zu", i);
    }
    uint32_t code;
    cr_assert(eq(sz, utf8_read("\xc3\xa9", 1, &code), 0));
    cr_assert(eq(sz, utf8_read("", 0, &code), 0));
}

Test(utf8, characters_that_hide_or_reorder_are_told_from_plain_ones,
     .timeout = 5)
{
    static const uint32_t HIDDEN[] = {0x00,   0x09,   0x1f,   0x7f,   0x85,
                                      0xad,   0x200b, 0x200f, 0x202e, 0x2066,
                                      0x2069, 0xfeff, 0xe0041};
    static const uint32_t PLAIN[] = {0x20,   0x41,   0x7e,   0xa0,   0xe9,
                                     0x2013, 0x20ac, 0x4e95, 0xfefe, 0x1f600};
    for (size_t i = 0; i < sizeof HIDDEN / sizeof HIDDEN[0]; i++)
        cr_expect(utf8_is_invisible(HIDDEN[i]), "U+%04X", HIDDEN[i]);
    for (size_t i = 0; i < sizeof PLAIN / sizeof PLAIN[0]; i++)
        cr_expect(not(utf8_is_invisible(PLAIN[i])), "U+%04X", PLAIN[i]);
}

Test(utf8, characters_are_counted_and_a_bad_byte_counts_as_one, .timeout = 5)
{
    cr_assert(eq(sz, utf8_count("", 0), 0));
    cr_assert(eq(sz, utf8_count("caf\xc3\xa9", 5), 4));
    cr_assert(eq(sz, utf8_count("caf\xe9", 4), 4));
}
