/* The curve of a well whose gas enters at one depth, whatever brings it
 * there. */
#ifndef DEPTH_H
#define DEPTH_H

#include "curve/build.h"

/* As curve_build without gas path and valves. */
enum status depth_build(const struct well *w, double gas_max_sm3s,
                        struct arena *a, struct curve *out,
                        struct curve_count *count, struct err *err) ST_CHECKED;

#endif
