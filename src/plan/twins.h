/* Wells that would make the same of more gas: the first by name gets it. */
#ifndef PLAN_TWINS_H
#define PLAN_TWINS_H

#include "problem.h"

/* Shifts gas between wells whose lines make the same oil, water and formation
 * gas of it and count in the same rows: no sum changes, and of all plans so
 * made the one is left in which wells later by name take gas last. */
void twins_order(const struct problem *p, struct stand *stand, struct arena *a);

#endif
