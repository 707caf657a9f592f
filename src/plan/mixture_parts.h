/* What the simplex of a mixture is made of; for the files of that name only. */
#ifndef PLAN_MIXTURE_PARTS_H
#define PLAN_MIXTURE_PARTS_H

#include <math.h>
#include <string.h>

#include "mixture.h"
#include "num/tol.h"

/* Where a row's sum is: at its bound, or in the basis on one side of it. */
enum spot { AT_BOUND, BELOW, OVER };

struct basic {
    size_t well; /* n: a row's sum */
    size_t row;
    struct pick pick;
    double *part; /* [n_rows] what the point counts in the rows */
};

enum stop_kind { STOP_BASIC, STOP_KEY };

struct stop {
    enum stop_kind kind;
    size_t at; /* place in the basis, or well */
    double step, slack, pivot;
};

struct mixture {
    const struct tied_wells *tied;
    const struct range *range;
    struct pick *key;       /* [n] */
    double *key_part;       /* [n][n_rows] */
    double *best;           /* [n] what a well yields at the prices */
    double *sum;            /* [n_rows] of the keys' parts */
    enum spot *row_place;   /* [n_rows] */
    double *least, *most;   /* [n_rows] box of the row's price */
    double *limit, *growth; /* [n_rows] of `most`: its end, its next step */
    double *mean;        /* [n_rows] worth of the wells per unit of the row */
    struct basic *basic; /* [n_rows] */
    double *inverse, *work;
    double *fall;          /* [n_rows][n_rows] scratch */
    size_t *active;        /* [n_rows] scratch */
    double *level, *price; /* [n_rows] */
    double *part, *column, *rate, *before, *older; /* [n_rows] scratch */
    struct stop *stop;                             /* [2 n_rows + 1] scratch */
    size_t stale, still;
    long steps_left;
    double size; /* of a well's worth */
};

/* How far past a bound counts as at it. */
static inline double slack(double bound)
{
    return TOL_SIMPLEX_REL * fmax(1, fabs(bound));
}

static inline bool is_row(const struct mixture *m, const struct basic *b)
{
    return b->well == m->tied->n;
}

static inline double *part_of_key(const struct mixture *m, size_t well)
{
    return m->key_part + well * m->tied->n_rows;
}

static inline void find_part(const struct mixture *m, size_t well,
                             const struct pick *pick, double *part)
{
    memset(part, 0, m->tied->n_rows * sizeof *part);
    tied_part(&m->tied->well[well], pick, part);
}

static inline double worth_at_pick(const struct mixture *m, size_t well,
                                   const struct pick *pick)
{
    return tied_worth(&m->tied->well[well], pick);
}

/* The best point of a well at the prices, and what it yields at them. */
static inline struct pick ask_well(const struct mixture *m, size_t well)
{
    const struct tied_well *w = &m->tied->well[well];
    struct well_worth charged = tied_charged(w, m->price);
    return best_pick(w->menu, m->range[well], &charged, &m->key[well]);
}

/* The keys' parts together, into m->sum. */
void mixture_sum(struct mixture *m);

/* Prices near the answer, and keys and means at them; price and near as in
 * mixture_solve. */
void mixture_approach(struct mixture *m, const double *price,
                      const struct pick *near);

/* What ends the step at whose rates the basis falls. well: the one of which a
 * point enters; n when a row's sum does. NULL: nothing, which only rounding
 * brings about. */
const struct stop *mixture_stop(struct mixture *m, size_t well);

#endif
