#include "report/grid.h"

#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "report/text.h"

#define FIRST_CAP 16
/* Between columns. */
#define GAP 2
/* Widest column of names; longer names get a line of their own. */
#define NAME_MOST 24
/* Running text beside a row needs this much to be read with ease; below a row
 * it starts here. */
#define NOTE_LEAST 38
#define NOTE_INDENT 4

void grid_init(struct grid *g, struct arena *a,
               const struct grid_column *column, size_t n_columns)
{
    *g = (struct grid){.arena = a, .column = column, .n_columns = n_columns};
}

const char **grid_row(struct grid *g)
{
    if (g->n_rows == g->cap) {
        g->cap = g->cap > 0 ? 2 * g->cap : FIRST_CAP;
        const char **cell =
            ARENA_NEW(g->arena, g->cap * g->n_columns, const char *);
        if (g->n_rows > 0)
            memcpy(cell, g->cell, g->n_rows * g->n_columns * sizeof *cell);
        g->cell = cell;
    }
    return g->cell + g->n_columns * g->n_rows++;
}

static int larger(int a, int b)
{
    return a > b ? a : b;
}

static int cell_width(const char *cell)
{
    return cell != NULL ? text_width(cell) : 0;
}

/* How the columns share the line. */
struct layout {
    int *width;       /* [n_columns] */
    size_t n_aligned; /* columns in line; the last may be running text */
    size_t name;      /* the first column of text; n_columns: none but notes */
    bool has_note, note_below;
    int note_at, indent, line;
};

static int width_of_column(const struct grid *g, size_t c, int most)
{
    int heads = 0, cells = 0;
    for (size_t h = 0; h < GRID_HEADS; h++)
        heads = larger(heads, cell_width(g->column[c].head[h]));
    for (size_t r = 0; r < g->n_rows; r++)
        cells = larger(cells, cell_width(g->cell[r * g->n_columns + c]));
    return larger(heads, cells < most ? cells : most);
}

static struct layout arrange(const struct grid *g, int indent, int line)
{
    struct layout l = {.indent = indent, .line = line};
    size_t last = g->n_columns - 1;
    while (l.name < last && g->column[l.name].is_number)
        l.name++;
    l.has_note = !g->column[last].is_number && last > 0;
    if (l.has_note && l.name == last)
        l.name = g->n_columns;
    l.n_aligned = l.has_note ? last : g->n_columns;
    l.width = ARENA_NEW(g->arena, g->n_columns, int);
    l.note_at = indent;
    for (size_t c = 0; c < l.n_aligned; c++) {
        l.width[c] = width_of_column(g, c, c == l.name ? NAME_MOST : line);
        l.note_at += l.width[c] + GAP;
    }
    if (l.has_note) {
        int room = line - l.note_at, whole = width_of_column(g, last, line);
        l.note_below = whole > room && room < NOTE_LEAST;
        l.width[last] = whole < room ? whole : room;
    }
    return l;
}

/* Cells in line, without blanks at the end. Returns where the line stands. */
static int write_aligned(const struct grid *g, const struct layout *l,
                         const char *const *cell, struct strbuf *out)
{
    int at = 0, column = l->indent;
    for (size_t c = 0; c < l->n_aligned; c++) {
        int blank = l->width[c] - cell_width(cell[c]);
        int start = column + (g->column[c].is_number ? blank : 0);
        if (cell_width(cell[c]) > 0) {
            strbuf_pad(out, ' ', start - at);
            text_add(out, cell[c]);
            at = start + cell_width(cell[c]);
        }
        column += l->width[c] + GAP;
    }
    return at;
}

/* A name wider than its column: its line, and the row goes on without. */
static const char *const *write_long_name(const struct grid *g,
                                          const struct layout *l,
                                          const char *const *cell,
                                          struct strbuf *out)
{
    if (l->name == g->n_columns ||
        cell_width(cell[l->name]) <= l->width[l->name])
        return cell;
    const char **name = ARENA_NEW(g->arena, g->n_columns, const char *);
    const char **rest = ARENA_NEW(g->arena, g->n_columns, const char *);
    memcpy(rest, cell, g->n_columns * sizeof *rest);
    for (size_t c = 0; c <= l->name; c++) {
        name[c] = cell[c];
        rest[c] = NULL;
    }
    write_aligned(g, l, name, out);
    strbuf_add(out, "\n");
    return rest;
}

static void write_row(const struct grid *g, const struct layout *l,
                      const char *const *cell, struct strbuf *out)
{
    cell = write_long_name(g, l, cell, out);
    int at = write_aligned(g, l, cell, out);
    const char *note = l->has_note ? cell[g->n_columns - 1] : NULL;
    if (cell_width(note) == 0) {
        strbuf_add(out, "\n");
        return;
    }
    int start = l->note_at;
    if (l->note_below) {
        start = l->indent + NOTE_INDENT;
        strbuf_add(out, "\n");
        at = 0;
    }
    strbuf_pad(out, ' ', start - at);
    text_wrap(out, note, start, start, l->line);
}

static void write_heads(const struct grid *g, const struct layout *l,
                        struct strbuf *out)
{
    const char **cell = ARENA_NEW(g->arena, g->n_columns, const char *);
    for (size_t h = 0; h < GRID_HEADS; h++) {
        bool is_used = false;
        for (size_t c = 0; c < g->n_columns; c++) {
            cell[c] = g->column[c].head[h];
            is_used = is_used || cell[c] != NULL;
        }
        if (l->note_below)
            cell[g->n_columns - 1] = NULL;
        if (is_used)
            write_row(g, l, cell, out);
    }
    int at = 0, column = l->indent;
    size_t n = l->note_below ? l->n_aligned : g->n_columns;
    for (size_t c = 0; c < n; c++) {
        strbuf_pad(out, ' ', column - at);
        strbuf_pad(out, '-', l->width[c]);
        at = column + l->width[c];
        column += l->width[c] + GAP;
    }
    strbuf_add(out, "\n");
}

void grid_write(const struct grid *g, int indent, int width, struct strbuf *out)
{
    if (g->n_rows == 0)
        return;
    struct layout l = arrange(g, indent, width);
    write_heads(g, &l, out);
    for (size_t r = 0; r < g->n_rows; r++)
        write_row(g, &l, g->cell + r * g->n_columns, out);
}
