/* Pseudo-critical properties: Sutton (1985) for the hydrocarbons, mole-weighted
 * with the critical points of the other gases, then the sour-gas correction of
 * Wichert & Aziz (1972). */
#include "fluid/gas.h"

#include <math.h>

#include "fluid/paper_units.h"

/* The gases that are no hydrocarbons: molar mass over air's, critical
 * temperature in R and pressure in psia (handbook values, from memory). */
struct impurity {
    double gravity, t_c_r, p_c_psia;
};

static const struct impurity nitrogen = {28.0134 / 28.9647, 227.16, 493.1};
static const struct impurity carbon_dioxide = {44.0095 / 28.9647, 547.58,
                                               1071.0};
static const struct impurity hydrogen_sulphide = {34.0809 / 28.9647, 672.12,
                                                  1306.0};

double gas_hydrocarbon_gravity(const struct gas_spec *s)
{
    double rest = 1 - s->nitrogen - s->carbon_dioxide - s->hydrogen_sulphide;

    return (s->gravity - s->nitrogen * nitrogen.gravity -
            s->carbon_dioxide * carbon_dioxide.gravity -
            s->hydrogen_sulphide * hydrogen_sulphide.gravity) /
           rest;
}

void gas_sour_correction(const struct gas_spec *s, double *t_pc_k,
                         double *p_pc_pa)
{
    /* Wichert & Aziz (1972); epsilon in R. */
    double b = s->hydrogen_sulphide, a = s->carbon_dioxide + b;
    double epsilon_r =
        120 * (pow(a, 0.9) - pow(a, 1.6)) + 15 * (sqrt(b) - b * b * b * b);
    double epsilon_k = epsilon_r / 1.8;
    double corrected_k = *t_pc_k - epsilon_k;

    *p_pc_pa *= corrected_k / (*t_pc_k + b * (1 - b) * epsilon_k);
    *t_pc_k = corrected_k;
}

void gas_init(struct gas *g, const struct gas_spec *spec)
{
    double n2 = spec->nitrogen, co2 = spec->carbon_dioxide;
    double h2s = spec->hydrogen_sulphide, rest = 1 - n2 - co2 - h2s;
    double x = gas_hydrocarbon_gravity(spec);
    /* Sutton (1985), SPE 14265, hydrocarbons of gravity 0.57 to 1.68. */
    double t_r = 169.2 + 349.5 * x - 74.0 * x * x;
    double p_psia = 756.8 - 131.0 * x - 3.6 * x * x;

    t_r = rest * t_r + n2 * nitrogen.t_c_r + co2 * carbon_dioxide.t_c_r +
          h2s * hydrogen_sulphide.t_c_r;
    p_psia = rest * p_psia + n2 * nitrogen.p_c_psia +
             co2 * carbon_dioxide.p_c_psia + h2s * hydrogen_sulphide.p_c_psia;
    g->spec = *spec;
    g->t_pc_k = t_r / 1.8;
    g->p_pc_pa = p_psia * UNIT_PSI_PA;
    gas_sour_correction(spec, &g->t_pc_k, &g->p_pc_pa);
    g->molar_mass_kgmol = spec->gravity * PAPER_AIR_KGMOL;
    g->rho_std_kgm3 = gas_density_kgm3(g, UNIT_STD_PA, UNIT_STD_K, 1);
}

struct gas_spec gas_blend(const struct gas_spec *a, const struct gas_spec *b,
                          double part_b)
{
    double part_a = 1 - part_b;

    return (struct gas_spec){
        part_a * a->gravity + part_b * b->gravity,
        part_a * a->nitrogen + part_b * b->nitrogen,
        part_a * a->carbon_dioxide + part_b * b->carbon_dioxide,
        part_a * a->hydrogen_sulphide + part_b * b->hydrogen_sulphide,
    };
}

double gas_z(const struct gas *g, double p_pa, double t_k)
{
    return gas_z_dranchuk(p_pa / g->p_pc_pa, t_k / g->t_pc_k);
}

double gas_density_kgm3(const struct gas *g, double p_pa, double t_k, double z)
{
    return p_pa * g->molar_mass_kgmol / (z * UNIT_R_J_MOLK * t_k);
}

double gas_volume_factor(double p_pa, double t_k, double z)
{
    return z * (UNIT_STD_PA / p_pa) * (t_k / UNIT_STD_K);
}

double gas_viscosity_pas(const struct gas *g, double t_k, double rho_kgm3)
{
    /* Lee, Gonzalez & Eakin (1966), JPT August, with the constants refined
     * to four digits; T in R, rho in g/cm3, 100 to 340 F, 100 to 8000 psia.
     * The rounded constants of the first print give up to 3 % less. */
    double m = 1000 * g->molar_mass_kgmol;
    double t_r = paper_rankine(t_k), rho_gcc = rho_kgm3 / 1000;
    double k =
        (9.379 + 0.01607 * m) * t_r * sqrt(t_r) / (209.2 + 19.26 * m + t_r);
    double x = 3.448 + 986.4 / t_r + 0.01009 * m;
    double y = 2.447 - 0.2224 * x;
    double mu_cp = 1e-4 * k * exp(x * exp(y * log(rho_gcc)));

    return mu_cp * PAPER_CP_PAS;
}
