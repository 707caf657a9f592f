/* How a well is unloaded: the part of its report. */
#ifndef UNLOAD_H
#define UNLOAD_H

#include "jnode.h"
#include "report/well.h"

void unload_table(const struct report *r, const struct well_facts *w,
                  struct strbuf *out);
void unload_json(const struct report *r, const struct well_facts *w,
                 struct jnode root);

#endif
