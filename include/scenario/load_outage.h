/* The file of a disturbance, outage.yaml, read for a field. */
#ifndef SCENARIO_LOAD_OUTAGE_H
#define SCENARIO_LOAD_OUTAGE_H

#include <stdbool.h>

#include "base/err.h"

struct arena;
struct diag;
struct field;
struct outage;

/* Whether the folder holds one; a is for its path. */
bool scenario_has_outage(const char *folder, struct arena *a);

/* Reads folder/outage.yaml. Every fault goes into d. ST_INPUT when there was
 * one, ST_IO when the file cannot be read; *out is written only on ST_OK. What
 * wells need to come back is NaN where it is not given, and the periods are
 * not cut yet. All of it belongs to a, which must not be younger than d's
 * arena. */
enum status scenario_load_outage(const char *folder, const struct field *f,
                                 struct arena *a, struct diag *d,
                                 struct outage **out,
                                 struct err *err) ST_CHECKED;

#endif
