/* Rows of comma-separated values after RFC 4180, with plain newlines. */
#ifndef CELLS_H
#define CELLS_H

#include "report/show.h"

struct strbuf;

/* Each call appends one cell and the comma after it; cells_end replaces the
 * last comma by the end of the row. */
/* Text that a spreadsheet would take for a formula gets an apostrophe in
 * front. NULL is an empty cell. */
void cells_text(struct strbuf *out, const char *text);
/* As many digits as a double holds, without unit; empty when not finite. */
void cells_number(struct strbuf *out, const struct show *s,
                  enum show_quantity q, double si);
void cells_count(struct strbuf *out, long count);
void cells_end(struct strbuf *out);

#endif
