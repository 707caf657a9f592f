/* A table of text in columns that are as wide as they must be. */
#ifndef REPORT_GRID_H
#define REPORT_GRID_H

#include <stdbool.h>
#include <stddef.h>

struct arena;
struct strbuf;

#define GRID_HEADS 3

struct grid_column {
    /* Lines of the heading from the top; NULL for none. A line that no column
     * has is left out. */
    const char *head[GRID_HEADS];
    bool is_number; /* aligned right */
};

struct grid {
    struct arena *arena;
    const struct grid_column *column; /* [n_columns], kept by the caller */
    size_t n_columns, n_rows, cap;
    const char **cell; /* [cap][n_columns] */
};

void grid_init(struct grid *g, struct arena *a,
               const struct grid_column *column, size_t n_columns);

/* A new row of n_columns cells to fill in; NULL is blank. Valid until the next
 * call. The texts must live as long as the grid. */
const char **grid_row(struct grid *g);

/* The table, each line starting at `indent`. A last column of text wraps
 * inside `width`, beside the row where there is room, else below it. A name in
 * the first column of text too long for the table gets a line of its own.
 * Nothing without rows. */
void grid_write(const struct grid *g, int indent, int width,
                struct strbuf *out);

#endif
