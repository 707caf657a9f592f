/* The ways in which a well may be operated: off, as this morning, and the
 * concave pieces of its curve between the rates allowed. In the problem's own
 * units (see problem.h), so that numbers are near 1. */
#ifndef PLAN_MENU_H
#define PLAN_MENU_H

#include "field/field.h"

struct arena;

/* What a well uses and makes at one set point. */
struct use {
    double gas, oil, water, formation;
};

/* Set points on the straight lines between neighbouring points. A chain is
 * concave (oil against gas, water and formation gas proportional to oil), so
 * that mixing any of its points is never better than the chain. Another mode
 * has at most two points, or is a relaxation. */
struct mode {
    size_t n;                /* at least 1 */
    const struct use *point; /* [n] */
    bool moved;              /* a change of this morning's rate */
    bool runs;               /* flows or takes gas */
    bool shut;               /* no gas, and what it would make by itself is
                                shut in */
    bool is_chain;
    size_t origin; /* index in the menu that this one was made from */
};

/* Where a well stands: a mode, and a mixture of its points. */
struct stand {
    size_t mode; /* its origin: an index in the problem's menu */
    struct use use;
};

struct menu {
    size_t well;    /* in the field */
    size_t n_modes; /* at least 1 */
    struct mode *mode;
};

/* Size of the problem's units in SI: powers of 2, so that nothing is lost. */
struct plan_units {
    double gas_sm3s, oil_sm3s;
};

/* All ways of a well. Its rules:
 *   - down: no gas, no oil; locked: this morning's rate, whatever else holds;
 *   - running: between minimum and maximum, not below the start of flow, not
 *     past the curve's end, and past the peak only as far as the minimum or
 *     the dead band force it, unless water or formation gas do not follow the
 *     oil;
 *   - off: where the well may stop or cannot run; shut in, where it may and
 *     would flow by itself;
 *   - a largest change holds between two running rates; with steps only
 *     multiples of them, off and this morning's rate are set points;
 *   - with a dead band or a limit of moves also this morning's rate, if it is
 *     allowed; other rates then keep the dead band's distance. A rate that
 *     is not allowed must change, by however little.
 * lines_only: no mode longer than a straight line, so that a mixture within
 * a mode never leaves the curve (it may, below it, where more oil or less gas
 * is no use because the field cannot get rid of its gas). */
void menu_make(const struct field *f, const struct curve *c, size_t well,
               const struct plan_units *units, bool lines_only, struct arena *a,
               struct menu *out);

/* Whether rows or goal tell moved modes from others, running ones from others.
 */
struct menu_kinds {
    bool moves, runs;
};
#define MENU_KINDS_MOST 4

/* One mode for all of a kind, containing them: for bounds. */
void menu_relax(const struct menu *full, const struct menu_kinds *kinds,
                struct arena *a, struct menu *out);

/* Something asks for few changes: a well then may stay as it is. */
bool menu_moves_count(const struct field *f, const struct field_well *w);

/* What the well makes at a rate; 0 below the start of flow, and past the
 * curve's end what it makes there. SI. */
struct curve_point menu_point_at(const struct curve *c, double gas_sm3s);

/* The present rate may be kept. */
bool menu_now_allowed(const struct field_well *w, const struct curve *c);

#endif
