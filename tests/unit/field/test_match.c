#include "field/match.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "support/sample_wells.h"
#include "well/operate.h"

#define NONE ((double)NAN)
#define TODAY 20000

/* A field of one sample well with up to three tests. */
struct one {
    struct arena arena;
    struct diag diag;
    struct field field;
    struct field_well well;
    struct field_test test[3];
    struct sample_well sample;
};

static struct field_test good_test(void)
{
    return (struct field_test){.at = {"tests.csv", 2, 1},
                               .day = TODAY - 10,
                               .liquid_sm3s = 900 * STB_D,
                               .water_cut = 0.4,
                               .gas_sm3s = 650 * MSCF_D,
                               .lift_sm3s = 400 * MSCF_D,
                               .p_head_pa = 180 * PSI,
                               .accepted = true,
                               .note = ""};
}

static void one_init(struct one *o, size_t sample, enum match_kind match,
                     size_t n_tests)
{
    arena_init(&o->arena);
    diag_init(&o->diag, &o->arena);
    sample_well(sample, &o->sample);
    for (size_t i = 0; i < 3; i++)
        o->test[i] = good_test();
    o->well = (struct field_well){.name = "A-1",
                                  .model = &o->sample.well,
                                  .match = match,
                                  .n_tests = n_tests,
                                  .test = o->test};
    o->field = (struct field){.frame = unit_frame_default(),
                              .day = TODAY,
                              .n_wells = 1,
                              .well = &o->well,
                              .test_age_max_days = 90};
}

static void match(struct one *o)
{
    struct err err = {0};

    cr_assert(eq(int, field_match(&o->field, &o->diag, &err), ST_OK), "%s",
              err.msg);
    cr_expect(eq(sz, o->diag.n_errors, 0));
}

static bool says(const struct one *o, const char *text)
{
    for (size_t i = 0; i < o->diag.n; i++)
        if (strstr(o->diag.item[i].what, text))
            return true;
    return false;
}

Test(match, none_leaves_the_model_as_it_is, .timeout = 10)
{
    struct one o;

    one_init(&o, 0, MATCH_NONE, 1);
    struct well before = o.sample.well;
    match(&o);
    cr_assert(o.well.matched == NULL);
    cr_assert(eq(dbl, o.sample.well.water_cut, before.water_cut));
    cr_assert(eq(dbl, o.sample.well.gor_sm3sm3, before.gor_sm3sm3));
    cr_assert(eq(dbl, o.sample.well.inflow.j_sm3spa, before.inflow.j_sm3spa));
    arena_release(&o.arena);
}

Test(match, rates_set_water_cut_and_formation_gas_per_oil, .timeout = 10)
{
    struct one o;

    one_init(&o, 0, MATCH_RATES, 1);
    double j = o.sample.well.inflow.j_sm3spa;
    match(&o);
    cr_assert(o.well.matched == &o.test[0]);
    cr_assert(eq(dbl, o.sample.well.water_cut, 0.4));
    /* By hand: 250 Mscf/d of formation gas over 540 stb/d of oil. */
    double want = 250 * MSCF_D / (540 * STB_D);
    cr_assert(epsilon_eq(dbl, o.sample.well.gor_sm3sm3, want, 1e-9 * want));
    cr_assert(eq(dbl, o.sample.well.inflow.j_sm3spa, j));
    cr_assert(eq(sz, o.diag.n, 0));
    arena_release(&o.arena);
}

Test(match, the_inflow_takes_the_water_cut_only_where_it_uses_one,
     .timeout = 10)
{
    for (int uses = 0; uses < 2; uses++) {
        struct one o;

        one_init(&o, 0, MATCH_RATES, 1);
        o.sample.well.inflow.water_cut = uses ? 0.3 : -1;
        match(&o);
        cr_expect(eq(dbl, o.sample.well.inflow.water_cut, uses ? 0.4 : -1));
        arena_release(&o.arena);
    }
}

Test(match, what_was_not_measured_stays, .timeout = 10)
{
    for (int missing = 0; missing < 3; missing++) {
        struct one o;

        one_init(&o, 0, MATCH_RATES, 1);
        double *value[] = {&o.test[0].water_cut, &o.test[0].gas_sm3s,
                           &o.test[0].lift_sm3s};
        double cut = o.sample.well.water_cut, gor = o.sample.well.gor_sm3sm3;
        *value[missing] = NONE;
        match(&o);
        cr_expect(eq(dbl, o.sample.well.water_cut, missing == 0 ? cut : 0.4),
                  "case %d", missing);
        if (missing > 0)
            cr_expect(eq(dbl, o.sample.well.gor_sm3sm3, gor), "case %d",
                      missing);
        arena_release(&o.arena);
    }
}

Test(match, a_test_of_water_alone_leaves_the_gas_oil_ratio, .timeout = 10)
{
    struct one o;

    one_init(&o, 0, MATCH_RATES, 1);
    o.test[0].water_cut = 1;
    double gor = o.sample.well.gor_sm3sm3;
    match(&o);
    cr_assert(eq(dbl, o.sample.well.water_cut, 1));
    cr_assert(eq(dbl, o.sample.well.gor_sm3sm3, gor));
    arena_release(&o.arena);
}

Test(match, the_newest_accepted_test_counts, .timeout = 10)
{
    struct one o;

    one_init(&o, 0, MATCH_RATES, 3);
    o.test[0].day = TODAY - 40;
    o.test[1].day = TODAY - 20;
    o.test[2].day = TODAY - 5;
    o.test[2].accepted = false;
    match(&o);
    cr_assert(o.well.matched == &o.test[1]);
    /* A test that is not accepted goes without a word. */
    cr_assert(eq(sz, o.diag.n, 0));
    arena_release(&o.arena);
}

Test(match, impossible_tests_are_passed_over_with_a_warning_each, .timeout = 10)
{
    static const char *const text[] = {"after the day", "no liquid",
                                       "no liquid", "less gas than lift gas"};

    for (int i = 0; i < 4; i++) {
        struct one o;

        one_init(&o, 0, MATCH_RATES, 2);
        o.test[0].day = TODAY - 50;
        if (i == 0)
            o.test[1].day = TODAY + 1;
        else if (i == 1)
            o.test[1].liquid_sm3s = 0;
        else if (i == 2)
            o.test[1].liquid_sm3s = NONE;
        else
            o.test[1].gas_sm3s = 0.99 * o.test[1].lift_sm3s;
        o.test[1].at.line = 7;
        match(&o);
        cr_expect(o.well.matched == &o.test[0], "case %d", i);
        cr_assert(eq(sz, o.diag.n_warnings, 1), "case %d", i);
        cr_expect(says(&o, text[i]), "case %d", i);
        cr_expect(eq(int, o.diag.item[0].at.line, 7));
        arena_release(&o.arena);
    }
}

Test(match, a_test_of_the_day_itself_counts, .timeout = 10)
{
    struct one o;

    one_init(&o, 0, MATCH_RATES, 1);
    o.test[0].day = TODAY;
    match(&o);
    cr_assert(o.well.matched == &o.test[0]);
    cr_assert(eq(sz, o.diag.n, 0));
    arena_release(&o.arena);
}

Test(match, a_stale_test_is_used_with_a_warning, .timeout = 10)
{
    for (int over = 0; over < 2; over++) {
        struct one o;

        one_init(&o, 0, MATCH_RATES, 1);
        o.test[0].day = TODAY - 90 - over;
        match(&o);
        cr_expect(o.well.matched == &o.test[0]);
        cr_expect(eq(dbl, o.sample.well.water_cut, 0.4));
        cr_expect(eq(sz, o.diag.n_warnings, (size_t)over));
        if (over)
            cr_expect(says(&o, "91 days old"));
        arena_release(&o.arena);
    }
}

Test(match, without_tests_nothing_is_matched, .timeout = 10)
{
    struct one o;

    one_init(&o, 0, MATCH_PRODUCTIVITY, 0);
    match(&o);
    cr_assert(o.well.matched == NULL);
    cr_assert(eq(sz, o.diag.n, 0));
    arena_release(&o.arena);
}

Test(match, a_measured_curve_is_not_touched, .timeout = 10)
{
    struct one o;
    struct curve table = {.source = CURVE_TABLE};

    one_init(&o, 0, MATCH_RATES, 1);
    o.well.model = NULL;
    o.well.table = &table;
    match(&o);
    cr_assert(o.well.matched == NULL);
    arena_release(&o.arena);
}

Test(match, after_productivity_the_model_meets_the_test, .timeout = 30)
{
    int met = 0;

    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct one o;
        struct operating at;
        struct err err = {0};

        one_init(&o, i, MATCH_PRODUCTIVITY, 1);
        struct well *w = &o.sample.well;
        /* A rate that every one of these wells can give. */
        o.test[0].liquid_sm3s = 0.3 * inflow_max_sm3s(&w->inflow);
        o.test[0].gas_sm3s =
            o.test[0].lift_sm3s + 0.6 * o.test[0].liquid_sm3s * w->gor_sm3sm3;
        match(&o);
        cr_expect(eq(sz, o.diag.n, 0), "%s", w->name);
        w->p_head_pa = o.test[0].p_head_pa;
        cr_assert(
            eq(int, operate_at(w, o.test[0].lift_sm3s, &at, &err), ST_OK));
        double nearest = HUGE_VAL;
        for (int k = 0; k < at.n; k++)
            nearest = fmin(
                nearest,
                fabs(at.crossing[k].liquid_sm3s / o.test[0].liquid_sm3s - 1));
        cr_expect(lt(dbl, nearest, 1e-6), "%s", w->name);
        double best = at.crossing[at.stable].liquid_sm3s;
        met += fabs(best / o.test[0].liquid_sm3s - 1) < 1e-6;
        arena_release(&o.arena);
    }
    /* In the others the test lies on the unstable side. */
    cr_assert(ge(int, met, 10));
}

Test(match, the_wellhead_pressure_of_the_test_counts_and_is_not_kept,
     .timeout = 10)
{
    double j[2];

    for (int i = 0; i < 2; i++) {
        struct one o;

        one_init(&o, 0, MATCH_PRODUCTIVITY, 1);
        o.test[0].p_head_pa = i ? 300 * PSI : NONE;
        double head = o.sample.well.p_head_pa;
        match(&o);
        cr_expect(eq(dbl, o.sample.well.p_head_pa, head));
        j[i] = o.sample.well.inflow.j_sm3spa;
        arena_release(&o.arena);
    }
    /* The same rate against more pressure: a better reservoir. */
    cr_assert(lt(dbl, 1.02 * j[0], j[1]));
}

Test(match, a_rate_the_reservoir_cannot_give_leaves_the_productivity,
     .timeout = 10)
{
    /* Too heavy a column; beyond every correlation. */
    static const double liquid_stbd[] = {900, 300000};

    for (int i = 0; i < 2; i++) {
        struct one o;

        one_init(&o, 1, MATCH_PRODUCTIVITY, 1);
        o.sample.well.inflow.p_res_pa = i ? 2300 * PSI : 600 * PSI;
        o.test[0].liquid_sm3s = liquid_stbd[i] * STB_D;
        double j = o.sample.well.inflow.j_sm3spa;
        match(&o);
        cr_expect(eq(dbl, o.sample.well.inflow.j_sm3spa, j));
        cr_assert(eq(sz, o.diag.n_warnings, 1));
        cr_expect(says(&o, i ? "at the tested 300000 stb/d"
                             : "at the tested 900 stb/d"));
        cr_expect(says(&o, i ? "the reservoir has 2300 psia"
                             : "the reservoir has 600 psia"));
        arena_release(&o.arena);
    }
}

Test(match, a_test_without_lift_gas_says_nothing_of_the_productivity,
     .timeout = 10)
{
    struct one o;

    one_init(&o, 0, MATCH_PRODUCTIVITY, 1);
    o.test[0].lift_sm3s = NONE;
    double j = o.sample.well.inflow.j_sm3spa;
    match(&o);
    cr_assert(eq(dbl, o.sample.well.inflow.j_sm3spa, j));
    cr_assert(eq(dbl, o.sample.well.water_cut, 0.4));
    cr_assert(says(&o, "no lift gas"));
    arena_release(&o.arena);
}

Test(match, the_second_string_of_a_dual_has_its_own_test, .timeout = 10)
{
    struct one o;
    struct sample_well sample;
    struct field_test test = good_test();

    one_init(&o, 0, MATCH_RATES, 1);
    sample_well(1, &sample);
    test.water_cut = 0.6;
    struct field_well second = {.name = "A-1S",
                                .model = &sample.well,
                                .match = MATCH_RATES,
                                .n_tests = 1,
                                .test = &test};
    o.well.kind = KIND_DUAL;
    o.well.second = &second;
    match(&o);
    cr_expect(o.well.matched == &o.test[0] && second.matched == &test);
    cr_expect(eq(dbl, o.sample.well.water_cut, 0.4));
    cr_expect(eq(dbl, sample.well.water_cut, 0.6));
    arena_release(&o.arena);
}
