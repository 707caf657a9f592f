#include "support/field_builder.h"

#include <math.h>
#include <stdint.h>
#include <stdint.h>
#include <string.h>

#include "base/units.h"

double builder_gas(double mscf_d)
{
    struct unit_frame frame = unit_frame_default();
    return unit_to_si(unit_named(DIM_GAS_RATE, "Mscf/d"), mscf_d, &frame);
}

double builder_oil(double stb_d)
{
    struct unit_frame frame = unit_frame_default();
    return unit_to_si(unit_named(DIM_LIQUID_RATE, "stb/d"), stb_d, &frame);
}

double builder_mscf_d(double gas_sm3s)
{
    return gas_sm3s / builder_gas(1);
}

double builder_stb_d(double oil_sm3s)
{
    return oil_sm3s / builder_oil(1);
}

void builder_init_for(struct builder *b, size_t n_wells, struct arena *a)
{
    double none = (double)INFINITY;
    *b = (struct builder){
        .arena = a,
        .curves = ARENA_NEW(a, n_wells, struct curve),
        .field =
            {
                .name = "test field",
                .frame = unit_frame_default(),
                .well = ARENA_NEW(a, n_wells, struct field_well),
                .station = {.power_max_w = none},
                .sales = {.max_sm3s = none},
                .limits = {.caps = field_caps_none()},
            },
    };
    for (int k = 0; k < N_GROUP_KINDS; k++)
        b->field.groups[k].group = ARENA_NEW(a, n_wells, struct field_group);
    builder_manifold(b, "north", none);
}

void builder_init(struct builder *b, struct arena *a)
{
    builder_init_for(b, BUILDER_WELLS_MOST, a);
}

size_t builder_group(struct builder *b, enum group_kind kind, const char *name)
{
    struct field_groups *g = &b->field.groups[kind];
    g->group[g->n] = (struct field_group){
        .name = arena_text(b->arena, name, strlen(name)),
        .caps = field_caps_none(),
    };
    return g->n++;
}

size_t builder_manifold(struct builder *b, const char *name,
                        double lift_max_mscf_d)
{
    size_t i = builder_group(b, GROUP_MANIFOLD, name);
    b->field.groups[GROUP_MANIFOLD].group[i].caps.lift_sm3s =
        builder_gas(lift_max_mscf_d);
    return i;
}

static const double *scaled(struct arena *a, const double *from, size_t n,
                            double factor)
{
    double *to = ARENA_NEW(a, n, double);
    for (size_t i = 0; i < n; i++)
        to[i] = from[i] * factor;
    return to;
}

static struct curve table_of(struct builder *b, const char *name, size_t n,
                             const double *gas_mscf_d, const double *oil_stb_d,
                             double water_per_oil, double mscf_per_stb)
{
    struct arena *a = b->arena;
    double oil = builder_oil(1), gas = builder_gas(1);
    struct curve c = {
        .well = name,
        .source = CURVE_TABLE,
        .n = n,
        .gas_sm3s = scaled(a, gas_mscf_d, n, gas),
        .oil_sm3s = scaled(a, oil_stb_d, n, oil),
        .water_sm3s = scaled(a, oil_stb_d, n, oil * water_per_oil),
        .formation_sm3s = scaled(a, oil_stb_d, n, gas * mscf_per_stb),
        .end = CURVE_END_TABLE,
    };
    for (size_t i = 1; i < n; i++)
        if (c.oil_sm3s[i] > c.oil_sm3s[c.peak])
            c.peak = i;
    c.gas_max_sm3s = n > 0 ? c.gas_sm3s[n - 1] : builder_gas(1000);
    return c;
}

struct field_well *builder_well(struct builder *b, const char *name, size_t n,
                                const double *gas_mscf_d,
                                const double *oil_stb_d, double water_per_oil,
                                double mscf_per_stb)
{
    size_t i = b->field.n_wells++;
    const char *own_name = arena_text(b->arena, name, strlen(name));
    b->curves[i] = table_of(b, own_name, n, gas_mscf_d, oil_stb_d,
                            water_per_oil, mscf_per_stb);
    struct field_well *w = &b->field.well[i];
    *w = (struct field_well){
        .name = own_name,
        .table = &b->curves[i],
        .lift_max_sm3s = (double)INFINITY,
        .group = {0, SIZE_MAX, SIZE_MAX, SIZE_MAX},
        .may_stop = true,
        .reading = {.reason = ""},
    };
    return w;
}

void builder_reading(struct field_well *w, double lift_mscf_d,
                     enum well_status status)
{
    w->reading = (struct field_reading){
        .given = true,
        .lift_sm3s = builder_gas(lift_mscf_d),
        .p_casing_pa = (double)NAN,
        .p_tubing_pa = (double)NAN,
        .status = status,
        .reason = "",
    };
}
