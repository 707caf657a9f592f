#include <math.h>
#include <string.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/units.h"
#include "fluid/paper_units.h"
#include "well/friction.h"
#include "well/gas_path.h"

#define MSCF_D (1000 * PAPER_SCF_SM3 / UNIT_DAY_S)
#define P_HEAD_PA 7e6

TestSuite(gas_path, .timeout = 10);

/* --- wells -----------------------------------------------------------------*/

static const struct well_station upright[] = {{0, 0}, {2000, 2000}};
static const struct well_station bent[] = {
    {0, 0}, {600, 600}, {1000, 900}, {3200, 2000}};
static const struct well_section plain[] = {{3200, 0.1242, 4.6e-5, 0.0603}};
/* Wide above, narrow below, a bare pipe in between. */
static const struct well_section mixed[] = {{500, 0.2168, 4.6e-5, 0.0889},
                                            {1400, 0.0620, 4.6e-5, 0},
                                            {3200, 0.1242, 4.6e-5, 0.0730}};

static struct well well_of(const struct well_station *station, size_t n,
                           const struct well_section *section,
                           size_t n_sections)
{
    struct well w = {
        .name = "G-7",
        .n_stations = n,
        .station = station,
        .thermal = {.t_bottom_k = 370, .tvd_bottom_m = 2000},
        .gas_path = {n_sections, section, .t_head_k = 300},
    };

    gas_init(&w.fluid.lift_gas, &(struct gas_spec){.gravity = 0.68});
    return w;
}

static struct well straight_well(void)
{
    return well_of(upright, 2, plain, 1);
}

static struct well bent_well(void)
{
    return well_of(bent, 4, mixed, 3);
}

static double along(const struct well *w, double md_from_m, double md_to_m,
                    double mscfd, double p_pa)
{
    struct err err = {0};
    double p = (double)NAN;
    enum status st = gas_path_pressure(w, md_from_m, md_to_m, mscfd * MSCF_D,
                                       p_pa, &p, NULL, &err);

    cr_assert(eq(int, st, ST_OK), "%s", err.msg);
    return p;
}

/* --- the same by short steps -----------------------------------------------*/

static double slope_pam(const struct well *w, double md_m, double gas_sm3s,
                        double p_pa)
{
    const struct gas *gas = &w->fluid.lift_gas;
    const struct well_section *s = w->gas_path.section;
    double tvd = well_tvd_m(w, md_m), t_k = 300 + 70 * tvd / 2000;
    double incline = well_tvd_m(w, md_m + 1e-3) - well_tvd_m(w, md_m - 1e-3);
    double z = gas_z(gas, p_pa, t_k);
    double rho = gas_density_kgm3(gas, p_pa, t_k, z);

    while (s->to_md_m < md_m)
        s++;
    /* Darcy & Weisbach on speed and hydraulic diameter. */
    double area = 0.25 * M_PI * (s->d_m * s->d_m - s->core_m * s->core_m);
    double d = s->d_m - s->core_m;
    double v = gas_sm3s * gas_volume_factor(p_pa, t_k, z) / area;
    double re = rho * fabs(v) * d / gas_viscosity_pas(gas, t_k, rho);
    double f = v == 0 ? 0 : friction_moody(re, s->roughness_m / d);
    return rho * UNIT_GRAVITY_MS2 * incline / 2e-3 -
           f * rho * v * fabs(v) / (2 * d);
}

/* Midpoint rule, steps of 1 m: breaks lie on whole metres. */
static double by_steps(const struct well *w, double md_m, double mscfd)
{
    double p = P_HEAD_PA;

    for (double x = 0.5; x < md_m; x += 1) {
        double half = p + 0.5 * slope_pam(w, x, mscfd * MSCF_D, p);
        p += slope_pam(w, x, mscfd * MSCF_D, half);
    }
    return p;
}

Test(gas_path, both_directions_and_every_section_agree_with_short_steps)
{
    static const double rates[] = {-3000, -400, -1e-3, 0, 1e-3, 50, 900, 6000};

    for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++) {
        struct well a = straight_well(), b = bent_well();
        double at_2000 = by_steps(&a, 2000, rates[i]);
        double at_3150 = by_steps(&b, 3150, rates[i]);

        cr_expect(epsilon_eq(dbl, along(&a, 0, 2000, rates[i], P_HEAD_PA),
                             at_2000, 2e-6 * at_2000),
                  "%g Mscf/d", rates[i]);
        cr_expect(epsilon_eq(dbl, along(&b, 0, 3150, rates[i], P_HEAD_PA),
                             at_3150, 3e-6 * at_3150),
                  "%g Mscf/d", rates[i]);
        cr_expect(epsilon_eq(dbl, along(&b, 3150, 0, rates[i], at_3150),
                             P_HEAD_PA, 4e-6 * P_HEAD_PA),
                  "%g Mscf/d", rates[i]);
    }
}

/* --- what must hold
 * ---------------------------------------------------------*/

Test(gas_path, temperature_is_straight_in_true_vertical_depth)
{
    struct well w = bent_well();

    cr_assert(epsilon_eq(dbl, gas_path_temperature_k(&w, 0), 300, 1e-9));
    cr_assert(epsilon_eq(dbl, gas_path_temperature_k(&w, 1000), 300 + 70 * 0.45,
                         1e-9));
    cr_assert(epsilon_eq(dbl, gas_path_temperature_k(&w, 3200), 370, 1e-9));
}

Test(gas_path, gas_at_rest_asks_for_vertical_depth_alone)
{
    struct well a = straight_well(), b = bent_well();
    double of_straight = along(&a, 0, 2000, 0, P_HEAD_PA);

    cr_assert(epsilon_eq(dbl, along(&b, 0, 3200, 0, P_HEAD_PA), of_straight,
                         2e-6 * of_straight));
}

Test(gas_path,
     friction_takes_from_gas_that_goes_down_and_adds_below_it_going_up)
{
    struct well w = straight_well();
    double rest = along(&w, 0, 2000, 0, P_HEAD_PA);
    double down = along(&w, 0, 2000, 3000, P_HEAD_PA);
    double up = along(&w, 0, 2000, -3000, P_HEAD_PA);

    cr_assert(lt(dbl, down, rest - 1e4));
    cr_assert(lt(dbl, rest + 1e4, up));
}

Test(gas_path, a_trickle_is_gas_at_rest)
{
    struct well w = straight_well();
    double rest = along(&w, 0, 2000, 0, P_HEAD_PA);

    for (double q = 1e-12; q < 1; q *= 10)
        cr_expect(epsilon_eq(dbl, along(&w, 0, 2000, q, P_HEAD_PA), rest, 1),
                  "%g Mscf/d", q);
}

Test(gas_path, a_way_in_two_parts_is_the_way)
{
    struct well w = bent_well();
    double whole = along(&w, 0, 2900, 1500, P_HEAD_PA);

    for (double md = 100; md < 2900; md += 350) {
        double part = along(&w, 0, md, 1500, P_HEAD_PA);
        cr_expect(epsilon_eq(dbl, along(&w, md, 2900, 1500, part), whole,
                             2e-6 * whole),
                  "%g m", md);
    }
    cr_assert(eq(dbl, along(&w, 700, 700, 1500, 5e6), 5e6));
}

Test(gas_path, deep_pressure_is_smooth_in_the_rate)
{
    enum { N = 200 };
    struct well w = bent_well();
    double p[N];

    for (int k = 0; k < N; k++)
        p[k] = along(&w, 0, 3150, 800 * (1 + 0.001 * k), P_HEAD_PA);
    for (int k = 1; k < N - 1; k++)
        cr_expect(epsilon_eq(dbl, p[k - 1] + p[k + 1], 2 * p[k], 1e-6 * p[k]),
                  "%d", k);
}

Test(gas_path, a_column_costs_fewer_than_20_calls_and_counts_them)
{
    static const double rates[] = {0, 200, 1000, 3000};

    for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++) {
        struct well w = straight_well();
        struct march_count count = {.calls = 1000};
        struct err err;
        double p;

        enum status st = gas_path_pressure(&w, 0, 2000, rates[i] * MSCF_D,
                                           P_HEAD_PA, &p, &count, &err);
        cr_expect(eq(int, st, ST_OK));
        cr_expect(lt(int, 1000, count.calls));
        cr_expect(lt(int, count.calls, 1020), "%g Mscf/d", rates[i]);
    }
}

Test(gas_path, friction_that_takes_all_the_pressure_is_out_of_range)
{
    struct well w = bent_well();
    struct err err = {0};
    double p = 1;
    enum status st = gas_path_pressure(&w, 0, 3150, 60000 * MSCF_D, P_HEAD_PA,
                                       &p, NULL, &err);

    cr_assert(eq(int, st, ST_RANGE));
    cr_assert(eq(dbl, p, 1));
    cr_assert(strstr(err.msg, "G-7") != NULL, "%s", err.msg);
}

Test(gas_path, what_is_not_a_number_is_out_of_range)
{
    for (int field = 0; field < 4; field++) {
        struct well w = straight_well();
        struct err err;
        double p, p_head = P_HEAD_PA, rate = 1;
        double *broken[] = {&p_head, &rate, &w.gas_path.t_head_k,
                            &w.thermal.t_bottom_k};

        *broken[field] = (double)NAN;
        enum status st =
            gas_path_pressure(&w, 0, 2000, rate, p_head, &p, NULL, &err);
        cr_expect(eq(int, st, ST_RANGE), "field %d", field);
    }
}

/* --- header and line
 * --------------------------------------------------------*/

Test(gas_path, the_casing_head_gets_what_line_and_limit_leave)
{
    /* sqrt(10^2 - 16 * 1.5^2) = 8 MPa. */
    struct gas_path g = {.p_header_pa = 1e7,
                         .line_pa2_sm3s2 = 16e12,
                         .p_casing_max_pa = (double)INFINITY};

    cr_assert(epsilon_eq(dbl, gas_path_available_pa(&g, 0), 1e7, 1e-3));
    cr_assert(epsilon_eq(dbl, gas_path_available_pa(&g, 1.5), 8e6, 1e-3));
    cr_assert(eq(dbl, gas_path_available_pa(&g, 2.6), 0));
    g.p_casing_max_pa = 9e6;
    cr_assert(eq(dbl, gas_path_available_pa(&g, 0), 9e6));
    cr_assert(epsilon_eq(dbl, gas_path_available_pa(&g, 1.5), 8e6, 1e-3));
    g.p_header_pa = (double)INFINITY;
    cr_assert(eq(dbl, gas_path_available_pa(&g, 1.5), 9e6));
}

/* The line's formula takes one z and fully rough friction; marched, the same
 * level pipe at high rate differs by what z changes on the way. */
Test(gas_path, the_lines_loss_is_that_of_a_level_pipe)
{
    static const struct well_station level[] = {{0, 0}, {2000, 1e-6}};
    static const struct well_section pipe[] = {{2000, 0.0779, 1e-3, 0}};
    struct well w = well_of(level, 2, pipe, 1);
    double rate = 2000 * MSCF_D;

    w.gas_path.t_head_k = w.thermal.t_bottom_k = 310;
    double end = along(&w, 0, 2000, 2000, P_HEAD_PA);
    double want = (P_HEAD_PA * P_HEAD_PA - end * end) / (rate * rate);
    double got = gas_path_line_pa2_sm3s2(&w.fluid.lift_gas, 2000, 0.0779, 1e-3,
                                         P_HEAD_PA, 310);
    cr_assert(lt(dbl, end, 0.99 * P_HEAD_PA));
    cr_assert(epsilon_eq(dbl, got, want, 0.01 * want));
}
