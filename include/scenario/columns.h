/* The columns of a table file held against the schema, and their cells. */
#ifndef SCENARIO_COLUMNS_H
#define SCENARIO_COLUMNS_H

#include "base/diag.h"
#include "base/units.h"
#include "scenario/table.h"

struct schema_row;

struct columns {
    const struct table *table;
    const char *name; /* which table of the schema: "tests.csv" */
    const struct schema_row *row[TABLE_MOST_COLUMNS]; /* NULL: unknown */
    const struct unit *unit[TABLE_MOST_COLUMNS];      /* NULL: none */
    size_t first_row; /* 1 when the first row repeats the header */
    const struct unit_frame *frame;
    struct diag *d;
};

/* Find every column of the header in the schema. A header looks like
 * "oil (stb/d)". Unknown, repeated and missing columns and wrong units are
 * errors in d. */
void columns_bind(struct columns *c, const struct table *t, const char *name,
                  const struct unit_frame *frame, struct diag *d);

/* The column is in the file. */
bool columns_has(const struct columns *c, const char *column);

/* The cell's value as value_read gives it. NaN when the column or the cell is
 * missing (empty or "-"), which is an error where the schema requires it, and
 * after an error. */
double columns_value(const struct columns *c, size_t row, const char *column);

/* The cell's text, "" when the column or the cell is missing. */
const char *columns_text(const struct columns *c, size_t row,
                         const char *column);

/* Of the cell; of the row's first cell when the column is missing. */
struct place columns_place(const struct columns *c, size_t row,
                           const char *column);

#endif
