/* The three writers of the morning report, and what they ask of it. */
#ifndef MORNING_H
#define MORNING_H

#include "report/morning.h"

void morning_table(const struct report *r, const struct morning *m,
                   struct strbuf *out);
void morning_csv(const struct report *r, const struct morning *m,
                 struct strbuf *out);
void morning_json(const struct report *r, const struct morning *m,
                  struct strbuf *out);

/* The limit of that kind, or NULL. */
const struct plan_limit *morning_limit(const struct plan *p,
                                       enum plan_limit_kind kind);
/* "lift gas, manifold north" */
const char *morning_limit_text(const struct report *r,
                               const struct plan_limit *l);
/* How the value of a plan is measured: oil, money, or lift gas. */
enum show_quantity morning_goal_quantity(const struct plan *p);
/* What one more of the limit is worth: number and unit. */
const char *morning_worth_text(const struct report *r, const struct plan *p,
                               const struct plan_limit *l);
/* How the limit is measured. Not for PLAN_LIMIT_MOVES, a count. */
enum show_quantity morning_limit_quantity(const struct plan_limit *l);

/* "start", "more", "less", "stop" */
const char *morning_move_text(enum move_kind kind);
/* The move of a well, or why it is left alone; NULL when there is none. */
const struct move *morning_move_of(const struct morning *m, size_t well);
const char *morning_kept_reason(const struct morning *m, size_t well);

/* What the plan asks of the well; without a plan, what it does now. */
const struct plan_well *morning_planned(const struct morning *m, size_t well);

/* "optimal", "within_gap", "impossible", "stopped" for programs. */
const char *morning_outcome_key(enum plan_outcome outcome);
/* The same for people, with the gap: "PROVEN OPTIMAL", ... */
const char *morning_outcome_text(const struct report *r, const struct plan *p);

#endif
