/* The tree's nodes as a certificate: asked again for the goal itself, without
 * what decides ties. */
#ifndef PLAN_PROOF_H
#define PLAN_PROOF_H

#include "tree.h"

/* Open nodes become parts too. Adds blocks, parts and their bounds; returns
 * the greatest of these. */
double proof_write(const struct problem *p, const struct tree *t,
                   struct arena *a, struct certificate *out);

#endif
