/* One text of the user, read by its row of the schema. Every fault is one
 * located error; a value outside the usual range one warning. */
#ifndef SCENARIO_VALUE_H
#define SCENARIO_VALUE_H

#include <stdbool.h>

#include "base/diag.h"
#include "scenario/schema.h"

struct value_text {
    const struct schema_row *row;
    const char *text; /* closed by a NUL */
    struct place at;
    const char *path; /* for messages */
    /* Where the column's header holds the unit; NULL where the text does. */
    const struct unit *unit;
};

/* A time of day, or one that is told otherwise. */
struct value_moment {
    enum { MOMENT_CLOCK, MOMENT_DATED, MOMENT_AFTER } kind;
    long day; /* of MOMENT_DATED, from 1970-01-01 */
    double s; /* after midnight; MOMENT_AFTER: after a start */
};

/* "20:00", "2026-11-26 06:30", "+26 h" or "+90 min". False: nothing of it. */
bool value_moment(const char *text, struct value_moment *out);
/* Seconds after a start, which is start_s after midnight of the day. */
double value_moment_s(const struct value_moment *m, long day, double start_s);

/* A quantity in SI, a count, the index of a choice, 1 or 0 for yes or no, a
 * day counted from 1970-01-01, seconds after midnight of a clock time; 0 for
 * moments, names, texts and files, which are only
 * checked. NaN after an error. Only for kinds that are no map or list. */
double value_read(const struct value_text *v, const struct unit_frame *frame,
                  struct diag *d);

/* The unit that ends a text such as "14.7 psia" of that dimension, or NULL. */
const struct unit *value_unit(enum dim dim, const char *text);

/* The row's fallback in SI (index, day, ...); NaN when it has none. */
double value_fallback(const struct schema_row *row,
                      const struct unit_frame *frame);

/* Whether the unit's zero moves with the local atmosphere. */
bool value_is_gauge(const struct unit *unit);

/* The row's choices, comma-separated, in a. */
const char *value_choices(const struct schema_row *row, struct arena *a);

#endif
