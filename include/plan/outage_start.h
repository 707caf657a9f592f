/* When planned work costs least. */
#ifndef PLAN_OUTAGE_START_H
#define PLAN_OUTAGE_START_H

#include "plan/outage.h"

struct outage_start {
    double start_s; /* of the first planned event, after the start of the
                       horizon */
    enum plan_outcome outcome;
    double deferred_sm3, money_lost, value, bound;
};

struct outage_starts {
    size_t n, best;             /* n: none has a plan */
    struct outage_start *start; /* [n] by time */
    /* Of the best: the outage with its planned events moved, and its plan; of
     * the first when none has a plan. */
    struct outage outage;
    struct outage_plan plan;
};

/* Every start at the beginning of a period from from_s to to_s. Events that are
 * planned move together, the others stay. Best is the greatest value, the
 * earliest of equals. ST_INPUT: no event is planned, or no period begins in the
 * window; ST_USAGE: the work would end past the horizon from the first start
 * on. Starts that would end past it are left out. */
enum status outage_best_start(const struct field *f, const struct curve *curves,
                              const struct outage *o,
                              const struct plan_options *ask, double from_s,
                              double to_s, struct arena *a,
                              struct outage_starts *out,
                              struct err *err) ST_CHECKED;

#endif
