/* Numbers between text and double, whatever the locale. The only caller of
 * strtod. */
#ifndef BASE_NUMTEXT_H
#define BASE_NUMTEXT_H

#include <stdbool.h>
#include <stddef.h>

enum numtext_fault {
    NUMTEXT_OK,
    NUMTEXT_EMPTY,
    NUMTEXT_NOT_PLAIN,  /* not: sign, digits, one point, exponent */
    NUMTEXT_COMMA,      /* decimal comma or thousands separator */
    NUMTEXT_NOT_FINITE, /* nan, inf in words */
    NUMTEXT_TOO_LARGE,  /* overflows a double */
    NUMTEXT_TOO_SMALL,  /* not zero, yet nothing of it is left in a double */
};

/* The number that text[0..len) starts with. *used is how much of it belongs
 * to the number; what follows (a unit) is the caller's. Accepts an optional
 * sign, digits with at most one point, an optional decimal exponent. Refuses
 * hex, nan, inf, underscores, commas after digits, a second sign, needless
 * leading zeros, texts above 300 bytes.
 * *value and *used are written only on NUMTEXT_OK. */
enum numtext_fault numtext_read(const char *text, size_t len, double *value,
                                size_t *used);

/* The same for text that must be a number and nothing else. */
enum numtext_fault numtext_read_all(const char *text, size_t len,
                                    double *value);

/* What a fault means, in words that fit after "is": "empty", "not a plain
 * decimal number", ... and what to do about it. */
const char *numtext_fault_text(enum numtext_fault f);
const char *numtext_fault_todo(enum numtext_fault f);

/* value with that many digits after the point, point as decimal mark, never
 * "-0.00". buf holds size bytes, at least 32; returns buf. Not finite: "-". */
char *numtext_fixed(double value, int decimals, char *buf, size_t size);

/* Shortest text of at most `digits` significant digits (1 to 17), as %g. */
char *numtext_short(double value, int digits, char *buf, size_t size);

#endif
