#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"

#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include "support/text.h"

Test(arena, objects_are_zeroed_aligned_and_apart, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    unsigned char *before = NULL;
    for (size_t i = 1; i < 2000; i++) {
        unsigned char *p = arena_new(&a, i, 7);
        cr_expect(eq(sz, (uintptr_t)p % _Alignof(max_align_t), 0), "%zu", i);
        for (size_t k = 0; k < 7 * i; k++)
            if (p[k] != 0)
                cr_fatal("byte %zu of object %zu is not zero", k, i);
        memset(p, 0xff, 7 * i);
        if (before != NULL)
            cr_expect(eq(int, before[7 * (i - 1) - 1], 0xff));
        before = p;
    }
    arena_release(&a);
    cr_assert(a.top == NULL);
}

Test(arena, an_object_larger_than_a_block_fits, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    char *p = ARENA_NEW(&a, 5 * 1024 * 1024, char);
    p[5 * 1024 * 1024 - 1] = 'x';
    cr_assert(arena_new(&a, 0, 8) != NULL);
    arena_release(&a);
}

Test(arena, rewind_drops_what_came_after_the_mark, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    char *kept = arena_text(&a, "keep", 4);
    struct arena_mark mark = arena_mark(&a);
    char *dropped = arena_new(&a, 100, 1);
    memset(dropped, 0xff, 100);
    for (int i = 0; i < 10; i++)
        arena_new(&a, 50000, 1);
    arena_rewind(&a, mark);

    cr_assert(text_is(kept, "keep"));
    char *again = arena_new(&a, 100, 1);
    cr_assert(eq(ptr, again, dropped));
    for (int i = 0; i < 100; i++)
        cr_assert(eq(int, again[i], 0));
    arena_release(&a);
}

Test(arena, texts_are_copied_and_closed, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    cr_assert(text_is(arena_text(&a, "well-17", 4), "well"));
    cr_assert(text_is(arena_text(&a, NULL, 0), ""));
    cr_assert(text_is(arena_printf(&a, "%s %d", "row", 12), "row 12"));
    arena_release(&a);
}

static void jump_back(void *context)
{
    longjmp(*(jmp_buf *)context, 1);
}

/* In a function of its own: a longjmp may lose the caller's locals. */
static bool calls_on_full(size_t n, size_t size)
{
    struct arena a;
    jmp_buf back;
    arena_init(&a);
    a.on_full = jump_back;
    a.context = &back;
    if (setjmp(back) != 0) {
        arena_release(&a);
        return true;
    }
    arena_new(&a, n, size);
    arena_release(&a);
    return false;
}

Test(arena, a_size_that_overflows_or_cannot_be_had_calls_on_full, .timeout = 5)
{
    static const struct {
        size_t n, size;
    } ROWS[] = {
        {SIZE_MAX, 2},
        {SIZE_MAX / 8 + 2, 8},
        {SIZE_MAX, 1},
        {1, SIZE_MAX - 3},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        cr_expect(calls_on_full(ROWS[i].n, ROWS[i].size), "row %zu", i);
    cr_assert(not(calls_on_full(1, 8)));
}

Test(arena, without_on_full_the_program_ends_with_exit_state_70,
     .exit_code = 70, .timeout = 5)
{
    struct arena a;
    arena_init(&a);
    arena_new(&a, SIZE_MAX, 2);
}
