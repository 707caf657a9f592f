/* The newest usable test of each well sets what field_well.match asks for. */
#ifndef FIELD_MATCH_H
#define FIELD_MATCH_H

#include "field/field.h"

/* Changes the wells' models in place and sets .matched. Not used: tests that
 * are not accepted (by the file, without a word) or impossible (no liquid,
 * less gas than lift gas, a day after the plan's day; a warning each). A
 * stale newest test is used, with a warning. When the reservoir cannot give
 * the tested rate, or the test does not say the lift gas, the productivity
 * stays as it is, with a warning.
 * ST_NUMERIC: a fault of ours. */
enum status field_match(struct field *f, struct diag *d,
                        struct err *err) ST_CHECKED;

#endif
