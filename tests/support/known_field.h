/* Fields of any size whose optimum is known by construction. Prices come
 * first: of lift gas, of each manifold's gas and liquid, of water, moves, gas
 * through the machines, their power and the least sales. Each well and each
 * machine then takes what is worth most to it at these prices, and every limit
 * with a price is set to just what this uses. No plan can be better: what a
 * plan makes is at most what wells and machines are worth at the prices, and
 * what the limits are worth, and here that is the value itself (weak duality).
 * Some wells are made so that on and off are worth the same. */
#ifndef SUPPORT_KNOWN_FIELD_H
#define SUPPORT_KNOWN_FIELD_H

#include <stdint.h>

#include "plan/plan.h"
#include "support/field_builder.h"

struct known_field_options {
    size_t n_wells;
    size_t n_tied;  /* of these as many are made equal on and off, at most */
    bool is_money;  /* else oil */
    bool has_units; /* machines that the plan runs or not, and their power */
    bool has_moves; /* a limit of moves, and yesterday's rates */
};

/* b is made by builder_init_for. Returns the value, in the objective's SI. */
double known_field(uint64_t seed, const struct known_field_options *o,
                   struct builder *b);

#endif
