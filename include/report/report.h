/* What every report is made from, and the formats it can take. A report is
 * appended to a text; nothing is printed here. */
#ifndef REPORT_REPORT_H
#define REPORT_REPORT_H

#include "field/field.h"
#include "report/show.h"

struct strbuf;

/* format, key on the command line, ending of the file */
#define REPORT_FORMAT_LIST(X) \
    X(TABLE, "table", "txt")  \
    X(CSV, "csv", "csv")      \
    X(JSON, "json", "json")

enum report_format {
#define REPORT_FORMAT_ENUM(name, key, ending) REPORT_##name,
    REPORT_FORMAT_LIST(REPORT_FORMAT_ENUM)
#undef REPORT_FORMAT_ENUM
        REPORT_FORMATS
};

const char *report_format_key(enum report_format f);
const char *report_format_ending(enum report_format f);

/* Version of the JSON texts: a key that goes or changes its meaning raises
 * it. */
#define REPORT_SCHEMA 1

/* Widths of a text report, in columns. */
#define REPORT_WIDTH_LEAST 80
#define REPORT_WIDTH_MOST 120
#define REPORT_WIDTH_FILE 100

struct report {
    struct show show;
    int width;
    const struct field *field;
    const struct curve *curves; /* [n_wells]; NULL in a check */
    const struct diag *diag;    /* its warnings are shown */
};

#endif
