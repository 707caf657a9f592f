#include "field/field.h"

#include <math.h>
#include <stdint.h>

struct field_caps field_caps_none(void)
{
    double none = (double)INFINITY;
    return (struct field_caps){none, none, none, none, SIZE_MAX};
}

double field_capacity_sm3s(const struct field *f)
{
    const struct field_station *s = &f->station;
    if (!s->has_compressors)
        return (double)INFINITY;
    double sum_sm3s = 0;
    for (size_t i = 0; i < s->n_compressors; i++)
        if (field_unit_may_run(&s->compressor[i]))
            sum_sm3s += s->compressor[i].capacity_sm3s;
    return sum_sm3s;
}

void field_set_header(struct field *f, double p_header_pa)
{
    for (size_t m = 0; m < f->groups[GROUP_MANIFOLD].n; m++)
        f->groups[GROUP_MANIFOLD].group[m].p_header_pa = p_header_pa;
    for (size_t i = 0; i < f->n_wells; i++) {
        struct field_well *w = &f->well[i];

        if (w->model)
            w->model->gas_path.p_header_pa = p_header_pa;
        if (w->second)
            w->second->model->gas_path.p_header_pa = p_header_pa;
    }
}

void field_raise_header(struct field *f, double rise_pa)
{
    for (size_t m = 0; m < f->groups[GROUP_MANIFOLD].n; m++) {
        struct field_group *g = &f->groups[GROUP_MANIFOLD].group[m];
        g->p_header_pa += g->p_header_pa > 0 ? rise_pa : 0;
    }
    for (size_t i = 0; i < f->n_wells; i++) {
        struct field_well *w = &f->well[i];

        if (w->model)
            w->model->gas_path.p_header_pa += rise_pa;
        if (w->second)
            w->second->model->gas_path.p_header_pa += rise_pa;
    }
}
