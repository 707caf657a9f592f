#include "rounding.h"

#include <math.h>
#include <stdlib.h>

#include "base/arena.h"
#include "num/tol.h"

struct rounding {
    const struct prices *of;
    double caution;
    size_t n; /* offers in the mixture of the block at hand */
    const struct offer *offer[PRICES_OFFERS];
    double weight[PRICES_OFFERS];
    double *away; /* [n_bound] sums chosen so far less the mixture's */
    double *mean; /* [n_bound] of the block at hand */
};

/* A block whose offers differ, and by how much, priced. */
struct choice {
    size_t block;
    double stake;
};

static void list_offers(struct rounding *r, size_t block)
{
    const struct prices *q = r->of;
    double sum = 0;
    r->n = 0;
    for (size_t i = 0; i < q->n_offers; i++) {
        double weight = prices_weight(q, i, block);
        if (weight > TOL_PRICES_WEIGHT) {
            r->offer[r->n] = q->offer[i];
            r->weight[r->n++] = weight;
            sum += weight;
        }
    }
    for (size_t i = 0; i < r->n; i++)
        r->weight[i] /= sum;
    if (r->n == 0) {
        r->offer[r->n] = q->offer[0];
        r->weight[r->n++] = 1;
    }
}

static bool agrees(const struct rounding *r, size_t block)
{
    const struct stand *first = offer_part(r->offer[0], block)->stand;
    size_t n = r->of->asking->blocks->block[block].n;
    for (size_t i = 1; i < r->n; i++) {
        const struct stand *other = offer_part(r->offer[i], block)->stand;
        for (size_t k = 0; k < n; k++)
            if (other[k].mode != first[k].mode)
                return false;
    }
    return true;
}

static double row_at(const struct rounding *r, const struct part *part,
                     size_t i)
{
    const struct asking *k = r->of->asking;
    return tally_row(k, &part->tally, k->bound[i]);
}

static double price_of(const struct rounding *r, size_t i)
{
    return r->of->row_price[r->of->asking->bound[i]];
}

/* What the part is worth at the mixture's prices. */
static double worth_of_part(const struct rounding *r, const struct part *part)
{
    double worth = tally_value(r->of->asking, &part->tally);
    for (size_t i = 0; i < r->of->asking->n_bound; i++)
        worth -= price_of(r, i) * row_at(r, part, i);
    return worth;
}

static void find_mean(struct rounding *r, size_t block)
{
    list_offers(r, block);
    for (size_t i = 0; i < r->of->asking->n_bound; i++) {
        r->mean[i] = 0;
        for (size_t k = 0; k < r->n; k++)
            r->mean[i] +=
                r->weight[k] * row_at(r, offer_part(r->offer[k], block), i);
    }
}

static double find_stake(struct rounding *r, size_t block)
{
    double stake = 0;
    find_mean(r, block);
    for (size_t k = 0; k < r->n; k++) {
        const struct part *part = offer_part(r->offer[k], block);
        for (size_t i = 0; i < r->of->asking->n_bound; i++)
            stake += r->weight[k] *
                     fabs(price_of(r, i) * (row_at(r, part, i) - r->mean[i]));
    }
    return stake;
}

static int larger_first(const void *a, const void *b)
{
    const struct choice *x = a, *y = b;
    if (x->stake != y->stake)
        return x->stake > y->stake ? -1 : 1;
    return x->block < y->block ? -1 : x->block > y->block;
}

/* What it costs to take this part, given what is away already. */
static double cost_of_part(const struct rounding *r, const struct part *part)
{
    const struct prices *q = r->of;
    double cost = -worth_of_part(r, part);
    for (size_t i = 0; i < q->asking->n_bound; i++) {
        size_t row = q->asking->bound[i];
        bool counts = row_counts_wells(&q->problem->row[row]);
        double then = r->away[i] + row_at(r, part, i) - r->mean[i];
        cost += (counts ? 1 : r->caution) * fabs(price_of(r, i)) *
                (fabs(then) - fabs(r->away[i]));
        if (counts && then > TOL_PRICES_WEIGHT)
            cost += PRICES_CAP_LAST * q->scale[i] * then;
    }
    return cost;
}

/* Of all offers made, not only those in the mixture. */
static const struct part *choose(struct rounding *r, size_t block)
{
    const struct part *best = NULL;
    double least = (double)INFINITY;
    find_mean(r, block);
    for (size_t k = 0; k < r->of->n_offers; k++) {
        const struct part *part = offer_part(r->of->offer[k], block);
        double cost = cost_of_part(r, part);
        if (best == NULL || cost < least) {
            best = part;
            least = cost;
        }
    }
    for (size_t i = 0; i < r->of->asking->n_bound; i++)
        r->away[i] += row_at(r, best, i) - r->mean[i];
    return best;
}

static void take(const struct rounding *r, size_t block,
                 const struct part *part, size_t *mode)
{
    const struct block *b = &r->of->asking->blocks->block[block];
    for (size_t i = 0; i < b->n; i++)
        mode[b->bidder[i]] = part->stand[i].mode;
}

void round_mixture(const struct prices *q, double caution, size_t *mode)
{
    const struct blocks *blocks = q->asking->blocks;
    struct arena *a = &q->asking->scratch[0];
    struct arena_mark mark = arena_mark(a);
    struct rounding r = {
        .of = q,
        .caution = caution,
        .away = ARENA_NEW(a, q->asking->n_bound, double),
        .mean = ARENA_NEW(a, q->asking->n_bound, double),
    };
    struct choice *open = ARENA_NEW(a, blocks->n, struct choice);
    size_t n_open = 0;
    for (size_t b = 0; b < blocks->n; b++) {
        list_offers(&r, b);
        if (agrees(&r, b))
            take(&r, b, offer_part(r.offer[0], b), mode);
        else
            open[n_open++] = (struct choice){b, find_stake(&r, b)};
    }
    if (n_open > 0)
        qsort(open, n_open, sizeof *open, larger_first);
    for (size_t i = 0; i < n_open; i++)
        take(&r, open[i].block, choose(&r, open[i].block), mode);
    arena_rewind(a, mark);
}
