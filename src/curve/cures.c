#include "curve/cures.h"

#include <math.h>

#include "base/arena.h"
#include "base/units.h"
#include "curve/build.h"
#include "well/gas_path.h"
#include "well/working.h"

/* Halvings in search of the wellhead pressure: to 0.1 psi. */
#define HEAD_HALVINGS 12

static void more_gas(const struct curve *c, struct cures *out)
{
    size_t i = c->n;

    while (i > 0 && c->steady[i - 1] > 1)
        i--;
    if (i == c->n)
        return;
    out->gas_sm3s = c->gas_sm3s[i];
    out->gas_oil_sm3s = c->oil_sm3s[i];
}

static enum status smaller_port(const struct well *w, double gas_sm3s,
                                double liquid_sm3s, struct cures *out,
                                struct err *err)
{
    struct valve valve[STRING_MAX];
    struct well at = *w;
    double unit_m = UNIT_INCH_M / 64;
    double d_m = sqrt(4 * w->valve[w->operating].port.area_m2 / M_PI);
    enum status st = ST_OK;

    for (size_t i = 0; i < w->n_valves; i++)
        valve[i] = w->valve[i];
    at.valve = valve;
    for (int n = (int)ceil(d_m / unit_m - 0.5) - 1;
         n >= CURES_PORT_LEAST && st == ST_OK; n--) {
        struct string_state s;
        struct traverse t;

        valve[w->operating].port.area_m2 =
            0.25 * M_PI * (n * unit_m) * (n * unit_m);
        st = string_single(&at, liquid_sm3s, gas_sm3s, &t, &s, err);
        if (st != ST_OK || !is_steady(&s.steady))
            continue;
        out->port_64ths = n;
        out->port_p_casing_pa = s.p_head_pa;
        out->port_is_fed =
            s.p_head_pa <= gas_path_available_pa(&w->gas_path, gas_sm3s);
        break;
    }
    return st;
}

static enum status more_choke(const struct well *w, double gas_sm3s,
                              struct cures *out, struct err *err)
{
    double heads_pa = w->p_head_pa, steady_pa = heads_pa + CURES_HEAD_MOST_PA;
    struct well at = *w;

    for (int i = 0; i <= HEAD_HALVINGS; i++) {
        struct working s;

        at.p_head_pa = i == 0 ? steady_pa : 0.5 * (heads_pa + steady_pa);
        enum status st = working_single(&at, gas_sm3s, &s, err);
        if (st != ST_OK)
            return st;
        bool steady = s.flows && is_steady(&s.gas.steady);
        if (steady) {
            steady_pa = out->p_head_pa = at.p_head_pa;
            out->head_liquid_sm3s = s.liquid_sm3s;
            out->head_oil_sm3s = s.liquid_sm3s * (1 - w->water_cut);
        } else if (i > 0 && s.flows) {
            heads_pa = at.p_head_pa;
        } else {
            steady_pa = at.p_head_pa; /* dead there: look below */
        }
    }
    return ST_OK;
}

enum status cures_find(const struct well *w, const struct curve *c,
                       double gas_sm3s, struct cures *out, struct err *err)
{
    struct well at = curve_well(c, w);
    struct working now;
    enum status st = working_single(&at, gas_sm3s, &now, err);

    *out = (struct cures){.gas_sm3s = (double)NAN,
                          .gas_oil_sm3s = (double)NAN,
                          .p_head_pa = (double)NAN,
                          .head_oil_sm3s = (double)NAN,
                          .head_liquid_sm3s = (double)NAN};
    if (st != ST_OK || !now.flows)
        return st;
    more_gas(c, out);
    st = smaller_port(&at, gas_sm3s, now.liquid_sm3s, out, err);
    return st == ST_OK ? more_choke(&at, gas_sm3s, out, err) : st;
}
