/* How far the prices of a plan's limits hold, and which wells set them. With
 * modes and units fixed, a few wells stand inside a straight piece of their
 * curve and a few flows between their bounds; together with the rows that
 * bind they make a square system. It says how these move when a limit does:
 * the price once more, and how far until one of them comes to its end or
 * another limit binds. */
#ifndef PLAN_RANGE_H
#define PLAN_RANGE_H

#include "problem.h"

/* Sets price_from, price_to and setter of each binding limit whose price the
 * system gives, too; the others stay at their own bound: a corner, where the
 * next step has another price. setter belongs to the arena. */
void range_find(const struct problem *p, struct plan *plan, struct arena *a);

#endif
