#include "scenario/columns.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "scenario/names.h"
#include "scenario/schema.h"
#include "scenario/value.h"

/* --- the header ----------------------------------------------------------- */

/* "oil (stb/d)" in two parts; unit is NULL when there is no bracket. */
struct heading {
    size_t name_len;
    const char *unit;
    size_t unit_len;
};

static struct heading split(const char *text)
{
    size_t len = strlen(text);
    const char *open = strchr(text, '(');
    if (open == NULL || text[len - 1] != ')')
        return (struct heading){.name_len = len};
    size_t name_len = (size_t)(open - text);
    while (name_len > 0 && text[name_len - 1] == ' ')
        name_len--;
    const char *unit = open + 1;
    return (struct heading){name_len, unit, (size_t)(text + len - 1 - unit)};
}

static void report(const struct columns *c, size_t i, const char *todo,
                   const char *what)
{
    const struct table_cell *cell = &c->table->header.cell[i];
    diag_add(c->d, DIAG_ERROR, table_place(c->table, cell), NULL, todo,
             "column %s %s", diag_quote(c->d, cell->text), what);
}

/* All columns of this table in the schema, comma-separated. */
static const char *known_columns(const struct columns *c)
{
    struct strbuf all;
    strbuf_init(&all, c->d->arena);
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++)
        if (row->table != NULL && strcmp(row->table, c->name) == 0)
            strbuf_addf(&all, "%s%s", all.len > 0 ? ", " : "", row->path);
    return all.text;
}

static void report_unknown(const struct columns *c, size_t i,
                           const char *written)
{
    const char *nearest = NULL;
    size_t least = (size_t)-1;
    const struct schema_row *row;
    for (size_t k = 0; (row = schema_row(k)) != NULL; k++) {
        if (row->table == NULL || strcmp(row->table, c->name) != 0)
            continue;
        size_t distance = name_distance(written, row->path);
        if (distance < least) {
            least = distance;
            nearest = row->path;
        }
    }
    if (nearest != NULL && name_is_near(written, least))
        report(c, i, arena_printf(c->d->arena, "did you mean %s?", nearest),
               "is unknown");
    else
        report(
            c, i,
            arena_printf(c->d->arena, "the columns are: %s", known_columns(c)),
            "is unknown");
}

static const struct unit *find_unit(const struct columns *c, size_t i,
                                    struct heading h)
{
    const struct schema_row *row = c->row[i];
    const char *todo =
        arena_printf(c->d->arena, "write %s (UNIT) with one of: %s", row->path,
                     unit_choices(row->dim));
    if (h.unit == NULL) {
        report(c, i, todo, "has no unit");
        return NULL;
    }
    const struct unit *unit = unit_find(row->dim, h.unit, h.unit_len);
    if (unit == NULL)
        report(c, i, todo,
               arena_printf(c->d->arena, "needs the unit of %s",
                            dim_words(row->dim)));
    return unit;
}

static bool is_repeated(const struct columns *c, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (c->row[k] == c->row[i])
            return true;
    return false;
}

static void bind(struct columns *c, size_t i)
{
    const char *text = c->table->header.cell[i].text;
    struct heading h = split(text);
    const char *name = arena_text(c->d->arena, text, h.name_len);
    if (h.name_len == 0) {
        report(c, i, "delete the comma, or name the column", "has no name");
        return;
    }
    c->row[i] = schema_column(c->name, name, h.name_len);
    if (c->row[i] == NULL)
        report_unknown(c, i, name);
    else if (is_repeated(c, i))
        report(c, i, "keep one", "is given twice");
    else if (c->row[i]->kind == SCHEMA_QUANTITY)
        c->unit[i] = find_unit(c, i, h);
    else if (h.unit != NULL)
        report(c, i, "delete the unit", "takes no unit");
}

static void report_missing(const struct columns *c)
{
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++) {
        bool is_ours = row->table != NULL && strcmp(row->table, c->name) == 0;
        if (is_ours && row->need == SCHEMA_REQUIRED &&
            !columns_has(c, row->path))
            diag_add(c->d, DIAG_ERROR,
                     table_place(c->table, c->table->header.cell), NULL,
                     "add it", "column %s is missing", row->path);
    }
}

/* Some programs write the units below the names. */
static bool repeats_header(const struct columns *c)
{
    if (c->table->n_rows == 0)
        return false;
    bool has_unit = false;
    for (size_t i = 0; i < c->table->n_columns; i++) {
        const char *text = c->table->row[0].cell[i].text;
        bool is_quantity =
            c->row[i] != NULL && c->row[i]->kind == SCHEMA_QUANTITY;
        has_unit = has_unit ||
                   (is_quantity && unit_find_any(text, strlen(text)) != NULL);
    }
    return has_unit;
}

static bool knows_any(const struct table *t, const char *name)
{
    for (size_t i = 0; i < t->n_columns; i++) {
        const char *text = t->header.cell[i].text;
        if (schema_column(name, text, split(text).name_len) != NULL)
            return true;
    }
    return false;
}

void columns_bind(struct columns *c, const struct table *t, const char *name,
                  const struct unit_frame *frame, struct diag *d)
{
    *c = (struct columns){.table = t, .name = name, .frame = frame, .d = d};
    if (!knows_any(t, name)) {
        diag_add(
            d, DIAG_ERROR, table_place(t, t->header.cell), NULL,
            arena_printf(d->arena, "the columns are: %s", known_columns(c)),
            "the first line must name the columns");
        return;
    }
    for (size_t i = 0; i < t->n_columns; i++)
        bind(c, i);
    report_missing(c);
    if (t->n_rows + t->n_left_out == 0)
        diag_add(d, DIAG_ERROR, table_place(t, t->header.cell), NULL, NULL,
                 "no rows below the header");
    if (!repeats_header(c))
        return;
    c->first_row = 1;
    diag_add(d, DIAG_ERROR, table_place(t, t->row[0].cell), NULL,
             "delete it, and write the units behind the names, like "
             "liquid (stb/d)",
             "a second header row");
}

/* --- cells ---------------------------------------------------------------- */

#define NO_COLUMN ((size_t)-1)

static size_t find(const struct columns *c, const char *column)
{
    for (size_t i = 0; i < c->table->n_columns; i++)
        if (c->row[i] != NULL && strcmp(c->row[i]->path, column) == 0)
            return i;
    return NO_COLUMN;
}

static bool is_missing(const char *text)
{
    return text[0] == '\0' || strcmp(text, "-") == 0;
}

bool columns_has(const struct columns *c, const char *column)
{
    return find(c, column) != NO_COLUMN;
}

const char *columns_text(const struct columns *c, size_t row,
                         const char *column)
{
    size_t i = find(c, column);
    const char *text = i != NO_COLUMN ? c->table->row[row].cell[i].text : "";
    return is_missing(text) ? "" : text;
}

struct place columns_place(const struct columns *c, size_t row,
                           const char *column)
{
    size_t i = find(c, column);
    return table_place(c->table,
                       &c->table->row[row].cell[i != NO_COLUMN ? i : 0]);
}

double columns_value(const struct columns *c, size_t row, const char *column)
{
    size_t i = find(c, column);
    if (i == NO_COLUMN)
        return (double)NAN;
    const struct schema_row *schema = c->row[i];
    const struct table_cell *cell = &c->table->row[row].cell[i];
    struct place at = table_place(c->table, cell);
    if (is_missing(cell->text)) {
        if (schema->need == SCHEMA_REQUIRED)
            diag_add(c->d, DIAG_ERROR, at, column, "write it",
                     "the value is missing");
        return (double)NAN;
    }
    if (schema->kind == SCHEMA_QUANTITY && c->unit[i] == NULL)
        return (double)NAN; /* the header has its error */
    return value_read(
        &(struct value_text){schema, cell->text, at, column, c->unit[i]},
        c->frame, c->d);
}
