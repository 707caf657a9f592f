/* Consistency between the objects of a field, with places, all in one run. */
#ifndef FIELD_CHECK_H
#define FIELD_CHECK_H

#include "field/field.h"

/* Errors: minimum above maximum; no multiple of a well's step between them;
 * sales minimum above maximum; a locked well without a reading; a well that
 * runs with itself, directly or through others; two wells, groups of a kind or
 * compressors of one name. Warnings: a minimum or change that no plan can
 * make; a reading above the well's maximum or between none and the minimum; no
 * reading; a well that runs with one that is down; a group without wells, or
 * that cannot take what its wells have to be given; present gas, or a sales
 * minimum, more than there is; a compressor that cannot run in this weather,
 * delivers below a header, or whose power or its price is not known. Nothing
 * is changed. */
void field_check(const struct field *f, struct diag *d);

#endif
