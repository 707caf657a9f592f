/* Search for prices through an outage, and for the plan near them. */
#ifndef PLAN_OUTAGE_SEARCH_H
#define PLAN_OUTAGE_SEARCH_H

#include "outage_master.h"

/* What a well is asked to do in a period. */
struct outage_stand {
    struct path_step step;
    struct use at;  /* its set point */
    struct use use; /* what it then uses */
};

struct outage_found {
    bool has_plan, is_impossible;
    double value, bound;         /* in the span's units */
    struct outage_stand **stand; /* [n_wells][n_periods] */
    struct master station;       /* solved for these */
    struct span_prices price;    /* those of the bound */
    struct master needs;         /* impossible: what is passed, at least */
    long columns, iterations, nodes;
};

/* What is known before: prices, ways whose pattern is tried first, and what no
 * plan passes (INFINITY: not known). */
struct outage_known {
    struct span_prices price;
    struct path_step **like; /* [n_wells][n_periods] */
    double bound;
};

enum status outage_search(const struct span *s, const struct outage_known *from,
                          struct arena *a, struct outage_found *out,
                          struct err *err) ST_CHECKED;

#endif
