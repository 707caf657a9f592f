#include "scenario/schema.h"

#include <string.h>

#include "schema_rows.h"

/* Of scenario.yaml with the tables, and of outage.yaml. */
static const struct schema_row *const FORMS[] = {SCHEMA_SCENARIO,
                                                 SCHEMA_OUTAGE};

const struct schema_row *schema_row(size_t i)
{
    for (size_t k = 0; k < sizeof FORMS / sizeof FORMS[0]; k++)
        for (const struct schema_row *row = FORMS[k]; row->path; row++)
            if (i-- == 0)
                return row;
    return NULL;
}

const struct schema_row *schema_key(const char *path)
{
    for (size_t k = 0; k < sizeof FORMS / sizeof FORMS[0]; k++)
        for (const struct schema_row *row = FORMS[k]; row->path; row++)
            if (row->table == NULL && strcmp(row->path, path) == 0)
                return row;
    return NULL;
}

const struct schema_row *schema_outage(void)
{
    return SCHEMA_OUTAGE;
}

const struct schema_row *schema_column(const char *table, const char *name,
                                       size_t len)
{
    for (const struct schema_row *row = SCHEMA_SCENARIO; row->path; row++)
        if (row->table != NULL && strcmp(row->table, table) == 0 &&
            strlen(row->path) == len && memcmp(row->path, name, len) == 0)
            return row;
    return NULL;
}

static bool is_inside(const struct schema_row *row,
                      const struct schema_row *parent)
{
    if (row->table != NULL)
        return false;
    size_t len = parent != NULL ? strlen(parent->path) : 0;
    return len == 0 || (strncmp(row->path, parent->path, len) == 0 &&
                        row->path[len] == '.');
}

/* Length of what stands before a child's own key: "wells.*." */
static size_t prefix_length(const struct schema_row *parent)
{
    if (parent == NULL)
        return 0;
    return strlen(parent->path) + (parent->kind == SCHEMA_MAP ? 1 : 3);
}

const struct schema_row *schema_below(const struct schema_row *parent,
                                      const struct schema_row *before)
{
    const struct schema_row *row = before;
    if (row == NULL)
        row = parent;
    size_t skip = prefix_length(parent);
    for (row = row != NULL ? row + 1 : SCHEMA_SCENARIO; row->path; row++) {
        if (!is_inside(row, parent))
            return NULL;
        if (strchr(row->path + skip, '.') == NULL)
            return row;
    }
    return NULL;
}

const char *schema_last_key(const struct schema_row *row)
{
    const char *point = strrchr(row->path, '.');
    return point != NULL ? point + 1 : row->path;
}
