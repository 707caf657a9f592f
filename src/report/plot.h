/* A lift curve drawn with characters. */
#ifndef PLOT_H
#define PLOT_H

#include "report/report.h"

/* Oil against lift gas, N at this morning's rate and P at the planned one
 * (P where both are). Nothing for a dead well. */
void plot_curve(const struct report *r, const struct curve *c, double now_sm3s,
                double plan_sm3s, struct strbuf *out);

#endif
