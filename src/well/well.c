#include "well/well.h"

#include <assert.h>

double well_tvd_m(const struct well *w, double md_m)
{
    size_t i = 1;

    assert(w->n_stations >= 2);
    while (i < w->n_stations - 1 && w->station[i].md_m < md_m)
        i++;
    const struct well_station *a = &w->station[i - 1], *b = a + 1;
    double part = (md_m - a->md_m) / (b->md_m - a->md_m);
    return a->tvd_m + part * (b->tvd_m - a->tvd_m);
}

struct stream well_stream(const struct well *w, double liquid_sm3s,
                          double lift_sm3s)
{
    double oil = liquid_sm3s * (1 - w->water_cut);

    return (struct stream){oil, liquid_sm3s - oil, oil * w->gor_sm3sm3,
                           lift_sm3s};
}
