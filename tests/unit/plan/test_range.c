/* A price holds inside its range: solved again there the plan is worth what
 * the price promises or, where other modes are better, more. Beyond the range
 * the same modes never make as much. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>

#include "support/plan_case.h"
#include "support/small_limits.h"

/* Concave wells and nothing but lift gas: the slopes of C1 in test_constructed,
 * here by hand. A: 0.5 to 400, 0.2 to 800; B: 0.3 to 500, 0.1 to 900. With
 * 1,000 A stands at its corner of 400, B at its corner of 500, and A takes 100
 * more at 0.2. */
static void two_wells(struct builder *b)
{
    static const double GAS_A[] = {0, 400, 800}, OIL_A[] = {100, 300, 380};
    static const double GAS_B[] = {0, 500, 900}, OIL_B[] = {50, 200, 240};
    builder_well(b, "A", 3, GAS_A, OIL_A, 1, 0.5);
    builder_well(b, "B", 3, GAS_B, OIL_B, 1, 0.5);
    b->field.limits.caps.lift_sm3s = builder_gas(1000);
}

Test(range, ends_where_a_well_comes_to_its_next_slope, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "two wells");
    const struct plan_limit *l = &p.limit[0];
    cr_assert(eq(int, l->kind, PLAN_LIMIT_LIFT));
    cr_expect(epsilon_eq(dbl, l->price, builder_oil(0.2) / builder_gas(1),
                         1e-9 * l->price));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(l->price_from), 900, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(l->price_to), 1300, 1e-6));
    cr_assert(eq(sz, l->n_setters, 1));
    cr_expect(eq(sz, l->setter[0], 0));
    arena_release(&a);
}

Test(range, is_a_point_at_a_corner, .timeout = 10)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    two_wells(&b);
    b.field.limits.caps.lift_sm3s = builder_gas(900);
    struct plan_options o = case_exact();
    struct plan p = case_solve(&b, &o, "corner");
    cr_expect(
        epsilon_eq(dbl, builder_mscf_d(p.limit[0].price_from), 900, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.limit[0].price_to), 900, 1e-6));
    arena_release(&a);
}

/* The bound that a limit of the field stands for; NULL: not tried here. */
static double *bound_of(struct field *f, const struct plan_limit *l)
{
    if (l->scope != N_GROUP_KINDS)
        return l->kind == PLAN_LIMIT_LIFT
                   ? &f->groups[l->scope].group[l->group].caps.lift_sm3s
                   : NULL;
    switch ((int)l->kind) {
    case PLAN_LIMIT_LIFT:
        return &f->limits.caps.lift_sm3s;
    case PLAN_LIMIT_LIQUID:
        return &f->limits.caps.liquid_sm3s;
    case PLAN_LIMIT_WATER:
        return &f->limits.caps.water_sm3s;
    case PLAN_LIMIT_GAS:
        return &f->limits.caps.gas_sm3s;
    case PLAN_LIMIT_SALES_MIN:
        return &f->sales.min_sm3s;
    case PLAN_LIMIT_SALES_MAX:
        return &f->sales.max_sm3s;
    case PLAN_LIMIT_PURCHASE:
        return &f->market.max_sm3s;
    case PLAN_LIMIT_FLARE:
        return &f->station.flare_max_sm3s;
    case PLAN_LIMIT_POWER:
        return &f->station.power_max_w;
    default:
        return NULL;
    }
}

static double value_with(struct builder *b, const struct plan_options *o,
                         double *bound, double to, const char *label)
{
    double keep = *bound;
    *bound = to;
    struct plan p = case_solve(b, o, label);
    *bound = keep;
    return p.outcome == PLAN_IMPOSSIBLE ? -(double)INFINITY : p.value;
}

struct tally {
    size_t ranges, as_promised;
};

static void try_limit(struct builder *b, const struct plan_options *o,
                      const struct plan *p, const struct plan_limit *l,
                      const char *label, struct tally *t)
{
    double *bound = bound_of(&b->field, l);
    double width = l->price_to - l->price_from;
    if (!l->binding || bound == NULL || !(l->price > 0) || !isfinite(width) ||
        !(width > 1e-6 * l->bound))
        return;
    double sign = l->kind == PLAN_LIMIT_SALES_MIN ? -1 : 1;
    t->ranges++;
    for (int k = 1; k <= 3; k++) {
        double to = l->price_from + width * k / 4;
        double promised = p->value + sign * l->price * (to - l->bound);
        double got = value_with(b, o, bound, to, label);
        double slack = 1e-6 * (fabs(p->value) + fabs(promised));
        cr_expect(got >= promised - slack, "%s: limit %d at %g: %g of %g",
                  label, l->kind, to, got, promised);
        t->as_promised += fabs(got - promised) <= slack;
    }
}

Test(range, inside_it_the_value_is_what_the_price_promises, .timeout = 120)
{
    struct tally t = {0};
    for (uint64_t seed = 1; seed <= 1000; seed++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        struct plan_options o;
        small_limits(seed, 8, &a, &b, &o);
        o.gap = 1e-9;
        char label[32];
        snprintf(label, sizeof label, "seed %d", (int)seed);
        struct plan p = case_solve(&b, &o, label);
        for (size_t i = 0; i < p.n_limits; i++)
            if (p.outcome == PLAN_OPTIMAL)
                try_limit(&b, &o, &p, &p.limit[i], label, &t);
        arena_release(&a);
    }
    cr_log_info("%zu ranges, %zu of %zu as promised", t.ranges, t.as_promised,
                3 * t.ranges);
    cr_assert(ge(sz, t.ranges, 70));
    cr_assert(ge(sz, 4 * t.as_promised, 3 * 3 * t.ranges));
}
