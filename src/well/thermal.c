/* Ramey (1962), JPT April, for a producing well: the stream leaves its
 * entry temperature over the relaxation length A and then runs ahead of the
 * ground by A times its gradient. A from Hasan & Kabir (1991), SPE Production
 * Engineering: coefficient of the well and time function of the ground in
 * series. Heat flows sideways only; depth is vertical depth. */
#include "well/thermal.h"

#include <math.h>

double thermal_time_function(double t_d)
{
    double e = exp(-t_d);

    return log(exp(-0.2 * t_d) + (1.5 - 0.3719 * e) * sqrt(t_d));
}

struct thermal_stream thermal_enter(const struct thermal *t, double mass_kgs,
                                    double heat_jkgk, double d_m,
                                    double tvd_in_m, double t_in_k)
{
    if (t->model == THERMAL_LINEAR)
        return (struct thermal_stream){0, tvd_in_m, t_in_k};
    double t_d =
        t->diffusivity_m2s * t->time_s / (t->r_wellbore_m * t->r_wellbore_m);
    double resistance_mkw = 1 / (0.5 * d_m * t->u_wm2k) +
                            thermal_time_function(t_d) / t->k_earth_wmk;
    double relaxation_m = mass_kgs * heat_jkgk / (2 * M_PI) * resistance_mkw;

    return (struct thermal_stream){relaxation_m, tvd_in_m, t_in_k};
}

double thermal_ground_k(const struct thermal *t, double tvd_m)
{
    return t->t_head_k +
           (t->t_bottom_k - t->t_head_k) * tvd_m / t->tvd_bottom_m;
}

double thermal_at_k(const struct thermal *t, const struct thermal_stream *s,
                    double tvd_m)
{
    double ground_k = thermal_ground_k(t, tvd_m);
    double a = s->relaxation_m;

    /* A linear temperature, or a still stream. */
    if (!(a > 0))
        return ground_k;
    double gradient_km = (t->t_bottom_k - t->t_head_k) / t->tvd_bottom_m;
    double fade = exp(-(s->tvd_in_m - tvd_m) / a);
    double entry_k = s->t_in_k - thermal_ground_k(t, s->tvd_in_m);
    return ground_k + gradient_km * a * (1 - fade) + entry_k * fade;
}
