/* From what was found to the plan in the field's units and order: sums, limits,
 * and what is lost by what. */
#ifndef PLAN_OUTAGE_ACCOUNT_H
#define PLAN_OUTAGE_ACCOUNT_H

#include "outage_search.h"

/* out->undisturbed is filled already. */
void outage_account(const struct span *s, const struct outage_found *found,
                    struct arena *a, struct outage_plan *out);

/* Today's plan in every period. */
void outage_account_today(const struct field *f, const struct outage *o,
                          struct arena *a, struct outage_plan *out);

#endif
