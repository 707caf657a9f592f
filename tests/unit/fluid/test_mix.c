#include <math.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fluid/mix.h"
#include "fluid/paper_units.h"
#include "fluid/water.h"

TestSuite(mix, .timeout = 20);

static struct fluid fluid_of(enum oil_correlation model)
{
    struct fluid f = {.salinity = 0.05};

    oil_init(&f.oil, &(struct oil_spec){.gravity = 0.85,
                                        .gas_gravity = 0.8,
                                        .correlation = model});
    gas_init(&f.formation_gas, &(struct gas_spec){.gravity = 0.8});
    gas_init(&f.lift_gas, &(struct gas_spec){.gravity = 0.6});
    return f;
}

static struct mix_state state_of(const struct stream *s, double p_pa,
                                 double t_k)
{
    struct fluid f = fluid_of(OIL_STANDING);
    struct mix m;
    struct mix_state out;

    mix_init(&m, &f, s);
    mix_at(&m, p_pa, t_k, &out);
    return out;
}

Test(mix, gas_in_the_stream_is_dissolved_up_to_what_the_oil_can_hold)
{
    struct fluid f = fluid_of(OIL_STANDING);
    struct stream s = {0.001, 0, 0.1, 0}; /* 100 Sm3/Sm3 */
    double hold = oil_solution_gas(&f.oil, 5e6, 340);
    struct mix_state low = state_of(&s, 5e6, 340);
    struct mix_state high = state_of(&s, 4e7, 340);

    cr_assert(eq(dbl, low.rs_sm3sm3, hold));
    cr_assert(epsilon_eq(dbl, low.free_gas_margin, (100 - hold) / 100, 1e-12));
    cr_assert(epsilon_eq(dbl, high.rs_sm3sm3, 100, 1e-12));
    cr_assert(eq(dbl, high.q_gas_m3s, 0));
    cr_assert(lt(dbl, high.free_gas_margin, 0));
}

Test(mix, lift_gas_may_dissolve_as_well)
{
    struct stream s = {0.001, 0, 0.02, 0.08};

    cr_assert(epsilon_eq(dbl, state_of(&s, 4e7, 340).rs_sm3sm3, 100, 1e-12));
}

Test(mix, the_free_gas_is_what_the_oil_leaves_at_its_mean_gravity)
{
    struct fluid f = fluid_of(OIL_STANDING);
    struct stream s = {0.001, 0, 0.1, 0.3};
    double p = 5e6, t = 340;
    struct mix_state out = state_of(&s, p, t);
    /* A quarter of 0.8 and three quarters of 0.6. */
    struct gas mean;
    gas_init(&mean, &(struct gas_spec){.gravity = 0.65});
    double z = gas_z(&mean, p, t);
    double dissolved = 0.001 * oil_solution_gas(&f.oil, p, t);

    cr_assert(epsilon_eq(dbl, out.rho_gas_kgm3,
                         gas_density_kgm3(&mean, p, t, z), 1e-9));
    cr_assert(epsilon_eq(dbl, out.q_gas_m3s,
                         (0.4 - dissolved) * gas_volume_factor(p, t, z),
                         1e-12));
    cr_assert(epsilon_eq(dbl, out.mu_gas_pas,
                         gas_viscosity_pas(&mean, t, out.rho_gas_kgm3), 1e-15));
}

Test(mix, liquids_are_weighted_by_their_volume_in_the_pipe)
{
    struct fluid f = fluid_of(OIL_STANDING);
    struct stream s = {0.001, 0.002, 0.05, 0};
    double p = 5e6, t = 340, rs = oil_solution_gas(&f.oil, p, t);
    double bo = oil_volume_factor(&f.oil, rs, p, p, t);
    double oil = 0.001 * bo, water = 0.002 * water_volume_factor(p, t);
    double part = water / (oil + water);
    double mu_oil = oil_viscosity_pas(&f.oil, rs, p, p, t);
    double mu_water = water_viscosity_pas(0.05, p, t);
    struct mix_state out = state_of(&s, p, t);

    cr_assert(epsilon_eq(dbl, out.q_liquid_m3s, oil + water, 1e-15));
    cr_assert(epsilon_eq(dbl, out.rho_liquid_kgm3,
                         (1 - part) * oil_density_kgm3(&f.oil, rs, bo) +
                             part * water_density_std_kgm3(0.05) /
                                 water_volume_factor(p, t),
                         1e-9));
    cr_assert(epsilon_eq(dbl, out.mu_liquid_pas,
                         (1 - part) * mu_oil + part * mu_water, 1e-15));
    cr_assert(epsilon_eq(dbl, out.tension_nm,
                         (1 - part) * oil_tension_nm(&f.oil, p, t) +
                             part * water_tension_nm(p, t),
                         1e-15));

    struct mix m;
    f.log_viscosity = true;
    mix_init(&m, &f, &s);
    mix_at(&m, p, t, &out);
    cr_assert(epsilon_eq(dbl, out.mu_liquid_pas,
                         pow(mu_oil, 1 - part) * pow(mu_water, part), 1e-15));
}

/* What flows in the pipe weighs what was put in. Dissolved gas counts with the
 * formation's gravity, so with lift gas it cannot close exactly. */
Test(mix, mass_is_kept_without_lift_gas)
{
    struct fluid f = fluid_of(OIL_STANDING);
    struct stream s = {0.001, 0.002, 0.15, 0};
    struct mix m;
    struct mix_state out;

    mix_init(&m, &f, &s);
    for (double p = 1e5; p < 6e7; p *= 1.4) {
        mix_at(&m, p, 340, &out);
        double mass = out.q_liquid_m3s * out.rho_liquid_kgm3 +
                      out.q_gas_m3s * out.rho_gas_kgm3;
        cr_expect(epsilon_eq(dbl, mass, m.mass_kgs, 1e-9 * m.mass_kgs), "p %g",
                  p);
    }
    /* 0.85 and brine of 5 %; air 1.2250 kg/Sm3. */
    cr_assert(epsilon_eq(
        dbl, m.mass_kgs,
        0.001 * 0.85 * 999.014 + 0.002 * 1034.809 + 0.15 * 0.8 * 1.2250, 1e-4));
}

Test(mix, nothing_jumps_where_the_last_gas_dissolves)
{
    for (int model = OIL_STANDING; model <= OIL_GLASO; model++) {
        struct fluid f = fluid_of((enum oil_correlation)model);
        struct stream s = {0.001, 0.001, 0.08, 0.02};
        double pb = oil_bubble_point_pa(&f.oil, 100, 350);
        struct mix m;
        struct mix_state a, b;

        mix_init(&m, &f, &s);
        mix_at(&m, pb * (1 - 1e-9), 350, &a);
        mix_at(&m, pb * (1 + 1e-9), 350, &b);
        cr_expect(a.free_gas_margin > 0 && b.free_gas_margin < 0, "%d", model);
        cr_expect(epsilon_eq(dbl, a.free_gas_margin, b.free_gas_margin, 1e-8));
        cr_expect(epsilon_eq(dbl, a.q_gas_m3s, b.q_gas_m3s, 1e-11));
        cr_expect(epsilon_eq(dbl, a.q_liquid_m3s, b.q_liquid_m3s, 1e-11));
        cr_expect(epsilon_eq(dbl, a.rho_liquid_kgm3, b.rho_liquid_kgm3, 1e-5));
        cr_expect(epsilon_eq(dbl, a.mu_liquid_pas, b.mu_liquid_pas, 1e-10));
    }
}

Test(mix, streams_of_one_phase_or_none_are_finite_and_say_so)
{
    static const struct {
        struct stream stream;
        bool liquid, gas;
        double margin;
    } rows[] = {
        {{0, 0.001, 0, 0}, true, false, -1}, /* water */
        {{0.001, 0, 0, 0}, true, false, -1}, /* dead oil */
        {{0, 0.001, 0, 0.1}, true, true, 1}, /* water and lift gas */
        {{0, 0, 0, 0.1}, false, true, 1},    /* gas */
        {{0, 0, 0, 0}, false, false, -1},    /* a closed well */
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct mix_state out = state_of(&rows[i].stream, 5e6, 340);
        cr_expect(eq(int, out.q_liquid_m3s > 0, rows[i].liquid), "row %zu", i);
        cr_expect(eq(int, out.q_gas_m3s > 0, rows[i].gas), "row %zu", i);
        cr_expect(eq(dbl, out.free_gas_margin, rows[i].margin), "row %zu", i);
        cr_expect(isfinite(out.rho_liquid_kgm3) && isfinite(out.mu_gas_pas) &&
                      isfinite(out.mu_liquid_pas) && isfinite(out.tension_nm),
                  "row %zu", i);
    }
}

Test(mix, the_state_is_finite_from_vacuum_to_2000_bar)
{
    struct stream s = {0.001, 0.001, 0.1, 0.2};

    for (double p = 1e4; p <= 2e8; p *= 1.3)
        for (double t = 285; t < 430; t += 20) {
            struct mix_state out = state_of(&s, p, t);
            cr_expect(isfinite(out.q_liquid_m3s) && isfinite(out.q_gas_m3s) &&
                          isfinite(out.rho_liquid_kgm3) &&
                          isfinite(out.mu_liquid_pas) &&
                          isfinite(out.mu_gas_pas),
                      "p %g t %g", p, t);
        }
}
