/* The three writers of the report of one well, and what they share. */
#ifndef WELL_H
#define WELL_H

#include "report/well.h"

void well_table(const struct report *r, const struct well_facts *w,
                struct strbuf *out);
void well_csv(const struct report *r, const struct well_facts *w,
              struct strbuf *out);
void well_json(const struct report *r, const struct well_facts *w,
               struct strbuf *out);

/* Oil per gas of the gas that the well got last, and of what it would get
 * next; NaN where the curve has no such side. */
struct well_slopes {
    double last, next;
};

struct well_slopes well_slopes_at(const struct curve *c, double gas_sm3s);

/* Why the plan gives the well what it does: sentences. */
const char *well_why(const struct report *r, const struct well_facts *w);

#endif
