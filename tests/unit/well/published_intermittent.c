/* Rows of checks.csv about intermittent lift: rules of thumb that the defaults
 * must hold. */
#include <string.h>

#include "published.h"
#include "well/intermittent.h"

bool published_intermittent(const struct check *c, double *got)
{
    struct intermittent m = intermittent_default(1);
    double way_m = check_input(c, "D");

    if (strncmp(c->id, "IL-", 3) != 0)
        return false;
    /* The row takes the lower end of what is seen. */
    if (c->number == 2)
        m.fallback_per_m = check_number(c, "fallback") / 100 / (1000 * 0.3048);
    *got = c->number == 1 ? intermittent_cycles_most(&m, way_m)
                          : intermittent_fallback(&m, way_m);
    return true;
}
