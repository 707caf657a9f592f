/* Wells drawn over the plausible range of every input, the same on every
 * machine. */
#ifndef SUPPORT_RANDOM_WELLS_H
#define SUPPORT_RANDOM_WELLS_H

#include <stdint.h>

#include "well/well.h"

/* splitmix64 (Steele, Lea & Flood 2014): integers only, any seed is good. */
struct draw {
    uint64_t state;
};

double draw_between(struct draw *d, double least, double most);
/* Even in the logarithm. */
double draw_log(struct draw *d, double least, double most);
size_t draw_index(struct draw *d, size_t n);

#define RANDOM_STATIONS 8

struct random_well {
    struct well well; /* points at the two arrays below: do not copy */
    struct well_station station[RANDOM_STATIONS];
    struct well_section section[2];
    double gas_max_sm3s;
};

void random_well(uint64_t seed, struct random_well *r);

/* The well in field units on one line, to name it in a message. */
struct random_text {
    char text[320];
};
struct random_text random_well_text(uint64_t seed, const struct random_well *r);

#endif
