#include "field/deliver.h"

#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "field/curves.h"
#include "support/string_wells.h"

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

/* At points and between them the model brings what the curve promises, to
 * twice its tolerance. */
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
                             2e-3 * curve_peak_oil_sm3s(c)),
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

Test(deliver, a_dual_shares_its_gas_and_brings_what_its_curve_says)
{
    struct string_well a, b;
    struct one o = {0};

    string_well(1, 2300 * PSI, 9, &a);
    string_well(4, 2300 * PSI, 9, &b);
    o.second = (struct field_well){.name = "second", .model = &b.sample.well};
    o.well = (struct field_well){.name = "first",
                                 .kind = KIND_DUAL,
                                 .model = &a.sample.well,
                                 .second = &o.second,
                                 .lift_max_sm3s = (double)INFINITY};
    build(&o);
    const struct curve *c = o.curve;
    cr_assert(lt(sz, 2, c->n));
    cr_assert(c->arm_sm3s != NULL);
    /* Where gas comes and goes in the other string, steady is 0: it is counted
     * to lift nothing, on the safe side. */
    size_t both = c->n;
    while (both > 0 && c->steady[both - 1] > 0)
        both--;
    cr_assert(lt(sz, both + 1, c->n));
    for (size_t k = 0; k < c->n; k++) {
        cr_expect(le(dbl, 0, c->arm_sm3s[k]));
        cr_expect(le(dbl, c->arm_sm3s[k], c->gas_sm3s[k] * (1 + 1e-12)));
        double share = field_first_share(c, c->gas_sm3s[k]);
        cr_expect(epsilon_eq(dbl, share, c->arm_sm3s[k], 1e-12));
    }
    compare(&o, c->gas_sm3s[both + 1]);
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
    struct curve c[2] = {
        {.n = 2,
         .start = CURVE_START_STEADY,
         .gas_min_sm3s = 3,
         .gas_max_sm3s = 9},
        {.n = 2,
         .start = CURVE_START_FLOW,
         .gas_min_sm3s = 3,
         .gas_max_sm3s = 9},
    };
    struct field_well w[2] = {
        {.lift_min_sm3s = 1, .lift_max_sm3s = (double)INFINITY},
        {.lift_min_sm3s = 1, .lift_max_sm3s = 5},
    };
    struct field f = {.n_wells = 2, .well = w};

    field_limit_by_curves(&f, c);
    cr_assert(epsilon_eq(dbl, w[0].lift_min_sm3s, 3, 0));
    cr_assert(epsilon_eq(dbl, w[0].lift_max_sm3s, 9, 0));
    cr_assert(epsilon_eq(dbl, w[1].lift_min_sm3s, 1, 0));
    cr_assert(epsilon_eq(dbl, w[1].lift_max_sm3s, 5, 0));
}
