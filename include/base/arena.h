/* Bump memory: objects live as long as their arena, nobody frees one alone.
 * The only caller of malloc. Not for use by two threads at once. */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stddef.h>

struct arena_block;

struct arena {
    struct arena_block *top; /* newest block, holds the next object */
    /* Called when memory ends; must not return. NULL: message and exit 70. */
    void (*on_full)(void *context);
    void *context;
};

struct arena_mark {
    struct arena_block *block;
    size_t used;
};

void arena_init(struct arena *a);
void arena_release(struct arena *a);

/* n objects of the given size, zeroed, aligned for any type. Never NULL: when
 * n * size overflows or memory ends, on_full is called. n may be 0. */
void *arena_new(struct arena *a, size_t n, size_t size);
#define ARENA_NEW(a, n, type) ((type *)arena_new((a), (n), sizeof(type)))

/* A copy of len bytes with a closing NUL. */
char *arena_text(struct arena *a, const char *text, size_t len);
char *arena_printf(struct arena *a, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Drop everything made since the mark. */
struct arena_mark arena_mark(const struct arena *a);
void arena_rewind(struct arena *a, struct arena_mark mark);

#endif
