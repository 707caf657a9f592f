/* Beggs & Brill (1973), JPT May: air and water in acrylic pipe of 1 and 1.5 in,
 * all inclinations. Holdup corrected after Payne et al. (1979) (from memory):
 * times 0.924 uphill, not below no-slip; the friction factor is that of rough
 * pipe in both variants.
 */
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
/* No inclination term. */
static const struct pattern_fit distributed = {
    .a = 1.065, .b = 0.5824, .c = 0.0609};

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

static double level_holdup(const struct pattern_fit *k, const struct point *x,
                           struct branches *b)
{
    double level = k->a * exp(k->b * x->ln_no_slip - k->c * x->ln_froude);

    return branch_max(b, level, x->no_slip);
}

static double fit_holdup(const struct pattern_fit *k, const struct point *x,
                         struct branches *b)
{
    double level = level_holdup(k, x, b);
    double ln = log(k->d) + k->e * x->ln_no_slip + k->f * x->ln_lv +
                k->g * x->ln_froude;

    return level *
           (1 + (1 - x->no_slip) * branch_max(b, ln, 0) * x->inclination);
}

static double pattern_holdup(const struct map *map, int pattern,
                             const struct point *x, struct branches *b)
{
    if (pattern == PATTERN_SEGREGATED)
        return fit_holdup(&segregated, x, b);
    if (pattern == PATTERN_INTERMITTENT)
        return fit_holdup(&intermittent, x, b);
    if (pattern == PATTERN_DISTRIBUTED)
        return level_holdup(&distributed, x, b);
    /* A = (L3 - Fr) / (L3 - L2) */
    double a = (1 - exp(x->ln_froude - map->l3)) / (1 - exp(map->l2 - map->l3));
    a = fmin(1, fmax(0, a));
    double between = a * fit_holdup(&segregated, x, b);
    return between + (1 - a) * fit_holdup(&intermittent, x, b);
}

/* The print changes forms of the friction ratio at y = 1.2, where they differ
 * by 0.001; they meet at 1.2006, and changing there is the print on either
 * side. */
#define Y_FORMS_MEET 1.2006

/* The fit has a pole at 1.017: a frozen branch is not followed to it. */
#define Y_BEFORE_POLE 1.01
#define Y_AFTER_POLE 1.1

static double fit_friction(double y)
{
    double v = log(y);

    return exp(v / (-0.0523 + v * (3.182 + v * (-0.8725 + v * v * 0.01853))));
}

/* Two-phase over no-slip friction factor. Another pole, at 0.0002, is below
 * any y that the holdups give (0.004 in creeping flow). */
static double friction_ratio(double no_slip, double holdup, struct branches *b)
{
    double y = no_slip / (holdup * holdup);
    bool is_above_1 = branch(b, y - 1);
    bool is_past_meeting = branch(b, y - Y_FORMS_MEET);

    if (!is_above_1)
        return fit_friction(fmin(y, Y_BEFORE_POLE));
    return is_past_meeting ? fit_friction(fmax(y, Y_AFTER_POLE))
                           : 2.2 * y - 1.2;
}

static void slip_payne(const struct pipe *pipe, const struct groups *g,
                       int pattern, double payne, struct branches *b,
                       struct slip *out)
{
    double s = sin(1.8 * asin(pipe->sin_incline));
    struct point x = {g->no_slip, log(g->no_slip), log(g->froude), log(g->n_lv),
                      s - s * s * s / 3};
    struct map map = map_at(x.ln_no_slip);

    if (pattern == PATTERN_NATURAL)
        pattern = natural_pattern(&map, x.ln_froude);
    double holdup = payne * pattern_holdup(&map, pattern, &x, b);
    holdup = branch_min(b, branch_max(b, holdup, g->no_slip), 1);

    out->pattern = pattern;
    out->margin = pattern_margin(&map, pattern, x.ln_froude);
    out->holdup = holdup;
    out->reynolds = g->reynolds_no_slip;
    out->friction_pa = g->rho_no_slip_kgm3 * g->v_mix_ms * g->v_mix_ms *
                       friction_ratio(g->no_slip, holdup, b);
}

void slip_beggs_brill(const struct pipe *pipe, const struct mix_state *mix,
                      const struct groups *g, int pattern, struct branches *b,
                      struct slip *out)
{
    (void)mix;
    slip_payne(pipe, g, pattern, pipe->sin_incline > 0 ? PAYNE_UPHILL : 1, b,
               out);
}

void slip_beggs_brill_1973(const struct pipe *pipe, const struct mix_state *mix,
                           const struct groups *g, int pattern,
                           struct branches *b, struct slip *out)
{
    (void)mix;
    slip_payne(pipe, g, pattern, 1, b, out);
}
