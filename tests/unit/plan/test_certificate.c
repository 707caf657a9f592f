/* Certificates of true proofs hold; each way to forge one is found. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "../../../src/plan/auction.h"
#include "support/random_field.h"

/* A field whose proof needs several parts, and leaves in its blocks. */
struct proven {
    struct arena arena;
    struct builder builder;
    struct plan_options options;
    struct problem problem;
    struct auction_result result;
};

static void prove(struct proven *c)
{
    size_t n = 60;
    arena_init(&c->arena);
    builder_init_for(&c->builder, n, &c->arena);
    struct random_field_options o = random_field_hard(n);
    o.has_readings = true;
    random_field(2, &o, &c->builder);
    c->builder.field.limits.caps.moves = 12;
    c->builder.field.station.flare_max_sm3s = (double)INFINITY;
    c->options = plan_options_default();
    problem_make(&c->builder.field, c->builder.curves, &c->options, false,
                 &c->arena, &c->problem);
    struct auction_options ask = {1e-6, 3000, (double)INFINITY};
    struct err err;
    cr_assert(eq(int,
                 auction_run(&c->problem, &ask, &c->arena, &c->result, &err),
                 ST_OK));
    cr_assert(c->result.has_plan);
    cr_assert(gt(sz, c->result.certificate.n_parts, 2));
}

static double bound_of(struct proven *c, const char **why)
{
    return certificate_bound(&c->problem, &c->result.certificate, &c->arena,
                             why);
}

/* The answer with several leaves that proves most; NULL: none. */
static struct block_leaf *find_leaves(struct proven *c, size_t **n)
{
    for (size_t i = 0; i < c->result.certificate.n_parts; i++) {
        struct certificate_part *p = &c->result.certificate.part[i];
        for (size_t k = 0; k < p->n_answers; k++)
            if (p->answer[k].n_leaves > 1) {
                *n = &p->answer[k].n_leaves;
                return p->answer[k].leaf;
            }
    }
    return NULL;
}

Test(certificate, proves_the_bound_of_the_result, .timeout = 20)
{
    struct proven c;
    prove(&c);
    const char *why;
    double bound = bound_of(&c, &why), size = fabs(c.result.value);
    cr_assert(eq(ptr, (void *)(uintptr_t)why, NULL));
    cr_assert(epsilon_eq(dbl, bound, c.result.bound, 1e-11 * size));
    cr_assert(ge(dbl, bound, c.result.value - 1e-9 * size));
    cr_assert(le(dbl, bound, c.result.value + 1e-6 * size));
    arena_release(&c.arena);
}

Test(certificate, other_prices_prove_less_but_nothing_false, .timeout = 20)
{
    struct proven c;
    prove(&c);
    double right = c.result.bound;
    for (size_t i = 0; i < c.result.certificate.n_parts; i++) {
        struct certificate_part *p = &c.result.certificate.part[i];
        for (int r = 0; r < N_FIELD_ROWS; r++)
            p->row_price[r] *= 1.5;
    }
    const char *why;
    cr_assert(gt(dbl, bound_of(&c, &why), right * (1 + 1e-4)));
    arena_release(&c.arena);
}

Test(certificate, a_part_that_is_missing_is_found, .timeout = 30)
{
    struct proven c;
    prove(&c);
    struct certificate *all = &c.result.certificate;
    const char *why;
    struct certificate_part *last = &all->part[all->n_parts - 1];
    for (size_t i = 0; i < all->n_parts; i++) {
        struct certificate_part kept = all->part[i], moved = *last;
        all->part[i] = moved;
        all->n_parts--;
        cr_expect(eq(dbl, bound_of(&c, &why), (double)INFINITY), "part %zu", i);
        all->n_parts++;
        all->part[i] = kept;
    }
    arena_release(&c.arena);
}

Test(certificate, a_leaf_that_is_missing_is_found, .timeout = 20)
{
    struct proven c;
    prove(&c);
    size_t *n;
    cr_assert(find_leaves(&c, &n) != NULL);
    --*n;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    cr_assert(why != NULL);
    arena_release(&c.arena);
}

/* A menu handed in with points that are worth nothing: the problem's own
 * points count. */
Test(certificate, points_that_are_forged_do_not_count, .timeout = 20)
{
    struct proven c;
    prove(&c);
    double right = c.result.bound;
    struct certificate *all = &c.result.certificate;
    for (size_t i = 0; i < all->n_parts; i++)
        for (size_t k = 0; k < all->part[i].n_cut; k++) {
            const struct menu *menu = all->part[i].cut[k].menu;
            struct menu *forged = ARENA_NEW(&c.arena, 1, struct menu);
            *forged = *menu;
            forged->mode = ARENA_NEW(&c.arena, menu->n_modes, struct mode);
            for (size_t m = 0; m < menu->n_modes; m++) {
                forged->mode[m] = menu->mode[m];
                forged->mode[m].point =
                    ARENA_NEW(&c.arena, menu->mode[m].n, struct use);
            }
            all->part[i].cut[k].menu = forged;
        }
    const char *why;
    cr_assert(epsilon_eq(dbl, bound_of(&c, &why), right, 1e-11 * right));
    arena_release(&c.arena);
}

Test(certificate, a_well_left_out_of_the_blocks_is_found, .timeout = 20)
{
    struct proven c;
    prove(&c);
    c.result.certificate.blocks.block[0].n--;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    arena_release(&c.arena);
}

Test(certificate, a_price_that_is_no_number_is_found, .timeout = 20)
{
    struct proven c;
    prove(&c);
    c.result.certificate.part[0].row_price[ROW_BALANCE] = (double)NAN;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    arena_release(&c.arena);
}

/* A row of many blocks that one block claims: its other wells would go free. */
Test(certificate, a_row_that_is_not_the_blocks_own_is_found, .timeout = 20)
{
    struct proven c;
    prove(&c);
    struct blocks *blocks = &c.result.certificate.blocks;
    size_t with = 0;
    while (blocks->block[with].n_rows == 0)
        with++;
    size_t other = with == 0 ? 1 : 0;
    blocks->block[other].row = blocks->block[with].row;
    blocks->block[other].n_rows = blocks->block[with].n_rows;
    blocks->block[with].n_rows = 0;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    arena_release(&c.arena);
}

/* A block's first well in the place of its second, which goes free. */
Test(certificate, a_well_that_is_twice_in_a_block_is_found, .timeout = 20)
{
    struct proven c;
    prove(&c);
    struct blocks *blocks = &c.result.certificate.blocks;
    size_t b = 0;
    while (blocks->block[b].n < 2)
        b++;
    size_t n = blocks->block[b].n, *twice = ARENA_NEW(&c.arena, n, size_t);
    memcpy(twice, blocks->block[b].bidder, n * sizeof *twice);
    twice[1] = twice[0];
    blocks->block[b].bidder = twice;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    arena_release(&c.arena);
}

/* Its price would count for the block only, and not for the station. */
Test(certificate, a_row_of_the_field_that_a_block_claims_is_found,
     .timeout = 20)
{
    struct proven c;
    prove(&c);
    struct blocks *blocks = &c.result.certificate.blocks;
    size_t b = 0;
    while (blocks->block[b].n_rows == 0)
        b++;
    size_t n = blocks->block[b].n_rows, *row = ARENA_NEW(&c.arena, n, size_t);
    memcpy(row, blocks->block[b].row, n * sizeof *row);
    row[0] = ROW_BALANCE;
    blocks->block[b].row = row;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    arena_release(&c.arena);
}

Test(certificate, a_block_that_is_answered_twice_is_found, .timeout = 20)
{
    struct proven c;
    prove(&c);
    struct certificate_part *p = c.result.certificate.part;
    while (p->n_answers < 2)
        p++;
    p->answer[1] = p->answer[0];
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    arena_release(&c.arena);
}

Test(certificate, a_cut_of_a_well_that_there_is_not_is_found, .timeout = 20)
{
    struct proven c;
    prove(&c);
    struct certificate_part *p = c.result.certificate.part;
    while (p->n_cut == 0)
        p++;
    p->cut[0].bidder = c.problem.n_wells;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    cr_assert(why != NULL);
    arena_release(&c.arena);
}

Test(certificate, a_well_that_is_said_to_be_in_another_block_is_found,
     .timeout = 20)
{
    struct proven c;
    prove(&c);
    struct blocks *blocks = &c.result.certificate.blocks;
    blocks->block_of[0] = blocks->block_of[0] == 0 ? 1 : 0;
    const char *why;
    cr_assert(eq(dbl, bound_of(&c, &why), (double)INFINITY));
    arena_release(&c.arena);
}
