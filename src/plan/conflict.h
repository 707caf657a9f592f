/* Why no plan can meet every limit. */
#ifndef PLAN_CONFLICT_H
#define PLAN_CONFLICT_H

#include "plan/plan.h"

/* *out, in the arena: a sentence with the limits that conflict; leaving any
 * one of them away makes a plan possible (deletion filter: Chinneck 2008, from
 * memory). */
enum status conflict_find(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct arena *a,
                          const char **out, struct err *err) ST_CHECKED;

#endif
