#include "change.h"

#include <math.h>

struct field change_gas(const struct field *f, double change_sm3s,
                        struct arena *a)
{
    struct field changed = *f;
    struct field_station *s = &changed.station;
    double lift_sm3s = f->limits.caps.lift_sm3s + change_sm3s;
    changed.limits.caps.lift_sm3s = fmax(lift_sm3s, 0);
    double all_sm3s = field_capacity_sm3s(f);
    s->compressor = ARENA_NEW(a, s->n_compressors, struct field_compressor);
    for (size_t i = 0; i < s->n_compressors; i++) {
        struct field_compressor *u = &s->compressor[i];
        *u = f->station.compressor[i];
        double part = all_sm3s > 0 ? u->capacity_sm3s / all_sm3s : 0;
        u->capacity_sm3s = fmax(u->capacity_sm3s + part * change_sm3s, 0);
        u->least_sm3s = fmin(u->least_sm3s, u->capacity_sm3s);
    }
    return changed;
}
