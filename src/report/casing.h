/* The tightest annulus limits of a plan. */
#ifndef CASING_H
#define CASING_H

#include "plan/morning.h"
#include "report/report.h"

void casing_table(const struct report *r, const struct verify *v,
                  struct strbuf *out);

#endif
