/* Which wells belong together in a block. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "../../../src/plan/block.h"
#include "base/arena.h"

enum { PADS = 7, PAD_WELLS = 11, WELLS = PADS * PAD_WELLS };

/* Seven pads of 11 wells with a row each; a manifold of the first three, 33
 * wells; a separator of all; a pair on the last two pads. */
static void lay_out(struct problem *p, struct arena *a)
{
    *p = (struct problem){
        .n_wells = WELLS,
        .bidder = ARENA_NEW(a, WELLS, struct bidder),
        .row = ARENA_NEW(a, N_FIELD_ROWS + PADS + 3, struct limit_row),
        .n_rows = N_FIELD_ROWS + PADS + 3,
    };
    size_t manifold = N_FIELD_ROWS + PADS, all = manifold + 1, pair = all + 1;
    for (size_t r = 0; r < p->n_rows; r++)
        p->row[r] = (struct limit_row){
            .low = -(double)INFINITY, .high = 1, .scope = GROUP_PAD};
    p->row[manifold].scope = GROUP_MANIFOLD;
    p->row[all].scope = GROUP_SEPARATOR;
    p->row[pair].scope = SCOPE_PAIR;
    for (size_t i = 0; i < WELLS; i++) {
        struct own_row *own = ARENA_NEW(a, 4, struct own_row);
        size_t n = 0, pad = i % PADS;
        own[n++] = (struct own_row){N_FIELD_ROWS + pad, 1};
        if (pad < 3)
            own[n++] = (struct own_row){manifold, 1};
        own[n++] = (struct own_row){all, 1};
        if (i == 5 || i == 6)
            own[n++] = (struct own_row){pair, i == 5 ? 1 : -1};
        p->bidder[i].own = own;
        p->bidder[i].n_own = n;
    }
}

Test(blocks, groups_are_merged_while_blocks_stay_small, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct problem p;
    struct blocks b;
    lay_out(&p, &a);
    blocks_make(&p, &a, &b);
    /* Pads 0 to 2 by the manifold, 3, 4, and 5 with 6 by the pair. */
    cr_assert(eq(sz, b.n, 4));
    size_t wells[] = {33, 11, 11, 22}, rows[] = {4, 1, 1, 3}, total = 0;
    for (size_t i = 0; i < b.n; i++) {
        cr_expect(eq(sz, b.block[i].n, wells[i]));
        cr_expect(eq(sz, b.block[i].n_rows, rows[i]));
        for (size_t k = 0; k < b.block[i].n; k++) {
            cr_expect(eq(sz, b.block_of[b.block[i].bidder[k]], i));
            cr_expect(k == 0 ||
                      b.block[i].bidder[k] > b.block[i].bidder[k - 1]);
        }
        for (size_t k = 1; k < b.block[i].n_rows; k++)
            cr_expect(b.block[i].row[k] > b.block[i].row[k - 1]);
        total += b.block[i].n;
    }
    cr_expect(eq(sz, total, WELLS));
    /* The field's rows and that of the separator, which is too large. */
    cr_assert(eq(sz, b.n_shared, N_FIELD_ROWS + 1));
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        cr_expect(eq(sz, b.shared[r], r));
    cr_expect(eq(sz, b.shared[N_FIELD_ROWS], N_FIELD_ROWS + PADS + 1));
    arena_release(&a);
}

Test(blocks, wells_without_groups_stand_alone, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct limit_row row[N_FIELD_ROWS] = {0};
    struct bidder bidder[3] = {0};
    struct problem p = {
        .n_wells = 3, .bidder = bidder, .row = row, .n_rows = N_FIELD_ROWS};
    struct blocks b;
    blocks_make(&p, &a, &b);
    cr_assert(eq(sz, b.n, 3));
    for (size_t i = 0; i < 3; i++)
        cr_expect(b.block[i].n == 1 && b.block[i].bidder[0] == i &&
                  b.block[i].n_rows == 0);
    cr_expect(eq(sz, b.n_shared, N_FIELD_ROWS));
    arena_release(&a);
}
