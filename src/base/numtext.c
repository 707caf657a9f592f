#include "base/numtext.h"

#include <assert.h>
#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* No reading on a gauge needs more; longer texts are slips or attacks. */
#define NUMBER_MOST_BYTES 300

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The byte at i, NUL past the end. */
static char byte_at(const char *text, size_t len, size_t i)
{
    return i < len ? text[i] : '\0';
}

static size_t skip_digits(const char *text, size_t len, size_t i)
{
    while (is_digit(byte_at(text, len, i)))
        i++;
    return i;
}

static bool starts_not_finite(const char *text, size_t len)
{
    size_t skip = len > 0 && text[0] == '.' ? 1 : 0;
    return len - skip >= 3 && (strncasecmp(text + skip, "nan", 3) == 0 ||
                               strncasecmp(text + skip, "inf", 3) == 0);
}

/* Where the exponent that starts at i ends; i when there is none. */
static size_t skip_exponent(const char *text, size_t len, size_t i)
{
    if ((byte_at(text, len, i) | 0x20) != 'e')
        return i;
    size_t j = i + 1;
    if (byte_at(text, len, j) == '+' || byte_at(text, len, j) == '-')
        j++;
    return is_digit(byte_at(text, len, j)) ? skip_digits(text, len, j) : i;
}

/* *end is where the number ends, unless a fault is returned. */
static enum numtext_fault scan(const char *text, size_t len, size_t *end)
{
    size_t i = 0;
    if (text[0] == '+' || text[0] == '-')
        i++;
    if (starts_not_finite(text + i, len - i))
        return NUMTEXT_NOT_FINITE;

    size_t whole = i, after_whole = skip_digits(text, len, i);
    size_t n_digits = after_whole - whole;
    i = after_whole;
    if (byte_at(text, len, i) == '.') {
        size_t after_part = skip_digits(text, len, i + 1);
        n_digits += after_part - (i + 1);
        i = after_part;
    }
    if (n_digits == 0)
        return NUMTEXT_NOT_PLAIN;
    /* 010 is eight to some programs and ten to others. */
    if (after_whole - whole > 1 && text[whole] == '0')
        return NUMTEXT_NOT_PLAIN;
    i = skip_exponent(text, len, i);

    char next = byte_at(text, len, i);
    if (next == ',')
        return NUMTEXT_COMMA;
    if (next != '\0' && strchr(".+-_:xX", next) != NULL)
        return NUMTEXT_NOT_PLAIN;
    if (i > NUMBER_MOST_BYTES)
        return NUMTEXT_NOT_PLAIN;
    *end = i;
    return NUMTEXT_OK;
}

/* glibc hands out its one "C" locale here: nothing to free. */
static locale_t c_locale(void)
{
    return newlocale(LC_ALL_MASK, "C", (locale_t)0);
}

static bool has_nonzero_digit(const char *text)
{
    for (; *text != '\0' && (*text | 0x20) != 'e'; text++)
        if (*text >= '1' && *text <= '9')
            return true;
    return false;
}

enum numtext_fault numtext_read(const char *text, size_t len, double *value,
                                size_t *used)
{
    if (len == 0)
        return NUMTEXT_EMPTY;
    size_t end = 0;
    enum numtext_fault fault = scan(text, len, &end);
    if (fault != NUMTEXT_OK)
        return fault;

    char number[NUMBER_MOST_BYTES + 1];
    memcpy(number, text, end);
    number[end] = '\0';
    double v = strtod_l(number, NULL, c_locale());
    if (!isfinite(v))
        return NUMTEXT_TOO_LARGE;
    if (fabs(v) < DBL_MIN && has_nonzero_digit(number))
        return NUMTEXT_TOO_SMALL;
    *value = v;
    *used = end;
    return NUMTEXT_OK;
}

enum numtext_fault numtext_read_all(const char *text, size_t len, double *value)
{
    double v = 0.0;
    size_t used = 0;
    enum numtext_fault fault = numtext_read(text, len, &v, &used);
    if (fault != NUMTEXT_OK)
        return fault;
    if (used != len)
        return NUMTEXT_NOT_PLAIN;
    *value = v;
    return NUMTEXT_OK;
}

static const struct {
    const char *text, *todo;
} FAULTS[] = {
    [NUMTEXT_OK] = {"a number", "nothing to do"},
    [NUMTEXT_EMPTY] = {"empty", "write a number"},
    [NUMTEXT_NOT_PLAIN] = {"not a plain decimal number",
                           "write digits with at most one point, like 12.5"},
    [NUMTEXT_COMMA] = {"a number with a comma",
                       "write a point before the decimals and no thousands "
                       "separators, like 1234.5"},
    [NUMTEXT_NOT_FINITE] = {"not a finite number",
                            "write the value, or leave it out"},
    [NUMTEXT_TOO_LARGE] = {"too large for any calculation",
                           "check the exponent"},
    [NUMTEXT_TOO_SMALL] = {"too small to tell from zero",
                           "write 0 or check the exponent"},
};

const char *numtext_fault_text(enum numtext_fault f)
{
    return FAULTS[f].text;
}

const char *numtext_fault_todo(enum numtext_fault f)
{
    return FAULTS[f].todo;
}

/* value by a format of one precision and one double, C locale, without the
 * sign of a text that shows zero. Returns the length that it needs. */
static int print(char *buf, size_t size, const char *format, int precision,
                 double value)
{
    locale_t before = uselocale(c_locale());
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    int len = snprintf(buf, size, format, precision, value);
#pragma GCC diagnostic pop
    uselocale(before);
    if (buf[0] == '-' && strpbrk(buf, "123456789") == NULL)
        memmove(buf, buf + 1, strlen(buf));
    return len;
}

char *numtext_fixed(double value, int decimals, char *buf, size_t size)
{
    assert(size >= 32);
    if (!isfinite(value))
        return memcpy(buf, "-", 2);
    /* Cut digits would show a wrong number. */
    if (print(buf, size, "%.*f", decimals, value) >= (int)size)
        print(buf, size, "%.*g", 17, value);
    return buf;
}

char *numtext_short(double value, int digits, char *buf, size_t size)
{
    assert(size >= 32 && digits >= 1 && digits <= 17);
    if (!isfinite(value))
        return memcpy(buf, "-", 2);
    print(buf, size, "%.*g", digits, value);
    return buf;
}
