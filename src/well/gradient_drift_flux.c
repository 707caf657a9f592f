/* Drift flux after Hasan & Kabir (1988), SPE Production Engineering (from
 * memory): void = v_gas / (C0 v_mix + drift), with C0 and drift by pattern.
 * The patterns are blended over the zone between a boundary and 1.5 times it
 * (ours, no source), so that nothing jumps; outside the zones each pattern's
 * values hold exactly. */
#include "gradient_model.h"

#include <math.h>

#include "base/units.h"

#define BLEND_END 1.5

#define C0_BUBBLE_SLUG 1.2
#define C0_CHURN 1.15
#define C0_ANNULAR 1.0

/* A core of gas holds from this void on. */
#define ANNULAR_GAS 0.7

/* 0 up to the boundary, 1 from BLEND_END times the boundary on, smooth
 * between. A boundary of 0 is passed by any speed. */
static double blend(double speed, double boundary, struct branches *b)
{
    double t = branch_within(b, (speed / boundary - 1) / (BLEND_END - 1), 0, 1);

    return t * t * (3 - 2 * t);
}

/* Rise of a bubble in standing liquid: Harmathy (1960). */
static double bubble_rise_ms(const struct mix_state *mix, double drho)
{
    double rho = mix->rho_liquid_kgm3;

    return 1.53 * sqrt(sqrt(UNIT_GRAVITY_MS2 * mix->tension_nm * drho)) /
           sqrt(rho);
}

/* Rise of a gas plug that fills the pipe, with Hasan & Kabir's inclination
 * factor, t from level. In an annulus the sum of the diameters counts (from
 * memory). */
static double plug_rise_ms(const struct pipe *pipe, const struct mix_state *mix,
                           double drho)
{
    double s = pipe->sin_incline, cosine = sqrt(fmax(0, 1 - s * s));

    return 0.345 *
           sqrt(UNIT_GRAVITY_MS2 * (pipe->d_m + pipe->core_m) * drho /
                mix->rho_liquid_kgm3) *
           sqrt(s) * pow(1 + cosine, 1.2);
}

/* Mixture speed that breaks plugs into churn: Taitel et al. (1980) with a
 * smooth pipe's friction, as Hasan & Kabir write it (from memory). */
static double churn_speed_ms(const struct mix_state *mix,
                             const struct groups *g, double drho)
{
    double ln = log(4.68) + 0.48 * log(g->d_m) +
                0.5 * log(UNIT_GRAVITY_MS2 * drho / mix->tension_nm) +
                0.6 * log(mix->tension_nm / mix->rho_liquid_kgm3) +
                0.08 * log(g->rho_no_slip_kgm3 / mix->mu_liquid_pas);

    return exp(ln / 1.12);
}

/* Gas speed that carries droplets: Taitel et al. (1980). */
static double annular_speed_ms(const struct mix_state *mix, double drho)
{
    return 3.1 * sqrt(sqrt(UNIT_GRAVITY_MS2 * mix->tension_nm * drho)) /
           sqrt(mix->rho_gas_kgm3);
}

void slip_drift_flux(const struct pipe *pipe, const struct mix_state *mix,
                     const struct groups *g, int pattern, struct branches *b,
                     struct slip *out)
{
    double drho = fmax(0, mix->rho_liquid_kgm3 - mix->rho_gas_kgm3);
    double plug = plug_rise_ms(pipe, mix, drho);
    /* Where a plug would be overtaken by bubbles they join it. */
    double bubble = branch_min(b, plug, bubble_rise_ms(mix, drho));
    /* Bubbles join at a void of 0.25. */
    double join = 0.429 * g->v_liquid_ms + 0.357 * bubble * pipe->sin_incline;
    double slug = blend(g->v_gas_ms, join, b);
    double churn = slug * blend(g->v_mix_ms, churn_speed_ms(mix, g, drho), b);
    double drift = bubble + slug * (plug - bubble);
    double c0 = C0_BUBBLE_SLUG + churn * (C0_CHURN - C0_BUBBLE_SLUG);
    double gas = g->v_gas_ms / (c0 * g->v_mix_ms + drift);
    double core = blend(gas / (1 - gas), ANNULAR_GAS / (1 - ANNULAR_GAS), b);
    double annular = core * blend(g->v_gas_ms, annular_speed_ms(mix, drho), b);

    drift *= 1 - annular;
    c0 += annular * (C0_ANNULAR - c0);

    double holdup = 1 - g->v_gas_ms / (c0 * g->v_mix_ms + drift);
    double rho = slip_rho_kgm3(mix, holdup);

    (void)pattern;
    out->pattern = PATTERN_TWO_PHASE;
    out->margin = 1;
    out->holdup = holdup;
    out->reynolds = rho * g->v_mix_ms * g->d_m / g->mu_no_slip_pas;
    out->friction_pa = rho * g->v_mix_ms * g->v_mix_ms;
}
