#include "casing.h"

#include <math.h>
#include <stdlib.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "page.h"
#include "report/grid.h"

/* Rows shown at most, and names in a sentence. */
#define ROWS 5
#define NAMES 12

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
        {{"margin", show_unit(s, SHOW_PRESSURE_STEP)}, true},
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
        cell[3] = show_number(s, SHOW_PRESSURE_STEP, row[k].margin_pa);
    }
    grid_write(&g, 0, r->width, out);
}

/* Asheim's criterion at a rate, straight between points; INFINITY where it is
 * not known. */
static double steady_at(const struct curve *c, double gas_sm3s)
{
    size_t i = 0;

    if (c->steady == NULL || c->n == 0 || !(gas_sm3s > 0))
        return (double)INFINITY;
    while (i + 1 < c->n && c->gas_sm3s[i + 1] <= gas_sm3s)
        i++;
    if (i + 1 == c->n || isinf(c->steady[i + 1]))
        return c->steady[i];
    double part =
        (gas_sm3s - c->gas_sm3s[i]) / (c->gas_sm3s[i + 1] - c->gas_sm3s[i]);
    return c->steady[i] + part * (c->steady[i + 1] - c->steady[i]);
}

bool casing_heads(const struct report *r, const struct plan *p, size_t well)
{
    return r->field->well[well].kind != KIND_INTERMITTENT &&
           steady_at(&r->curves[well], p->well[well].gas_sm3s) < 1;
}

static void say_unsteady(const struct report *r, const struct plan *p,
                         struct strbuf *out)
{
    struct strbuf names;
    size_t n = 0;

    strbuf_init(&names, r->show.arena);
    for (size_t i = 0; i < r->field->n_wells; i++) {
        if (!casing_heads(r, p, i))
            continue;
        if (n++ < NAMES)
            strbuf_addf(&names, "%s%s", n > 1 ? ", " : "",
                        r->field->well[i].name);
    }
    if (n > NAMES)
        strbuf_addf(&names, " and %zu more", n - NAMES);
    if (n > 0)
        page_say(r, out, 2,
                 "Not steady at the planned rate by Asheim 1988, allowed by "
                 "the minimum or the limit that was entered: %s. The report of "
                 "the well says what would steady it.",
                 names.text);
}

static void say_draw(const struct report *r, const struct plan *p,
                     struct strbuf *out)
{
    double most = 0, mean = 0;
    size_t n = 0;

    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct field_well *w = &r->field->well[i];

        if (w->intermitter == NULL || !(p->well[i].gas_sm3s > 0))
            continue;
        n++;
        most += w->intermitter->draw_sm3s;
        mean += p->well[i].gas_sm3s;
    }
    if (n > 0)
        page_say(r, out, 2,
                 "The %zu intermittent well%s take%s %s in the mean and up to "
                 "%s together while open: stagger the cycles.",
                 n, n > 1 ? "s" : "", n > 1 ? "" : "s",
                 show_full(&r->show, SHOW_FIELD_GAS, mean),
                 show_full(&r->show, SHOW_FIELD_GAS, most));
}

void casing_notes(const struct report *r, const struct plan *p,
                  struct strbuf *out)
{
    say_unsteady(r, p, out);
    say_draw(r, p, out);
}
