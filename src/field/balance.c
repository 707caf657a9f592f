#include "field/balance.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "num/tol.h"

double field_unit_fuel(const struct field *f, const struct field_compressor *u)
{
    return u->has_fuel ? u->fuel_fraction : f->station.fuel_fraction;
}

struct unit_load *balance_units(const struct field *f, struct arena *a)
{
    const struct field_station *s = &f->station;
    if (!s->has_compressors)
        return NULL;
    struct unit_load *load = ARENA_NEW(a, s->n_compressors, struct unit_load);
    for (size_t i = 0; i < s->n_compressors; i++)
        load[i].runs = field_unit_may_run(&s->compressor[i]);
    return load;
}

/* Needs less fuel; of equals, the first in name order. */
static bool is_cheaper(const struct field *f, size_t a, size_t b)
{
    const struct field_compressor *x = &f->station.compressor[a];
    const struct field_compressor *y = &f->station.compressor[b];
    double fx = field_unit_fuel(f, x), fy = field_unit_fuel(f, y);
    return fx != fy ? fx < fy : strcmp(x->name, y->name) < 0;
}

/* What a running unit can still take, or give. */
static double room_of(const struct field_compressor *u,
                      const struct unit_load *l, bool up)
{
    if (!l->runs)
        return 0;
    return up ? u->capacity_sm3s - l->through_sm3s
              : l->through_sm3s - u->least_sm3s;
}

/* Of those with room the unit of least fuel, or of most when gas is taken
 * away; n_compressors when there is none. */
static size_t next_unit(const struct field *f, const struct unit_load *load,
                        bool up)
{
    size_t n = f->station.n_compressors, best = n;
    for (size_t i = 0; i < n; i++)
        if (room_of(&f->station.compressor[i], &load[i], up) > 0 &&
            (best == n || is_cheaper(f, i, best) == up))
            best = i;
    return best;
}

/* What is left of a change after the units have taken it within their
 * ranges. */
static double change_through(const struct field *f, struct unit_load *load,
                             double change_sm3s, bool up)
{
    while (change_sm3s > 0) {
        size_t i = next_unit(f, load, up);
        if (i == f->station.n_compressors)
            break;
        const struct field_compressor *u = &f->station.compressor[i];
        double room = room_of(u, &load[i], up);
        if (room <= change_sm3s)
            load[i].through_sm3s = up ? u->capacity_sm3s : u->least_sm3s;
        else
            load[i].through_sm3s += up ? change_sm3s : -change_sm3s;
        change_sm3s -= fmin(room, change_sm3s);
    }
    return change_sm3s;
}

/* Likewise by gas that goes round. */
static double take_back_recycled(const struct field *f, struct unit_load *load,
                                 double more_sm3s)
{
    for (size_t i = 0; i < f->station.n_compressors; i++) {
        double part = fmin(load[i].recycled_sm3s, more_sm3s);
        load[i].recycled_sm3s -= part;
        more_sm3s -= part;
    }
    return more_sm3s;
}

static double send_round(const struct field *f, struct unit_load *load,
                         double less_sm3s)
{
    for (size_t i = 0; i < f->station.n_compressors; i++) {
        const struct field_compressor *u = &f->station.compressor[i];
        if (!load[i].runs || !u->recycles)
            continue;
        double room = fmin(u->least_sm3s, load[i].through_sm3s);
        double part = fmin(fmax(room - load[i].recycled_sm3s, 0), less_sm3s);
        load[i].recycled_sm3s += part;
        less_sm3s -= part;
    }
    return less_sm3s;
}

/* More or less out of the units; beyond their ranges the first one gives. */
static void shift(const struct field *f, struct unit_load *load,
                  double change_sm3s)
{
    double left_sm3s;
    if (change_sm3s > 0) {
        left_sm3s = take_back_recycled(f, load, change_sm3s);
        left_sm3s = change_through(f, load, left_sm3s, true);
    } else {
        left_sm3s = change_through(f, load, -change_sm3s, false);
        left_sm3s = -send_round(f, load, left_sm3s);
    }
    for (size_t i = 0; i < f->station.n_compressors && left_sm3s != 0; i++)
        if (load[i].runs) {
            load[i].through_sm3s += left_sm3s;
            left_sm3s = 0;
        }
}

static void start_sharing(const struct field *f, struct unit_load *load)
{
    for (size_t i = 0; i < f->station.n_compressors; i++) {
        const struct field_compressor *u = &f->station.compressor[i];
        double through = fmin(load[i].through_sm3s, u->capacity_sm3s);
        load[i].through_sm3s = load[i].runs ? fmax(through, u->least_sm3s) : 0;
        if (!load[i].runs)
            load[i].recycled_sm3s = 0;
    }
}

/* Sum of the units' fuel; *net: what leaves them. */
static double burn(const struct field *f, struct unit_load *load, double *net)
{
    double fuel_sm3s = 0;
    *net = 0;
    for (size_t i = 0; i < f->station.n_compressors; i++) {
        const struct field_compressor *u = &f->station.compressor[i];
        struct unit_load *l = &load[i];
        double own_fuel =
            u->fuel_fixed_sm3s + field_unit_fuel(f, u) * l->through_sm3s;
        double power = u->power_fixed_w + u->power_j_sm3 * l->through_sm3s;
        l->fuel_sm3s = l->runs ? own_fuel : 0;
        l->power_w = l->runs ? power : 0;
        fuel_sm3s += l->fuel_sm3s;
        *net += l->through_sm3s - l->recycled_sm3s;
    }
    return fuel_sm3s;
}

/* Fuel may have to be compressed itself: each round leaves its fraction. */
static void share(const struct field *f, struct gas_balance *b,
                  double delivered_sm3s, struct unit_load *load)
{
    double with_fuel = f->station.fuel_from == SIDE_DISCHARGE ? 1 : 0;
    start_sharing(f, load);
    for (int i = 0; i < BALANCE_ROUNDS; i++) {
        double net_sm3s;
        b->fuel = burn(f, load, &net_sm3s);
        b->compressed = delivered_sm3s + with_fuel * b->fuel;
        if (b->compressed == net_sm3s)
            break;
        shift(f, load, b->compressed - net_sm3s);
    }
}

void balance_close(const struct field *f, struct gas_balance *b,
                   struct unit_load *load)
{
    const struct field_station *s = &f->station;
    double delivered_sm3s = b->lift - b->drawn;
    if (f->sales.from == SIDE_DISCHARGE)
        delivered_sm3s += b->sales;
    if (f->market.enters == SIDE_DISCHARGE)
        delivered_sm3s -= b->bought;
    if (load != NULL) {
        share(f, b, delivered_sm3s, load);
    } else {
        bool is_compressed = s->fuel_from == SIDE_DISCHARGE;
        b->compressed =
            delivered_sm3s / (is_compressed ? 1 - s->fuel_fraction : 1);
        b->fuel = b->compressed * s->fuel_fraction;
    }
    b->shrinkage = b->formation * s->shrinkage_fraction;
    b->error = b->formation + b->bought + b->drawn - b->sales - b->fuel -
               b->flare - b->shrinkage;
}
