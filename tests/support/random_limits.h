/* Small fields in which every limit that a field can have occurs at random:
 * groups with caps, machines in every state, sales, purchase and flare, prices,
 * wells of every shape and status, copies of wells, nothing at all, and some
 * that are impossible on purpose. Invented; the same on every machine. */
#ifndef SUPPORT_RANDOM_LIMITS_H
#define SUPPORT_RANDOM_LIMITS_H

#include <stdint.h>

#include "plan/plan.h"
#include "support/field_builder.h"

/* b is made by builder_init or builder_init_for. */
void random_limits(uint64_t seed, size_t n_wells, struct builder *b);

/* What to ask of that field: oil, money, or least gas for a part of the oil
 * that it could make; the optimum itself. */
struct plan_options random_limits_options(uint64_t seed,
                                          const struct builder *b);

#endif
