#include "well/valve.h"

#include <math.h>

#include "fluid/paper_units.h"
#include "num/root.h"
#include "num/tol.h"

double nitrogen_pressure_pa(double p_60f_pa, double t_k)
{
    /* Winkler & Eads (1989), SPE 18871, from memory. The two fits do not meet:
     * where they change the pressure falls by 0.006 psi per degree F, 0.05 %
     * at 200 F, within their error. */
    double p = paper_psia(p_60f_pa);
    double psi_f = p < 1238 ? 3.054e-7 * p * p + 1.934e-3 * p - 2.26e-3
                            : 1.804e-7 * p * p + 2.298e-3 * p - 2.67e-1;

    return (p + psi_f * (paper_fahrenheit(t_k) - 60)) * UNIT_PSI_PA;
}

double valve_dome_60f_pa(double p_tro_pa, double p_atm_pa, double port_area_m2,
                         double bellows_area_m2)
{
    double r = port_area_m2 / bellows_area_m2;

    return p_tro_pa * (1 - r) + p_atm_pa * r;
}

double valve_opens_pa(const struct valve *v, double p_tubing_pa, double t_k)
{
    double p_dome_pa = nitrogen_pressure_pa(v->p_dome_60f_pa, t_k);
    double r = v->port.area_m2 / v->bellows_area_m2;

    switch (v->kind) {
    case VALVE_ORIFICE:
        return p_tubing_pa;
    case VALVE_INJECTION:
        return fmax(0, (p_dome_pa - r * p_tubing_pa) / (1 - r));
    case VALVE_PRODUCTION:
        return fmax(0, (p_dome_pa - (1 - r) * p_tubing_pa) / r);
    case VALVE_DUMMY:
        break;
    }
    return (double)INFINITY;
}

double valve_closes_pa(const struct valve *v, double p_tubing_pa, double t_k)
{
    double p_dome_pa = nitrogen_pressure_pa(v->p_dome_60f_pa, t_k);

    switch (v->kind) {
    case VALVE_ORIFICE:
        return p_tubing_pa;
    case VALVE_INJECTION:
        return p_dome_pa;
    case VALVE_PRODUCTION:
        return p_tubing_pa >= p_dome_pa ? 0 : (double)INFINITY;
    case VALVE_DUMMY:
        break;
    }
    return (double)INFINITY;
}

/* A valve at a tubing pressure. */
struct stem {
    const struct valve *valve;
    const struct gas *gas;
    double p_tubing_pa, t_k;
    double p_threshold_pa; /* casing pressure; 0: wide open without any, for
                              want of a stem or held by the tubing */
    double gas_sm3s;       /* wanted */
};

static struct stem stem_of(const struct valve *v, const struct gas *gas,
                           bool was_open, double p_tubing_pa, double t_k)
{
    double threshold = v->kind == VALVE_ORIFICE ? 0
                       : was_open ? valve_closes_pa(v, p_tubing_pa, t_k)
                                  : valve_opens_pa(v, p_tubing_pa, t_k);

    return (struct stem){v, gas, p_tubing_pa, t_k, threshold, 0};
}

/* Part of the port that is free. */
static double passage(const struct stem *s, double p_casing_pa)
{
    double part = (p_casing_pa - s->p_threshold_pa) / VALVE_TRAVEL_PA;

    if (s->p_threshold_pa == 0 || part > 1)
        return 1;
    return part < 0 ? 0 : part;
}

static double stem_rate_sm3s(const struct stem *s, double p_casing_pa)
{
    struct orifice port = s->valve->port;

    port.area_m2 *= passage(s, p_casing_pa);
    return orifice_rate_sm3s(&port, s->gas, p_casing_pa, s->p_tubing_pa,
                             s->t_k);
}

double valve_rate_sm3s(const struct valve *v, const struct gas *gas,
                       bool was_open, double p_casing_pa, double p_tubing_pa,
                       double t_k)
{
    struct stem s = stem_of(v, gas, was_open, p_tubing_pa, t_k);

    return stem_rate_sm3s(&s, p_casing_pa);
}

static double above_wanted_sm3s(double p_casing_pa, void *context)
{
    const struct stem *s = context;

    return stem_rate_sm3s(s, p_casing_pa) - s->gas_sm3s;
}

double valve_casing_pa(const struct valve *v, const struct gas *gas,
                       bool was_open, double gas_sm3s, double p_tubing_pa,
                       double t_k)
{
    struct stem s = stem_of(v, gas, was_open, p_tubing_pa, t_k);
    double p_wide_pa =
        orifice_upstream_pa(&v->port, gas, gas_sm3s, p_tubing_pa, t_k);
    /* A little more, lest rounding takes the sign of the last rate. */
    double p_full_pa =
        (s.p_threshold_pa + VALVE_TRAVEL_PA) * (1 + TOL_CASING_REL);
    struct err err;
    struct root root;

    if (isinf(p_full_pa))
        return p_full_pa;
    if (passage(&s, p_wide_pa) == 1)
        return p_wide_pa;
    s.gas_sm3s = gas_sm3s;
    struct root_end closed = {s.p_threshold_pa, -gas_sm3s};
    struct root_end full = {p_full_pa, above_wanted_sm3s(p_full_pa, &s)};
    if (root_find(above_wanted_sm3s, &s, closed, full,
                  TOL_CASING_REL * p_full_pa, &root, &err) != ST_OK)
        return (double)NAN; /* something given is none */
    return root.x;
}
