/* Hagedorn & Brown (1965), JPT April, vertical flow in tubing of 1 to 1.5 in,
 * used to 3.5 in; liquids of 0.86 to 110 cp (from memory). The three curves as
 * the quartics of Guo, Lyons & Ghalambor (2007) ch. 4 (from memory; the
 * profile printed there confirms them). Modified: bubble flow after Griffith &
 * Wallis (1961), holdup not below no-slip. In inclined pipe gravity counts
 * along the pipe, the holdup is the vertical one.
 */
#include "gradient_model.h"

#include <math.h>

#include "base/units.h"

#define LN10 2.302585092994046

enum {
#define PATTERN_ENUM(name, text) PATTERN_##name,
    PATTERN_BEFORE = PATTERN_TWO_PHASE - 1,
    HAGEDORN_BROWN_PATTERNS(PATTERN_ENUM)
#undef PATTERN_ENUM
};

/* Ends of the digitised curves. N_L is 0.002 to 0.4. H starts at 2e-6 and is
 * held from 4.7e-3, the top of the quartic (0.995), which falls after it while
 * the chart goes to 1. B ends at 0.09, where the quartic runs away. */
#define LOG_NL_LEAST (-2.698970004)
#define LOG_NL_MOST (-0.397940009)
#define LOG_H_LEAST (-5.698970004)
#define LOG_H_MOST (-2.32774)
#define B_MOST 0.09

/* Griffith & Wallis: slip of 0.8 ft/s. */
#define BUBBLE_SLIP_MS (0.8 * UNIT_FT_M)

static double curve_log_cnl(double log_nl, struct branches *b)
{
    double x = branch_within(b, log_nl, LOG_NL_LEAST, LOG_NL_MOST) + 3;

    return -2.69851 +
           x * (0.15841 + x * (-0.55100 + x * (0.54785 - x * 0.12195)));
}

static double curve_holdup_per_psi(double log_h, struct branches *b)
{
    double x = branch_within(b, log_h, LOG_H_LEAST, LOG_H_MOST) + 6;

    return -0.10307 +
           x * (0.61777 + x * (-0.63295 + x * (0.29598 - x * 0.0401)));
}

/* The print takes 1 up to B = 0.01, where the quartic is below 1 still. */
static double curve_psi(double abscissa, struct branches *b)
{
    double x = branch_within(b, abscissa, 0, B_MOST);
    double fit = 0.91163 +
                 x * (-4.82176 + x * (1232.25 + x * (-22253.6 + x * 116174.3)));

    return branch_max(b, fit, 1);
}

static double curves_holdup(const struct mix_state *mix, const struct groups *g,
                            struct branches *b)
{
    double ln_gv = log(g->n_gv), ln_d = log(g->n_d), ln_l = log(g->n_l);
    double ln_h = log(g->n_lv) - 0.575 * ln_gv - ln_d +
                  0.1 * log(mix->p_pa / UNIT_ATM_PA);
    double log_h = ln_h / LN10 + curve_log_cnl(ln_l / LN10, b);
    double psi = curve_psi(exp(ln_gv + 0.380 * ln_l - 2.14 * ln_d), b);

    return branch_min(b, curve_holdup_per_psi(log_h, b) * psi, 1);
}

static void slip_curves(const struct mix_state *mix, const struct groups *g,
                        double holdup, struct slip *out)
{
    /* Viscosities mix as a product of powers, friction takes the whole mass
     * rate over the density with slip. */
    double mass_kgm2s = g->rho_no_slip_kgm3 * g->v_mix_ms;
    double ratio = mix->mu_liquid_pas / mix->mu_gas_pas;
    double mu_pas = mix->mu_gas_pas * exp(holdup * log(ratio));

    out->holdup = holdup;
    out->reynolds = mass_kgm2s * g->d_m / mu_pas;
    out->friction_pa = mass_kgm2s * mass_kgm2s / slip_rho_kgm3(mix, holdup);
}

void slip_hagedorn_brown_1965(const struct pipe *pipe,
                              const struct mix_state *mix,
                              const struct groups *g, int pattern,
                              struct branches *b, struct slip *out)
{
    (void)pipe, (void)pattern;
    out->pattern = PATTERN_CURVES;
    out->margin = 1;
    slip_curves(mix, g, curves_holdup(mix, g, b), out);
}

/* Above 0 in bubble flow: the boundary's gas fraction less the stream's. */
static double bubble_margin(const struct groups *g, struct branches *b)
{
    double v_fts = g->v_mix_ms / UNIT_FT_M, d_ft = g->d_m / UNIT_FT_M;
    double boundary =
        branch_max(b, 1.071 - 0.2218 * v_fts * v_fts / d_ft, 0.13);

    return boundary - (1 - g->no_slip);
}

static void slip_bubble(const struct mix_state *mix, const struct groups *g,
                        struct slip *out)
{
    double mix_part = 1 + g->v_mix_ms / BUBBLE_SLIP_MS;
    double gas_part = 4 * g->v_gas_ms / BUBBLE_SLIP_MS;
    double holdup = 1 - 0.5 * (mix_part - sqrt(mix_part * mix_part - gas_part));
    double v_liquid = g->v_liquid_ms / holdup;

    /* Friction of the liquid at its own speed; Reynolds number of the
     * superficial one. */
    out->holdup = holdup;
    out->reynolds =
        mix->rho_liquid_kgm3 * g->v_liquid_ms * g->d_m / mix->mu_liquid_pas;
    out->friction_pa = mix->rho_liquid_kgm3 * v_liquid * v_liquid;
}

void slip_hagedorn_brown(const struct pipe *pipe, const struct mix_state *mix,
                         const struct groups *g, int pattern,
                         struct branches *b, struct slip *out)
{
    double bubble = bubble_margin(g, b);

    (void)pipe;
    if (pattern == PATTERN_NATURAL && bubble >= 0)
        pattern = PATTERN_BUBBLE;
    if (pattern == PATTERN_BUBBLE) {
        out->pattern = pattern;
        out->margin = bubble;
        slip_bubble(mix, g, out);
        return;
    }
    double holdup = curves_holdup(mix, g, b), above = holdup - g->no_slip;

    if (pattern == PATTERN_NATURAL)
        pattern = above >= 0 ? PATTERN_CURVES : PATTERN_NO_SLIP;
    out->pattern = pattern;
    out->margin = fmin(-bubble, pattern == PATTERN_CURVES ? above : -above);
    slip_curves(mix, g, pattern == PATTERN_CURVES ? holdup : g->no_slip, out);
}
