#include "field/balance.h"

/* Fuel taken at discharge is compressed itself:
 *     compressed = delivered + fuel_fraction * compressed. */
struct balance_factors balance_factors(const struct field *f)
{
    double fuel = f->station.fuel_fraction;
    bool fuel_is_compressed = f->station.fuel_from == SIDE_DISCHARGE;
    return (struct balance_factors){
        .gross = fuel_is_compressed ? 1 / (1 - fuel) : 1,
        .sales_part = f->sales.from == SIDE_DISCHARGE ? 1 : 0,
        .bought_part = f->market.enters == SIDE_DISCHARGE ? 1 : 0,
    };
}

void balance_close(const struct field *f, struct gas_balance *b)
{
    struct balance_factors k = balance_factors(f);
    b->compressed =
        (b->lift + k.sales_part * b->sales - k.bought_part * b->bought) *
        k.gross;
    b->fuel = b->compressed * f->station.fuel_fraction;
    b->shrinkage = b->formation * f->station.shrinkage_fraction;
    b->error =
        b->formation + b->bought - b->sales - b->fuel - b->flare - b->shrinkage;
}
