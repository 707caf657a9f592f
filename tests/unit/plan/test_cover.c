#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "../../../src/plan/cover.h"
#include "base/arena.h"
#include "support/dice.h"

#define DIMENSIONS 4
#define CHOICES 3
#define SIZE ((size_t)DIMENSIONS * CHOICES)
#define BOXES_MOST 8

/* All 81 points, one by one. */
static bool holds_by_count(const bool *whole, const bool *const *box, size_t n)
{
    for (size_t point = 0; point < 81; point++) {
        size_t at[DIMENSIONS], left = point;
        bool is_asked = true, is_held = false;
        for (size_t d = 0; d < DIMENSIONS; d++) {
            at[d] = d * CHOICES + left % CHOICES;
            left /= CHOICES;
            is_asked = is_asked && whole[at[d]];
        }
        for (size_t b = 0; b < n && !is_held; b++) {
            is_held = true;
            for (size_t d = 0; d < DIMENSIONS; d++)
                is_held = is_held && box[b][at[d]];
        }
        if (is_asked && !is_held)
            return false;
    }
    return true;
}

/* Boxes large enough that about every other set of them holds all. */
Test(cover, agrees_with_counting_every_choice, .timeout = 20)
{
    static const size_t FIRST[DIMENSIONS + 1] = {0, 3, 6, 9, 12};
    struct arena a;
    arena_init(&a);
    struct dice d = {1};
    size_t n_held = 0, n_rows = 5000;
    for (size_t row = 0; row < n_rows; row++) {
        bool list[BOXES_MOST][SIZE], whole[SIZE];
        const bool *box[BOXES_MOST];
        size_t n = 1 + dice_index(&d, BOXES_MOST);
        for (size_t i = 0; i < SIZE; i++)
            whole[i] = dice_index(&d, 2) == 0;
        for (size_t b = 0; b < n; b++) {
            box[b] = list[b];
            for (size_t i = 0; i < SIZE; i++)
                list[b][i] = dice_index(&d, 6) != 0;
        }
        struct cover c = {DIMENSIONS, FIRST, whole, n, box};
        bool want = holds_by_count(whole, box, n);
        n_held += want;
        cr_expect(eq(int, cover_holds(&c, &a), want), "row %zu", row);
    }
    cr_assert(gt(sz, n_held, n_rows / 10));
    cr_assert(lt(sz, n_held, n_rows - n_rows / 10));
    arena_release(&a);
}
