/* The gas goes round, and every plan closes it:
 *     separator gas = formation gas + lift gas returned
 *     separator gas + bought + drawn
 *         = lift + sales + fuel + flare + shrinkage
 * Fuel follows what passes the units; shrinkage is a part of the formation
 * gas. Compressed is what leaves the units: lift, sales and fuel from
 * discharge, less gas bought at discharge and gas drawn from what the lift gas
 * headers hold. */
#ifndef FIELD_BALANCE_H
#define FIELD_BALANCE_H

#include "field/field.h"

/* All Sm3/s. */
struct gas_balance {
    double formation, lift, bought, sales, fuel, flare, shrinkage;
    double compressed;
    double drawn; /* from the headers; below 0: put by */
    double error; /* in less out */
};

/* What a unit does. */
struct unit_load {
    bool runs;
    double through_sm3s;  /* what passes it, recycled gas with it */
    double recycled_sm3s; /* of that, what goes round it */
    double fuel_sm3s, power_w;
};

/* Fuel of a unit per Sm3 through it. */
double field_unit_fuel(const struct field *f, const struct field_compressor *u);

/* Fill fuel, shrinkage, compressed and error from the other six. load
 * [n_compressors], NULL without any: .runs is read; through and recycled are
 * where the sharing starts from (0: nowhere), and are changed as little as
 * carries the gas: within the units' ranges those of least fuel take more
 * first and the others less first; then gas goes round where it can; only when
 * nothing else is left a unit passes its capacity or falls below its least
 * rate. A station whose units all stand still compresses nothing. */
void balance_close(const struct field *f, struct gas_balance *b,
                   struct unit_load *load);

/* Every unit that may run, running, nothing passed yet. */
struct unit_load *balance_units(const struct field *f, struct arena *a);

#endif
