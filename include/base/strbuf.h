/* Growing text in an arena. text is never NULL and always closed by a NUL. */
#ifndef BASE_STRBUF_H
#define BASE_STRBUF_H

#include <stddef.h>

struct arena;

struct strbuf {
    struct arena *arena;
    char *text;
    size_t len, cap;
};

void strbuf_init(struct strbuf *b, struct arena *a);
void strbuf_add(struct strbuf *b, const char *text);
void strbuf_add_n(struct strbuf *b, const char *text, size_t len);
void strbuf_addf(struct strbuf *b, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* count copies of one byte; nothing when count is not above 0. */
void strbuf_pad(struct strbuf *b, char c, long count);

#endif
