/* Prices to begin with, from a part of the blocks. */
#ifndef PLAN_SAMPLE_H
#define PLAN_SAMPLE_H

#include "offers.h"

/* Prices at which every so-many-th block, under limits shrunk in proportion,
 * fits together; NULL where there are few blocks, or it does not.
 * menu[n_wells].
 */
double *sample_prices(const struct asking *k, const struct menu *const *menu);

#endif
