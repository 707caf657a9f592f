/* What all correlations share: one phase alone, the choice of the friction
 * law, the sum of the parts. A regime is 2 * pattern, + 1 when laminar, and
 * BRANCH_UNIT times the branches taken inside the pattern. */
#include "well/gradient.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>

#include "base/units.h"
#include "gradient_model.h"
#include "well/friction.h"

/* The most that the kinetic term may take of the pressure: towards 1 the
 * stream chokes, and the gradient loses its meaning. Ours, no source. */
#define KINETIC_MOST 0.95

static const struct {
    const char *key, *text;
} names[] = {
#define NAME_ROW(name, key, text) {key, text},
    GRADIENT_LIST(NAME_ROW)
#undef NAME_ROW
};

#define BOTH_LAWS(name, text) text, text ", laminar",
#define TEXTS(patterns)                                \
    {                                                  \
        BOTH_LAWS(LIQUID, "liquid only")               \
        BOTH_LAWS(GAS, "gas only") patterns(BOTH_LAWS) \
    }

static const char *const hagedorn_brown[] = TEXTS(HAGEDORN_BROWN_PATTERNS);
static const char *const beggs_brill[] = TEXTS(BEGGS_BRILL_PATTERNS);
static const char *const drift_flux[] = TEXTS(DRIFT_FLUX_PATTERNS);

#define COUNT(array) (int)(sizeof(array) / sizeof(array)[0])

static const struct {
    slip_rule *slip;
    const char *const *text; /* of each regime */
    int n_regimes;
} models[GRADIENT_COUNT] = {
    [GRADIENT_HAGEDORN_BROWN] = {slip_hagedorn_brown, hagedorn_brown,
                                 COUNT(hagedorn_brown)},
    [GRADIENT_HAGEDORN_BROWN_1965] = {slip_hagedorn_brown_1965, hagedorn_brown,
                                      COUNT(hagedorn_brown)},
    [GRADIENT_BEGGS_BRILL] = {slip_beggs_brill, beggs_brill,
                              COUNT(beggs_brill)},
    [GRADIENT_BEGGS_BRILL_1973] = {slip_beggs_brill_1973, beggs_brill,
                                   COUNT(beggs_brill)},
    [GRADIENT_DRIFT_FLUX] = {slip_drift_flux, drift_flux, COUNT(drift_flux)},
};

/* Above any pattern and law. */
#define BRANCH_UNIT 16u

static int natural_pattern(const struct mix_state *mix)
{
    if (!(mix->q_gas_m3s > 0))
        return PATTERN_LIQUID;
    return mix->q_liquid_m3s > 0 ? PATTERN_NATURAL : PATTERN_GAS;
}

static void slip_one_phase(double d_m, int pattern, double margin, double v_ms,
                           double rho_kgm3, double mu_pas, struct slip *out)
{
    *out =
        (struct slip){pattern, margin, pattern == PATTERN_LIQUID,
                      rho_kgm3 * v_ms * d_m / mu_pas, rho_kgm3 * v_ms * v_ms};
}

static void slip_at(enum gradient_model model, const struct pipe *pipe,
                    const struct mix_state *mix, const struct groups *g,
                    int pattern, struct branches *b, struct slip *out)
{
    if (pattern == PATTERN_LIQUID) {
        slip_one_phase(g->d_m, pattern, -mix->free_gas_margin, g->v_liquid_ms,
                       mix->rho_liquid_kgm3, mix->mu_liquid_pas, out);
    } else if (pattern == PATTERN_GAS) {
        slip_one_phase(g->d_m, pattern, mix->free_gas_margin, g->v_gas_ms,
                       mix->rho_gas_kgm3, mix->mu_gas_pas, out);
    } else {
        models[model].slip(pipe, mix, g, pattern, b, out);
        out->margin = fmin(out->margin, mix->free_gas_margin);
    }
}

void gradient_at(enum gradient_model model, const struct pipe *pipe,
                 const struct mix_state *mix, int regime, struct gradient *out)
{
    bool natural = regime == REGIME_NATURAL;
    int law = (int)((unsigned)regime % BRANCH_UNIT);
    struct branches b = {.natural = natural,
                         .frozen = (unsigned)regime / BRANCH_UNIT,
                         .margin = 1};
    struct groups g;
    struct slip s;

    /* What is not a number passes: the march answers it. */
    assert(!(pipe->core_m < 0 || pipe->core_m >= pipe->d_m));
    assert(natural || law < models[model].n_regimes);
    groups_at(pipe, mix, &g);
    slip_at(model, pipe, mix, &g, natural ? natural_pattern(mix) : law / 2, &b,
            &s);

    bool laminar = natural ? s.reynolds < FRICTION_RE_LAMINAR : law % 2 == 1;
    double above =
        (s.reynolds - FRICTION_RE_LAMINAR) / (s.reynolds + FRICTION_RE_LAMINAR);
    double moody =
        laminar ? friction_laminar(s.reynolds, pipe->core_m / pipe->d_m)
                : friction_turbulent(s.reynolds, pipe->roughness_m / g.d_m);
    double rho = slip_rho_kgm3(mix, s.holdup);

    out->kinetic =
        branch_min(&b, rho * g.v_mix_ms * g.v_gas_ms / mix->p_pa, KINETIC_MOST);
    out->regime = (int)(BRANCH_UNIT * b.taken) + 2 * s.pattern + laminar;
    out->margin = fmin(fmin(s.margin, b.margin), laminar ? -above : above);
    out->holdup = s.holdup;
    out->elevation_pam = rho * UNIT_GRAVITY_MS2 * pipe->sin_incline;
    /* A still stream has no friction, and no friction factor. */
    out->friction_pam =
        s.friction_pa > 0 ? moody * s.friction_pa / (2 * g.d_m) : 0;
    out->total_pam =
        (out->elevation_pam + out->friction_pam) / (1 - out->kinetic);
}

const char *gradient_regime_text(enum gradient_model model, int regime)
{
    regime = (int)((unsigned)regime % BRANCH_UNIT);
    assert(regime < models[model].n_regimes);
    return models[model].text[regime];
}

const char *gradient_key(enum gradient_model model)
{
    return names[model].key;
}

const char *gradient_text(enum gradient_model model)
{
    return names[model].text;
}
