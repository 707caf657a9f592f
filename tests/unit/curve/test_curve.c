#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "curve/curve.h"

#include <math.h>
#include <string.h>

/* Flow starts at gas 2; the middle and the ends are easy by hand. */
static const double GAS[] = {2, 4, 8};
static const double OIL[] = {10, 20, 16};
static const double WATER[] = {5, 10, 8};
static const double FORMATION[] = {100, 200, 160};

static struct curve three_points(void)
{
    return (struct curve){
        .well = "A-1",
        .source = CURVE_TABLE,
        .n = 3,
        .gas_sm3s = GAS,
        .oil_sm3s = OIL,
        .water_sm3s = WATER,
        .formation_sm3s = FORMATION,
        .peak = 1,
        .gas_max_sm3s = 8,
    };
}

Test(curve, is_straight_between_its_points, .timeout = 5)
{
    static const struct {
        double gas, oil, slope;
    } ROWS[] = {
        {2, 10, 5}, {3, 15, 5}, {4, 20, -1}, {6, 18, -1}, {8, 16, -1},
    };
    struct curve c = three_points();
    struct err err = {0};

    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct curve_point p;
        cr_assert(eq(int, curve_at(&c, ROWS[i].gas, &p, &err), ST_OK));
        cr_expect(epsilon_eq(dbl, p.oil_sm3s, ROWS[i].oil, 1e-12), "row %zu",
                  i);
        cr_expect(epsilon_eq(dbl, p.water_sm3s, ROWS[i].oil / 2, 1e-12),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, p.formation_sm3s, ROWS[i].oil * 10, 1e-12),
                  "row %zu", i);
        cr_expect(eq(dbl, p.gas_sm3s, ROWS[i].gas), "row %zu", i);
        cr_expect(epsilon_eq(dbl, p.slope, ROWS[i].slope, 1e-12), "row %zu", i);
        cr_expect(p.flows, "row %zu", i);
    }
}

Test(curve, is_dead_below_its_first_point, .timeout = 5)
{
    struct curve c = three_points();
    struct err err = {0};
    struct curve_point p;

    cr_assert(eq(int, curve_at(&c, 1.999, &p, &err), ST_OK));
    cr_assert(not(p.flows));
    cr_assert(eq(dbl, p.oil_sm3s, 0));
    cr_assert(eq(dbl, p.slope, 0));
    cr_assert(not(curve_flows_alone(&c)));
}

Test(curve, gas_outside_is_refused_and_names_the_well, .timeout = 5)
{
    static const double OUTSIDE[] = {8.001, -0.001, (double)NAN};
    struct curve c = three_points();

    for (size_t i = 0; i < sizeof OUTSIDE / sizeof OUTSIDE[0]; i++) {
        struct err err = {0};
        struct curve_point p = {.oil_sm3s = -1};
        cr_expect(eq(int, curve_at(&c, OUTSIDE[i], &p, &err), ST_RANGE),
                  "row %zu", i);
        cr_expect(eq(dbl, p.oil_sm3s, -1), "row %zu", i);
        cr_expect(strstr(err.msg, "A-1") != NULL, "row %zu", i);
    }
}

Test(curve, of_one_point_has_that_point_and_no_slope, .timeout = 5)
{
    struct curve c = three_points();
    c.n = 1;
    c.peak = 0;
    c.gas_max_sm3s = 2;
    struct err err = {0};
    struct curve_point p;

    cr_assert(eq(int, curve_at(&c, 2, &p, &err), ST_OK));
    cr_assert(eq(dbl, p.oil_sm3s, 10));
    cr_assert(eq(dbl, p.slope, 0));
    cr_assert(eq(int, curve_at(&c, 2.1, &p, &err), ST_RANGE));
}

Test(curve, of_a_dead_well_makes_nothing_up_to_its_maximum, .timeout = 5)
{
    struct curve c = {.well = "D-1", .gas_max_sm3s = 3};
    struct err err = {0};
    struct curve_point p;

    cr_assert(eq(int, curve_at(&c, 3, &p, &err), ST_OK));
    cr_assert(not(p.flows));
    cr_assert(eq(dbl, p.oil_sm3s, 0));
    cr_assert(eq(dbl, p.gas_sm3s, 3));
    cr_assert(eq(int, curve_at(&c, 3.1, &p, &err), ST_RANGE));
    cr_assert(eq(dbl, curve_peak_oil_sm3s(&c), 0));
    cr_assert(not(curve_flows_alone(&c)));
}

Test(curve, that_starts_at_no_gas_flows_alone, .timeout = 5)
{
    static const double FROM_ZERO[] = {0, 4, 8};
    struct curve c = three_points();
    c.gas_sm3s = FROM_ZERO;

    cr_assert(curve_flows_alone(&c));
    cr_assert(eq(dbl, curve_peak_oil_sm3s(&c), 20));
}
