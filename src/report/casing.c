#include "casing.h"

#include <math.h>
#include <stdlib.h>

#include "base/arena.h"
#include "page.h"
#include "report/grid.h"

/* Rows shown at most. */
#define ROWS 5

struct row {
    size_t well;
    double margin_pa;
};

static int by_margin(const void *a, const void *b)
{
    const struct row *x = a, *y = b;

    if (x->margin_pa < y->margin_pa)
        return -1;
    if (x->margin_pa > y->margin_pa)
        return 1;
    return x->well < y->well ? -1 : 1;
}

static size_t gather(const struct report *r, const struct verify *v,
                     struct row *row)
{
    size_t n = 0;

    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct field_well *w = &r->field->well[i];
        double margin = w->model ? w->model->gas_path.p_casing_max_pa -
                                       v->well[i].p_casing_pa
                                 : (double)NAN;

        if (v->well[i].checked && isfinite(margin))
            row[n++] = (struct row){i, margin};
    }
    qsort(row, n, sizeof row[0], by_margin);
    return n;
}

void casing_table(const struct report *r, const struct verify *v,
                  struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *p = show_unit(s, SHOW_PRESSURE);
    const struct grid_column columns[] = {
        {{"well"}, false},
        {{"planned", p}, true},
        {{"limit", p}, true},
        {{"margin", "psi"}, true},
    };
    struct row *row = ARENA_NEW(s->arena, r->field->n_wells, struct row);
    size_t n = gather(r, v, row);
    struct grid g;

    if (n == 0)
        return;
    page_head(r, out, "CASING PRESSURES, the tightest of %zu", n);
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t k = 0; k < n && k < ROWS; k++) {
        const struct field_well *w = &r->field->well[row[k].well];
        const char **cell = grid_row(&g);

        cell[0] = w->name;
        cell[1] =
            show_number(s, SHOW_PRESSURE, v->well[row[k].well].p_casing_pa);
        cell[2] =
            show_number(s, SHOW_PRESSURE, w->model->gas_path.p_casing_max_pa);
        cell[3] =
            arena_printf(s->arena, "%.0f", row[k].margin_pa / UNIT_PSI_PA);
    }
    grid_write(&g, 0, r->width, out);
}
