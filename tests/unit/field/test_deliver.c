#include "field/deliver.h"

#include <math.h>
#include <stdio.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "field/curves.h"
#include "support/string_wells.h"
#include "support/text.h"
#include "well/operate.h"
#include "well/valve_string.h"

TestSuite(deliver, .timeout = 120);

struct one {
    struct arena arena;
    struct diag diag;
    struct field field;
    struct field_well well, second;
    struct curve *curve;
};

static void build(struct one *o)
{
    arena_init(&o->arena);
    diag_init(&o->diag, &o->arena);
    o->field = (struct field){
        .n_wells = 1, .well = &o->well, .frame = unit_frame_default()};
    field_build_curves(&o->field, &o->arena, &o->diag, &o->curve, NULL, NULL,
                       NULL);
    cr_assert(eq(sz, o->diag.n_errors, 0));
}

/* At points and between them the model brings what the curve promises, within
 * a thousandth of its peak. */
static void compare(const struct one *o, double from)
{
    const struct curve *c = o->curve;

    for (int k = 0; k <= 20; k++) {
        double gas =
            fmin(from + (c->gas_max_sm3s - from) * k / 20, c->gas_max_sm3s);
        struct curve_point p;
        struct delivery d;
        struct err err = {0};

        cr_assert(eq(int, curve_at(c, gas, &p, &err), ST_OK), "%s", err.msg);
        cr_assert(eq(int, field_deliver(&o->well, c, gas, &d, &err), ST_OK),
                  "%s", err.msg);
        cr_expect(epsilon_eq(dbl, d.oil_sm3s, p.oil_sm3s,
                             1e-3 * curve_peak_oil_sm3s(c)),
                  "%s at %g Mscf/d", o->well.name, gas / MSCF_D);
    }
}

Test(deliver, a_well_with_valves_brings_what_its_curve_says)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i += 3) {
        struct string_well s;
        struct one o = {0};
        struct delivery d;
        struct err err = {0};

        string_well(i, 1900 * PSI, 12, &s);
        o.well = (struct field_well){.name = s.sample.well.name,
                                     .model = &s.sample.well,
                                     .lift_max_sm3s = (double)INFINITY};
        build(&o);
        if (o.curve->n > 1) {
            compare(&o, o.curve->gas_sm3s[0]);
            cr_assert(eq(int,
                         field_deliver(&o.well, o.curve, o.curve->gas_max_sm3s,
                                       &d, &err),
                         ST_OK));
            cr_expect(epsilon_eq(dbl, d.p_casing_pa,
                                 o.curve->p_casing_pa[o.curve->n - 1],
                                 1e-4 * d.p_casing_pa));
        }
        arena_release(&o.arena);
    }
}

struct pair {
    struct string_well string[2];
    struct one one;
};

static void pair(size_t first, size_t second, double port_64ths,
                 double header_psi, struct pair *p)
{
    string_well(first, header_psi * PSI, port_64ths, &p->string[0]);
    string_well(second, header_psi * PSI, port_64ths, &p->string[1]);
    p->one = (struct one){0};
    p->one.second = (struct field_well){.name = "second",
                                        .model = &p->string[1].sample.well};
    p->one.well = (struct field_well){.name = "first",
                                      .kind = KIND_DUAL,
                                      .model = &p->string[0].sample.well,
                                      .second = &p->one.second,
                                      .lift_max_sm3s = (double)INFINITY};
    build(&p->one);
}

static const struct {
    size_t first, second;
    double port;
} PAIRS[] = {{1, 4, 9}, {0, 7, 13}, {2, 6, 9}, {8, 9, 13}, {5, 6, 13}};
#define N_PAIRS (sizeof PAIRS / sizeof PAIRS[0])

/* The first point from which on both strings take gas and are lifted. Where
 * gas comes and goes in one, steady is 0: it is counted to lift nothing, on
 * the safe side. */
static size_t both_from(const struct curve *c)
{
    size_t k = c->n;

    while (k > 0 && c->steady[k - 1] > 0 && c->arm_sm3s[k - 1] > 0 &&
           c->arm_sm3s[k - 1] < c->gas_sm3s[k - 1])
        k--;
    return k;
}

/* What one string makes with its part of the gas, and the casing-head pressure
 * that it needs: worked out here. */
static double string_makes(const struct well *w, double gas, double *p_head_pa)
{
    struct operating o;
    struct traverse t;
    struct string_state s;
    struct err err = {0};

    *p_head_pa = (double)NAN;
    cr_assert(eq(int, operate_at(w, gas, &o, &err), ST_OK), "%s", err.msg);
    if (o.stable < 0)
        return 0;
    double liquid = o.crossing[o.stable].liquid_sm3s;
    cr_assert(eq(int, string_single(w, liquid, gas, &t, &s, &err), ST_OK));
    *p_head_pa = s.p_head_pa;
    return liquid * (1 - w->water_cut);
}

Test(deliver, both_strings_of_a_dual_have_one_casing_pressure)
{
    for (size_t i = 0; i < N_PAIRS; i++) {
        struct pair p;

        pair(PAIRS[i].first, PAIRS[i].second, PAIRS[i].port, 2300, &p);
        const struct curve *c = p.one.curve;
        cr_assert(c->arm_sm3s != NULL);
        size_t from = both_from(c);
        cr_assert(lt(sz, from, c->n));
        for (size_t k = 0; k < c->n; k++) {
            double gas = c->gas_sm3s[k], share = field_first_share(c, gas);
            double head[2], oil;
            struct delivery d;
            struct err err = {0};

            cr_expect(le(dbl, 0, share));
            cr_expect(le(dbl, share, gas * (1 + 1e-12)));
            cr_expect(epsilon_eq(dbl, share, c->arm_sm3s[k], 1e-12));
            if (k < from)
                continue;
            oil = string_makes(&p.string[0].sample.well, share, &head[0]) +
                  string_makes(&p.string[1].sample.well, gas - share, &head[1]);
            /* The strings' own curves are held to oil: between their points
             * the casing pressure is a little off the model's. */
            cr_expect(epsilon_eq(dbl, oil, c->oil_sm3s[k],
                                 1e-3 * curve_peak_oil_sm3s(c)));
            cr_expect(epsilon_eq(dbl, head[1], head[0], 5e-3 * head[0]),
                      "pair %zu at %.0f Mscf/d: %.2f and %.2f psia", i,
                      gas / MSCF_D, head[0] / PSI, head[1] / PSI);
            cr_expect(
                epsilon_eq(dbl, c->p_casing_pa[k], head[0], 5e-3 * head[0]));
            cr_assert(
                eq(int, field_deliver(&p.one.well, c, gas, &d, &err), ST_OK));
            cr_expect(epsilon_eq(dbl, d.oil_sm3s, oil, 1e-6 * oil));
            cr_expect(epsilon_eq(dbl, d.p_casing_pa, fmax(head[0], head[1]),
                                 1e-6 * head[0]));
        }
        arena_release(&p.one.arena);
    }
}

Test(deliver, a_dual_brings_what_its_curve_says)
{
    for (size_t i = 0; i < N_PAIRS; i++) {
        struct pair p;

        pair(PAIRS[i].first, PAIRS[i].second, PAIRS[i].port, 2300, &p);
        const struct curve *c = p.one.curve;
        compare(&p.one, c->gas_sm3s[both_from(c)]);
        /* With less, never less than promised. */
        for (int k = 0; k < 10; k++) {
            double gas = c->gas_sm3s[0] +
                         (c->gas_sm3s[both_from(c)] - c->gas_sm3s[0]) * k / 10;
            struct curve_point at;
            struct delivery d;
            struct err err = {0};

            cr_assert(eq(int, curve_at(c, gas, &at, &err), ST_OK));
            cr_assert(
                eq(int, field_deliver(&p.one.well, c, gas, &d, &err), ST_OK));
            cr_expect(le(dbl, at.oil_sm3s - 1e-3 * curve_peak_oil_sm3s(c),
                         d.oil_sm3s),
                      "pair %zu at %.0f Mscf/d", i, gas / MSCF_D);
        }
        arena_release(&p.one.arena);
    }
}

Test(deliver, each_string_of_a_dual_has_the_valve_that_it_reaches)
{
    struct pair p;
    struct err err = {0};

    pair(6, 11, 16, 1200, &p);
    const struct curve *c = p.one.curve;
    cr_assert(lt(sz, 1, c->n));
    cr_assert(ne(sz, c->operating, c->operating_second));
    struct well second = field_second_well(c, &p.one.well);
    const struct valve *at = &p.string[1].valve[c->operating_second];
    cr_expect(epsilon_eq(dbl, second.md_inject_m, at->md_m, 0));
    /* By itself the second string has the same valve. */
    struct one alone = {.well = {.name = "alone",
                                 .model = &p.string[1].sample.well,
                                 .lift_max_sm3s = (double)INFINITY}};
    build(&alone);
    cr_expect(eq(sz, alone.curve->operating, c->operating_second));
    for (size_t k = both_from(c) + 1; k < c->n; k++) {
        double gas = c->gas_sm3s[k];
        struct delivery d;

        cr_assert(eq(int, field_deliver(&p.one.well, c, gas, &d, &err), ST_OK));
        cr_expect(epsilon_eq(dbl, d.oil_sm3s, c->oil_sm3s[k],
                             1e-3 * curve_peak_oil_sm3s(c)));
    }
    arena_release(&alone.arena);
    arena_release(&p.one.arena);
}

/* The least rate that lifts both, by the jump where the second string's gas
 * begins for good. */
Test(deliver, a_string_that_starves_is_named_with_the_rate_that_lifts_both)
{
    struct pair p;

    pair(1, 8, 9, 2300, &p);
    const struct curve *c = p.one.curve;
    double both = c->gas_sm3s[both_from(c)] / MSCF_D, told = 0;
    cr_assert(eq(sz, p.one.diag.n, 1));
    const struct diag_item *d = &p.one.diag.item[0];
    cr_assert(eq(int, (int)d->level, DIAG_WARNING));
    cr_assert(
        eq(int,
           sscanf(d->what, "string second is starved below %lf Mscf/d for both",
                  &told),
           1));
    cr_expect(epsilon_eq(dbl, told, both, 0.01 * both));
    cr_expect(text_is(d->todo, "give the pair more, or look at its valves"));
    cr_expect(text_is(d->path, "first"));
    arena_release(&p.one.arena);
    /* The order of the strings changes the name. */
    pair(8, 1, 9, 2300, &p);
    cr_assert(eq(sz, p.one.diag.n, 1));
    cr_expect(text_has(p.one.diag.item[0].what, "string first is starved"));
    arena_release(&p.one.arena);
}

Test(deliver, a_valve_out_of_reach_is_told_with_the_one_that_is_reached)
{
    struct string_well s;
    struct one o = {0};

    string_well(4, 1000 * PSI, 16, &s);
    o.well = (struct field_well){.name = "short",
                                 .model = &s.sample.well,
                                 .lift_max_sm3s = 3000 * MSCF_D};
    build(&o);
    size_t got = o.curve->operating;
    cr_assert(lt(sz, got, 3));
    cr_assert(eq(sz, o.diag.n_warnings, 1));
    double want_ft = s.valve[3].md_m / 0.3048;
    cr_expect(text_is(
        o.diag.item[0].what,
        arena_printf(&o.arena,
                     "the casing pressure does not reach the valve at %.0f ft; "
                     "its curve is that of the one at %.0f ft",
                     want_ft, s.valve[got].md_m / 0.3048)));
    cr_expect(text_is(o.diag.item[0].todo,
                      "its report shows what each station needs"));
    compare(&o, o.curve->gas_sm3s[0]);
    arena_release(&o.arena);
}

Test(deliver, an_intermittent_well_takes_its_gas_by_cycles)
{
    struct sample_well s;
    struct intermittent how = intermittent_default(1500 * MSCF_D);
    struct one o = {0};
    struct intermittent_cycle c;
    struct err err = {0};

    sample_well(1, &s);
    s.well.p_head_pa = 80 * PSI;
    s.well.inflow.p_res_pa *= 0.5;
    how.p_casing_pa = 900 * PSI;
    o.well = (struct field_well){.name = "cycles",
                                 .kind = KIND_INTERMITTENT,
                                 .model = &s.well,
                                 .intermitter = &how,
                                 .lift_max_sm3s = 3000 * MSCF_D};
    build(&o);
    cr_assert(lt(sz, 1, o.curve->n));
    compare(&o, o.curve->gas_sm3s[0]);
    double gas = 0.5 * (o.curve->gas_sm3s[0] + o.curve->gas_max_sm3s);
    cr_assert(eq(int, field_cycle(&o.well, gas, &c, &err), ST_OK));
    cr_assert(epsilon_eq(dbl, c.gas_sm3s, gas, 1e-3 * gas));
    cr_assert(epsilon_eq(dbl, c.draw_sm3s, 1500 * MSCF_D, 1e-9));
    arena_release(&o.arena);
}

Test(deliver, curves_set_the_limits_of_their_wells)
{
    struct curve c[4] = {
        {.n = 2,
         .start = CURVE_START_STEADY,
         .gas_min_sm3s = 3,
         .gas_max_sm3s = 9},
        {.n = 2,
         .start = CURVE_START_FLOW,
         .gas_min_sm3s = 3,
         .gas_max_sm3s = 9},
        {.n = 2,
         .start = CURVE_START_CASING,
         .gas_min_sm3s = 3,
         .gas_max_sm3s = 9},
        {.n = 0, .start = CURVE_START_STEADY, .gas_min_sm3s = 3},
    };
    struct field_well w[4] = {
        {.lift_min_sm3s = 1, .lift_max_sm3s = (double)INFINITY},
        {.lift_min_sm3s = 1, .lift_max_sm3s = 5},
        {.lift_min_sm3s = 4, .lift_max_sm3s = 5},
        {.lift_min_sm3s = 1, .lift_max_sm3s = 5},
    };
    struct field f = {.n_wells = 4, .well = w};

    field_limit_by_curves(&f, c);
    cr_assert(epsilon_eq(dbl, w[0].lift_min_sm3s, 3, 0));
    cr_assert(epsilon_eq(dbl, w[0].lift_max_sm3s, 9, 0));
    cr_assert(epsilon_eq(dbl, w[1].lift_min_sm3s, 1, 0));
    cr_assert(epsilon_eq(dbl, w[1].lift_max_sm3s, 5, 0));
    cr_assert(epsilon_eq(dbl, w[2].lift_min_sm3s, 4, 0));
    cr_assert(epsilon_eq(dbl, w[3].lift_min_sm3s, 1, 0));
    cr_assert(epsilon_eq(dbl, w[3].lift_max_sm3s, 0, 0));
}
