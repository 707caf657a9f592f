#include "well/operate.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <string.h>

#include "support/random_wells.h"
#include "support/sample_wells.h"

static struct operating operate(const struct well *w, double lift)
{
    struct operating o = {.stable = -1};
    struct err err = {0};

    cr_expect(eq(int, operate_at(w, lift, &o, &err), ST_OK), "%s: %s", w->name,
              err.msg);
    return o;
}

static double excess(const struct well *w, double liquid, double lift)
{
    double e = (double)NAN;
    struct err err = {0};

    cr_expect(eq(int, operate_excess(w, liquid, lift, &e, NULL, &err), ST_OK),
              "%s: %s", w->name, err.msg);
    return e;
}

static double best_liquid(const struct operating *o)
{
    return o->stable < 0 ? 0 : o->crossing[o->stable].liquid_sm3s;
}

static double bisect(const struct well *w, double lift, double a, double b)
{
    double fa = excess(w, a, lift);

    while (b - a > 1e-9 * b) {
        double c = 0.5 * (a + b), fc = excess(w, c, lift);

        if ((fc > 0) == (fa > 0))
            a = c;
        else
            b = c;
    }
    return 0.5 * (a + b);
}

/* Every change of sign over equal steps from the floor, 1 % of the greatest
 * rate, up; compared with o, in order. */
static void compare_with_scan(const struct well *w, double lift,
                              const struct operating *o, int steps,
                              const char *name)
{
    double q_max = inflow_max_sm3s(&w->inflow);
    double x = 0.01 * q_max, f = excess(w, x, lift);
    int n = 0;

    for (int i = 1; i <= steps; i++) {
        double next = q_max * (0.01 + 0.989 * i / steps);
        double f_next = excess(w, next, lift);

        if ((f > 0) != (f_next > 0)) {
            cr_expect(lt(int, n, o->n), "%s at %g Mscf/d: missed near %g", name,
                      lift / MSCF_D, x / q_max);
            if (n >= o->n)
                return;
            double want = bisect(w, lift, x, next);
            cr_expect(
                epsilon_eq(dbl, o->crossing[n].liquid_sm3s, want, 1e-6 * want),
                "%s at %g Mscf/d", name, lift / MSCF_D);
            cr_expect(eq(int, o->crossing[n].stable, f > 0));
            n++;
        }
        x = next;
        f = f_next;
    }
    cr_expect(eq(int, o->n, n), "%s at %g Mscf/d", name, lift / MSCF_D);
}

Test(operate, finds_every_crossing_that_a_scan_of_2000_rates_finds,
     .timeout = 300)
{
    static const double lift_mscfd[] = {0, 100, 1200};

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        double lift = lift_mscfd[i % 3] * MSCF_D;

        sample_well(i, &s);
        struct operating o = operate(&s.well, lift);
        compare_with_scan(&s.well, lift, &o, 2000, s.well.name);
    }
}

/* More crossings and odder ones than the samples have. */
Test(operate, finds_every_crossing_of_random_wells, .timeout = 300)
{
    for (uint64_t seed = 1; seed <= 60; seed++) {
        struct random_well r;
        struct draw d = {seed};

        random_well(seed, &r);
        double lift = draw_between(&d, 0, r.gas_max_sm3s);
        struct operating o = operate(&r.well, lift);
        compare_with_scan(&r.well, lift, &o, 300,
                          random_well_text(seed, &r).text);
    }
}

/* Wells with three crossings, two of them near each other. */
Test(operate, finds_the_crossings_of_wells_with_two_branches, .timeout = 300)
{
    static const struct {
        uint64_t seed;
        double lift_mscfd;
    } rows[] = {{2328, 1990},
                {6934, 371.6},
                {855, 6565},
                {710, 124.9},
                {12435, 49.54},
                /* A hump over 0.3 % of the rates, and a dip, between two points
                 * of the scan. */
                {6439, 189.029},
                {29, 25.1745}};

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct random_well r;
        double lift = rows[i].lift_mscfd * MSCF_D;

        random_well(rows[i].seed, &r);
        struct operating o = operate(&r.well, lift);
        cr_expect(eq(int, o.n, 3), "row %zu", i);
        compare_with_scan(&r.well, lift, &o, 500,
                          random_well_text(rows[i].seed, &r).text);
    }
}

Test(operate, crossings_rise_and_meet_both_curves, .timeout = 10)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;

        sample_well(i, &s);
        struct operating o = operate(&s.well, 300 * MSCF_D);
        for (int k = 0; k < o.n; k++) {
            const struct crossing *c = &o.crossing[k];
            double inflow = inflow_pressure_pa(&s.well.inflow, c->liquid_sm3s);

            cr_expect(epsilon_eq(dbl, c->p_bottom_pa, inflow, 1e-6 * inflow),
                      "%s", s.well.name);
            cr_expect(lt(dbl, s.well.p_head_pa, c->p_inject_pa));
            cr_expect(lt(dbl, c->p_inject_pa, c->p_bottom_pa));
            if (k > 0)
                cr_expect(lt(dbl, c[-1].liquid_sm3s, c->liquid_sm3s));
        }
        for (int k = o.stable + 1; k < o.n && o.stable >= 0; k++)
            cr_expect(not(o.crossing[k].stable));
    }
}

Test(operate, the_dead_well_flows_with_gas_and_not_without, .timeout = 10)
{
    struct sample_well s;

    sample_well(1, &s);
    cr_assert(eq(int, operate(&s.well, 0).stable, -1));
    cr_assert(ge(int, operate(&s.well, 500 * MSCF_D).stable, 0));
}

Test(operate, the_natural_well_flows_without_gas, .timeout = 10)
{
    struct sample_well s;

    sample_well(3, &s);
    cr_assert(ge(int, operate(&s.well, 0).stable, 0));
}

Test(operate, too_much_gas_lowers_the_rate, .timeout = 10)
{
    struct sample_well s;

    /* 1.61 in tubing. */
    sample_well(9, &s);
    struct operating some = operate(&s.well, 600 * MSCF_D);
    struct operating much = operate(&s.well, 4000 * MSCF_D);
    cr_assert(lt(dbl, 1.1 * best_liquid(&much), best_liquid(&some)));
    cr_assert(lt(dbl, 0, best_liquid(&much)));
}

Test(operate, a_reservoir_below_the_wellhead_pressure_is_dead, .timeout = 10)
{
    struct sample_well s;

    sample_well(0, &s);
    s.well.inflow.p_res_pa = 0.9 * s.well.p_head_pa;
    struct operating o = operate(&s.well, 500 * MSCF_D);
    cr_assert(eq(int, o.n, 0));
    cr_assert(eq(int, o.stable, -1));
}

Test(operate, a_well_without_productivity_is_dead, .timeout = 10)
{
    struct sample_well s;

    sample_well(0, &s);
    s.well.inflow.j_sm3spa = 0;
    cr_assert(eq(int, operate(&s.well, 500 * MSCF_D).stable, -1));
}

Test(operate, water_alone_and_oil_without_gas_have_an_answer, .timeout = 10)
{
    for (int i = 0; i < 4; i++) {
        struct sample_well s;

        sample_well(0, &s);
        if (i & 1)
            s.well.water_cut = 1;
        if (i & 2)
            s.well.gor_sm3sm3 = 0;
        struct operating none = operate(&s.well, 0);
        struct operating some = operate(&s.well, 1000 * MSCF_D);
        /* 2,600 psi do not lift 7,000 ft of liquid alone at more than a
         * trickle; with gas they do. */
        cr_expect(lt(dbl, best_liquid(&none), best_liquid(&some)), "case %d",
                  i);
        cr_expect(lt(dbl, 500 * STB_D, best_liquid(&some)), "case %d", i);
    }
}

Test(operate, highest_is_the_stable_one_of_all, .timeout = 300)
{
    for (uint64_t seed = 1; seed <= 200; seed++) {
        struct random_well r;
        struct draw d = {seed};
        struct err err = {0};
        struct operating highest;

        random_well(seed, &r);
        double lift = draw_between(&d, 0, r.gas_max_sm3s);
        struct operating all = operate(&r.well, lift);
        cr_assert(
            eq(int, operate_highest(&r.well, lift, 1, &highest, &err), ST_OK));
        cr_expect(eq(dbl, best_liquid(&highest), best_liquid(&all)), "%s",
                  random_well_text(seed, &r).text);
    }
}

Test(operate, more_outflow_pressure_never_gives_more, .timeout = 10)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        double before = HUGE_VAL;

        for (double factor = 0.8; factor < 1.25; factor += 0.05) {
            struct sample_well s;
            struct operating o;
            struct err err = {0};

            sample_well(i, &s);
            enum status st =
                operate_highest(&s.well, 400 * MSCF_D, factor, &o, &err);
            cr_assert(eq(int, st, ST_OK));
            double liquid = best_liquid(&o);
            cr_expect(le(dbl, liquid, before), "%s at %g", s.well.name, factor);
            /* 5 % of pressure is worth something. */
            if (before < HUGE_VAL && liquid > 0)
                cr_expect(lt(dbl, liquid, 0.999 * before), "%s", s.well.name);
            before = liquid;
        }
    }
}

Test(operate, what_is_not_a_number_is_an_error_and_not_a_dead_well,
     .timeout = 10)
{
    for (int field = 0; field < 7; field++) {
        struct sample_well s;
        struct operating o;
        struct err err = {0};

        sample_well(0, &s);
        double *broken[] = {&s.well.p_head_pa,         &s.well.water_cut,
                            &s.well.gor_sm3sm3,        &s.section[0].d_m,
                            &s.well.inflow.p_res_pa,   &s.well.inflow.j_sm3spa,
                            &s.well.thermal.t_bottom_k};
        *broken[field] = (double)NAN;
        enum status st = operate_at(&s.well, 300 * MSCF_D, &o, &err);
        cr_expect(ne(int, st, ST_OK), "field %d", field);
        cr_expect(lt(sz, 0, strlen(err.msg)), "field %d", field);
    }
}
