/* Why no plan can meet every limit. */
#ifndef PLAN_CONFLICT_H
#define PLAN_CONFLICT_H

#include "plan/plan.h"

/* What wells must have, beside the limits of the field. */
enum { CAUSE_LOCKED = PLAN_LIMIT_MOVES + 1, CAUSE_MUST_RUN, CAUSE_BAND };

struct cause {
    int kind;     /* enum plan_limit_kind, or one of the above */
    int scope;    /* as in struct plan_limit */
    size_t group; /* of that kind */
};

/* Causes that conflict. */
struct conflict {
    const char *sentence;
    size_t n;
    struct cause *cause;
};

/* *f (copied, see conflict_copy) and *o without that cause. */
void conflict_leave_away(struct field *f, const struct cause *cause,
                         struct plan_options *o, struct arena *a);
struct field conflict_copy(const struct field *f, struct arena *a);

/* The cause in words, and the key it comes from: "at most 2 MMscf/d sold
 * (sales.maximum)". */
const char *conflict_words(const struct field *f, const struct curve *curves,
                           const struct plan_options *o, const struct cause *c,
                           struct arena *a);

/* Whether any plan keeps every limit. */
enum status conflict_is_possible(const struct field *f,
                                 const struct curve *curves,
                                 const struct plan_options *o, struct arena *a,
                                 bool *possible, struct err *err) ST_CHECKED;

/* *out, in the arena: a sentence with the limits that conflict; leaving any
 * one of them away makes a plan possible (deletion filter: Chinneck 2008, from
 * memory). */
enum status conflict_find(const struct field *f, const struct curve *curves,
                          const struct plan_options *o, struct arena *a,
                          struct conflict *out, struct err *err) ST_CHECKED;

#endif
