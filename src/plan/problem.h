/* A field and its curves as one linear problem with modes, in units in which
 * the numbers are near 1, the wells and manifolds in the order of their names:
 * so the order of the file cannot matter. */
#ifndef PLAN_PROBLEM_H
#define PLAN_PROBLEM_H

#include "menu.h"
#include "plan/plan.h"

/* What crosses the field's fence besides oil and water. */
enum outside { OUT_SALES, OUT_BOUGHT, OUT_FLARE, N_OUTSIDE };

/* low <= sum over the wells and what goes outside <= high. */
struct limit_row {
    double low, high;
    size_t manifold;                   /* whose wells count; SIZE_MAX: all */
    double gas, oil, water, formation; /* per unit of what wells use */
    double moved;                      /* per well moved */
    double outside[N_OUTSIDE];
    double gas_by_rank; /* added to gas: this times the well's rank from 0 to
                           1 in name order; for ties */
};

/* Rows of every problem; those of the manifolds follow in name order. */
enum {
    ROW_BALANCE,        /* in and out, = 0 */
    ROW_COMPRESSED_MIN, /* compressors do not run backwards */
    ROW_LIFT,
    ROW_COMPRESSION,
    ROW_LIQUID,
    ROW_WATER,
    ROW_MOVES,
    ROW_MANIFOLD,
};

struct problem {
    const struct field *field;
    const struct curve *curves;
    enum plan_objective objective;
    bool lines_only;
    struct plan_units units;
    double value_unit;     /* of goal, in the objective's SI */
    struct limit_row goal; /* what is to be greatest; bounds not used */
    size_t n_rows;
    struct limit_row *row;
    size_t *manifold_row;                                   /* [n_manifolds] */
    double outside_low[N_OUTSIDE], outside_high[N_OUTSIDE]; /* finite */
    size_t n_wells;
    struct menu *menu; /* [n_wells] in name order */
};

/* Everything in the arena. lines_only: see menu_make. */
void problem_make(const struct field *f, const struct curve *curves,
                  enum plan_objective objective, bool lines_only,
                  struct arena *a, struct problem *out);

/* What things are worth when each row has a price: the goal's worth less what
 * the rows charge. */
struct worth {
    const struct problem *problem;
    const double *row_price;
    double oil, water, formation, moved, outside[N_OUTSIDE];
    double gas;   /* without the manifold's row */
    double fixed; /* the rows' bounds at their prices */
};

/* Prices of the wrong sign (rounding of the solver) are taken as 0: any
 * prices of the right sign make a valid bound. row_price is clipped. */
struct worth worth_at(const struct problem *p, double *row_price);

/* What a mode yields at best, and a menu. */
double worth_of_point(const struct worth *w, const struct menu *menu,
                      const struct use *u, bool moved);
double worth_of_mode(const struct worth *w, const struct menu *menu,
                     const struct mode *mode);
double worth_of_menu(const struct worth *w, const struct menu *menu);

/* No plan is better than this (weak duality, in our own arithmetic). */
double worth_bound(const struct worth *w);

/* The menus without what loses more than `loss` against the best of its menu:
 * whole modes, and the ends of chains beyond one point more than that. */
struct menu *worth_trim(const struct worth *w, double mode_loss,
                        double point_loss, struct arena *a);

#endif
