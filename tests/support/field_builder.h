/* Fields of measured curves for tests, written in Mscf/d and stb/d. */
#ifndef SUPPORT_FIELD_BUILDER_H
#define SUPPORT_FIELD_BUILDER_H

#include "base/arena.h"
#include "field/field.h"

#define BUILDER_WELLS_MOST 1100

struct builder {
    struct arena *arena;
    struct field field;   /* arrays with room for the wells, and as many
                             groups of each kind */
    struct curve *curves; /* the wells' tables, in the field's order */
};

/* SI of one Mscf/d and one stb/d. */
double builder_gas(double mscf_d);
double builder_oil(double stb_d);
double builder_mscf_d(double gas_sm3s);
double builder_stb_d(double oil_sm3s);

/* An empty field with one manifold "north" and no limits: no compressors,
 * sales without end, nothing bought, all prices 0. */
void builder_init(struct builder *b, struct arena *a);

/* With room for another number of wells. */
void builder_init_for(struct builder *b, size_t n_wells, struct arena *a);

/* Another group without limits; its index. */
size_t builder_group(struct builder *b, enum group_kind kind, const char *name);

/* Another manifold; its index. */
size_t builder_manifold(struct builder *b, const char *name,
                        double lift_max_mscf_d);

/* A well that may stop and has no minimum or maximum, not given a reading.
 * The arrays are copied. n = 0 is a dead well. water and formation gas are
 * in proportion to oil. */
struct field_well *builder_well(struct builder *b, const char *name, size_t n,
                                const double *gas_mscf_d,
                                const double *oil_stb_d, double water_per_oil,
                                double mscf_per_stb);

/* This morning's rate. */
void builder_reading(struct field_well *w, double lift_mscf_d,
                     enum well_status status);

#endif
