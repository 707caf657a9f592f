/* A well's ways through the periods of an outage: set points, standing still,
 * and coming back. The best way at given prices, by dynamic programming. */
#ifndef PLAN_OUTAGE_PATH_H
#define PLAN_OUTAGE_PATH_H

#include "field/outage.h"
#include "problem.h"

/* Instead of a set point's index: no gas, no oil; and, before the first period
 * only, a rate that is no set point. */
enum { POINT_STOPPED = -1, POINT_OTHER = -2 };

/* A rate that the well may be given. */
struct path_point {
    struct use use;
    size_t mode; /* of the menu; points of a mode may be mixed */
    bool runs;   /* false: shut in */
};

/* What a well may do, in the problem's units and in periods. */
struct path_well {
    size_t well; /* in the field */
    size_t n_points;
    struct path_point *point;
    /* The rate is fixed for so many periods from a start on: until the well is
     * back, and as long as a start must last. */
    size_t n_back;
    double *unloading; /* [n_back] part of the period without oil */
    double *rising;    /* [n_back] mean part of its oil */
    double *rest;    /* [n_back + 1] oil lost from then on until it is back, in
                        periods of its rate */
    double kick_gas; /* while it unloads */
    size_t stop_least; /* periods, at least 1 */
    bool may_stop, comes_back;
    int first;           /* point before the first period */
    const bool *is_down; /* [n_periods] */
    double end_charge;   /* goal per period of rest at the end */
};

struct path_step {
    int point;
    int since;  /* periods since its start; -1: not fixed by one */
    bool moved; /* by the crew, at the period's start */
};

/* What periods charge and pay, for one well. */
struct path_prices {
    const struct well_worth *worth; /* [n_periods] */
    const double *move;             /* [n_periods] cost of a move, 0 or more */
};

/* Memory of the dynamic program, for one well. */
struct path_room {
    double *flow;    /* [n_periods + 1][n_points] */
    double *gain;    /* [n_periods][n_points] */
    double *stopped; /* [n_periods + 1][stop_least + 1] */
    double *moved;   /* [n_periods + 1] best with a move then */
    int *move_to;    /* [n_periods] */
    double *started; /* [n_periods + 1] best with a start then */
    int *start_to;   /* [n_periods] */
};

/* today: the undisturbed problem; today_oil: what the well then makes, in the
 * problem's units. keeps_now: this morning's rate is a set point. */
void path_well_make(const struct problem *today, size_t bidder,
                    const struct outage *o, double today_oil, bool keeps_now,
                    struct arena *a, struct path_well *out);

struct path_room path_room_make(const struct path_well *w, size_t n_periods,
                                struct arena *a);

/* What the well uses in a period; *runs: it flows or takes gas. */
struct use path_use(const struct path_well *w, const struct path_step *s,
                    bool *runs);

/* The same for a set point that is mixed or was put on the curve. */
struct use path_use_at(const struct path_well *w, const struct path_step *s,
                       const struct use *at);

/* Charge for what is not back at the end. */
double path_end_charge(const struct path_well *w, const struct path_step *step,
                       size_t n_periods);

/* The best way, step[n_periods]; its worth, -INFINITY when there is none (a
 * well that must not stop never lacks one). */
double path_best(const struct path_well *w, size_t n_periods,
                 const struct path_prices *p, const struct path_room *room,
                 struct path_step *step);

/* The best way of the same pattern: other points of the same modes.
 * moves_count: a rate changes only with a move. */
double path_best_like(const struct path_well *w, size_t n_periods,
                      const struct path_prices *p, bool moves_count,
                      struct path_step *step);

/* Mixtures of the two are ways of the well. */
bool path_is_like(const struct path_well *w, size_t n_periods, bool moves_count,
                  const struct path_step *x, const struct path_step *y);

#endif
