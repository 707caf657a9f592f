#include "sample.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"
#include "prices.h"

static void scale(double *value, double part)
{
    if (isfinite(*value))
        *value *= part;
}

/* Shared limits, flows and units of a part of the field. */
static void shrink(const struct asking *k, struct problem *p, double part,
                   struct arena *a)
{
    struct limit_row *row = ARENA_NEW(a, p->n_rows, struct limit_row);
    memcpy(row, p->row, p->n_rows * sizeof *row);
    for (size_t i = 0; i < k->n_bound; i++) {
        scale(&row[k->bound[i]].low, part);
        scale(&row[k->bound[i]].high, part);
    }
    p->row = row;
    struct station_column *column =
        ARENA_NEW(a, p->n_columns, struct station_column);
    memcpy(column, p->column, p->n_columns * sizeof *column);
    for (size_t c = 0; c < p->n_columns; c++) {
        column[c].low *= part;
        column[c].high *= part;
    }
    p->column = column;
    struct station_unit *unit = ARENA_NEW(a, p->n_units, struct station_unit);
    memcpy(unit, p->unit, p->n_units * sizeof *unit);
    for (size_t u = 0; u < p->n_units; u++) {
        unit[u].worth *= part;
        for (size_t r = 0; r < N_FIELD_ROWS; r++)
            unit[u].term[r] *= part;
    }
    p->unit = unit;
}

/* Every step-th block; the part of the wells that they have. */
static double pick_blocks(const struct asking *k, size_t step, struct arena *a,
                          struct blocks *out)
{
    size_t n = 0;
    *out = *k->blocks;
    out->n = 0;
    out->block = ARENA_NEW(a, k->blocks->n, struct block);
    for (size_t b = 0; b < k->blocks->n; b += step) {
        out->block[out->n++] = k->blocks->block[b];
        n += k->blocks->block[b].n;
    }
    return (double)n / (double)k->problem->n_wells;
}

double *sample_prices(const struct asking *k, const struct menu *const *menu)
{
    size_t step = k->blocks->n / SAMPLE_BLOCKS;
    if (step > SAMPLE_STEP)
        step = SAMPLE_STEP;
    if (step < 2)
        return NULL;
    struct arena a = {.on_full = k->arena->on_full,
                      .context = k->arena->context};
    struct problem p = *k->problem;
    struct blocks blocks;
    struct asking few = *k;
    double part = pick_blocks(k, step, &a, &blocks);
    shrink(k, &p, part, &a);
    few.problem = &p;
    few.blocks = &blocks;
    few.n_groups = asking_groups(blocks.n);
    few.range *= part;
    few.arena = &a;
    struct prices q;
    prices_start(&few, &p, menu, TOL_SAMPLE * few.range, &q);
    q.cap = q.cap_last = SAMPLE_CAP;
    prices_ask(&q, asking_prices(&few));
    prices_find(&q, SAMPLE_ASKS);
    double *row_price = NULL;
    if (q.is_exact) {
        row_price = asking_prices(k);
        memcpy(row_price, q.best->row_price, p.n_rows * sizeof *row_price);
    }
    arena_release(&a);
    return row_price;
}
