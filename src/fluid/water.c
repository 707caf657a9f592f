/* McCain, W. D. (1991), Reservoir-fluid property correlations: state of the
 * art, SPE Reservoir Engineering 6(2). T in F, p in psia, S in weight %. */
#include "fluid/water.h"

#include <math.h>

#include "fluid/paper_units.h"

double water_density_std_kgm3(double salinity)
{
    double s = 100 * salinity;
    double rho_lbft3 = 62.368 + s * (0.438603 + s * 1.60074e-3);

    return rho_lbft3 * PAPER_LBFT3_KGM3;
}

double water_volume_factor(double p_pa, double t_k)
{
    double p = paper_psia(p_pa), t = paper_fahrenheit(t_k);
    double heat = -1.0001e-2 + t * (1.33391e-4 + t * 5.50654e-7);
    double pressure = -p * (1.95301e-9 * t + 1.72834e-13 * p * t + 3.58922e-7 +
                            2.25341e-10 * p);

    return (1 + pressure) * (1 + heat);
}

double water_viscosity_pas(double salinity, double p_pa, double t_k)
{
    double s = 100 * salinity;
    double p = paper_psia(p_pa), t = paper_fahrenheit(t_k);
    double a = 109.574 + s * (-8.40564 + s * (0.313314 + s * 8.72213e-3));
    double b =
        1.12166 + s * (-2.63951e-2 +
                       s * (6.79461e-4 + s * (5.47119e-5 - s * 1.55586e-6)));
    double pressure = 0.9994 + p * (4.0295e-5 + p * 3.1062e-9);

    return a * exp(-b * log(t)) * pressure * PAPER_CP_PAS;
}

double water_tension_nm(double p_pa, double t_k)
{
    /* Against gas, at 74 and 280 F, straight between and constant outside
     * (Beggs 1991, from memory). The slope breaks at 74 and 280 F. */
    double p = paper_psia(p_pa);
    double part = fmin(1, fmax(0, (paper_fahrenheit(t_k) - 74) / (280 - 74)));
    double ln_p = log(p);
    double at_74 = 75 - 1.108 * exp(0.349 * ln_p);
    double at_280 = 53 - 0.1048 * exp(0.637 * ln_p);

    return fmax(1, at_74 + part * (at_280 - at_74)) * PAPER_DYNCM_NM;
}
