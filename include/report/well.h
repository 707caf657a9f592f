/* One well in depth: what it is, how it flows now and as planned, and why the
 * plan gives it what it does. */
#ifndef REPORT_WELL_H
#define REPORT_WELL_H

#include "plan/morning.h"
#include "report/report.h"
#include "well/operate.h"

struct well_state {
    double lift_sm3s, oil_sm3s;
    struct operating operating; /* n 0 without a model */
};

struct well_facts {
    size_t well; /* index in the field */
    const struct morning *morning;
    struct well_state now, plan; /* the same where there is no plan */
    /* Oil at the planned rate when outflow pressure is 2 % higher and lower;
     * NaN without a model. */
    double oil_low_sm3s, oil_high_sm3s;
    struct traverse_profile profile; /* planned; n 0: none */
};

/* Runs the well's model at both rates. Arrays belong to a. */
enum status well_facts_solve(const struct field *f, const struct curve *curves,
                             const struct morning *m, size_t well,
                             struct arena *a, struct well_facts *out,
                             struct err *err) ST_CHECKED;

/* Table: all of it with a plot of the curve. CSV: the profile by depth. JSON:
 * all of it. */
void report_well(const struct report *r, const struct well_facts *w,
                 enum report_format f, struct strbuf *out);

#endif
