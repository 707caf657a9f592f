/* The gas goes round, and every plan closes it:
 *     separator gas = formation gas + lift gas returned
 *     separator gas + bought = lift + sales + fuel + flare + shrinkage
 * Fuel is a part of the gas compressed; shrinkage a part of the formation
 * gas. Compressed is what leaves at discharge and did not come in there:
 * lift, sales and fuel from discharge, less gas bought at discharge. */
#ifndef FIELD_BALANCE_H
#define FIELD_BALANCE_H

#include "field/field.h"

/* All Sm3/s. */
struct gas_balance {
    double formation, lift, bought, sales, fuel, flare, shrinkage;
    double compressed;
    double error; /* in less out */
};

/* Compressed and fuel per unit of the flows that cause them; what a linear
 * model of the station needs:
 *     compressed = (lift + sales_part*sales - bought_part*bought) * gross
 *     fuel       = compressed * fuel_fraction */
struct balance_factors {
    double gross, sales_part, bought_part;
};

struct balance_factors balance_factors(const struct field *f);

/* Fill fuel, shrinkage, compressed and error from the other five. */
void balance_close(const struct field *f, struct gas_balance *b);

#endif
