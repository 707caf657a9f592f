#include "curve/curve.h"

static struct curve_point point_between(const struct curve *c, size_t i,
                                        double part)
{
    const double *gas = c->gas_sm3s, *oil = c->oil_sm3s;
    const double *water = c->water_sm3s, *formation = c->formation_sm3s;
    size_t j = i + 1;
    return (struct curve_point){
        .gas_sm3s = gas[i] + part * (gas[j] - gas[i]),
        .oil_sm3s = oil[i] + part * (oil[j] - oil[i]),
        .water_sm3s = water[i] + part * (water[j] - water[i]),
        .formation_sm3s = formation[i] + part * (formation[j] - formation[i]),
        .slope = (oil[j] - oil[i]) / (gas[j] - gas[i]),
        .flows = true,
    };
}

static struct curve_point only_point(const struct curve *c)
{
    return (struct curve_point){
        .gas_sm3s = c->gas_sm3s[0],
        .oil_sm3s = c->oil_sm3s[0],
        .water_sm3s = c->water_sm3s[0],
        .formation_sm3s = c->formation_sm3s[0],
        .flows = true,
    };
}

/* The interval that holds gas: its left point, never the last one. */
static size_t left_point(const struct curve *c, double gas_sm3s)
{
    size_t low = 0, high = c->n - 1;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (c->gas_sm3s[middle] <= gas_sm3s)
            low = middle;
        else
            high = middle;
    }
    return low;
}

enum status curve_at(const struct curve *c, double gas_sm3s,
                     struct curve_point *out, struct err *err)
{
    double last_sm3s = c->n > 0 ? c->gas_sm3s[c->n - 1] : c->gas_max_sm3s;
    if (!(gas_sm3s >= 0 && gas_sm3s <= last_sm3s))
        return err_set(err, ST_RANGE,
                       "well %s: lift gas %.6g Sm3/s is outside its curve "
                       "(0 to %.6g Sm3/s)",
                       c->well, gas_sm3s, last_sm3s);

    if (c->n == 0 || gas_sm3s < c->gas_sm3s[0]) {
        *out = (struct curve_point){.gas_sm3s = gas_sm3s};
    } else if (c->n == 1) {
        *out = only_point(c);
    } else {
        size_t i = left_point(c, gas_sm3s);
        double run_sm3s = c->gas_sm3s[i + 1] - c->gas_sm3s[i];
        *out = point_between(c, i, (gas_sm3s - c->gas_sm3s[i]) / run_sm3s);
        out->gas_sm3s = gas_sm3s;
    }
    return ST_OK;
}

bool curve_flows_alone(const struct curve *c)
{
    return c->n > 0 && c->gas_sm3s[0] <= 0;
}

double curve_peak_oil_sm3s(const struct curve *c)
{
    return c->n > 0 ? c->oil_sm3s[c->peak] : 0;
}
