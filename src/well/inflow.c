/* Straight line, Vogel and their composite are one curve with the bubble
 * point at 0, at reservoir pressure and between: straight above it, Vogel
 * (1968) below it with the same slope at the joint. */
#include "well/inflow.h"

#include <math.h>
#include <stdbool.h>

/* Vogel (1968): q / q_max = 1 - 0.2 x - 0.8 x^2; its slope at x = 1 is 1.8,
 * which joins it to the line. */
#define VOGEL_SLOPE 1.8

static double bubble_pa(const struct inflow *f)
{
    if (f->model == INFLOW_LINEAR)
        return 0;
    if (f->model == INFLOW_VOGEL)
        return f->p_res_pa;
    return fmin(f->p_bubble_pa, f->p_res_pa);
}

static double curve_rate(const struct inflow *f, double p_pa)
{
    double pb = bubble_pa(f);

    if (p_pa >= pb)
        return f->j_sm3spa * (f->p_res_pa - p_pa);
    double x = p_pa / pb;
    return f->j_sm3spa *
           (f->p_res_pa - pb + pb / VOGEL_SLOPE * (1 - x * (0.2 + 0.8 * x)));
}

static double curve_pressure(const struct inflow *f, double rate)
{
    double pb = bubble_pa(f);
    double drop = rate / f->j_sm3spa, below = drop - (f->p_res_pa - pb);

    if (below <= 0 || pb <= 0)
        return f->p_res_pa - drop;
    double part = below / (pb / VOGEL_SLOPE);
    return 0.125 * pb * (sqrt(81 - 80 * part) - 1);
}

/* --- oil and water apart --------------------------------------------------
 * Brown (1984) vol. 4 (from memory): at one rate of total liquid the pressure
 * is the water cut's part of the straight line's and the oil cut's part of the
 * curve's, to the rate where the curve ends at 0; beyond, straight on. The
 * print goes on with the slope of the last thousandth, here it is the slope
 * at the end itself, so that nothing breaks. */

static double cut_pressure(const struct inflow *f, double rate)
{
    double fw = f->water_cut, fo = 1 - fw, j = f->j_sm3spa;
    double end = curve_rate(f, 0);

    if (rate <= end)
        return fw * (f->p_res_pa - rate / j) + fo * curve_pressure(f, rate);
    /* d(curve)/dq at its end is -9/J. */
    return fw * (f->p_res_pa - rate / j) - 9 * fo * (rate - end) / j;
}

static double cut_rate(const struct inflow *f, double p_pa)
{
    double fw = f->water_cut, fo = 1 - fw, j = f->j_sm3spa;
    double pb = bubble_pa(f), end = curve_rate(f, 0);
    double p_end = cut_pressure(f, end);

    if (p_pa >= pb)
        return j * (f->p_res_pa - p_pa);
    if (p_pa < p_end)
        return end + (p_end - p_pa) * j / (fw + 9 * fo);
    /* With s = sqrt(81 - 80 u), u the part of the curve's range, both
     * pressures are polynomials: p/pb = fw (1 - (81 - s^2) / 144)
     * + fo (s - 1) / 8. */
    double a = fw / 144, b = fo / 8;
    double c = p_pa / pb + b - fw * (63.0 / 144);
    double s = 2 * c / (b + sqrt(b * b + 4 * a * c));
    double part = (81 - s * s) / 80;
    return j * (f->p_res_pa - pb + part * pb / VOGEL_SLOPE);
}

/* --- what others call -----------------------------------------------------*/

static bool water_apart(const struct inflow *f)
{
    return f->model == INFLOW_COMPOSITE && f->water_cut >= 0 &&
           bubble_pa(f) > 0;
}

double inflow_rate_sm3s(const struct inflow *f, double p_wf_pa)
{
    if (p_wf_pa >= f->p_res_pa)
        return 0;
    if (f->model == INFLOW_FETKOVICH)
        return f->c_sm3s_pa2n *
               pow(f->p_res_pa * f->p_res_pa - p_wf_pa * p_wf_pa, f->exponent);
    return water_apart(f) ? cut_rate(f, p_wf_pa) : curve_rate(f, p_wf_pa);
}

double inflow_pressure_pa(const struct inflow *f, double liquid_sm3s)
{
    if (!(liquid_sm3s >= 0 && liquid_sm3s <= inflow_max_sm3s(f)))
        return (double)NAN;
    if (f->model == INFLOW_FETKOVICH) {
        double fall = pow(liquid_sm3s / f->c_sm3s_pa2n, 1 / f->exponent);
        return sqrt(fmax(0, f->p_res_pa * f->p_res_pa - fall));
    }
    return water_apart(f) ? cut_pressure(f, liquid_sm3s)
                          : curve_pressure(f, liquid_sm3s);
}

double inflow_max_sm3s(const struct inflow *f)
{
    return inflow_rate_sm3s(f, 0);
}

double inflow_match(struct inflow *f, double liquid_sm3s, double p_wf_pa)
{
    if (!(p_wf_pa < f->p_res_pa))
        return (double)NAN;
    double factor = liquid_sm3s / inflow_rate_sm3s(f, p_wf_pa);

    if (f->model == INFLOW_FETKOVICH)
        f->c_sm3s_pa2n *= factor;
    else
        f->j_sm3spa *= factor;
    return factor;
}
