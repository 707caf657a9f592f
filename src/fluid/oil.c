/* Black oil. One rule per correlation: gas dissolved at a pressure, its exact
 * inverse, and the volume factor of saturated oil; then what all share. */
#include "fluid/oil.h"

#include <math.h>

#include "fluid/paper_units.h"

#define LN10 2.302585092994046

/* The lowest bubble point, psia: oil of the stock tank holds the gas that it
 * holds there, and fits run to zero and below under it. */
#define BUBBLE_LEAST_PSIA 14.696

/* Correlations in psia, F, scf/stb; g is the gas gravity they use. */
struct rule {
    double (*solution_gas)(const struct oil *o, double p_psia, double t_f);
    double (*bubble_psia)(const struct oil *o, double rs, double t_f);
    double (*saturated_bo)(const struct oil *o, double rs, double t_f);
    double swell_power; /* of the gravities in o->swell */
};

/* --- Standing (1947), API Drill. & Prod. Practice ------------------------
 * 130 to 7000 psia, 100 to 258 F, 16.5 to 63.8 API, 20 to 1425 scf/stb.
 * The print rounds the inverse of 0.83 to 1.2048; here it is exact, so that
 * the two functions are. */

#define STANDING_EXPONENT 0.83

static double standing_log_factor(const struct oil *o, double t_f)
{
    return LN10 * (0.00091 * t_f - 0.0125 * o->api);
}

static double standing_solution_gas(const struct oil *o, double p_psia,
                                    double t_f)
{
    double log_part = log(p_psia / 18.2 + 1.4) - standing_log_factor(o, t_f);

    return o->gas_gravity_used * exp(log_part / STANDING_EXPONENT);
}

static double standing_bubble_psia(const struct oil *o, double rs, double t_f)
{
    double part = pow(rs / o->gas_gravity_used, STANDING_EXPONENT);

    return 18.2 * (part * exp(standing_log_factor(o, t_f)) - 1.4);
}

static double standing_saturated_bo(const struct oil *o, double rs, double t_f)
{
    double f = rs * o->swell + 1.25 * t_f;

    return 0.9759 + 0.00012 * exp(1.2 * log(f));
}

/* --- Vasquez & Beggs (1980), JPT June ------------------------------------
 * 50 to 5250 psia, 70 to 295 F, 16 to 58 API, 20 to 2070 scf/stb. */

struct vasquez {
    double c1, c2, c3; /* solution gas */
    double b1, b2, b3; /* volume factor */
};

static const struct vasquez vasquez_heavy = {0.0362,   1.0937,   25.7240,
                                             4.677e-4, 1.751e-5, -1.811e-8};
static const struct vasquez vasquez_light = {0.0178,   1.1870,   23.9310,
                                             4.670e-4, 1.100e-5, 1.337e-9};

static const struct vasquez *vasquez_of(const struct oil *o)
{
    return o->api <= 30 ? &vasquez_heavy : &vasquez_light;
}

static double vasquez_solution_gas(const struct oil *o, double p_psia,
                                   double t_f)
{
    const struct vasquez *c = vasquez_of(o);

    return c->c1 * o->gas_gravity_used *
           exp(c->c2 * log(p_psia) + c->c3 * o->api / (t_f + 459.67));
}

static double vasquez_bubble_psia(const struct oil *o, double rs, double t_f)
{
    const struct vasquez *c = vasquez_of(o);
    double log_part = log(rs / (c->c1 * o->gas_gravity_used)) -
                      c->c3 * o->api / (t_f + 459.67);

    return exp(log_part / c->c2);
}

static double vasquez_saturated_bo(const struct oil *o, double rs, double t_f)
{
    const struct vasquez *c = vasquez_of(o);

    return 1 + c->b1 * rs +
           (t_f - 60) * (o->api / o->gas_gravity_used) * (c->b2 + c->b3 * rs);
}

/* --- Glaso (1980), JPT May ------------------------------------------------
 * 80 to 280 F, 22 to 48 API. log p = G0 + G1 x - G2 x^2 with
 * x = log[(rs/g)^0.816 T^0.172 / API^0.989]; the parabola ends at its top,
 * 19000 psia, and oil takes no more gas there. */

#define GLASO_0 1.7669
#define GLASO_1 1.7447
#define GLASO_2 0.30218
#define GLASO_GAS 0.816
#define GLASO_T 0.172
#define GLASO_API 0.989
#define GLASO_TOP (GLASO_1 / (2 * GLASO_2))

static double glaso_solution_gas(const struct oil *o, double p_psia, double t_f)
{
    double rest =
        GLASO_1 * GLASO_1 - 4 * GLASO_2 * (log(p_psia) / LN10 - GLASO_0);
    double x = GLASO_TOP - sqrt(fmax(0, rest)) / (2 * GLASO_2);
    double log_part = x * LN10 - GLASO_T * log(t_f) + GLASO_API * log(o->api);

    return o->gas_gravity_used * exp(log_part / GLASO_GAS);
}

static double glaso_bubble_psia(const struct oil *o, double rs, double t_f)
{
    double log_part = GLASO_GAS * log(rs / o->gas_gravity_used) +
                      GLASO_T * log(t_f) - GLASO_API * log(o->api);
    double x = fmin(GLASO_TOP, log_part / LN10);

    return exp(LN10 * (GLASO_0 + x * (GLASO_1 - x * GLASO_2)));
}

static double glaso_saturated_bo(const struct oil *o, double rs, double t_f)
{
    double x = log(rs * o->swell + 0.968 * t_f) / LN10;

    return 1 + exp(LN10 * (-6.58511 + x * (2.91329 - x * 0.27683)));
}

/* --- what all share -------------------------------------------------------*/

static const struct rule rules[] = {
    [OIL_STANDING] = {standing_solution_gas, standing_bubble_psia,
                      standing_saturated_bo, 0.5},
    [OIL_VASQUEZ_BEGGS] = {vasquez_solution_gas, vasquez_bubble_psia,
                           vasquez_saturated_bo, 0},
    [OIL_GLASO] = {glaso_solution_gas, glaso_bubble_psia, glaso_saturated_bo,
                   0.526},
};

static const struct rule *rule_of(const struct oil *o)
{
    return &rules[o->spec.correlation];
}

/* Gas gravity at a separator of 100 psig (Vasquez & Beggs 1980). */
static double gas_gravity_used(const struct oil_spec *s, double api)
{
    if (s->correlation != OIL_VASQUEZ_BEGGS || !(s->p_separator_pa > 0))
        return s->gas_gravity;
    return s->gas_gravity *
           (1 + 5.912e-5 * api * paper_fahrenheit(s->t_separator_k) *
                    log10(paper_psia(s->p_separator_pa) / 114.7));
}

void oil_init(struct oil *o, const struct oil_spec *spec)
{
    double rs = spec->gor_sm3sm3, t_k = spec->t_bubble_k;

    o->spec = *spec;
    o->api = 141.5 / spec->gravity - 131.5;
    o->gas_gravity_used = gas_gravity_used(spec, o->api);
    o->swell =
        pow(o->gas_gravity_used / spec->gravity, rule_of(o)->swell_power);
    o->dead_viscosity = exp(LN10 * (3.0324 - 0.02023 * o->api));
    o->p_scale = 1;
    o->bo_scale = 1;
    if (spec->p_bubble_pa > 0)
        o->p_scale = spec->p_bubble_pa / oil_bubble_point_pa(o, rs, t_k);
    if (spec->volume_factor_bubble > 0) {
        double bo = rule_of(o)->saturated_bo(o, rs / PAPER_SCFSTB_SM3SM3,
                                             paper_fahrenheit(t_k));
        o->bo_scale = (spec->volume_factor_bubble - 1) / (bo - 1);
    }
}

double oil_solution_gas(const struct oil *o, double p_pa, double t_k)
{
    return PAPER_SCFSTB_SM3SM3 *
           rule_of(o)->solution_gas(o, paper_psia(p_pa / o->p_scale),
                                    paper_fahrenheit(t_k));
}

double oil_bubble_point_pa(const struct oil *o, double rs_sm3sm3, double t_k)
{
    double p_psia = rule_of(o)->bubble_psia(o, rs_sm3sm3 / PAPER_SCFSTB_SM3SM3,
                                            paper_fahrenheit(t_k));

    return o->p_scale * fmax(BUBBLE_LEAST_PSIA, p_psia) * UNIT_PSI_PA;
}

double oil_volume_factor(const struct oil *o, double rs_sm3sm3, double p_pa,
                         double p_bubble_pa, double t_k)
{
    double rs = rs_sm3sm3 / PAPER_SCFSTB_SM3SM3, t_f = paper_fahrenheit(t_k);
    double bo = 1 + o->bo_scale * (rule_of(o)->saturated_bo(o, rs, t_f) - 1);

    if (p_pa <= p_bubble_pa)
        return bo;
    /* c_o = A/p of Vasquez & Beggs (1980), integrated. Below about 80 F the
     * fit turns negative for heavy dead oil: oil does not swell under
     * pressure, so it ends at 0. */
    double a = 1e-5 * (5 * rs + 17.2 * t_f - 1180 * o->gas_gravity_used +
                       12.61 * o->api - 1433);
    return bo * pow(p_bubble_pa / p_pa, fmax(0, a));
}

double oil_density_kgm3(const struct oil *o, double rs_sm3sm3, double bo)
{
    double gas_kgm3 = o->spec.gas_gravity * PAPER_AIR_KGMOL * UNIT_STD_PA /
                      (UNIT_R_J_MOLK * UNIT_STD_K);

    return (o->spec.gravity * PAPER_WATER_KGM3 + rs_sm3sm3 * gas_kgm3) / bo;
}

double oil_viscosity_pas(const struct oil *o, double rs_sm3sm3, double p_pa,
                         double p_bubble_pa, double t_k)
{
    /* Beggs & Robinson (1975), JPT September: 0 to 5250 psig, 70 to 295 F,
     * 16 to 58 API. In logarithms, because each power is one. */
    double rs = rs_sm3sm3 / PAPER_SCFSTB_SM3SM3, t_f = paper_fahrenheit(t_k);
    double x = o->dead_viscosity * exp(-1.163 * log(t_f));
    double log_dead = log(exp(LN10 * x) - 1);
    double b = 5.44 * exp(-0.338 * log(rs + 150));
    double log_mu = log(10.715) - 0.515 * log(rs + 100) + b * log_dead;

    if (p_pa > p_bubble_pa) {
        /* Vasquez & Beggs (1980). */
        double p = paper_psia(p_pa);
        double m = 2.6 * exp(1.187 * log(p) - 11.513 - 8.98e-5 * p);
        log_mu += m * log(p_pa / p_bubble_pa);
    }
    return exp(log_mu) * PAPER_CP_PAS;
}

double oil_tension_nm(const struct oil *o, double p_pa, double t_k)
{
    /* Baker & Swerdloff (1956), dead oil at 68 and 100 F, and the factor for
     * dissolved gas (both from memory). The slope breaks at 68 F, at 100 F
     * and where the floor is reached, near 4000 psia. */
    double part = fmin(1, fmax(0, (paper_fahrenheit(t_k) - 68) / (100 - 68)));
    double at_68 = 39 - 0.2571 * o->api, at_100 = 37.5 - 0.2571 * o->api;
    double dead = at_68 + part * (at_100 - at_68);
    double live = dead * (1 - 0.024 * exp(0.45 * log(paper_psia(p_pa))));

    return fmax(1, live) * PAPER_DYNCM_NM;
}
