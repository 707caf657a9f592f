/* At the valve that is reached the curve is built as if the gas entered at its
 * depth; then the gas path says how much of it can be had. */
#include "curve/build.h"

#include <math.h>
#include <stdbool.h>

#include "depth.h"
#include "gas_side.h"
#include "num/tol.h"
#include "well/operate.h"
#include "well/valve_string.h"

/* With the gas at one depth or at the operating valve, as far as the gas path
 * lets it. */
static enum status build_at_valve(const struct well *w, double gas_max_sm3s,
                                  struct arena *a, struct curve *out,
                                  struct curve_count *count, struct err *err)
{
    double most;
    enum status st = string_most_sm3s(w, &most, err);

    if (st == ST_OK)
        st = depth_build(w, fmin(gas_max_sm3s, most), a, out, count, err);
    if (st != ST_OK || out->n == 0)
        return st;
    if (most < gas_max_sm3s && out->end == CURVE_END_MAXIMUM)
        out->end = w->gas_path.p_header_pa < w->gas_path.p_casing_max_pa
                       ? CURVE_END_HEADER
                       : CURVE_END_ANNULUS;
    return w->gas_path.n_sections > 0 ? gas_side_add(w, a, out, count, err)
                                      : ST_OK;
}

/* Flows, perhaps, but no rate of its curve can be had. */
static bool is_shut_out(const struct curve *c)
{
    return c->n == 0 &&
           (c->end == CURVE_END_HEADER || c->end == CURVE_END_ANNULUS ||
            c->end == CURVE_END_VALVE);
}

/* The curve of a well that no gas gets into: what it makes alone, if it
 * does. */
static void leave_without_gas(struct curve *c)
{
    c->n = c->gas_sm3s[0] <= 0;
    c->gas_min_sm3s = 0;
    c->gas_max_sm3s = 0;
}

enum status curve_build(const struct well *w, double gas_max_sm3s,
                        struct arena *a, struct curve *out,
                        struct curve_count *count, struct err *err)
{
    struct curve_count own = {0}, *sum = count ? count : &own;
    struct well at = *w;
    enum status st = ST_OK;

    while (st == ST_OK) {
        st = gas_side_reach(&at, gas_max_sm3s, sum, err);
        if (st == ST_OK)
            st = build_at_valve(&at, gas_max_sm3s, a, out, sum, err);
        if (!is_shut_out(out) || !gas_side_go_up(&at))
            break;
    }
    if (st == ST_OK && is_shut_out(out))
        leave_without_gas(out);
    return st;
}

struct well curve_well(const struct curve *c, const struct well *w)
{
    struct well at = *w;

    at.operating = c->operating;
    if (w->n_valves > 0)
        at.md_inject_m = w->valve[c->operating].md_m;
    return at;
}

/* Outflow pressure is right within this part: the scatter of the correlations
 * against each other in the middle half of wells (design table). */
#define TRUST_PRESSURE 0.02

enum status curve_trust(const struct well *w, double gas_sm3s,
                        double *oil_low_sm3s, double *oil_high_sm3s,
                        struct err *err)
{
    double *oil[2] = {oil_low_sm3s, oil_high_sm3s};

    for (int i = 0; i < 2; i++) {
        double factor = i == 0 ? 1 + TRUST_PRESSURE : 1 - TRUST_PRESSURE;
        struct operating o;
        enum status st = operate_highest(w, gas_sm3s, factor, &o, err);

        if (st != ST_OK)
            return st;
        double liquid = o.stable < 0 ? 0 : o.crossing[o.stable].liquid_sm3s;
        *oil[i] = well_stream(w, liquid, 0).oil_sm3s;
    }
    return ST_OK;
}
