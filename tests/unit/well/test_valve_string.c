#include "well/valve_string.h"

#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "support/string_wells.h"
#include "well/gas_path.h"
#include "well/operate.h"

TestSuite(valve_string, .timeout = 60);

#define HEADER (2600 * PSI)
static const double RATES[] = {150, 600, 1500};

/* The stable rate at a gas rate; 0: dead. */
static double liquid_of(const struct well *w, double gas)
{
    struct operating o;
    struct err err = {0};

    cr_assert(eq(int, operate_highest(w, gas, 1, &o, &err), ST_OK), "%s",
              err.msg);
    return o.stable < 0 ? 0 : o.crossing[o.stable].liquid_sm3s;
}

static struct string_state state_of(const struct well *w, double gas,
                                    bool shares, struct traverse *t)
{
    struct string_state s;
    struct err err = {0};
    double liquid = liquid_of(w, gas);
    enum status st = shares ? string_outflow(w, liquid, gas, t, &s, &err)
                            : string_single(w, liquid, gas, t, &s, &err);

    cr_assert(eq(int, st, ST_OK), "%s", err.msg);
    return s;
}

static double column(const struct well *w, double from, double to, double gas,
                     double p)
{
    double out;
    struct err err = {0};

    cr_assert(eq(int, gas_path_pressure(w, from, to, gas, p, &out, NULL, &err),
                 ST_OK),
              "%s", err.msg);
    return out;
}

Test(valve_string, one_orifice_is_the_well_with_gas_at_one_depth)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;

        string_well(i, HEADER, 16, &s);
        struct well w = s.sample.well;
        w.valve = &s.valve[STRING_VALVES - 1];
        w.n_valves = 1;
        w.operating = 0;
        struct well plain = w;
        plain.n_valves = 0;
        for (size_t k = 0; k < 3; k++) {
            double gas = RATES[k] * MSCF_D, liquid = liquid_of(&plain, gas);
            struct traverse a, b;
            struct string_state state;
            struct err err = {0};

            if (liquid == 0)
                continue;
            cr_assert(eq(int,
                         traverse_solve(&plain, liquid, gas, &a, NULL, &err),
                         ST_OK));
            cr_assert(eq(int, string_single(&w, liquid, gas, &b, &state, &err),
                         ST_OK));
            cr_expect(epsilon_eq(dbl, b.p_bottom_pa, a.p_bottom_pa,
                                 1e-9 * a.p_bottom_pa));
            cr_expect(epsilon_eq(dbl, b.p_inject_pa, a.p_inject_pa,
                                 1e-9 * a.p_inject_pa));
            cr_expect(epsilon_eq(dbl, state.station[0].gas_sm3s, gas, 0));
        }
    }
}

/* Marched in pieces, the tubing differs within the march's own tolerance. */
Test(valve_string, closed_stations_change_nothing_in_the_tubing)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;

        string_well(i, HEADER, 16, &s);
        const struct well *w = &s.sample.well;
        double gas = 600 * MSCF_D, liquid = liquid_of(w, gas);
        struct traverse a, b;
        struct string_state state;
        struct err err = {0};

        if (liquid == 0)
            continue;
        cr_assert(
            eq(int, traverse_solve(w, liquid, gas, &a, NULL, &err), ST_OK));
        cr_assert(
            eq(int, string_single(w, liquid, gas, &b, &state, &err), ST_OK));
        cr_expect(
            epsilon_eq(dbl, b.p_bottom_pa, a.p_bottom_pa, 1e-6 * a.p_bottom_pa),
            "well %zu: %.9g, not %.9g", i, b.p_bottom_pa, a.p_bottom_pa);
    }
}

Test(valve_string, the_casing_head_has_what_port_and_column_ask_for)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct traverse t;

        string_well(i, HEADER, 16, &s);
        const struct well *w = &s.sample.well;
        for (size_t k = 0; k < 3; k++) {
            double gas = RATES[k] * MSCF_D;

            if (liquid_of(w, gas) == 0)
                continue;
            struct string_state state = state_of(w, gas, false, &t);
            const struct station_state *at = &state.station[3];
            double up =
                orifice_upstream_pa(&w->valve[3].port, &w->fluid.lift_gas, gas,
                                    t.p_inject_pa, at->t_k);

            cr_expect(epsilon_eq(dbl, at->p_casing_pa, up, 1e-9 * up));
            cr_expect(epsilon_eq(dbl, at->p_tubing_pa, t.p_inject_pa, 1e-6));
            double head = column(w, w->md_inject_m, 0, gas, up);
            cr_expect(epsilon_eq(dbl, state.p_head_pa, head, 1e-5 * head));
            cr_expect(eq(sz, state.n_passing, 1));
        }
    }
}

/* Domes of which the stations above open at a part of what the operating one
 * needs. */
static void weaken(struct string_well *s, double p_head_pa, double part)
{
    for (size_t k = 0; k + 1 < STRING_VALVES; k++)
        s->valve[k].p_dome_60f_pa *= part * p_head_pa / HEADER;
}

/* One answer of string_outflow against its own pressures, from the head down:
 * the casing carries what gas is left, and each station passes what its valve
 * does between the pressures there. */
static void check_shares(const struct well *w, double gas,
                         const struct string_state *s)
{
    double left = gas, p = s->p_head_pa, md = 0;
    size_t passing = 0;

    for (size_t k = 0; k < STRING_VALVES; k++) {
        const struct station_state *at = &s->station[k];
        double passes;

        p = column(w, md, w->valve[k].md_m, left, p);
        md = w->valve[k].md_m;
        passes = valve_rate_sm3s(&w->valve[k], &w->fluid.lift_gas, k == 3, p,
                                 at->p_tubing_pa, at->t_k);
        cr_expect(epsilon_eq(dbl, at->p_casing_pa, p, 1e-9 * p));
        cr_expect(epsilon_eq(dbl, at->gas_sm3s, passes, 1e-7 * gas),
                  "station %zu of %s: %.10g, not %.10g Mscf/d", k, w->name,
                  at->gas_sm3s / MSCF_D, passes / MSCF_D);
        cr_expect(le(dbl, 0, at->gas_sm3s));
        if (at->p_casing_pa <= at->p_tubing_pa)
            cr_expect(epsilon_eq(dbl, at->gas_sm3s, 0, 1e-7 * gas));
        passing += passes > 1e-7 * gas;
        left -= at->gas_sm3s;
    }
    cr_expect(epsilon_eq(dbl, left, 0, 1e-7 * gas));
    cr_expect(eq(sz, s->n_passing, passing), "%s", w->name);
}

Test(valve_string, stations_share_the_rate_as_their_pressures_say)
{
    static const double PARTS[] = {1.2, 1.05, 0.9, 0.7};
    int shared = 0, held_back = 0;

    for (size_t n = 0; n < 4 * SAMPLE_WELLS; n++) {
        struct string_well s;
        struct traverse t;

        string_well(n / 4, HEADER, 14, &s);
        const struct well *w = &s.sample.well;
        double gas = 900 * MSCF_D;
        if (liquid_of(w, gas) == 0)
            continue;
        struct string_state one = state_of(w, gas, false, &t);
        weaken(&s, one.p_head_pa, PARTS[n % 4]);
        one = state_of(w, gas, false, &t);
        struct string_state all = state_of(w, gas, true, &t);
        const struct station_state *last = &all.station[3];

        /* Where a station above opens, the operating one loses gas to it. */
        cr_expect(
            eq(int, one.to_open_pa < 0, last->gas_sm3s < (1 - 1e-7) * gas),
            "well %zu at %.2f", n / 4, PARTS[n % 4]);
        cr_expect(epsilon_eq(dbl, t.p_inject_pa, last->p_tubing_pa, 1e-6));
        if (one.to_open_pa < 0) {
            cr_expect(lt(dbl, all.p_head_pa, one.p_head_pa));
            check_shares(w, gas, &all);
        } else {
            cr_expect(epsilon_eq(dbl, all.p_head_pa, one.p_head_pa, 0));
        }
        shared += last->gas_sm3s > 0.1 * gas && all.n_passing > 1;
        held_back += last->p_casing_pa <= last->p_tubing_pa;
    }
    cr_assert(lt(int, 8, shared));
    cr_assert(lt(int, 8, held_back));
}

/* The valve that is nearest to open tells how near: with domes that ask for
 * just as much less, it opens. */
Test(valve_string, room_below_the_first_opening_is_what_it_says)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct traverse t;
        double rate[STRING_VALVES], least = (double)INFINITY;
        struct err err = {0};

        string_well(i, HEADER, 14, &s);
        struct well *w = &s.sample.well;
        double gas = 600 * MSCF_D;
        if (liquid_of(w, gas) == 0)
            continue;
        struct string_state one = state_of(w, gas, false, &t);
        for (size_t k = 0; k + 1 < STRING_VALVES; k++) {
            const struct station_state *at = &one.station[k];
            double p = column(w, w->md_inject_m, w->valve[k].md_m, gas,
                              one.station[3].p_casing_pa);

            cr_expect(epsilon_eq(dbl, at->p_casing_pa, p, 1e-5 * p));
            least = fmin(
                least,
                valve_opens_pa(&w->valve[k], at->p_tubing_pa, at->t_k) - p);
        }
        cr_expect(epsilon_eq(dbl, one.to_open_pa, least, 1e-5 * one.p_head_pa));
        /* The same from the other side: at the casing pressure that uses the
         * room up one valve passes gas, a little below none does. */
        for (int more = 0; more < 2; more++) {
            double p = one.p_head_pa + one.to_open_pa * (more ? 1.1 : 0.8);

            cr_assert(eq(int, string_rates(w, &one, p, rate, &err), ST_OK));
            double above = rate[0] + rate[1] + rate[2];
            if (one.to_open_pa > 20 * PSI)
                cr_expect(eq(int, above > 0, more), "well %zu: room %.1f psi",
                          i, one.to_open_pa / PSI);
        }
    }
}

Test(valve_string, rates_at_a_casing_pressure_are_those_of_the_ports)
{
    struct string_well s;
    struct traverse t;
    double rate[STRING_VALVES], more[STRING_VALVES];
    struct err err = {0};

    string_well(1, HEADER, 16, &s);
    const struct well *w = &s.sample.well;
    struct string_state state = state_of(w, 600 * MSCF_D, false, &t);
    cr_assert(
        eq(int, string_rates(w, &state, state.p_head_pa, rate, &err), ST_OK));
    /* The flowing column loses a little more than the one at rest. */
    cr_assert(epsilon_eq(dbl, rate[3], 600 * MSCF_D, 6 * MSCF_D));
    cr_assert(epsilon_eq(dbl, rate[0] + rate[1] + rate[2], 0, 0));
    cr_assert(eq(int, string_rates(w, &state, HEADER, more, &err), ST_OK));
    cr_assert(lt(dbl, rate[3], more[3]));
    cr_assert(lt(dbl, 0, more[0]));
    cr_assert(eq(int, string_rates(w, &state, 100 * PSI, rate, &err), ST_OK));
    for (size_t k = 0; k < STRING_VALVES; k++)
        cr_assert(epsilon_eq(dbl, rate[k], 0, 0));
}

Test(valve_string, the_ports_pass_no_more_than_critical_flow)
{
    struct string_well s;
    double most, sum = 0;
    struct err err = {0};

    string_well(4, HEADER, 16, &s);
    struct well *w = &s.sample.well;
    cr_assert(eq(int, string_most_sm3s(w, &most, &err), ST_OK));
    for (size_t k = 0; k < STRING_VALVES; k++) {
        double p = column(w, 0, w->valve[k].md_m, 0, HEADER);

        sum += orifice_rate_sm3s(&w->valve[k].port, &w->fluid.lift_gas, p, 1e5,
                                 gas_path_temperature_k(w, w->valve[k].md_m));
    }
    cr_assert(epsilon_eq(dbl, most, sum, 1e-5 * sum));
    /* The annulus limit counts where it is the lower one. */
    w->gas_path.p_casing_max_pa = 0.5 * HEADER;
    double half = most;
    cr_assert(eq(int, string_most_sm3s(w, &half, &err), ST_OK));
    cr_assert(lt(dbl, half, 0.55 * most));
    cr_assert(lt(dbl, 0.4 * most, half));
    w->gas_path.p_casing_max_pa = (double)INFINITY;
    /* Stations below the operating one and dummies pass nothing. */
    w->operating = 2;
    s.valve[1] = (struct valve){.kind = VALVE_DUMMY, .md_m = s.valve[1].md_m};
    cr_assert(eq(int, string_most_sm3s(w, &half, &err), ST_OK));
    cr_assert(lt(dbl, 0, half));
    cr_assert(lt(dbl, half, 0.6 * most));
    w->gas_path.p_header_pa = (double)INFINITY;
    cr_assert(eq(int, string_most_sm3s(w, &most, &err), ST_OK));
    cr_assert(isinf(most));
}

Test(valve_string, without_gas_the_casing_holds_the_operating_valve_open)
{
    int dome = 0, tubing = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (size_t operating = 2; operating < STRING_VALVES; operating++) {
            struct string_well s;
            struct traverse t;

            string_well(i, HEADER, 14, &s);
            struct well *w = &s.sample.well;
            w->operating = operating;
            w->md_inject_m = w->valve[operating].md_m;
            if (liquid_of(w, 0) == 0)
                continue;
            struct string_state state = state_of(w, 0, false, &t);
            const struct station_state *at = &state.station[operating];
            double closes = nitrogen_pressure_pa(
                w->valve[operating].p_dome_60f_pa, at->t_k);
            double needs = operating == 2 ? fmax(closes, at->p_tubing_pa)
                                          : at->p_tubing_pa;

            cr_expect(epsilon_eq(dbl, at->p_casing_pa, needs, 1e-9 * needs));
            double head = column(w, w->md_inject_m, 0, 0, needs);
            cr_expect(epsilon_eq(dbl, state.p_head_pa, head, 1e-5 * head));
            cr_expect(eq(sz, state.n_passing, 0));
            dome += needs > at->p_tubing_pa;
            tubing += needs <= at->p_tubing_pa;
        }
    cr_assert(lt(int, 1, dome));
    cr_assert(lt(int, 1, tubing));
}

/* Asheim's inputs put together here: densities by mass over volume, volumes
 * of the pipes by their one diameter, the whole port. */
static struct steadiness by_hand(const struct well *w, double gas,
                                 double liquid, const struct traverse *t,
                                 double p_casing, double t_k)
{
    const struct gas *g = &w->fluid.lift_gas;
    const struct well_section *ring = w->gas_path.section;
    double p = t->p_inject_pa, z = gas_z(g, p, t_k), md = w->md_inject_m;
    double b = gas_volume_factor(p, t_k, z), dp = 1e-3 * w->inflow.p_res_pa;
    double d = w->section[0].d_m;
    struct stream made = well_stream(w, liquid, 0);
    struct mix mix;
    struct mix_state at;
    struct steadiness out;

    mix_init(&mix, &w->fluid, &made);
    mix_at(&mix, p, t_k, &at);
    double q = at.q_liquid_m3s + at.q_gas_m3s;
    struct asheim a = {
        .rho_gas_std_kgm3 = g->rho_std_kgm3,
        .gas_volume_factor = b,
        .gas_sm3s = gas,
        .liquid_sm3s = liquid,
        .j_sm3spa = (inflow_rate_sm3s(&w->inflow, t->p_bottom_pa - dp) -
                     inflow_rate_sm3s(&w->inflow, t->p_bottom_pa + dp)) /
                    (2 * dp),
        .port_m2 = w->valve[3].port.area_m2 * w->valve[3].port.discharge,
        .tubing_m3 = M_PI / 4 * d * d * md,
        .casing_m3 = M_PI / 4 *
                     (ring->d_m * ring->d_m - ring->core_m * ring->core_m) * md,
        .depth_m = well_tvd_m(w, md),
        .p_tubing_pa = p,
        .rho_liquid_kgm3 = mix.mass_kgs / q,
        .rho_gas_kgm3 = g->rho_std_kgm3 / b,
        .q_liquid_m3s = q,
        .q_gas_m3s = gas * b,
    };
    stability_asheim(&a, &out);
    /* Thornhill and Craver's critical ratio at the trade's heat ratio 1.27:
     * (2 / 2.27)^(1.27 / 0.27) = 0.551. */
    out.critical = p <= 0.551 * p_casing;
    return out;
}

Test(valve_string, steadiness_is_that_of_the_fluids_at_the_station)
{
    int unsteady = 0, critical = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (int port = 7; port <= 20; port += 13)
            for (size_t k = 0; k < 3; k++) {
                struct string_well s;
                struct traverse t;
                double gas = RATES[k] * MSCF_D, liquid;

                string_well(i, HEADER, port, &s);
                const struct well *w = &s.sample.well;
                liquid = liquid_of(w, gas);
                if (liquid == 0)
                    continue;
                struct string_state got = state_of(w, gas, false, &t);
                const struct station_state *at = &got.station[3];
                struct steadiness want =
                    by_hand(w, gas, liquid, &t, at->p_casing_pa, at->t_k);

                cr_expect(eq(int, got.steady.critical, want.critical));
                cr_expect(eq(int, isinf(got.steady.f2), isinf(want.f2)));
                unsteady += !is_steady(&want);
                critical += want.critical;
                if (want.critical)
                    continue;
                cr_expect(epsilon_eq(dbl, got.steady.f1, want.f1,
                                     3e-3 * fabs(want.f1)),
                          "%s at %.0f Mscf/d", w->name, gas / MSCF_D);
                if (isfinite(want.f2))
                    cr_expect(epsilon_eq(dbl, got.steady.f2, want.f2,
                                         3e-3 * fabs(want.f2)),
                              "%s at %.0f Mscf/d", w->name, gas / MSCF_D);
            }
    cr_assert(lt(int, 3, unsteady));
    cr_assert(lt(int, 3, critical));
}
