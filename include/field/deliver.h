/* What a well's model makes at an injection rate, worked out anew. */
#ifndef FIELD_DELIVER_H
#define FIELD_DELIVER_H

#include "field/field.h"

struct delivery {
    double oil_sm3s;
    double p_casing_pa; /* at the casing head; NaN where the gas path is not
                           described, or without gas */
};

/* A well with a model; c: its curve, which says at which valve the gas enters
 * and how a dual's strings share it. A dead well delivers 0. */
enum status field_deliver(const struct field_well *w, const struct curve *c,
                          double gas_sm3s, struct delivery *out,
                          struct err *err) ST_CHECKED;

/* Gas that a rate of a dual's curve sends down its first string. */
double field_first_share(const struct curve *c, double gas_sm3s);

/* The second string of a dual as its curve has it. */
struct well field_second_well(const struct curve *c,
                              const struct field_well *w);

/* The cycle with which an intermittent well takes a mean rate, as of
 * curve_cycle_at. */
enum status field_cycle(const struct field_well *w, double gas_sm3s,
                        struct intermittent_cycle *out,
                        struct err *err) ST_CHECKED;

#endif
