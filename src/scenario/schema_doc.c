/* docs/input.md out of the schema and the units. */
#include <assert.h>
#include <string.h>

#include "base/arena.h"
#include "base/numtext.h"
#include "base/strbuf.h"
#include "scenario/schema.h"
#include "scenario/table.h"
#include "scenario/value.h"
#include "scenario/ytree.h"

#define SHOWN_DIGITS 7

static const char HEAD[] =
    "# Input\n"
    "\n"
    "This page is written by the program from the table by which it reads "
    "(`src/scenario/schema.c`).\n"
    "\n"
    "A scenario is a folder:\n"
    "\n"
    "| file | what |\n"
    "| --- | --- |\n"
    "| `scenario.yaml` | the field, its fluids, wells, machines, limits and "
    "prices |\n"
    "| `tests.csv` | well tests; may be left out |\n"
    "| `readings.csv` | what every well gets this morning; may be left out |\n"
    "| `outage.yaml` | what is lost when, in an outage to come; may be left "
    "out |\n"
    "| any other `.csv` | measured lift curves, named by `wells.*.curve` |\n"
    "\n"
    "## Rules\n"
    "\n"
    "- Text is UTF-8. `#` starts a comment in YAML.\n"
    "- A value with a dimension carries its unit: `depth: 6200 ft`. Nothing "
    "is assumed.\n"
    "- Gauge and absolute pressure are different units: `psig` and `psia`. "
    "`psi`, `bar` and `kPa` alone are differences.\n"
    "- Numbers have a point before the decimals and no separators between "
    "thousands.\n"
    "- Dates are `YYYY-MM-DD`. Yes and no are `yes` and `no`.\n"
    "- Names are 1 to 64 bytes long, without invisible characters and "
    "without blanks at their ends.\n"
    "- Outside the allowed range is an error, outside the usual one a "
    "warning.\n"
    "- Every fault of every file is shown in one run, as "
    "`file:line:column: key: what is wrong; what to do`.\n"
    "- YAML anchors, aliases, tags and merge keys are refused, and so are "
    "keys given twice.\n"
    "- CSV columns carry their unit in the header: `oil (stb/d)`. Their order "
    "is free. A cell that is empty or holds `-` is a missing value; words "
    "like `Bad` and codes like `-9999` are errors.\n";

static const char *value_words(const struct schema_row *row, struct arena *a)
{
    switch (row->kind) {
    case SCHEMA_MAP:
        return "keys";
    case SCHEMA_NAMED:
        return "names, each with keys";
    case SCHEMA_LIST:
        return "list of keys";
    case SCHEMA_QUANTITY:
        return dim_words(row->dim);
    case SCHEMA_COUNT:
        return "a whole number";
    case SCHEMA_CHOICE:
        return arena_printf(a, "one of %s", value_choices(row, a));
    case SCHEMA_FLAG:
        return "yes or no";
    case SCHEMA_DATE:
        return "a date";
    case SCHEMA_CLOCK:
        return "a clock time";
    case SCHEMA_MOMENT:
        return "a time";
    case SCHEMA_NAME:
        return "a name";
    case SCHEMA_TEXT:
        return "a text";
    case SCHEMA_FILE:
        return "a file in the folder";
    }
    assert(false); /* every kind is above */
    return "";
}

static void add_range(struct strbuf *out, const struct schema_row *row,
                      double low, double high)
{
    char a[32], b[32];
    strbuf_addf(
        out, "%s to %s%s%s", numtext_short(low, SHOWN_DIGITS, a, sizeof a),
        numtext_short(high, SHOWN_DIGITS, b, sizeof b),
        row->unit != NULL ? " " : "", row->unit != NULL ? row->unit : "");
}

static void add_ranges(struct strbuf *out, const struct schema_row *row)
{
    bool has_range = row->kind == SCHEMA_QUANTITY || row->kind == SCHEMA_COUNT;
    if (!has_range)
        return;
    add_range(out, row, row->min, row->max);
    bool is_narrower = row->usual_min > row->min || row->usual_max < row->max;
    if (!is_narrower)
        return;
    strbuf_add(out, "; usual ");
    add_range(out, row, row->usual_min, row->usual_max);
}

static const char *need_words(const struct schema_row *row)
{
    if (row->need == SCHEMA_FOR_MODEL)
        return "yes, for a model";
    return row->need == SCHEMA_REQUIRED ? "yes" : "";
}

static bool is_of_outage(const struct schema_row *row)
{
    size_t n = strlen(schema_outage()->path);
    return row->table == NULL &&
           strncmp(row->path, schema_outage()->path, n) == 0 &&
           (row->path[n] == '.' || row->path[n] == '\0');
}

static void add_row(struct strbuf *out, const struct schema_row *row)
{
    size_t skip = is_of_outage(row) ? strlen(schema_outage()->path) + 1 : 0;
    strbuf_addf(out, "| `%s` | %s | %s | ", row->path + skip,
                value_words(row, out->arena), need_words(row));
    add_ranges(out, row);
    strbuf_addf(out, " | %s | %s |\n",
                row->fallback != NULL ? row->fallback : "", row->help);
}

static void add_table_head(struct strbuf *out, const char *what)
{
    strbuf_addf(out,
                "\n| %s | value | needed | range | when missing | meaning |\n"
                "| --- | --- | --- | --- | --- | --- |\n",
                what);
}

static void add_keys(struct strbuf *out)
{
    strbuf_add(out, "\n## Keys of scenario.yaml\n"
                    "\n"
                    "`*` stands for a name that you give, or for each item "
                    "of a list. A key is needed where its section is "
                    "given.\n");
    add_table_head(out, "key");
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++)
        if (row->table == NULL && !is_of_outage(row))
            add_row(out, row);
}

static void add_outage(struct strbuf *out)
{
    strbuf_add(out, "\n## Keys of outage.yaml\n"
                    "\n"
                    "A time is `20:00` on the day of the plan, "
                    "`2026-11-26 06:30`, or `+26 h` after the start.\n");
    add_table_head(out, "key");
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++)
        if (is_of_outage(row) && row != schema_outage())
            add_row(out, row);
}

static void add_columns(struct strbuf *out)
{
    const char *table = NULL;
    const struct schema_row *row;
    for (size_t i = 0; (row = schema_row(i)) != NULL; i++) {
        if (row->table == NULL)
            continue;
        if (table == NULL || strcmp(table, row->table) != 0) {
            strbuf_addf(out, "\n## Columns of %s%s\n",
                        strchr(row->table, '.') != NULL ? "" : "a ",
                        row->table);
            add_table_head(out, "column");
        }
        table = row->table;
        add_row(out, row);
    }
}

static void add_units(struct strbuf *out)
{
    strbuf_add(out, "\n## Units\n\n| for | units |\n| --- | --- |\n");
    for (int d = 0; d < DIM_COUNT; d++)
        if (unit_choices((enum dim)d)[0] != '\0')
            strbuf_addf(out, "| %s | %s |\n", dim_words((enum dim)d),
                        unit_choices((enum dim)d));
    strbuf_addf(out,
                "\n"
                "## Limits of the files\n"
                "\n"
                "%zu MiB a file, %d levels and %zu values in "
                "`scenario.yaml`, %d columns and %zu rows in a table.\n",
                SOURCE_MOST_BYTES / 1024 / 1024, YTREE_MOST_DEPTH,
                YTREE_MOST_NODES, TABLE_MOST_COLUMNS, TABLE_MOST_ROWS);
}

void schema_write_markdown(struct strbuf *out)
{
    strbuf_add(out, HEAD);
    add_keys(out);
    add_outage(out);
    add_columns(out);
    add_units(out);
}
