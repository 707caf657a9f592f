#include "well/unload.h"

#include <math.h>

#include "base/units.h"
#include "num/root.h"
#include "num/tol.h"
#include "well/gas_path.h"

/* Pressuring the annulus: 50 psi each 9 min to 400 psi, then 100 psi each
 * 9 min (8 to 10 min are common practice, no source). */
#define STEP_S 540.0
#define SLOW_TO_PA (400 * UNIT_PSI_PA)
#define SLOW_PA (50 * UNIT_PSI_PA)
#define FAST_PA (100 * UNIT_PSI_PA)

/* Pieces of the way from one valve to the next, for inflow. */
#define PIECES 8
/* Points of a profile; more than a march makes. */
#define PROFILE_MOST 1000
/* Pieces of a column, for the gas in it. */
#define COLUMN_PIECES 24

/* Liquid rates tried, each 0.7 of the one before: at 2 % of the limit the level
 * is said to stand. */
#define LIQUID_TRIES 12

#define RHO_LEAST 960.0
#define RHO_MOST 1200.0

struct job {
    const struct well *well;
    const struct unload_spec *spec;
    struct well killed; /* the same with kill liquid in it */
    double p_most_pa;   /* at the casing head */
    struct unload *out;
    struct err *err;
    enum status status;
};

static double weight_pa(const struct job *j, double md_from, double md_to)
{
    return j->spec->rho_kgm3 * UNIT_GRAVITY_MS2 *
           (well_tvd_m(j->well, md_to) - well_tvd_m(j->well, md_from));
}

/* Pressure at another depth of the gas at rest in the casing. */
static double column_pa(struct job *j, double md_from, double md_to, double p)
{
    double at = p;

    if (j->status == ST_OK)
        j->status =
            gas_path_pressure(j->well, md_from, md_to, 0, p, &at, NULL, j->err);
    return at;
}

/* --- volumes ---------------------------------------------------------------
 */

static double area_m2(const struct well_section *s, size_t n, double md)
{
    size_t i = 0;

    while (i + 1 < n && s[i].to_md_m <= md)
        i++;
    return annulus_area_m2(s[i].d_m, s[i].core_m);
}

static double annulus_m3(const struct well *w, double md_from, double md_to)
{
    double step = (md_to - md_from) / COLUMN_PIECES, sum = 0;

    for (int i = 0; i < COLUMN_PIECES; i++)
        sum += step * area_m2(w->gas_path.section, w->gas_path.n_sections,
                              md_from + (i + 0.5) * step);
    return sum;
}

/* Standard volume of the gas in the annulus down to a level. */
static double annulus_sm3(struct job *j, double p_head, double level_md)
{
    const struct well *w = j->well;
    double step = level_md / COLUMN_PIECES, p = p_head, sum = 0;

    for (int i = 0; i < COLUMN_PIECES; i++) {
        double md = (i + 0.5) * step;
        double t = gas_path_temperature_k(w, md);

        p = column_pa(j, i > 0 ? md - step : 0, md, p);
        sum += step * area_m2(w->gas_path.section, w->gas_path.n_sections, md) /
               gas_volume_factor(p, t, gas_z(&w->fluid.lift_gas, p, t));
    }
    return sum;
}

/* Gas and room for it in the tubing above a valve, from a profile. */
static void tubing_gas(const struct job *j, const struct traverse_profile *p,
                       double md_to, double *gas_sm3, double *gas_m3)
{
    const struct well *w = j->well;

    *gas_sm3 = *gas_m3 = 0;
    for (size_t i = 1; i < p->n && i < p->cap; i++) {
        const struct traverse_point *a = &p->point[i - 1], *b = a + 1;
        double md = 0.5 * (a->md_m + b->md_m);
        double p_pa = 0.5 * (a->p_pa + b->p_pa), t = 0.5 * (a->t_k + b->t_k);
        double gas = (b->md_m - a->md_m) *
                     area_m2(w->section, w->n_sections, md) *
                     (1 - 0.5 * (a->holdup + b->holdup));

        if (md > md_to)
            break;
        *gas_m3 += gas;
        *gas_sm3 += gas / gas_volume_factor(p_pa, t,
                                            gas_z(&w->fluid.lift_gas, p_pa, t));
    }
}

/* --- the tubing above a valve that passes gas ------------------------------
 */

struct lift {
    struct job *job;
    size_t valve;
    double p_casing_pa; /* at the valve */
    double liquid_m3s;
    double p_tubing_pa, rate_sm3s;
};

/* What the valve passes less what the tubing was given. */
static double rate_over(double gas, void *context)
{
    struct lift *l = context;
    const struct well *w = l->job->well;
    const struct valve *v = &w->valve[l->valve];
    struct traverse t;

    l->job->status = traverse_solve(&l->job->killed, l->liquid_m3s, gas, &t,
                                    NULL, l->job->err);
    if (l->job->status != ST_OK)
        return (double)NAN;
    l->p_tubing_pa = t.p_inject_pa;
    l->rate_sm3s =
        valve_rate_sm3s(v, &w->fluid.lift_gas, true, l->p_casing_pa,
                        t.p_inject_pa, gas_path_temperature_k(w, v->md_m));
    return l->rate_sm3s - gas;
}

/* The gas that valve and tubing agree on; 0: it passes none. */
static void agree(struct lift *l)
{
    struct job *j = l->job;
    const struct valve *v = &j->well->valve[l->valve];
    struct root r = {0};
    double most =
        orifice_rate_sm3s(&v->port, &j->well->fluid.lift_gas, l->p_casing_pa, 0,
                          gas_path_temperature_k(j->well, v->md_m));

    j->killed.md_inject_m = v->md_m;
    /* Little gas leaves the tubing too heavy: from the most it could pass. */
    struct root_end high = {most, rate_over(most, l)}, low = high;
    for (int i = 0; i < 20 && low.f < 0 && j->status == ST_OK; i++) {
        high = low;
        low.x *= 0.7;
        low.f = rate_over(low.x, l);
    }
    if (j->status == ST_OK && low.f < 0) {
        l->rate_sm3s = 0;
        return;
    }
    if (j->status == ST_OK && high.f < 0)
        j->status = root_find(rate_over, l, low, high, 1e-6 * most, &r, j->err);
    if (j->status == ST_OK && high.f < 0)
        rate_over(r.x, l);
}

/* --- stages ----------------------------------------------------------------
 */

/* Most casing-head pressure that keeps the valves above k closed. */
static double held_pa(struct job *j, size_t k)
{
    double p = j->p_most_pa;

    for (size_t i = 0; i < k; i++) {
        const struct valve *v = &j->well->valve[i];
        double t = gas_path_temperature_k(j->well, v->md_m);

        if (v->kind == VALVE_INJECTION)
            p = fmin(p, column_pa(j, v->md_m, 0, valve_closes_pa(v, 0, t)));
    }
    return p;
}

static double pressuring_s(double p_pa)
{
    double slow = fmin(p_pa, SLOW_TO_PA), fast = p_pa - slow;

    return STEP_S * (slow / SLOW_PA + fast / FAST_PA);
}

static size_t next_valve(const struct well *w, size_t from)
{
    while (from < w->operating && w->valve[from].kind == VALVE_DUMMY)
        from++;
    return from;
}

static double bottom_pa(const struct lift *l)
{
    const struct well *w = l->job->well;

    return l->p_tubing_pa +
           weight_pa(l->job, w->valve[l->valve].md_m, well_bottom_m(w));
}

/* Liquid goes round for a while, and gas through valve l. */
static void go_round(struct lift *l, double displaced_m3, double duration_s)
{
    struct job *j = l->job;
    struct unload *u = j->out;
    double inflow =
        inflow_rate_sm3s(&j->well->inflow, bottom_pa(l)) * duration_s;

    u->time_s += duration_s;
    u->displaced_m3 += displaced_m3;
    u->inflow_m3 += inflow;
    u->liquid_out_m3 += displaced_m3 + inflow;
    u->produced_sm3 += l->rate_sm3s * duration_s;
}

static void enter(const struct lift *l, double p_head)
{
    struct unload *u = l->job->out;

    u->stage[u->n++] =
        (struct unload_stage){.valve = l->valve,
                              .time_s = u->time_s,
                              .p_casing_pa = p_head,
                              .p_tubing_pa = l->p_tubing_pa,
                              .rate_sm3s = l->rate_sm3s,
                              .gas_sm3 = u->annulus_sm3 + u->produced_sm3,
                              .liquid_out_m3 = u->liquid_out_m3,
                              .inflow_m3 = u->inflow_m3};
}

/* Casing-head pressure that holds the annulus level at a depth. */
static double needed_pa(const struct lift *l, double level_md)
{
    struct job *j = l->job;
    double md = j->well->valve[l->valve].md_m;

    return column_pa(j, level_md, 0,
                     l->p_tubing_pa + weight_pa(j, md, level_md));
}

/* As much liquid as the casing pressure sends round with the level at a depth,
 * up to the limit: less of it leaves the tubing lighter. False: not even
 * little. */
static bool choose_liquid(struct lift *l, double level_md)
{
    struct job *j = l->job;
    double most = held_pa(j, l->valve);

    for (int i = 0; i < LIQUID_TRIES; i++) {
        l->liquid_m3s = pow(0.7, i) * j->spec->liquid_m3s;
        agree(l);
        if (j->status != ST_OK)
            return false;
        j->out->p_next_pa = needed_pa(l, level_md);
        if (l->rate_sm3s > 0 && j->out->p_next_pa <= most)
            return true;
    }
    return false;
}

/* From the uncovered valve l to the next: false when it is not reached. With
 * gas in the annulus already, only the tubing in between is lifted. */
static bool go_on(struct lift *l, size_t next)
{
    struct job *j = l->job;
    const struct well *w = j->well;
    bool is_full = j->spec->annulus_is_full;
    double md_from = w->valve[l->valve].md_m, md_to = w->valve[next].md_m;
    double room =
        is_full ? area_m2(w->section, w->n_sections, md_to) * (md_to - md_from)
                : annulus_m3(w, md_from, md_to);

    for (int i = 1; i <= PIECES; i++) {
        if (!choose_liquid(l, md_from + i * (md_to - md_from) / PIECES))
            return false;
        go_round(l, is_full ? 0 : room / PIECES, room / PIECES / l->liquid_m3s);
    }
    return j->status == ST_OK;
}

/* Gas in the tubing at the end, and the room that it takes. */
static void measure_tubing(struct lift *l, double *gas_m3)
{
    struct job *j = l->job;
    struct traverse_point point[PROFILE_MOST];
    struct traverse_profile profile = {.cap = PROFILE_MOST, .point = point};
    struct traverse t;

    *gas_m3 = 0;
    j->status = traverse_solve(&j->killed, l->liquid_m3s, l->rate_sm3s, &t,
                               &profile, j->err);
    if (j->status == ST_OK)
        tubing_gas(j, &profile, j->well->valve[l->valve].md_m,
                   &j->out->tubing_sm3, gas_m3);
}

/* The greatest liquid rate tried at which the reservoir gives that much. */
static bool choose_inflow(struct lift *l)
{
    struct job *j = l->job;
    const struct inflow *f = &j->well->inflow;
    double most = inflow_max_sm3s(f);

    for (int i = 0; i < LIQUID_TRIES; i++) {
        l->liquid_m3s = 0.95 * pow(0.7, i) * most;
        agree(l);
        if (j->status != ST_OK)
            return false;
        if (l->rate_sm3s > 0 &&
            inflow_rate_sm3s(f, bottom_pa(l)) >= l->liquid_m3s)
            return true;
    }
    return false;
}

/* The kill liquid that is left in the tubing leaves as fast as the reservoir
 * follows. False: it does not. */
static bool clear_tubing(struct lift *l)
{
    struct job *j = l->job;
    struct unload *u = j->out;
    double gas_m3, all = 0, step = well_bottom_m(j->well) / COLUMN_PIECES;

    for (int i = 0; i < COLUMN_PIECES; i++)
        all += step *
               area_m2(j->well->section, j->well->n_sections, (i + 0.5) * step);
    bool flows = choose_inflow(l);
    if (j->status != ST_OK)
        return false;
    measure_tubing(l, &gas_m3);
    u->displaced_m3 += gas_m3;
    u->liquid_out_m3 += gas_m3;
    u->produced_sm3 -= u->tubing_sm3;
    if (flows) {
        double left = all - gas_m3, time_s = left / l->liquid_m3s;

        u->time_s += time_s;
        u->inflow_m3 += left;
        u->liquid_out_m3 += left;
        u->produced_sm3 += l->rate_sm3s * time_s;
    }
    return flows && j->status == ST_OK;
}

static double tubing_m3(const struct well *w, double md_from, double md_to)
{
    double step = (md_to - md_from) / COLUMN_PIECES, sum = 0;

    for (int i = 0; i < COLUMN_PIECES; i++)
        sum += step *
               area_m2(w->section, w->n_sections, md_from + (i + 0.5) * step);
    return sum;
}

/* Depth of the liquid in the tubing when the annulus level has come down from
 * where it stood to a valve: what left the annulus is in the tubing, or out. */
static double tubing_level_m(const struct job *j, double md)
{
    const struct well *w = j->well;
    double level = fmin(j->spec->level_m, md);
    double room = tubing_m3(w, 0, level);

    return room > 0 ? level * fmax(0, 1 - annulus_m3(w, level, md) / room) : 0;
}

/* Pressure of the liquid that stands in the tubing at a valve. */
static double standing_pa(const struct job *j, size_t k)
{
    const struct well *w = j->well;
    double md = w->valve[k].md_m;

    if (!j->spec->annulus_is_full)
        return w->p_head_pa + weight_pa(j, tubing_level_m(j, md), md);
    /* A well that was not killed stands as high as the reservoir lifts. */
    double lifted = w->inflow.p_res_pa - weight_pa(j, md, well_bottom_m(w));
    return fmin(w->p_head_pa + weight_pa(j, 0, md), fmax(w->p_head_pa, lifted));
}

/* The valve that gas enters first: the uppermost, or with gas in the annulus
 * the deepest at which the casing pressure is above the tubing's. */
static size_t first_valve(struct job *j)
{
    const struct well *w = j->well;
    size_t first = next_valve(w, 0), k = w->operating;

    while (
        j->spec->annulus_is_full && k > first &&
        (w->valve[k].kind == VALVE_DUMMY ||
         column_pa(j, w->valve[k].md_m, 0, standing_pa(j, k)) > held_pa(j, k)))
        k--;
    return j->spec->annulus_is_full ? k : first;
}

/* Gas takes over at valve k. False: it cannot. */
static bool take_over(struct lift *l, size_t k)
{
    struct job *j = l->job;
    double p_head = held_pa(j, k), md = j->well->valve[k].md_m;

    l->valve = k;
    l->p_casing_pa = column_pa(j, 0, md, p_head);
    if (j->status != ST_OK || !choose_liquid(l, md))
        return false;
    if (!j->spec->annulus_is_full)
        j->out->annulus_sm3 = annulus_sm3(j, p_head, md);
    enter(l, p_head);
    return j->status == ST_OK;
}

static void unload(struct job *j)
{
    const struct well *w = j->well;
    struct unload *u = j->out;
    size_t k = first_valve(j);
    struct lift l = {.job = j};
    double md = w->valve[k].md_m;

    u->p_first_pa = u->p_next_pa = column_pa(j, md, 0, standing_pa(j, k));
    if (j->status != ST_OK || u->p_first_pa > j->p_most_pa)
        return;
    if (!j->spec->annulus_is_full) {
        double level = fmin(j->spec->level_m, md);
        double room = annulus_m3(w, level, md);

        u->time_s =
            fmax(pressuring_s(u->p_first_pa), room / j->spec->liquid_m3s);
        u->displaced_m3 = room;
        u->filled_m3 = tubing_m3(w, tubing_level_m(j, md), level);
        u->liquid_out_m3 = room - u->filled_m3;
    }
    while (take_over(&l, k) && k < w->operating) {
        k = next_valve(w, k + 1);
        if (!go_on(&l, k))
            return;
    }
    u->reaches = u->n > 0 && u->stage[u->n - 1].valve == w->operating;
    if (u->reaches)
        u->comes_back = clear_tubing(&l);
}

/* Salinity at which water has the density; McCain's fit is that of
 * fluid/water, in wt%. */
static double salinity_of(double rho_kgm3)
{
    double lb_ft3 = rho_kgm3 / UNIT_LBM_KG * UNIT_FT_M * UNIT_FT_M * UNIT_FT_M;
    double a = 1.60074e-3, b = 0.438603, c = 62.368 - lb_ft3;

    return fmax(0, 0.01 * (sqrt(fmax(0, b * b - 4 * a * c)) - b) / (2 * a));
}

enum status unload_solve(const struct well *w, const struct unload_spec *s,
                         struct unload *out, struct err *err)
{
    struct job j = {.well = w,
                    .spec = s,
                    .killed = *w,
                    .p_most_pa = s->p_kickoff_pa,
                    .out = out,
                    .err = err,
                    .status = ST_OK};

    *out = (struct unload){0};
    if (!(j.p_most_pa > 0))
        j.p_most_pa = gas_path_available_pa(&w->gas_path, 0);
    if (!(isfinite(j.p_most_pa) && w->n_valves > 0))
        return err_set(err, ST_RANGE,
                       "well %s: unloading needs valves and a header or "
                       "kick-off pressure",
                       w->name);
    if (!(s->rho_kgm3 >= RHO_LEAST && s->rho_kgm3 <= RHO_MOST &&
          s->liquid_m3s > 0))
        return err_set(err, ST_RANGE,
                       "well %s: a kill liquid of %g kg/m3 (%g to %g) at %g "
                       "m3/s",
                       w->name, s->rho_kgm3, RHO_LEAST, RHO_MOST,
                       s->liquid_m3s);
    j.killed.water_cut = 1;
    j.killed.gor_sm3sm3 = 0;
    j.killed.fluid.salinity = salinity_of(s->rho_kgm3);
    unload(&j);
    out->gas_sm3 = out->annulus_sm3 + out->tubing_sm3 + out->produced_sm3;
    if (!out->comes_back)
        out->time_s = (double)NAN;
    return j.status;
}
