/* How the rows of the schema are written. */
#ifndef SCHEMA_ROWS_H
#define SCHEMA_ROWS_H

#include "scenario/schema.h"

/* Each ends in a row without a path. */
extern const struct schema_row SCHEMA_SCENARIO[], SCHEMA_OUTAGE[];

/* The keys of a list of the layers below, joined. */
#define KEY2(name, key) key "|"
#define KEY3(name, key, text) key "|"

#define MAP(path, need, help)                                             \
    {                                                                     \
        NULL, path, SCHEMA_MAP, need, DIM_NUMBER, NULL, 0, 0, 0, 0, NULL, \
            NULL, help                                                    \
    }
#define NAMED(path, need, help)                                             \
    {                                                                       \
        NULL, path, SCHEMA_NAMED, need, DIM_NUMBER, NULL, 0, 0, 0, 0, NULL, \
            NULL, help                                                      \
    }
#define LIST(path, need, help)                                             \
    {                                                                      \
        NULL, path, SCHEMA_LIST, need, DIM_NUMBER, NULL, 0, 0, 0, 0, NULL, \
            NULL, help                                                     \
    }
#define QUANTITY(path, need, dim, unit, min, max, usual_min, usual_max, \
                 fallback, help)                                        \
    {                                                                   \
        NULL, path, SCHEMA_QUANTITY, need, DIM_##dim, unit, min, max,   \
            usual_min, usual_max, NULL, fallback, help                  \
    }
#define COUNT(path, need, min, max, fallback, help)                           \
    {                                                                         \
        NULL, path, SCHEMA_COUNT, need, DIM_NUMBER, NULL, min, max, min, max, \
            NULL, fallback, help                                              \
    }
#define CHOICE(path, need, choices, fallback, help)                    \
    {                                                                  \
        NULL, path, SCHEMA_CHOICE, need, DIM_NUMBER, NULL, 0, 0, 0, 0, \
            choices, fallback, help                                    \
    }
#define PLAIN(path, kind, need, fallback, help)                              \
    {                                                                        \
        NULL, path, SCHEMA_##kind, need, DIM_NUMBER, NULL, 0, 0, 0, 0, NULL, \
            fallback, help                                                   \
    }
#define COLUMN(table, path, need, dim, unit, min, max, usual_min, usual_max, \
               help)                                                         \
    {                                                                        \
        table, path, SCHEMA_QUANTITY, need, DIM_##dim, unit, min, max,       \
            usual_min, usual_max, NULL, NULL, help                           \
    }
#define COLUMN_OF(table, path, kind, need, choices, help)               \
    {                                                                   \
        table, path, SCHEMA_##kind, need, DIM_NUMBER, NULL, 0, 0, 0, 0, \
            choices, NULL, help                                         \
    }

#define OPT SCHEMA_OPTIONAL
#define REQ SCHEMA_REQUIRED
#define MODEL SCHEMA_FOR_MODEL
#define SIDES "suction|discharge|"

#endif
