/* Reading UTF-8 one character at a time. */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Bytes of the character that text[0..len) starts with, 1 to 4, and its code;
 * 0 when the bytes are not UTF-8 (overlong forms and surrogates are not) or
 * len is 0. *code is written only when the result is not 0. */
size_t utf8_read(const char *text, size_t len, uint32_t *code);

/* Has no shape of its own on the screen and could hide or reorder its
 * neighbours: control characters, zero-width and direction characters, the
 * byte order mark (from the code charts of Unicode). */
bool utf8_is_invisible(uint32_t code);

/* Characters in text[0..len); each byte that is not UTF-8 counts as one. */
size_t utf8_count(const char *text, size_t len);

#endif
