#include "field/deliver.h"

#include <math.h>

#include "curve/build.h"
#include "curve/intermittent.h"
#include "well/working.h"

static enum status deliver_string(const struct well *w, double gas_sm3s,
                                  struct delivery *out, struct err *err)
{
    struct working at;
    enum status st = working_single(w, gas_sm3s, &at, err);

    *out = (struct delivery){0, (double)NAN};
    if (st != ST_OK || !at.flows)
        return st;
    out->oil_sm3s = at.liquid_sm3s * (1 - w->water_cut);
    if (gas_sm3s > 0)
        out->p_casing_pa = at.gas.p_head_pa;
    return ST_OK;
}

double field_first_share(const struct curve *c, double gas_sm3s)
{
    size_t i = 0;

    while (i + 2 < c->n && c->gas_sm3s[i + 1] <= gas_sm3s)
        i++;
    if (c->n < 2)
        return gas_sm3s;
    double part =
        (gas_sm3s - c->gas_sm3s[i]) / (c->gas_sm3s[i + 1] - c->gas_sm3s[i]);
    return fmax(0,
                c->arm_sm3s[i] + part * (c->arm_sm3s[i + 1] - c->arm_sm3s[i]));
}

struct well field_second_well(const struct curve *c, const struct field_well *w)
{
    const struct curve second = {.operating = c->operating_second};

    return curve_well(&second, w->second->model);
}

static enum status deliver_dual(const struct field_well *w,
                                const struct curve *c, double gas_sm3s,
                                struct delivery *out, struct err *err)
{
    double first = fmin(gas_sm3s, field_first_share(c, gas_sm3s));
    struct well one = curve_well(c, w->model);
    struct well two = field_second_well(c, w);
    struct delivery other = {0};
    enum status st = deliver_string(&one, first, out, err);

    if (st == ST_OK)
        st = deliver_string(&two, gas_sm3s - first, &other, err);
    out->oil_sm3s += other.oil_sm3s;
    out->p_casing_pa = fmax(out->p_casing_pa, other.p_casing_pa);
    return st;
}

enum status field_cycle(const struct field_well *w, double gas_sm3s,
                        struct intermittent_cycle *out, struct err *err)
{
    return curve_cycle_at(w->model, w->intermitter, gas_sm3s, out, err);
}

static enum status deliver_cycles(const struct field_well *w, double gas_sm3s,
                                  struct delivery *out, struct err *err)
{
    struct intermittent_cycle c;
    enum status st = field_cycle(w, gas_sm3s, &c, err);

    *out = (struct delivery){0, (double)NAN};
    if (st == ST_OK && c.outcome == INTERMITTENT_LIFTS)
        out->oil_sm3s = c.liquid_sm3s * (1 - w->model->water_cut);
    return st;
}

enum status field_deliver(const struct field_well *w, const struct curve *c,
                          double gas_sm3s, struct delivery *out,
                          struct err *err)
{
    struct well at;

    if (w->kind == KIND_INTERMITTENT)
        return deliver_cycles(w, gas_sm3s, out, err);
    if (w->kind == KIND_DUAL && c->arm_sm3s)
        return deliver_dual(w, c, gas_sm3s, out, err);
    at = curve_well(c, w->model);
    return deliver_string(&at, gas_sm3s, out, err);
}
