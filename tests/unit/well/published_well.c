/* Rows of checks.csv about inflow, temperature, friction and Poettmann &
 * Carpenter. Inflow knows no units: the rows' own are kept. */
#include <math.h>
#include <string.h>

#include "fluid/gas.h"
#include "fluid/paper_units.h"
#include "published.h"
#include "well/friction.h"
#include "well/inflow.h"
#include "well/thermal.h"

/* Through the test point "q=... at p_wf=...". */
static struct inflow matched(const struct check *c, enum inflow_model model)
{
    struct inflow f = {.model = model,
                       .p_res_pa = check_number(c, "p_r"),
                       .j_sm3spa = 1,
                       .p_bubble_pa = check_number(c, "p_b"),
                       .water_cut = -1};

    inflow_match(&f, check_number(c, "q"), check_number(c, "at p_wf"));
    return f;
}

static double vogel(const struct check *c)
{
    struct inflow f = matched(c, INFLOW_VOGEL);

    return inflow_rate_sm3s(&f, check_number(c, "p_wf"));
}

/* Productivity of a closed circle, stb/d/psi (Darcy; common to textbooks). */
static double darcy_productivity(const struct check *c)
{
    double r_w = check_number(c, "r_w");
    double a_ft2 = check_number(c, "A") * 43560;
    double part = 4 * a_ft2 / (1.781 * check_number(c, "C_A") * r_w * r_w);

    return check_number(c, "k") * check_number(c, "h") /
           (141.2 * check_number(c, "B_o") * check_number(c, "mu") *
            (0.5 * log(part) + check_number(c, "S")));
}

static double inflow_from_rock(const struct check *c)
{
    struct inflow f = {.model = INFLOW_COMPOSITE,
                       .p_res_pa = check_number(c, "p_r"),
                       .j_sm3spa = darcy_productivity(c),
                       .p_bubble_pa = check_number(c, "p_b"),
                       .water_cut = -1};

    return c->number == 11 ? inflow_rate_sm3s(&f, check_number(c, "p_wf"))
                           : inflow_max_sm3s(&f);
}

static double inflow(const struct check *c)
{
    if (c->number >= 10)
        return inflow_from_rock(c);
    struct inflow f =
        matched(c, c->number <= 2 ? INFLOW_VOGEL : INFLOW_COMPOSITE);

    switch (c->number) {
    case 1:
        return inflow_max_sm3s(&f);
    case 3:
        return inflow_rate_sm3s(&f, f.p_bubble_pa);
    case 8:
        return f.j_sm3spa;
    default:
        return inflow_rate_sm3s(&f, check_number(c, "p_wf"));
    }
}

static double fetkovich(const struct check *c)
{
    struct inflow f = {.model = INFLOW_FETKOVICH,
                       .p_res_pa = check_number(c, "p_r"),
                       .c_sm3s_pa2n = check_number(c, "C"),
                       .exponent = check_number(c, "n")};

    return c->number == 1 ? inflow_max_sm3s(&f)
                          : inflow_rate_sm3s(&f, check_number(c, "p_wf"));
}

static double water_cut(const struct check *c)
{
    /* The test point of WC-01 lies on the straight part: any water cut. */
    struct inflow f = {.model = INFLOW_COMPOSITE,
                       .p_res_pa = check_number(c, "p_r"),
                       .j_sm3spa = 1,
                       .p_bubble_pa = check_number(c, "p_b"),
                       .water_cut = c->number == 1 ? 0 : 0.5};

    inflow_match(&f, 500, check_number(c, "at p_wf"));
    return c->number == 1 ? inflow_max_sm3s(&f)
                          : inflow_pressure_pa(&f, check_number(c, "q"));
}

/* Inflow less the liquid below the injection point. */
static double at_injection(const struct check *c, double rate)
{
    struct inflow f = {.model = INFLOW_VOGEL,
                       .p_res_pa = check_number(c, "p_r"),
                       .j_sm3spa = 1};

    inflow_match(&f, check_number(c, "q_max"), 0);
    return inflow_pressure_pa(&f, rate) -
           check_number(c, "G") *
               (check_number(c, "D") - check_number(c, "D_v"));
}

static double gas_lift_inflow(const struct check *c)
{
    if (c->number < 5)
        return at_injection(c, check_number(c, "q"));
    double q1 = check_number(c, "q_1"), q2 = check_number(c, "q_2");
    double p1 = check_number(c, "p_1"), p2 = check_number(c, "p_2");
    double lo = q1, hi = q2;

    while (hi - lo > 1e-6) {
        double q = 0.5 * (lo + hi);
        double outflow = p1 + (p2 - p1) * (q - q1) / (q2 - q1);
        *(at_injection(c, q) > outflow ? &lo : &hi) = q;
    }
    return lo;
}

static double temperature(const struct check *c)
{
    if (c->number < 5)
        return thermal_time_function(check_number(c, "t_D"));
    double bottom = check_number(c, "T_b"), depth = check_number(c, "z");
    struct thermal t = {.model = THERMAL_FLOWING,
                        .t_head_k = bottom - check_number(c, "g") * depth,
                        .t_bottom_k = bottom,
                        .tvd_bottom_m = depth};
    struct thermal_stream s = {check_number(c, "A"), depth, bottom};
    return thermal_at_k(&t, &s, 0);
}

static double friction(const struct check *c)
{
    return friction_moody(check_number(c, "Re"), check_number(c, "eps/D"));
}

/* --- Poettmann & Carpenter (1952), with our gas ---------------------------*/

struct poettmann {
    double gravity_oil, gravity_gas, api, gor, wor, b_w, lb_stb;
    struct gas gas;
};

static double poettmann_rho_lbft3(const struct poettmann *w, double p_pa,
                                  double t_k)
{
    double p = p_pa / UNIT_PSI_PA, t_f = t_k * 1.8 - 459.67;
    double rs = w->gravity_gas *
                pow(p / 18 * pow(10, 0.0125 * w->api - 0.00091 * t_f), 1.2048);
    double f = rs * sqrt(w->gravity_gas / w->gravity_oil) + 1.25 * t_f;
    double bo = 0.971 + 0.000147 * pow(f, 1.175);
    double z = gas_z(&w->gas, p_pa, t_k);
    double ft3 = 5.615 * (bo + w->wor * w->b_w) +
                 fmax(0, w->gor - rs) * 14.7 / p * (t_f + 460) / 520 * z;

    return w->lb_stb / ft3;
}

static double poettmann_carpenter(const struct check *c)
{
    bool metric = c->number == 1;
    double cut = check_number(c, "WC"), glr = check_number(c, "GLR");
    double liquid_stbd = check_input(c, "q_L") * UNIT_DAY_S / UNIT_BBL_M3;
    double d_ft = check_input(c, "ID") / UNIT_FT_M;
    struct poettmann w = {
        .gravity_gas = check_number(c, "gamma_g"),
        .api = metric ? 141.5 / check_number(c, "gamma_o") - 131.5
                      : check_number(c, "API"),
        .gor = (metric ? glr * 5.615 : glr) / (1 - cut),
        .wor = cut / (1 - cut),
        .b_w = check_number(c, "B_w"),
    };
    w.gravity_oil = 141.5 / (w.api + 131.5);
    w.lb_stb = 350.17 * (w.gravity_oil + w.wor * check_number(c, "gamma_w")) +
               w.gor * 0.0765 * w.gravity_gas;
    gas_init(&w.gas, &(struct gas_spec){.gravity = w.gravity_gas});

    double mass = w.lb_stb * liquid_stbd * (1 - cut); /* lb/d */
    double f = 4 * pow(10, 1.444 - 2.5 * log10(1.4737e-5 * mass / d_ft));
    double k = f * mass * mass / (7.4137e10 * pow(d_ft, 5));
    double head = check_input(c, "p_wh"), foot = head;
    double top = poettmann_rho_lbft3(&w, head, check_input(c, "T_wh"));
    for (int i = 0; i < 60; i++) {
        double rho =
            0.5 * (top + poettmann_rho_lbft3(&w, foot, check_input(c, "T_bh")));
        foot = head + (rho + k / rho) / 144 * UNIT_PSI_PA *
                          check_input(c, "D") / UNIT_FT_M;
    }
    return foot / UNIT_PSI_PA;
}

static const struct {
    const char *prefix;
    double (*value)(const struct check *c);
} families[] = {
    {"VG-", vogel},           {"IP-", inflow},
    {"FK-", fetkovich},       {"WC-", water_cut},
    {"GL-", gas_lift_inflow}, {"TP-", temperature},
    {"FF-", friction},        {"PC-", poettmann_carpenter},
};

bool published_well(const struct check *c, double *got)
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
