#include "room.h"

#include <math.h>

#include "well/gas_path.h"

/* Pieces of a column, for the gas in it. */
#define COLUMN_PIECES 24

static double volume_m3(const struct well_section *s, size_t n, double md_from,
                        double md_to)
{
    double top = 0, sum = 0;

    for (size_t i = 0; i < n; i++) {
        double length = fmin(md_to, s[i].to_md_m) - fmax(md_from, top);

        sum += fmax(0, length) * annulus_area_m2(s[i].d_m, s[i].core_m);
        top = s[i].to_md_m;
    }
    return sum;
}

double room_annulus_m3(const struct well *w, double md_from, double md_to)
{
    return volume_m3(w->gas_path.section, w->gas_path.n_sections, md_from,
                     md_to);
}

double room_tubing_m3(const struct well *w, double md_from, double md_to)
{
    return volume_m3(w->section, w->n_sections, md_from, md_to);
}

double room_risen_md(const struct well *w, double md, double m3)
{
    for (size_t i = w->n_sections; i-- > 0;) {
        double top = i > 0 ? w->section[i - 1].to_md_m : 0;
        double room = room_tubing_m3(w, top, md);

        if (top < md && m3 < room)
            return md - (md - top) * m3 / room;
        m3 -= room;
        md = fmin(md, top);
    }
    return 0;
}

enum status room_annulus_gas(const struct well *w, double p_head_pa,
                             double level_md, double *sm3, struct err *err)
{
    double step = level_md / COLUMN_PIECES, p = p_head_pa;

    *sm3 = 0;
    for (int i = 0; i < COLUMN_PIECES; i++) {
        double md = (i + 0.5) * step, t = gas_path_temperature_k(w, md);
        enum status st = gas_path_pressure(w, i > 0 ? md - step : 0, md, 0, p,
                                           &p, NULL, err);

        if (st != ST_OK)
            return st;
        *sm3 += room_annulus_m3(w, i * step, (i + 1) * step) /
                gas_volume_factor(p, t, gas_z(&w->fluid.lift_gas, p, t));
    }
    return ST_OK;
}

void room_tubing_gas(const struct well *w, const struct traverse_profile *p,
                     double md_to, double *gas_sm3, double *gas_m3)
{
    *gas_sm3 = *gas_m3 = 0;
    for (size_t i = 1; i < p->n && i < p->cap; i++) {
        const struct traverse_point *a = &p->point[i - 1], *b = a + 1;
        double p_pa = 0.5 * (a->p_pa + b->p_pa), t = 0.5 * (a->t_k + b->t_k);

        if (0.5 * (a->md_m + b->md_m) > md_to)
            break;
        double gas = room_tubing_m3(w, a->md_m, b->md_m) *
                     (1 - 0.5 * (a->holdup + b->holdup));
        *gas_m3 += gas;
        *gas_sm3 += gas / gas_volume_factor(p_pa, t,
                                            gas_z(&w->fluid.lift_gas, p_pa, t));
    }
}
