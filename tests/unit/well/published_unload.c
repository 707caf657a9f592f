/* Row of checks.csv about the spacing of unloading valves. */
#include <math.h>
#include <string.h>

#include <criterion/criterion.h>

#include "fluid/paper_units.h"
#include "published.h"
#include "well/unload.h"

/* Depths and gravities looked between, far to both sides of any answer, and
 * the halvings that make them exact to rounding. */
#define DEPTH_MOST_M 5000.0
#define GRAVITY_LEAST 0.3
#define GRAVITY_MOST 1.5
#define HALVINGS 50
#define T_HEAD_K 300.0
#define T_SLOPE_KM 0.02

struct spacing {
    double p_head_pa;   /* of the casing: kick-off less the margin */
    double p_tubing_pa; /* at the wellhead */
    double liquid_pam, gas_pam;
};

/* Gravity of the gas whose column has, on the mean, the row's gradient. */
static double gravity_at(const struct spacing *s, double depth_m)
{
    double low = GRAVITY_LEAST, high = GRAVITY_MOST;

    for (int i = 0; i < HALVINGS; i++) {
        struct straight_column c = {.gravity = 0.5 * (low + high),
                                    .p_head_pa = s->p_head_pa,
                                    .depth_m = depth_m,
                                    .t_head_k = T_HEAD_K,
                                    .t_slope_km = T_SLOPE_KM,
                                    .d_m = 0.1};
        double foot_pa = s->p_head_pa + s->gas_pam * depth_m;

        *(straight_column_pa(&c, 0) < foot_pa ? &low : &high) = c.gravity;
    }
    return low;
}

/* Casing-head pressure that a first valve at a depth takes. */
static double first_pa(const struct spacing *s, double depth_m)
{
    const struct well_station station[] = {{0, 0}, {depth_m, depth_m}};
    const struct well_section tubing = {depth_m, 0.062, 0, 0};
    const struct well_section annulus = {depth_m, 0.157, 0, 0.073};
    const struct valve valve = {.kind = VALVE_ORIFICE,
                                .md_m = depth_m,
                                .port = {1e-4, ORIFICE_DISCHARGE}};
    struct well w = {
        .name = "spacing",
        .inflow = {.p_res_pa = 1e7, .j_sm3spa = 1e-9},
        .thermal = {.t_bottom_k = T_HEAD_K + T_SLOPE_KM * depth_m,
                    .tvd_bottom_m = depth_m},
        .n_stations = 2,
        .station = station,
        .n_sections = 1,
        .section = &tubing,
        .p_head_pa = s->p_tubing_pa,
        .gas_path = {1, &annulus, .t_head_k = T_HEAD_K,
                     .p_header_pa = (double)INFINITY,
                     .p_casing_max_pa = (double)INFINITY},
        .n_valves = 1,
        .valve = &valve,
    };
    /* A kick-off pressure that does not get there. */
    struct unload_spec spec = {.rho_kgm3 = s->liquid_pam / UNIT_GRAVITY_MS2,
                               .p_kickoff_pa = 1,
                               .liquid_m3s = UNLOAD_LIQUID_M3S};
    struct unload u;
    struct err err;

    gas_init(&w.fluid.lift_gas,
             &(struct gas_spec){.gravity = gravity_at(s, depth_m)});
    enum status st = unload_solve(&w, &spec, &u, &err);
    cr_assert_eq(st, ST_OK, "%s", err.msg);
    cr_assert_eq(u.n, 0);
    return u.p_first_pa;
}

bool published_unload(const struct check *c, double *got)
{
    const double psi_ft = UNIT_PSI_PA / UNIT_FT_M;
    double low = 1, high = DEPTH_MOST_M;

    if (strncmp(c->id, "SP-", 3) != 0)
        return false;
    struct spacing s = {.p_head_pa =
                            check_input(c, "p_ko") - check_input(c, "dp"),
                        .p_tubing_pa = check_input(c, "p_wh"),
                        .liquid_pam = check_number(c, "g_s") * psi_ft,
                        .gas_pam = check_number(c, "g_g") * psi_ft};
    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (low + high);

        *(first_pa(&s, middle) < s.p_head_pa ? &low : &high) = middle;
    }
    *got = low / UNIT_FT_M;
    return true;
}
