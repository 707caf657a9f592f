#include "support/string_wells.h"

#include <math.h>

#include "well/gas_path.h"

static double area_m2(double port_64ths)
{
    double d = port_64ths / 64 * 0.0254;

    return M_PI / 4 * d * d;
}

/* The dome at 60 F that has a pressure at t: the fit's inverse by halving. */
static double at_60f(double p_pa, double t_k)
{
    double lo = 1e5, hi = p_pa;

    for (int i = 0; i < 80; i++) {
        double mid = 0.5 * (lo + hi);

        if (nitrogen_pressure_pa(mid, t_k) > p_pa)
            hi = mid;
        else
            lo = mid;
    }
    return lo;
}

void string_well(size_t i, double p_header_pa, double port_64ths,
                 struct string_well *s)
{
    static const double PART[STRING_VALVES] = {0.35, 0.6, 0.8, 1};
    struct well *w = &s->sample.well;

    sample_well(i, &s->sample);
    s->gas_section[0] = (struct well_section){w->md_inject_m + 5, 0.157, 4.6e-5,
                                              s->sample.section[0].d_m + 0.012};
    w->gas_path = (struct gas_path){.n_sections = 1,
                                    .section = s->gas_section,
                                    .t_head_k = w->thermal.t_head_k,
                                    .p_header_pa = p_header_pa,
                                    .p_casing_max_pa = (double)INFINITY};
    for (size_t k = 0; k < STRING_VALVES; k++) {
        struct valve *v = &s->valve[k];

        *v = (struct valve){.kind = VALVE_ORIFICE,
                            .md_m = PART[k] * w->md_inject_m,
                            .port = {area_m2(port_64ths), 0.865}};
        if (k + 1 == STRING_VALVES)
            break;
        v->kind = VALVE_INJECTION;
        v->port.area_m2 = area_m2(12);
        v->bellows_area_m2 = 0.77 * 6.4516e-4;
        double part = v->port.area_m2 / v->bellows_area_m2;
        /* A static column, by one z; tubing at a third of the casing. */
        double head = p_header_pa - (50 + 30 * (double)k) * PSI;
        double p = head * exp(0.065 * well_tvd_m(w, v->md_m) / 1000);
        v->p_dome_60f_pa = at_60f(p * (1 - part) + p / 3 * part,
                                  gas_path_temperature_k(w, v->md_m));
    }
    w->valve = s->valve;
    w->n_valves = STRING_VALVES;
    w->operating = STRING_VALVES - 1;
}
