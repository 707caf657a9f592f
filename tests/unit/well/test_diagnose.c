#include "well/diagnose.h"

#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "support/string_wells.h"
#include "well/operate.h"

TestSuite(diagnose, .timeout = 60);

/* Wells whose port sees a real pressure drop at the rate. */
static const struct {
    size_t sample;
    double header, port, gas;
} WELLS[] = {{1, 2300, 8, 400}, {4, 2300, 8, 400}, {7, 2300, 8, 500}};
#define N_WELLS 3

/* The casing-head pressure that a well shows at a rate. */
static double shown_pa(const struct well *w, double gas, bool shares)
{
    struct operating o;
    struct traverse t;
    struct string_state s;
    struct err err = {0};

    cr_assert(eq(int, operate_highest(w, gas, 1, &o, &err), ST_OK));
    cr_assert(le(int, 0, o.stable));
    double liquid = o.crossing[o.stable].liquid_sm3s;
    enum status st = shares ? string_outflow(w, liquid, gas, &t, &s, &err)
                            : string_single(w, liquid, gas, &t, &s, &err);
    cr_assert(eq(int, st, ST_OK), "%s", err.msg);
    return s.p_head_pa;
}

static struct diagnosis of(const struct well *w, double p_casing, double gas)
{
    struct diagnosis d;
    struct diagnose_reading r = {p_casing, gas, (double)NAN};
    struct err err = {0};

    cr_assert(eq(int, diagnose_solve(w, &r, &d, &err), ST_OK), "%s", err.msg);
    cr_assert(lt(sz, 0, d.n));
    for (size_t i = 1; i < d.n; i++)
        cr_expect(le(dbl, d.at[i - 1].score, d.at[i].score));
    return d;
}

Test(diagnose, a_healthy_well_is_as_meant)
{
    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        const struct well *w = &s.sample.well;
        struct diagnosis d = of(w, shown_pa(w, gas, false), gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_AS_MEANT), "row %zu", k);
        cr_expect(epsilon_eq(dbl, d.at[0].score, 0, 1e-3));
        cr_expect(epsilon_eq(dbl, d.at[0].miss_sm3s, 0, 0.01 * gas));
    }
}

Test(diagnose, gas_one_station_too_high_comes_out_on_top)
{
    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        const struct well *w = &s.sample.well;
        struct well shallow = *w;
        shallow.valve = &w->valve[2];
        shallow.n_valves = 1;
        shallow.operating = 0;
        shallow.md_inject_m = w->valve[2].md_m;
        struct diagnosis d = of(w, shown_pa(&shallow, gas, false), gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_ABOVE), "row %zu", k);
        cr_expect(epsilon_eq(dbl, d.at[0].md_m, w->valve[2].md_m, 1e-6));
    }
}

Test(diagnose, a_valve_that_stands_open_comes_out_on_top)
{
    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s, fault;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port,
                    &fault);
        fault.valve[1].kind = VALVE_ORIFICE;
        struct diagnosis d =
            of(&s.sample.well, shown_pa(&fault.sample.well, gas, true), gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_STUCK), "row %zu: %s", k,
                  diagnose_text(d.at[0].kind));
        cr_expect(epsilon_eq(dbl, d.at[0].md_m, s.valve[1].md_m, 1e-6));
    }
}

Test(diagnose, a_hole_in_the_tubing_comes_out_on_top_at_its_depth)
{
    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        const struct well *w = &s.sample.well;
        struct well hole = *w;
        hole.n_valves = 0;
        hole.md_inject_m = 0.5 * w->md_inject_m;
        struct diagnosis d = of(w, shown_pa(&hole, gas, false), gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_HOLE), "row %zu: %s", k,
                  diagnose_text(d.at[0].kind));
        cr_expect(epsilon_eq(dbl, d.at[0].md_m, hole.md_inject_m,
                             0.01 * w->md_inject_m));
    }
}

Test(diagnose, a_plugged_port_comes_out_on_top_with_its_width)
{
    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s, fault;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port,
                    &fault);
        fault.valve[3].port.area_m2 *= 0.7 * 0.7;
        struct diagnosis d =
            of(&s.sample.well, shown_pa(&fault.sample.well, gas, false), gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_PLUGGED), "row %zu: %s",
                  k, diagnose_text(d.at[0].kind));
        cr_expect(epsilon_eq(dbl, d.at[0].ratio, 0.7, 0.01), "row %zu", k);
    }
}

Test(diagnose, a_meter_that_reads_15_percent_high_comes_out_on_top)
{
    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        const struct well *w = &s.sample.well;
        struct diagnosis d = of(w, shown_pa(w, gas, false), 1.15 * gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_METER), "row %zu: %s", k,
                  diagnose_text(d.at[0].kind));
        cr_expect(epsilon_eq(dbl, d.at[0].ratio, 1.15, 0.01), "row %zu", k);
    }
}

Test(diagnose, a_missing_reading_is_refused)
{
    struct string_well s;
    struct diagnosis d;
    struct err err = {0};
    struct diagnose_reading r = {(double)NAN, 0.1, (double)NAN};

    string_well(1, 2300 * PSI, 8, &s);
    cr_assert(eq(int, diagnose_solve(&s.sample.well, &r, &d, &err), ST_RANGE));
    r = (struct diagnose_reading){1e7, 0, (double)NAN};
    cr_assert(eq(int, diagnose_solve(&s.sample.well, &r, &d, &err), ST_RANGE));
}
