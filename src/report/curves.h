/* What the report of one well takes from the report of all curves. */
#ifndef CURVES_H
#define CURVES_H

#include "jnode.h"
#include "report/report.h"

/* A curve's points, as the list "points". */
void curves_json_points(const struct report *r, const struct curve *c,
                        struct jnode node);

#endif
