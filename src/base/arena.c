/* A chain of blocks, newest first. Objects are cut from the newest block; a
 * larger object gets a block of its own size. */
#include "base/arena.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Large enough that a field of 500 wells takes tens of blocks, small enough
 * that a scratch arena per thread costs nothing. */
#define BLOCK_BYTES ((size_t)64 * 1024)
#define ALIGN_BYTES _Alignof(max_align_t)
#define EXIT_MEMORY 70

struct arena_block {
    struct arena_block *below;
    size_t size, used; /* bytes of data */
    _Alignas(max_align_t) unsigned char data[];
};

void arena_init(struct arena *a)
{
    *a = (struct arena){0};
}

void arena_release(struct arena *a)
{
    arena_rewind(a, (struct arena_mark){0});
}

static void *memory_ended(struct arena *a)
{
    if (a->on_full != NULL)
        a->on_full(a->context);
    fputs("liftsplit: memory ran out\n", stderr);
    exit(EXIT_MEMORY);
}

static void push_block(struct arena *a, size_t bytes)
{
    size_t size = bytes > BLOCK_BYTES ? bytes : BLOCK_BYTES;
    struct arena_block *block = malloc(sizeof *block + size);
    if (block == NULL) {
        memory_ended(a);
        return;
    }
    block->below = a->top;
    block->size = size;
    block->used = 0;
    a->top = block;
}

void *arena_new(struct arena *a, size_t n, size_t size)
{
    size_t bytes;
    /* PTRDIFF_MAX is what malloc accepts; testing here also keeps the
     * rounding below from wrapping. */
    if (__builtin_mul_overflow(n, size, &bytes) || bytes > PTRDIFF_MAX / 2)
        return memory_ended(a);
    bytes = (bytes + ALIGN_BYTES - 1) / ALIGN_BYTES * ALIGN_BYTES;

    if (a->top == NULL || a->top->size - a->top->used < bytes)
        push_block(a, bytes);
    void *object = a->top->data + a->top->used;
    a->top->used += bytes;
    return memset(object, 0, bytes);
}

char *arena_text(struct arena *a, const char *text, size_t len)
{
    char *copy = arena_new(a, len + 1, 1);
    if (len > 0)
        memcpy(copy, text, len);
    return copy;
}

char *arena_printf(struct arena *a, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    size_t len = (size_t)vsnprintf(NULL, 0, format, args);
    char *text = arena_new(a, len + 1, 1);
    vsnprintf(text, len + 1, format, again);
    va_end(again);
    va_end(args);
    return text;
}

struct arena_mark arena_mark(const struct arena *a)
{
    return (struct arena_mark){a->top, a->top != NULL ? a->top->used : 0};
}

void arena_rewind(struct arena *a, struct arena_mark mark)
{
    while (a->top != mark.block) {
        struct arena_block *block = a->top;
        a->top = block->below;
        free(block);
    }
    if (a->top != NULL)
        a->top->used = mark.used;
}
