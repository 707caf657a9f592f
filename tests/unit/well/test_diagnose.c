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

/* Inflow less outflow pressure with the gas where the valves let it in. */
static double excess_pa(const struct well *w, double liquid, double gas,
                        struct string_state *s)
{
    struct traverse t;
    struct err err = {0};

    cr_assert(eq(int, string_outflow(w, liquid, gas, &t, s, &err), ST_OK), "%s",
              err.msg);
    return inflow_pressure_pa(&w->inflow, liquid) - t.p_bottom_pa;
}

/* The casing-head pressure that a well shows at a rate: where its stations
 * share the gas, at the liquid that it then makes, by halving. */
static double shown_pa(const struct well *w, double gas, bool shares)
{
    struct operating o;
    struct traverse t;
    struct string_state s;
    struct err err = {0};

    cr_assert(eq(int, operate_highest(w, gas, 1, &o, &err), ST_OK));
    cr_assert(le(int, 0, o.stable));
    double hi = o.crossing[o.stable].liquid_sm3s, lo = hi;
    if (!shares) {
        cr_assert(eq(int, string_single(w, hi, gas, &t, &s, &err), ST_OK));
        return s.p_head_pa;
    }
    while (excess_pa(w, lo, gas, &s) < 0)
        lo *= 0.99;
    for (int i = 0; i < 40; i++) {
        double mid = 0.5 * (lo + hi);

        if (excess_pa(w, mid, gas, &s) > 0)
            lo = mid;
        else
            hi = mid;
    }
    excess_pa(w, lo, gas, &s);
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
        /* Friction the wrong way round is 1.5e-4 in the first two. */
        cr_expect(epsilon_eq(dbl, d.at[0].miss_sm3s, 0, 1e-4 * gas));
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

/* The domes leave the stations above to open so far below what the operating
 * one needs that they take part of the gas. */
Test(diagnose, gas_at_several_stations_comes_out_on_top)
{
    static const double PART[N_WELLS] = {1.06, 1, 0.95};

    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        const struct well *w = &s.sample.well;
        double meant = shown_pa(w, gas, false);
        for (size_t i = 0; i < 3; i++)
            s.valve[i].p_dome_60f_pa *=
                PART[k] * meant / (WELLS[k].header * PSI);
        double p = shown_pa(w, gas, true);
        cr_assert(lt(dbl, p, meant - 20 * PSI));
        struct diagnosis d = of(w, p, gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_SEVERAL), "row %zu: %s",
                  k, diagnose_text(d.at[0].kind));
        cr_expect(epsilon_eq(dbl, d.at[0].miss_pa, 0, PSI), "row %zu", k);
        cr_expect(epsilon_eq(dbl, d.at[0].miss_sm3s, 0, 0.02 * gas),
                  "row %zu: %g of %g", k, d.at[0].miss_sm3s, gas);
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
        fault.valve[3].port.area_m2 *= 0.6 * 0.6;
        struct diagnosis d =
            of(&s.sample.well, shown_pa(&fault.sample.well, gas, false), gas);
        cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_PLUGGED), "row %zu: %s",
                  k, diagnose_text(d.at[0].kind));
        cr_expect(epsilon_eq(dbl, d.at[0].ratio, 0.6, 0.01), "row %zu", k);
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

static const struct explanation *find(const struct diagnosis *d,
                                      enum diagnose_kind kind)
{
    for (size_t i = 0; i < d->n; i++)
        if (d->at[i].kind == kind)
            return &d->at[i];
    return NULL;
}

/* With domes of this strength the outflow of the first well jumps past inflow
 * by some 50 psi at one liquid rate: the stations find no shares to rest
 * at. */
Test(diagnose, shares_that_would_not_last_are_not_listed)
{
    struct string_well s;
    double gas = WELLS[0].gas * MSCF_D;

    string_well(WELLS[0].sample, WELLS[0].header * PSI, WELLS[0].port, &s);
    double meant = shown_pa(&s.sample.well, gas, false);
    for (size_t i = 0; i < 3; i++)
        s.valve[i].p_dome_60f_pa *= 1.04 * meant / (WELLS[0].header * PSI);
    struct diagnosis d = of(&s.sample.well, 0.9 * meant, gas);
    cr_expect(find(&d, DIAGNOSE_SEVERAL) == NULL);
}

/* Other faults fit as well; this one is among them. */
Test(diagnose, a_port_cut_out_is_listed_with_its_width)
{
    for (size_t k = 0; k < N_WELLS; k++) {
        struct string_well s, fault;
        double gas = WELLS[k].gas * MSCF_D;

        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port, &s);
        string_well(WELLS[k].sample, WELLS[k].header * PSI, WELLS[k].port,
                    &fault);
        fault.valve[3].port.area_m2 *= 1.2 * 1.2;
        struct diagnosis d =
            of(&s.sample.well, shown_pa(&fault.sample.well, gas, false), gas);
        const struct explanation *e = find(&d, DIAGNOSE_CUT);
        cr_assert(e != NULL, "row %zu", k);
        cr_expect(epsilon_eq(dbl, e->ratio, 1.2, 0.01), "row %zu", k);
        cr_expect(find(&d, DIAGNOSE_PLUGGED) == NULL);
    }
}

/* What the casing misses is what the station needs less what is read. */
Test(diagnose, misses_are_model_less_reading)
{
    struct string_well s;
    double gas = 400 * MSCF_D;

    string_well(1, 2300 * PSI, 8, &s);
    double p = shown_pa(&s.sample.well, gas, false);
    struct diagnosis d = of(&s.sample.well, p - 40 * PSI, gas);
    const struct explanation *e = find(&d, DIAGNOSE_AS_MEANT);
    cr_assert(e != NULL);
    cr_expect(epsilon_eq(dbl, e->miss_pa, 40 * PSI, 0.01 * PSI));
    cr_expect(lt(dbl, e->miss_sm3s, 0));
    /* 40 psi are 4 gauges at most, and less for what the meter leaves open. */
    cr_expect(lt(dbl, e->score, 4));
    cr_expect(lt(dbl, 1, e->score));
}

Test(diagnose, the_read_tubing_pressure_counts_and_the_models_where_none_is)
{
    struct string_well s;
    double gas = 400 * MSCF_D;
    struct diagnosis d;
    struct err err = {0};

    string_well(1, 2300 * PSI, 8, &s);
    struct well w = s.sample.well;
    w.p_head_pa += 100 * PSI;
    struct diagnose_reading r = {shown_pa(&w, gas, false), gas, w.p_head_pa};
    cr_assert(eq(int, diagnose_solve(&s.sample.well, &r, &d, &err), ST_OK));
    cr_expect(eq(int, (int)d.at[0].kind, DIAGNOSE_AS_MEANT));
    cr_expect(epsilon_eq(dbl, d.at[0].miss_pa, 0, 0.01 * PSI));
    r.p_head_pa = (double)NAN;
    cr_assert(eq(int, diagnose_solve(&s.sample.well, &r, &d, &err), ST_OK));
    const struct explanation *e = find(&d, DIAGNOSE_AS_MEANT);
    cr_assert(e != NULL);
    cr_expect(lt(dbl, e->miss_pa, -10 * PSI));
}

/* A closed valve above passes nothing at the read pressure: the meter's rate
 * is missed as a whole. */
Test(diagnose, a_valve_that_the_casing_keeps_closed_passes_nothing)
{
    struct string_well s;
    double gas = 400 * MSCF_D;

    string_well(1, 2300 * PSI, 8, &s);
    struct diagnosis d =
        of(&s.sample.well, 0.6 * shown_pa(&s.sample.well, gas, false), gas);
    const struct explanation *e = find(&d, DIAGNOSE_ABOVE);
    cr_assert(e != NULL);
    cr_expect(epsilon_eq(dbl, e->miss_sm3s, -gas, 1e-9));
}

/* 20 MMscf/d are more than any path of these wells takes; what cannot be
 * worked out is left out, and the rest is told. */
Test(diagnose, readings_far_off_are_answered)
{
    static const double P[] = {50, 6000}, GAS[] = {5, 20000};

    for (size_t k = 0; k < 4; k++)
        for (size_t i = 0; i < 4; i++) {
            struct string_well s;
            struct diagnosis d;
            struct err err = {0};
            struct diagnose_reading r = {P[k % 2] * PSI, GAS[k / 2] * MSCF_D,
                                         (double)NAN};

            string_well(i, 2300 * PSI, 8, &s);
            cr_expect(
                eq(int, diagnose_solve(&s.sample.well, &r, &d, &err), ST_OK),
                "%s at %g psi, %g Mscf/d: %s", s.sample.well.name, P[k % 2],
                GAS[k / 2], err.msg);
            for (size_t n = 0; n < d.n; n++)
                cr_expect(isfinite(d.at[n].score) &&
                          isfinite(d.at[n].miss_pa) &&
                          isfinite(d.at[n].miss_sm3s));
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
