#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "plan/morning.h"
#include "support/plan_case.h"
#include "support/text.h"

/* Five wells with two-line curves, so that the plan can be made by hand. */
enum { RICH, POOR, DEAD, LOCKED, BROKEN };

static void build(struct builder *b)
{
    static const double GAS[] = {0, 500, 1000};
    static const double RICH_OIL[] = {100, 500, 600}; /* 0.8, then 0.2 */
    static const double POOR_OIL[] = {50, 100, 120};  /* 0.1, then 0.04 */
    static const double START[] = {400, 600}, START_OIL[] = {300, 320};
    builder_reading(builder_well(b, "R", 3, GAS, RICH_OIL, 1, 0.5), 200,
                    WELL_FLOWING);
    builder_reading(builder_well(b, "P", 3, GAS, POOR_OIL, 1, 0.5), 700,
                    WELL_FLOWING);
    builder_reading(builder_well(b, "D", 2, START, START_OIL, 1, 0.5), 0,
                    WELL_FLOWING);
    struct field_well *locked = builder_well(b, "L", 3, GAS, POOR_OIL, 1, 0.5);
    builder_reading(locked, 100, WELL_TEST);
    locked->reading.reason = "on the separator until noon";
    builder_reading(builder_well(b, "B", 3, GAS, RICH_OIL, 1, 0.5), 300,
                    WELL_DOWN);
    b->field.limits.caps.lift_sm3s = builder_gas(1000);
}

static struct morning solve(struct builder *b)
{
    struct plan_options o = plan_options_default();
    struct morning m;
    struct err err = {0};
    cr_assert(eq(int,
                 morning_solve(&b->field, b->curves, &o, b->arena, &m, &err),
                 ST_OK),
              "%s", err.msg);
    return m;
}

/* 1,000 Mscf/d: 100 are locked, R takes 500, D starts with 400, P stops.
 * Oil: R 500, P 50, D 300, L 60. */
Test(morning, lists_the_moves_best_first_with_their_oil, .timeout = 20)
{
    static const struct {
        size_t well;
        enum move_kind kind;
        double from, to, oil;
        const char *reason;
    } WANT[] = {
        {DEAD, MOVE_START, 0, 400, 300, "dead as it is and worth its start"},
        {RICH, MOVE_MORE, 200, 500, 240,
         "returns more oil per gas than the rest of the field"},
        {POOR, MOVE_STOP, 700, 0, -58,
         "returns less oil per gas than elsewhere"},
    };
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build(&b);
    struct morning m = solve(&b);
    cr_assert(eq(sz, m.n_moves, 3));
    for (size_t i = 0; i < 3; i++) {
        const struct move *got = &m.move[i];
        cr_expect(eq(sz, got->well, WANT[i].well), "row %zu", i);
        cr_expect(eq(int, got->kind, WANT[i].kind), "row %zu", i);
        cr_expect(
            epsilon_eq(dbl, builder_mscf_d(got->from_sm3s), WANT[i].from, 1e-6),
            "row %zu", i);
        cr_expect(
            epsilon_eq(dbl, builder_mscf_d(got->to_sm3s), WANT[i].to, 1e-6),
            "row %zu", i);
        cr_expect(epsilon_eq(dbl, builder_stb_d(got->oil_change_sm3s),
                             WANT[i].oil, 1e-6),
                  "row %zu", i);
        double per_gas = WANT[i].oil / (WANT[i].to - WANT[i].from);
        cr_expect(epsilon_eq(dbl,
                             got->oil_per_gas * builder_gas(1) / builder_oil(1),
                             per_gas, 1e-6),
                  "row %zu", i);
        cr_expect(text_is(got->reason, WANT[i].reason), "row %zu", i);
    }
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.now.oil_sm3s), 428, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.plan.oil_sm3s), 910, 1e-6));
    cr_expect(eq(sz, m.verify.n_faults, 0));
    arena_release(&a);
}

/* One MMscf/d more fills everything: R 600, P 120, D 320 with 600; by hand:
 * 600 + 120 + 320 + 60 = 1,100 at 500 + 1,000 + 200 more than there is; so
 * in order of slope: R +500 at 0.2, D +200 at 0.1, P +300 at 0.1.
 * Less leaves the 100 that are locked, which is more than there is. */
Test(morning, says_what_a_million_more_or_less_would_do, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build(&b);
    struct morning m = solve(&b);
    cr_expect(
        epsilon_eq(dbl, builder_stb_d(m.more_oil_sm3s), 100 + 20 + 30, 0.01));
    cr_expect(isnan(m.less_oil_sm3s));
    b.field.limits.caps.lift_sm3s = builder_gas(1600);
    m = solve(&b);
    /* From 1,600 (R 1,000, D 400, 100 left over for D or P at 0.1) back to
     * 600: R 500 and nothing for D. */
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.plan.oil_sm3s), 1020, 0.01));
    cr_expect(
        epsilon_eq(dbl, builder_stb_d(m.less_oil_sm3s), 610 - 1020, 0.01));
    arena_release(&a);
}

Test(morning, a_million_more_relaxes_the_compressors_too, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build(&b);
    struct field_compressor two[2] = {
        {.name = "C-1", .capacity_sm3s = builder_gas(700)},
        {.name = "C-2", .capacity_sm3s = builder_gas(300)},
    };
    b.field.station.has_compressors = true;
    b.field.station.n_compressors = 2;
    b.field.station.compressor = two;
    b.field.limits.caps.lift_sm3s = (double)INFINITY;
    struct morning m = solve(&b);
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.plan.oil_sm3s), 910, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_stb_d(m.more_oil_sm3s), 150, 0.01));
    arena_release(&a);
}

Test(morning, keeps_locked_and_down_wells_with_their_reasons, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build(&b);
    struct morning m = solve(&b);
    cr_assert(eq(sz, m.n_kept, 2));
    cr_expect(eq(sz, m.kept[0].well, BROKEN));
    cr_expect(text_is(m.kept[0].reason, "down"));
    cr_expect(eq(sz, m.kept[1].well, LOCKED));
    cr_expect(text_is(m.kept[1].reason,
                      "locked for a test: on the separator until noon"));
    arena_release(&a);
}

/* Reasons that depend on where the well is this morning. */
Test(morning, gives_the_reason_that_fits_the_present_rate, .timeout = 20)
{
    static const double GAS[] = {0, 400, 800}, OIL[] = {100, 300, 250};
    static const double LATE[] = {300, 600}, LATE_OIL[] = {200, 260};
    static const struct {
        double now, min, max;
        bool is_late;
        const char *reason;
    } ROWS[] = {
        {700, 0, 900, false,
         "takes more gas than its peak rate: less gas, no less oil"},
        {900, 0, 900, false, "more gas than its curve knows"},
        {380, 0, 350, false, "above its maximum"},
        {100, 200, 900, false,
         "below its minimum: either off or at least the minimum"},
        {100, 0, 900, false, "gas is not short: more gas, more oil"},
        {200, 0, 900, true, "dead as it is and worth its start"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        struct field_well *w =
            ROWS[i].is_late ? builder_well(&b, "W", 2, LATE, LATE_OIL, 0, 0)
                            : builder_well(&b, "W", 3, GAS, OIL, 0, 0);
        w->lift_min_sm3s = builder_gas(ROWS[i].min);
        w->lift_max_sm3s = builder_gas(ROWS[i].max);
        builder_reading(w, ROWS[i].now, WELL_FLOWING);
        struct morning m = solve(&b);
        cr_assert(eq(sz, m.n_moves, 1), "row %zu", i);
        cr_expect(text_is(m.move[0].reason, ROWS[i].reason), "row %zu", i);
        cr_expect(eq(sz, m.n_beyond, ROWS[i].now > 800), "row %zu", i);
        arena_release(&a);
    }
}

Test(morning, has_no_moves_when_there_is_no_plan, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build(&b);
    b.field.limits.caps.lift_sm3s = builder_gas(50);
    struct morning m = solve(&b);
    cr_expect(eq(int, m.plan.outcome, PLAN_IMPOSSIBLE));
    cr_expect(eq(sz, m.n_moves, 0));
    cr_expect(isnan(m.more_oil_sm3s));
    cr_expect(eq(sz, m.n_kept, 2));
    cr_expect(text_is(m.plan.conflict,
                      "these cannot be met together: the wells locked at "
                      "their rate (L); at most 0.05 MMscf/d of lift gas in "
                      "the field"));
    arena_release(&a);
}
