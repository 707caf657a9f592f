#include "field/curves.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <omp.h>
#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "support/sample_wells.h"

#define GAS_MOST (2500 * MSCF_D)

/* The sample wells and a measured curve, as one field. */
struct many {
    struct arena arena;
    struct diag diag;
    struct field field;
    struct field_well well[SAMPLE_WELLS + 1];
    struct sample_well sample[SAMPLE_WELLS];
    struct curve table;
    struct curve *curves;
    struct curve_count count;
};

static void many_init(struct many *m)
{
    *m = (struct many){.field = {.n_wells = SAMPLE_WELLS + 1},
                       .table = {.well = "T-1", .source = CURVE_TABLE}};
    arena_init(&m->arena);
    diag_init(&m->diag, &m->arena);
    m->field.well = m->well;
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        sample_well(i, &m->sample[i]);
        m->well[i] = (struct field_well){.name = m->sample[i].well.name,
                                         .at = {"scenario.yaml", (int)i, 1},
                                         .model = &m->sample[i].well,
                                         .lift_max_sm3s = GAS_MOST};
    }
    m->well[SAMPLE_WELLS] =
        (struct field_well){.name = "T-1", .table = &m->table};
}

static void build(struct many *m, int threads)
{
    omp_set_num_threads(threads);
    field_build_curves(&m->field, &m->arena, &m->diag, &m->curves, &m->count,
                       NULL, NULL);
}

static void same_column(const double *a, const double *b, size_t n,
                        const char *name)
{
    cr_expect(eq(int, memcmp(a, b, n * sizeof a[0]), 0), "%s", name);
}

static void same_curve(const struct curve *a, const struct curve *b,
                       const char *name)
{
    cr_assert(eq(sz, a->n, b->n), "%s", name);
    same_column(a->gas_sm3s, b->gas_sm3s, a->n, name);
    same_column(a->oil_sm3s, b->oil_sm3s, a->n, name);
    same_column(a->water_sm3s, b->water_sm3s, a->n, name);
    same_column(a->formation_sm3s, b->formation_sm3s, a->n, name);
    same_column(a->p_bottom_pa, b->p_bottom_pa, a->n, name);
    same_column(a->p_inject_pa, b->p_inject_pa, a->n, name);
    cr_expect(eq(sz, a->peak, b->peak), "%s", name);
    cr_expect(eq(dbl, a->gas_max_sm3s, b->gas_max_sm3s), "%s", name);
    cr_expect(eq(int, a->end, b->end), "%s", name);
}

Test(curves, one_thread_and_two_give_the_same_bytes, .timeout = 60)
{
    struct many one, two;

    many_init(&one);
    many_init(&two);
    build(&one, 1);
    build(&two, 2);
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        cr_assert(lt(sz, 0, one.curves[i].n));
        same_curve(&one.curves[i], &two.curves[i], one.well[i].name);
    }
    cr_assert(eq(int, one.count.traverses, two.count.traverses));
    cr_assert(eq(int, one.count.march.calls, two.count.march.calls));
    cr_assert(lt(int, one.count.traverses, one.count.march.calls));
    arena_release(&one.arena);
    arena_release(&two.arena);
}

Test(curves, a_measured_curve_is_passed_on, .timeout = 60)
{
    struct many m;

    many_init(&m);
    build(&m, 2);
    cr_assert(eq(int, m.curves[SAMPLE_WELLS].source, CURVE_TABLE));
    cr_assert(strcmp(m.curves[SAMPLE_WELLS].well, "T-1") == 0);
    cr_assert(eq(sz, m.diag.n, 0));
    arena_release(&m.arena);
}

Test(curves, a_broken_well_is_an_error_and_disturbs_no_other, .timeout = 60)
{
    struct many sound, broken;
    const size_t bad = 4;

    many_init(&sound);
    many_init(&broken);
    broken.sample[bad].well.gor_sm3sm3 = (double)NAN;
    build(&sound, 2);
    build(&broken, 2);
    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        if (i != bad)
            same_curve(&sound.curves[i], &broken.curves[i], sound.well[i].name);
    cr_assert(eq(sz, broken.curves[bad].n, 0));
    cr_assert(eq(dbl, broken.curves[bad].gas_max_sm3s, GAS_MOST));
    cr_assert(strcmp(broken.curves[bad].well, broken.well[bad].name) == 0);
    cr_assert(eq(sz, sound.diag.n, 0));
    cr_assert(eq(sz, broken.diag.n_errors, 1));
    cr_assert(eq(sz, broken.diag.n_warnings, 0));
    cr_assert(eq(int, broken.diag.item[0].at.line, (int)bad));
    cr_assert(strcmp(broken.diag.item[0].path, broken.well[bad].name) == 0);
    cr_assert(strstr(broken.diag.item[0].what, "failed: ") != NULL);
    arena_release(&sound.arena);
    arena_release(&broken.arena);
}

Test(curves, a_dead_well_is_no_error, .timeout = 60)
{
    struct many m;

    many_init(&m);
    m.sample[0].well.inflow.p_res_pa = m.sample[0].well.p_head_pa;
    build(&m, 2);
    cr_assert(eq(sz, m.curves[0].n, 0));
    cr_assert(eq(sz, m.diag.n, 0));
    arena_release(&m.arena);
}

struct progress {
    size_t calls, last;
    bool in_order;
};

static void note(size_t n_done, void *context)
{
    struct progress *p = context;

    p->in_order = p->in_order && n_done == p->last + 1;
    p->last = n_done;
    p->calls++;
}

Test(curves, progress_counts_every_well_once, .timeout = 60)
{
    struct many m;
    struct progress p = {.in_order = true};

    many_init(&m);
    omp_set_num_threads(2);
    field_build_curves(&m.field, &m.arena, &m.diag, &m.curves, NULL, note, &p);
    cr_assert(eq(sz, p.calls, SAMPLE_WELLS + 1));
    cr_assert(eq(sz, p.last, SAMPLE_WELLS + 1));
    cr_assert(p.in_order);
    arena_release(&m.arena);
}
