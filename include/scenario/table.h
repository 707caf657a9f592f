/* A CSV file (RFC 4180, strict) as rows that know their places. */
#ifndef SCENARIO_TABLE_H
#define SCENARIO_TABLE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"
#include "scenario/source.h"

#define TABLE_MOST_COLUMNS 64
#define TABLE_MOST_ROWS ((size_t)1000000)

struct table_cell {
    const char *text; /* blanks around an unquoted text are gone */
    int line, column; /* where the cell begins */
};

struct table_row {
    const struct table_cell *cell; /* [n_columns] */
};

struct table {
    const char *file;
    size_t n_columns, n_rows; /* rows below the header */
    size_t n_left_out;        /* rows with another number of cells */
    struct table_row header;
    const struct table_row *row;
};

/* The table, in a; NULL when there is no header or the text is no CSV. Rows
 * with another number of cells than the header are errors and left out, so
 * count the errors. */
const struct table *table_read(struct source *s, struct arena *a,
                               struct diag *d);

struct place table_place(const struct table *t, const struct table_cell *cell);

#endif
