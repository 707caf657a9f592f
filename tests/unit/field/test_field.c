#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "field/balance.h"
#include "field/field.h"

Test(field, capacity_is_that_of_the_running_compressors, .timeout = 5)
{
    struct field_compressor list[] = {
        {.capacity_sm3s = 1, .state = UNIT_RUNNING},
        {.capacity_sm3s = 2, .state = UNIT_STOPPED},
        {.capacity_sm3s = 4, .state = UNIT_DOWN},
        {.capacity_sm3s = 8, .state = UNIT_RUNNING},
    };
    struct field f = {.station = {.has_compressors = true,
                                  .n_compressors = 4,
                                  .compressor = list}};
    cr_assert(eq(dbl, field_capacity_sm3s(&f), 9));
    f.station.n_compressors = 0;
    cr_assert(eq(dbl, field_capacity_sm3s(&f), 0));
    f.station.has_compressors = false;
    cr_assert(eq(dbl, field_capacity_sm3s(&f), (double)INFINITY));
}

/* 100 lifted, 40 of 200 formation gas sold, 10 bought, 20 % of the gas
 * compressed burnt, 5 % of the formation gas lost. By hand:
 *   all at suction: compressed 100, fuel 20
 *   fuel at discharge: compressed 100 / 0.8 = 125, fuel 25
 *   sales at discharge too: 140 / 0.8 = 175, fuel 35
 *   bought at discharge too: 130 / 0.8 = 162.5, fuel 32.5
 * in less out: 200 + 10 - 40 - fuel - 3 flared - 10 lost. */
Test(balance, fuel_follows_what_is_compressed, .timeout = 5)
{
    static const struct {
        enum station_side fuel, sales, bought;
        double compressed, fuel_burnt;
    } ROWS[] = {
        {SIDE_SUCTION, SIDE_SUCTION, SIDE_SUCTION, 100, 20},
        {SIDE_DISCHARGE, SIDE_SUCTION, SIDE_SUCTION, 125, 25},
        {SIDE_DISCHARGE, SIDE_DISCHARGE, SIDE_SUCTION, 175, 35},
        {SIDE_DISCHARGE, SIDE_DISCHARGE, SIDE_DISCHARGE, 162.5, 32.5},
        {SIDE_SUCTION, SIDE_DISCHARGE, SIDE_DISCHARGE, 130, 26},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct field f = {
            .station = {.fuel_fraction = 0.2,
                        .fuel_from = ROWS[i].fuel,
                        .shrinkage_fraction = 0.05},
            .sales = {.from = ROWS[i].sales},
            .market = {.enters = ROWS[i].bought},
        };
        struct gas_balance b = {.formation = 200,
                                .lift = 100,
                                .bought = 10,
                                .sales = 40,
                                .flare = 3};
        balance_close(&f, &b, NULL);
        cr_expect(epsilon_eq(dbl, b.compressed, ROWS[i].compressed, 1e-12),
                  "row %zu", i);
        cr_expect(epsilon_eq(dbl, b.fuel, ROWS[i].fuel_burnt, 1e-12), "row %zu",
                  i);
        cr_expect(epsilon_eq(dbl, b.shrinkage, 10, 1e-12), "row %zu", i);
        cr_expect(epsilon_eq(dbl, b.error, 157 - ROWS[i].fuel_burnt, 1e-12),
                  "row %zu", i);
    }
}

Test(field, more_header_pressure_is_given_where_there_is_one, .timeout = 5)
{
    struct field_group manifold[] = {{.p_header_pa = 8e6}, {.p_header_pa = 0}};
    struct well first = {.gas_path.p_header_pa = 8e6};
    struct well second = {.gas_path.p_header_pa = (double)INFINITY};
    struct field_well string = {.model = &second};
    struct field_well well[] = {{.model = &first, .second = &string},
                                {.model = NULL}};
    struct field f = {
        .groups[GROUP_MANIFOLD] = {2, manifold}, .n_wells = 2, .well = well};
    field_raise_header(&f, 1e5);
    cr_expect(eq(dbl, manifold[0].p_header_pa, 8.1e6));
    cr_expect(eq(dbl, manifold[1].p_header_pa, 0));
    cr_expect(eq(dbl, first.gas_path.p_header_pa, 8.1e6));
    cr_expect(isinf(second.gas_path.p_header_pa));
}
