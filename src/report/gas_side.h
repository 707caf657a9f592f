/* How the lift gas gets into one well: the part of its report. */
#ifndef GAS_SIDE_H
#define GAS_SIDE_H

#include "jnode.h"
#include "report/well.h"

void gas_side_table(const struct report *r, const struct well_facts *w,
                    struct strbuf *out);
void gas_side_json(const struct report *r, const struct well_facts *w,
                   struct jnode root);

#endif
