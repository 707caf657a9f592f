/* A block is answered by its wells' best points where its rows allow them.
 * Else by their best mixture, and where that has a well in several modes, by
 * a branch and bound that halves its modes, depth first. */
#include "block.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "mixture.h"
#include "num/tol.h"

/* --- which wells belong together ------------------------------------------*/

/* The wells of every row: well[first[row]] to well[first[row + 1] - 1]. */
struct members {
    size_t *first, *well;
};

/* Sets of wells; the least of a set stands for it. */
struct sets {
    size_t *parent, *size;
};

static struct members find_members(const struct problem *p, struct arena *a)
{
    struct members m = {.first = ARENA_NEW(a, p->n_rows + 2, size_t)};
    for (size_t i = 0; i < p->n_wells; i++)
        for (size_t k = 0; k < p->bidder[i].n_own; k++)
            m.first[p->bidder[i].own[k].row + 2]++;
    for (size_t r = 0; r < p->n_rows; r++)
        m.first[r + 2] += m.first[r + 1];
    m.well = ARENA_NEW(a, m.first[p->n_rows + 1], size_t);
    for (size_t i = 0; i < p->n_wells; i++)
        for (size_t k = 0; k < p->bidder[i].n_own; k++)
            m.well[m.first[p->bidder[i].own[k].row + 1]++] = i;
    return m;
}

static size_t root_of(struct sets *s, size_t well)
{
    while (s->parent[well] != well)
        well = s->parent[well] = s->parent[s->parent[well]];
    return well;
}

/* The wells of a row become one set, unless that would be too large. */
static void join(struct sets *s, const struct members *m, size_t row)
{
    size_t total = 0, count = m->first[row + 1] - m->first[row];
    const size_t *well = m->well + m->first[row];
    size_t met[BLOCK_WELLS], n_met = 0;
    for (size_t i = 0; i < count; i++) {
        size_t root = root_of(s, well[i]), k = 0;
        while (k < n_met && met[k] != root)
            k++;
        if (k < n_met)
            continue;
        total += s->size[root];
        if (total > BLOCK_WELLS)
            return;
        met[n_met++] = root;
    }
    for (size_t k = 1; k < n_met; k++) {
        size_t a = root_of(s, met[0]), b = met[k];
        size_t least = a < b ? a : b, other = a < b ? b : a;
        s->parent[other] = least;
        s->size[least] += s->size[other];
    }
}

static void join_groups(const struct problem *p, const struct members *m,
                        struct sets *s)
{
    static const int ORDER[] = {GROUP_PAD, GROUP_MANIFOLD, GROUP_SEPARATOR,
                                GROUP_ROUTE, SCOPE_PAIR};
    for (size_t k = 0; k < sizeof ORDER / sizeof *ORDER; k++)
        for (size_t r = N_FIELD_ROWS; r < p->n_rows; r++)
            if (p->row[r].scope == ORDER[k])
                join(s, m, r);
}

/* The block that has all wells of a row; n when there is none. */
static size_t block_with(const struct problem *p, const struct blocks *b,
                         const struct members *m, size_t row)
{
    size_t first = m->first[row], end = m->first[row + 1];
    if (row < N_FIELD_ROWS || first == end || isfinite(p->row[row].low))
        return b->n;
    size_t block = b->block_of[m->well[first]];
    for (size_t i = first; i < end; i++)
        if (b->block_of[m->well[i]] != block)
            return b->n;
    return block;
}

static void number_blocks(struct sets *s, size_t n_wells, struct arena *a,
                          struct blocks *out)
{
    out->block_of = ARENA_NEW(a, n_wells, size_t);
    for (size_t i = 0; i < n_wells; i++) {
        size_t root = root_of(s, i);
        out->block_of[i] = root == i ? out->n++ : out->block_of[root];
    }
    out->block = ARENA_NEW(a, out->n, struct block);
    for (size_t i = 0; i < n_wells; i++)
        out->block[out->block_of[i]].n++;
}

static void fill_wells(size_t n_wells, struct arena *a, struct blocks *out)
{
    size_t *room = ARENA_NEW(a, n_wells, size_t);
    for (size_t i = 0; i < out->n; i++) {
        out->block[i].bidder = room;
        room += out->block[i].n;
        out->block[i].n = 0;
    }
    room -= n_wells;
    for (size_t i = 0; i < n_wells; i++) {
        struct block *b = &out->block[out->block_of[i]];
        room[(size_t)(b->bidder - room) + b->n++] = i;
    }
}

/* owner[row]: its block, or n: shared. */
static void fill_rows(size_t n_rows, const size_t *owner, struct arena *a,
                      struct blocks *out)
{
    size_t *first = ARENA_NEW(a, out->n + 1, size_t);
    for (size_t r = 0; r < n_rows; r++)
        if (owner[r] < out->n)
            out->block[owner[r]].n_rows++;
        else
            out->n_shared++;
    for (size_t i = 0; i < out->n; i++)
        first[i + 1] = first[i] + out->block[i].n_rows;
    size_t *room = ARENA_NEW(a, n_rows, size_t);
    out->shared = room + first[out->n];
    for (size_t i = 0; i < out->n; i++)
        out->block[i].row = room + first[i];
    for (size_t r = 0; r < n_rows; r++)
        room[first[owner[r]]++] = r;
}

void blocks_make(const struct problem *p, struct arena *a, struct blocks *out)
{
    struct members m = find_members(p, a);
    struct sets s = {
        ARENA_NEW(a, p->n_wells, size_t),
        ARENA_NEW(a, p->n_wells, size_t),
    };
    for (size_t i = 0; i < p->n_wells; i++) {
        s.parent[i] = i;
        s.size[i] = 1;
    }
    join_groups(p, &m, &s);
    *out = (struct blocks){0};
    number_blocks(&s, p->n_wells, a, out);
    fill_wells(p->n_wells, a, out);
    size_t *owner = ARENA_NEW(a, p->n_rows, size_t);
    for (size_t r = 0; r < p->n_rows; r++)
        owner[r] = block_with(p, out, &m, r);
    fill_rows(p->n_rows, owner, a, out);
}

/* --- the wells as the block's rows see them -------------------------------*/

/* Own rows of the block become ties, others' prices go into the worth. */
static void tie_well(const struct problem *p, const struct worth *w,
                     const struct block *b, const struct bidder *bidder,
                     struct tie *room, struct tied_well *out)
{
    memcpy(out->worth.use, w->use, sizeof w->use);
    out->tie = room;
    size_t local = 0;
    for (size_t i = 0; i < bidder->n_own; i++) {
        const struct own_row *own = &bidder->own[i];
        const double *use = p->row[own->row].use;
        while (local < b->n_rows && b->row[local] < own->row)
            local++;
        bool is_tie = local < b->n_rows && b->row[local] == own->row;
        double price = is_tie ? 0 : w->row_price[own->row];
        if (is_tie)
            room[out->n_ties++].row = local;
        for (int u = 0; u < N_USES; u++)
            if (is_tie)
                room[out->n_ties - 1].count.use[u] = own->sign * use[u];
            else
                out->worth.use[u] -= price * own->sign * use[u];
    }
}

static struct tied_wells tie_wells(const struct problem *p,
                                   const struct block *b,
                                   const struct menu *const *menu,
                                   const struct worth *w, struct arena *a)
{
    struct tied_wells t = {
        .n = b->n,
        .n_rows = b->n_rows,
        .well = ARENA_NEW(a, b->n, struct tied_well),
        .high = ARENA_NEW(a, b->n_rows, double),
    };
    size_t n_own = 0;
    for (size_t i = 0; i < b->n; i++)
        n_own += p->bidder[b->bidder[i]].n_own;
    struct tie *room = ARENA_NEW(a, n_own, struct tie);
    for (size_t i = 0; i < b->n; i++) {
        t.well[i].menu = menu[i];
        tie_well(p, w, b, &p->bidder[b->bidder[i]], room, &t.well[i]);
        room += t.well[i].n_ties;
    }
    for (size_t r = 0; r < b->n_rows; r++)
        t.high[r] = p->row[b->row[r]].high;
    return t;
}

static struct range all_modes(const struct menu *menu)
{
    return (struct range){0, menu->n_modes};
}

/* What wells at these stands count in the rows holds; places[i]: modes in the
 * menus. */
static bool rows_hold(const struct tied_wells *t, const struct stand *stand,
                      const size_t *place, double *sum)
{
    memset(sum, 0, t->n_rows * sizeof *sum);
    for (size_t i = 0; i < t->n; i++)
        for (size_t k = 0; k < t->well[i].n_ties; k++) {
            const struct tie *tie = &t->well[i].tie[k];
            sum[tie->row] += worth_of_point(&tie->count, &stand[i].use,
                                            &t->well[i].menu->mode[place[i]]);
        }
    for (size_t r = 0; r < t->n_rows; r++)
        if (!(sum[r] <= t->high[r] + TOL_BLOCK_ROW * fmax(1, fabs(t->high[r]))))
            return false;
    return true;
}

/* --- search ---------------------------------------------------------------*/

/* Modes left to each well, and what their best mixture says. */
struct node {
    struct range *range;
    struct mixture *mixture;
    struct mixture_answer answer;
};

/* The two halves of a node; made once for each depth. */
struct level {
    struct node half[2];
    struct level *deeper;
};

/* A node that is done, newest first. */
struct closed {
    struct range *range;
    double *price;
    double bound;
    struct closed *before;
};

struct search {
    const struct tied_wells *tied;
    struct arena *scratch;
    struct share *share; /* [n_rows + 1] */
    double *sum;         /* [n_rows] */
    size_t *place;       /* [n] */
    struct stand *stand; /* [n] */
    struct stand *best;  /* [n] */
    double value;        /* of the best */
    double tolerance;
    long nodes, nodes_max;
    size_t n_closed;
    struct closed *closed;
};

static struct node new_node(const struct search *s)
{
    return (struct node){
        .range = ARENA_NEW(s->scratch, s->tied->n, struct range),
        .mixture = mixture_new(s->tied, s->scratch),
    };
}

static void solve_node(struct search *s, struct node *n, const double *price,
                       const struct pick *near)
{
    n->answer = mixture_solve(n->mixture, n->range, price, near);
    s->nodes++;
}

static void close_node(struct search *s, const struct node *n)
{
    size_t rows = s->tied->n_rows;
    struct closed *c = ARENA_NEW(s->scratch, 1, struct closed);
    c->range = ARENA_NEW(s->scratch, s->tied->n, struct range);
    c->price = ARENA_NEW(s->scratch, rows, double);
    memcpy(c->range, n->range, s->tied->n * sizeof *c->range);
    memcpy(c->price, mixture_prices(n->mixture), rows * sizeof *c->price);
    c->bound = n->answer.bound;
    c->before = s->closed;
    s->closed = c;
    s->n_closed++;
}

static struct use mixed(const struct use *a, const struct use *b, double part)
{
    return (struct use){
        .gas = a->gas + part * (b->gas - a->gas),
        .oil = a->oil + part * (b->oil - a->oil),
        .water = a->water + part * (b->water - a->water),
        .formation = a->formation + part * (b->formation - a->formation),
    };
}

/* How a mixture of distant points, which lies under its chain, is put onto it:
 * the least gas that makes the same oil, or the most oil of the same gas. */
enum onto { SAME_OIL, SAME_GAS };

static struct use onto_chain(const struct mode *mode, const struct use *u,
                             enum onto onto)
{
    for (size_t i = 0; i + 1 < mode->n; i++) {
        const struct use *a = &mode->point[i], *b = a + 1;
        double part = onto == SAME_OIL ? (u->oil - a->oil) / (b->oil - a->oil)
                                       : (u->gas - a->gas) / (b->gas - a->gas);
        if (part >= 0 && part <= 1)
            return mixed(a, b, part);
    }
    return *u;
}

/* Shares of one mode as a set point. */
static struct use use_of_shares(const struct mode *mode,
                                const struct share *share, size_t n,
                                enum onto onto)
{
    struct use u = {0}, zero = {0};
    size_t least = SIZE_MAX, most = 0;
    for (size_t i = 0; i < n; i++) {
        size_t point = share[i].pick.point;
        struct use part = mixed(&zero, &mode->point[point], share[i].weight);
        u.gas += part.gas;
        u.oil += part.oil;
        u.water += part.water;
        u.formation += part.formation;
        least = point < least ? point : least;
        most = point > most ? point : most;
    }
    if (n == 1)
        return mode->point[least];
    return mode->is_chain && most > least + 1 ? onto_chain(mode, &u, onto) : u;
}

/* The mixture of a node without a torn well becomes a plan. */
static void take_plan(struct search *s, const struct node *n, enum onto onto)
{
    const struct tied_wells *t = s->tied;
    double value = 0;
    for (size_t i = 0; i < t->n; i++) {
        size_t count = mixture_shares(n->mixture, i, s->share);
        s->place[i] = s->share[0].pick.mode;
        const struct mode *mode = &t->well[i].menu->mode[s->place[i]];
        s->stand[i].mode = mode->origin;
        s->stand[i].use = use_of_shares(mode, s->share, count, onto);
        value += worth_of_point(&t->well[i].worth, &s->stand[i].use, mode);
    }
    if (!(value > s->value) || !rows_hold(t, s->stand, s->place, s->sum))
        return;
    s->value = value;
    memcpy(s->best, s->stand, t->n * sizeof *s->best);
}

/* Where a node is halved: the modes of a well behind `cut` go to the second
 * half. */
struct tear {
    size_t well; /* SIZE_MAX: none is in several modes */
    size_t cut;
    double evenness; /* what is left of 1 by the heaviest mode */
};

static struct tear tear_of(const struct search *s, const struct node *n,
                           size_t well)
{
    size_t count = mixture_shares(n->mixture, well, s->share);
    size_t least = SIZE_MAX, most = 0;
    double mean = 0, heaviest = 0;
    for (size_t i = 0; i < count; i++) {
        size_t mode = s->share[i].pick.mode;
        double weight = 0;
        for (size_t k = 0; k < count; k++)
            if (s->share[k].pick.mode == mode)
                weight += s->share[k].weight;
        heaviest = fmax(heaviest, weight);
        mean += s->share[i].weight * (double)mode;
        least = mode < least ? mode : least;
        most = mode > most ? mode : most;
    }
    if (least == most)
        return (struct tear){SIZE_MAX, 0, 0};
    size_t cut = (size_t)fmin(fmax(mean, (double)least), (double)most - 1);
    return (struct tear){well, cut, 1 - heaviest};
}

static struct tear most_torn(const struct search *s, const struct node *n)
{
    struct tear most = {SIZE_MAX, 0, -1};
    for (size_t i = 0; i < s->tied->n; i++) {
        struct tear t = tear_of(s, n, i);
        if (t.well != SIZE_MAX && t.evenness > most.evenness)
            most = t;
    }
    return most;
}

/* Without a plan a few more nodes are spent: depth first soon finds one. */
static bool is_spent(const struct search *s)
{
    long most = s->nodes_max + (isfinite(s->value) ? 0 : BLOCK_DIVE);
    return s->nodes >= most;
}

static void explore(struct search *s, const struct node *n,
                    struct level **levels)
{
    bool is_open = n->answer.fits && n->answer.bound > s->value + s->tolerance;
    struct tear tear = {SIZE_MAX, 0, 0};
    if (is_open)
        tear = most_torn(s, n);
    if (is_open && tear.well == SIZE_MAX) {
        take_plan(s, n, SAME_OIL);
        if (n->answer.bound > s->value + s->tolerance)
            take_plan(s, n, SAME_GAS);
    }
    if (!is_open || tear.well == SIZE_MAX || is_spent(s)) {
        close_node(s, n);
        return;
    }
    if (*levels == NULL) {
        *levels = ARENA_NEW(s->scratch, 1, struct level);
        **levels = (struct level){{new_node(s), new_node(s)}, NULL};
    }
    struct node *half = (*levels)->half;
    for (int i = 0; i < 2; i++) {
        memcpy(half[i].range, n->range, s->tied->n * sizeof *n->range);
        struct range *range = &half[i].range[tear.well];
        if (i == 0)
            range->end = tear.cut + 1;
        else
            range->first = tear.cut + 1;
        solve_node(s, &half[i], mixture_prices(n->mixture),
                   mixture_keys(n->mixture));
    }
    int better = half[1].answer.bound > half[0].answer.bound ? 1 : 0;
    explore(s, &half[better], &(*levels)->deeper);
    explore(s, &half[1 - better], &(*levels)->deeper);
}

/* --- answers --------------------------------------------------------------*/

/* The wells' best points; true when the rows hold at them. */
static bool answer_at_once(const struct tied_wells *t, struct pick *pick,
                           struct arena *a, struct block_answer *out)
{
    size_t *place = ARENA_NEW(a, t->n, size_t);
    out->value = 0;
    for (size_t i = 0; i < t->n; i++) {
        const struct tied_well *w = &t->well[i];
        pick[i] = best_pick(w->menu, all_modes(w->menu), &w->worth, NULL);
        const struct mode *mode = &w->menu->mode[pick[i].mode];
        place[i] = pick[i].mode;
        out->stand[i] =
            (struct stand){mode->origin, mode->point[pick[i].point]};
        out->value += pick[i].worth;
    }
    out->bound = out->value;
    return rows_hold(t, out->stand, place, ARENA_NEW(a, t->n_rows, double));
}

static const struct menu *menu_within(const struct menu *menu,
                                      struct range range, struct arena *a)
{
    if (range.first == 0 && range.end == menu->n_modes)
        return menu;
    struct menu *part = ARENA_NEW(a, 1, struct menu);
    *part = *menu;
    part->mode = menu->mode + range.first;
    part->n_modes = range.end - range.first;
    return part;
}

static void write_leaves(const struct search *s,
                         const struct menu *const *whole, struct arena *a,
                         struct block_answer *out)
{
    size_t n = s->tied->n, n_rows = s->tied->n_rows;
    out->n_leaves = s->n_closed;
    out->leaf = ARENA_NEW(a, s->n_closed, struct block_leaf);
    size_t at = s->n_closed;
    out->bound = s->value;
    for (const struct closed *c = s->closed; c != NULL; c = c->before) {
        const struct menu **menu = ARENA_NEW(a, n, const struct menu *);
        double *price = ARENA_NEW(a, n_rows, double);
        for (size_t i = 0; i < n; i++)
            menu[i] = menu_within(whole[i], c->range[i], a);
        memcpy(price, c->price, n_rows * sizeof *price);
        out->leaf[--at] = (struct block_leaf){price, menu, c->bound};
        out->bound = fmax(out->bound, c->bound);
    }
}

/* best: the wells' best points; price: near the rows' own, or NULL. */
static void search_block(const struct tied_wells *t, const struct pick *best,
                         const double *price, long nodes_max,
                         struct arena *scratch, struct search *s)
{
    *s = (struct search){
        .tied = t,
        .scratch = scratch,
        .share = ARENA_NEW(scratch, t->n_rows + 1, struct share),
        .sum = ARENA_NEW(scratch, t->n_rows, double),
        .place = ARENA_NEW(scratch, t->n, size_t),
        .stand = ARENA_NEW(scratch, t->n, struct stand),
        .best = ARENA_NEW(scratch, t->n, struct stand),
        .value = -(double)INFINITY,
        .nodes_max = nodes_max,
    };
    for (size_t i = 0; i < t->n; i++)
        s->tolerance += TOL_BLOCK_REL * fabs(best[i].worth);
    struct node root = new_node(s);
    struct level *levels = NULL;
    for (size_t i = 0; i < t->n; i++)
        root.range[i] = all_modes(t->well[i].menu);
    solve_node(s, &root, price, best);
    explore(s, &root, &levels);
}

void block_answer_near(const struct problem *p, const struct block *b,
                       const struct menu *const *menu, const struct worth *w,
                       const double *row_price, long nodes_max, struct arena *a,
                       struct block_answer *out)
{
    *out = (struct block_answer){
        .stand = ARENA_NEW(a, b->n, struct stand),
        .nodes = 1,
        .n_leaves = 1,
        .leaf = ARENA_NEW(a, 1, struct block_leaf),
    };
    out->leaf->row_price = ARENA_NEW(a, b->n_rows, double);
    struct arena_mark mark = arena_mark(a);
    struct tied_wells t = tie_wells(p, b, menu, w, a);
    struct pick *best = ARENA_NEW(a, b->n, struct pick);
    if (answer_at_once(&t, best, a, out)) {
        arena_rewind(a, mark);
        out->leaf->menu = menu;
        out->leaf->bound = out->bound;
        return;
    }
    /* Leaves outlive the scratch they come from: it needs an arena of its
     * own. */
    struct arena scratch = {.on_full = a->on_full, .context = a->context};
    struct search s;
    search_block(&t, best, row_price, nodes_max, &scratch, &s);
    arena_rewind(a, mark);
    out->value = s.value;
    out->nodes = s.nodes;
    memcpy(out->stand, s.best, b->n * sizeof *out->stand);
    write_leaves(&s, menu, a, out);
    arena_release(&scratch);
}

void block_answer(const struct problem *p, const struct block *b,
                  const struct menu *const *menu, const struct worth *w,
                  long nodes_max, struct arena *a, struct block_answer *out)
{
    block_answer_near(p, b, menu, w, NULL, nodes_max, a, out);
}
