/* Small fields with any of the limits that a field can have, at random, some
 * of them too tight for any plan. Whole numbers, so that ties are common. */
#ifndef SUPPORT_SMALL_LIMITS_H
#define SUPPORT_SMALL_LIMITS_H

#include <stdint.h>

#include "plan/plan.h"
#include "support/field_builder.h"

/* 3 to n_most wells. Fills builder and options; the same on every machine. */
void small_limits(uint64_t seed, size_t n_most, struct arena *a,
                  struct builder *b, struct plan_options *o);

#endif
