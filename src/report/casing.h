/* The tightest annulus limits of a plan. */
#ifndef CASING_H
#define CASING_H

#include "plan/morning.h"
#include "report/report.h"

void casing_table(const struct report *r, const struct verify *v,
                  struct strbuf *out);

/* Sentences on wells that are not steady as planned, and on what intermittent
 * wells draw at once. */
void casing_notes(const struct report *r, const struct plan *p,
                  struct strbuf *out);
/* The well's planned rate is not steady. */
bool casing_heads(const struct report *r, const struct plan *p, size_t well);

#endif
