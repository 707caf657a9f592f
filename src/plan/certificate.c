#include "certificate.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "cover.h"

struct checker {
    const struct problem *problem;
    const struct certificate *certificate;
    struct arena *arena;
    const char *why;          /* NULL: no fault yet */
    size_t *owner;            /* [n_rows] block of the row, or SIZE_MAX */
    const struct menu **menu; /* [n_wells] of the part at hand */
};

static bool fault(struct checker *k, const char *why)
{
    k->why = why;
    return false;
}

/* --- blocks ---------------------------------------------------------------*/

static bool check_wells(struct checker *k)
{
    const struct problem *p = k->problem;
    const struct blocks *blocks = &k->certificate->blocks;
    bool *seen = ARENA_NEW(k->arena, p->n_wells, bool);
    size_t n = 0;
    for (size_t b = 0; b < blocks->n; b++)
        for (size_t i = 0; i < blocks->block[b].n; i++) {
            size_t well = blocks->block[b].bidder[i];
            if (well >= p->n_wells || seen[well] || blocks->block_of[well] != b)
                return fault(k, "a well is in two blocks, or in none");
            seen[well] = true;
            n++;
        }
    return n == p->n_wells || fault(k, "a well is in no block");
}

/* A row that a block prices by itself must count no other well. */
static bool check_rows(struct checker *k)
{
    const struct problem *p = k->problem;
    const struct blocks *blocks = &k->certificate->blocks;
    k->owner = ARENA_NEW(k->arena, p->n_rows, size_t);
    for (size_t r = 0; r < p->n_rows; r++)
        k->owner[r] = SIZE_MAX;
    for (size_t b = 0; b < blocks->n; b++)
        for (size_t i = 0; i < blocks->block[b].n_rows; i++) {
            size_t r = blocks->block[b].row[i];
            if (r < N_FIELD_ROWS || r >= p->n_rows || k->owner[r] != SIZE_MAX)
                return fault(k, "a block has a row that is not its own");
            k->owner[r] = b;
        }
    for (size_t w = 0; w < p->n_wells; w++)
        for (size_t i = 0; i < p->bidder[w].n_own; i++) {
            size_t owner = k->owner[p->bidder[w].own[i].row];
            if (owner != SIZE_MAX && owner != blocks->block_of[w])
                return fault(k, "a block's row counts wells of another");
        }
    return true;
}

/* --- choices --------------------------------------------------------------*/

/* The problem's mode that a menu's is; NULL: none. */
static const struct mode *own_mode(const struct problem *p, size_t well,
                                   const struct mode *mode)
{
    const struct menu *own = &p->bidder[well].menu;
    return mode->origin < own->n_modes ? &own->mode[mode->origin] : NULL;
}

static void mark_modes(const struct problem *p, size_t well,
                       const struct menu *menu, bool *may)
{
    for (size_t m = 0; m < menu->n_modes; m++)
        if (own_mode(p, well, &menu->mode[m]) != NULL)
            may[menu->mode[m].origin] = true;
}

/* Dimensions of all parts: units, then wells that any part cuts. */
struct sides {
    size_t n_cut;
    size_t *cut;   /* [n_cut] wells */
    size_t *first; /* [n_units + n_cut + 1] */
    size_t *at;    /* [n_wells] index in cut, SIZE_MAX: never cut */
};

static struct sides find_sides(const struct checker *k)
{
    const struct problem *p = k->problem;
    struct sides s = {
        .cut = ARENA_NEW(k->arena, p->n_wells, size_t),
        .at = ARENA_NEW(k->arena, p->n_wells, size_t),
    };
    for (size_t i = 0; i < p->n_wells; i++)
        s.at[i] = SIZE_MAX;
    for (size_t i = 0; i < k->certificate->n_parts; i++) {
        const struct certificate_part *part = &k->certificate->part[i];
        for (size_t c = 0; c < part->n_cut; c++)
            if (s.at[part->cut[c].bidder] == SIZE_MAX) {
                s.at[part->cut[c].bidder] = s.n_cut;
                s.cut[s.n_cut++] = part->cut[c].bidder;
            }
    }
    s.first = ARENA_NEW(k->arena, p->n_units + s.n_cut + 1, size_t);
    for (size_t u = 0; u < p->n_units; u++)
        s.first[u + 1] = s.first[u] + 2;
    for (size_t i = 0; i < s.n_cut; i++)
        s.first[p->n_units + i + 1] =
            s.first[p->n_units + i] + p->bidder[s.cut[i]].menu.n_modes;
    return s;
}

/* part NULL: all choices there are. */
static bool *box_of(const struct checker *k, const struct sides *s,
                    const struct certificate_part *part)
{
    const struct problem *p = k->problem;
    size_t n = p->n_units + s->n_cut;
    bool *box = ARENA_NEW(k->arena, s->first[n], bool);
    for (size_t u = 0; u < p->n_units; u++) {
        box[2 * u] = part != NULL ? part->may_run[u] : p->unit[u].may_run;
        box[2 * u + 1] = part != NULL ? part->may_stop[u] : p->unit[u].may_stop;
    }
    for (size_t i = s->first[p->n_units]; i < s->first[n]; i++)
        box[i] = true;
    for (size_t c = 0; part != NULL && c < part->n_cut; c++) {
        size_t well = part->cut[c].bidder;
        size_t first = s->first[p->n_units + s->at[well]];
        memset(box + first, 0, p->bidder[well].menu.n_modes);
        mark_modes(p, well, part->cut[c].menu, box + first);
    }
    return box;
}

static bool check_parts(struct checker *k)
{
    const struct certificate *c = k->certificate;
    for (size_t i = 0; i < c->n_parts; i++)
        for (size_t j = 0; j < c->part[i].n_cut; j++)
            if (c->part[i].cut[j].bidder >= k->problem->n_wells)
                return fault(k, "a part cuts a well that there is not");
    struct sides s = find_sides(k);
    const bool **box = ARENA_NEW(k->arena, c->n_parts, const bool *);
    for (size_t i = 0; i < c->n_parts; i++)
        box[i] = box_of(k, &s, &c->part[i]);
    struct cover cover = {
        k->problem->n_units + s.n_cut,
        s.first,
        box_of(k, &s, NULL),
        c->n_parts,
        box,
    };
    return cover_holds(&cover, k->arena) ||
           fault(k, "no part holds some choice of units and modes");
}

static bool check_leaves(struct checker *k, const struct block *b,
                         const struct block_leaf *leaf, size_t n)
{
    const struct problem *p = k->problem;
    size_t *first = ARENA_NEW(k->arena, b->n + 1, size_t);
    for (size_t i = 0; i < b->n; i++)
        first[i + 1] = first[i] + p->bidder[b->bidder[i]].menu.n_modes;
    const bool **box = ARENA_NEW(k->arena, n + 1, const bool *);
    for (size_t l = 0; l <= n; l++) {
        bool *may = ARENA_NEW(k->arena, first[b->n], bool);
        for (size_t i = 0; i < b->n; i++)
            mark_modes(p, b->bidder[i],
                       l < n ? leaf[l].menu[i] : k->menu[b->bidder[i]],
                       may + first[i]);
        box[l] = may;
    }
    struct cover cover = {b->n, first, box[n], n, box};
    return cover_holds(&cover, k->arena) ||
           fault(k, "no leaf holds some choice of a block's modes");
}

/* --- sums -----------------------------------------------------------------*/

static double best_of_menu(const struct problem *p, const struct worth *w,
                           size_t well, const struct menu *menu)
{
    struct well_worth own = worth_for(w, &p->bidder[well]);
    double best = -(double)INFINITY;
    for (size_t m = 0; m < menu->n_modes; m++) {
        const struct mode *mode = own_mode(p, well, &menu->mode[m]);
        if (mode != NULL)
            best = fmax(best, worth_of_mode(&own, mode));
    }
    return best;
}

/* row_price: the part's, with 0 at the block's rows; so it is again after. */
static double bound_of_leaf(const struct checker *k, const struct block *b,
                            const struct block_leaf *leaf,
                            const struct worth *shared, double *row_price)
{
    for (size_t i = 0; i < b->n_rows; i++)
        row_price[b->row[i]] = leaf->row_price[i];
    struct worth w = worth_at(shared->problem, row_price);
    double sum = w.fixed - shared->fixed;
    for (size_t i = 0; i < b->n; i++)
        sum += best_of_menu(k->problem, &w, b->bidder[i], leaf->menu[i]);
    for (size_t i = 0; i < b->n_rows; i++)
        row_price[b->row[i]] = 0;
    return sum;
}

static double bound_of_block(const struct checker *k, const struct block *b,
                             const struct worth *w)
{
    double sum = 0;
    for (size_t i = 0; i < b->n; i++)
        sum += best_of_menu(k->problem, w, b->bidder[i], k->menu[b->bidder[i]]);
    return sum;
}

static bool add_answers(struct checker *k, const struct certificate_part *part,
                        const struct worth *w, double *row_price,
                        bool *answered, double *sum)
{
    const struct blocks *blocks = &k->certificate->blocks;
    for (size_t i = 0; i < part->n_answers; i++) {
        size_t b = part->answer[i].block, n = part->answer[i].n_leaves;
        if (b >= blocks->n || answered[b])
            return fault(k, "a block is answered twice");
        answered[b] = true;
        const struct block_leaf *leaf = part->answer[i].leaf;
        if (!check_leaves(k, &blocks->block[b], leaf, n))
            return false;
        double best = -(double)INFINITY;
        for (size_t l = 0; l < n; l++)
            best = fmax(best, bound_of_leaf(k, &blocks->block[b], &leaf[l], w,
                                            row_price));
        *sum += best;
    }
    return true;
}

static struct station_unit *units_of(const struct checker *k,
                                     const struct certificate_part *part)
{
    const struct problem *p = k->problem;
    struct station_unit *unit =
        ARENA_NEW(k->arena, p->n_units, struct station_unit);
    for (size_t u = 0; u < p->n_units; u++) {
        unit[u] = p->unit[u];
        unit[u].may_run = part->may_run[u];
        unit[u].may_stop = part->may_stop[u];
    }
    return unit;
}

static void set_menus(struct checker *k, const struct certificate_part *part)
{
    for (size_t i = 0; i < k->problem->n_wells; i++)
        k->menu[i] = &k->problem->bidder[i].menu;
    for (size_t c = 0; c < part->n_cut; c++)
        k->menu[part->cut[c].bidder] = part->cut[c].menu;
}

static bool bound_of_part(struct checker *k,
                          const struct certificate_part *part, double *bound)
{
    const struct blocks *blocks = &k->certificate->blocks;
    struct problem p = *k->problem;
    p.unit = units_of(k, part);
    double *row_price = ARENA_NEW(k->arena, p.n_rows, double);
    for (size_t r = 0; r < p.n_rows; r++)
        if (k->owner[r] == SIZE_MAX)
            row_price[r] = part->row_price[r];
    struct worth w = worth_at(&p, row_price);
    if (!isfinite(w.fixed))
        return fault(k, "a price is no number");
    set_menus(k, part);
    bool *answered = ARENA_NEW(k->arena, blocks->n, bool);
    *bound = w.fixed + worth_of_station(&w);
    if (!add_answers(k, part, &w, row_price, answered, bound))
        return false;
    for (size_t b = 0; b < blocks->n; b++)
        if (!answered[b])
            *bound += bound_of_block(k, &blocks->block[b], &w);
    return true;
}

double certificate_bound(const struct problem *p, const struct certificate *c,
                         struct arena *a, const char **why)
{
    struct checker k = {
        .problem = p,
        .certificate = c,
        .arena = a,
        .menu = ARENA_NEW(a, p->n_wells, const struct menu *),
    };
    double bound = -(double)INFINITY;
    bool is_good = check_wells(&k) && check_rows(&k) && check_parts(&k);
    for (size_t i = 0; i < c->n_parts && is_good; i++) {
        struct arena_mark mark = arena_mark(a);
        double part;
        is_good = bound_of_part(&k, &c->part[i], &part);
        bound = is_good ? fmax(bound, part) : (double)INFINITY;
        arena_rewind(a, mark);
    }
    *why = k.why;
    return is_good ? bound : (double)INFINITY;
}
