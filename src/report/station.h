/* What each compressor does in a morning's plan. */
#ifndef REPORT_STATION_H
#define REPORT_STATION_H

#include "jnode.h"
#include "report/morning.h"

/* Units with a capacity alone are a sentence, others a table. */
void station_table(const struct report *r, const struct morning *m,
                   struct strbuf *out);
void station_json(const struct report *r, const struct plan *p,
                  struct jnode root);

#endif
