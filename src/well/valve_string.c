/* One march down the tubing serves as long as the stations above the
 * operating one stay closed: its port's inverse then gives the casing
 * pressure. Where one of them opens, the casing-head pressure is the root of
 * (what the stations pass) - (the rate), with a march for each guess: casing
 * and tubing go down side by side, and each station takes its gas on the
 * way. */
#include "well/valve_string.h"

#include <math.h>

#include "num/root.h"
#include "num/tol.h"
#include "room.h"
#include "well/gas_path.h"

/* Inflow's slope is taken over this part of the reservoir pressure. */
#define SLOPE_STEP 1e-5

struct shot {
    const struct well *well;
    double liquid_sm3s, lift_sm3s;
    struct inlets inlets;
    struct string_state state;
    double p_head_pa; /* NaN: the stations above the operating one are closed */
    double surplus_sm3s; /* what the operating one passes more than there is */
    struct traverse out;
    struct march_count count; /* of all marches */
    struct err *err;
    enum status status;
};

static double rate_at_station(const struct well *w, size_t i,
                              const struct station_state *s)
{
    return valve_rate_sm3s(&w->valve[i], &w->fluid.lift_gas, i == w->operating,
                           s->p_casing_pa, s->p_tubing_pa, s->t_k);
}

/* The casing pressure at station i, from the station above or the head; 0 when
 * friction takes it all. */
static void go_down_casing(struct shot *s, size_t i, double gas_sm3s)
{
    const struct well *w = s->well;
    double md_from = i > 0 ? w->valve[i - 1].md_m : 0;
    double p_from = i > 0 ? s->state.station[i - 1].p_casing_pa : s->p_head_pa;
    double *p = &s->state.station[i].p_casing_pa;

    enum status st = ST_RANGE;

    if (p_from > 0)
        st = gas_path_pressure(w, md_from, w->valve[i].md_m, gas_sm3s, p_from,
                               p, &s->count, s->err);
    if (st != ST_OK)
        *p = 0;
    if (st != ST_OK && st != ST_RANGE)
        s->status = st;
}

static double enters(size_t i, double p_pa, double t_k, double gas_sm3s,
                     void *context)
{
    struct shot *s = context;
    const struct well *w = s->well;
    struct station_state *station = &s->state.station[i];
    bool is_last = i == w->operating;
    double passes = is_last ? gas_sm3s : 0;

    *station = (struct station_state){
        .p_tubing_pa = p_pa,
        .t_k = t_k,
        .opens_pa = valve_opens_pa(&w->valve[i], p_pa, t_k),
        .closes_pa = valve_closes_pa(&w->valve[i], p_pa, t_k)};
    if (!isnan(s->p_head_pa)) {
        go_down_casing(s, i, gas_sm3s);
        passes = rate_at_station(w, i, station);
        s->surplus_sm3s += passes;
    }
    s->state.n_passing += passes > 0;
    station->gas_sm3s = is_last ? gas_sm3s : fmin(passes, gas_sm3s);
    return station->gas_sm3s;
}

static void shoot(struct shot *s, double p_head_pa)
{
    s->p_head_pa = p_head_pa;
    s->surplus_sm3s = -s->lift_sm3s;
    s->state.n_passing = 0;
    s->status = traverse_inlets(s->well, s->liquid_sm3s, s->lift_sm3s,
                                &s->inlets, &s->out, NULL, s->err);
    march_count_add(&s->count, &s->out.count);
}

/* --- stations above the operating one closed ------------------------------ */

/* The casing pressure that the operating one needs at its depth. */
static double needed_pa(const struct shot *s)
{
    const struct well *w = s->well;
    const struct station_state *last = &s->state.station[w->operating];

    if (!(s->lift_sm3s > 0))
        return fmax(last->p_tubing_pa, last->closes_pa);
    return valve_casing_pa(&w->valve[w->operating], &w->fluid.lift_gas, true,
                           s->lift_sm3s, last->p_tubing_pa, last->t_k);
}

/* Up the casing to the head. */
static void go_up_casing(struct shot *s)
{
    const struct well *w = s->well;
    struct string_state *state = &s->state;

    state->to_open_pa = (double)INFINITY;
    for (size_t i = w->operating + 1; i > 0 && s->status == ST_OK; i--) {
        double md_to = i > 1 ? w->valve[i - 2].md_m : 0;
        double p = state->station[i - 1].p_casing_pa, up;

        s->status = gas_path_pressure(w, w->valve[i - 1].md_m, md_to,
                                      s->lift_sm3s, p, &up, &s->count, s->err);
        if (i == 1) {
            state->p_head_pa = up;
            break;
        }
        state->station[i - 2].p_casing_pa = up;
        state->to_open_pa =
            fmin(state->to_open_pa, state->station[i - 2].opens_pa - up);
    }
}

static void solve_single(struct shot *s)
{
    double p;

    shoot(s, (double)NAN);
    if (s->status != ST_OK)
        return;
    p = needed_pa(s);
    s->state.station[s->well->operating].p_casing_pa = p;
    s->state.p_head_pa = (double)INFINITY;
    s->state.to_open_pa = -(double)INFINITY;
    if (isfinite(p))
        go_up_casing(s);
}

/* --- gas at several stations --------------------------------------------- */

static double surplus(double p_head_pa, void *context)
{
    struct shot *s = context;

    shoot(s, p_head_pa);
    return s->status == ST_OK ? s->surplus_sm3s : (double)NAN;
}

/* What the surplus gains per casing pressure while the tubing stays as it
 * is. */
static double frozen_slope(const struct shot *s)
{
    const double step = 0.01 * VALVE_TRAVEL_PA;
    double sum = 0;

    for (size_t i = 0; i < s->state.n; i++) {
        struct station_state up = s->state.station[i], down = up;

        up.p_casing_pa += step;
        down.p_casing_pa -= step;
        sum += (rate_at_station(s->well, i, &up) -
                rate_at_station(s->well, i, &down)) /
               (2 * step);
    }
    return sum;
}

/* The guesses nearest to the answer on either side. */
struct sides {
    struct root_end below, above; /* x 0: none yet */
};

static void remember(struct sides *sides, double p, double f)
{
    if (f > 0 && (sides->above.x <= 0 || p < sides->above.x))
        sides->above = (struct root_end){p, f};
    if (f < 0 && p > sides->below.x)
        sides->below = (struct root_end){p, f};
}

/* Newton's first step, then secants. True: s stands at the answer. */
static bool approach(struct shot *s, double p, struct sides *sides)
{
    double p_last = 0, f_last = 0;

    for (int i = 0; i < STRING_TRIES; i++) {
        double f = surplus(p, s);

        if (s->status != ST_OK || fabs(f) <= TOL_STRING_REL * s->lift_sm3s)
            return s->status == ST_OK;
        remember(sides, p, f);
        double slope = i > 0 ? (f - f_last) / (p - p_last) : 0;
        if (!(slope > 0))
            slope = frozen_slope(s);
        double step = fmin(fmax(-f / slope, -STRING_STEP * p), STRING_STEP * p);
        p_last = p;
        f_last = f;
        p += step;
    }
    return false;
}

/* Step by step until both sides are known, and in between. */
static void close_in(struct shot *s, struct sides *sides)
{
    struct root r;

    while (s->status == ST_OK && !(sides->below.x > 0 && sides->above.x > 0)) {
        double p = sides->below.x > 0 ? sides->below.x * (1 + STRING_STEP)
                                      : sides->above.x * (1 - STRING_STEP);

        if (!(p > 0.1 * s->well->p_head_pa && p < 1e9))
            s->status = err_set(s->err, ST_NUMERIC,
                                "no casing pressure shares the gas");
        else
            remember(sides, p, surplus(p, s));
    }
    if (s->status == ST_OK)
        s->status = root_find(surplus, s, sides->below, sides->above,
                              TOL_STRING_REL * sides->above.x, &r, s->err);
    if (s->status == ST_OK)
        shoot(s, r.x);
}

/* Near what opens the first of the valves above the operating one. */
static double first_guess_pa(const struct shot *s)
{
    double least = s->state.p_head_pa;

    for (size_t i = 0; i < s->well->operating; i++) {
        const struct station_state *at = &s->state.station[i];
        double head = s->state.p_head_pa / at->p_casing_pa;

        least = fmin(least, head * (at->opens_pa + 0.5 * VALVE_TRAVEL_PA));
    }
    return least;
}

static void share(struct shot *s)
{
    struct sides sides = {0};

    if (!approach(s, first_guess_pa(s), &sides) && s->status == ST_OK)
        close_in(s, &sides);
    s->state.p_head_pa = s->p_head_pa;
}

/* --- steady or not ------------------------------------------------------- */

/* Liquid per pressure, at a flowing pressure. */
static double inflow_slope(const struct inflow *f, double p_pa)
{
    double step = SLOPE_STEP * f->p_res_pa;

    return (inflow_rate_sm3s(f, p_pa - step) -
            inflow_rate_sm3s(f, p_pa + step)) /
           (2 * step);
}

/* Of the station that passes most. The port is as large as the flow says: a
 * bellows valve may be half open. */
static void judge_steadiness(const struct shot *s, size_t i,
                             struct steadiness *out)
{
    const struct well *w = s->well;
    const struct station_state *at = &s->state.station[i];
    const struct gas *gas = &w->fluid.lift_gas;
    const struct orifice unit = {1, 1};
    struct stream stream = well_stream(w, s->liquid_sm3s, 0);
    struct mix mix;
    struct mix_state m;

    mix_init(&mix, &w->fluid, &stream);
    mix_at(&mix, at->p_tubing_pa, at->t_k, &m);
    double z = gas_z(gas, at->p_tubing_pa, at->t_k);
    double fvf = gas_volume_factor(at->p_tubing_pa, at->t_k, z);
    double q = m.q_liquid_m3s + m.q_gas_m3s;
    struct asheim a = {
        .rho_gas_std_kgm3 = gas->rho_std_kgm3,
        .gas_volume_factor = fvf,
        .gas_sm3s = at->gas_sm3s,
        .liquid_sm3s = s->liquid_sm3s,
        .j_sm3spa = inflow_slope(&w->inflow, s->out.p_bottom_pa),
        .port_m2 = at->gas_sm3s / orifice_rate_sm3s(&unit, gas, at->p_casing_pa,
                                                    at->p_tubing_pa, at->t_k),
        .tubing_m3 = room_tubing_m3(w, 0, w->valve[i].md_m),
        .casing_m3 = room_annulus_m3(w, 0, w->valve[i].md_m),
        .depth_m = well_tvd_m(w, w->valve[i].md_m),
        .p_tubing_pa = at->p_tubing_pa,
        .rho_liquid_kgm3 = (m.q_liquid_m3s * m.rho_liquid_kgm3 +
                            m.q_gas_m3s * m.rho_gas_kgm3) /
                           q,
        .rho_gas_kgm3 = gas_density_kgm3(gas, at->p_tubing_pa, at->t_k, z),
        .q_liquid_m3s = q,
        .q_gas_m3s = at->gas_sm3s * fvf,
    };
    stability_asheim(&a, out);
    out->critical =
        at->p_tubing_pa <= orifice_critical_ratio() * at->p_casing_pa;
}

static void finish(struct shot *s)
{
    struct string_state *state = &s->state;
    size_t most = 0;

    for (size_t i = 1; i < state->n; i++)
        if (state->station[i].gas_sm3s > state->station[most].gas_sm3s)
            most = i;
    if (state->station[most].gas_sm3s > 0 &&
        state->station[most].p_casing_pa > state->station[most].p_tubing_pa)
        judge_steadiness(s, most, &state->steady);
}

static enum status answer(struct shot *s, struct traverse *out,
                          struct string_state *state)
{
    if (s->status == ST_OK)
        finish(s);
    s->out.count = s->count;
    *out = s->out;
    *state = s->state;
    return s->status;
}

/* Gas enters at one depth, through no port. */
static enum status open_end(const struct well *w, double liquid_sm3s,
                            double lift_sm3s, struct traverse *out,
                            struct string_state *state, struct err *err)
{
    enum status st = traverse_solve(w, liquid_sm3s, lift_sm3s, out, NULL, err);

    *state = (struct string_state){.p_head_pa = (double)NAN,
                                   .to_open_pa = (double)INFINITY};
    if (st != ST_OK || w->gas_path.n_sections == 0)
        return st;
    state->n = 1;
    state->n_passing = lift_sm3s > 0;
    state->station[0] =
        (struct station_state){.p_tubing_pa = out->p_inject_pa,
                               .p_casing_pa = out->p_inject_pa,
                               .t_k = gas_path_temperature_k(w, w->md_inject_m),
                               .gas_sm3s = lift_sm3s};
    return gas_path_pressure(w, w->md_inject_m, 0, lift_sm3s, out->p_inject_pa,
                             &state->p_head_pa, &out->count, err);
}

enum status string_single(const struct well *w, double liquid_sm3s,
                          double lift_sm3s, struct traverse *out,
                          struct string_state *state, struct err *err)
{
    if (w->n_valves == 0)
        return open_end(w, liquid_sm3s, lift_sm3s, out, state, err);
    struct shot s = {.well = w,
                     .liquid_sm3s = liquid_sm3s,
                     .lift_sm3s = lift_sm3s,
                     .inlets = {w->operating + 1, w->valve, enters, &s},
                     .state = {.n = w->operating + 1},
                     .err = err};

    solve_single(&s);
    return answer(&s, out, state);
}

enum status string_outflow(const struct well *w, double liquid_sm3s,
                           double lift_sm3s, struct traverse *out,
                           struct string_state *state, struct err *err)
{
    struct shot s = {.well = w,
                     .liquid_sm3s = liquid_sm3s,
                     .lift_sm3s = lift_sm3s,
                     .inlets = {w->operating + 1, w->valve, enters, &s},
                     .state = {.n = w->operating + 1},
                     .err = err};

    if (w->n_valves == 0)
        return open_end(w, liquid_sm3s, lift_sm3s, out, state, err);
    solve_single(&s);
    if (s.status == ST_OK && lift_sm3s > 0 && isfinite(s.state.p_head_pa) &&
        s.state.to_open_pa < 0)
        share(&s);
    return answer(&s, out, state);
}

enum status string_rates(const struct well *w, const struct string_state *state,
                         double p_head_pa, double *rate_sm3s, struct err *err)
{
    double p = p_head_pa, md = 0;
    enum status st = ST_OK;

    for (size_t i = 0; i < state->n && w->n_valves > 0 && st == ST_OK; i++) {
        struct station_state at = state->station[i];

        st = gas_path_pressure(w, md, w->valve[i].md_m, 0, p, &p, NULL, err);
        md = w->valve[i].md_m;
        at.p_casing_pa = p;
        rate_sm3s[i] = st == ST_OK ? rate_at_station(w, i, &at) : 0;
    }
    return st;
}

enum status string_most_sm3s(const struct well *w, double *most_sm3s,
                             struct err *err)
{
    double p = gas_path_available_pa(&w->gas_path, 0), md = 0, sum = 0;
    enum status st = ST_OK;

    *most_sm3s = (double)INFINITY;
    if (w->n_valves == 0 || !isfinite(p))
        return ST_OK;
    for (size_t i = 0; i <= w->operating && st == ST_OK; i++) {
        st = gas_path_pressure(w, md, w->valve[i].md_m, 0, p, &p, NULL, err);
        md = w->valve[i].md_m;
        if (st == ST_OK)
            sum += orifice_rate_sm3s(&w->valve[i].port, &w->fluid.lift_gas, p,
                                     0, gas_path_temperature_k(w, md));
    }
    *most_sm3s = sum;
    return st;
}
