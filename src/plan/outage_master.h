/* The field's side of an outage: a linear program over the ways that wells
 * have offered so far, with station, store and all shared limits explicit. Its
 * dual values are the next prices. */
#ifndef PLAN_OUTAGE_MASTER_H
#define PLAN_OUTAGE_MASTER_H

#include "lp_glpk.h"
#include "outage_span.h"

/* A way that a well has offered. */
struct way {
    size_t well; /* bidder */
    const struct path_step *step;
    const struct use *use; /* [n_periods] */
    double worth;          /* in the goal */
    double weight;         /* in the last solution */
    unsigned char stand;   /* enum lp_stand */
    int idle;              /* solutions since it had a weight */
    bool is_out;           /* may have no weight */
};

/* A limit of a group or of a pair of wells that counts from when it was first
 * passed. */
struct own_limit {
    size_t period, row;
    unsigned char stand;
};

/* Where rows and columns of the program are; SIZE_MAX: nowhere. */
struct master_rows {
    size_t **field; /* [n_periods][N_FIELD_ROWS] */
    size_t **use;   /* [n_periods][N_USES] sums of the wells' uses */
    size_t **unit;  /* [n_periods][n_units] first of three */
    size_t *flare;  /* [n_periods] */
    size_t *shift;  /* [n_shifts] */
    size_t **ramp;  /* [manifolds][n_periods] */
    size_t flare_volume, flare_periods, well /* first */, n;
};

struct master {
    const struct span *span;
    struct arena *arena;
    bool whole;         /* units and flaring are whole numbers */
    double moves_spare; /* part of the shifts' moves that is not used */
    double elastic;     /* what a unit past a limit costs, at least 0 */
    size_t n_ways, cap_ways;
    struct way *way;
    size_t n_own, cap_own;
    struct own_limit *own;
    size_t **own_at; /* [n_periods][n_rows] index in own */
    /* [n_ways] of the ways' patterns, when each well has to choose one; NULL:
     * any mixture. */
    const size_t *pattern;
    size_t n_patterns;
    bool **runs;  /* [n_periods][n_units] decided; NULL: open */
    bool *flares; /* [n_periods] likewise */
    struct master_rows rows;
    double gap;                                /* of whole numbers */
    size_t n_station, elastic_at, elastic_end; /* columns before the ways; of
                                     these, the first past a limit */
    unsigned char *station_stand, *row_stand;
    size_t *column_at;   /* [n_periods] the station's first */
    size_t *running_at;  /* [n_periods] first of the units' running */
    size_t *flare_on_at; /* [n_periods] */
    size_t *store_at;    /* [n_periods] */
    /* The last solution. */
    bool is_solved;
    double value, past; /* past: limits, summed */
    double *x;          /* [n_station] */
    double *past_row;   /* [rows.n + n_own] by how much, signed */
    double *well_price; /* [n_wells] */
    struct span_prices price;
    long iterations;
};

void master_make(const struct span *s, struct arena *a, struct master *out);

/* Takes a copy of the steps. false: it is known already. use: NULL, as the
 * steps say. */
bool master_offer(struct master *m, size_t well, const struct path_step *step,
                  const struct use *use);

/* Solve, adding limits of groups until none is passed. */
enum status master_solve(struct master *m, struct err *err) ST_CHECKED;

/* Forget ways that have had no weight for long. */
void master_forget(struct master *m, int idle_most);

/* Of a way, in the goal: what its steps are worth by themselves. */
double span_way_worth(const struct span *s, size_t well,
                      const struct path_step *step, const struct use *use);

#endif
