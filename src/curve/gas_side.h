/* What the way of the lift gas makes of a curve. */
#ifndef GAS_SIDE_H
#define GAS_SIDE_H

#include "curve/build.h"

/* Moves the operating valve of *w up to the deepest one that the casing
 * pressure reaches at some of the rates tried up to gas_max_sm3s; stays where
 * none is reached. Nothing to do without valves. */
enum status gas_side_reach(struct well *w, double gas_max_sm3s,
                           struct curve_count *count,
                           struct err *err) ST_CHECKED;

/* To the next valve up that is not a dummy. False: there is none. */
bool gas_side_go_up(struct well *w);

/* Adds casing pressure and steadiness to every point of *c, which was built
 * with w; ends the curve where header, line and annulus limit give no more,
 * and sets its least rate. n 0 when no rate of the curve can be had: its end
 * names the limit that forbids it. The arrays are made anew in a. */
enum status gas_side_add(const struct well *w, struct arena *a, struct curve *c,
                         struct curve_count *count, struct err *err) ST_CHECKED;

#endif
