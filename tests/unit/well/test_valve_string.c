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

Test(valve_string, stops_at_closed_stations_change_the_tubing_below_a_millionth)
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
            epsilon_eq(dbl, b.p_bottom_pa, a.p_bottom_pa, 1e-5 * a.p_bottom_pa),
            "well %zu", i);
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

/* Domes so weak that the stations above open. */
static void weaken(struct string_well *s, double factor)
{
    for (size_t k = 0; k + 1 < STRING_VALVES; k++)
        s->valve[k].p_dome_60f_pa *= factor;
}

Test(valve_string, stations_share_the_rate_as_their_pressures_say)
{
    int seen = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct string_well s;
        struct traverse t;

        string_well(i, HEADER, 14, &s);
        const struct well *w = &s.sample.well;
        double gas = 900 * MSCF_D;
        if (liquid_of(w, gas) == 0)
            continue;
        struct string_state one = state_of(w, gas, false, &t);
        weaken(&s, 0.9 * one.p_head_pa / HEADER);
        one = state_of(w, gas, false, &t);
        struct string_state all = state_of(w, gas, true, &t);
        double left = gas, p = all.p_head_pa, md = 0;

        cr_expect(eq(int, one.to_open_pa<0, all.n_passing> 1), "well %zu", i);
        for (size_t k = 0; k < STRING_VALVES; k++) {
            const struct station_state *at = &all.station[k];

            p = column(w, md, w->valve[k].md_m, left, p);
            md = w->valve[k].md_m;
            cr_expect(epsilon_eq(dbl, at->p_casing_pa, p, 1e-6 * p));
            if (all.n_passing > 1)
                cr_expect(epsilon_eq(
                    dbl, at->gas_sm3s,
                    valve_rate_sm3s(&w->valve[k], &w->fluid.lift_gas, k == 3, p,
                                    at->p_tubing_pa, at->t_k),
                    2e-4 * gas));
            if (at->p_casing_pa <= at->p_tubing_pa)
                cr_expect(epsilon_eq(dbl, at->gas_sm3s, 0, 1e-7 * gas));
            left -= at->gas_sm3s;
        }
        cr_expect(epsilon_eq(dbl, left, 0, 1e-7 * gas), "well %zu", i);
        seen += all.n_passing > 1;
    }
    cr_assert(lt(int, 4, seen));
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
    w->gas_path.p_header_pa = (double)INFINITY;
    cr_assert(eq(int, string_most_sm3s(w, &most, &err), ST_OK));
    cr_assert(isinf(most));
}
