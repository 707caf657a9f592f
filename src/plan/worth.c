/* What wells and station are worth at prices of the rows. */
#include "problem.h"

#include <math.h>
#include <stdint.h>

#include "base/arena.h"

static double signed_price(const struct limit_row *r, double price)
{
    if (!isfinite(r->high))
        price = fmin(price, 0);
    if (!isfinite(r->low))
        price = fmax(price, 0);
    return price;
}

struct worth worth_at(const struct problem *p, double *row_price)
{
    struct worth w = {.problem = p, .row_price = row_price};
    for (int k = 0; k < N_USES; k++)
        w.use[k] = p->goal[k];
    for (size_t i = 0; i < p->n_rows; i++) {
        const struct limit_row *r = &p->row[i];
        double price = row_price[i] = signed_price(r, row_price[i]);
        if (price == 0)
            continue;
        w.fixed += price * (price > 0 ? r->high : r->low);
        for (int k = 0; k < N_USES && i < N_FIELD_ROWS; k++)
            w.use[k] -= price * r->use[k];
    }
    return w;
}

struct well_worth worth_for(const struct worth *w, const struct bidder *b)
{
    struct well_worth out;
    for (int k = 0; k < N_USES; k++)
        out.use[k] = w->use[k];
    for (size_t i = 0; i < b->n_own; i++) {
        double price = b->own[i].sign * w->row_price[b->own[i].row];
        const double *use = w->problem->row[b->own[i].row].use;
        for (int k = 0; k < N_USES && price != 0; k++)
            out.use[k] -= price * use[k];
    }
    return out;
}

double worth_of_mode(const struct well_worth *w, const struct mode *mode)
{
    double best = -(double)INFINITY;
    for (size_t i = 0; i < mode->n; i++)
        best = fmax(best, worth_of_point(w, &mode->point[i], mode));
    return best;
}

double worth_of_menu(const struct well_worth *w, const struct menu *menu)
{
    double best = -(double)INFINITY;
    for (size_t m = 0; m < menu->n_modes; m++)
        best = fmax(best, worth_of_mode(w, &menu->mode[m]));
    return best;
}

double worth_of_column(const struct worth *w, size_t column)
{
    const struct station_column *c = &w->problem->column[column];
    double worth = c->worth;
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        worth -= w->row_price[r] * c->term[r];
    return worth;
}

/* The better end of a column. */
static double best_flow(const struct worth *w, size_t column)
{
    const struct station_column *c = &w->problem->column[column];
    double worth = worth_of_column(w, column);
    return fmax(worth * c->low, worth * c->high);
}

double worth_of_running(const struct worth *w, size_t unit)
{
    const struct station_unit *u = &w->problem->unit[unit];
    size_t column = COLUMN_UNIT + 2 * unit;
    double worth = u->worth;
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        worth -= w->row_price[r] * u->term[r];
    return worth + best_flow(w, column) + best_flow(w, column + 1);
}

double worth_of_station(const struct worth *w)
{
    const struct problem *p = w->problem;
    double sum = 0;
    for (size_t k = 0; k < COLUMN_UNIT; k++)
        sum += best_flow(w, k);
    for (size_t u = 0; u < p->n_units; u++) {
        double running = worth_of_running(w, u);
        bool is_free = p->unit[u].may_run && p->unit[u].may_stop;
        if (p->unit[u].may_run)
            sum += is_free ? fmax(running, 0) : running;
    }
    return sum;
}

double worth_bound(const struct worth *w)
{
    const struct problem *p = w->problem;
    double sum = w->fixed + worth_of_station(w);
    for (size_t i = 0; i < p->n_wells; i++) {
        struct well_worth own = worth_for(w, &p->bidder[i]);
        sum += worth_of_menu(&own, &p->bidder[i].menu);
    }
    return sum;
}

static bool is_poor(const struct well_worth *w, const struct mode *mode,
                    size_t point, double least)
{
    return worth_of_point(w, &mode->point[point], mode) < least;
}

/* A chain without its poor ends; one poor point stays at each end, as the
 * line to it may hold good set points. */
static struct mode trim_chain(const struct well_worth *w,
                              const struct mode *mode, double least)
{
    struct mode kept = *mode;
    while (kept.n > 2 && is_poor(w, &kept, kept.n - 1, least) &&
           is_poor(w, &kept, kept.n - 2, least))
        kept.n--;
    while (kept.n > 2 && is_poor(w, &kept, 0, least) &&
           is_poor(w, &kept, 1, least)) {
        kept.point++;
        kept.n--;
    }
    return kept;
}

struct menu *worth_trim(const struct worth *w, double mode_loss,
                        double point_loss, struct arena *a)
{
    const struct problem *p = w->problem;
    struct menu *list = ARENA_NEW(a, p->n_wells, struct menu);
    for (size_t i = 0; i < p->n_wells; i++) {
        const struct menu *full = &p->bidder[i].menu;
        struct well_worth own = worth_for(w, &p->bidder[i]);
        double best = worth_of_menu(&own, full);
        list[i] = *full;
        list[i].n_modes = 0;
        list[i].mode = ARENA_NEW(a, full->n_modes, struct mode);
        for (size_t m = 0; m < full->n_modes; m++) {
            const struct mode *mode = &full->mode[m];
            if (worth_of_mode(&own, mode) < best - mode_loss)
                continue;
            list[i].mode[list[i].n_modes++] =
                mode->is_chain ? trim_chain(&own, mode, best - point_loss)
                               : *mode;
        }
    }
    return list;
}
