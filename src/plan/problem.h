/* A field and its curves as one problem: wells that choose a mode and a set
 * point, station flows, units that run or not, and rows that tie them. In
 * units in which the numbers are near 1, wells and groups in the order of
 * their names: so the order of the file cannot matter. */
#ifndef PLAN_PROBLEM_H
#define PLAN_PROBLEM_H

#include "menu.h"
#include "plan/plan.h"

/* What wells use and make, as far as rows and goal count it. */
enum use_kind {
    USE_GAS,
    USE_OIL,
    USE_WATER,
    USE_FORMATION,
    USE_MOVED, /* 1 when this morning's rate changes */
    USE_RUNS,  /* 1 when the well flows or takes gas */
    N_USES
};

/* What the power row counts in, per unit of gas: J/Sm3. */
#define POWER_UNIT 1e5

/* The scope of a row that lets a well make oil only while another does. */
#define SCOPE_PAIR (-1)

/* low <= sum over its wells' uses and the station's columns <= high. */
struct limit_row {
    double low, high; /* -INFINITY, INFINITY: none */
    double use[N_USES];
    enum plan_limit_kind kind; /* of a group's row; else not used */
    int scope;                 /* as in struct plan_limit, or SCOPE_PAIR */
    size_t group;              /* index in the field's groups */
};

/* The rows that count for all wells alike, at the front of every problem. */
enum {
    ROW_BALANCE,    /* gas in less out, = 0 */
    ROW_COMPRESSED, /* what the units deliver less what is asked, = 0 */
    ROW_LIFT,
    ROW_LIQUID,
    ROW_WATER,
    ROW_GAS,    /* handled */
    ROW_POWER,  /* of the electric units */
    ROW_TARGET, /* oil, at least */
    ROW_MOVES,
    ROW_VALUE, /* the goal itself, at least: where ties are broken */
    N_FIELD_ROWS
};

/* How a row beyond N_FIELD_ROWS counts a well: its uses times sign. A row
 * "A makes oil only while B does" counts A with 1 and B with -1. */
struct own_row {
    size_t row;
    double sign;
};

/* A well, as rows see it. */
struct bidder {
    struct menu menu;
    size_t n_own;
    const struct own_row *own; /* by rising row; only rows with a bound */
};

/* A flow of the station between bounds: finite numbers. */
struct station_column {
    double low, high;
    double worth;              /* in the goal, per unit */
    double term[N_FIELD_ROWS]; /* in the rows, per unit */
    size_t unit;               /* flows only when that one runs; SIZE_MAX:
                                  always */
};

/* Columns of every problem; then of each unit what passes it and what goes
 * round it, COLUMN_UNIT + 2 * unit (+ 1). Without units one, index 0, that
 * always runs and has no limit of its own. */
enum { COLUMN_SALES, COLUMN_BOUGHT, COLUMN_FLARE, COLUMN_UNIT };

struct station_unit {
    bool may_run, may_stop;
    double worth;              /* of running, beside its flows */
    double term[N_FIELD_ROWS]; /* likewise */
    size_t compressor;         /* in the field; SIZE_MAX: the one without
                                  limit */
};

struct problem {
    const struct field *field;
    const struct curve *curves;
    const struct plan_options *options;
    bool lines_only;
    struct plan_units units;
    double value_unit;   /* of goal, in the objective's SI */
    double goal[N_USES]; /* what is to be greatest, per use */
    /* Among plans of the same value: what a unit of gas, of gas times the
     * well's rank from 0 to 1, and of each column costs. */
    double tie_gas, tie_rank, tie_bought, tie_flare;
    size_t n_rows; /* first N_FIELD_ROWS, then groups' and wells' own */
    struct limit_row *row;
    size_t n_columns;
    struct station_column *column;
    size_t n_units;
    struct station_unit *unit;
    size_t n_wells;
    struct bidder *bidder; /* [n_wells] in name order */
};

/* Everything in the arena; curves and options are kept by address.
 * lines_only: see menu_make. */
void problem_make(const struct field *f, const struct curve *curves,
                  const struct plan_options *o, bool lines_only,
                  struct arena *a, struct problem *out);

/* What things are worth when each row has a price: the goal's worth less what
 * the rows charge. */
struct worth {
    const struct problem *problem;
    const double *row_price; /* [n_rows] */
    double use[N_USES];      /* field rows only */
    double fixed;            /* the rows' bounds at their prices */
};

/* Prices of the wrong sign (rounding of the solver) are taken as 0: any
 * prices of the right sign make a valid bound. row_price is clipped. */
struct worth worth_at(const struct problem *p, double *row_price);

/* Uses of a well at their worth, own rows counted: for points of its menu. */
struct well_worth {
    double use[N_USES];
};
struct well_worth worth_for(const struct worth *w, const struct bidder *b);

static inline double worth_of_point(const struct well_worth *w,
                                    const struct use *u,
                                    const struct mode *mode)
{
    return w->use[USE_GAS] * u->gas + w->use[USE_OIL] * u->oil +
           w->use[USE_WATER] * u->water + w->use[USE_FORMATION] * u->formation +
           (mode->moved ? w->use[USE_MOVED] : 0) +
           (mode->runs ? w->use[USE_RUNS] : 0);
}

/* What a mode yields at best, and a menu. */
double worth_of_mode(const struct well_worth *w, const struct mode *mode);
double worth_of_menu(const struct well_worth *w, const struct menu *menu);

/* A column's worth less its charge; what a unit yields at best when it runs
 * (its columns with it); what the whole station yields at best. */
double worth_of_column(const struct worth *w, size_t column);
double worth_of_running(const struct worth *w, size_t unit);
double worth_of_station(const struct worth *w);

/* No plan is better than this (weak duality, in our own arithmetic). */
double worth_bound(const struct worth *w);

/* The menus without what loses more than `loss` against the best of its menu:
 * whole modes, and the ends of chains beyond one point more than that. */
struct menu *worth_trim(const struct worth *w, double mode_loss,
                        double point_loss, struct arena *a);

/* What a row counts for a well at a point: 0 when it is not one of its. */
double row_part(const struct problem *p, size_t row, size_t bidder,
                const struct use *u, const struct mode *mode);

#endif
