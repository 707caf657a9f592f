/* What the readings are consistent with: the part of the well's report. */
#ifndef DIAGNOSIS_H
#define DIAGNOSIS_H

#include "jnode.h"
#include "report/well.h"

void diagnosis_table(const struct report *r, const struct well_facts *w,
                     struct strbuf *out);
void diagnosis_json(const struct report *r, const struct well_facts *w,
                    struct jnode root);

#endif
