#include "report/show.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>

#include "base/arena.h"
#include "support/text.h"

TestSuite(show, .timeout = 10);

/* One stb is 0.158987294928 m3 and one day 86400 s (NIST SP 811, 2008). One
 * Mscf at 14.696 psia and 60 F is 28.2625 Sm3 at 101.325 kPa and 15 C: 28.3168
 * m3 (the cubic foot) * 101.32535 / 101.325 * 288.15 / 288.7056. */
#define STB_M3 0.158987294928
#define MSCF_SM3 28.2625
#define DAY_S 86400.0

static struct show in(struct arena *a, enum show_system system)
{
    return (struct show){a, system, unit_frame_default()};
}

Test(show, digits_follow_the_quantity_and_the_system)
{
    struct arena a;
    arena_init(&a);
    const struct {
        enum show_quantity q;
        double si;
        const char *field, *metric;
    } cases[] = {
        {SHOW_LIQUID, 1000 * STB_M3 / DAY_S, "1000 stb/d", "159.0 Sm3/d"},
        {SHOW_WELL_GAS, 620 * MSCF_SM3 / DAY_S, "620 Mscf/d", "17.5 kSm3/d"},
        {SHOW_FIELD_GAS, 10e3 * MSCF_SM3 / DAY_S, "10.00 MMscf/d",
         "282.6 kSm3/d"},
        {SHOW_OIL_PER_GAS, 0.1 * STB_M3 / MSCF_SM3, "0.100 stb/Mscf",
         "0.563 Sm3/kSm3"},
        {SHOW_PRESSURE, 101325 + 1e6, "145 psig", "10.0 barg"},
        {SHOW_TEMPERATURE, 373.15, "212 F", "100 C"},
        {SHOW_DEPTH, 304.8, "1000 ft", "305 m"},
        {SHOW_DIAMETER, 0.0508, "2.000 in", "50.8 mm"},
        {SHOW_MONEY, 120 / DAY_S, "$120/d", "$120/d"},
        {SHOW_MONEY, -120 / DAY_S, "-$120/d", "-$120/d"},
        {SHOW_PERCENT, 0.452, "45.2 %", "45.2 %"},
    };
    struct show field = in(&a, SHOW_FIELD), metric = in(&a, SHOW_METRIC);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        cr_expect(
            text_is(show_full(&field, cases[i].q, cases[i].si), cases[i].field),
            "row %zu", i);
        cr_expect(text_is(show_full(&metric, cases[i].q, cases[i].si),
                          cases[i].metric),
                  "row %zu", i);
    }
    arena_release(&a);
}

Test(show, a_change_has_a_sign_unless_it_shows_as_zero)
{
    struct arena a;
    arena_init(&a);
    struct show s = in(&a, SHOW_FIELD);
    double stbd = STB_M3 / DAY_S;
    cr_expect(text_is(show_change(&s, SHOW_LIQUID, 31 * stbd), "+31"));
    cr_expect(text_is(show_change(&s, SHOW_LIQUID, -31 * stbd), "-31"));
    cr_expect(text_is(show_change(&s, SHOW_LIQUID, 0.3 * stbd), "0"));
    cr_expect(text_is(show_change(&s, SHOW_LIQUID, -0.3 * stbd), "0"));
    cr_expect(text_is(show_change(&s, SHOW_LIQUID, (double)NAN), "-"));
    arena_release(&a);
}

Test(show, a_step_agrees_with_its_ends_as_they_are_shown)
{
    struct arena a;
    arena_init(&a);
    struct show s = in(&a, SHOW_FIELD);
    double stbd = STB_M3 / DAY_S;
    /* 913 and 932 are shown; they are 18.2 apart. */
    cr_expect(
        text_is(show_step(&s, SHOW_LIQUID, 913.4 * stbd, 931.6 * stbd), "+19"));
    cr_expect(
        text_is(show_step(&s, SHOW_LIQUID, 931.6 * stbd, 913.4 * stbd), "-19"));
    cr_expect(
        text_is(show_step(&s, SHOW_LIQUID, 913.4 * stbd, 912.6 * stbd), "0"));
    /* 2.5 m is shown as 2 m. */
    struct show m = in(&a, SHOW_METRIC);
    cr_expect(text_is(show_number(&m, SHOW_DEPTH, 2.5), "2"));
    cr_expect(text_is(show_step(&m, SHOW_DEPTH, 0, 2.5), "+2"));
    arena_release(&a);
}

Test(show, names_for_programs_carry_the_unit)
{
    struct arena a;
    arena_init(&a);
    struct show s = in(&a, SHOW_FIELD), m = in(&a, SHOW_METRIC);
    cr_expect(text_is(show_key(&s, "oil", SHOW_LIQUID), "oil_stb_d"));
    cr_expect(text_is(show_key(&m, "oil", SHOW_LIQUID), "oil_sm3_d"));
    cr_expect(text_is(show_key(&s, "money", SHOW_MONEY), "money_usd_d"));
    cr_expect(
        text_is(show_key(&s, "water_cut", SHOW_PERCENT), "water_cut_percent"));
    cr_expect(text_is(show_title(&s, "lift gas", SHOW_WELL_GAS),
                      "lift gas (Mscf/d)"));
    arena_release(&a);
}

Test(show, days_are_dates_of_the_calendar)
{
    struct arena a;
    arena_init(&a);
    struct show s = in(&a, SHOW_FIELD);
    cr_expect(text_is(show_day(&s, 0), "1970-01-01"));
    /* 30 years of 365 days and 7 leap days; leap day of 2000 is day 59. */
    cr_expect(text_is(show_day(&s, 30 * 365 + 7 + 59), "2000-02-29"));
    arena_release(&a);
}

Test(show, the_gas_base_is_named_as_it_is_quoted)
{
    struct arena a;
    arena_init(&a);
    struct show s = in(&a, SHOW_FIELD);
    s.frame.p_base_pa = 14.73 * UNIT_PSI_PA;
    cr_expect(text_is(show_base(&s),
                      "14.73 psia and 60 F; local atmosphere 14.696 psia"));
    struct show m = in(&a, SHOW_METRIC);
    m.frame = (struct unit_frame){95000, UNIT_STD_PA, UNIT_STD_K};
    cr_expect(text_is(show_base(&m),
                      "101.325 kPaa and 15 C; local atmosphere 95 kPaa"));
    arena_release(&a);
}
