#include "problem.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "field/balance.h"
#include "num/tol.h"
#include "caps.h"
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
    p->bidder = ARENA_NEW(a, f->n_wells, struct bidder);
    for (size_t i = 0; i < f->n_wells; i++) {
        size_t well = order[i];
        menu_make(f, &p->curves[well], well, &p->units, p->lines_only, a,
                  &p->bidder[i].menu);
    }
}

/* --- the station --------------------------------------------------------- */

/* The most gas that the wells can take and make. */
static void add_most(const struct problem *p, double *gas, double *formation)
{
    *gas = *formation = 0;
    for (size_t i = 0; i < p->n_wells; i++) {
        const struct menu *menu = &p->bidder[i].menu;
        double most_gas = 0, most_formation = 0;
        for (size_t m = 0; m < menu->n_modes; m++) {
            const struct mode *mode = &menu->mode[m];
            for (size_t k = 0; k < mode->n; k++) {
                most_gas = fmax(most_gas, mode->point[k].gas);
                most_formation = fmax(most_formation, mode->point[k].formation);
            }
        }
        *gas += most_gas;
        *formation += most_formation;
    }
}

/* A part of the gas that fuel may take, however the units run. */
static double most_fuel_fraction(const struct field *f)
{
    double most = f->station.fuel_fraction;
    for (size_t u = 0; u < f->station.n_compressors; u++)
        most = fmax(most, field_unit_fuel(f, &f->station.compressor[u]));
    return most;
}

static double fixed_fuel(const struct field *f)
{
    double sum_sm3s = 0;
    for (size_t u = 0; u < f->station.n_compressors; u++)
        sum_sm3s += f->station.compressor[u].fuel_fixed_sm3s;
    return sum_sm3s;
}

/* A flow without end gets the most that could ever be of use: to buy all that
 * can be lifted, burnt and must be sold; to sell and flare all there is. */
static void bound_flows(struct problem *p, struct station_column *all)
{
    const struct field *f = p->field;
    double unit = p->units.gas_sm3s, lift, formation;
    double part = most_fuel_fraction(f);
    add_most(p, &lift, &formation);
    double least_sales = f->sales.min_sm3s / unit;
    double delivered = (lift + least_sales) / (1 - part);
    double fuel = part * delivered + fixed_fuel(f) / unit;
    double bought = fmin(f->market.max_sm3s / unit, lift + least_sales + fuel);
    double most = formation + bought;
    all[COLUMN_SALES].low = least_sales;
    all[COLUMN_SALES].high =
        fmin(f->sales.max_sm3s / unit, fmax(most, least_sales));
    all[COLUMN_BOUGHT].high = bought;
    all[COLUMN_FLARE].high = fmin(f->station.flare_max_sm3s / unit, most);
    all[COLUMN_UNIT].high = (lift + most) / (1 - part);
}

/* What passes a unit, what goes round it, and its running. Money: what passes
 * costs its wear, fuel its carbon, electric units their power. */
static void set_unit(struct problem *p, const struct field_compressor *c,
                     size_t u)
{
    const struct field *f = p->field;
    double gas = p->units.gas_sm3s;
    double with_fuel = f->station.fuel_from == SIDE_DISCHARGE ? 1 : 0;
    double fuel = c != NULL ? field_unit_fuel(f, c) : f->station.fuel_fraction;
    struct station_column *through = &p->column[COLUMN_UNIT + 2 * u];
    struct station_column *round = through + 1;
    through->unit = round->unit = u;
    through->term[ROW_BALANCE] = -fuel;
    through->term[ROW_COMPRESSED] = 1 - with_fuel * fuel;
    round->term[ROW_COMPRESSED] = -1;
    if (c == NULL)
        return;
    double fixed = c->fuel_fixed_sm3s / gas;
    through->low = c->least_sm3s / gas;
    through->high = c->capacity_sm3s / gas;
    round->high = c->recycles ? through->low : 0;
    p->unit[u].term[ROW_BALANCE] = -fixed;
    p->unit[u].term[ROW_COMPRESSED] = -with_fuel * fixed;
    if (!c->electric)
        return;
    through->term[ROW_POWER] = c->power_j_sm3 / POWER_UNIT;
    p->unit[u].term[ROW_POWER] = c->power_fixed_w / (gas * POWER_UNIT);
}

static void price_unit(struct problem *p, const struct field_compressor *c,
                       size_t u)
{
    const struct field *f = p->field;
    const struct field_prices *price = &f->prices;
    double gas = p->units.gas_sm3s;
    double fuel = c != NULL ? field_unit_fuel(f, c) : f->station.fuel_fraction;
    double per_gas = price->compression_sm3 + price->carbon_sm3 * fuel;
    double fixed = 0;
    if (c != NULL)
        fixed = price->carbon_sm3 * c->fuel_fixed_sm3s;
    if (c != NULL && c->electric) {
        per_gas += price->power_j * c->power_j_sm3;
        fixed += price->power_j * c->power_fixed_w;
    }
    p->column[COLUMN_UNIT + 2 * u].worth = -per_gas * gas / p->value_unit;
    p->unit[u].worth = -fixed / p->value_unit;
}

static size_t count_units(const struct field_station *s)
{
    size_t n = 0;
    for (size_t i = 0; i < s->n_compressors; i++)
        n += field_unit_may_run(&s->compressor[i]);
    return s->has_compressors ? n : 1;
}

static void list_units(struct problem *p)
{
    const struct field_station *s = &p->field->station;
    size_t u = 0;
    if (!s->has_compressors) {
        p->unit[0] =
            (struct station_unit){.may_run = true, .compressor = SIZE_MAX};
        return;
    }
    for (size_t i = 0; i < s->n_compressors; i++)
        if (field_unit_may_run(&s->compressor[i]))
            p->unit[u++] = (struct station_unit){
                .may_run = true,
                .may_stop = s->compressor[i].state == UNIT_AVAILABLE,
                .compressor = i,
            };
}

static const struct field_compressor *compressor_of(const struct problem *p,
                                                    size_t u)
{
    size_t i = p->unit[u].compressor;
    return i == SIZE_MAX ? NULL : &p->field->station.compressor[i];
}

static void set_station(struct problem *p, struct arena *a)
{
    const struct field *f = p->field;
    p->n_units = count_units(&f->station);
    p->unit = ARENA_NEW(a, p->n_units, struct station_unit);
    list_units(p);
    p->n_columns = COLUMN_UNIT + 2 * p->n_units;
    /* One more pair: the flow without units is bounded before it is used. */
    p->column = ARENA_NEW(a, p->n_columns + 2, struct station_column);
    bound_flows(p, p->column);
    for (size_t k = 0; k < COLUMN_UNIT; k++)
        p->column[k].unit = SIZE_MAX;
    p->column[COLUMN_SALES].term[ROW_BALANCE] = -1;
    p->column[COLUMN_BOUGHT].term[ROW_BALANCE] = 1;
    p->column[COLUMN_FLARE].term[ROW_BALANCE] = -1;
    if (f->sales.from == SIDE_DISCHARGE)
        p->column[COLUMN_SALES].term[ROW_COMPRESSED] = -1;
    if (f->market.enters == SIDE_DISCHARGE)
        p->column[COLUMN_BOUGHT].term[ROW_COMPRESSED] = 1;
    for (size_t u = 0; u < p->n_units; u++)
        set_unit(p, compressor_of(p, u), u);
}

/* --- goal ---------------------------------------------------------------- */

static void set_money(struct problem *p)
{
    const struct field *f = p->field;
    const struct field_prices *price = &f->prices;
    double gas = p->units.gas_sm3s, oil = p->units.oil_sm3s;
    p->value_unit = power_of_2_near(
        fmax(fabs(price->oil_sm3) * oil, fabs(price->compression_sm3) * gas));
    double per_gas = gas / p->value_unit, per_oil = oil / p->value_unit;
    p->goal[USE_OIL] = price->oil_sm3 * per_oil;
    p->goal[USE_WATER] = -price->water_sm3 * per_oil;
    p->goal[USE_MOVED] = -price->move / p->value_unit;
    p->column[COLUMN_SALES].worth = f->sales.price_sm3 * per_gas;
    p->column[COLUMN_BOUGHT].worth = -f->market.price_sm3 * per_gas;
    p->column[COLUMN_FLARE].worth = -price->carbon_sm3 * per_gas;
    for (size_t u = 0; u < p->n_units; u++)
        price_unit(p, compressor_of(p, u), u);
}

static void set_goal(struct problem *p)
{
    switch (p->options->objective) {
    case PLAN_OIL:
        p->value_unit = p->units.oil_sm3s;
        p->goal[USE_OIL] = 1;
        break;
    case PLAN_GAS:
        p->value_unit = p->units.gas_sm3s;
        p->goal[USE_GAS] = -1;
        break;
    case PLAN_MONEY:
        set_money(p);
        break;
    }
    p->tie_gas = TOL_PLAN_TIE;
    p->tie_bought = TOL_PLAN_TIE * TIE_BOUGHT;
    p->tie_flare = TOL_PLAN_TIE * TIE_FLARE;
    p->tie_rank = TOL_PLAN_TIE * TIE_RANK;
}

/* --- rows ---------------------------------------------------------------- */

/* A cap as a row. false: nothing is capped. */
static bool cap_row(const struct problem *p, const struct field_caps *caps,
                    enum plan_limit_kind kind, struct limit_row *out)
{
    double gas = p->units.gas_sm3s, oil = p->units.oil_sm3s;
    *out = (struct limit_row){.low = -(double)INFINITY, .kind = kind};
    out->high = caps_get(caps, kind);
    switch ((int)kind) {
    case PLAN_LIMIT_LIFT:
        out->high /= gas;
        out->use[USE_GAS] = 1;
        break;
    case PLAN_LIMIT_LIQUID:
        out->high /= oil;
        out->use[USE_OIL] = out->use[USE_WATER] = 1;
        break;
    case PLAN_LIMIT_WATER:
        out->high /= oil;
        out->use[USE_WATER] = 1;
        break;
    case PLAN_LIMIT_GAS:
        out->high /= gas;
        out->use[USE_GAS] = out->use[USE_FORMATION] = 1;
        break;
    default:
        out->use[USE_MOVED] = 1;
        break;
    }
    return isfinite(out->high);
}

static const struct {
    enum plan_limit_kind kind;
    int row;
} CAPS[] = {
    {PLAN_LIMIT_LIFT, ROW_LIFT},   {PLAN_LIMIT_LIQUID, ROW_LIQUID},
    {PLAN_LIMIT_WATER, ROW_WATER}, {PLAN_LIMIT_GAS, ROW_GAS},
    {PLAN_LIMIT_MOVES, ROW_MOVES},
};
#define N_CAPS (sizeof CAPS / sizeof CAPS[0])

static void set_field_rows(struct problem *p)
{
    const struct field *f = p->field;
    double none = (double)INFINITY, target = p->options->oil_target_sm3s;
    for (size_t k = 0; k < N_CAPS; k++)
        cap_row(p, &f->limits.caps, CAPS[k].kind, &p->row[CAPS[k].row]);
    p->row[ROW_BALANCE].use[USE_FORMATION] = 1 - f->station.shrinkage_fraction;
    p->row[ROW_COMPRESSED].use[USE_GAS] = -1;
    p->row[ROW_POWER] = (struct limit_row){
        .low = -none,
        .high = f->station.power_max_w / (p->units.gas_sm3s * POWER_UNIT),
    };
    p->row[ROW_TARGET] = (struct limit_row){
        .low = target > 0 ? target / p->units.oil_sm3s : -none,
        .high = none,
        .use[USE_OIL] = 1,
    };
    p->row[ROW_VALUE] = (struct limit_row){.low = -none, .high = none};
    for (size_t r = 0; r < N_FIELD_ROWS; r++)
        p->row[r].scope = N_GROUP_KINDS;
}

static size_t add_row(struct problem *p, const struct limit_row *row)
{
    p->row[p->n_rows] = *row;
    return p->n_rows++;
}

/* The next row that counts for a bidder. */
static void count_for(struct bidder *b, struct own_row *room, size_t row,
                      double sign)
{
    room[b->n_own++] = (struct own_row){row, sign};
    b->own = room;
}

/* Where each bidder keeps its own rows: at most N_CAPS of each kind of group,
 * and the pairs that it is part of. */
struct own_room {
    size_t *first; /* [n_wells + 1] */
    struct own_row *all;
};

/* Who runs only with whom, by bidder: SIZE_MAX alone too. */
static size_t *find_partners(const struct problem *p, struct arena *a)
{
    const struct field *f = p->field;
    size_t *partner = ARENA_NEW(a, p->n_wells, size_t);
    for (size_t i = 0; i < p->n_wells; i++) {
        const char *name = f->well[p->bidder[i].menu.well].runs_with;
        size_t low = 0, high = name != NULL ? p->n_wells : 0;
        while (low < high) {
            size_t mid = low + (high - low) / 2;
            const char *other = f->well[p->bidder[mid].menu.well].name;
            if (strcmp(other, name) < 0)
                low = mid + 1;
            else
                high = mid;
        }
        bool is_found =
            name != NULL && low < p->n_wells &&
            strcmp(f->well[p->bidder[low].menu.well].name, name) == 0;
        partner[i] = is_found && low != i ? low : SIZE_MAX;
    }
    return partner;
}

static struct own_room make_room(const struct problem *p, const size_t *partner,
                                 struct arena *a)
{
    struct own_room room = {.first = ARENA_NEW(a, p->n_wells + 1, size_t)};
    for (size_t i = 0; i < p->n_wells; i++) {
        room.first[i + 1] += N_GROUP_KINDS * N_CAPS;
        if (partner[i] != SIZE_MAX) {
            room.first[i + 1]++;
            room.first[partner[i] + 1]++;
        }
    }
    for (size_t i = 0; i < p->n_wells; i++)
        room.first[i + 1] += room.first[i];
    room.all = ARENA_NEW(a, room.first[p->n_wells], struct own_row);
    return room;
}

static size_t rows_most(const struct problem *p)
{
    size_t n = N_FIELD_ROWS + p->n_wells;
    for (int k = 0; k < N_GROUP_KINDS; k++)
        n += N_CAPS * p->field->groups[k].n;
    return n;
}

/* The rows of a kind of group; who is in a group with rows counts in them. */
static void add_group_rows(struct problem *p, enum group_kind kind,
                           const struct own_room *room, struct arena *a)
{
    const struct field_groups *g = &p->field->groups[kind];
    const size_t *order = order_groups(g, a);
    size_t *first = ARENA_NEW(a, g->n, size_t);
    size_t *n = ARENA_NEW(a, g->n, size_t);
    for (size_t i = 0; i < g->n; i++) {
        first[order[i]] = p->n_rows;
        for (size_t k = 0; k < N_CAPS; k++) {
            struct limit_row row;
            if (!cap_row(p, &g->group[order[i]].caps, CAPS[k].kind, &row))
                continue;
            row.scope = (int)kind;
            row.group = order[i];
            add_row(p, &row);
        }
        n[order[i]] = p->n_rows - first[order[i]];
    }
    for (size_t i = 0; i < p->n_wells; i++) {
        struct bidder *b = &p->bidder[i];
        size_t group = p->field->well[b->menu.well].group[kind];
        for (size_t k = 0; group < g->n && k < n[group]; k++)
            count_for(b, room->all + room->first[i], first[group] + k, 1);
    }
}

/* A makes oil only while B does. */
static void add_pairs(struct problem *p, const size_t *partner,
                      const struct own_room *room)
{
    const struct limit_row pair = {
        .low = -(double)INFINITY,
        .use[USE_RUNS] = 1,
        .scope = SCOPE_PAIR,
    };
    for (size_t i = 0; i < p->n_wells; i++) {
        if (partner[i] == SIZE_MAX)
            continue;
        size_t row = add_row(p, &pair), other = partner[i];
        count_for(&p->bidder[i], room->all + room->first[i], row, 1);
        count_for(&p->bidder[other], room->all + room->first[other], row, -1);
    }
}

static void set_rows(struct problem *p, struct arena *a)
{
    const size_t *partner = find_partners(p, a);
    struct own_room room = make_room(p, partner, a);
    p->row = ARENA_NEW(a, rows_most(p), struct limit_row);
    p->n_rows = N_FIELD_ROWS;
    set_field_rows(p);
    for (int k = 0; k < N_GROUP_KINDS; k++)
        add_group_rows(p, (enum group_kind)k, &room, a);
    add_pairs(p, partner, &room);
}

void problem_make(const struct field *f, const struct curve *curves,
                  const struct plan_options *o, bool lines_only,
                  struct arena *a, struct problem *out)
{
    *out = (struct problem){
        .field = f,
        .curves = curves,
        .options = o,
        .lines_only = lines_only,
        .units = choose_units(curves, f->n_wells),
    };
    make_menus(out, a);
    set_station(out, a);
    set_goal(out);
    set_rows(out, a);
}

double row_part(const struct problem *p, size_t row, size_t bidder,
                const struct use *u, const struct mode *mode)
{
    const struct bidder *b = &p->bidder[bidder];
    double sign = row < N_FIELD_ROWS ? 1 : 0;
    for (size_t k = 0; k < b->n_own && sign == 0; k++)
        if (b->own[k].row == row)
            sign = b->own[k].sign;
    if (sign == 0)
        return 0;
    const double *use = p->row[row].use;
    return sign *
           (use[USE_GAS] * u->gas + use[USE_OIL] * u->oil +
            use[USE_WATER] * u->water + use[USE_FORMATION] * u->formation +
            (mode->moved ? use[USE_MOVED] : 0) +
            (mode->runs ? use[USE_RUNS] : 0));
}
