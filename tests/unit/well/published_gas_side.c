/* Rows of checks.csv about gas columns, ports, valves and steadiness. */
#include <math.h>
#include <string.h>

#include <criterion/criterion.h>

#include "fluid/paper_units.h"
#include "published.h"
#include "well/gas_path.h"
#include "well/stability.h"

#define MSCF_D (1000 * PAPER_SCF_SM3 / UNIT_DAY_S)
/* The chart's Mscf, at 14.7 psia. */
#define CHART_MSCF_D (MSCF_D * 14.7 / 14.696)
#define PSIG_0 14.7

static struct gas gas_of(double gravity)
{
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = gravity});
    return g;
}

double straight_column_pa(const struct straight_column *c, double gas_sm3s)
{
    const struct well_station station[] = {{0, 0}, {c->depth_m, c->depth_m}};
    const struct well_section section = {c->depth_m, c->d_m, c->roughness_m,
                                         c->core_m};
    struct well w = {
        .name = "column",
        .fluid.lift_gas = gas_of(c->gravity),
        .thermal = {.t_bottom_k = c->t_head_k + c->t_slope_km * c->depth_m,
                    .tvd_bottom_m = c->depth_m},
        .n_stations = 2,
        .station = station,
        .gas_path = {1, &section, .t_head_k = c->t_head_k}};
    double p_pa;
    struct err err;
    enum status st = gas_path_pressure(&w, 0, c->depth_m, gas_sm3s,
                                       c->p_head_pa, &p_pa, NULL, &err);

    cr_assert_eq(st, ST_OK, "%s", err.msg);
    return p_pa;
}

static double gas_column(const struct check *c)
{
    struct straight_column column = {
        .gravity = check_number(c, "gamma_g"),
        .p_head_pa = check_input(c, "p1"),
        .depth_m = check_input(c, "D"),
        .d_m = 0.1,
    };

    if (check_is_given(c, "z")) {
        struct gas g = gas_of(column.gravity);
        double rho =
            gas_density_kgm3(&g, column.p_head_pa, check_input(c, "T_avg"),
                             check_number(c, "z"));
        return column.p_head_pa / UNIT_PSI_PA *
               exp(rho * UNIT_GRAVITY_MS2 * column.depth_m / column.p_head_pa);
    }
    column.t_head_k = check_input(c, "T_surface");
    column.t_slope_km = check_number(c, "T_slope") / 1.8 / (100 * UNIT_FT_M);
    if (!check_is_given(c, "q"))
        return straight_column_pa(&column, 0) / UNIT_PSI_PA - PSIG_0;
    column.d_m = check_input(c, "d_casing");
    column.core_m = check_input(c, "d_tubing");
    column.roughness_m = check_input(c, "roughness");
    return (straight_column_pa(&column, 0) -
            straight_column_pa(&column, check_input(c, "q"))) /
           UNIT_PSI_PA;
}

double round_port_mscfd(double d_m, double gravity, double p_up_pa,
                        double p_down_pa, double t_k)
{
    const struct orifice o = {0.25 * M_PI * d_m * d_m, ORIFICE_DISCHARGE};
    struct gas g = gas_of(gravity);

    return orifice_rate_sm3s(&o, &g, p_up_pa, p_down_pa, t_k) / CHART_MSCF_D;
}

static double thornhill_craver(const struct check *c)
{
    double gravity = check_number(c, "gamma_g"), t_k = check_input(c, "T");

    if (c->number == 6)
        return orifice_critical_ratio();
    if (c->number == 2) /* what the chart's rate is to be divided by */
        return round_port_mscfd(0.01, 0.65, 2e6, 1e6, PAPER_BASE_K) /
               round_port_mscfd(0.01, gravity, 2e6, 1e6, t_k);
    return round_port_mscfd(check_input(c, "d"), gravity, check_input(c, "p1"),
                            check_input(c, "p2"), t_k);
}

static double nitrogen_psia(const struct check *c)
{
    return nitrogen_pressure_pa(check_input(c, "p60"), check_input(c, "T")) /
           UNIT_PSI_PA;
}

static double nitrogen_multiplier(const struct check *c)
{
    return nitrogen_psia(c) / check_number(c, "p60");
}

/* Charge at 60 F that has this pressure at T: by halving. */
static double charge_pa(double p_pa, double t_k)
{
    double lo = 0, hi = p_pa;

    while (hi - lo > 1) {
        double middle = 0.5 * (lo + hi);
        *(nitrogen_pressure_pa(middle, t_k) < p_pa ? &lo : &hi) = middle;
    }
    return lo;
}

static double valve(const struct check *c)
{
    struct valve v = {VALVE_INJECTION, .port.area_m2 = check_number(c, "R"),
                      .bellows_area_m2 = 1,
                      .p_dome_60f_pa = check_input(c, "p_dome")};
    double tester_pa = PSIG_0 * UNIT_PSI_PA, p_pa;

    switch (c->number) {
    case 1:
        p_pa = valve_opens_pa(&v, check_input(c, "p_t"), PAPER_BASE_K);
        break;
    case 2:
        p_pa = valve_opens_pa(&v, check_input(c, "p_t"), PAPER_BASE_K) -
               valve_closes_pa(&v, check_input(c, "p_t"), PAPER_BASE_K) +
               tester_pa;
        break;
    case 3:
        p_pa = charge_pa(check_input(c, "p_T"), check_input(c, "T"));
        break;
    default:
        p_pa = valve_opens_pa(&v, tester_pa, PAPER_BASE_K);
    }
    return p_pa / UNIT_PSI_PA - PSIG_0;
}

static double round_m2(double d_mm)
{
    return 0.25e-6 * M_PI * d_mm * d_mm;
}

static double asheim(const struct check *c)
{
    double length = check_number(c, "L");
    double q_gas = check_number(c, "q_g") / UNIT_DAY_S;
    double q_liquid = check_number(c, "q_L") / UNIT_DAY_S;
    double b_gas = check_number(c, "B_g");
    double annulus_m2 = round_m2(check_number(c, "d_annulus")) -
                        round_m2(check_number(c, "OD"));
    struct asheim a = {
        .rho_gas_std_kgm3 = check_number(c, "rho_gsc"),
        .gas_volume_factor = b_gas,
        .gas_sm3s = q_gas,
        .liquid_sm3s = q_liquid,
        .j_sm3spa = check_number(c, "J") / UNIT_DAY_S / 1e5,
        .port_m2 = check_number(c, "EA") * 1e-4,
        .tubing_m3 = round_m2(check_number(c, "d_tubing")) * length,
        .casing_m3 = annulus_m2 * length,
        .depth_m = length,
        .p_tubing_pa = check_number(c, "p_t") * 1e5,
        .rho_liquid_kgm3 = check_number(c, "rho_f"),
        .rho_gas_kgm3 = check_number(c, "rho_g"),
        .q_liquid_m3s = q_liquid * check_number(c, "B_o"),
        .q_gas_m3s = q_gas * b_gas,
    };
    struct steadiness s;

    stability_asheim(&a, &s);
    return c->number == 2 ? s.f2 : s.f1;
}

static const struct {
    const char *prefix;
    double (*value)(const struct check *c);
} families[] = {
    {"GC-", gas_column},    {"TC-", thornhill_craver},
    {"ND-", nitrogen_psia}, {"CT-", nitrogen_multiplier},
    {"VF-", valve},         {"AS-", asheim},
};

bool published_gas_side(const struct check *c, double *got)
{
    for (size_t i = 0; i < sizeof families / sizeof families[0]; i++) {
        const char *prefix = families[i].prefix;
        if (strncmp(c->id, prefix, strlen(prefix)) == 0) {
            *got = families[i].value(c);
            return true;
        }
    }
    return false;
}
