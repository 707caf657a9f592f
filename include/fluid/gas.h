/* Natural gas: pseudo-critical properties, compressibility, density,
 * viscosity. Range of the correlations: gravity 0.57 to 1.68 (Sutton 1985),
 * 0.2 < p_pr < 30 and 1 < T_pr <= 3 (Dranchuk & Abou-Kassem 1975). */
#ifndef FLUID_GAS_H
#define FLUID_GAS_H

/* What the gas is. Fractions are mole fractions of the whole gas. */
struct gas_spec {
    double gravity; /* air = 1 */
    double nitrogen, carbon_dioxide, hydrogen_sulphide;
};

/* The same, with what p and T do not change. */
struct gas {
    struct gas_spec spec;
    double molar_mass_kgmol;
    double t_pc_k, p_pc_pa; /* Sutton 1985 on the hydrocarbons, mole-weighted
                               with the rest, Wichert & Aziz 1972 */
    double rho_std_kgm3;    /* at 15 C and 101.325 kPa, ideal */
};

void gas_init(struct gas *g, const struct gas_spec *spec);

/* Gravity of what is left without nitrogen, carbon dioxide and hydrogen
 * sulphide: must lie in the range above, which a gravity measured wrong or a
 * large fraction of carbon dioxide may miss. */
double gas_hydrocarbon_gravity(const struct gas_spec *spec);

/* Wichert & Aziz (1972) on pseudo-critical temperature and pressure, both
 * changed in place. Range: CO2 below 0.54, H2S below 0.74 (from memory). */
void gas_sour_correction(const struct gas_spec *spec, double *t_pc_k,
                         double *p_pc_pa);

/* Gas of a stream in which a and b meet, mole-weighted (part_b of b). */
struct gas_spec gas_blend(const struct gas_spec *a, const struct gas_spec *b,
                          double part_b);

/* Compressibility factor, Dranchuk & Abou-Kassem (1975). */
double gas_z(const struct gas *g, double p_pa, double t_k);
/* The same from reduced pressure and temperature; Hall & Yarborough (1973)
 * as an independent second. Both NaN when the iteration fails. */
double gas_z_dranchuk(double p_pr, double t_pr);
double gas_z_hall_yarborough(double p_pr, double t_pr);

double gas_density_kgm3(const struct gas *g, double p_pa, double t_k, double z);
/* In-situ volume of one Sm3, m3/Sm3. */
double gas_volume_factor(double p_pa, double t_k, double z);
/* Lee, Gonzalez & Eakin (1966), refined constants. rho at p and T. */
double gas_viscosity_pas(const struct gas *g, double t_k, double rho_kgm3);

#endif
