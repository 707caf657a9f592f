/* Why there is no way through an outage, in words. */
#ifndef PLAN_OUTAGE_CONFLICT_H
#define PLAN_OUTAGE_CONFLICT_H

#include "outage_master.h"

/* m: solved without a goal. Which limits have to give in which periods, by how
 * much at least in all. */
const char *outage_conflict(const struct master *m, struct arena *a);

#endif
