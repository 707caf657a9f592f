#include "field/field.h"

#include <math.h>

double field_capacity_sm3s(const struct field *f)
{
    const struct field_station *s = &f->station;
    if (!s->has_compressors)
        return (double)INFINITY;
    double sum_sm3s = 0;
    for (size_t i = 0; i < s->n_compressors; i++)
        if (s->compressor[i].state == UNIT_RUNNING)
            sum_sm3s += s->compressor[i].capacity_sm3s;
    return sum_sm3s;
}
