#include "well/unload.h"

#include <math.h>

#include "base/units.h"
#include "num/root.h"
#include "num/tol.h"
#include "room.h"
#include "well/gas_path.h"

/* Pressuring the annulus: 50 psi each 9 min to 400 psi, then 100 psi each
 * 9 min (8 to 10 min are common practice, no source). */
#define STEP_S 540.0
#define SLOW_TO_PA (400 * UNIT_PSI_PA)
#define SLOW_PA (50 * UNIT_PSI_PA)
#define FAST_PA (100 * UNIT_PSI_PA)

/* Pieces of the way from one valve to the next, for inflow. */
#define PIECES 4
/* Points of a profile; more than a march makes. */
#define PROFILE_MOST 1000

/* Part of the liquid's limit below which the level is said to stand, and of
 * what the reservoir can give below which it is said to give nothing. */
#define LIQUID_LEAST 0.02
/* Steps down in search of gas or liquid that the tubing lifts. */
#define STEP_DOWN 0.7
#define STEPS_DOWN 20

/* Looks at what the line leaves at the rate of the look before. */
#define LINE_LOOKS 8

#define RHO_LEAST 960.0
#define RHO_MOST 1200.0

struct job {
    const struct well *well;
    const struct unload_spec *spec;
    struct well killed; /* the same with kill liquid in it */
    double gap_m3;      /* empty top of the tubing, still to be filled */
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

/* --- the tubing above a valve that passes gas ----------------------------- */

struct lift {
    struct job *job;
    size_t valve;
    double level_md;               /* of the annulus */
    double p_head_pa, p_casing_pa; /* held: at the casing head, at the valve */
    double round_m3s;              /* liquid from the annulus */
    double liquid_m3s;             /* up the tubing: that and inflow */
    double p_tubing_pa, rate_sm3s; /* at the valve, through it */
    double p_bottom_pa, inflow_m3s;
    bool is_clean; /* inflow reaches the valve as reservoir fluid */
};

/* What the valve passes less what the tubing was given. */
static double rate_over(double gas, void *context)
{
    struct lift *l = context;
    const struct well *w = l->job->well;
    const struct valve *v = &w->valve[l->valve];
    struct traverse t;
    struct err too_much;

    l->rate_sm3s = 0;
    /* What the tubing cannot carry at any pressure lets no gas in. */
    if (traverse_solve(&l->job->killed, l->liquid_m3s, gas, &t, NULL,
                       &too_much) != ST_OK)
        return -gas;
    l->p_tubing_pa = t.p_inject_pa;
    l->p_bottom_pa = t.p_bottom_pa;
    if (!l->is_clean)
        l->p_bottom_pa =
            t.p_inject_pa + weight_pa(l->job, v->md_m, well_bottom_m(w));
    l->rate_sm3s =
        valve_rate_sm3s(v, &w->fluid.lift_gas, true, l->p_casing_pa,
                        t.p_inject_pa, gas_path_temperature_k(w, v->md_m));
    return l->rate_sm3s - gas;
}

/* The gas that valve and tubing agree on; 0: it passes none, and liquid stands
 * in the tubing. */
static void agree(struct lift *l)
{
    struct job *j = l->job;
    const struct well *w = j->well;
    const struct valve *v = &w->valve[l->valve];
    struct root r = {0};
    double most =
        orifice_rate_sm3s(&v->port, &w->fluid.lift_gas, l->p_casing_pa, 0,
                          gas_path_temperature_k(w, v->md_m));

    j->killed.md_inject_m = v->md_m;
    /* Little gas leaves the tubing too heavy: from the most it could pass. */
    struct root_end high = {most, rate_over(most, l)}, low = high;
    for (int i = 0; i < STEPS_DOWN && low.f < 0; i++) {
        high = low;
        low.x *= STEP_DOWN;
        low.f = rate_over(low.x, l);
    }
    if (low.f >= 0 && high.f < 0) {
        j->status = root_find(rate_over, l, low, high, TOL_UNLOAD_REL * most,
                              &r, j->err);
        if (j->status == ST_OK)
            rate_over(r.x, l);
    }
    if (low.f >= 0 && l->rate_sm3s > 0)
        return;
    l->rate_sm3s = 0;
    l->p_tubing_pa = w->p_head_pa + weight_pa(j, 0, v->md_m);
    l->p_bottom_pa = w->p_head_pa + weight_pa(j, 0, well_bottom_m(w));
}

/* --- stages --------------------------------------------------------------- */

/* At the casing head while the well takes so much gas. */
static double most_pa(const struct job *j, double gas_sm3s)
{
    const struct gas_path *g = &j->well->gas_path;

    return j->spec->p_kickoff_pa > 0
               ? fmin(j->spec->p_kickoff_pa, g->p_casing_max_pa)
               : gas_path_available_pa(g, gas_sm3s);
}

/* Most of it that keeps the valves above k closed. */
static double held_pa(struct job *j, size_t k, double gas_sm3s)
{
    double p = most_pa(j, gas_sm3s);

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
    double gauge = fmax(0, p_pa - UNIT_ATM_PA);
    double slow = fmin(gauge, SLOW_TO_PA), fast = gauge - slow;

    return STEP_S * (slow / SLOW_PA + fast / FAST_PA);
}

static size_t next_valve(const struct well *w, size_t from)
{
    while (from < w->operating && w->valve[from].kind == VALVE_DUMMY)
        from++;
    return from;
}

/* Gas takes the place of so much liquid, which first fills an empty top of the
 * tubing. */
static void displace(struct job *j, double m3)
{
    double fills = fmin(j->gap_m3, m3);

    j->gap_m3 -= fills;
    j->out->displaced_m3 += m3;
    j->out->filled_m3 += fills;
    j->out->liquid_out_m3 += m3 - fills;
}

static void pass_time(struct lift *l, double duration_s)
{
    struct unload *u = l->job->out;
    double inflow_m3 = l->inflow_m3s * duration_s;

    u->time_s += duration_s;
    u->inflow_m3 += inflow_m3;
    u->liquid_out_m3 += inflow_m3;
    u->produced_sm3 += l->rate_sm3s * duration_s;
}

static void enter(const struct lift *l)
{
    struct unload *u = l->job->out;

    u->stage[u->n++] =
        (struct unload_stage){.valve = l->valve,
                              .time_s = u->time_s,
                              .p_casing_pa = l->p_head_pa,
                              .p_tubing_pa = l->p_tubing_pa,
                              .rate_sm3s = l->rate_sm3s,
                              .gas_sm3 = u->annulus_sm3 + u->produced_sm3,
                              .liquid_out_m3 = u->liquid_out_m3,
                              .inflow_m3 = u->inflow_m3};
}

/* Casing-head pressure that holds the annulus level at a depth: that of the
 * tubing there, straight between valve and bottom. */
static double needed_pa(const struct lift *l, double level_md)
{
    const struct well *w = l->job->well;
    double top = well_tvd_m(w, w->valve[l->valve].md_m);
    double way = well_tvd_m(w, well_bottom_m(w)) - top;
    double part = way > 0 ? (well_tvd_m(w, level_md) - top) / way : 0;

    return column_pa(l->job, level_md, 0,
                     l->p_tubing_pa + part * (l->p_bottom_pa - l->p_tubing_pa));
}

/* Part of what goes up the tubing that is oil. */
static double oil_share(const struct lift *l)
{
    return l->is_clean ? (1 - l->job->well->water_cut) *
                             (1 - l->round_m3s / l->liquid_m3s)
                       : 0;
}

/* What goes up the tubing less what comes from annulus and reservoir. */
static double liquid_over(double liquid, void *context)
{
    struct lift *l = context;
    struct job *j = l->job;

    l->liquid_m3s = liquid;
    j->killed.water_cut = 1 - oil_share(l);
    agree(l);
    if (j->status != ST_OK)
        return (double)NAN;
    l->inflow_m3s = inflow_rate_sm3s(&j->well->inflow, l->p_bottom_pa);
    return liquid - l->round_m3s - l->inflow_m3s;
}

/* So much liquid goes round, and what the reservoir then gives with it. */
static void set_round(struct lift *l, double round)
{
    struct job *j = l->job;
    double tol = TOL_UNLOAD_REL * j->spec->liquid_m3s;
    struct root r = {0};

    l->round_m3s = round;
    struct root_end low = {round, liquid_over(round, l)}, high = low;
    if (j->status != ST_OK || low.f >= 0)
        return;
    high.x = round + l->inflow_m3s;
    high.f = liquid_over(high.x, l);
    if (j->status != ST_OK || high.f <= 0)
        return;
    j->status = root_find(liquid_over, l, low, high, tol, &r, j->err);
    if (j->status != ST_OK)
        return;
    liquid_over(fmax(low.x, r.x - tol), l);
    /* Where gas stops for more liquid, what the tubing lifts is less than the
     * reservoir would give. */
    l->inflow_m3s = fmin(l->inflow_m3s, l->liquid_m3s - round);
}

struct spare {
    struct lift *lift;
    double level_md;
};

/* Held pressure that is not needed to have the level at the depth; none when
 * no gas passes. */
static double spare_pa(const struct spare *s)
{
    const struct lift *l = s->lift;

    return l->rate_sm3s > 0 ? l->p_head_pa - needed_pa(l, s->level_md)
                            : -l->p_head_pa;
}

static double spare_at(double round_m3s, void *context)
{
    const struct spare *s = context;

    set_round(s->lift, round_m3s);
    return s->lift->job->status == ST_OK ? spare_pa(s) : (double)NAN;
}

/* Less liquid leaves the tubing lighter: as much, up to what goes round now,
 * as the held pressure moves with the level at a depth. False: not even
 * little. */
static bool choose_liquid(struct lift *l, double level_md)
{
    struct job *j = l->job;
    struct spare s = {l, level_md};
    double least = LIQUID_LEAST * j->spec->liquid_m3s;
    struct root_end high = {l->round_m3s, spare_pa(&s)}, low = {least, 0};
    struct root r = {0};

    if (j->status != ST_OK || high.f >= 0)
        return j->status == ST_OK;
    low.f = spare_at(least, &s);
    if (j->status != ST_OK || low.f < 0 || high.x <= least)
        return false;
    j->status = root_find(spare_at, &s, low, high, TOL_UNLOAD_ROUND * high.x,
                          &r, j->err);
    /* On the side where the pressure is enough. */
    if (j->status == ST_OK)
        spare_at(fmax(least, r.x - TOL_UNLOAD_ROUND * high.x), &s);
    return j->status == ST_OK;
}

/* Casing pressure at the valve, with what the line leaves, and liquid. False:
 * none goes round with the level at a depth. */
static bool hold(struct lift *l, double level_md)
{
    struct job *j = l->job;
    double md = j->well->valve[l->valve].md_m, gas = 0;

    for (int i = 0; i < LINE_LOOKS; i++) {
        double p_head = held_pa(j, l->valve, gas);

        if (i > 0 && p_head >= l->p_head_pa)
            return true;
        l->p_head_pa = p_head;
        l->p_casing_pa = column_pa(j, 0, md, p_head);
        if (j->status == ST_OK)
            set_round(l, j->spec->liquid_m3s);
        if (!choose_liquid(l, level_md))
            return false;
        gas = l->rate_sm3s;
    }
    return true;
}

/* Inflow that is to come before the tubing below the valve holds no more kill
 * liquid. */
static double to_clean_m3(const struct lift *l)
{
    const struct well *w = l->job->well;

    return room_tubing_m3(w, w->valve[l->valve].md_m, well_bottom_m(w)) -
           l->job->out->inflow_m3;
}

/* Liquid goes round with the level at a depth. Where the tubing is too heavy,
 * the well flows at the valve until it is clean; reservoir fluid may then be
 * light enough. */
static bool advance(struct lift *l, double level_md)
{
    bool goes = choose_liquid(l, level_md);

    if (l->is_clean || l->job->status != ST_OK)
        return goes;
    if (!goes && l->rate_sm3s > 0 && l->inflow_m3s > 0)
        pass_time(l, fmax(0, to_clean_m3(l)) / l->inflow_m3s);
    l->is_clean = to_clean_m3(l) <= TOL_UNLOAD_REL * l->job->out->inflow_m3;
    return l->is_clean ? hold(l, level_md) : goes;
}

/* From the uncovered valve l to the next: false when it is not reached. With
 * gas in the annulus already, only the tubing in between is lifted, at the
 * allowed rate: nothing goes through the valves. */
static bool go_on(struct lift *l, size_t next)
{
    struct job *j = l->job;
    const struct well *w = j->well;
    bool is_full = j->spec->annulus_is_full;
    double md = w->valve[l->valve].md_m, md_to = w->valve[next].md_m;

    for (int i = 1; i <= PIECES; i++) {
        double md_piece = md + i * (md_to - md) / PIECES;
        double from = l->level_md, to = fmax(from, md_piece);
        double room = is_full ? room_tubing_m3(w, from, to)
                              : room_annulus_m3(w, from, to);

        if (!advance(l, md_piece)) {
            j->out->p_next_pa = needed_pa(l, md_to);
            return false;
        }
        pass_time(l, room / (is_full ? j->spec->liquid_m3s : l->round_m3s));
        if (!is_full)
            displace(j, room);
        l->level_md = to;
    }
    return j->status == ST_OK;
}

/* Pressure at a depth of a profile. */
static double profile_pa(const struct traverse_profile *p, double md)
{
    size_t i = 1;

    while (i + 1 < p->n && i + 1 < p->cap && p->point[i].md_m < md)
        i++;
    const struct traverse_point *a = &p->point[i - 1], *b = a + 1;
    return a->p_pa + (b->p_pa - a->p_pa) * (md - a->md_m) / (b->md_m - a->md_m);
}

/* What the stations above pass into that tubing. */
static double above_sm3s(struct lift *l, const struct traverse_profile *p)
{
    const struct well *w = l->job->well;
    double sum = 0;

    for (size_t i = 0; i < l->valve; i++) {
        const struct valve *v = &w->valve[i];

        sum += valve_rate_sm3s(v, &w->fluid.lift_gas, true,
                               column_pa(l->job, 0, v->md_m, l->p_head_pa),
                               profile_pa(p, v->md_m),
                               gas_path_temperature_k(w, v->md_m));
    }
    return sum;
}

/* The tubing at the end: gas in it and the room that takes. */
static void measure_tubing(struct lift *l, double *gas_m3)
{
    struct job *j = l->job;
    struct traverse_point point[PROFILE_MOST];
    struct traverse_profile profile = {.cap = PROFILE_MOST, .point = point};
    struct traverse t;

    *gas_m3 = 0;
    j->status = traverse_solve(&j->killed, l->liquid_m3s, l->rate_sm3s, &t,
                               &profile, j->err);
    if (j->status != ST_OK)
        return;
    room_tubing_gas(j->well, &profile, j->well->valve[l->valve].md_m,
                    &j->out->tubing_sm3, gas_m3);
    j->out->tubing_sm3 *=
        l->rate_sm3s /
        (l->rate_sm3s + oil_share(l) * l->liquid_m3s * j->well->gor_sm3sm3);
    j->out->above_sm3s = above_sm3s(l, &profile);
}

/* The liquid that the reservoir gives with gas at the valve: the greatest such
 * rate, from above. False: there is none. */
static bool choose_inflow(struct lift *l)
{
    struct job *j = l->job;
    double most = 0.95 * inflow_max_sm3s(&j->well->inflow);
    struct root r = {0};

    l->round_m3s = 0;
    struct root_end low = {most, liquid_over(most, l)}, high = low;
    while (j->status == ST_OK && low.f > 0 && low.x > LIQUID_LEAST * most) {
        high = low;
        low.x *= STEP_DOWN;
        low.f = liquid_over(low.x, l);
    }
    if (j->status == ST_OK && low.f <= 0 && high.f > 0)
        j->status = root_find(liquid_over, l, low, high, TOL_UNLOAD_REL * most,
                              &r, j->err);
    if (j->status == ST_OK && low.f <= 0 && high.f > 0)
        liquid_over(r.x, l);
    return j->status == ST_OK && low.f <= 0 && l->rate_sm3s > 0;
}

/* The kill liquid that is left in the tubing leaves as fast as the reservoir
 * follows. False: it does not. */
static bool clear_tubing(struct lift *l)
{
    struct job *j = l->job;
    struct unload *u = j->out;
    double gas_m3, all_m3 = room_tubing_m3(j->well, 0, well_bottom_m(j->well));

    if (!choose_inflow(l))
        return false;
    measure_tubing(l, &gas_m3);
    /* What went through the valves filled the tubing first. */
    double filled_sm3 = fmin(u->produced_sm3, u->tubing_sm3);
    u->produced_sm3 -= filled_sm3;
    u->time_s += (u->tubing_sm3 - filled_sm3) / l->rate_sm3s;
    displace(j, gas_m3);
    pass_time(l, (all_m3 - gas_m3) / l->liquid_m3s);
    return j->status == ST_OK;
}

/* Pressure at valve k in the tubing with no gas in it. */
static double standing_pa(const struct job *j, size_t k, double top_md)
{
    const struct well *w = j->well;
    double md = w->valve[k].md_m;

    /* A well that was not killed stands as high as the reservoir lifts. */
    if (j->spec->annulus_is_full)
        return fmin(w->p_head_pa + weight_pa(j, 0, md),
                    fmax(w->p_head_pa, w->inflow.p_res_pa -
                                           weight_pa(j, md, well_bottom_m(w))));
    return w->p_head_pa + weight_pa(j, fmin(top_md, md), md);
}

/* The valve that gas enters first: the uppermost, or with gas in the annulus
 * the deepest at which the casing pressure is above the tubing's. */
static size_t first_valve(struct job *j)
{
    const struct well *w = j->well;
    size_t first = next_valve(w, 0), k = w->operating;

    if (!j->spec->annulus_is_full)
        return first;
    while (k > first && (w->valve[k].kind == VALVE_DUMMY ||
                         column_pa(j, w->valve[k].md_m, 0,
                                   standing_pa(j, k, 0)) > held_pa(j, k, 0)))
        k--;
    return k;
}

/* The annulus is pressured until gas is at the first valve. False: it does not
 * get there. */
static bool uncover(const struct lift *l, size_t k)
{
    struct job *j = l->job;
    const struct well *w = j->well;
    struct unload *u = j->out;
    double md = w->valve[k].md_m;
    double room = room_annulus_m3(w, l->level_md, md);
    double top = room_risen_md(w, j->spec->level_m, room);

    u->p_first_pa = u->p_next_pa = column_pa(j, md, 0, standing_pa(j, k, top));
    if (j->status != ST_OK || u->p_first_pa > most_pa(j, 0))
        return false;
    if (!j->spec->annulus_is_full) {
        u->time_s =
            fmax(pressuring_s(u->p_first_pa), room / j->spec->liquid_m3s);
        displace(j, room);
    }
    return true;
}

static void fill_annulus(const struct lift *l)
{
    struct job *j = l->job;

    if (!j->spec->annulus_is_full && j->status == ST_OK)
        j->status = room_annulus_gas(j->well, l->p_head_pa, l->level_md,
                                     &j->out->annulus_sm3, j->err);
}

/* Gas takes over at valve k. False: it cannot. */
static bool take_over(struct lift *l, size_t k)
{
    struct job *j = l->job;
    double md = j->well->valve[k].md_m;

    l->valve = k;
    l->level_md = fmax(l->level_md, md);
    if (!hold(l, md)) {
        j->out->p_next_pa = needed_pa(l, md);
        return false;
    }
    fill_annulus(l);
    enter(l);
    return j->status == ST_OK;
}

static void unload(struct job *j)
{
    const struct well *w = j->well;
    struct unload *u = j->out;
    size_t k = first_valve(j);
    struct lift l = {.job = j};

    if (!j->spec->annulus_is_full) {
        l.level_md = j->spec->level_m;
        j->gap_m3 = room_tubing_m3(w, 0, l.level_md);
    }
    if (!uncover(&l, k))
        return;
    while (take_over(&l, k) && k < w->operating) {
        k = next_valve(w, k + 1);
        if (!go_on(&l, k))
            break;
    }
    u->reaches = u->n > 0 && u->stage[u->n - 1].valve == w->operating;
    if (u->reaches)
        u->comes_back = clear_tubing(&l);
    else
        fill_annulus(&l);
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
                    .out = out,
                    .err = err,
                    .status = ST_OK};

    *out = (struct unload){0};
    if (!(isfinite(most_pa(&j, 0)) && w->n_valves > 0))
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
    if (!(s->level_m >= 0 && s->level_m <= well_bottom_m(w)))
        return err_set(err, ST_RANGE,
                       "well %s: kill liquid from %g m down (0 to %g)", w->name,
                       s->level_m, well_bottom_m(w));
    j.killed.fluid.salinity = salinity_of(s->rho_kgm3);
    unload(&j);
    out->gas_sm3 = out->annulus_sm3 + out->tubing_sm3 + out->produced_sm3;
    if (!out->comes_back)
        out->time_s = (double)NAN;
    return j.status;
}
