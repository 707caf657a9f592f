/* A scenario folder read into a field. */
#ifndef SCENARIO_LOAD_H
#define SCENARIO_LOAD_H

#include "base/err.h"

struct arena;
struct diag;
struct field;

/* Reads scenario.yaml, and tests.csv, readings.csv and the curve tables that
 * wells name where they exist. Every fault of every file goes into d.
 * ST_INPUT when there was one, ST_IO when scenario.yaml cannot be read; *out
 * is written only on ST_OK. All of it belongs to a, which must not be younger
 * than d's arena. */
enum status scenario_load(const char *folder, struct arena *a, struct diag *d,
                          struct field **out, struct err *err) ST_CHECKED;

#endif
