/* Thornhill, C. K. & Craver, F. R. (1946), as the trade writes it (from
 * memory):
 *     q = 155.5 Cd A p1 sqrt(2 g k/(k - 1) (r^(2/k) - r^((k + 1)/k)))
 *         / sqrt(gamma T)
 * q in Mscf/d at 14.7 psia and 60 F, A in in2, p1 in psia upstream, T in R,
 * g 32.16 ft/s2, r = p2/p1, not below the critical ratio. The chart behind it
 * takes z = 1; so does this. */
#include "well/orifice.h"

#include <math.h>

#include "fluid/paper_units.h"

#define G_FTS2 32.16
#define K ORIFICE_HEAT_RATIO
#define MSCFD_SM3S                                              \
    (1000 * PAPER_FT3_M3 * (14.7 * UNIT_PSI_PA / UNIT_STD_PA) * \
     (UNIT_STD_K / PAPER_BASE_K) / UNIT_DAY_S)

double orifice_critical_ratio(void)
{
    return pow(2 / (K + 1), K / (K - 1));
}

/* Rate = this * p1 * sqrt(bracket), the bracket being that of the formula. */
static double coefficient_sm3spa(const struct orifice *o, const struct gas *gas,
                                 double t_k)
{
    double area_in2 = o->area_m2 / (UNIT_INCH_M * UNIT_INCH_M);
    double mscfd_psi = 155.5 * o->discharge * area_in2 *
                       sqrt(2 * G_FTS2 * K / (K - 1)) /
                       sqrt(gas->spec.gravity * paper_rankine(t_k));

    return mscfd_psi * MSCFD_SM3S / UNIT_PSI_PA;
}

/* r^(2/k) - r^((k + 1)/k), without loss of digits near r = 1. */
static double bracket(double log_r)
{
    return -exp(2 / K * log_r) * expm1((K - 1) / K * log_r);
}

double orifice_rate_sm3s(const struct orifice *o, const struct gas *gas,
                         double p_up_pa, double p_down_pa, double t_k)
{
    if (p_down_pa >= p_up_pa)
        return 0;
    double log_r = log1p((p_down_pa - p_up_pa) / p_up_pa);
    double log_r_critical = log(orifice_critical_ratio());

    return coefficient_sm3spa(o, gas, t_k) * p_up_pa *
           sqrt(bracket(log_r < log_r_critical ? log_r_critical : log_r));
}

double orifice_upstream_pa(const struct orifice *o, const struct gas *gas,
                           double gas_sm3s, double p_down_pa, double t_k)
{
    if (gas_sm3s == 0)
        return p_down_pa;
    double c = coefficient_sm3spa(o, gas, t_k), r = orifice_critical_ratio();
    double p_critical_pa = gas_sm3s / (c * sqrt(bracket(log(r))));

    if (p_down_pa <= r * p_critical_pa)
        return p_critical_pa;
    /* With x = r^(-(k - 1)/k) the bracket over r^2 is x^2 - x. */
    double per_down = gas_sm3s / (c * p_down_pa);
    double y = per_down * per_down;
    double x_less_1 = 2 * y / (1 + sqrt(1 + 4 * y));

    return p_down_pa * exp(K / (K - 1) * log1p(x_less_1));
}
