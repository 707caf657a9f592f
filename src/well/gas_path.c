/* One march per piece of the path in which inclination and pipe do not
 * change, in measured depth. */
#include "well/gas_path.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>

#include "base/units.h"
#include "num/tol.h"
#include "well/friction.h"

/* Pressures that the gas correlations are asked for, Pa. */
#define P_LEAST_PA 1e4
#define P_MOST_PA 2e8

struct piece {
    const struct well *well;
    double flux_kgm2s; /* above 0 down */
    double sin_incline, d_hydraulic_m, relative_roughness;
};

double gas_path_temperature_k(const struct well *w, double md_m)
{
    double part = well_tvd_m(w, md_m) / w->thermal.tvd_bottom_m;
    double t_head_k = w->gas_path.t_head_k;

    return t_head_k + part * (w->thermal.t_bottom_k - t_head_k);
}

/* Loss per metre the way the gas goes: speed cancels against density in the
 * friction, so that only the flux is asked for. */
static double friction_pam(const struct piece *piece, double t_k,
                           double rho_kgm3)
{
    const struct gas *gas = &piece->well->fluid.lift_gas;
    double flux = piece->flux_kgm2s, d_m = piece->d_hydraulic_m;

    if (flux == 0)
        return 0;
    double reynolds = fabs(flux) * d_m / gas_viscosity_pas(gas, t_k, rho_kgm3);
    double f = friction_moody(reynolds, piece->relative_roughness);
    return f * flux * fabs(flux) / (2 * rho_kgm3 * d_m);
}

static void piece_at(double md_m, double p_pa, int regime, void *context,
                     struct march_point *out)
{
    const struct piece *piece = context;
    const struct gas *gas = &piece->well->fluid.lift_gas;
    double slope = (double)NAN;

    if (p_pa >= P_LEAST_PA && p_pa <= P_MOST_PA) {
        double t_k = gas_path_temperature_k(piece->well, md_m);
        double rho = gas_density_kgm3(gas, p_pa, t_k, gas_z(gas, p_pa, t_k));

        slope = rho * UNIT_GRAVITY_MS2 * piece->sin_incline -
                friction_pam(piece, t_k, rho);
    }
    *out = (struct march_point){slope, 1, regime};
}

/* A boundary at md_break lies behind what goes on from md_m. */
static bool is_passed(double md_break_m, double md_m, bool down)
{
    return down ? md_break_m <= md_m : md_break_m < md_m;
}

/* The piece that goes on from md_m towards md_to_m; returns where it ends. */
static double piece_from(struct piece *piece, double gas_sm3s, double md_m,
                         double md_to_m)
{
    const struct well *w = piece->well;
    const struct gas_path *g = &w->gas_path;
    bool down = md_to_m > md_m;
    size_t i = 1, k = 0;

    while (i < w->n_stations - 1 && is_passed(w->station[i].md_m, md_m, down))
        i++;
    while (k < g->n_sections - 1 &&
           is_passed(g->section[k].to_md_m, md_m, down))
        k++;
    const struct well_station *a = &w->station[i - 1], *b = a + 1;
    const struct well_section *s = &g->section[k];
    double area_m2 = annulus_area_m2(s->d_m, s->core_m);
    double d_m = annulus_hydraulic_m(s->d_m, s->core_m);

    *piece = (struct piece){
        w, gas_sm3s * w->fluid.lift_gas.rho_std_kgm3 / area_m2,
        (b->tvd_m - a->tvd_m) / (b->md_m - a->md_m), d_m, s->roughness_m / d_m};
    if (down)
        return fmin(fmin(b->md_m, s->to_md_m), md_to_m);
    return fmax(fmax(a->md_m, k > 0 ? s[-1].to_md_m : 0), md_to_m);
}

enum status gas_path_pressure(const struct well *w, double md_from_m,
                              double md_to_m, double gas_sm3s, double p_from_pa,
                              double *p_to_pa, struct march_count *count,
                              struct err *err)
{
    struct march_count uncounted = {0};
    struct piece piece = {.well = w};
    struct march_problem march = {piece_at, NULL, &piece, TOL_MARCH_REL, 0};
    double p_pa = p_from_pa, md_m = md_from_m;

    assert(w->gas_path.n_sections > 0);
    while (md_m != md_to_m) {
        double md_end = piece_from(&piece, gas_sm3s, md_m, md_to_m);
        enum status st =
            march_run(&march, md_m, md_end, p_pa, &p_pa, &march.step_hint,
                      count ? count : &uncounted, err);

        if (st != ST_OK)
            return err_set(err, st,
                           "well %s: gas at %g Pa from %g m cannot flow at %g "
                           "Sm3/s to %g m: %g Pa is reached on the way",
                           w->name, p_from_pa, md_from_m, gas_sm3s, md_to_m,
                           p_pa);
        md_m = md_end;
    }
    *p_to_pa = p_pa;
    return ST_OK;
}

double gas_path_available_pa(const struct gas_path *g, double gas_sm3s)
{
    double head_pa2 = g->p_header_pa * g->p_header_pa -
                      g->line_pa2_sm3s2 * gas_sm3s * gas_sm3s;

    return head_pa2 > 0 ? fmin(sqrt(head_pa2), g->p_casing_max_pa) : 0;
}

double gas_path_line_pa2_sm3s2(const struct gas *gas, double length_m,
                               double d_m, double roughness_m,
                               double p_header_pa, double t_k)
{
    /* p dp = -f G^2 z R T / (2 M d) dx over the length, with the mass flux
     * G = rho_std q / area, at one z and one T. */
    double f = friction_turbulent(HUGE_VAL, roughness_m / d_m);
    double flux_per_sm3s = gas->rho_std_kgm3 / (0.25 * M_PI * d_m * d_m);
    double p_per_rho = gas_z(gas, p_header_pa, t_k) * UNIT_R_J_MOLK * t_k /
                       gas->molar_mass_kgmol;

    return f * length_m * flux_per_sm3s * flux_per_sm3s * p_per_rho / d_m;
}
