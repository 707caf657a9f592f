/* The newest accepted test of each well sets what field_well.match asks for.
 * Stale, rejected and impossible tests (more lift gas than gas, no liquid, a
 * date after the plan's day, a rate the reservoir cannot give) are named in a
 * warning and not used. */
#ifndef FIELD_MATCH_H
#define FIELD_MATCH_H

#include "field/field.h"

/* Changes the wells' models in place and sets .matched. ST_NUMERIC only for
 * a fault of ours. */
enum status field_match(struct field *f, struct diag *d,
                        struct err *err) ST_CHECKED;

#endif
