/* Units share the gas. Numbers by hand: two units of 100 (least 40) and 60
 * (least 30), fuel 10 % and 5 % of what passes them. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>

#include "base/arena.h"
#include "field/balance.h"

static struct field_compressor unit(const char *name, double least,
                                    double capacity, double fuel)
{
    return (struct field_compressor){
        .name = name,
        .state = UNIT_RUNNING,
        .least_sm3s = least,
        .capacity_sm3s = capacity,
        .has_fuel = true,
        .fuel_fraction = fuel,
    };
}

struct station_case {
    struct field field;
    struct field_compressor unit[2];
    struct unit_load load[2];
};

static void set_up(struct station_case *c, enum station_side fuel_from)
{
    *c = (struct station_case){
        .unit = {unit("dear", 40, 100, 0.10), unit("cheap", 30, 60, 0.05)},
        .load = {{.runs = true}, {.runs = true}},
    };
    c->field.station = (struct field_station){
        .n_compressors = 2,
        .compressor = c->unit,
        .has_compressors = true,
        .fuel_from = fuel_from,
    };
}

static bool is_near(double got, double want)
{
    return fabs(got - want) <= 1e-12 * (1 + fabs(want));
}

Test(balance, the_unit_of_least_fuel_takes_more_first, .timeout = 5)
{
    static const struct {
        double lift, dear, cheap, fuel;
    } ROWS[] = {
        {70, 40, 30, 5.5},  /* both at their least */
        {85, 40, 45, 6.25}, /* the cheap one takes the rest */
        {100, 40, 60, 7},   /* and is full */
        {130, 70, 60, 10},  /* then the dear one */
        {160, 100, 60, 13}, /* all there is */
        {170, 110, 60, 14}, /* more than there is: the first is overloaded */
        {60, 30, 30, 4.5},  /* less than they need: no gas can go round */
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct station_case c;
        set_up(&c, SIDE_SUCTION);
        struct gas_balance b = {.lift = ROWS[i].lift};
        balance_close(&c.field, &b, c.load);
        cr_expect(is_near(c.load[0].through_sm3s, ROWS[i].dear), "row %zu", i);
        cr_expect(is_near(c.load[1].through_sm3s, ROWS[i].cheap), "row %zu", i);
        cr_expect(is_near(b.fuel, ROWS[i].fuel), "row %zu: fuel %g", i, b.fuel);
        cr_expect(is_near(b.compressed, ROWS[i].lift), "row %zu", i);
    }
}

/* Fuel from discharge is compressed itself: 100 delivered and 40 through the
 * dear unit ask x of the cheap one with 40 + x = 100 + 4 + 0.05 x, and x =
 * 64/0.95 is over 60. So the cheap one is full and y of the dear one holds
 * y + 60 = 103 + 0.1 y: 43/0.9. */
Test(balance, fuel_from_discharge_is_compressed_itself, .timeout = 5)
{
    struct station_case c;
    set_up(&c, SIDE_DISCHARGE);
    struct gas_balance b = {.lift = 100};
    balance_close(&c.field, &b, c.load);
    cr_expect(is_near(c.load[1].through_sm3s, 60));
    cr_expect(is_near(c.load[0].through_sm3s, 43 / 0.9));
    cr_expect(is_near(b.fuel, 3 + 4.3 / 0.9));
    cr_expect(is_near(b.compressed, 60 + 43 / 0.9));
}

Test(balance, gas_goes_round_a_unit_that_needs_more_than_is_asked, .timeout = 5)
{
    struct station_case c;
    set_up(&c, SIDE_SUCTION);
    c.unit[0].recycles = true;
    struct gas_balance b = {.lift = 50};
    balance_close(&c.field, &b, c.load);
    cr_expect(is_near(c.load[0].through_sm3s, 40));
    cr_expect(is_near(c.load[0].recycled_sm3s, 20));
    cr_expect(is_near(c.load[1].through_sm3s, 30));
    cr_expect(is_near(b.fuel, 5.5));
    /* Asked for more again, it is the recycled gas that comes first. */
    b.lift = 65;
    balance_close(&c.field, &b, c.load);
    cr_expect(is_near(c.load[0].through_sm3s, 40));
    cr_expect(is_near(c.load[0].recycled_sm3s, 5));
}

Test(balance, a_sharing_that_carries_the_gas_is_left_as_it_is, .timeout = 5)
{
    struct station_case c;
    set_up(&c, SIDE_SUCTION);
    c.load[0].through_sm3s = 75;
    c.load[1].through_sm3s = 35;
    struct gas_balance b = {.lift = 110};
    balance_close(&c.field, &b, c.load);
    cr_expect(is_near(c.load[0].through_sm3s, 75));
    cr_expect(is_near(c.load[1].through_sm3s, 35));
}

Test(balance, a_unit_that_stands_still_burns_nothing, .timeout = 5)
{
    struct station_case c;
    set_up(&c, SIDE_SUCTION);
    c.unit[0].fuel_fixed_sm3s = 2;
    c.unit[1].fuel_fixed_sm3s = 1;
    c.unit[0].power_fixed_w = 10;
    c.unit[0].power_j_sm3 = 3;
    c.load[1] = (struct unit_load){.runs = false, .through_sm3s = 20};
    struct gas_balance b = {.lift = 80};
    balance_close(&c.field, &b, c.load);
    cr_expect(is_near(c.load[0].through_sm3s, 80));
    cr_expect(is_near(c.load[0].power_w, 250));
    cr_expect(is_near(c.load[1].through_sm3s, 0));
    cr_expect(is_near(b.fuel, 10));
    cr_expect(is_near(c.load[1].power_w, 0));
}

/* Whatever their place in the file; the name counts only between equals. */
Test(balance, of_units_that_burn_alike_the_first_by_name_takes_more,
     .timeout = 5)
{
    static const struct {
        const char *name[2];
        double fuel[2];
        size_t more;
    } ROWS[] = {
        {{"B", "A"}, {0.05, 0.05}, 1},
        {{"A", "B"}, {0.05, 0.05}, 0},
        {{"A", "B"}, {0.06, 0.05}, 1},
        {{"B", "A"}, {0.05, 0.06}, 0},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct station_case c;
        set_up(&c, SIDE_SUCTION);
        for (size_t u = 0; u < 2; u++)
            c.unit[u] = unit(ROWS[i].name[u], 10, 100, ROWS[i].fuel[u]);
        struct gas_balance b = {.lift = 70};
        balance_close(&c.field, &b, c.load);
        size_t more = ROWS[i].more;
        cr_expect(is_near(c.load[more].through_sm3s, 60), "row %zu", i);
        cr_expect(is_near(c.load[1 - more].through_sm3s, 10), "row %zu", i);
    }
}
