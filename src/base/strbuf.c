#include "base/strbuf.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/arena.h"

#define FIRST_CAP 256

void strbuf_init(struct strbuf *b, struct arena *a)
{
    *b = (struct strbuf){.arena = a, .cap = FIRST_CAP};
    b->text = ARENA_NEW(a, b->cap, char);
}

/* Room for `more` bytes and the NUL. Doubling keeps the bytes left behind in
 * the arena below the size of the text. */
static void reserve(struct strbuf *b, size_t more)
{
    if (b->cap - b->len > more)
        return;
    b->cap = 2 * (b->cap + more);
    char *text = ARENA_NEW(b->arena, b->cap, char);
    memcpy(text, b->text, b->len);
    b->text = text;
}

void strbuf_add_n(struct strbuf *b, const char *text, size_t len)
{
    reserve(b, len);
    memcpy(b->text + b->len, text, len);
    b->len += len;
    b->text[b->len] = '\0';
}

void strbuf_add(struct strbuf *b, const char *text)
{
    strbuf_add_n(b, text, strlen(text));
}

void strbuf_addf(struct strbuf *b, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    size_t len = (size_t)vsnprintf(NULL, 0, format, args);
    reserve(b, len);
    vsnprintf(b->text + b->len, len + 1, format, again);
    b->len += len;
    va_end(again);
    va_end(args);
}

void strbuf_pad(struct strbuf *b, char c, long count)
{
    if (count <= 0)
        return;
    reserve(b, (size_t)count);
    memset(b->text + b->len, c, (size_t)count);
    b->len += (size_t)count;
    b->text[b->len] = '\0';
}
