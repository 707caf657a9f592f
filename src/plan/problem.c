#include "problem.h"

#include <math.h>
#include <stdint.h>

#include "base/arena.h"
#include "field/balance.h"
#include "order.h"

static double power_of_2_near(double value)
{
    return value > 0 ? exp2(round(log2(value))) : 1;
}

/* Means over the wells: of the gas that the curves reach, of their peaks. */
static struct plan_units choose_units(const struct curve *c, size_t n)
{
    double gas_sm3s = 0, oil_sm3s = 0;
    for (size_t i = 0; i < n; i++) {
        gas_sm3s += c[i].gas_max_sm3s / (double)n;
        oil_sm3s += curve_peak_oil_sm3s(&c[i]) / (double)n;
    }
    return (struct plan_units){
        power_of_2_near(gas_sm3s),
        power_of_2_near(oil_sm3s),
    };
}

static void make_menus(struct problem *p, struct arena *a)
{
    const struct field *f = p->field;
    const size_t *order = order_wells(f, a);
    p->n_wells = f->n_wells;
    p->menu = ARENA_NEW(a, f->n_wells, struct menu);
    for (size_t i = 0; i < f->n_wells; i++) {
        size_t well = order[i];
        menu_make(f, &p->curves[well], well, &p->units, p->lines_only, a,
                  &p->menu[i]);
    }
}

/* The most gas that the wells can take and make. */
static void add_most(const struct problem *p, double *gas, double *formation)
{
    *gas = *formation = 0;
    for (size_t i = 0; i < p->n_wells; i++) {
        double most_gas = 0, most_formation = 0;
        for (size_t m = 0; m < p->menu[i].n_modes; m++) {
            const struct mode *mode = &p->menu[i].mode[m];
            for (size_t k = 0; k < mode->n; k++) {
                most_gas = fmax(most_gas, mode->point[k].gas);
                most_formation = fmax(most_formation, mode->point[k].formation);
            }
        }
        *gas += most_gas;
        *formation += most_formation;
    }
}

/* A limit without end gets the most that could ever be of use: to buy all
 * that can be lifted, burnt and must be sold; to sell and flare all there
 * is. */
static void set_outside(struct problem *p, const struct balance_factors *k)
{
    const struct field *f = p->field;
    double unit = p->units.gas_sm3s, lift, formation;
    add_most(p, &lift, &formation);
    double least_sales = f->sales.min_sm3s / unit;
    double fuel = f->station.fuel_fraction * k->gross * (lift + least_sales);
    double bought = fmin(f->market.max_sm3s / unit, lift + least_sales + fuel);
    double most = formation + bought;
    p->outside_low[OUT_SALES] = least_sales;
    p->outside_high[OUT_SALES] =
        fmin(f->sales.max_sm3s / unit, fmax(most, least_sales));
    p->outside_high[OUT_BOUGHT] = bought;
    p->outside_high[OUT_FLARE] = fmin(f->station.flare_max_sm3s / unit, most);
}

static void set_goal(struct problem *p, const struct balance_factors *k)
{
    const struct field_prices *price = &p->field->prices;
    double gas = p->units.gas_sm3s, oil = p->units.oil_sm3s;
    if (p->objective == PLAN_OIL) {
        p->value_unit = oil;
        p->goal = (struct limit_row){.oil = 1, .manifold = SIZE_MAX};
        return;
    }
    double compression = price->compression_sm3 * k->gross;
    double sales = p->field->sales.price_sm3;
    double bought = p->field->market.price_sm3;
    p->value_unit = power_of_2_near(
        fmax(fabs(price->oil_sm3) * oil, fabs(compression) * gas));
    double per_gas = gas / p->value_unit, per_oil = oil / p->value_unit;
    p->goal = (struct limit_row){
        .manifold = SIZE_MAX,
        .oil = price->oil_sm3 * per_oil,
        .water = -price->water_sm3 * per_oil,
        .gas = -compression * per_gas,
        .outside[OUT_SALES] = (sales - k->sales_part * compression) * per_gas,
        .outside[OUT_BOUGHT] =
            (k->bought_part * compression - bought) * per_gas,
    };
}

static void set_field_rows(struct problem *p, const struct balance_factors *k)
{
    const struct field *f = p->field;
    const struct field_station *s = &f->station;
    double gas = p->units.gas_sm3s, oil = p->units.oil_sm3s;
    double fuel = s->fuel_fraction * k->gross;
    double none = (double)INFINITY;
    struct limit_row compressed = {
        .gas = k->gross,
        .outside[OUT_SALES] = k->gross * k->sales_part,
        .outside[OUT_BOUGHT] = -k->gross * k->bought_part,
        .low = -none,
        .high = field_capacity_sm3s(f) / gas,
        .manifold = SIZE_MAX,
    };
    p->row[ROW_COMPRESSION] = compressed;
    p->row[ROW_COMPRESSED_MIN] = compressed;
    p->row[ROW_COMPRESSED_MIN].low = 0;
    p->row[ROW_COMPRESSED_MIN].high = none;
    p->row[ROW_BALANCE] = (struct limit_row){
        .formation = 1 - s->shrinkage_fraction,
        .gas = -fuel,
        .outside[OUT_SALES] = -1 - fuel * k->sales_part,
        .outside[OUT_BOUGHT] = 1 + fuel * k->bought_part,
        .outside[OUT_FLARE] = -1,
        .manifold = SIZE_MAX,
    };
    p->row[ROW_LIFT] = (struct limit_row){
        .gas = 1,
        .low = -none,
        .high = f->limits.caps.lift_sm3s / gas,
        .manifold = SIZE_MAX,
    };
    p->row[ROW_LIQUID] = (struct limit_row){
        .oil = 1,
        .water = 1,
        .low = -none,
        .high = f->limits.caps.liquid_sm3s / oil,
        .manifold = SIZE_MAX,
    };
    p->row[ROW_WATER] = (struct limit_row){
        .water = 1,
        .low = -none,
        .high = f->limits.caps.water_sm3s / oil,
        .manifold = SIZE_MAX,
    };
    size_t moves = f->limits.caps.moves;
    p->row[ROW_MOVES] = (struct limit_row){
        .moved = 1,
        .low = -none,
        .high = moves == SIZE_MAX ? none : (double)moves,
        .manifold = SIZE_MAX,
    };
}

static void set_manifold_rows(struct problem *p, struct arena *a)
{
    const struct field *f = p->field;
    const size_t *order = order_manifolds(f, a);
    p->manifold_row = ARENA_NEW(a, f->groups[GROUP_MANIFOLD].n, size_t);
    for (size_t i = 0; i < f->groups[GROUP_MANIFOLD].n; i++) {
        size_t m = order[i], r = ROW_MANIFOLD + i;
        p->manifold_row[m] = r;
        p->row[r] = (struct limit_row){
            .gas = 1,
            .low = -(double)INFINITY,
            .high = f->groups[GROUP_MANIFOLD].group[m].caps.lift_sm3s /
                    p->units.gas_sm3s,
            .manifold = m,
        };
    }
}

void problem_make(const struct field *f, const struct curve *curves,
                  enum plan_objective objective, bool lines_only,
                  struct arena *a, struct problem *out)
{
    struct balance_factors k = balance_factors(f);
    *out = (struct problem){
        .field = f,
        .curves = curves,
        .objective = objective,
        .lines_only = lines_only,
        .units = choose_units(curves, f->n_wells),
        .n_rows = ROW_MANIFOLD + f->groups[GROUP_MANIFOLD].n,
    };
    out->row = ARENA_NEW(a, out->n_rows, struct limit_row);
    make_menus(out, a);
    set_outside(out, &k);
    set_goal(out, &k);
    set_field_rows(out, &k);
    set_manifold_rows(out, a);
}

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
    const struct limit_row *g = &p->goal;
    struct worth w = {
        .problem = p,
        .row_price = row_price,
        .oil = g->oil,
        .water = g->water,
        .formation = g->formation,
        .moved = g->moved,
        .gas = g->gas,
    };
    for (int k = 0; k < N_OUTSIDE; k++)
        w.outside[k] = g->outside[k];
    for (size_t i = 0; i < p->n_rows; i++) {
        const struct limit_row *r = &p->row[i];
        double price = row_price[i] = signed_price(r, row_price[i]);
        if (price == 0)
            continue;
        w.fixed += price * (price > 0 ? r->high : r->low);
        w.oil -= price * r->oil;
        w.water -= price * r->water;
        w.formation -= price * r->formation;
        w.moved -= price * r->moved;
        for (int k = 0; k < N_OUTSIDE; k++)
            w.outside[k] -= price * r->outside[k];
        if (r->manifold == SIZE_MAX)
            w.gas -= price * r->gas;
    }
    return w;
}

double worth_of_point(const struct worth *w, const struct menu *menu,
                      const struct use *u, bool moved)
{
    double manifold = w->row_price[w->problem->manifold_row[menu->manifold]];
    return (w->gas - manifold) * u->gas + w->oil * u->oil +
           w->water * u->water + w->formation * u->formation +
           (moved ? w->moved : 0);
}

double worth_of_mode(const struct worth *w, const struct menu *menu,
                     const struct mode *mode)
{
    double best = -(double)INFINITY;
    for (size_t i = 0; i < mode->n; i++)
        best =
            fmax(best, worth_of_point(w, menu, &mode->point[i], mode->moved));
    return best;
}

double worth_of_menu(const struct worth *w, const struct menu *menu)
{
    double best = -(double)INFINITY;
    for (size_t m = 0; m < menu->n_modes; m++)
        best = fmax(best, worth_of_mode(w, menu, &menu->mode[m]));
    return best;
}

double worth_bound(const struct worth *w)
{
    const struct problem *p = w->problem;
    double sum = w->fixed;
    for (int k = 0; k < N_OUTSIDE; k++)
        sum += fmax(w->outside[k] * p->outside_low[k],
                    w->outside[k] * p->outside_high[k]);
    for (size_t i = 0; i < p->n_wells; i++)
        sum += worth_of_menu(w, &p->menu[i]);
    return sum;
}

static bool is_poor(const struct worth *w, const struct menu *menu,
                    const struct mode *mode, size_t point, double least)
{
    return worth_of_point(w, menu, &mode->point[point], mode->moved) < least;
}

/* A chain without its poor ends; one poor point stays at each end, as the
 * line to it may hold good set points. */
static struct mode trim_chain(const struct worth *w, const struct menu *menu,
                              const struct mode *mode, double least)
{
    struct mode kept = *mode;
    while (kept.n > 2 && is_poor(w, menu, &kept, kept.n - 1, least) &&
           is_poor(w, menu, &kept, kept.n - 2, least))
        kept.n--;
    while (kept.n > 2 && is_poor(w, menu, &kept, 0, least) &&
           is_poor(w, menu, &kept, 1, least)) {
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
        const struct menu *full = &p->menu[i];
        double best = worth_of_menu(w, full);
        list[i] = *full;
        list[i].n_modes = 0;
        list[i].mode = ARENA_NEW(a, full->n_modes, struct mode);
        for (size_t m = 0; m < full->n_modes; m++) {
            const struct mode *mode = &full->mode[m];
            if (worth_of_mode(w, full, mode) < best - mode_loss)
                continue;
            list[i].mode[list[i].n_modes++] =
                mode->is_chain ? trim_chain(w, full, mode, best - point_loss)
                               : *mode;
        }
    }
    return list;
}
