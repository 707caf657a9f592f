/* Consistency between the objects of a field, with places, all in one run. */
#ifndef FIELD_CHECK_H
#define FIELD_CHECK_H

#include "field/field.h"

/* Errors: minimum above maximum; sales minimum above maximum; a locked well
 * without a reading; two wells or manifolds of one name. Warnings: a reading
 * above the well's maximum or between none and the minimum; no reading; a
 * header that cannot take the locked wells; present gas more than there is.
 * Nothing is changed. */
void field_check(const struct field *f, struct diag *d);

#endif
