#include "well/unload.h"

#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "support/string_wells.h"
#include "well/gas_path.h"
#include "well/operate.h"

TestSuite(unload, .timeout = 60);

#define VALVES_MOST 12

/* A string spaced as the trade does it (API RP 11V6 style, from memory): the
 * first valve where the kick-off pressure balances the kill liquid, each next
 * one where the casing pressure of the one above does, 25 psi less for each. It
 * takes the tubing for light, as it is while the reservoir gives little: the
 * wells are weakened. */
#define WEAKENED 0.3

struct spaced {
    struct string_well well;
    struct valve valve[VALVES_MOST];
};

static void space(size_t i, struct spaced *s)
{
    struct well *w = &s->well.sample.well;
    double header = 1500, kill = 0.46, depth;
    size_t n = 0;

    string_well(i, header * PSI, 16, &s->well);
    w->inflow.j_sm3spa *= WEAKENED;
    w->inflow.c_sm3s_pa2n *= WEAKENED;
    double deep = well_tvd_m(w, w->md_inject_m) / 0.3048;
    double whp = w->p_head_pa / PSI;
    for (depth = (header - 60 - whp) / (kill - 0.03);
         depth < deep - 300 && n + 1 < VALVES_MOST;) {
        struct valve *v = &s->valve[n];
        double head = header - 40 - 25 * (double)(n + 1);
        double inside = head * exp(2e-5 * depth);

        *v = s->well.valve[0];
        v->md_m = depth / deep * w->md_inject_m;
        /* Set by halving so that it closes at head less its spread. */
        double t = thermal_ground_k(&w->thermal, well_tvd_m(w, v->md_m));
        double lo = 1e5, hi = 3e7;
        for (int k = 0; k < 80; k++) {
            double mid = 0.5 * (lo + hi);

            if (nitrogen_pressure_pa(mid, t) > (inside - 20) * PSI)
                hi = mid;
            else
                lo = mid;
        }
        v->p_dome_60f_pa = lo;
        n++;
        depth +=
            fmax(500, (inside - (whp + 0.16 * depth) - 80) / (kill - 0.03));
    }
    s->valve[n] = s->well.valve[STRING_VALVES - 1];
    w->valve = s->valve;
    w->n_valves = n + 1;
    w->operating = n;
}

static struct unload solved(const struct well *w, struct unload_spec spec)
{
    struct unload u;
    struct err err = {0};

    cr_assert(eq(int, unload_solve(w, &spec, &u, &err), ST_OK), "%s", err.msg);
    return u;
}

static const struct unload_spec KILL = {.rho_kgm3 = 1060,
                                        .liquid_m3s = UNLOAD_LIQUID_M3S};

Test(unload, gas_and_liquid_balance_and_stations_uncover_from_the_top)
{
    int reached = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct spaced s;

        space(i, &s);
        const struct well *w = &s.well.sample.well;
        struct unload u = solved(w, KILL);
        cr_expect(epsilon_eq(dbl, u.gas_sm3,
                             u.annulus_sm3 + u.tubing_sm3 + u.produced_sm3,
                             1e-6 * u.gas_sm3));
        cr_expect(epsilon_eq(dbl, u.liquid_out_m3, u.displaced_m3 + u.inflow_m3,
                             1e-6 * u.liquid_out_m3));
        for (size_t k = 0; k < u.n; k++) {
            cr_expect(eq(sz, u.stage[k].valve, k), "well %zu", i);
            cr_expect(lt(dbl, 0, u.stage[k].rate_sm3s));
            if (k == 0)
                continue;
            cr_expect(lt(dbl, u.stage[k - 1].time_s, u.stage[k].time_s));
            cr_expect(lt(dbl, u.stage[k - 1].gas_sm3, u.stage[k].gas_sm3));
            /* The one above is closed: its closing pressure is not reached. */
            cr_expect(
                lt(dbl, u.stage[k].p_casing_pa, u.stage[k - 1].p_casing_pa));
        }
        if (u.reaches)
            cr_expect(eq(sz, u.stage[u.n - 1].valve, w->operating));
        reached += u.reaches;
    }
    /* Wells of a spaced string get there: common practice. One is too shallow
     * for a valve above the operating one. */
    cr_assert(le(int, SAMPLE_WELLS - 1, reached));
}

Test(unload, the_annulus_volume_is_what_liquid_it_gives)
{
    struct spaced s;

    space(1, &s);
    const struct well *w = &s.well.sample.well;
    struct unload u = solved(w, KILL);
    double d = s.well.gas_section[0].d_m, core = s.well.gas_section[0].core_m;
    double annulus = M_PI / 4 * (d * d - core * core);

    cr_assert(lt(sz, 1, u.n));
    cr_assert(epsilon_eq(dbl, u.stage[0].liquid_out_m3,
                         annulus * w->valve[0].md_m, 1e-6));
    /* At the limit, and no faster than the casing is brought up. */
    cr_assert(le(dbl, u.stage[0].liquid_out_m3 / UNLOAD_LIQUID_M3S * (1 - 1e-9),
                 u.stage[0].time_s));
}

/* 50 psi each 9 min to 400 psi, then 100 psi each 9 min: common practice. */
Test(unload, casing_pressure_rises_by_the_steps_of_the_trade)
{
    struct spaced s;
    struct unload_spec fast = KILL;

    space(1, &s);
    fast.liquid_m3s *= 100;
    struct unload u = solved(&s.well.sample.well, fast);
    double psig = u.p_first_pa / PSI - 14.696;
    cr_assert(lt(dbl, 400, psig));
    cr_assert(lt(sz, 0, u.n));
    cr_assert(epsilon_eq(dbl, u.stage[0].time_s / 60,
                         400.0 / 50 * 9 + (psig - 400) / 100 * 9, 1e-2));
}

Test(unload, the_first_valve_takes_the_weight_of_the_liquid_above_it)
{
    struct spaced s;

    space(1, &s);
    const struct well *w = &s.well.sample.well;
    double tvd = well_tvd_m(w, w->valve[0].md_m);
    double at_valve = w->p_head_pa + 1060 * 9.80665 * tvd;
    double first = solved(w, KILL).p_first_pa;

    /* A gas column of that length weighs between 3 and 12 %. */
    cr_assert(lt(dbl, first, 0.97 * at_valve));
    cr_assert(lt(dbl, 0.88 * at_valve, first));
}

Test(unload, more_pressure_never_reaches_less_and_heavier_liquid_takes_more)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i += 2) {
        struct spaced s;
        size_t last = 0;

        space(i, &s);
        for (double p = 300; p < 2200; p += 200) {
            struct unload_spec spec = KILL;

            spec.p_kickoff_pa = p * PSI;
            size_t n = solved(&s.well.sample.well, spec).n;
            cr_expect(le(sz, last, n), "well %zu at %g psi", i, p);
            last = n;
        }
        struct unload_spec heavy = KILL;
        heavy.rho_kgm3 = 1180;
        cr_expect(lt(dbl, solved(&s.well.sample.well, KILL).p_first_pa,
                     solved(&s.well.sample.well, heavy).p_first_pa));
    }
}

Test(unload, a_lower_level_takes_less_pressure_and_fills_the_tubing_first)
{
    struct spaced s;
    struct unload_spec low = KILL;

    space(1, &s);
    const struct well *w = &s.well.sample.well;
    low.level_m = 0.5 * w->valve[0].md_m;
    struct unload full = solved(w, KILL), half = solved(w, low);
    cr_assert(
        lt(dbl, half.stage[0].liquid_out_m3, full.stage[0].liquid_out_m3 / 2));
    cr_assert(le(dbl, half.p_first_pa, full.p_first_pa * (1 + 1e-9)));
    cr_assert(lt(dbl, 0, half.filled_m3));
    cr_assert(epsilon_eq(dbl, half.liquid_out_m3,
                         half.displaced_m3 + half.inflow_m3 - half.filled_m3,
                         1e-6 * half.liquid_out_m3));
    /* Below the first valve there is nothing to push down to it. */
    low.level_m = 1.05 * w->valve[0].md_m;
    struct unload none = solved(w, low);
    cr_assert(lt(dbl, none.p_first_pa, 0.2 * full.p_first_pa));
    cr_assert(epsilon_eq(dbl, none.stage[0].liquid_out_m3, 0, 1e-9));
}

Test(unload, less_liquid_through_valves_takes_longer)
{
    struct spaced s;
    struct unload_spec slow = KILL;

    space(1, &s);
    slow.liquid_m3s *= 0.4;
    struct unload a = solved(&s.well.sample.well, KILL);
    struct unload b = solved(&s.well.sample.well, slow);
    cr_assert(a.comes_back);
    cr_assert(b.comes_back);
    cr_assert(lt(dbl, a.time_s, b.time_s));
}

Test(unload, an_annulus_full_of_gas_restarts_sooner_with_less_gas)
{
    int seen = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct spaced s;
        struct unload_spec full = KILL;

        space(i, &s);
        full.annulus_is_full = true;
        struct unload a = solved(&s.well.sample.well, KILL);
        struct unload b = solved(&s.well.sample.well, full);
        if (!a.comes_back || !b.comes_back)
            continue;
        cr_expect(lt(dbl, b.time_s, 0.6 * a.time_s), "well %zu", i);
        cr_expect(lt(dbl, b.gas_sm3, 0.6 * a.gas_sm3), "well %zu", i);
        /* Gas is at the operating station well within the hour: common
         * practice, no source. */
        cr_expect(lt(dbl, b.stage[b.n - 1].time_s, 3600), "well %zu", i);
        seen++;
    }
    cr_assert(lt(int, 3, seen));
}

Test(unload, a_header_too_weak_for_the_first_valve_is_an_answer)
{
    struct spaced s;
    struct unload_spec weak = KILL;

    space(1, &s);
    weak.p_kickoff_pa = 200 * PSI;
    struct unload u = solved(&s.well.sample.well, weak);
    cr_assert(eq(sz, u.n, 0));
    cr_assert(not(u.reaches));
    cr_assert(isnan(u.time_s));
    cr_assert(lt(dbl, 200 * PSI, u.p_first_pa));
    cr_assert(epsilon_eq(dbl, u.gas_sm3, 0, 0));
}

Test(unload, what_cannot_be_worked_out_is_refused)
{
    struct spaced s;
    struct unload u;
    struct err err = {0};
    struct unload_spec spec = KILL;

    space(1, &s);
    spec.rho_kgm3 = 900;
    cr_assert(
        eq(int, unload_solve(&s.well.sample.well, &spec, &u, &err), ST_RANGE));
    spec = KILL;
    spec.level_m = well_bottom_m(&s.well.sample.well) + 1;
    cr_assert(
        eq(int, unload_solve(&s.well.sample.well, &spec, &u, &err), ST_RANGE));
    spec = KILL;
    s.well.sample.well.gas_path.p_header_pa = (double)INFINITY;
    cr_assert(
        eq(int, unload_solve(&s.well.sample.well, &spec, &u, &err), ST_RANGE));
    spec.p_kickoff_pa = 1500 * PSI;
    cr_assert(
        eq(int, unload_solve(&s.well.sample.well, &spec, &u, &err), ST_OK));
}

/* Gas in the annulus down to a depth, at rest under a casing-head pressure: by
 * its mass, in many thin pieces. */
static double annulus_by_mass_sm3(const struct string_well *s, double p_head,
                                  double md)
{
    const struct well *w = &s->sample.well;
    const struct gas *g = &w->fluid.lift_gas;
    double d = s->gas_section[0].d_m, core = s->gas_section[0].core_m;
    double mass = 0, step = md / 200;

    for (int i = 0; i < 200; i++) {
        double at = (i + 0.5) * step, p, t = gas_path_temperature_k(w, at);
        struct err err;

        cr_assert(eq(int,
                     gas_path_pressure(w, 0, at, 0, p_head, &p, NULL, &err),
                     ST_OK));
        mass += step * gas_density_kgm3(g, p, t, gas_z(g, p, t));
    }
    return M_PI / 4 * (d * d - core * core) * mass / g->rho_std_kgm3;
}

static double annulus_room_m3(const struct string_well *s, double md)
{
    double d = s->gas_section[0].d_m, core = s->gas_section[0].core_m;

    return M_PI / 4 * (d * d - core * core) * md;
}

/* Most that a valve passes at a casing-head pressure: into nothing. */
static double port_most_sm3s(const struct well *w, size_t valve, double p_head)
{
    const struct valve *v = &w->valve[valve];
    struct err err;
    double p;

    cr_assert(eq(int,
                 gas_path_pressure(w, 0, v->md_m, 0, p_head, &p, NULL, &err),
                 ST_OK));
    return orifice_rate_sm3s(&v->port, &w->fluid.lift_gas, p, 0,
                             gas_path_temperature_k(w, v->md_m));
}

Test(unload, gas_let_in_is_what_the_annulus_holds_and_the_valves_passed)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct spaced s;
        double passed = 0;

        space(i, &s);
        const struct well *w = &s.well.sample.well;
        struct unload u = solved(w, KILL);
        for (size_t k = 0; k < u.n; k++) {
            const struct unload_stage *a = &u.stage[k];
            double md = w->valve[a->valve].md_m;
            double held = annulus_by_mass_sm3(&s.well, a->p_casing_pa, md);

            /* Pieces of the column: 24 and 200. */
            cr_expect(le(dbl, fabs(a->gas_sm3 - passed - held), 2e-3 * held),
                      "well %zu stage %zu", i, k);
            if (k + 1 == u.n)
                break;
            double time_s = a[1].time_s - a->time_s;
            double next =
                a[1].gas_sm3 - annulus_by_mass_sm3(&s.well, a[1].p_casing_pa,
                                                   w->valve[a[1].valve].md_m);
            double most = port_most_sm3s(w, a->valve, a->p_casing_pa) * time_s;
            cr_expect(le(dbl, next - passed, 1.01 * most), "well %zu", i);
            cr_expect(le(dbl, 0.2 * most, next - passed), "well %zu", i);
            passed = next;
        }
    }
}

Test(unload, liquid_out_is_the_room_that_gas_takes_and_what_flowed_in)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct spaced s;

        space(i, &s);
        const struct well *w = &s.well.sample.well;
        struct unload u = solved(w, KILL);
        double d = w->section[0].d_m, tubing = M_PI / 4 * d * d;

        for (size_t k = 1; k < u.n; k++) {
            const struct unload_stage *a = &u.stage[k - 1], *b = a + 1;
            double md_a = w->valve[a->valve].md_m;
            double md_b = w->valve[b->valve].md_m;
            double room =
                annulus_room_m3(&s.well, md_b) - annulus_room_m3(&s.well, md_a);

            cr_expect(epsilon_eq(dbl, b->liquid_out_m3 - a->liquid_out_m3,
                                 room + b->inflow_m3 - a->inflow_m3, 1e-6));
            cr_expect(le(dbl, room / KILL.liquid_m3s * (1 - 1e-9),
                         b->time_s - a->time_s));
        }
        if (!u.comes_back)
            continue;
        double md = w->valve[w->operating].md_m;
        double in_tubing = u.displaced_m3 - annulus_room_m3(&s.well, md);
        double per_m3 = u.tubing_sm3 / in_tubing;
        cr_expect(lt(dbl, 0, in_tubing));
        cr_expect(lt(dbl, in_tubing, tubing * md));
        /* Between what it is worth at wellhead and valve: no more than twice
         * the ratio of pressures to the standard one. */
        cr_expect(lt(dbl, 0.5 * w->p_head_pa / 101325, per_m3), "well %zu", i);
        cr_expect(lt(dbl, per_m3, 2 * u.stage[u.n - 1].p_tubing_pa / 101325));
        /* The kill liquid that gas did not displace was pushed out. */
        cr_expect(lt(dbl, (tubing * well_bottom_m(w) - in_tubing) * (1 - 1e-6),
                     u.inflow_m3),
                  "well %zu", i);
    }
}

Test(unload, where_it_stops_the_next_valve_takes_more_than_there_is)
{
    int stopped = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (double psi = 400; psi < 2000; psi += 400) {
            struct spaced s;
            struct unload_spec spec = KILL;

            space(i, &s);
            spec.p_kickoff_pa = psi * PSI;
            struct unload u = solved(&s.well.sample.well, spec);
            if (u.reaches)
                continue;
            cr_expect(
                lt(dbl,
                   u.n > 0 ? u.stage[u.n - 1].p_casing_pa : spec.p_kickoff_pa,
                   u.p_next_pa),
                "well %zu at %g psi", i, psi);
            cr_expect(le(dbl, 0, u.produced_sm3), "well %zu", i);
            stopped++;
        }
    cr_assert(lt(int, 0, stopped));
}

/* The reservoir gives to the tubing what the tubing lifts with that gas: a
 * third more than its operating point leaves room for the gas that differs. */
Test(unload, no_more_flows_in_than_the_tubing_lifts)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct spaced s;

        space(i, &s);
        struct well *w = &s.well.sample.well;
        struct unload u = solved(w, KILL);
        for (size_t k = 1; k < u.n; k++) {
            const struct unload_stage *a = &u.stage[k - 1], *b = a + 1;
            struct operating o;
            struct err err;

            w->md_inject_m = w->valve[a->valve].md_m;
            cr_assert(eq(
                int,
                operate_highest(w, port_most_sm3s(w, a->valve, a->p_casing_pa),
                                1, &o, &err),
                ST_OK));
            double most = o.stable < 0 ? 0 : o.crossing[o.stable].liquid_sm3s;
            cr_expect(le(dbl, b->inflow_m3 - a->inflow_m3,
                         1.33 * most * (b->time_s - a->time_s)),
                      "well %zu stage %zu: %g of %g m3/d", i, k,
                      86400 * (b->inflow_m3 - a->inflow_m3) /
                          (b->time_s - a->time_s),
                      86400 * most);
        }
    }
}

Test(unload, at_the_end_only_the_operating_station_passes_gas)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct spaced s;

        space(i, &s);
        struct well *w = &s.well.sample.well;
        struct unload u = solved(w, KILL);
        if (!u.comes_back || u.n < 2)
            continue;
        double rate = u.stage[u.n - 1].rate_sm3s;
        cr_expect(lt(dbl, u.above_sm3s, 1e-3 * rate), "well %zu", i);
        /* A hole instead of the uppermost valve does not close. */
        s.valve[0].kind = VALVE_ORIFICE;
        u = solved(w, KILL);
        if (u.comes_back)
            cr_expect(lt(dbl, 0.1 * rate, u.above_sm3s), "well %zu", i);
    }
}

Test(unload, a_stronger_reservoir_holds_the_well_at_an_upper_valve)
{
    int held = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct spaced s;

        space(i, &s);
        struct well *w = &s.well.sample.well;
        size_t n = solved(w, KILL).n;
        w->inflow.j_sm3spa *= 10;
        w->inflow.c_sm3s_pa2n *= 10;
        size_t strong = solved(w, KILL).n;
        cr_expect(le(sz, strong, n), "well %zu", i);
        held += strong < n;
    }
    cr_assert(lt(int, 3, held));
}

Test(unload, a_long_line_leaves_less_casing_pressure_once_gas_flows)
{
    struct spaced s;

    space(1, &s);
    struct well *w = &s.well.sample.well;
    struct unload none = solved(w, KILL);
    double rate = none.stage[0].rate_sm3s, header = w->gas_path.p_header_pa;

    /* 100 psi at that rate. */
    w->gas_path.line_pa2_sm3s2 =
        (header * header - (header - 100 * PSI) * (header - 100 * PSI)) /
        (rate * rate);
    struct unload lossy = solved(w, KILL);
    cr_assert(epsilon_eq(dbl, lossy.p_first_pa, none.p_first_pa, 1));
    cr_assert(lt(dbl, lossy.stage[0].p_casing_pa, header - 70 * PSI));
    cr_assert(lt(dbl, header - 110 * PSI, lossy.stage[0].p_casing_pa));
    /* Kick-off gas is given at the casing head. */
    struct unload_spec spec = KILL;
    spec.p_kickoff_pa = header;
    cr_assert(epsilon_eq(dbl, solved(w, spec).stage[0].p_casing_pa, header, 1));
    /* The annulus limit holds for kick-off gas as well. */
    w->gas_path.p_casing_max_pa = 0.98 * header;
    cr_assert(epsilon_eq(dbl, solved(w, spec).stage[0].p_casing_pa,
                         0.98 * header, 1));
}
