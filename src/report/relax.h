/* What would make an impossible plan possible, as part of a morning's report.
 */
#ifndef REPORT_RELAX_H
#define REPORT_RELAX_H

#include "jnode.h"
#include "report/morning.h"

void relax_table(const struct report *r, const struct plan *p,
                 struct strbuf *out);
void relax_json(const struct report *r, const struct plan *p,
                struct jnode root);

#endif
