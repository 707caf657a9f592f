/* The plan through an outage: every well's rate or state in every period, what
 * is bought, sold, flared and stored, proven over the whole horizon. */
#ifndef PLAN_OUTAGE_H
#define PLAN_OUTAGE_H

#include "field/outage.h"
#include "plan/plan.h"

enum well_phase {
    PHASE_FLOWS,   /* with gas or without */
    PHASE_STOPPED, /* no gas, no oil */
    PHASE_UNLOADS, /* takes gas, makes no oil yet */
    PHASE_RETURNS  /* makes oil, not all of it yet */
};

/* A well in a period; mean rates, Sm3/s. */
struct outage_well {
    enum well_phase phase;
    double gas_sm3s, oil_sm3s, water_sm3s, formation_sm3s;
    bool moved; /* its rate is changed at the start of the period */
};

struct outage_period {
    struct gas_balance balance;
    size_t n_units;
    struct plan_unit *unit;
    double stored_sm3; /* in the headers at the end of the period */
    double oil_sm3s, water_sm3s, money_s, deferred_sm3s;
    size_t n_moves, n_stopped, n_unloading;
    size_t n_limits;
    struct plan_limit *limit; /* of this period, prices per Sm3 */
};

/* Oil lost, by what takes it. */
struct outage_loss {
    enum outage_cause cause; /* N_OUTAGE_CAUSES: the wells' return */
    double oil_sm3, money;
};

struct outage_plan {
    enum plan_outcome outcome;
    enum plan_objective objective;
    /* Over the horizon: Sm3 of oil, or $; wells that end it stopped are
     * charged the oil of their return. No plan can be better than bound. */
    double value, bound, gap;
    double potential_sm3; /* of the undisturbed field: today's plan all along */
    double oil_sm3, deferred_sm3, money, money_lost;
    double bought_sm3, sold_sm3, flared_sm3, flare_hours;
    size_t n_periods, n_wells;
    struct outage_period *period; /* [n_periods] */
    struct outage_well *well;     /* [n_periods][n_wells], the field's order */
    struct plan undisturbed;      /* today's plan */
    size_t n_losses;
    struct outage_loss *loss;
    const char *conflict; /* impossible: which limits, in which period */
    enum plan_proof proof;
    long columns, iterations, nodes;
};

/* curves[n_wells]. With one period, no events and no restart times this is
 * plan_solve. Impossible: conflict says why. */
enum status outage_solve(const struct field *f, const struct curve *curves,
                         const struct outage *o, const struct plan_options *ask,
                         struct arena *a, struct outage_plan *out,
                         struct err *err) ST_CHECKED;

/* Everything counted again from the periods' fields, the curves and the rules,
 * sharing nothing with the solver: faults in words, NULL-ended list, empty when
 * sound. */
const char *const *outage_verify(const struct field *f,
                                 const struct curve *curves,
                                 const struct outage *o,
                                 const struct outage_plan *p, struct arena *a);

/* A step of the list made beforehand: with so much less gas. */
struct ladder_step {
    double gas_sm3s;  /* lift gas that is left */
    double oil_sm3s;  /* that the field then makes */
    size_t n_changes; /* against the step before */
    struct ladder_change {
        size_t well;
        double from_sm3s, to_sm3s; /* 0: off */
        double oil_lost_sm3s;
    } * change;     /* the least oil for its gas first */
    double minutes; /* that the stored gas lasts at this shortfall */
};

struct ladder {
    bool is_short; /* some wells take longer to bring back than the outage
                      lasts: they are not stopped */
    double lasts_s;
    size_t n;                 /* 0: today has no plan */
    struct ladder_step *step; /* from today's plan down in even steps, as far
                                 as wells that are not stopped let it */
};

/* For an outage that lasts so long, n_steps down to no gas. No well gets more
 * in a later step, and each has the fewest changes that cost no more than
 * LADDER_LOSS; the crew's limits do not count. */
enum status outage_ladder(const struct field *f, const struct curve *curves,
                          const struct outage *o,
                          const struct plan_options *ask, double lasts_s,
                          size_t n_steps, struct arena *a, struct ladder *out,
                          struct err *err) ST_CHECKED;

#endif
