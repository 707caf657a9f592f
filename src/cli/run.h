/* The way from the scenario to the plan, shared by the commands. */
#ifndef RUN_H
#define RUN_H

#include "options.h"
#include "plan/morning.h"
#include "report/report.h"

struct outage;

struct run {
    struct arena arena; /* of all that follows */
    struct diag diag;
    struct field *field;
    struct curve *curves;
    struct plan_options ask; /* of the plan */
    struct morning morning;
    struct outage *outage;
};

void run_init(struct run *run);
void run_release(struct run *run);

/* Scenario, checks, tests in use, curves. Messages go to stderr; with an error
 * among them ST_INPUT and an empty err. */
enum status run_curves(struct run *run, const struct options *o,
                       struct err *err) ST_CHECKED;

/* The same with outage.yaml, read before the curves are built. */
enum status run_outage(struct run *run, const struct options *o,
                       struct err *err) ST_CHECKED;

/* What the plan is to be for, after the curves. */
enum status run_ask(struct run *run, const struct options *o,
                    struct err *err) ST_CHECKED;

/* The plan, after the curves. */
enum status run_plan(struct run *run, const struct options *o,
                     struct err *err) ST_CHECKED;

/* A well of that name, or the second string of a dual. ST_USAGE: none. */
enum status run_find_well(const struct run *run, const struct options *o,
                          const char *name, size_t *well, bool *second,
                          struct err *err) ST_CHECKED;

/* The same scenario with more header pressure on every manifold; the
 * compressors as they are. raised is a run of its own. */
enum status run_raised(struct run *raised, const struct options *o,
                       double rise_pa, struct err *err) ST_CHECKED;

/* Of an answer that needs no plan, of any plan, of one that passed its own
 * check or not, and of the morning's. */
int run_exit_state(const struct run *run, const struct options *o);
int run_outcome_exit_state(const struct run *run, const struct options *o,
                           enum plan_outcome outcome);
int run_checked_exit_state(const struct run *run, const struct options *o,
                           enum plan_outcome outcome, bool is_sound);
int run_plan_exit_state(const struct run *run, const struct options *o);

/* What the reports are made from. */
struct report run_report(struct run *run, const struct options *o);

#endif
