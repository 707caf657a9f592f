/* Everything a scenario may hold, one row per key of scenario.yaml and of
 * outage.yaml and per column of a table file. Reading, messages and
 * docs/input.md come from it. */
#ifndef SCENARIO_SCHEMA_H
#define SCENARIO_SCHEMA_H

#include <stdbool.h>
#include <stddef.h>

#include "base/units.h"

struct strbuf;

enum schema_kind {
    SCHEMA_MAP,      /* the keys below it */
    SCHEMA_NAMED,    /* names the user gives, each with the keys below it */
    SCHEMA_LIST,     /* items, each with the keys below it */
    SCHEMA_QUANTITY, /* a number with a unit; plain when dim is DIM_NUMBER */
    SCHEMA_COUNT,    /* a whole number */
    SCHEMA_CHOICE,   /* one of choices */
    SCHEMA_FLAG,     /* yes or no */
    SCHEMA_DATE,     /* YYYY-MM-DD */
    SCHEMA_CLOCK,    /* HH:MM, 00:00 to 24:00 */
    SCHEMA_MOMENT,   /* a clock time, with a date or without, or +26 h */
    SCHEMA_NAME,     /* a name, see names.h */
    SCHEMA_TEXT,     /* anything that can be shown on one line */
    SCHEMA_FILE,     /* a file in the scenario's folder */
};

enum schema_need {
    SCHEMA_OPTIONAL,
    SCHEMA_REQUIRED,
    SCHEMA_FOR_MODEL, /* required for a well with a model */
};

struct schema_row {
    const char *table; /* the table file of a column; NULL for a key */
    /* Keys joined by points; * is a name or an item; those of outage.yaml
     * below "outage". A column: its name. */
    const char *path;
    enum schema_kind kind;
    enum schema_need need;
    enum dim dim;
    const char *unit;            /* of the limits, NULL for plain numbers */
    double min, max;             /* outside is an error */
    double usual_min, usual_max; /* outside is a warning */
    const char *choices;         /* "a|b|", in the order of the enum they set */
    const char *fallback; /* used when missing, as a user would write it */
    const char *help;
};

/* i-th row, NULL past the end. A map's keys follow it without a gap. */
const struct schema_row *schema_row(size_t i);

/* Row of a key, such as "wells.*.wellhead.pressure", or NULL. */
const struct schema_row *schema_key(const char *path);
/* The row that the keys of outage.yaml are below. */
const struct schema_row *schema_outage(void);
/* Row of a column, or NULL. */
const struct schema_row *schema_column(const char *table, const char *name,
                                       size_t len);

/* The keys directly below a row (NULL: of scenario.yaml itself) one after the
 * other: the first for before NULL, NULL past the last. */
const struct schema_row *schema_below(const struct schema_row *parent,
                                      const struct schema_row *before);
/* The last part of the path: "pressure". */
const char *schema_last_key(const struct schema_row *row);

/* The whole of docs/input.md. */
void schema_write_markdown(struct strbuf *out);

#endif
