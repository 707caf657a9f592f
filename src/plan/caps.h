/* The caps of a field or a group by the kind of limit. */
#ifndef PLAN_CAP_KINDS_H
#define PLAN_CAP_KINDS_H

#include "plan/plan.h"

/* The kinds that caps hold: lift gas, liquid, water, gas handled, moves. */
#define N_CAP_KINDS 5
extern const enum plan_limit_kind CAP_KINDS[N_CAP_KINDS];

/* SI, moves a count; INFINITY: no limit, or another kind. */
double caps_get(const struct field_caps *c, enum plan_limit_kind kind);

/* INFINITY: no limit. Nothing for another kind. */
void caps_set(struct field_caps *c, enum plan_limit_kind kind, double to);

#endif
