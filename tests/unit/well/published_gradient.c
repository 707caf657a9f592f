/* Rows of checks.csv about two-phase flow. */
#include <math.h>
#include <string.h>

#include "fluid/gas.h"
#include "fluid/paper_units.h"
#include "published.h"
#include "well/friction.h"
#include "well/gradient.h"
#include "well/groups.h"

#define PSI_FT (UNIT_PSI_PA / UNIT_FT_M)

/* A stream at given superficial velocities. */
static void flow(struct mix_state *m, const struct pipe *pipe, double v_liquid,
                 double v_gas)
{
    double area = 0.25 * M_PI * pipe->d_m * pipe->d_m;

    m->q_liquid_m3s = v_liquid * area;
    m->q_gas_m3s = v_gas * area;
    m->free_gas_margin = 1;
}

static struct gradient natural(enum gradient_model model,
                               const struct pipe *pipe,
                               const struct mix_state *m)
{
    struct gradient g;

    gradient_at(model, pipe, m, REGIME_NATURAL, &g);
    return g;
}

/* --- the well of HB-01 ----------------------------------------------------*/

static struct gradient hb_gradient(const struct pipe *pipe,
                                   const struct mix_state *m,
                                   enum hb_variant variant)
{
    struct gradient original = natural(GRADIENT_HAGEDORN_BROWN_1965, pipe, m);
    struct gradient modified = natural(GRADIENT_HAGEDORN_BROWN, pipe, m);
    const char *name =
        gradient_regime_text(GRADIENT_HAGEDORN_BROWN, modified.regime);
    struct groups groups;

    groups_at(pipe, m, &groups);
    if (variant == HB_GRIFFITH && strncmp(name, "bubble", 6) == 0)
        return modified;
    if (variant != HB_NO_SLIP || original.holdup >= groups.no_slip)
        return original;
    for (int r = 0;; r++)
        if (strcmp(gradient_regime_text(GRADIENT_HAGEDORN_BROWN, r),
                   "no slip") == 0) {
            gradient_at(GRADIENT_HAGEDORN_BROWN, pipe, m, r, &modified);
            return modified;
        }
}

void hb_march(const struct check *c, enum hb_variant variant,
              double p_psia[HB_STEPS + 1])
{
    double d = check_input(c, "ID"), q_l = check_input(c, "q_L");
    double cut = check_number(c, "WC");
    double oil = 141.5 / (check_number(c, "API") + 131.5);
    double sc_gas = q_l * check_input(c, "GLR");
    struct pipe pipe = {d, 0.0006 * d, 1};
    struct gas gas;
    struct mix_state m = {
        .rho_liquid_kgm3 =
            ((1 - cut) * oil + cut * check_number(c, "gamma_w")) *
            PAPER_WATER_KGM3,
        .mu_liquid_pas = check_input(c, "mu_o"),
        .tension_nm = check_input(c, "sigma"),
        .q_liquid_m3s = q_l,
        .free_gas_margin = 1};
    double p = check_input(c, "p_wh"), t_top = check_input(c, "T_wh");
    double t_bottom = check_input(c, "T_bh");

    gas_init(&gas, &(struct gas_spec){.gravity = check_number(c, "gamma_g")});
    for (int i = 0;; i++) {
        p_psia[i] = p / UNIT_PSI_PA;
        if (i == HB_STEPS)
            return;
        double t = t_top + (t_bottom - t_top) * i / HB_STEPS;
        double z = gas_z(&gas, p, t);
        m.p_pa = p;
        m.t_k = t;
        m.q_gas_m3s = sc_gas * gas_volume_factor(p, t, z);
        m.rho_gas_kgm3 = gas_density_kgm3(&gas, p, t, z);
        m.mu_gas_pas = gas_viscosity_pas(&gas, t, m.rho_gas_kgm3);
        struct gradient g = hb_gradient(&pipe, &m, variant);
        /* The print has no kinetic term. */
        p +=
            (g.elevation_pam + g.friction_pam) * check_input(c, "D") / HB_STEPS;
    }
}

static double hagedorn_brown_profile(const struct check *c)
{
    double p[HB_STEPS + 1];
    double depth = check_input(c, c->number < 7 ? "depth" : "D");

    hb_march(c,
             c->number == 7   ? HB_NO_SLIP
             : c->number == 8 ? HB_GRIFFITH
                              : HB_ORIGINAL,
             p);
    return p[lround(depth / check_input(c, "D") * HB_STEPS)];
}

/* --- one state ------------------------------------------------------------*/

/* Brill & Mukherjee's example. */
static double brill_mukherjee(const struct check *c)
{
    struct pipe pipe = {check_input(c, "d"), check_input(c, "roughness"), 1};
    struct mix_state m = {.p_pa = check_input(c, "p"),
                          .rho_liquid_kgm3 = check_input(c, "rho_L"),
                          .rho_gas_kgm3 = check_input(c, "rho_g"),
                          .mu_liquid_pas = check_input(c, "mu_L"),
                          .mu_gas_pas = check_input(c, "mu_g"),
                          .tension_nm = check_input(c, "sigma")};
    struct groups g;

    flow(&m, &pipe, check_input(c, "v_sL"), check_input(c, "v_sg"));
    groups_at(&pipe, &m, &g);
    struct gradient plain = natural(GRADIENT_BEGGS_BRILL_1973, &pipe, &m);
    struct gradient payne = natural(GRADIENT_BEGGS_BRILL, &pipe, &m);
    double value[] = {
        g.n_lv,
        g.n_gv,
        g.n_l,
        g.reynolds_no_slip,
        friction_moody(g.reynolds_no_slip, pipe.roughness_m / pipe.d_m),
        (double)NAN,
        (double)NAN,
        plain.holdup,
        (plain.elevation_pam + plain.friction_pam) / PSI_FT,
        (payne.elevation_pam + payne.friction_pam) / PSI_FT,
        natural(GRADIENT_HAGEDORN_BROWN, &pipe, &m).holdup,
    };
    return value[c->number - 1];
}

static double economides(const struct check *c)
{
    double d = check_input(c, "ID"), p = check_input(c, "p");
    double t = check_input(c, "T"), z = check_number(c, "z");
    struct pipe pipe = {d, check_number(c, "rel_rough") * d, 1};
    struct pipe level = {d, check_number(c, "rel_rough") * d, 0};
    struct gas gas;
    gas_init(&gas, &(struct gas_spec){.gravity = check_number(c, "gamma_g")});
    struct mix_state m = {.p_pa = p,
                          .q_liquid_m3s = check_input(c, "q_o"),
                          .q_gas_m3s = check_input(c, "q_g") *
                                       gas_volume_factor(p, t, z),
                          .rho_liquid_kgm3 = check_input(c, "rho_L"),
                          .rho_gas_kgm3 = gas_density_kgm3(&gas, p, t, z),
                          .mu_liquid_pas = check_input(c, "mu_L"),
                          .mu_gas_pas = check_input(c, "mu_g"),
                          .tension_nm = check_input(c, "sigma"),
                          .free_gas_margin = 1};
    struct groups g;

    groups_at(&pipe, &m, &g);
    struct gradient hb = natural(GRADIENT_HAGEDORN_BROWN, &pipe, &m);
    struct gradient bb = natural(GRADIENT_BEGGS_BRILL_1973, &pipe, &m);
    double value[] = {
        g.v_liquid_ms / UNIT_FT_M,
        g.v_gas_ms / UNIT_FT_M,
        g.n_lv,
        g.n_gv,
        g.n_d,
        g.n_l,
        hb.holdup,
        (hb.elevation_pam + hb.friction_pam) / PSI_FT,
        natural(GRADIENT_BEGGS_BRILL_1973, &level, &m).holdup,
        (bb.elevation_pam + bb.friction_pam) / PSI_FT,
    };
    return value[c->number - 1];
}

/* Pressure drop with acceleration; SI. */
static double beggs_brill(const struct check *c)
{
    double mass = check_number(c, "m"), x = check_number(c, "x");
    struct pipe pipe = {check_number(c, "D"), check_number(c, "roughness"),
                        sin(check_number(c, "angle") * M_PI / 180)};
    struct mix_state m = {.p_pa = check_number(c, "P"),
                          .rho_liquid_kgm3 = check_number(c, "rho_l"),
                          .rho_gas_kgm3 = check_number(c, "rho_g"),
                          .mu_liquid_pas = check_number(c, "mu_l"),
                          .mu_gas_pas = check_number(c, "mu_g"),
                          .tension_nm = check_number(c, "sigma"),
                          .free_gas_margin = 1};

    m.q_gas_m3s = x * mass / m.rho_gas_kgm3;
    m.q_liquid_m3s = (1 - x) * mass / m.rho_liquid_kgm3;
    return natural(GRADIENT_BEGGS_BRILL_1973, &pipe, &m).total_pam *
           check_number(c, "L");
}

/* --- slip -----------------------------------------------------------------*/

/* Any liquid and gas that the row does not name. */
static const struct mix_state plain_stream = {.p_pa = 1e6,
                                              .rho_liquid_kgm3 = 800,
                                              .rho_gas_kgm3 = 60,
                                              .mu_liquid_pas = 1e-3,
                                              .mu_gas_pas = 1e-5,
                                              .tension_nm = 0.02};

/* Bubble flow in a pipe so wide that it lies inside its bounds. The holdup
 * depends on ratios to the slip velocity only, which is ours of 0.8 ft/s. */
static double bubble_holdup(double v_liquid_fts, double v_gas_fts,
                            double slip_fts)
{
    struct pipe wide = {10, 0, 1};
    struct mix_state m = plain_stream;
    double scale = 0.8 * UNIT_FT_M / slip_fts;

    flow(&m, &wide, v_liquid_fts * scale, v_gas_fts * scale);
    return natural(GRADIENT_HAGEDORN_BROWN, &wide, &m).holdup;
}

static double slip_velocity(const struct check *c)
{
    return bubble_holdup(check_number(c, "v_sL"), check_number(c, "v_sg"),
                         check_number(c, "v_s"));
}

static double griffith(const struct check *c)
{
    double v_gas = check_number(c, "v_sg");

    return bubble_holdup(check_number(c, "v_m") - v_gas, v_gas, 0.8);
}

static double drift_flux(const struct check *c)
{
    struct pipe pipe = {0.062, 0, 1};
    struct mix_state m = plain_stream;

    m.rho_liquid_kgm3 = check_number(c, "rho_l");
    m.rho_gas_kgm3 = check_number(c, "rho_g");
    if (c->number == 2) { /* annular at this speed: no slip */
        double x = check_number(c, "x");
        double part = (1 - x) * m.rho_gas_kgm3 / (x * m.rho_liquid_kgm3);
        flow(&m, &pipe, 100 * part, 100);
        return 1 - natural(GRADIENT_DRIFT_FLUX, &pipe, &m).holdup;
    }
    if (c->number == 3) { /* bubbles in a wide pipe, drift from the void */
        double v_gas = 0.01;
        m.tension_nm = check_number(c, "sigma");
        pipe.d_m = 1;
        flow(&m, &pipe, v_gas, v_gas);
        double gas = 1 - natural(GRADIENT_DRIFT_FLUX, &pipe, &m).holdup;
        return v_gas / gas - 1.2 * 2 * v_gas;
    }
    pipe.d_m = check_number(c, "D");
    flow(&m, &pipe, check_number(c, "v_sl"), check_number(c, "v_sg"));
    return 1 - natural(GRADIENT_DRIFT_FLUX, &pipe, &m).holdup;
}

static const struct {
    const char *prefix;
    double (*value)(const struct check *c);
} families[] = {
    {"HB-", hagedorn_brown_profile},
    {"BM-", brill_mukherjee},
    {"EC-", economides},
    {"BB-", beggs_brill},
    {"SL-", slip_velocity},
    {"GR-", griffith},
    {"DF-", drift_flux},
};

bool published_gradient(const struct check *c, double *got)
{
    /* The papers' constants for ft, lb/ft3, dyn/cm and cp. */
    if (strcmp(c->id, "UN-07") == 0) {
        struct pipe pipe = {UNIT_FT_M, 0, 1};
        struct mix_state m = plain_stream;
        struct groups g;
        m.rho_liquid_kgm3 = PAPER_LBFT3_KGM3;
        m.tension_nm = PAPER_DYNCM_NM;
        flow(&m, &pipe, UNIT_FT_M, UNIT_FT_M);
        groups_at(&pipe, &m, &g);
        *got = g.n_lv;
        return true;
    }
    for (size_t i = 0; i < sizeof families / sizeof families[0]; i++) {
        const char *prefix = families[i].prefix;
        if (strncmp(c->id, prefix, strlen(prefix)) == 0) {
            *got = families[i].value(c);
            return true;
        }
    }
    return false;
}
