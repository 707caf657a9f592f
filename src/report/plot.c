#include "plot.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "report/text.h"

#define HEIGHT 16
/* Left of the drawing: the numbers of the oil axis. */
#define MARGIN 10

struct canvas {
    long width;
    char *cell; /* [HEIGHT][width], from the top */
    double gas_max_sm3s, oil_max_sm3s;
};

static double oil_at(const struct curve *c, double gas_sm3s)
{
    struct curve_point p;
    struct err err;
    return curve_at(c, gas_sm3s, &p, &err) == ST_OK ? p.oil_sm3s : (double)NAN;
}

static void mark(struct canvas *v, const struct curve *c, double gas_sm3s,
                 char with)
{
    double oil_sm3s = oil_at(c, gas_sm3s);
    if (!isfinite(oil_sm3s))
        return;
    long x = lround(gas_sm3s / v->gas_max_sm3s * (double)(v->width - 1));
    long y = lround((1 - oil_sm3s / v->oil_max_sm3s) * (HEIGHT - 1));
    v->cell[y * v->width + x] = with;
}

static void draw(struct canvas *v, const struct curve *c, double now_sm3s,
                 double plan_sm3s)
{
    memset(v->cell, ' ', (size_t)(HEIGHT * v->width));
    for (long x = 0; x < v->width; x++)
        mark(v, c, v->gas_max_sm3s * (double)x / (double)(v->width - 1), '*');
    mark(v, c, now_sm3s, 'N');
    mark(v, c, plan_sm3s, 'P');
}

/* The oil axis is numbered at the top, in the middle and at the bottom. */
static void write_line(const struct report *r, const struct canvas *v, long y,
                       struct strbuf *out)
{
    const char *label = "";
    if (y == 0 || y == HEIGHT / 2 || y == HEIGHT - 1)
        label = show_number(&r->show, SHOW_LIQUID,
                            v->oil_max_sm3s * (double)(HEIGHT - 1 - y) /
                                (HEIGHT - 1));
    strbuf_pad(out, ' ', MARGIN - 2 - text_width(label));
    strbuf_addf(out, "%s |", label);
    long end = v->width;
    while (end > 0 && v->cell[y * v->width + end - 1] == ' ')
        end--;
    strbuf_add_n(out, v->cell + y * v->width, (size_t)end);
    strbuf_add(out, "\n");
}

static void write_gas_axis(const struct report *r, const struct canvas *v,
                           struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *last = show_number(s, SHOW_WELL_GAS, v->gas_max_sm3s);
    strbuf_pad(out, ' ', MARGIN - 1);
    strbuf_add(out, "+");
    strbuf_pad(out, '-', v->width);
    strbuf_add(out, "\n");
    strbuf_pad(out, ' ', MARGIN);
    strbuf_add(out, "0");
    strbuf_pad(out, ' ', v->width - 1 - text_width(last));
    strbuf_addf(out, "%s\n", last);
    strbuf_pad(out, ' ', MARGIN);
    strbuf_addf(out, "lift gas, %s; N now, P planned\n",
                show_unit(s, SHOW_WELL_GAS));
}

void plot_curve(const struct report *r, const struct curve *c, double now_sm3s,
                double plan_sm3s, struct strbuf *out)
{
    struct canvas v = {
        .width = r->width - MARGIN,
        .gas_max_sm3s = c->gas_max_sm3s,
        .oil_max_sm3s = curve_peak_oil_sm3s(c),
    };
    if (!(v.gas_max_sm3s > 0 && v.oil_max_sm3s > 0))
        return;
    v.cell = ARENA_NEW(r->show.arena, (size_t)(HEIGHT * v.width), char);
    draw(&v, c, now_sm3s, plan_sm3s);
    strbuf_addf(out, "  oil, %s\n", show_unit(&r->show, SHOW_LIQUID));
    for (long y = 0; y < HEIGHT; y++)
        write_line(r, &v, y, out);
    write_gas_axis(r, &v, out);
}
