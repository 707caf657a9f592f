/* Wells and groups in the order of their names, so that nothing depends on
 * the order in the file: not even the rounding of a sum. */
#ifndef PLAN_ORDER_H
#define PLAN_ORDER_H

#include "base/arena.h"
#include "field/field.h"

/* Indices in the field, in name order (bytes); in the arena. */
size_t *order_wells(const struct field *f, struct arena *a);
size_t *order_groups(const struct field_groups *g, struct arena *a);

#endif
