/* libcsv gives neither lines nor columns, swallows blank lines, and tells the
 * place of a fault only as a count of bytes. So it is fed one byte at a time,
 * which is fast enough (20 ns a byte) and makes every place known. */
#include "scenario/table.h"

#include <csv.h>
#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "base/utf8.h"

struct builder {
    struct table *table;
    struct arena *arena;
    struct diag *diag;
    /* The byte being fed. */
    int line, column;
    /* Where the cell in work began. */
    int cell_line, cell_column;
    bool cell_begun;
    struct table_cell cell[TABLE_MOST_COLUMNS]; /* of the row in work */
    size_t n_cells;
    struct table_row *row;
    size_t cap;
    bool is_header_read, must_stop;
};

static void refuse(struct builder *b, int line, int column, const char *todo,
                   const char *what)
{
    diag_add(b->diag, DIAG_ERROR, (struct place){b->table->file, line, column},
             NULL, todo, "%s", what);
    b->must_stop = true;
}

/* --- called by libcsv ----------------------------------------------------- */

static void take_cell(void *text, size_t len, void *context)
{
    struct builder *b = context;
    if (b->must_stop)
        return;
    if (b->n_cells == TABLE_MOST_COLUMNS) {
        refuse(b, b->cell_line, b->cell_column, NULL, "more than 64 columns");
        return;
    }
    /* An empty cell begins at the comma or line break that ends it. */
    bool was_empty = !b->cell_begun;
    b->cell[b->n_cells++] = (struct table_cell){
        .text = arena_text(b->arena, text, len),
        .line = was_empty ? b->line : b->cell_line,
        .column = was_empty ? b->column : b->cell_column,
    };
    b->cell_begun = false;
}

static const struct table_cell *keep_cells(struct builder *b)
{
    struct table_cell *cell =
        ARENA_NEW(b->arena, b->n_cells, struct table_cell);
    memcpy(cell, b->cell, b->n_cells * sizeof *cell);
    return cell;
}

static void keep_row(struct builder *b)
{
    if (b->table->n_rows == TABLE_MOST_ROWS) {
        refuse(b, b->cell[0].line, 1, NULL, "more than 1,000,000 rows");
        return;
    }
    if (b->table->n_rows == b->cap) {
        b->cap = b->cap > 0 ? 2 * b->cap : 64;
        struct table_row *row = ARENA_NEW(b->arena, b->cap, struct table_row);
        if (b->table->n_rows > 0)
            memcpy(row, b->row, b->table->n_rows * sizeof *row);
        b->row = row;
    }
    b->row[b->table->n_rows++].cell = keep_cells(b);
}

static void report_ragged(struct builder *b)
{
    size_t n = b->table->n_columns;
    b->table->n_left_out++;
    const char *todo = b->n_cells > n
                           ? "is there a decimal comma, or a comma in a text "
                             "without quotes?"
                           : "is the line cut off?";
    diag_add(b->diag, DIAG_ERROR,
             (struct place){b->table->file, b->cell[0].line, 0}, NULL, todo,
             "%zu cells where the header has %zu", b->n_cells, n);
}

static void take_row(int end, void *context)
{
    struct builder *b = context;
    (void)end;
    if (!b->must_stop && !b->is_header_read) {
        b->is_header_read = true;
        b->table->n_columns = b->n_cells;
        b->table->header.cell = keep_cells(b);
    } else if (!b->must_stop && b->n_cells == b->table->n_columns) {
        keep_row(b);
    } else if (!b->must_stop) {
        report_ragged(b);
    }
    b->n_cells = 0;
}

/* -------------------------------------------------------------------------- */

/* A file from a spreadsheet of another habit: one message instead of one a
 * line. */
static bool is_comma_separated(const struct source *s, struct diag *d)
{
    size_t len = strcspn(s->text, "\r\n");
    struct place at = {s->file, 1, 1};
    if (len >= 4 && memcmp(s->text, "sep=", 4) == 0) {
        diag_add(d, DIAG_ERROR, at, NULL,
                 "delete it, and separate the columns by commas",
                 "the first line is a spreadsheet's sep= line");
        return false;
    }
    size_t other = strcspn(s->text, ";\t");
    if (memchr(s->text, ',', len) != NULL || other >= len)
        return true;
    at.column += (int)utf8_count(s->text, other);
    diag_add(d, DIAG_ERROR, at, NULL,
             "separate them by commas, with points before the decimals",
             "the columns are separated by %s",
             s->text[other] == ';' ? "semicolons" : "tabs");
    return false;
}

static void report_fault(struct builder *b, int error, char byte)
{
    bool is_quote = byte == '"';
    if (error != CSV_EPARSE) {
        refuse(b, b->line, b->column, NULL, csv_strerror(error));
        return;
    }
    refuse(b, b->line, b->column,
           is_quote ? "put the whole text in quotes and write \"\" for the "
                      "quote itself"
                    : "end the cell after the quote",
           is_quote ? "a quote inside a text without quotes"
                    : "text after the closing quote");
}

/* Whether the byte belongs to the cell in work, and begins it. */
static bool begins_cell(const struct builder *b, char byte)
{
    return !b->cell_begun && strchr(", \t\r\n", byte) == NULL;
}

static void move_on(struct builder *b, const char *byte)
{
    bool ends_line = *byte == '\n' || (*byte == '\r' && byte[1] != '\n');
    if (ends_line) {
        b->line++;
        b->column = 1;
    } else if (((unsigned char)*byte & 0xc0) != 0x80) {
        b->column++;
    }
}

static void feed(struct builder *b, struct csv_parser *parser,
                 const struct source *s)
{
    for (size_t i = 0; i < s->len && !b->must_stop; i++) {
        const char *byte = s->text + i;
        if (begins_cell(b, *byte)) {
            b->cell_begun = true;
            b->cell_line = b->line;
            b->cell_column = b->column;
        }
        if (csv_parse(parser, byte, 1, take_cell, take_row, b) != 1) {
            report_fault(b, csv_error(parser), *byte);
            return; /* csv_fini would deliver half a cell */
        }
        move_on(b, byte);
    }
    if (!b->must_stop && csv_fini(parser, take_cell, take_row, b) != 0)
        refuse(b, b->cell_line, b->cell_column, "close it",
               "the quote opened here is never closed");
}

const struct table *table_read(struct source *s, struct arena *a,
                               struct diag *d)
{
    if (!source_check(s, d) || !is_comma_separated(s, d))
        return NULL;
    struct table *table = ARENA_NEW(a, 1, struct table);
    table->file = s->file;
    struct builder b = {
        .table = table, .arena = a, .diag = d, .line = 1, .column = 1};
    struct csv_parser parser;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL) !=
        0) {
        refuse(&b, 1, 1, NULL, "the CSV reader did not start");
        return NULL;
    }
    feed(&b, &parser, s);
    csv_free(&parser);
    if (b.must_stop)
        return NULL;
    table->row = b.row;
    bool has_header = false;
    for (size_t i = 0; i < table->n_columns; i++)
        has_header = has_header || table->header.cell[i].text[0] != '\0';
    if (!has_header) {
        refuse(&b, 1, 1, "write the names of the columns first",
               s->len == 0 ? "the file is empty" : "there is no header");
        return NULL;
    }
    return table;
}

struct place table_place(const struct table *t, const struct table_cell *cell)
{
    return (struct place){t->file, cell->line, cell->column};
}
