/* The curves of all wells, in parallel, the same to the last bit whatever the
 * number of threads. */
#ifndef FIELD_CURVES_H
#define FIELD_CURVES_H

#include "curve/build.h"
#include "field/field.h"

/* (*curves)[n_wells]: built from the model or taken from the table. A well
 * whose model fails is dead in its curve and an error in d; the others are
 * not disturbed. Called back for progress with the number done (from any
 * thread, one at a time); done may be NULL. *count may be NULL. */
void field_build_curves(const struct field *f, struct arena *a, struct diag *d,
                        struct curve **curves, struct curve_count *count,
                        void (*done)(size_t n_done, void *context),
                        void *context);

/* Raises each well's minimum to the least rate of its curve that is steady and
 * that the casing pressure allows, and lowers its maximum to the curve's end.
 */
void field_limit_by_curves(struct field *f, const struct curve *curves);

#endif
