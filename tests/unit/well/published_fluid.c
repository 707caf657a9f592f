/* Rows of checks.csv about gas, oil, water and units. */
#include <math.h>
#include <string.h>

#include "fluid/gas.h"
#include "fluid/oil.h"
#include "fluid/paper_units.h"
#include "fluid/water.h"
#include "published.h"

static double z_dranchuk(const struct check *c)
{
    return gas_z_dranchuk(check_input(c, "p_pr"), check_input(c, "T_pr"));
}

static double hall_yarborough(const struct check *c)
{
    if (check_is_given(c, "p_pr"))
        return gas_z_hall_yarborough(check_input(c, "p_pr"),
                                     check_input(c, "T_pr"));
    /* The print takes 460 for 459.67. */
    double p = check_input(c, "p"), t = (check_number(c, "T") + 460) / 1.8;
    double z = gas_z_hall_yarborough(p / check_input(c, "p_pc"),
                                     t / check_input(c, "T_pc"));
    struct gas g;
    gas_init(&g, &(struct gas_spec){.gravity = check_input(c, "gamma_g")});
    return c->number == 7 ? z
                          : gas_density_kgm3(&g, p, t, z) / PAPER_LBFT3_KGM3;
}

static double sutton(const struct check *c)
{
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = check_input(c, "gamma_g")});
    return c->number == 1 ? g.t_pc_k * 1.8 : g.p_pc_pa / UNIT_PSI_PA;
}

static struct gas_spec impure(const struct check *c)
{
    return (struct gas_spec){
        check_input(c, "gamma_g"),
        check_is_given(c, "y_N2") ? check_input(c, "y_N2") : 0,
        check_input(c, "y_CO2"),
        check_input(c, "y_H2S"),
    };
}

/* The book takes Standing's pseudo-critical point (1977, dry gas). */
static double wichert_aziz(const struct check *c)
{
    struct gas_spec s = impure(c);
    double p = check_input(c, "p"), t = check_input(c, "T"), x = s.gravity;
    double t_pc = (168 + 325 * x - 12.5 * x * x) / 1.8, before = t_pc;
    double p_pc = (677 + 15 * x - 37.5 * x * x) * UNIT_PSI_PA;
    struct gas g;

    gas_sour_correction(&s, &t_pc, &p_pc);
    gas_init(&g, &s);
    double z = gas_z_dranchuk(p / p_pc, t / t_pc);
    double value[] = {before * 1.8,
                      (before - t_pc) * 1.8,
                      t_pc * 1.8,
                      p_pc / UNIT_PSI_PA,
                      z,
                      gas_density_kgm3(&g, p, t, z) / PAPER_LBFT3_KGM3};
    return value[c->number - 1];
}

/* A package that takes Sutton's later fit (2007) on the hydrocarbons. */
static double sutton_2007(const struct check *c)
{
    struct gas_spec s = impure(c);
    double rest = 1 - s.nitrogen - s.carbon_dioxide - s.hydrogen_sulphide;
    double x = gas_hydrocarbon_gravity(&s);
    double t_r = rest * (120.1 + 429 * x - 62.9 * x * x) + s.nitrogen * 227.16 +
                 s.carbon_dioxide * 547.58 + s.hydrogen_sulphide * 672.12;
    double p_psia = rest * (671.1 - 14 * x - 34.3 * x * x) +
                    s.nitrogen * 493.1 + s.carbon_dioxide * 1071 +
                    s.hydrogen_sulphide * 1306;
    double t_k = t_r / 1.8, p_pa = p_psia;

    gas_sour_correction(&s, &t_k, &p_pa);
    return c->number == 1 ? t_k * 1.8 : p_pa;
}

static double z_and_density(const struct check *c)
{
    double p = check_input(c, "p"), t = check_input(c, "T");
    double z =
        gas_z_dranchuk(p / check_input(c, "p_pc"), t / check_input(c, "T_pc"));
    struct gas g;

    if (c->number < 5)
        return z;
    gas_init(&g, &(struct gas_spec){.gravity = check_input(c, "gamma_g")});
    /* The row's constants for air and R instead of ours. */
    double ours = PAPER_AIR_KGMOL * 1000 / 10.731577;
    double theirs = check_number(c, "M_air") / check_number(c, "R");
    return gas_density_kgm3(&g, p, t, z) / PAPER_LBFT3_KGM3 * theirs / ours;
}

static double sutton_2007_and_z(const struct check *c)
{
    return c->number < 3 ? sutton_2007(c) : z_and_density(c);
}

static double z_lean_gas(const struct check *c)
{
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = 0.65}); /* of the composition */
    return gas_z(&g, check_input(c, "p"), check_input(c, "T"));
}

static struct oil oil_of(const struct check *c, enum oil_correlation model)
{
    struct oil_spec s = {
        .gravity = 141.5 / (check_number(c, "API") + 131.5),
        .gas_gravity = check_input(c, "gamma_g"),
        .correlation = model,
    };
    struct oil o;

    if (check_is_given(c, "p_sep")) {
        s.p_separator_pa = check_input(c, "p_sep");
        s.t_separator_k = check_input(c, "T_sep");
    }
    oil_init(&o, &s);
    return o;
}

/* OIL1-Rs-St and the like. */
static double six_oils(const struct check *c)
{
    const char *model = strrchr(c->id, '-') + 1;
    struct oil o = oil_of(c, *model == 'S'   ? OIL_STANDING
                             : *model == 'V' ? OIL_VASQUEZ_BEGGS
                                             : OIL_GLASO);
    double t = check_input(c, "T"), rs = check_input(c, "R_s");

    if (strstr(c->id, "-Rs-")) /* the book adds 15 psi */
        return oil_solution_gas(
                   &o, (check_number(c, "p_sat") + 15) * UNIT_PSI_PA, t) /
               PAPER_SCFSTB_SM3SM3;
    if (strstr(c->id, "-pb-"))
        return oil_bubble_point_pa(&o, rs, t) / UNIT_PSI_PA;
    return oil_volume_factor(&o, rs, 0, 0, t);
}

/* ST: Standing's chart examples, then tensions. */
static double standing_and_tensions(const struct check *c)
{
    double t = check_input(c, "T"), rs = 0;

    if (c->number > 4)
        return water_tension_nm(check_input(c, "p"), t) / PAPER_DYNCM_NM;
    struct oil o = oil_of(c, OIL_STANDING);
    if (c->number > 2) /* dead oil: hardly any pressure */
        return oil_tension_nm(
                   &o, check_is_given(c, "p") ? check_input(c, "p") : 1e-9, t) /
               PAPER_DYNCM_NM;
    rs = check_number(c, "R_s") * PAPER_SCFSTB_SM3SM3;
    return c->number == 1 ? oil_bubble_point_pa(&o, rs, t) / UNIT_PSI_PA
                          : oil_volume_factor(&o, rs, 0, 0, t);
}

static double oil_package(const struct check *c)
{
    double t = check_input(c, "T"), p = check_input(c, "p");
    struct oil o = oil_of(c, c->number == 1 ? OIL_STANDING : OIL_VASQUEZ_BEGGS);

    if (c->number == 1) {
        double rs = check_input(c, "R_si");
        double pb = oil_bubble_point_pa(&o, rs, t);
        return oil_viscosity_pas(&o, rs, p, pb, t) / PAPER_CP_PAS;
    }
    if (c->number == 2)
        return oil_solution_gas(&o, p, t) / PAPER_SCFSTB_SM3SM3 /
               (UNIT_BBL_M3 / PAPER_FT3_M3);
    return oil_volume_factor(&o, check_input(c, "R_s"), 0, 0, t);
}

/* With the volume factor of the print, Standing (1981). */
static double oil_density(const struct check *c)
{
    struct oil o = oil_of(c, OIL_STANDING);
    double rs = check_number(c, "R_s"), t_f = check_number(c, "T");
    double f = rs * sqrt(o.spec.gas_gravity / o.spec.gravity) + 1.25 * t_f;
    double bo = 0.972 + 0.000147 * pow(f, 1.175);

    return oil_density_kgm3(&o, rs * PAPER_SCFSTB_SM3SM3, bo) /
           PAPER_LBFT3_KGM3;
}

static double water(const struct check *c)
{
    double p = check_input(c, "p"), t = check_input(c, "T");
    double s = check_input(c, "S");

    if (c->number == 2)
        return water_viscosity_pas(s, p, t) / PAPER_CP_PAS;
    if (c->number == 3)
        return water_density_std_kgm3(s) / water_volume_factor(p, t);
    return water_volume_factor(p, t);
}

static double units(const struct check *c)
{
    struct gas g;

    gas_init(&g, &(struct gas_spec){.gravity = 1});
    double sm3_mol = g.molar_mass_kgmol / g.rho_std_kgm3;
    double scf_sm3 = 1 / PAPER_SCF_SM3;
    double normal = gas_density_kgm3(&g, UNIT_STD_PA, UNIT_ZERO_C_K, 1);

    switch (c->number) {
    case 1:
        return sm3_mol * UNIT_LBM_KG * 1000 * scf_sm3;
    case 2:
        return scf_sm3;
    case 3:
        return scf_sm3 * normal / g.rho_std_kgm3;
    case 4:
        return UNIT_BBL_M3 / PAPER_FT3_M3;
    case 5:
        return PAPER_SCFSTB_SM3SM3;
    case 6:
        return 1000 * PAPER_SCF_SM3;
    default: /* weight of gravity 1 at 1 psia and 1 R, psi/ft */
        return gas_density_kgm3(&g, UNIT_PSI_PA, 1 / 1.8, 1) *
               UNIT_GRAVITY_MS2 / (UNIT_PSI_PA / UNIT_FT_M);
    }
}

static const struct {
    const char *prefix;
    double (*value)(const struct check *c);
} families[] = {
    {"SK-", z_dranchuk},  {"DAK-", z_dranchuk},  {"HY-", hall_yarborough},
    {"PC85-", sutton},    {"WA-", wichert_aziz}, {"GS-", sutton_2007_and_z},
    {"GZ-", z_lean_gas},  {"OIL", six_oils},     {"RP-", oil_package},
    {"OP-", oil_density}, {"WT-", water},        {"ST-", standing_and_tensions},
    {"UN-01", units},     {"UN-02", units},      {"UN-03", units},
    {"UN-04", units},     {"UN-05", units},      {"UN-06", units},
    {"UN-08", units},
};

bool published_fluid(const struct check *c, double *got)
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
