#include "well/intermittent.h"

#include <math.h>

#include "base/units.h"
#include "num/march.h"
#include "num/root.h"
#include "num/tol.h"
#include "room.h"
#include "well/friction.h"
#include "well/gas_path.h"

#define PER_1000_FT(x) ((x) / (1000 * UNIT_FT_M))
#define MINUTE_S 60.0

struct intermittent intermittent_default(double draw_sm3s)
{
    return (struct intermittent){
        .draw_sm3s = draw_sm3s,
        .fallback_per_m = PER_1000_FT(0.06),
        .slug_ms = 1000 * UNIT_FT_M / MINUTE_S,
        .cycle_sm = PER_1000_FT(3 * MINUTE_S),
        .blowdown_sm = PER_1000_FT(1 * MINUTE_S),
        .load_max = 0.75,
    };
}

double intermittent_cycles_most(const struct intermittent *m, double way_m)
{
    return UNIT_DAY_S / (m->cycle_sm * way_m);
}

double intermittent_fallback(const struct intermittent *m, double way_m)
{
    return fmin(1, m->fallback_per_m * way_m);
}

/* --- the tubing above the valve ------------------------------------------ */

static double area_m2(const struct well_section *s)
{
    return annulus_area_m2(s->d_m, s->core_m);
}

/* The section that goes up from md_m, which is above 0. */
static size_t section_above(const struct well *w, double md_m)
{
    size_t i = 0;

    while (i + 1 < w->n_sections && w->section[i].to_md_m < md_m)
        i++;
    return i;
}

/* What of a section lies between two depths. */
static double part_m(const struct well *w, size_t i, double md_top_m,
                     double md_foot_m)
{
    double top = i > 0 ? w->section[i - 1].to_md_m : 0;

    return fmax(0,
                fmin(w->section[i].to_md_m, md_foot_m) - fmax(top, md_top_m));
}

/* How long a volume is that stands on the valve. */
static double length_m(const struct well *w, double volume)
{
    double sum = 0;

    for (size_t i = section_above(w, w->md_inject_m) + 1; i-- > 0;) {
        double area = area_m2(&w->section[i]);
        double part = part_m(w, i, 0, w->md_inject_m);

        if (volume <= area * part)
            return sum + volume / area;
        volume -= area * part;
        sum += part;
    }
    return sum;
}

/* The least depth whose true vertical depth is tvd_m. */
static double md_of_tvd(const struct well *w, double tvd_m)
{
    size_t i = 1;

    while (i < w->n_stations - 1 && w->station[i].tvd_m < tvd_m)
        i++;
    const struct well_station *a = &w->station[i - 1], *b = a + 1;
    double part = (tvd_m - a->tvd_m) / (b->tvd_m - a->tvd_m);
    return a->md_m + part * (b->md_m - a->md_m);
}

/* --- pressures ----------------------------------------------------------- */

static double weight_pa(const struct intermittent_well *x, double md_top_m,
                        double md_foot_m)
{
    return x->rho_liquid_kgm3 * UNIT_GRAVITY_MS2 *
           (well_tvd_m(x->well, md_foot_m) - well_tvd_m(x->well, md_top_m));
}

/* Of liquid that moves at slug_ms. */
static double friction_pa(const struct intermittent_well *x, double md_top_m,
                          double md_foot_m)
{
    const struct well *w = x->well;
    double flux = x->rho_liquid_kgm3 * x->how.slug_ms, sum = 0;

    for (size_t i = 0; i < w->n_sections; i++) {
        const struct well_section *s = &w->section[i];
        double d_m = annulus_hydraulic_m(s->d_m, s->core_m);
        double f =
            friction_moody(flux * d_m / x->mu_liquid_pas, s->roughness_m / d_m);

        sum += f * flux * x->how.slug_ms / (2 * d_m) *
               part_m(w, i, md_top_m, md_foot_m);
    }
    return sum;
}

/* In the tubing at the valve, under liquid up to md_top_m. */
static double valve_pa(const struct intermittent_well *x, double md_top_m)
{
    return x->p_empty_pa + weight_pa(x, md_top_m, x->well->md_inject_m);
}

static double bottom_pa(const struct intermittent_well *x, double md_top_m)
{
    return x->p_empty_pa + weight_pa(x, md_top_m, well_bottom_m(x->well));
}

/* --- what does not depend on the slug ------------------------------------ */

static enum status check(const struct well *w, const struct intermittent *m,
                         struct err *err)
{
    const struct {
        const char *name;
        double value, most;
        bool may_be_0;
    } asked[] = {
        {"gas while open", m->draw_sm3s, HUGE_VAL, false},
        {"open time", m->open_s, HUGE_VAL, true},
        {"casing pressure", m->p_casing_pa, HUGE_VAL, true},
        {"fallback per length", m->fallback_per_m, HUGE_VAL, true},
        {"slug velocity", m->slug_ms, HUGE_VAL, false},
        {"least cycle time per length", m->cycle_sm, HUGE_VAL, false},
        {"blow-down time per length", m->blowdown_sm, HUGE_VAL, true},
        {"tubing over casing pressure", m->load_max, 1, false},
        {"depth of the valve", w->md_inject_m, HUGE_VAL, false},
    };

    for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++) {
        double value = asked[i].value;

        if (!(value >= 0 && value < asked[i].most) ||
            (value == 0 && !asked[i].may_be_0))
            return err_set(err, ST_RANGE,
                           "well %s: intermittent lift with a %s of %g; it "
                           "must be %s 0 and below %g",
                           w->name, asked[i].name, value,
                           asked[i].may_be_0 ? "at least" : "above",
                           asked[i].most);
    }
    return ST_OK;
}

/* Liquid without gas, half-way between wellhead and reservoir. */
static void set_liquid(struct intermittent_well *x)
{
    const struct well *w = x->well;
    struct stream still = well_stream(w, 1, 0);
    struct mix mix;
    struct mix_state at;

    still.gas_sm3s = 0;
    mix_init(&mix, &w->fluid, &still);
    mix_at(&mix, 0.5 * (w->p_head_pa + w->inflow.p_res_pa), x->t_mean_k, &at);
    x->liquid_factor = at.q_liquid_m3s;
    x->rho_liquid_kgm3 = at.rho_liquid_kgm3;
    x->mu_liquid_pas = at.mu_liquid_pas;
}

/* Columns of lift gas at rest down to the valve: the empty tubing, and the
 * casing, which is as warm as the tubing where its path is not described. */
static enum status set_columns(struct intermittent_well *x, struct err *err)
{
    struct well tubing = *x->well, casing = *x->well;
    double md_m = x->well->md_inject_m;

    tubing.gas_path.n_sections = tubing.n_sections;
    tubing.gas_path.section = tubing.section;
    tubing.gas_path.t_head_k = tubing.thermal.t_head_k;
    if (casing.gas_path.n_sections == 0)
        casing = tubing;
    enum status st = gas_path_pressure(&tubing, 0, md_m, 0, x->well->p_head_pa,
                                       &x->p_empty_pa, NULL, err);
    if (st != ST_OK || x->p_casing_pa == 0)
        return st;
    return gas_path_pressure(&casing, 0, md_m, 0, x->p_casing_pa,
                             &x->p_casing_valve_pa, NULL, err);
}

static enum status set_casing(struct intermittent_well *x, struct err *err)
{
    const struct gas_path *g = &x->well->gas_path;

    x->p_casing_pa = x->how.p_casing_pa;
    if (x->p_casing_pa == 0 && g->n_sections > 0)
        x->p_casing_pa = gas_path_available_pa(g, x->how.draw_sm3s);
    if (!isfinite(x->p_casing_pa) ||
        (x->p_casing_pa == 0 && g->n_sections == 0))
        return err_set(err, ST_RANGE,
                       "well %s: intermittent lift without a casing pressure; "
                       "give it, or the header pressure and the gas path",
                       x->well->name);
    return set_columns(x, err);
}

static void set_rest(struct intermittent_well *x)
{
    const struct well *w = x->well;
    double head_m = (w->inflow.p_res_pa - bottom_pa(x, w->md_inject_m)) /
                    (x->rho_liquid_kgm3 * UNIT_GRAVITY_MS2);
    double tvd_top_m = well_tvd_m(w, w->md_inject_m) - head_m;

    if (head_m > 0)
        x->slug_rest_m =
            w->md_inject_m - (tvd_top_m > 0 ? md_of_tvd(w, tvd_top_m) : 0);
}

/* Pressure to spare at the valve for a slug, Pa. */
static double to_spare(double slug_m, void *context)
{
    const struct intermittent_well *x = context;
    double md_m = x->well->md_inject_m, p_pa = valve_pa(x, md_m - slug_m);

    return fmin(x->p_casing_valve_pa - p_pa -
                    friction_pa(x, md_m - slug_m, md_m),
                x->how.load_max * x->p_casing_valve_pa - p_pa);
}

static enum status set_most(struct intermittent_well *x, struct err *err)
{
    double built_m = x->slug_rest_m * (1 - TOL_SLUG_REST);
    struct root_end none = {0, to_spare(0, x)};
    struct root_end built = {built_m, to_spare(built_m, x)};
    struct root most;

    x->is_heavy = built.f < 0;
    x->slug_most_m = none.f > 0 ? built_m : 0;
    if (built.f >= 0 || none.f <= 0)
        return ST_OK;
    enum status st =
        root_find(to_spare, x, none, built, TOL_SLUG_REL * built_m, &most, err);
    x->slug_most_m = most.x;
    return st;
}

enum status intermittent_prepare(const struct well *w,
                                 const struct intermittent *m,
                                 struct intermittent_well *out, struct err *err)
{
    enum status st = check(w, m, err);
    struct intermittent_well x = {.well = w, .how = *m};

    if (st != ST_OK)
        return st;
    x.period_least_s = m->cycle_sm * w->md_inject_m;
    x.t_mean_k =
        thermal_ground_k(&w->thermal, 0.5 * well_tvd_m(w, w->md_inject_m));
    set_liquid(&x);
    st = set_casing(&x, err);
    if (st == ST_OK) {
        set_rest(&x);
        st = set_most(&x, err);
    }
    if (st == ST_OK)
        *out = x;
    return st;
}

/* --- build-up ------------------------------------------------------------ */

struct build_up {
    const struct intermittent_well *x;
    double area_m2;
};

/* Time per metre of depth, below 0: the liquid rises. */
static void build_up_at(double md_m, double time_s, int regime, void *context,
                        struct march_point *out)
{
    const struct build_up *b = context;
    double rate_sm3s =
        inflow_rate_sm3s(&b->x->well->inflow, bottom_pa(b->x, md_m));
    double rise_ms = rate_sm3s * b->x->liquid_factor / b->area_m2;

    (void)time_s;
    *out = (struct march_point){-1 / rise_ms, 1, regime};
}

/* Up from md_m: where the pipe or the inclination changes, or md_top_m. */
static double piece_top_m(const struct well *w, double md_m, double md_top_m)
{
    double top = md_top_m;

    for (size_t i = 0; i < w->n_stations; i++)
        if (w->station[i].md_m < md_m)
            top = fmax(top, w->station[i].md_m);
    for (size_t i = 0; i < w->n_sections; i++)
        if (w->section[i].to_md_m < md_m)
            top = fmax(top, w->section[i].to_md_m);
    return top;
}

/* Adds the time in which the level rises between two lengths above the valve
 * to *time_s, which is above 0: the march's tolerance is relative to it. */
static enum status add_build_up(const struct intermittent_well *x,
                                double from_m, double to_m, double *time_s,
                                struct err *err)
{
    const struct well *w = x->well;
    double md_m = w->md_inject_m - from_m, md_top_m = w->md_inject_m - to_m;
    struct build_up b = {.x = x};
    struct march_problem march = {build_up_at, NULL, &b, TOL_MARCH_REL, 0};
    struct march_count count = {0};
    enum status st = ST_OK;

    while (st == ST_OK && md_m > md_top_m) {
        double end_m = piece_top_m(w, md_m, md_top_m);

        b.area_m2 = area_m2(&w->section[section_above(w, md_m)]);
        st = march_run(&march, md_m, end_m, *time_s, time_s, NULL, &count, err);
        md_m = end_m;
    }
    return st;
}

/* --- a cycle ------------------------------------------------------------- */

/* The gas behind the slug when its top is at the surface. A slug that all but
 * fills the tubing needs more: what is behind its tail in the end. */
static double gas_needed_sm3(const struct intermittent_well *x, double slug_m)
{
    const struct well *w = x->well;
    const struct gas *gas = &w->fluid.lift_gas;
    double md_m = w->md_inject_m, top_m = md_m - slug_m, t_k = x->t_mean_k;
    double p_start_pa = valve_pa(x, top_m) + friction_pa(x, top_m, md_m);
    double p_end_pa =
        w->p_head_pa + weight_pa(x, 0, slug_m) + friction_pa(x, 0, slug_m);
    double p_pa = 0.5 * (p_start_pa + p_end_pa);
    double p_tail_pa = 0.5 * (x->p_empty_pa + w->p_head_pa);

    return fmax(
        room_tubing_m3(w, 0, top_m) /
            gas_volume_factor(p_pa, t_k, gas_z(gas, p_pa, t_k)),
        room_tubing_m3(w, 0, md_m) /
            gas_volume_factor(p_tail_pa, t_k, gas_z(gas, p_tail_pa, t_k)));
}

/* Gas, open time and what it lifts of the slug. */
static void set_lift(const struct intermittent_well *x,
                     struct intermittent_cycle *c)
{
    const struct intermittent *m = &x->how;
    double way_m = x->well->md_inject_m;

    c->gas_needed_sm3 = gas_needed_sm3(x, c->slug_m);
    c->open_s = m->open_s > 0 ? m->open_s : c->gas_needed_sm3 / m->draw_sm3s;
    c->gas_sm3 = c->open_s * m->draw_sm3s;
    c->idle_s = fmax(way_m / m->slug_ms, c->open_s) + m->blowdown_sm * way_m;
    double enough = m->open_s > 0 ? fmin(1, c->gas_sm3 / c->gas_needed_sm3) : 1;
    c->produced_sm3 =
        c->slug_sm3 * enough * (1 - intermittent_fallback(m, way_m));
    c->left_sm3 = c->slug_sm3 - c->produced_sm3;
}

static void set_means(const struct intermittent_well *x, double period_s,
                      struct intermittent_cycle *c)
{
    c->period_s = period_s;
    c->liquid_sm3s = c->produced_sm3 / period_s;
    c->gas_sm3s = c->gas_sm3 / period_s;
    c->p_bottom_mean_pa = inflow_pressure_pa(&x->well->inflow, c->liquid_sm3s);
}

enum status intermittent_of_slug(const struct intermittent_well *x,
                                 double slug_m, struct intermittent_cycle *out,
                                 struct err *err)
{
    const struct well *w = x->well;
    double top_m = w->md_inject_m - slug_m;
    struct intermittent_cycle c = {.slug_m = slug_m,
                                   .p_valve_pa = valve_pa(x, top_m),
                                   .p_bottom_end_pa = bottom_pa(x, top_m),
                                   .draw_sm3s = x->how.draw_sm3s};

    if (!(slug_m >= 0 && slug_m <= x->slug_most_m))
        return err_set(err, ST_RANGE,
                       "well %s: a slug of %g m; it can be 0 to %g m", w->name,
                       slug_m, x->slug_most_m);
    c.slug_sm3 = room_tubing_m3(w, top_m, w->md_inject_m) / x->liquid_factor;
    set_lift(x, &c);
    double left_m = length_m(w, c.left_sm3 * x->liquid_factor);
    double period_s = c.idle_s;
    c.p_bottom_start_pa = bottom_pa(x, w->md_inject_m - left_m);
    enum status st = add_build_up(x, left_m, slug_m, &period_s, err);
    set_means(x, period_s, &c);
    if (st == ST_OK)
        *out = c;
    return st;
}

/* --- the cycle of a period ----------------------------------------------- */

struct period_asked {
    const struct intermittent_well *x;
    double period_s;
    struct intermittent_cycle cycle;
    enum status status;
    struct err *err;
};

static double period_missed(double slug_m, void *context)
{
    struct period_asked *a = context;

    a->status = intermittent_of_slug(a->x, slug_m, &a->cycle, a->err);
    return a->status == ST_OK ? a->cycle.period_s - a->period_s : (double)NAN;
}

static struct intermittent_cycle no_cycle(enum intermittent_outcome why,
                                          double period_s)
{
    return (struct intermittent_cycle){.outcome = why, .period_s = period_s};
}

static enum status between(struct period_asked *a, double missed_none,
                           double missed_most, struct err *err)
{
    struct root r;
    struct root_end none = {0, missed_none};
    struct root_end most = {a->x->slug_most_m, missed_most};
    enum status st = root_find(period_missed, a, none, most,
                               TOL_SLUG_REL * a->x->slug_most_m, &r, err);

    return st != ST_OK ? st : intermittent_of_slug(a->x, r.x, &a->cycle, err);
}

enum status intermittent_of_period(const struct intermittent_well *x,
                                   double period_s,
                                   struct intermittent_cycle *out,
                                   struct err *err)
{
    struct period_asked a = {.x = x, .period_s = period_s, .err = err};
    bool falls_back = intermittent_fallback(&x->how, x->well->md_inject_m) >= 1;

    if (!(period_s > 0 && isfinite(period_s)))
        return err_set(err, ST_RANGE,
                       "well %s: a cycle of %g s; it must be above 0",
                       x->well->name, period_s);
    *out = no_cycle(x->slug_rest_m <= 0   ? INTERMITTENT_NO_SLUG
                    : x->slug_most_m <= 0 ? INTERMITTENT_TOO_HEAVY
                                          : INTERMITTENT_FALLS_BACK,
                    period_s);
    if (x->slug_most_m <= 0 || falls_back)
        return ST_OK;

    double missed_none = period_missed(0, &a);
    if (a.status != ST_OK)
        return a.status;
    *out = no_cycle(INTERMITTENT_NO_SLUG, period_s);
    if (missed_none >= 0)
        return ST_OK;
    double missed_most = period_missed(x->slug_most_m, &a);
    if (a.status != ST_OK)
        return a.status;
    *out = no_cycle(INTERMITTENT_TOO_HEAVY, period_s);
    if (missed_most < 0 && x->is_heavy)
        return ST_OK;
    if (missed_most > 0)
        a.status = between(&a, missed_none, missed_most, err);
    set_means(x, period_s, &a.cycle);
    if (a.status == ST_OK)
        *out = a.cycle;
    return a.status;
}
