#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "scenario/value.h"
#include "support/text.h"

struct result {
    double value;
    const char *messages;
};

static struct result read_row(struct arena *a, const struct schema_row *row,
                              const char *text, const struct unit *unit)
{
    struct unit_frame frame = unit_frame_default();
    struct diag d;
    struct strbuf out;
    diag_init(&d, a);
    strbuf_init(&out, a);
    double value = value_read(
        &(struct value_text){
            .row = row, .text = text, .path = "p", .unit = unit},
        &frame, &d);
    diag_write(&d, 20, &out);
    return (struct result){value, out.text};
}

static struct result read_key(struct arena *a, const char *key,
                              const char *text)
{
    return read_row(a, schema_key(key), text, NULL);
}

Test(value, good_texts_become_si, .timeout = 30)
{
    static const struct {
        const char *key, *text;
        double want;
    } ROWS[] = {
        {"wells.*.injection_depth", "1000 ft", 304.8},
        {"wells.*.injection_depth", "1000ft", 304.8},
        {"wells.*.injection_depth", "1.5 km", 1500.0},
        {"wells.*.injection_depth", "96/64 km", 1500.0},
        {"wells.*.valves.*.port", "1/4 in", 0.00635},
        {"wells.*.valves.*.port", "16 64ths", 0.00635},
        {"wells.*.water_cut", "72 %", 0.72},
        {"wells.*.water_cut", "100 %", 1.0},
        {"wells.*.water_cut", "0.5 fraction", 0.5},
        {"wells.*.wellhead.pressure", "0 psig", 14.696 * 6894.757293168},
        {"wells.*.wellhead.pressure", "20 bara", 2e6},
        {"lift_gas.gravity", "0.65", 0.65},
        {"fluids.*.oil_gravity", "0.85 sg", 0.85},
        {"fluids.*.oil_gravity", "10 API", 1.0},
        {"compressors.*.capacity", "864 kSm3/d", 10.0},
        {"format", "1", 1.0},
        {"limits.moves", "8", 8.0},
        {"fluids.*.correlation", "standing", 0.0},
        {"fluids.*.correlation", "glaso", 2.0},
        {"wells.*.lift_gas.may_stop", "yes", 1.0},
        {"wells.*.lift_gas.may_stop", "no", 0.0},
        /* Days from 1970-01-01, by hand: 56 years of 365, 14 leap days, and
         * 328 days of 2026. */
        {"field.date", "2026-11-25", 56 * 365 + 14 + 328},
        {"field.date", "1970-01-02", 1.0},
        {"field.date", "2028-02-29", 58 * 365 + 14 + 59},
        {"tests.newest_within", "48 h", 172800.0},
    };
    struct arena a;
    arena_init(&a);
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct result r = read_key(&a, ROWS[i].key, ROWS[i].text);
        cr_expect(
            epsilon_eq(dbl, r.value, ROWS[i].want, 1e-12 * fabs(ROWS[i].want)),
            "row %zu: %s", i, r.messages);
        cr_expect(strstr(r.messages, "warning") != NULL ||
                      r.messages[0] == '\0',
                  "row %zu: %s", i, r.messages);
    }
    arena_release(&a);
}

Test(value, every_faulty_text_is_told_what_is_wrong_and_what_to_do,
     .timeout = 30)
{
    static const struct {
        const char *key, *text, *want;
    } ROWS[] = {
        {"wells.*.injection_depth", "6200",
         "p: \"6200\" has no unit; write one of: ft, m, in, mm, cm, km, "
         "64ths\n"},
        {"wells.*.injection_depth", "6200 feet",
         "p: \"6200 feet\" ends in the unknown unit \"feet\"; write one of: "
         "ft, m, in, mm, cm, km, 64ths\n"},
        {"wells.*.valves.*.port", "1/0 in",
         "p: \"1/0 in\" ends in the unknown unit \"/0 in\"; write one of: "
         "ft, m, in, mm, cm, km, 64ths\n"},
        {"wells.*.wellhead.pressure", "300/2 psig",
         "p: \"300/2 psig\" ends in the unknown unit \"/2 psig\"; write one "
         "of: psig, psia, barg, bara, kPag, kPaa, MPaa, Pa\n"},
        {"wells.*.injection_depth", "", "p: \"\" is empty; write a value\n"},
        {"wells.*.injection_depth", "1,5 ft",
         "p: \"1,5 ft\" is a number with a comma; write a point before the "
         "decimals and no thousands separators, like 1234.5\n"},
        {"wells.*.injection_depth", "6 200 ft",
         "p: \"6 200 ft\" holds a blank between digits; write the number "
         "without separators, like 1234.5\n"},
        {"wells.*.injection_depth",
         "6\xc2\xa0"
         "200 ft",
         "p: \"6\xc2\xa0"
         "200 ft\" holds a blank between digits; write the "
         "number without separators, like 1234.5\n"},
        {"wells.*.injection_depth", "deep",
         "p: \"deep\" is not a plain decimal number; write digits with at "
         "most one point, like 12.5\n"},
        {"wells.*.injection_depth", ".nan",
         "p: \".nan\" is not a finite number; write the value, or leave it "
         "out\n"},
        {"wells.*.wellhead.pressure", "140 psi",
         "p: \"140 psi\" is a pressure difference, not a pressure, gauge or "
         "absolute; write one of: psig, psia, barg, bara, kPag, kPaa, MPaa, "
         "Pa\n"},
        {"wells.*.wellhead.pressure", "140 ft",
         "p: \"140 ft\" is a length, not a pressure, gauge or absolute; "
         "write one of: psig, psia, barg, bara, kPag, kPaa, MPaa, Pa\n"},
        {"wells.*.wellhead.pressure", "5001 psig",
         "p: \"5001 psig\" is outside the allowed 0 to 5000 psig; check the "
         "value and its unit\n"},
        {"wells.*.wellhead.pressure", "-1 psig",
         "p: \"-1 psig\" is outside the allowed 0 to 5000 psig; check the "
         "value and its unit\n"},
        {"wells.*.tubing.*.inside_diameter", "2.9 ft",
         "p: \"2.9 ft\" is outside the allowed 0.04167 to 1.667 ft; check "
         "the value and its unit\n"},
        {"fluids.*.oil_gravity", "1.5 sg",
         "p: \"1.5 sg\" is outside the allowed 0.7389 to 1.014 sg; check "
         "the value and its unit\n"},
        {"lift_gas.gravity", "0.65 sg",
         "p: \"0.65 sg\" is not a plain decimal number; write digits with "
         "at most one point, like 12.5\n"},
        {"lift_gas.gravity", "2",
         "p: \"2\" is outside the allowed 0.57 to 1.68; check the value\n"},
        {"wells.*.water_cut", "-9999 %",
         "p: \"-9999 %\" is outside the allowed 0 to 100 %; a missing-value "
         "code is no number, leave the place empty\n"},
        {"format", "2",
         "p: \"2\" is outside the allowed 1 to 1; check the value\n"},
        {"format", "1.0", "p: \"1.0\" is no whole number; write digits only\n"},
        {"limits.moves", "-1",
         "p: \"-1\" is no whole number; write digits only\n"},
        {"fluids.*.correlation", "Standing",
         "p: \"Standing\" is not one of the choices; write one of: standing, "
         "vasquez-beggs, glaso\n"},
        {"fluids.*.correlation", "",
         "p: \"\" is not one of the choices; write one of: standing, "
         "vasquez-beggs, glaso\n"},
        {"wells.*.lift_gas.may_stop", "true",
         "p: \"true\" is neither yes nor no; write yes or no\n"},
        {"field.date", "25/11/2026",
         "p: \"25/11/2026\" is no date; write it as YYYY-MM-DD, without a "
         "time\n"},
        {"field.date", "2026-11-5",
         "p: \"2026-11-5\" is no date; write it as YYYY-MM-DD, without a "
         "time\n"},
        {"field.date", "2026-02-29",
         "p: \"2026-02-29\" is a day that does not exist; check the date\n"},
        {"field.date", "2100-02-29",
         "p: \"2100-02-29\" is a day that does not exist; check the date\n"},
        {"field.date", "2026-13-01",
         "p: \"2026-13-01\" is a day that does not exist; check the date\n"},
        {"field.date", "2026-00-10",
         "p: \"2026-00-10\" is a day that does not exist; check the date\n"},
        {"field.date", "0026-11-25",
         "p: \"0026-11-25\" is outside the years 1950 to 2199; check the "
         "date\n"},
        {"field.name", " x",
         "p: \" x\" starts or ends with a blank; write 1 to 64 plain "
         "characters\n"},
        {"wells.*.curve", "/etc/passwd",
         "p: \"/etc/passwd\" leads out of the scenario's folder; put the "
         "file into the folder and write its name\n"},
        {"wells.*.curve", "a/../../b.csv",
         "p: \"a/../../b.csv\" leads out of the scenario's folder; put the "
         "file into the folder and write its name\n"},
        {"wells.*.curve", "..\\b.csv",
         "p: \"..\\b.csv\" leads out of the scenario's folder; put the file "
         "into the folder and write its name\n"},
    };
    struct arena a;
    arena_init(&a);
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct result r = read_key(&a, ROWS[i].key, ROWS[i].text);
        cr_expect(isnan(r.value), "row %zu", i);
        cr_expect(text_is(r.messages, ROWS[i].want));
    }
    arena_release(&a);
}

Test(value, an_unusual_value_is_used_with_a_warning, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    struct result r = read_key(&a, "wells.*.wellhead.pressure", "1500 psig");
    cr_assert(not(isnan(r.value)));
    cr_assert(text_is(r.messages,
                      "warning: p: \"1500 psig\" is outside the usual 20 to "
                      "1000 psig; check the value and its unit\n"));
    r = read_key(&a, "wells.*.wellhead.pressure", "1000 psig");
    cr_assert(text_is(r.messages, ""));
    arena_release(&a);
}

Test(value, a_time_is_by_the_clock_by_date_or_so_long_after_a_start,
     .timeout = 30)
{
    static const struct {
        const char *text;
        int kind;
        long day;
        double s;
    } GOOD[] = {
        {"00:00", MOMENT_CLOCK, 0, 0},
        {"06:30", MOMENT_CLOCK, 0, 23400},
        {"24:00", MOMENT_CLOCK, 0, 86400},
        {"1970-01-03 23:59", MOMENT_DATED, 2, 86340},
        {"2026-11-25  06:30", MOMENT_DATED, 56 * 365 + 14 + 328, 23400},
        {"+26 h", MOMENT_AFTER, 0, 93600},
        {"+0.5 d", MOMENT_AFTER, 0, 43200},
        {"+90min", MOMENT_AFTER, 0, 5400},
    };
    for (size_t i = 0; i < sizeof GOOD / sizeof GOOD[0]; i++) {
        struct value_moment m;
        bool is_good = value_moment(GOOD[i].text, &m);
        cr_expect(is_good && (int)m.kind == GOOD[i].kind &&
                      m.day == GOOD[i].day && m.s == GOOD[i].s,
                  "%s", GOOD[i].text);
    }
    static const char *const BAD[] = {
        "",         "6:30",  "06:60",           "24:01",
        "06:30:00", "06.30", "2026-11-25",      "2026-11-31 06:30",
        "26 h",     "+26",   "+26 ft",          "+-2 h",
        "+nan h",   "+",     "2026-11-25 6:30", "06:3x",
        "-1:00"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        struct value_moment m;
        cr_expect(not(value_moment(BAD[i], &m)), "%s", BAD[i]);
    }
}

Test(value, a_time_is_counted_from_a_start_on_a_day, .timeout = 30)
{
    static const struct {
        const char *text;
        double s;
    } ROWS[] = {
        {"06:30", 1800},
        {"05:00", -3600},
        {"1970-01-03 08:00", 7200},
        {"1970-01-04 06:00", 86400},
        {"+26 h", 93600},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct value_moment m;
        cr_assert(value_moment(ROWS[i].text, &m), "%s", ROWS[i].text);
        cr_expect(eq(dbl, value_moment_s(&m, 2, 6 * 3600.0), ROWS[i].s), "%s",
                  ROWS[i].text);
    }
}

Test(value, names_with_points_and_files_below_the_folder_are_fine,
     .timeout = 30)
{
    static const char *const FILES[] = {"well-17.csv", "curves/a..b.csv", "...",
                                        "a/.hidden"};
    struct arena a;
    arena_init(&a);
    for (size_t i = 0; i < 4; i++)
        cr_expect(
            text_is(read_key(&a, "wells.*.curve", FILES[i]).messages, ""));
    arena_release(&a);
}

Test(value, a_column_takes_its_unit_from_the_header, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    const struct schema_row *row = schema_column("tests.csv", "oil", 3);
    const struct unit *metric = unit_named(DIM_LIQUID_RATE, "Sm3/d");
    cr_assert(
        epsilon_eq(dbl, read_row(&a, row, "864", metric).value, 0.01, 1e-14));
    cr_assert(text_has(read_row(&a, row, "864 Sm3/d", metric).messages,
                       "not a plain decimal number"));
    cr_assert(text_has(read_row(&a, row, "-5", metric).messages,
                       "outside the allowed 0 to 1.59e+05 Sm3/d"));
    arena_release(&a);
}

Test(value, a_text_is_one_line_that_can_be_shown, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    const struct schema_row *row = schema_column("tests.csv", "note", 4);
    char longest[302];
    memset(longest, 'x', 301);
    longest[301] = '\0';
    cr_assert(text_has(read_row(&a, row, longest, NULL).messages,
                       "longer than 300 bytes"));
    cr_assert(text_is(read_row(&a, row, longest + 1, NULL).messages, ""));
    cr_assert(text_has(read_row(&a, row, "a\nb", NULL).messages, "line break"));
    arena_release(&a);
}

Test(value, gauge_units_are_known_as_such, .timeout = 30)
{
    cr_assert(value_is_gauge(value_unit(DIM_PRESSURE, "14.7 psig")));
    cr_assert(value_is_gauge(value_unit(DIM_PRESSURE, "1barg")));
    cr_assert(not(value_is_gauge(value_unit(DIM_PRESSURE, "14.7 psia"))));
    cr_assert(value_unit(DIM_PRESSURE, "14.7 ft") == NULL);
    cr_assert(value_unit(DIM_PRESSURE, "x") == NULL);
}
