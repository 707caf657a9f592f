/* Work of the gas by the mean compressibility of each stage's ends, on the
 * ideal adiabat; efficiencies divide it. */
#include "field/compressor.h"

#include <math.h>

#include "base/units.h"

double compressor_heat_ratio(double gravity)
{
    return (2.738 - log10(gravity)) / 2.328;
}

/* Part by which the temperature rises on the ideal adiabat. */
static double adiabatic_rise(double heat_ratio, double ratio)
{
    return pow(fmax(ratio, 1), (heat_ratio - 1) / heat_ratio) - 1;
}

double compressor_stage_j_sm3(double heat_ratio, double z, double t_suction_k,
                              double ratio)
{
    /* k/(k-1) p v (r^((k-1)/k) - 1), and p v of one Sm3 of ideal gas. */
    return heat_ratio / (heat_ratio - 1) * z * UNIT_STD_PA *
           (t_suction_k / UNIT_STD_K) * adiabatic_rise(heat_ratio, ratio);
}

/* Range of Dranchuk & Abou-Kassem (1975); from below, gas at low pressure is
 * ideal. */
static bool is_known(const struct gas *g, double p_pa, double t_k)
{
    double p_pr = p_pa / g->p_pc_pa, t_pr = t_k / g->t_pc_k;
    return p_pr > 0 && p_pr < 30 && t_pr > 1 && t_pr <= 3;
}

/* All stages on the gas, and the hottest end. */
static enum status compress(const struct compressor_spec *s, double *work_j_sm3,
                            double *t_discharge_k, struct err *err)
{
    double k = compressor_heat_ratio(s->gas.gravity);
    double ratio = pow(s->p_discharge_pa / s->p_suction_pa, 1.0 / s->n_stages);
    double rise = adiabatic_rise(k, ratio);
    double t_ideal_k = s->t_suction_k * (1 + rise);
    double sum = 0;
    struct gas gas;
    gas_init(&gas, &s->gas);

    for (int i = 0; i < s->n_stages; i++) {
        double p_pa = s->p_suction_pa * pow(ratio, i);
        double p_out_pa = p_pa * ratio;
        double z = (gas_z(&gas, p_pa, s->t_suction_k) +
                    gas_z(&gas, p_out_pa, t_ideal_k)) /
                   2;
        if (!is_known(&gas, p_pa, s->t_suction_k) ||
            !is_known(&gas, p_out_pa, t_ideal_k) || !isfinite(z))
            return err_set(err, ST_RANGE,
                           "stage %d: the compressibility of the gas is not "
                           "known from %g Pa and %g K to %g Pa and %g K",
                           i + 1, p_pa, s->t_suction_k, p_out_pa, t_ideal_k);
        sum += compressor_stage_j_sm3(k, z, s->t_suction_k, ratio);
    }
    *work_j_sm3 = sum;
    *t_discharge_k = s->t_suction_k * (1 + rise / s->adiabatic_efficiency);
    return ST_OK;
}

static double flow_sm3s(const struct compressor_spec *s, double driver_w,
                        double power_j_sm3)
{
    double spare_w = fmax(driver_w - s->idle_w, 0);
    /* No power needed: whatever the driver. */
    double driven_sm3s =
        power_j_sm3 > 0 ? spare_w / power_j_sm3 : (double)INFINITY;
    return fmin(s->capacity_sm3s, driven_sm3s);
}

enum status compressor_rate(const struct compressor_spec *s, double t_ambient_k,
                            struct compressor_rating *out, struct err *err)
{
    double work_j_sm3 = 0, t_discharge_k = 0;
    enum status st = compress(s, &work_j_sm3, &t_discharge_k, err);
    if (st != ST_OK)
        return st;

    double hotter_k = fmax(t_ambient_k - s->t_rated_k, 0);
    double driver_w = s->driver_w * fmax(1 - s->derating_per_k * hotter_k, 0);
    double power_j_sm3 =
        work_j_sm3 / s->adiabatic_efficiency / s->mechanical_efficiency;
    double fuel_sm3_j =
        s->heat_rate > 0 ? s->heat_rate / s->heating_value_j_sm3 : 0;
    *out = (struct compressor_rating){
        .power_j_sm3 = power_j_sm3,
        .driver_w = driver_w,
        .t_discharge_k = t_discharge_k,
        .capacity_sm3s = flow_sm3s(s, driver_w, power_j_sm3),
        .least_sm3s = s->turndown * flow_sm3s(s, s->driver_w, power_j_sm3),
        .fuel_fixed_sm3s = fuel_sm3_j * s->idle_w,
        .fuel_fraction = fuel_sm3_j * power_j_sm3,
    };
    return ST_OK;
}
