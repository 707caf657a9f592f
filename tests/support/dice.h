/* Chance that is the same on every machine: splitmix64 (Steele, Lea & Flood
 * 2014), whole numbers and exact divisions only. */
#ifndef SUPPORT_DICE_H
#define SUPPORT_DICE_H

#include <stddef.h>
#include <stdint.h>

struct dice {
    uint64_t state; /* any seed is good */
};

static inline uint64_t dice_roll(struct dice *d)
{
    uint64_t z = d->state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* 0 to n - 1. */
static inline size_t dice_index(struct dice *d, size_t n)
{
    return (size_t)(dice_roll(d) % n);
}

static inline double dice_between(struct dice *d, double least, double most)
{
    double part = (double)(dice_roll(d) >> 11) / 9007199254740992.0;
    return least + (most - least) * part;
}

#endif
