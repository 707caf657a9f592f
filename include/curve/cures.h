/* What would steady a well that heads at an injection rate. */
#ifndef CURVE_CURES_H
#define CURVE_CURES_H

#include "curve/curve.h"
#include "well/well.h"

struct cures {
    /* More gas: the least rate from which on the curve is steady, and its oil.
     * NaN: no rate of the curve. */
    double gas_sm3s, gas_oil_sm3s;
    /* A smaller port of the operating valve, in whole 64ths: the largest that
     * is steady at the present rate, and the casing-head pressure it needs;
     * oil stays. 0: none down to CURES_PORT_LEAST. */
    int port_64ths;
    double port_p_casing_pa;
    bool port_is_fed; /* header, line and annulus limit allow that pressure */
    /* More wellhead choke: the least wellhead pressure that is steady, the oil
     * and the gas-liquid ratio then. NaN: none within CURES_HEAD_MOST. */
    double p_head_pa, head_oil_sm3s, head_liquid_sm3s;
};

/* Smallest port looked at, 64ths; and most wellhead pressure added. */
#define CURES_PORT_LEAST 4
#define CURES_HEAD_MOST_PA 2.8e6

/* c: the curve of w; gas_sm3s above 0, at which w heads. w has valves. */
enum status cures_find(const struct well *w, const struct curve *c,
                       double gas_sm3s, struct cures *out,
                       struct err *err) ST_CHECKED;

#endif
