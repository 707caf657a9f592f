/* The tree of a YAML file held against the schema, and its values. */
#ifndef SCENARIO_FORM_H
#define SCENARIO_FORM_H

#include "base/diag.h"
#include "base/units.h"
#include "scenario/ytree.h"

struct schema_row;

/* Atmosphere and gas base of the scenario, the default where they are missing
 * or faulty. An atmosphere given as gauge pressure is an error in d; other
 * faults are left to form_check. */
struct unit_frame form_frame(const struct ynode *root, struct diag *d);

/* Put the value of every text into its node's .value (see value.h), and every
 * fault into d: unknown and missing keys, wrong kinds, texts, units, ranges.
 * The keys are those below the row; NULL: of scenario.yaml. */
void form_check(struct ynode *root, const struct schema_row *row,
                const struct unit_frame *frame, struct diag *d);

/* Readers of a checked tree. map is the map that holds the key and may be
 * NULL; path is the key's row in the schema. */

/* The value, the fallback of the schema when the key is missing, NaN without
 * one and after an error. */
double form_value(const struct ynode *map, const char *path,
                  const struct unit_frame *frame);
/* The same for choices, flags and counts; 0 where form_value is NaN. */
int form_index(const struct ynode *map, const char *path,
               const struct unit_frame *frame);
/* The node of a key, or NULL. */
const struct ynode *form_node(const struct ynode *map, const char *path);

#endif
