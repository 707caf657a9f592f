#include "plot.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "report/text.h"

#define HEIGHT 16
/* Left of the drawing: the numbers of the upright axis. */
#define MARGIN 10

struct canvas {
    long width;
    char *cell;                /* [HEIGHT][width], from the top */
    double x_from, x_to, y_to; /* SI; the upright axis starts at 0 */
    enum show_quantity x, y;
};

static void canvas_init(const struct report *r, struct canvas *v)
{
    size_t size = (size_t)(HEIGHT * v->width);
    v->cell = ARENA_NEW(r->show.arena, size, char);
    memset(v->cell, ' ', size);
}

static double x_at(const struct canvas *v, long column)
{
    return v->x_from +
           (v->x_to - v->x_from) * (double)column / (double)(v->width - 1);
}

static void mark(struct canvas *v, double x, double y, char with)
{
    if (!(y >= 0))
        return;
    long column = lround((x - v->x_from) / (v->x_to - v->x_from) *
                         (double)(v->width - 1));
    long line = lround(fmax(1 - y / v->y_to, 0) * (HEIGHT - 1));
    v->cell[line * v->width + column] = with;
}

/* The upright axis is numbered at the top, in the middle and at the bottom. */
static void write_line(const struct report *r, const struct canvas *v, long y,
                       struct strbuf *out)
{
    const char *label = "";
    if (y == 0 || y == HEIGHT / 2 || y == HEIGHT - 1)
        label = show_number(&r->show, v->y,
                            v->y_to * (double)(HEIGHT - 1 - y) / (HEIGHT - 1));
    strbuf_pad(out, ' ', MARGIN - 2 - text_width(label));
    strbuf_addf(out, "%s |", label);
    long end = v->width;
    while (end > 0 && v->cell[y * v->width + end - 1] == ' ')
        end--;
    strbuf_add_n(out, v->cell + y * v->width, (size_t)end);
    strbuf_add(out, "\n");
}

/* The numbers at the ends of the level axis, and what it is. */
static void write_axis(const struct canvas *v, const char *first,
                       const char *last, struct strbuf *out)
{
    strbuf_pad(out, ' ', MARGIN - 1);
    strbuf_add(out, "+");
    strbuf_pad(out, '-', v->width);
    strbuf_add(out, "\n");
    strbuf_pad(out, ' ', MARGIN);
    strbuf_add(out, first);
    strbuf_pad(out, ' ', v->width - text_width(first) - text_width(last));
    strbuf_addf(out, "%s\n", last);
    strbuf_pad(out, ' ', MARGIN);
}

static double oil_at(const struct curve *c, double gas_sm3s)
{
    struct curve_point p;
    struct err err;
    return curve_at(c, gas_sm3s, &p, &err) == ST_OK ? p.oil_sm3s : (double)NAN;
}

void plot_curve(const struct report *r, const struct curve *c, double now_sm3s,
                double plan_sm3s, struct strbuf *out)
{
    const struct show *s = &r->show;
    struct canvas v = {
        .width = r->width - MARGIN,
        .x_to = c->gas_max_sm3s,
        .y_to = curve_peak_oil_sm3s(c),
        .x = SHOW_WELL_GAS,
        .y = SHOW_LIQUID,
    };
    if (!(v.x_to > 0 && v.y_to > 0))
        return;
    canvas_init(r, &v);
    for (long i = 0; i < v.width; i++)
        mark(&v, x_at(&v, i), oil_at(c, x_at(&v, i)), '*');
    mark(&v, now_sm3s, oil_at(c, now_sm3s), 'N');
    mark(&v, plan_sm3s, oil_at(c, plan_sm3s), 'P');
    strbuf_addf(out, "  oil, %s\n", show_unit(s, v.y));
    for (long y = 0; y < HEIGHT; y++)
        write_line(r, &v, y, out);
    write_axis(&v, "0", show_number(s, v.x, v.x_to), out);
    strbuf_addf(out, "lift gas, %s; N now, P planned\n", show_unit(s, v.x));
}

/* The straight line between points; NaN where there is no plan. */
static double value_at(const struct market_curve *c, double gas_sm3s)
{
    size_t i = 0;
    while (i + 2 < c->n && c->point[i + 1].gas_sm3s < gas_sm3s)
        i++;
    const struct market_point *a = &c->point[i], *b = a + 1;
    if (a->is_impossible || b->is_impossible)
        return (double)NAN;
    double part = (gas_sm3s - a->gas_sm3s) / (b->gas_sm3s - a->gas_sm3s);
    return a->value + part * (b->value - a->value);
}

void plot_market(const struct report *r, const struct market_curve *c,
                 struct strbuf *out)
{
    const struct show *s = &r->show;
    bool is_money = c->objective == PLAN_MONEY;
    struct canvas v = {
        .width = r->width - MARGIN,
        .x = SHOW_FIELD_GAS,
        .y = is_money ? SHOW_MONEY : SHOW_LIQUID,
    };
    size_t first = 0;
    while (first < c->n && c->point[first].is_impossible)
        first++;
    if (first + 2 > c->n)
        return;
    v.x_from = c->point[first].gas_sm3s;
    v.x_to = c->point[c->n - 1].gas_sm3s;
    for (size_t i = 0; i < c->n; i++)
        v.y_to = fmax(v.y_to, c->point[i].value);
    if (!(v.y_to > 0))
        return;
    canvas_init(r, &v);
    for (long i = 0; i < v.width; i++)
        mark(&v, x_at(&v, i), value_at(c, x_at(&v, i)), '*');
    mark(&v, 0, c->point[c->today].value, 'T');
    strbuf_addf(out, "  %s, %s\n", is_money ? "money" : "oil",
                show_unit(s, v.y));
    for (long y = 0; y < HEIGHT; y++)
        write_line(r, &v, y, out);
    write_axis(&v, show_change(s, v.x, v.x_from), show_change(s, v.x, v.x_to),
               out);
    strbuf_addf(out, "gas against today's, %s; T today\n", show_unit(s, v.x));
}
