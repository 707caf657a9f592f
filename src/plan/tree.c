#include "tree.h"

#include <math.h>
#include <stdint.h>
#include <string.h>
#include <time.h>

#include "base/arena.h"
#include "num/tol.h"
#include "rounding.h"
#include "sample.h"

/* --- lists ----------------------------------------------------------------*/

static void push(struct tree *t, struct node ***list, size_t *n, size_t *room,
                 struct node *node)
{
    if (*n == *room) {
        *room = 2 * *room + 16;
        struct node **grown = ARENA_NEW(t->asking->arena, *room, struct node *);
        if (*n > 0)
            memcpy(grown, *list, *n * sizeof *grown);
        *list = grown;
    }
    (*list)[(*n)++] = node;
}

/* A bound that needs no more work. */
static double enough(const struct tree *t)
{
    if (!t->has_plan)
        return t->least;
    double size = fmax(fabs(t->best.value), TOL_PLAN_ABS);
    return t->best.value + TOL_AUCTION_SHARE * t->options->gap * size;
}

static void keep(struct tree *t, struct node *node)
{
    if (node->bound <= enough(t))
        push(t, &t->closed, &t->n_closed, &t->closed_room, node);
    else
        push(t, &t->open, &t->n_open, &t->room, node);
}

/* The open node of the highest bound; before there is a plan the one in which
 * most is decided. */
static struct node *pop(struct tree *t)
{
    size_t at = 0;
    for (size_t i = 1; i < t->n_open; i++) {
        const struct node *a = t->open[i], *b = t->open[at];
        bool is_deeper = a->n_cuts > b->n_cuts;
        bool is_level = a->n_cuts == b->n_cuts;
        if (!t->has_plan && !is_level ? is_deeper : a->bound > b->bound)
            at = i;
    }
    struct node *node = t->open[at];
    memmove(t->open + at, t->open + at + 1,
            (--t->n_open - at) * sizeof *t->open);
    return node;
}

static bool is_late(const struct tree *t)
{
    if (!isfinite(t->options->time_s))
        return false;
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    double used = (double)(now.tv_sec - t->start.tv_sec) +
                  1e-9 * (double)(now.tv_nsec - t->start.tv_nsec);
    return used >= t->options->time_s;
}

/* --- a node's menus -------------------------------------------------------*/

/* The newest cut of a well holds. */
static void apply_cuts(struct tree *t, const struct cut *cut)
{
    if (cut == NULL)
        return;
    apply_cuts(t, cut->above);
    t->menu[cut->bidder] = cut->menu;
}

static void undo_cuts(struct tree *t, const struct cut *cut)
{
    for (; cut != NULL; cut = cut->above)
        t->menu[cut->bidder] = &t->asking->problem->bidder[cut->bidder].menu;
}

/* --- plans ----------------------------------------------------------------*/

static void try_modes(struct tree *t, const struct prices *q,
                      const size_t *mode)
{
    struct candidate c;
    double least = t->has_plan ? t->best.value : -(double)INFINITY;
    double below;
    bool found = set_points(q, mode, least, &c, &below);
    t->below += below >= q->bound - q->gap;
    if (!found)
        return;
    t->best = c;
    t->has_plan = true;
}

static void try_rounding(struct tree *t, const struct prices *q)
{
    static const double CAUTION[] = {0.1, 1};
    size_t n = q->problem->n_wells;
    size_t *mode = ARENA_NEW(t->asking->arena, n, size_t), *last = NULL;
    for (size_t i = 0; i < sizeof CAUTION / sizeof CAUTION[0]; i++) {
        round_mixture(q, CAUTION[i], mode);
        if (last != NULL && memcmp(last, mode, n * sizeof *mode) == 0)
            return;
        try_modes(t, q, mode);
        if (t->has_plan && q->bound <= enough(t))
            return;
        last = mode;
        mode = ARENA_NEW(t->asking->arena, n, size_t);
    }
}

/* Whether a mode changes less, or as little with less gas. */
static bool is_milder(const struct mode *a, const struct mode *b,
                      bool keep_rates)
{
    if (keep_rates && a->moved != b->moved)
        return b->moved;
    return a->point[0].gas < b->point[0].gas;
}

/* Plans that need no prices: all wells as they are, or of least gas. */
static void try_witness(struct tree *t, const struct prices *q, bool keep_rates)
{
    size_t n = q->problem->n_wells;
    size_t *mode = ARENA_NEW(t->asking->arena, n, size_t);
    for (size_t i = 0; i < n; i++) {
        const struct menu *menu = t->menu[i];
        const struct mode *best = &menu->mode[0];
        for (size_t m = 1; m < menu->n_modes; m++)
            if (is_milder(&menu->mode[m], best, keep_rates))
                best = &menu->mode[m];
        mode[i] = best->origin;
    }
    try_modes(t, q, mode);
}

/* Around the price of a move, answers that move more or fewer wells. */
static void ask_around_moves(struct tree *t, struct prices *q)
{
    static const double TIMES[] = {0.6, 0.8, 0.9, 1.1, 1.2};
    const double *middle = q->row_price;
    if (!(middle[ROW_MOVES] > 0))
        return;
    for (size_t i = 0; i < sizeof TIMES / sizeof TIMES[0]; i++) {
        double *row_price = asking_prices(t->asking);
        memcpy(row_price, middle,
               t->asking->problem->n_rows * sizeof *row_price);
        row_price[ROW_MOVES] *= TIMES[i];
        if (q->n_offers < PRICES_OFFERS)
            prices_ask(q, row_price);
    }
}

/* --- branches -------------------------------------------------------------*/

/* What the mixture makes of one well. */
struct mixed_well {
    size_t bidder, block;
    double stake;    /* how far its offers' worths are from their mean */
    bool by_moves;   /* some offers move it, others do not */
    size_t heaviest; /* mode */
};

static double goal_at(const struct problem *p, const struct use *u,
                      const struct mode *mode)
{
    struct well_worth goal;
    memcpy(goal.use, p->goal, sizeof goal.use);
    return worth_of_point(&goal, u, mode);
}

/* false: all offers of any weight have the well in one mode. */
static bool mix_well(const struct prices *q, size_t block, size_t place,
                     struct mixed_well *out)
{
    const struct problem *p = q->problem;
    size_t bidder = q->asking->blocks->block[block].bidder[place];
    const struct mode *modes = p->bidder[bidder].menu.mode;
    size_t n = 0, mode[PRICES_OFFERS];
    double weight[PRICES_OFFERS], goal[PRICES_OFFERS], mean = 0;
    bool differs = false;
    for (size_t o = 0; o < q->n_offers; o++) {
        weight[n] = prices_weight(q, o, block);
        if (weight[n] <= TOL_PRICES_WEIGHT)
            continue;
        const struct stand *s = &offer_part(q->offer[o], block)->stand[place];
        mode[n] = s->mode;
        goal[n] = goal_at(p, &s->use, &modes[s->mode]);
        mean += weight[n] * goal[n];
        differs = differs || mode[n] != mode[0];
        n++;
    }
    if (!differs)
        return false;
    *out = (struct mixed_well){.bidder = bidder, .block = block};
    double heaviest = 0;
    for (size_t i = 0; i < n; i++) {
        double same = 0;
        for (size_t j = 0; j < n; j++)
            same += mode[j] == mode[i] ? weight[j] : 0;
        if (same > heaviest) {
            heaviest = same;
            out->heaviest = mode[i];
        }
        out->stake += weight[i] * fabs(goal[i] - mean);
        out->by_moves =
            out->by_moves || modes[mode[i]].moved != modes[mode[0]].moved;
    }
    /* Where the goal does not tell them apart, the less decided. */
    out->stake += TOL_PLAN_TIE * (1 - heaviest) * q->range;
    return true;
}

/* The well that the offers disagree about most; SIZE_MAX: about none. */
static struct mixed_well find_mixed(const struct prices *q, size_t *n_mixed)
{
    struct mixed_well best = {.bidder = SIZE_MAX}, one;
    *n_mixed = 0;
    const struct blocks *blocks = q->asking->blocks;
    for (size_t b = 0; b < blocks->n; b++)
        for (size_t i = 0; i < blocks->block[b].n; i++) {
            if (!mix_well(q, b, i, &one))
                continue;
            ++*n_mixed;
            if (best.bidder == SIZE_MAX || one.stake > best.stake)
                best = one;
        }
    return best;
}

/* The modes on one side of the split. */
static const struct menu *side(const struct tree *t, const struct mixed_well *w,
                               bool with_heaviest)
{
    struct arena *a = t->asking->arena;
    const struct menu *menu = t->menu[w->bidder];
    const struct mode *all = t->asking->problem->bidder[w->bidder].menu.mode;
    struct menu *out = ARENA_NEW(a, 1, struct menu);
    *out =
        (struct menu){menu->well, 0, ARENA_NEW(a, menu->n_modes, struct mode)};
    for (size_t m = 0; m < menu->n_modes; m++) {
        const struct mode *mode = &menu->mode[m];
        bool is_same = w->by_moves ? mode->moved == all[w->heaviest].moved
                                   : mode->origin == w->heaviest;
        if (is_same == with_heaviest)
            out->mode[out->n_modes++] = *mode;
    }
    return out;
}

/* Offers worth handing down: in the mixture, or among the newest. */
static bool is_of_use(const struct prices *q, size_t offer)
{
    return prices_weight_most(q, offer) > TOL_PRICES_WEIGHT ||
           q->offer[offer] == q->best ||
           offer + AUCTION_OFFERS_NEWEST >= q->n_offers;
}

static struct node *child_of(const struct tree *t, const struct node *parent,
                             const struct prices *q)
{
    struct arena *a = t->asking->arena;
    struct node *child = ARENA_NEW(a, 1, struct node);
    *child = *parent;
    child->bound = (double)INFINITY;
    child->n_offers = 0;
    child->n_cuts++;
    child->offer = ARENA_NEW(a, q->n_offers, const struct offer *);
    return child;
}

static void hand_down(struct node *child, const struct offer *o)
{
    if (o->is_whole)
        child->offer[child->n_offers++] = o;
    double bound = offer_bound(child->problem, o);
    if (bound < child->bound) {
        child->bound = bound;
        child->best = o;
    }
}

static void branch_on_well(struct tree *t, const struct node *node,
                           const struct prices *q, const struct mixed_well *w)
{
    for (int heaviest = 1; heaviest >= 0; heaviest--) {
        struct node *child = child_of(t, node, q);
        struct cut *cut = ARENA_NEW(t->asking->arena, 1, struct cut);
        const struct menu *whole = t->menu[w->bidder];
        *cut = (struct cut){node->cut, w->bidder, side(t, w, heaviest == 1)};
        child->cut = cut;
        t->menu[w->bidder] = cut->menu;
        for (size_t i = 0; i < q->n_offers; i++)
            if (is_of_use(q, i))
                hand_down(child, offer_change(t->asking, q->offer[i], t->menu,
                                              w->block));
        t->menu[w->bidder] = whole;
        keep(t, child);
    }
}

/* The unit that is least decided; SIZE_MAX: all are. */
static size_t find_half_run(const struct prices *q)
{
    size_t best = SIZE_MAX;
    double most = TOL_PRICES_WEIGHT;
    for (size_t u = 0; u < q->problem->n_units; u++) {
        double undecided = fmin(q->runs[u], 1 - q->runs[u]);
        bool is_free =
            q->problem->unit[u].may_run && q->problem->unit[u].may_stop;
        if (is_free && undecided > most) {
            most = undecided;
            best = u;
        }
    }
    return best;
}

static void branch_on_unit(struct tree *t, const struct node *node,
                           const struct prices *q, size_t unit)
{
    struct arena *a = t->asking->arena;
    for (int runs = 1; runs >= 0; runs--) {
        struct node *child = child_of(t, node, q);
        struct problem *p = ARENA_NEW(a, 1, struct problem);
        *p = *node->problem;
        p->unit = ARENA_NEW(a, p->n_units, struct station_unit);
        memcpy(p->unit, node->problem->unit, p->n_units * sizeof *p->unit);
        p->unit[unit].may_run = runs == 1;
        p->unit[unit].may_stop = runs == 0;
        child->problem = p;
        for (size_t i = 0; i < q->n_offers; i++)
            if (is_of_use(q, i))
                hand_down(child, q->offer[i]);
        keep(t, child);
    }
}

/* --- the tree -------------------------------------------------------------*/

static void look_round(struct tree *t, struct prices *q)
{
    t->moves_price = q->row_price[ROW_MOVES];
    find_mixed(q, &t->open_wells);
    try_rounding(t, q);
    if (!t->has_plan || q->bound > enough(t)) {
        ask_around_moves(t, q);
        try_rounding(t, q);
    }
    if (!t->has_plan || q->bound > enough(t)) {
        try_witness(t, q, true);
        try_witness(t, q, false);
    }
}

static void split(struct tree *t, struct node *node, const struct prices *q)
{
    size_t unit = find_half_run(q), n_mixed;
    if (unit != SIZE_MAX) {
        branch_on_unit(t, node, q, unit);
        return;
    }
    struct mixed_well well = find_mixed(q, &n_mixed);
    if (well.bidder != SIZE_MAX)
        branch_on_well(t, node, q, &well);
    else
        push(t, &t->closed, &t->n_closed, &t->closed_room, node);
}

/* The first prices. */
static void begin(const struct tree *t, struct prices *q)
{
    double *row_price = sample_prices(t->asking, q->menu);
    if (row_price != NULL)
        q->radius = PRICES_RADIUS_NEAR;
    else
        row_price = asking_prices(t->asking);
    prices_ask(q, row_price);
}

/* Prices for a node; what is left open is rounded and split. */
static void work_on(struct tree *t, struct node *node)
{
    struct prices q;
    bool is_first = t->nodes++ == 0;
    apply_cuts(t, node->cut);
    double size = t->has_plan ? fabs(t->best.value) : 0;
    prices_start(t->asking, node->problem, t->menu, 0, &q);
    for (size_t i = 0; i < node->n_offers; i++)
        prices_offer(&q, node->offer[i]);
    if (is_first)
        begin(t, &q);
    else if (q.n_offers == 0)
        prices_ask(&q, node->best->row_price);
    size_t before = q.n_offers;
    q.gap = t->options->gap / 4 * fmax(size, TOL_PLAN_ABS);
    if (!t->has_plan)
        q.gap = t->options->gap / 4 * q.range;
    q.cutoff = enough(t);
    prices_find(&q, AUCTION_ASKS);
    t->offers += (long)(q.n_offers - before);
    node->bound = q.bound;
    node->best = q.best;
    if (q.n_offers > 0 && node->bound > enough(t)) {
        if (is_first)
            look_round(t, &q);
        else
            try_rounding(t, &q);
    }
    if (node->bound <= enough(t))
        keep(t, node);
    else
        split(t, node, &q);
    undo_cuts(t, node->cut);
}

/* What wells and station are worth at least, whatever they do. */
static double least_worth(const struct problem *p)
{
    struct well_worth less;
    struct worth station = {.problem = p,
                            .row_price = (const double[N_FIELD_ROWS]){0}};
    double sum = 0;
    for (int k = 0; k < N_USES; k++)
        less.use[k] = -p->goal[k];
    for (size_t i = 0; i < p->n_wells; i++)
        sum -= worth_of_menu(&less, &p->bidder[i].menu);
    for (size_t c = 0; c < p->n_columns; c++) {
        double worth = worth_of_column(&station, c);
        sum +=
            fmin(0, fmin(worth * p->column[c].low, worth * p->column[c].high));
    }
    for (size_t u = 0; u < p->n_units; u++)
        sum += fmin(0, p->unit[u].worth);
    return sum - TOL_PLAN_TIE * (1 + fabs(sum));
}

void tree_start(const struct asking *k, const struct auction_options *o,
                struct tree *out)
{
    const struct problem *p = k->problem;
    *out = (struct tree){
        .asking = k,
        .options = o,
        .menu = ARENA_NEW(k->arena, p->n_wells, const struct menu *),
        .least = least_worth(p),
    };
    clock_gettime(CLOCK_MONOTONIC, &out->start);
    for (size_t i = 0; i < p->n_wells; i++)
        out->menu[i] = &p->bidder[i].menu;
    struct node *root = ARENA_NEW(k->arena, 1, struct node);
    *root = (struct node){.bound = (double)INFINITY, .problem = p};
    keep(out, root);
}

/* Nodes that a better plan has closed in the meantime. */
static void sweep(struct tree *t)
{
    size_t n = t->n_open;
    t->n_open = 0;
    for (size_t i = 0; i < n; i++)
        keep(t, t->open[i]);
}

void tree_grow(struct tree *t)
{
    while (t->n_open > 0 && t->below < AUCTION_BELOW) {
        if (t->nodes >= t->options->nodes_max || is_late(t)) {
            t->is_stopped = true;
            return;
        }
        work_on(t, pop(t));
        sweep(t);
    }
}
