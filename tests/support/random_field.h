/* Fields of any size with curves of the shapes that occur: concave with
 * natural flow (7 in 10), S-shaped and dead without gas (2 in 10), off or
 * above a minimum (1 in 10). Invented; the same on every machine, as only
 * exact arithmetic is used. */
#ifndef SUPPORT_RANDOM_FIELD_H
#define SUPPORT_RANDOM_FIELD_H

#include <stdint.h>

#include "support/field_builder.h"

struct random_field_options {
    size_t n_wells;
    double gas_part; /* lift gas, of what all peaks together would take */
    double cap_low, cap_high; /* manifolds of 10 to 20 wells: their limit over
                                 an even share of the gas */
    double water_part;        /* water limit, of the water at all peaks */
    bool has_readings;        /* this morning: near an even share of the gas */
};

/* Scarce gas and tight manifolds: gas 0.4, caps 0.8 to 1.6, water 0.7. */
struct random_field_options random_field_hard(size_t n_wells);

void random_field(uint64_t seed, const struct random_field_options *o,
                  struct builder *b);

#endif
