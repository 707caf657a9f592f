/* Solving test fields: every plan of every test is checked. */
#ifndef SUPPORT_PLAN_CASE_H
#define SUPPORT_PLAN_CASE_H

#include "plan/plan.h"
#include "support/field_builder.h"

/* Defaults, with a gap that asks for the optimum itself. */
struct plan_options case_exact(void);

/* Solves, and fails the test when the call fails, when the plan does not pass
 * plan_verify (unless impossible), or when value and bound contradict each
 * other. `label` names the case in messages. */
struct plan case_solve(const struct builder *b, const struct plan_options *o,
                       const char *label);

/* Value of an oil plan in stb/d. */
double case_oil_stb_d(const struct plan *p);

#endif
