/* Small fields in whole Mscf/d and stb/d in which one gas limit is the only
 * coupling, and their optimum by a dynamic program over whole Mscf/d. Its grid
 * is exact here: points, minima, maxima, present rates and the gas are whole
 * numbers, so an optimum has at most one well off them, and that one takes
 * the whole rest. */
#ifndef SUPPORT_WHOLE_GAS_H
#define SUPPORT_WHOLE_GAS_H

#include <stdint.h>

#include "support/field_builder.h"

#define WHOLE_GAS_WELLS 12
#define WHOLE_GAS_POINTS 9
#define WHOLE_GAS_MOST 400
#define WHOLE_GAS_MOVES 12

/* A well in whole Mscf/d and stb/d. */
struct whole_gas_well {
    size_t n;
    double gas[WHOLE_GAS_POINTS], oil[WHOLE_GAS_POINTS];
    int min, max, now;
    bool may_stop, locked, down;
};

struct whole_gas {
    size_t n;
    struct whole_gas_well well[WHOLE_GAS_WELLS];
    int gas, moves, band; /* moves below 0: no limit */
};

/* Any shape of curve, rules of wells, a gas limit; with a limit of moves and a
 * dead band, or without. */
void whole_gas_draw(uint64_t seed, bool has_moves, struct whole_gas *f);

void whole_gas_build(const struct whole_gas *f, struct arena *a,
                     struct builder *b);

/* The most oil in stb/d; below 0: there is no plan. */
double whole_gas_best(const struct whole_gas *f, struct arena *a);

#endif
