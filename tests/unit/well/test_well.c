#include "well/well.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

static const struct well_station path[] = {{0, 0}, {1000, 1000}, {2000, 1500}};

Test(well, vertical_depth_is_straight_between_stations, .timeout = 5)
{
    static const struct {
        double md, tvd;
    } rows[] = {{0, 0},       {250, 250},     {1000, 1000},
                {1200, 1100}, {1999, 1499.5}, {2000, 1500}};
    struct well w = {.n_stations = 3, .station = path};

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        cr_expect(
            epsilon_eq(dbl, well_tvd_m(&w, rows[i].md), rows[i].tvd, 1e-9),
            "%g m", rows[i].md);
    cr_assert(eq(dbl, well_bottom_m(&w), 2000));
}

Test(well, the_stream_is_liquid_cut_and_gas_per_oil, .timeout = 5)
{
    struct well w = {.water_cut = 0.75, .gor_sm3sm3 = 80};
    struct stream s = well_stream(&w, 0.02, 1.5);

    cr_assert(epsilon_eq(dbl, s.oil_sm3s, 0.005, 1e-15));
    cr_assert(epsilon_eq(dbl, s.water_sm3s, 0.015, 1e-15));
    cr_assert(epsilon_eq(dbl, s.gas_sm3s, 0.4, 1e-12));
    cr_assert(eq(dbl, s.lift_sm3s, 1.5));
}
