#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/numtext.h"

#include <locale.h>
#include <math.h>
#include <string.h>

#include "support/text.h"

static void fill(char *text, size_t n, char c)
{
    memset(text, c, n);
    text[n] = '\0';
}

Test(numtext, plain_decimal_numbers_are_read_exactly, .timeout = 5)
{
    static const struct {
        const char *text;
        double want;
    } ROWS[] = {
        {"0", 0.0},
        {"-0", 0.0},
        {"12", 12.0},
        {"12.5", 12.5},
        {"+12.5", 12.5},
        {".5", 0.5},
        {"5.", 5.0},
        {"1e3", 1000.0},
        {"1E-3", 0.001},
        {"1e308", 1e308},
        {"-9999", -9999.0},
        {"9007199254740993", 9007199254740992.0},
        {"1e0000000000000000000000000000000001", 10.0},
        {"0.00e5", 0.0},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        double got = -1.0;
        enum numtext_fault f =
            numtext_read_all(ROWS[i].text, strlen(ROWS[i].text), &got);
        cr_expect(eq(int, (int)f, NUMTEXT_OK), "%s", ROWS[i].text);
        cr_expect(got == ROWS[i].want, "%s gave %g", ROWS[i].text, got);
    }
}

Test(numtext, every_other_text_is_refused_for_its_own_reason, .timeout = 5)
{
    static const struct {
        const char *text;
        enum numtext_fault want;
    } ROWS[] = {
        {"", NUMTEXT_EMPTY},
        {"010", NUMTEXT_NOT_PLAIN},
        {"-007.5", NUMTEXT_NOT_PLAIN},
        {"1,5", NUMTEXT_COMMA},
        {"1,234.5", NUMTEXT_COMMA},
        {"1_000", NUMTEXT_NOT_PLAIN},
        {"1 000", NUMTEXT_NOT_PLAIN},
        {"1\xc2\xa0"
         "000",
         NUMTEXT_NOT_PLAIN},
        {"1.234.567,8", NUMTEXT_NOT_PLAIN},
        {"0x10", NUMTEXT_NOT_PLAIN},
        {"0x1p3", NUMTEXT_NOT_PLAIN},
        {"0b11", NUMTEXT_NOT_PLAIN},
        {"0o7", NUMTEXT_NOT_PLAIN},
        {"1d3", NUMTEXT_NOT_PLAIN},
        {"1e", NUMTEXT_NOT_PLAIN},
        {"1e+", NUMTEXT_NOT_PLAIN},
        {"--1", NUMTEXT_NOT_PLAIN},
        {"+-1", NUMTEXT_NOT_PLAIN},
        {"1.2.3", NUMTEXT_NOT_PLAIN},
        {".", NUMTEXT_NOT_PLAIN},
        {"-", NUMTEXT_NOT_PLAIN},
        {"e5", NUMTEXT_NOT_PLAIN},
        {"nan", NUMTEXT_NOT_FINITE},
        {"NaN", NUMTEXT_NOT_FINITE},
        {"NaN(0x7)", NUMTEXT_NOT_FINITE},
        {".nan", NUMTEXT_NOT_FINITE},
        {"inf", NUMTEXT_NOT_FINITE},
        {"-inf", NUMTEXT_NOT_FINITE},
        {"Infinity", NUMTEXT_NOT_FINITE},
        {"-.inf", NUMTEXT_NOT_FINITE},
        {"\xe2\x88\x9e", NUMTEXT_NOT_PLAIN},
        {"1e309", NUMTEXT_TOO_LARGE},
        {"-1e400", NUMTEXT_TOO_LARGE},
        {"1e-400", NUMTEXT_TOO_SMALL},
        {"4.9e-324", NUMTEXT_TOO_SMALL},
        {"\xd9\xa1\xd9\xa2", NUMTEXT_NOT_PLAIN},
        {"\xef\xbc\x91", NUMTEXT_NOT_PLAIN},
        {"12\xc2\xbd", NUMTEXT_NOT_PLAIN},
        {"12%", NUMTEXT_NOT_PLAIN},
        {"12psi", NUMTEXT_NOT_PLAIN},
        {"1/2", NUMTEXT_NOT_PLAIN},
        {"true", NUMTEXT_NOT_PLAIN},
        {"12:30", NUMTEXT_NOT_PLAIN},
        {"~", NUMTEXT_NOT_PLAIN},
        {" 1", NUMTEXT_NOT_PLAIN},
        {"1 ", NUMTEXT_NOT_PLAIN},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        double got = -1.0;
        enum numtext_fault f =
            numtext_read_all(ROWS[i].text, strlen(ROWS[i].text), &got);
        cr_expect(eq(int, (int)f, (int)ROWS[i].want), "%s", ROWS[i].text);
        cr_expect(got == -1.0, "%s wrote the value", ROWS[i].text);
    }
}

Test(numtext, over_long_numbers_are_refused, .timeout = 5)
{
    char text[1001];
    double v = 0.0;
    fill(text, 1000, '1');
    cr_assert(
        eq(int, (int)numtext_read_all(text, 1000, &v), NUMTEXT_NOT_PLAIN));
    cr_assert(eq(int, (int)numtext_read_all(text, 301, &v), NUMTEXT_NOT_PLAIN));
    cr_assert(eq(int, (int)numtext_read_all(text, 300, &v), NUMTEXT_OK));
    fill(text, 1000, '0');
    text[1] = '.';
    text[999] = '1';
    cr_assert(
        eq(int, (int)numtext_read_all(text, 1000, &v), NUMTEXT_NOT_PLAIN));
}

Test(numtext, the_unit_after_a_number_is_left_to_the_caller, .timeout = 5)
{
    static const struct {
        const char *text;
        double value;
        size_t used;
    } ROWS[] = {
        {"6200 ft", 6200.0, 4}, {"12.5MMscf/d", 12.5, 4}, {"72 %", 72.0, 2},
        {"1e", 1.0, 1},         {"3 e", 3.0, 1},          {"-4 F", -4.0, 2},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        double v = 0.0;
        size_t used = 0;
        enum numtext_fault f =
            numtext_read(ROWS[i].text, strlen(ROWS[i].text), &v, &used);
        cr_expect(eq(int, (int)f, NUMTEXT_OK), "%s", ROWS[i].text);
        cr_expect(v == ROWS[i].value && used == ROWS[i].used, "%s",
                  ROWS[i].text);
    }
}

Test(numtext, nothing_is_read_past_the_length, .timeout = 5)
{
    double v = 0.0;
    size_t used = 0;
    cr_assert(eq(int, (int)numtext_read("1234", 2, &v, &used), NUMTEXT_OK));
    cr_assert(v == 12.0 && used == 2);
    cr_assert(eq(int, (int)numtext_read("1e9", 2, &v, &used), NUMTEXT_OK));
    cr_assert(v == 1.0 && used == 1);
}

Test(numtext, every_fault_says_what_is_wrong_and_what_to_do, .timeout = 5)
{
    for (int f = NUMTEXT_OK; f <= NUMTEXT_TOO_SMALL; f++) {
        cr_expect(strlen(numtext_fault_text((enum numtext_fault)f)) > 4);
        cr_expect(strlen(numtext_fault_todo((enum numtext_fault)f)) > 4);
    }
}

Test(numtext, fixed_text_has_a_point_and_no_negative_zero, .timeout = 5)
{
    static const struct {
        double value;
        int decimals;
        const char *want;
    } ROWS[] = {
        {12.345, 1, "12.3"},
        {-0.001, 2, "0.00"},
        {-0.0, 0, "0"},
        {-1.5, 1, "-1.5"},
        {1e6, 0, "1000000"},
        {0.005, 1, "0.0"},
        {(double)NAN, 2, "-"},
        {(double)INFINITY, 2, "-"},
        {1e300, 0, "1.0000000000000001e+300"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        char buf[32];
        cr_expect(text_is(numtext_fixed(ROWS[i].value, ROWS[i].decimals, buf,
                                        sizeof buf),
                          ROWS[i].want),
                  "row %zu", i);
    }
}

Test(numtext, short_text_carries_the_digits_asked_for, .timeout = 5)
{
    static const struct {
        double value;
        int digits;
        const char *want;
    } ROWS[] = {
        {0.1, 17, "0.10000000000000001"},
        {0.1, 6, "0.1"},
        {1234567.0, 3, "1.23e+06"},
        {-0.0, 5, "0"},
        {(double)NAN, 5, "-"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        char buf[32];
        cr_expect(text_is(numtext_short(ROWS[i].value, ROWS[i].digits, buf,
                                        sizeof buf),
                          ROWS[i].want),
                  "row %zu", i);
    }
}

Test(numtext, a_locale_with_a_decimal_comma_changes_nothing, .timeout = 5)
{
    if (setlocale(LC_ALL, "de_DE.UTF-8") == NULL)
        cr_skip_test("this machine has no such locale");
    double v = 0.0;
    char buf[32];
    cr_assert(eq(int, (int)numtext_read_all("1.5", 3, &v), NUMTEXT_OK));
    cr_assert(v == 1.5);
    cr_assert(text_is(numtext_fixed(1.5, 1, buf, sizeof buf), "1.5"));
}
