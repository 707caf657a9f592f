/* An outage as one problem: a problem for each period, the ways of the wells
 * through them, and what ties the periods together. In the units that all the
 * periods share; values are sums over periods. */
#ifndef PLAN_OUTAGE_SPAN_H
#define PLAN_OUTAGE_SPAN_H

#include "outage_path.h"
#include "plan/outage.h"

struct span {
    const struct outage *outage;
    const struct plan *today_plan;
    struct plan_options options;
    struct problem today; /* the undisturbed field */
    size_t n_periods, n_wells;
    struct problem *period;   /* [n_periods], wells in the same order */
    struct path_well *well;   /* [n_wells] in that order */
    struct path_room *room;   /* [n_wells] */
    bool is_apart;            /* no period touches another */
    bool moves_count;         /* they cost something, or shifts limit them */
    double move_cost;         /* of each, in the goal */
    const size_t *shift;      /* [n_periods]; n_shifts: none */
    double value_si;          /* SI of a unit of value */
    double store, store_most; /* gas, in a period's flow */
    double flare_periods;     /* with flaring, at most */
    double flare_most;        /* sum over the periods */
    const size_t *manifold;   /* [n_wells] of the well, in the field */
};

/* A price for everything that wells share, any sign: those of the wrong sign
 * are taken as 0. */
struct span_prices {
    double **row;        /* [n_periods][n_rows of the period] */
    double *shift;       /* [n_shifts] per move */
    double **ramp;       /* [manifolds][n_periods] gas more than before */
    double flare_volume; /* per flow in a period */
    double flare_period; /* per period with flaring */
};

void span_make(const struct field *f, const struct curve *curves,
               const struct outage *o, const struct plan_options *ask,
               const struct plan *today, struct arena *a, struct span *out);

struct span_prices span_prices_make(const struct span *s, struct arena *a);

/* to = part * to + (1 - part) * from */
void span_prices_mix(const struct span *s, struct span_prices *to, double part,
                     const struct span_prices *from);

/* What they mean for wells and station. */
struct span_worth {
    const struct span *span;
    const struct span_prices *price;
    struct worth *period;     /* [n_periods] */
    struct well_worth **well; /* [n_wells][n_periods] */
    double *move;             /* [n_periods] */
};

/* Memory for one set of prices. */
struct span_worth span_worth_make(const struct span *s, struct arena *a);

/* Prices are clipped. */
void span_worth_at(struct span_prices *price, struct span_worth *out);

/* The rows' bounds at their prices, and the best of station and store. With
 * the wells' best ways no plan is better (weak duality). */
double span_worth_shared(const struct span_worth *w);

/* The row counts wells by themselves and is one of an outage: not of moves. */
bool span_row_counts(const struct problem *p, size_t row);

#endif
