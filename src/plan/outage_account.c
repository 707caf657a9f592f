#include "outage_account.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "account.h"
#include "base/arena.h"
#include "base/units.h"
#include "num/tol.h"

/* --- wells ---------------------------------------------------------------- */

static enum well_phase phase_of(const struct path_well *w,
                                const struct path_step *s)
{
    if (s->point == POINT_STOPPED || !w->point[s->point].runs)
        return PHASE_STOPPED;
    if (s->since < 0)
        return PHASE_FLOWS;
    double rising = w->rising[s->since];
    if (!(rising > 0))
        return PHASE_UNLOADS;
    return w->rest[s->since] > 0 ? PHASE_RETURNS : PHASE_FLOWS;
}

/* Where a well stood before a period: the rate it is to keep, or none. */
struct before {
    bool stands;
    double gas;
};

static struct before before_all(const struct span *s, size_t i)
{
    const struct field_well *w = &s->today.field->well[s->well[i].well];
    return (struct before){s->well[i].first == POINT_STOPPED,
                           field_well_now_sm3s(w) / s->today.units.gas_sm3s};
}

static bool changes(const struct before *b, const struct outage_stand *to,
                    double unit_sm3s)
{
    bool stands = to->step.point == POINT_STOPPED;
    if (b->stands || stands)
        return b->stands != stands;
    return fabs(b->gas - to->at.gas) * unit_sm3s > TOL_MOVE_SM3S;
}

static void fill_well(const struct span *s, const struct outage_found *found,
                      size_t i, struct outage_plan *out)
{
    const struct path_well *w = &s->well[i];
    const struct plan_units *unit = &s->today.units;
    struct before was = before_all(s, i);
    for (size_t k = 0; k < s->n_periods; k++) {
        const struct outage_stand *to = &found->stand[i][k];
        struct outage_well *well = &out->well[k * s->n_wells + w->well];
        *well = (struct outage_well){
            .phase = phase_of(w, &to->step),
            .gas_sm3s = to->use.gas * unit->gas_sm3s,
            .oil_sm3s = to->use.oil * unit->oil_sm3s,
            .water_sm3s = to->use.water * unit->oil_sm3s,
            .formation_sm3s = to->use.formation * unit->gas_sm3s,
            .moved = changes(&was, to, unit->gas_sm3s) && !w->is_down[k],
        };
        was = (struct before){to->step.point == POINT_STOPPED, to->at.gas};
    }
}

/* --- station -------------------------------------------------------------- */

static double flow_of(const struct span *s, const struct outage_found *found,
                      size_t k, size_t column)
{
    const struct station_column *c = &s->period[k].column[column];
    double x = found->station.x[found->station.column_at[k] + column];
    double low = c->unit == SIZE_MAX ? c->low : 0;
    return fmin(fmax(x, low), c->high) * s->today.units.gas_sm3s;
}

static struct unit_load *loads_of(const struct span *s,
                                  const struct outage_found *found, size_t k,
                                  struct arena *a)
{
    const struct problem *p = &s->period[k];
    const struct field_station *station = &p->field->station;
    if (!station->has_compressors)
        return NULL;
    struct unit_load *load =
        ARENA_NEW(a, station->n_compressors, struct unit_load);
    for (size_t u = 0; u < p->n_units; u++) {
        double runs = found->station.x[found->station.running_at[k] + u];
        size_t column = COLUMN_UNIT + 2 * u;
        if (runs > 0.5)
            load[p->unit[u].compressor] = (struct unit_load){
                .runs = true,
                .through_sm3s = flow_of(s, found, k, column),
                .recycled_sm3s = flow_of(s, found, k, column + 1),
            };
    }
    return load;
}

static double store_at(const struct span *s, const struct outage_found *found,
                       size_t k)
{
    double x = found->station.x[found->station.store_at[k]];
    double unit_sm3 = s->today.units.gas_sm3s * s->outage->period_s;
    return fmin(fmax(x, 0), s->store_most) * unit_sm3;
}

static void add_up_wells(struct outage_plan *out, size_t k)
{
    struct outage_period *p = &out->period[k];
    for (size_t i = 0; i < out->n_wells; i++) {
        const struct outage_well *w = &out->well[k * out->n_wells + i];
        p->balance.lift += w->gas_sm3s;
        p->balance.formation += w->formation_sm3s;
        p->oil_sm3s += w->oil_sm3s;
        p->water_sm3s += w->water_sm3s;
        p->n_moves += w->moved;
        p->n_stopped += w->phase == PHASE_STOPPED;
        p->n_unloading += w->phase == PHASE_UNLOADS;
    }
}

static double money_of(const struct field *f, const struct outage_period *p,
                       double period_s)
{
    double moves = (double)p->n_moves * UNIT_DAY_S / period_s;
    return account_money(f, &(struct account_flows){
                                .oil_sm3s = p->oil_sm3s,
                                .water_sm3s = p->water_sm3s,
                                .balance = &p->balance,
                                .n_units = p->n_units,
                                .unit = p->unit,
                                .moves_a_day = moves,
                            });
}

static void fill_station(const struct span *s, const struct outage_found *found,
                         size_t k, struct arena *a, struct outage_plan *out)
{
    const struct field *f = s->period[k].field;
    struct outage_period *p = &out->period[k];
    double period_s = s->outage->period_s;
    struct unit_load *load = loads_of(s, found, k, a);
    double stored_sm3 = store_at(s, found, k + 1);
    p->stored_sm3 = stored_sm3;
    p->balance.drawn = (store_at(s, found, k) - stored_sm3) / period_s;
    p->balance.sales = flow_of(s, found, k, COLUMN_SALES);
    p->balance.bought = flow_of(s, found, k, COLUMN_BOUGHT);
    p->balance.flare = flow_of(s, found, k, COLUMN_FLARE);
    account_settle(f, &p->balance, load);
    p->n_units = load != NULL ? f->station.n_compressors : 0;
    p->unit = ARENA_NEW(a, p->n_units, struct plan_unit);
    for (size_t i = 0; i < p->n_units; i++)
        p->unit[i] = (struct plan_unit){
            .load = load[i],
            .chosen = f->station.compressor[i].state == UNIT_AVAILABLE,
        };
    p->money_s = money_of(f, p, period_s);
}

/* --- limits --------------------------------------------------------------- */

static void add_limit(struct outage_period *p, struct plan_limit l)
{
    bool is_least = l.kind == PLAN_LIMIT_SALES_MIN;
    double near = TOL_LIMIT_REL * fmax(fabs(l.bound), TOL_LIMIT_SM3S);
    l.binding = is_least ? l.used <= l.bound + near : l.used >= l.bound - near;
    l.price = l.binding ? fmax(l.price, 0) : 0;
    l.price_from = l.price_to = l.bound;
    p->limit[p->n_limits++] = l;
}

/* The kind of a field row; PLAN_LIMIT_MOVES when it is not one of a limit. */
static enum plan_limit_kind kind_of_row(size_t row)
{
    switch (row) {
    case ROW_LIFT:
        return PLAN_LIMIT_LIFT;
    case ROW_LIQUID:
        return PLAN_LIMIT_LIQUID;
    case ROW_WATER:
        return PLAN_LIMIT_WATER;
    case ROW_GAS:
        return PLAN_LIMIT_GAS;
    case ROW_POWER:
        return PLAN_LIMIT_POWER;
    default:
        return PLAN_LIMIT_MOVES;
    }
}

/* What the row counts, SI. */
static double used_in(const struct outage_plan *out, const struct problem *p,
                      size_t k, size_t row, double unit_si)
{
    double sum = 0;
    for (size_t i = 0; i < p->n_wells; i++) {
        size_t well = p->bidder[i].menu.well;
        const struct outage_well *w = &out->well[k * out->n_wells + well];
        struct use u = {
            .gas = w->gas_sm3s / p->units.gas_sm3s,
            .oil = w->oil_sm3s / p->units.oil_sm3s,
            .water = w->water_sm3s / p->units.oil_sm3s,
            .formation = w->formation_sm3s / p->units.gas_sm3s,
        };
        sum += row_part(p, row, i, &u, &(struct mode){0}) * unit_si;
    }
    return sum;
}

static double power_used(const struct field *f, const struct outage_period *p)
{
    double sum_w = 0;
    for (size_t i = 0; i < p->n_units; i++)
        if (f->station.compressor[i].electric)
            sum_w += p->unit[i].load.power_w;
    return sum_w;
}

static void add_row_limits(const struct span *s,
                           const struct outage_found *found, size_t k,
                           struct outage_plan *out)
{
    const struct problem *p = &s->period[k];
    struct outage_period *to = &out->period[k];
    for (size_t r = ROW_LIFT; r < p->n_rows; r++) {
        const struct limit_row *row = &p->row[r];
        bool is_group = r >= N_FIELD_ROWS;
        enum plan_limit_kind kind = is_group ? row->kind : kind_of_row(r);
        if (!span_row_counts(p, r) || row->scope == SCOPE_PAIR ||
            kind == PLAN_LIMIT_MOVES)
            continue;
        bool is_liquid = kind == PLAN_LIMIT_LIQUID || kind == PLAN_LIMIT_WATER;
        double unit = is_liquid ? p->units.oil_sm3s : p->units.gas_sm3s;
        bool is_power = kind == PLAN_LIMIT_POWER;
        unit *= is_power ? POWER_UNIT : 1;
        const struct field_groups *g =
            is_group ? &p->field->groups[row->scope] : NULL;
        add_limit(to,
                  (struct plan_limit){
                      .kind = kind,
                      .scope = row->scope,
                      .group = row->group,
                      .name = is_group ? g->group[row->group].name : "",
                      .used = is_power ? power_used(p->field, to)
                                       : used_in(out, p, k, r, unit),
                      .bound = row->high * unit,
                      .price = found->price.row[k][r] * p->value_unit / unit,
                  });
    }
}

static double capacity_of(const struct field *f, const struct outage_period *p)
{
    double sum_sm3s = 0;
    for (size_t i = 0; i < p->n_units; i++)
        if (p->unit[i].load.runs)
            sum_sm3s += f->station.compressor[i].capacity_sm3s;
    return sum_sm3s;
}

static bool is_some(double most_sm3s)
{
    return most_sm3s > 0 && isfinite(most_sm3s);
}

static void add_flow_limits(const struct span *s,
                            const struct outage_found *found, size_t k,
                            struct outage_plan *out)
{
    const struct problem *p = &s->period[k];
    const struct field *f = p->field;
    struct outage_period *to = &out->period[k];
    const struct gas_balance *b = &to->balance;
    struct worth w = worth_at(p, found->price.row[k]);
    double si = p->value_unit / p->units.gas_sm3s;
    double sales = worth_of_column(&w, COLUMN_SALES) * si, through = 0;
    for (size_t u = 0; u < p->n_units; u++)
        through = fmax(through, worth_of_column(&w, COLUMN_UNIT + 2 * u) * si);
    const struct {
        bool is_set;
        enum plan_limit_kind kind;
        double used, bound, price;
    } limits[] = {
        {to->n_units > 0, PLAN_LIMIT_COMPRESSION, b->compressed,
         capacity_of(f, to), through},
        {f->sales.min_sm3s > 0, PLAN_LIMIT_SALES_MIN, b->sales,
         f->sales.min_sm3s, -sales},
        {isfinite(f->sales.max_sm3s), PLAN_LIMIT_SALES_MAX, b->sales,
         f->sales.max_sm3s, sales},
        {is_some(f->market.max_sm3s), PLAN_LIMIT_PURCHASE, b->bought,
         f->market.max_sm3s, worth_of_column(&w, COLUMN_BOUGHT) * si},
        {is_some(f->station.flare_max_sm3s), PLAN_LIMIT_FLARE, b->flare,
         f->station.flare_max_sm3s, worth_of_column(&w, COLUMN_FLARE) * si},
    };
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        if (limits[i].is_set)
            add_limit(to, (struct plan_limit){.kind = limits[i].kind,
                                              .scope = N_GROUP_KINDS,
                                              .name = "",
                                              .used = limits[i].used,
                                              .bound = limits[i].bound,
                                              .price = limits[i].price});
}

static void fill_limits(const struct span *s, const struct outage_found *found,
                        size_t k, struct arena *a, struct outage_plan *out)
{
    size_t most = s->period[k].n_rows + PLAN_LIMIT_MOVES;
    out->period[k].limit = ARENA_NEW(a, most, struct plan_limit);
    add_row_limits(s, found, k, out);
    add_flow_limits(s, found, k, out);
}

/* --- what is lost by what ------------------------------------------------- */

/* Which causes act in a period; their number. */
static size_t causes_in(const struct outage *o, size_t k, bool *acts)
{
    double from_s = (double)k * o->period_s, to_s = from_s + o->period_s;
    size_t n = 0;
    for (size_t i = 0; i < o->n_events; i++) {
        const struct outage_event *e = &o->event[i];
        if (!(e->from_s < to_s && e->to_s > from_s) || acts[e->cause])
            continue;
        acts[e->cause] = true;
        n++;
    }
    return n;
}

/* Oil that wells on their way back do not make yet, against today's plan. */
static double oil_of_return(const struct outage_plan *out, size_t k)
{
    double sum_sm3s = 0;
    for (size_t i = 0; i < out->n_wells; i++) {
        const struct outage_well *w = &out->well[k * out->n_wells + i];
        bool returns = w->phase == PHASE_UNLOADS || w->phase == PHASE_RETURNS;
        double lost = out->undisturbed.well[i].oil_sm3s - w->oil_sm3s;
        sum_sm3s += returns ? fmax(lost, 0) : 0;
    }
    return sum_sm3s;
}

/* The period's loss: of wells on their way back, and evenly of what acts. */
static void share_loss(const struct outage *o, size_t k, double oil_price,
                       const struct outage_plan *out, struct outage_loss *loss)
{
    const struct outage_period *p = &out->period[k];
    bool acts[N_OUTAGE_CAUSES] = {false};
    size_t n = causes_in(o, k, acts);
    double money_s = out->undisturbed.money_s - p->money_s;
    double back_sm3s =
        n > 0 ? fmin(oil_of_return(out, k), fmax(p->deferred_sm3s, 0))
              : p->deferred_sm3s;
    double back_money_s = n > 0 ? back_sm3s * oil_price : money_s;
    loss[N_OUTAGE_CAUSES].oil_sm3 += back_sm3s * o->period_s;
    loss[N_OUTAGE_CAUSES].money += back_money_s * o->period_s;
    for (int c = 0; c < N_OUTAGE_CAUSES; c++)
        if (acts[c]) {
            double part = o->period_s / (double)n;
            loss[c].oil_sm3 += (p->deferred_sm3s - back_sm3s) * part;
            loss[c].money += (money_s - back_money_s) * part;
        }
}

/* after_sm3: of wells that are not back at the end of the horizon. */
static void fill_losses(const struct field *f, const struct outage *o,
                        double after_sm3, struct arena *a,
                        struct outage_plan *out)
{
    struct outage_loss loss[N_OUTAGE_CAUSES + 1] = {0};
    double oil_price = f->prices.given ? f->prices.oil_sm3 : 0;
    bool acts[N_OUTAGE_CAUSES] = {false};
    for (size_t k = 0; k < o->n_periods; k++) {
        share_loss(o, k, oil_price, out, loss);
        causes_in(o, k, acts);
    }
    loss[N_OUTAGE_CAUSES].oil_sm3 += after_sm3;
    loss[N_OUTAGE_CAUSES].money += after_sm3 * oil_price;
    out->money_lost += after_sm3 * oil_price;
    out->loss = ARENA_NEW(a, N_OUTAGE_CAUSES + 1, struct outage_loss);
    for (int c = 0; c <= N_OUTAGE_CAUSES; c++) {
        bool is_return = c == N_OUTAGE_CAUSES;
        loss[c].cause = (enum outage_cause)c;
        if (is_return ? loss[c].oil_sm3 != 0 : acts[c])
            out->loss[out->n_losses++] = loss[c];
    }
}

/* --- in all --------------------------------------------------------------- */

static void open_plan(const struct outage *o, size_t n_wells, struct arena *a,
                      struct outage_plan *out)
{
    double horizon_s = (double)o->n_periods * o->period_s;
    out->n_periods = o->n_periods;
    out->n_wells = n_wells;
    out->period = ARENA_NEW(a, o->n_periods, struct outage_period);
    out->well = ARENA_NEW(a, o->n_periods * n_wells, struct outage_well);
    out->potential_sm3 = out->undisturbed.oil_sm3s * horizon_s;
}

static void add_up(const struct field *f, const struct outage *o,
                   double after_sm3, struct arena *a, struct outage_plan *out)
{
    double horizon_s = (double)o->n_periods * o->period_s;
    for (size_t k = 0; k < o->n_periods; k++) {
        struct outage_period *p = &out->period[k];
        p->deferred_sm3s = out->undisturbed.oil_sm3s - p->oil_sm3s;
        out->oil_sm3 += p->oil_sm3s * o->period_s;
        out->money += p->money_s * o->period_s;
        out->bought_sm3 += p->balance.bought * o->period_s;
        out->sold_sm3 += p->balance.sales * o->period_s;
        out->flared_sm3 += p->balance.flare * o->period_s;
        bool flares = p->balance.flare > TOL_LIMIT_SM3S;
        out->flare_hours += flares ? o->period_s / 3600 : 0;
    }
    out->deferred_sm3 = out->potential_sm3 - out->oil_sm3 + after_sm3;
    out->money_lost = out->undisturbed.money_s * horizon_s - out->money;
    fill_losses(f, o, after_sm3, a, out);
}

/* Oil that wells not back at the end still lose. */
static double oil_after(const struct span *s, const struct outage_found *found,
                        struct arena *a)
{
    double sum_sm3 = 0;
    struct path_step *step = ARENA_NEW(a, s->n_periods, struct path_step);
    double unit_sm3 = s->today.units.oil_sm3s * s->outage->period_s;
    for (size_t i = 0; i < s->n_wells; i++) {
        for (size_t k = 0; k < s->n_periods; k++)
            step[k] = found->stand[i][k].step;
        double charge = path_end_charge(&s->well[i], step, s->n_periods);
        if (charge > 0)
            sum_sm3 += charge / s->today.goal[USE_OIL] * unit_sm3;
    }
    return sum_sm3;
}

void outage_account(const struct span *s, const struct outage_found *found,
                    struct arena *a, struct outage_plan *out)
{
    const struct field *f = s->today.field;
    open_plan(s->outage, s->n_wells, a, out);
    for (size_t i = 0; i < s->n_wells; i++)
        fill_well(s, found, i, out);
    for (size_t k = 0; k < s->n_periods; k++) {
        add_up_wells(out, k);
        fill_station(s, found, k, a, out);
        fill_limits(s, found, k, a, out);
    }
    add_up(f, s->outage, oil_after(s, found, a), a, out);
}

void outage_account_today(const struct field *f, const struct outage *o,
                          struct arena *a, struct outage_plan *out)
{
    const struct plan *today = &out->undisturbed;
    open_plan(o, f->n_wells, a, out);
    for (size_t k = 0; k < o->n_periods; k++) {
        for (size_t i = 0; i < f->n_wells; i++) {
            const struct plan_well *w = &today->well[i];
            bool flows = w->gas_sm3s > 0 || w->oil_sm3s > 0;
            out->well[k * f->n_wells + i] =
                (struct outage_well){flows ? PHASE_FLOWS : PHASE_STOPPED,
                                     w->gas_sm3s,
                                     w->oil_sm3s,
                                     w->water_sm3s,
                                     w->formation_sm3s,
                                     w->moved && k == 0};
        }
        add_up_wells(out, k);
        struct outage_period *p = &out->period[k];
        p->balance = today->balance;
        p->n_units = today->n_units;
        p->unit = today->unit;
        p->n_limits = today->n_limits;
        p->limit = today->limit;
        p->stored_sm3 = o->store_sm3;
        p->money_s = money_of(f, p, o->period_s);
    }
    add_up(f, o, 0, a, out);
}
