#include "caps.h"

#include <math.h>
#include <stdint.h>

const enum plan_limit_kind CAP_KINDS[N_CAP_KINDS] = {
    PLAN_LIMIT_LIFT, PLAN_LIMIT_LIQUID, PLAN_LIMIT_WATER,
    PLAN_LIMIT_GAS,  PLAN_LIMIT_MOVES,
};

double caps_get(const struct field_caps *c, enum plan_limit_kind kind)
{
    switch ((int)kind) {
    case PLAN_LIMIT_LIFT:
        return c->lift_sm3s;
    case PLAN_LIMIT_LIQUID:
        return c->liquid_sm3s;
    case PLAN_LIMIT_WATER:
        return c->water_sm3s;
    case PLAN_LIMIT_GAS:
        return c->gas_sm3s;
    case PLAN_LIMIT_MOVES:
        return c->moves == SIZE_MAX ? (double)INFINITY : (double)c->moves;
    default:
        return (double)INFINITY;
    }
}

void caps_set(struct field_caps *c, enum plan_limit_kind kind, double to)
{
    switch ((int)kind) {
    case PLAN_LIMIT_LIFT:
        c->lift_sm3s = to;
        break;
    case PLAN_LIMIT_LIQUID:
        c->liquid_sm3s = to;
        break;
    case PLAN_LIMIT_WATER:
        c->water_sm3s = to;
        break;
    case PLAN_LIMIT_GAS:
        c->gas_sm3s = to;
        break;
    case PLAN_LIMIT_MOVES:
        c->moves = isfinite(to) ? (size_t)round(to) : SIZE_MAX;
        break;
    default:
        break;
    }
}
