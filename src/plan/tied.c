#include "tied.h"

#include <math.h>
#include <string.h>

void tied_part(const struct tied_well *w, const struct pick *pick, double *part)
{
    const struct mode *mode = &w->menu->mode[pick->mode];
    for (size_t i = 0; i < w->n_ties; i++)
        part[w->tie[i].row] +=
            worth_of_point(&w->tie[i].count, &mode->point[pick->point], mode);
}

double tied_worth(const struct tied_well *w, const struct pick *pick)
{
    const struct mode *mode = &w->menu->mode[pick->mode];
    return worth_of_point(&w->worth, &mode->point[pick->point], mode);
}

struct well_worth tied_charged(const struct tied_well *w,
                               const double *row_price)
{
    struct well_worth charged = w->worth;
    for (size_t i = 0; i < w->n_ties; i++) {
        double price = row_price[w->tie[i].row];
        if (price == 0)
            continue;
        for (int u = 0; u < N_USES; u++)
            charged.use[u] -= price * w->tie[i].count.use[u];
    }
    return charged;
}

/* What a chain yields is concave where more oil is worth more; else it is
 * best at an end. */
static bool is_concave(const struct mode *mode, const struct well_worth *w)
{
    const struct use *last = &mode->point[mode->n - 1];
    return w->use[USE_OIL] * last->oil + w->use[USE_WATER] * last->water +
               w->use[USE_FORMATION] * last->formation >=
           0;
}

static size_t best_end(const struct mode *mode, const struct well_worth *w)
{
    size_t last = mode->n - 1;
    double at_first = worth_of_point(w, &mode->point[0], mode);
    return worth_of_point(w, &mode->point[last], mode) > at_first ? last : 0;
}

/* The top of a concave chain, by halving. */
static size_t find_top(const struct mode *mode, const struct well_worth *w)
{
    size_t low = 0, high = mode->n - 1;
    while (low < high) {
        size_t mid = low + (high - low) / 2;
        const struct use *u = &mode->point[mid];
        if (worth_of_point(w, u + 1, mode) > worth_of_point(w, u, mode))
            low = mid + 1;
        else
            high = mid;
    }
    return low;
}

/* The same from a point near it. */
static size_t climb(const struct mode *mode, const struct well_worth *w,
                    size_t from)
{
    size_t at = from;
    double here = worth_of_point(w, &mode->point[at], mode), next;
    while (at + 1 < mode->n &&
           (next = worth_of_point(w, &mode->point[at + 1], mode)) > here) {
        here = next;
        at++;
    }
    if (at > from)
        return at;
    while (at > 0 &&
           (next = worth_of_point(w, &mode->point[at - 1], mode)) > here) {
        here = next;
        at--;
    }
    return at;
}

struct pick best_pick(const struct menu *menu, struct range range,
                      const struct well_worth *worth, const struct pick *near)
{
    struct pick best = {range.first, 0, -(double)INFINITY};
    for (size_t i = range.first; i < range.end; i++) {
        const struct mode *mode = &menu->mode[i];
        size_t p = 0, end = mode->n;
        if (mode->is_chain && mode->n > 2) {
            bool is_near = near != NULL && near->mode == i;
            p = !is_concave(mode, worth) ? best_end(mode, worth)
                : is_near                ? climb(mode, worth, near->point)
                                         : find_top(mode, worth);
            end = p + 1;
        }
        for (; p < end; p++) {
            double w = worth_of_point(worth, &mode->point[p], mode);
            if (w > best.worth)
                best = (struct pick){i, p, w};
        }
    }
    return best;
}
