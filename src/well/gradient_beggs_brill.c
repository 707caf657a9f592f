/* Beggs & Brill (1973), JPT May: air and water in acrylic pipe of 1 and 1.5 in,
 * all inclinations. Holdup corrected after Payne et al. (1979) (from memory):
 * times 0.924 uphill, not below no-slip; the friction factor is that of rough
 * pipe in both variants.
 *
 * The slope breaks, without a jump, where a holdup meets no-slip or 1, where
 * the inclination term meets 0, and in the friction term at y = 1 and 1.2. */
#include "gradient_model.h"

#include <math.h>

enum {
#define PATTERN_ENUM(name, text) PATTERN_##name,
    PATTERN_BEFORE = PATTERN_TWO_PHASE - 1,
    BEGGS_BRILL_PATTERNS(PATTERN_ENUM)
#undef PATTERN_ENUM
};

#define PAYNE_UPHILL 0.924

/* H_L(0) = a l^b / Fr^c and C = (1 - l) ln(d l^e N_Lv^f Fr^g). */
struct pattern_fit {
    double a, b, c, d, e, f, g;
};

static const struct pattern_fit segregated = {0.98,   0.4846, 0.0868, 0.011,
                                              -3.768, 3.539,  -1.614};
static const struct pattern_fit intermittent = {0.845, 0.5351,  0.0173, 2.96,
                                                0.305, -0.4473, 0.0978};
static const struct pattern_fit distributed = {1.065, 0.5824, 0.0609, 1,
                                               0,     0,      0};

/* The state in logarithms: each boundary of the map is a straight line, each
 * power a product. */
struct point {
    double no_slip, ln_no_slip, ln_froude, ln_lv;
    double inclination; /* sin 1.8 t - sin^3(1.8 t) / 3 */
};

struct map {
    double l2, l3;                 /* logarithms of the printed lines */
    double segregated, transition; /* to where each pattern reaches */
    double intermittent;
};

static struct map map_at(double ln_no_slip)
{
    double l1 = log(316.0) + 0.302 * ln_no_slip;
    double l2 = log(0.0009252) - 2.4684 * ln_no_slip;
    double l3 = log(0.10) - 1.4516 * ln_no_slip;
    double l4 = log(0.5) - 6.738 * ln_no_slip;

    /* The print changes lines at l = 0.01 and 0.4; they cross within 0.0001
     * of there. Taking the lower line moves the corner to the crossing, and
     * the map has no steps. */
    return (struct map){l2, l3, fmin(l1, l2), fmin(l1, l3), fmin(l1, l4)};
}

static int natural_pattern(const struct map *map, double ln_froude)
{
    if (ln_froude < map->segregated)
        return PATTERN_SEGREGATED;
    if (ln_froude <= map->transition)
        return PATTERN_TRANSITION;
    if (ln_froude <= map->intermittent)
        return PATTERN_INTERMITTENT;
    return PATTERN_DISTRIBUTED;
}

static double pattern_margin(const struct map *map, int pattern,
                             double ln_froude)
{
    switch (pattern) {
    case PATTERN_SEGREGATED:
        return map->segregated - ln_froude;
    case PATTERN_TRANSITION:
        return fmin(ln_froude - map->segregated, map->transition - ln_froude);
    case PATTERN_INTERMITTENT:
        return fmin(ln_froude - map->transition, map->intermittent - ln_froude);
    default:
        return ln_froude - map->intermittent;
    }
}

static double fit_holdup(const struct pattern_fit *k, const struct point *x)
{
    double level = k->a * exp(k->b * x->ln_no_slip - k->c * x->ln_froude);
    double c = (1 - x->no_slip) * (log(k->d) + k->e * x->ln_no_slip +
                                   k->f * x->ln_lv + k->g * x->ln_froude);

    return fmax(x->no_slip, level) * (1 + fmax(0, c) * x->inclination);
}

static double pattern_holdup(const struct map *map, int pattern,
                             const struct point *x)
{
    if (pattern == PATTERN_SEGREGATED)
        return fit_holdup(&segregated, x);
    if (pattern == PATTERN_INTERMITTENT)
        return fit_holdup(&intermittent, x);
    if (pattern == PATTERN_DISTRIBUTED)
        return fit_holdup(&distributed, x);
    /* A = (L3 - Fr) / (L3 - L2) */
    double a = (1 - exp(x->ln_froude - map->l3)) / (1 - exp(map->l2 - map->l3));
    a = fmin(1, fmax(0, a));
    return a * fit_holdup(&segregated, x) +
           (1 - a) * fit_holdup(&intermittent, x);
}

/* Two-phase over no-slip friction factor. */
static double friction_ratio(double no_slip, double holdup)
{
    /* The fit has poles at 0.0002, below any y that the holdups give (0.004
     * in creeping flow), and at 1.017. */
    double y = no_slip / (holdup * holdup), v = log(y);
    double fit = v / (-0.0523 + v * (3.182 + v * (-0.8725 + v * v * 0.01853)));

    if (y <= 1)
        return exp(fit);
    /* The print changes forms at 1.2, where they differ by 0.001; they meet
     * at 1.2006, and the lower of both is the printed one on either side. */
    double near_1 = 2.2 * y - 1.2;
    return y < 1.1 ? near_1 : fmin(near_1, exp(fit));
}

static void slip_payne(const struct pipe *pipe, const struct groups *g,
                       int pattern, double payne, struct slip *out)
{
    double s = sin(1.8 * asin(pipe->sin_incline));
    struct point x = {g->no_slip, log(g->no_slip), log(g->froude), log(g->n_lv),
                      s - s * s * s / 3};
    struct map map = map_at(x.ln_no_slip);

    if (pattern == PATTERN_NATURAL)
        pattern = natural_pattern(&map, x.ln_froude);
    double holdup = payne * pattern_holdup(&map, pattern, &x);
    holdup = fmin(1, fmax(g->no_slip, holdup));

    out->pattern = pattern;
    out->margin = pattern_margin(&map, pattern, x.ln_froude);
    out->holdup = holdup;
    out->reynolds = g->reynolds_no_slip;
    out->friction_pa = g->rho_no_slip_kgm3 * g->v_mix_ms * g->v_mix_ms *
                       friction_ratio(g->no_slip, holdup);
}

void slip_beggs_brill(const struct pipe *pipe, const struct mix_state *mix,
                      const struct groups *g, int pattern, struct slip *out)
{
    (void)mix;
    slip_payne(pipe, g, pattern, pipe->sin_incline > 0 ? PAYNE_UPHILL : 1, out);
}

void slip_beggs_brill_1973(const struct pipe *pipe, const struct mix_state *mix,
                           const struct groups *g, int pattern,
                           struct slip *out)
{
    (void)mix;
    slip_payne(pipe, g, pattern, 1, out);
}
