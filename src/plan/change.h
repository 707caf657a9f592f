/* The field changed for a question "what if". */
#ifndef PLAN_CHANGE_H
#define PLAN_CHANGE_H

#include "base/arena.h"
#include "field/field.h"

/* With more or less gas: the lift limit and what the compressors can do, each
 * where there is one; manifolds and contracts stay. Everything else is shared
 * with f. */
struct field change_gas(const struct field *f, double change_sm3s,
                        struct arena *a);

#endif
