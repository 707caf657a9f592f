#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/units.h"
#include "well/gradient.h"
#include "well/groups.h"

#include "gradient_rows.h"

TestSuite(gradient, .timeout = 60);

static double area_m2(const struct pipe *pipe)
{
    return 0.25 * M_PI * pipe->d_m * pipe->d_m;
}

static struct gradient natural(enum gradient_model model,
                               const struct pipe *pipe,
                               const struct mix_state *mix)
{
    struct gradient g;

    gradient_at(model, pipe, mix, REGIME_NATURAL, &g);
    return g;
}

/* Water and air near 1 atm. */
static struct mix_state stream(const struct pipe *pipe, double v_liquid,
                               double v_gas)
{
    return (struct mix_state){.p_pa = 1e5,
                              .t_k = 300,
                              .q_liquid_m3s = v_liquid * area_m2(pipe),
                              .q_gas_m3s = v_gas * area_m2(pipe),
                              .rho_liquid_kgm3 = 1000,
                              .rho_gas_kgm3 = 1.2,
                              .mu_liquid_pas = 1e-3,
                              .mu_gas_pas = 1.8e-5,
                              .tension_nm = 0.07,
                              .free_gas_margin = v_gas > 0 ? 1 : -1};
}

Test(gradient, each_correlation_follows_its_printed_equations)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct mix_state mix = states[rows[i].state].mix;
        const struct pipe *pipe = &states[rows[i].state].pipe;
        const char *pattern = rows[i].pattern;

        mix.q_liquid_m3s *= area_m2(pipe);
        mix.q_gas_m3s *= area_m2(pipe);
        struct gradient g = natural(rows[i].model, pipe, &mix);
        const char *text = gradient_regime_text(rows[i].model, g.regime);

        cr_expect(
            epsilon_eq(dbl, g.holdup, rows[i].holdup, 1e-8 * rows[i].holdup),
            "row %zu %s", i, pattern);
        cr_expect(epsilon_eq(dbl, g.elevation_pam, rows[i].elevation_pam,
                             1e-8 * rows[i].elevation_pam),
                  "row %zu %s", i, pattern);
        cr_expect(epsilon_eq(dbl, g.friction_pam, rows[i].friction_pam,
                             1e-8 * rows[i].friction_pam),
                  "row %zu %s", i, pattern);
        cr_expect(
            epsilon_eq(dbl, g.kinetic, rows[i].kinetic, 1e-8 * rows[i].kinetic),
            "row %zu %s", i, pattern);
        cr_expect(epsilon_eq(dbl, g.total_pam,
                             (rows[i].elevation_pam + rows[i].friction_pam) /
                                 (1 - rows[i].kinetic),
                             1e-8 * g.total_pam),
                  "row %zu %s", i, pattern);
        cr_expect(strncmp(text, pattern, strlen(pattern)) == 0,
                  "row %zu: %s is not %s", i, text, pattern);
        cr_expect(ge(dbl, g.margin, 0), "row %zu %s", i, pattern);
    }
}

/* A stream of the given no-slip liquid part and Froude number has this pattern
 * by Beggs & Brill. */
static void expect_pattern(double no_slip, double froude, const char *pattern)
{
    struct pipe pipe = {0.06, 0, 1};
    double v = sqrt(froude * UNIT_GRAVITY_MS2 * pipe.d_m);
    struct mix_state mix = stream(&pipe, no_slip * v, (1 - no_slip) * v);
    struct gradient g = natural(GRADIENT_BEGGS_BRILL, &pipe, &mix);
    const char *text = gradient_regime_text(GRADIENT_BEGGS_BRILL, g.regime);

    cr_expect(strncmp(text, pattern, strlen(pattern)) == 0,
              "l %g Fr %g: %s is not %s", no_slip, froude, text, pattern);
}

/* Beggs & Brill 1973, revised map: L1 = 316 l^0.302, L2 = 0.0009252 l^-2.4684,
 * L3 = 0.10 l^-1.4516, L4 = 0.5 l^-6.738. */
Test(gradient, the_map_of_beggs_brill_has_its_printed_lines)
{
    static const struct {
        double no_slip, factor, power;
        const char *below, *above;
    } lines[] = {
        {0.003, 316, 0.302, "segregated", "distributed"},
        {0.02, 0.0009252, -2.4684, "segregated", "transition"},
        {0.3, 0.0009252, -2.4684, "segregated", "transition"},
        {0.02, 0.10, -1.4516, "transition", "intermittent"},
        {0.3, 0.10, -1.4516, "transition", "intermittent"},
        {0.9, 0.10, -1.4516, "transition", "intermittent"},
        {0.02, 316, 0.302, "intermittent", "distributed"},
        {0.35, 316, 0.302, "intermittent", "distributed"},
        {0.45, 0.5, -6.738, "intermittent", "distributed"},
        {0.9, 0.5, -6.738, "intermittent", "distributed"},
    };

    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        double l = lines[i].no_slip;
        double line = lines[i].factor * pow(l, lines[i].power);
        expect_pattern(l, line * 0.999, lines[i].below);
        expect_pattern(l, line * 1.001, lines[i].above);
    }
}

/* Griffith & Wallis 1961: L_B = 1.071 - 0.2218 v^2 / d (ft/s, ft), not below
 * 0.13. */
Test(gradient, hagedorn_brown_has_bubble_flow_up_to_its_printed_boundary)
{
    struct pipe pipe = {0.076, 0, 1};
    double d_ft = pipe.d_m / 0.3048;

    for (double v_fts = 0.2; v_fts < 3; v_fts += 0.1) {
        double line = fmax(0.13, 1.071 - 0.2218 * v_fts * v_fts / d_ft);
        for (int side = -1; side <= 1 && line < 0.99; side += 2) {
            double gas = line + side * 0.0005, v = v_fts * 0.3048;
            struct mix_state mix = stream(&pipe, (1 - gas) * v, gas * v);
            struct gradient g = natural(GRADIENT_HAGEDORN_BROWN, &pipe, &mix);
            const char *text =
                gradient_regime_text(GRADIENT_HAGEDORN_BROWN, g.regime);
            cr_expect(eq(int, strncmp(text, "bubble", 6) == 0, side < 0),
                      "v %g gas %g: %s", v_fts, gas, text);
        }
    }
}

/* Poiseuille: 32 mu v / d^2. */
Test(gradient, slow_liquid_alone_has_its_weight_and_poiseuilles_friction)
{
    struct pipe pipe = {0.05, 1e-4, 0.5};
    struct mix_state mix = stream(&pipe, 0.02, 0);

    for (int m = 0; m < GRADIENT_COUNT; m++) {
        struct gradient g = natural((enum gradient_model)m, &pipe, &mix);
        cr_expect(eq(dbl, g.holdup, 1));
        cr_expect(epsilon_eq(dbl, g.elevation_pam, 1000 * 9.80665 * 0.5, 1e-9));
        cr_expect(epsilon_eq(dbl, g.friction_pam,
                             32 * 1e-3 * 0.02 / (0.05 * 0.05), 1e-12));
        cr_expect(eq(dbl, g.kinetic, 0));
        cr_expect(strcmp(gradient_regime_text((enum gradient_model)m, g.regime),
                         "liquid only, laminar") == 0);
    }
}

/* Darcy with f = 0.0385 at Re 5000 and e/d = 0.001 (table of the Colebrook
 * equation, to its digits). */
Test(gradient, fast_gas_alone_has_its_weight_and_darcys_friction)
{
    struct pipe pipe = {0.05, 5e-5, 1};
    struct mix_state mix = stream(&pipe, 0, 1.5);
    double v = mix.q_gas_m3s / area_m2(&pipe);

    for (int m = 0; m < GRADIENT_COUNT; m++) {
        struct gradient g = natural((enum gradient_model)m, &pipe, &mix);
        cr_expect(eq(dbl, g.holdup, 0));
        cr_expect(epsilon_eq(dbl, g.elevation_pam, 1.2 * 9.80665, 1e-9));
        cr_expect(epsilon_eq(dbl, g.friction_pam,
                             0.0385 * 1.2 * v * v / (2 * 0.05),
                             0.003 * g.friction_pam));
        cr_expect(strcmp(gradient_regime_text((enum gradient_model)m, g.regime),
                         "gas only") == 0);
    }
}

Test(gradient, a_still_stream_is_a_column_of_liquid)
{
    struct pipe pipe = {0.05, 5e-5, 1};
    struct mix_state mix = stream(&pipe, 0, 0);

    for (int m = 0; m < GRADIENT_COUNT; m++) {
        struct gradient g = natural((enum gradient_model)m, &pipe, &mix);
        cr_expect(epsilon_eq(dbl, g.total_pam, 1000 * 9.80665, 1e-9));
        cr_expect(lt(dbl, 0, g.margin));
    }
}

Test(gradient, a_level_pipe_has_friction_only)
{
    struct pipe pipe = {0.05, 5e-5, 0};
    struct mix_state mix = stream(&pipe, 0.5, 2);

    for (int m = 0; m < GRADIENT_COUNT; m++) {
        struct gradient g = natural((enum gradient_model)m, &pipe, &mix);
        cr_expect(eq(dbl, g.elevation_pam, 0));
        cr_expect(lt(dbl, 0, g.friction_pam));
        cr_expect(lt(dbl, 0, g.holdup));
    }
}

Test(gradient, the_kinetic_term_ends_before_the_stream_chokes)
{
    struct pipe pipe = {0.05, 5e-5, 1};
    struct mix_state mix = stream(&pipe, 3, 300);

    for (int m = 0; m < GRADIENT_COUNT; m++) {
        struct gradient g = natural((enum gradient_model)m, &pipe, &mix);
        cr_expect(eq(dbl, g.kinetic, 0.95));
        cr_expect(isfinite(g.total_pam));
    }
}

Test(gradient, no_holdup_leaves_its_bounds)
{
    for (int m = 0; m < GRADIENT_COUNT; m++)
        for (double vl = 1e-3; vl < 10; vl *= 2.1)
            for (double vg = 1e-3; vg < 100; vg *= 2.3)
                for (double s = 0; s <= 1; s += 0.25) {
                    struct pipe pipe = {0.06, 3e-5, s};
                    struct mix_state mix = stream(&pipe, vl, vg);
                    struct gradient g =
                        natural((enum gradient_model)m, &pipe, &mix);
                    double no_slip = m == GRADIENT_HAGEDORN_BROWN_1965
                                         ? 0
                                         : vl / (vl + vg) - 1e-15;
                    cr_expect(g.holdup >= no_slip && g.holdup <= 1,
                              "model %d v %g %g sin %g: %g", m, vl, vg, s,
                              g.holdup);
                    cr_expect(isfinite(g.total_pam));
                }
}

/* --- regimes along paths --------------------------------------------------*/

#define PATHS 150
#define POINTS 50
#define TINY 60 /* halvings of an interval: to rounding */

struct ends {
    struct pipe pipe;
    double p_pa[2], t_k[2];
    struct stream stream[2];
};

static double between(double lo, double hi)
{
    return lo + (hi - lo) * rand() / RAND_MAX;
}

static struct ends random_path(void)
{
    struct ends e = {.pipe = {between(0.04, 0.11), between(0, 1e-4),
                              rand() % 4 ? between(0.2, 1) : rand() % 2}};
    /* One in two flows around a core. */
    e.pipe.core_m = rand() % 2 ? e.pipe.d_m * between(0, 0.8) : 0;
    double most = exp(between(log(1e-5), log(8e-3)));
    double glr = exp(between(log(20), log(400)));

    for (int i = 0; i < 2; i++) {
        e.p_pa[i] = exp(between(log(5e5), log(3e7)));
        e.t_k[i] = between(290, 400);
        e.stream[i] =
            (struct stream){between(0.05, 1) * most, between(0, 1) * most,
                            between(0, glr) * most, between(0, glr) * most};
    }
    return e;
}

static double along(const double end[2], double x)
{
    return end[0] + x * (end[1] - end[0]);
}

static struct gradient path_at(const struct ends *e, const struct fluid *f,
                               enum gradient_model model, double x, int regime)
{
    const struct stream *a = &e->stream[0], *b = &e->stream[1];
    struct stream s = {
        along((double[]){a->oil_sm3s, b->oil_sm3s}, x),
        along((double[]){a->water_sm3s, b->water_sm3s}, x),
        along((double[]){a->gas_sm3s, b->gas_sm3s}, x),
        along((double[]){a->lift_sm3s, b->lift_sm3s}, x),
    };
    struct mix m;
    struct mix_state state;
    struct gradient g;

    mix_init(&m, f, &s);
    mix_at(&m, along(e->p_pa, x), along(e->t_k, x), &state);
    gradient_at(model, &e->pipe, &state, regime, &g);
    return g;
}

/* What of the change between two points is left when the interval shrinks on
 * its steepest part: 0, or the size of a jump. */
static void jumps(const struct ends *e, const struct fluid *f,
                  enum gradient_model model, int regime, double x0, double x1,
                  double *gradient_jump, double *margin_jump)
{
    double jump[2];

    for (int what = 0; what < 2; what++) {
        double a = x0, b = x1;
        struct gradient ga = path_at(e, f, model, a, regime);
        struct gradient gb = path_at(e, f, model, b, regime);
        for (int i = 0; i < TINY; i++) {
            double mid = 0.5 * (a + b);
            struct gradient gm = path_at(e, f, model, mid, regime);
            double low =
                what ? gm.margin - ga.margin : gm.total_pam - ga.total_pam;
            double high =
                what ? gb.margin - gm.margin : gb.total_pam - gm.total_pam;
            if (fabs(low) > fabs(high)) {
                b = mid;
                gb = gm;
            } else {
                a = mid;
                ga = gm;
            }
        }
        jump[what] = what ? fabs(gb.margin - ga.margin)
                          : fabs(gb.total_pam / ga.total_pam - 1);
    }
    *gradient_jump = jump[0];
    *margin_jump = jump[1];
}

/* Where the natural regime leaves `regime` between x0 and x1. */
static double leaves_at(const struct ends *e, const struct fluid *f,
                        enum gradient_model model, int regime, double x0,
                        double x1)
{
    for (int i = 0; i < TINY; i++) {
        double mid = 0.5 * (x0 + x1);
        if (path_at(e, f, model, mid, REGIME_NATURAL).regime == regime)
            x0 = mid;
        else
            x1 = mid;
    }
    return x1;
}

static struct fluid some_fluid(void)
{
    struct fluid f = {.salinity = 0.03};

    oil_init(&f.oil, &(struct oil_spec){.gravity = 0.86, .gas_gravity = 0.75});
    gas_init(&f.formation_gas, &(struct gas_spec){.gravity = 0.75});
    gas_init(&f.lift_gas, &(struct gas_spec){.gravity = 0.65});
    return f;
}

/* Rounding of the path's own 60 halvings: the steepest slope met times
 * 1e-16, with room. */
#define NO_JUMP 1e-9

Test(gradient, a_frozen_regime_is_continuous_and_its_margin_finds_its_end)
{
    struct fluid f = some_fluid();
    int changes[GRADIENT_COUNT] = {0};

    srand(20240501);
    for (int path = 0; path < PATHS; path++) {
        struct ends e = random_path();
        enum gradient_model model =
            (enum gradient_model)(path % GRADIENT_COUNT);
        for (int i = 0; i < POINTS; i++) {
            double x0 = (double)i / POINTS, x1 = (double)(i + 1) / POINTS;
            struct gradient at = path_at(&e, &f, model, x0, REGIME_NATURAL);
            struct gradient next = path_at(&e, &f, model, x1, REGIME_NATURAL);
            struct gradient kept = path_at(&e, &f, model, x1, at.regime);
            double jump, margin_jump;

            cr_assert(at.margin >= 0, "path %d point %d", path, i);
            cr_expect(isfinite(kept.total_pam));
            /* One side of the boundary or the other, never both. */
            cr_expect(eq(int, kept.margin >= 0, next.regime == at.regime),
                      "path %d point %d margin %g", path, i, kept.margin);
            jumps(&e, &f, model, at.regime, x0, x1, &jump, &margin_jump);
            cr_expect(lt(dbl, jump, NO_JUMP), "path %d point %d %s", path, i,
                      gradient_regime_text(model, at.regime));
            cr_expect(lt(dbl, margin_jump, NO_JUMP), "path %d point %d %s",
                      path, i, gradient_regime_text(model, at.regime));
            if (next.regime == at.regime)
                continue;
            changes[model]++;
            double end = leaves_at(&e, &f, model, at.regime, x0, x1);
            cr_expect(epsilon_eq(dbl,
                                 path_at(&e, &f, model, end, at.regime).margin,
                                 0, NO_JUMP),
                      "path %d point %d %s", path, i,
                      gradient_regime_text(model, at.regime));
        }
    }
    for (int m = 0; m < GRADIENT_COUNT; m++)
        cr_expect(lt(int, 4, changes[m]), "%s",
                  gradient_key((enum gradient_model)m));
}

Test(gradient, the_drift_flux_is_continuous_without_any_regime)
{
    struct pipe pipe = {0.062, 0, 0.9};
    double before = 1;

    for (double v = 1e-3; v < 60; v *= 1.0005) {
        struct mix_state mix = stream(&pipe, 0.4, v);
        double holdup = natural(GRADIENT_DRIFT_FLUX, &pipe, &mix).holdup;
        cr_assert(fabs(holdup - before) < 1e-2, "v %g", v);
        cr_assert(v < 2e-3 || fabs(holdup - before) < 1e-3, "v %g", v);
        before = holdup;
    }
}

Test(gradient, every_regime_may_be_frozen_anywhere)
{
    struct pipe pipe = {0.06, 3e-5, 0.8};
    static const int regimes[GRADIENT_COUNT] = {10, 10, 12, 12, 6};

    for (int m = 0; m < GRADIENT_COUNT; m++)
        for (int r = 0; r < regimes[m]; r++)
            for (double vg = 0; vg < 30; vg = 3 * vg + 1e-3) {
                struct mix_state mix = stream(&pipe, 0.5, vg);
                struct gradient g;
                gradient_at((enum gradient_model)m, &pipe, &mix, r, &g);
                cr_expect(isfinite(g.total_pam) && g.total_pam >= 0,
                          "model %d regime %d vg %g", m, r, vg);
                cr_expect(isfinite(g.margin), "model %d regime %d vg %g", m, r,
                          vg);
            }
}

Test(gradient, models_and_regimes_have_names_of_their_own)
{
    for (int a = 0; a < GRADIENT_COUNT; a++) {
        enum gradient_model model = (enum gradient_model)a;
        cr_expect(strlen(gradient_text(model)) > 5);
        for (int b = 0; b < a; b++)
            cr_expect(strcmp(gradient_key(model),
                             gradient_key((enum gradient_model)b)) != 0);
        for (int r = 1; r < 6; r++)
            cr_expect(strcmp(gradient_regime_text(model, r),
                             gradient_regime_text(model, r - 1)) != 0);
    }
}

/* Duns & Ros's groups in the papers' units: 1.938, 1.938, 120.872, 0.15726 for
 * ft/s, ft, lb/ft3, dyn/cm and cp, all 1 (print rounds g; 0.06 %). */
Test(gradient, the_groups_have_the_papers_constants)
{
    struct pipe pipe = {UNIT_FT_M, 0, 1};
    struct mix_state mix = stream(&pipe, UNIT_FT_M, 2 * UNIT_FT_M);
    struct groups g;

    mix.rho_liquid_kgm3 = UNIT_LBM_KG / pow(UNIT_FT_M, 3);
    mix.tension_nm = mix.mu_liquid_pas = 1e-3;
    groups_at(&pipe, &mix, &g);
    cr_assert(epsilon_eq(dbl, g.n_lv, 1.938, 6e-4 * 1.938));
    cr_assert(epsilon_eq(dbl, g.n_gv, 2 * 1.938, 6e-4 * 2 * 1.938));
    cr_assert(epsilon_eq(dbl, g.n_d, 120.872, 6e-4 * 120.872));
    cr_assert(epsilon_eq(dbl, g.n_l, 0.15726, 6e-4 * 0.15726));
    cr_assert(epsilon_eq(dbl, g.froude, 9 * UNIT_FT_M / 9.80665, 1e-12));
    cr_assert(epsilon_eq(dbl, g.no_slip, 1.0 / 3, 1e-12));
}
