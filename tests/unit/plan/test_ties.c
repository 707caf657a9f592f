/* Equal plans: the rule at the top of src/plan/plan.c, and that the answer
 * never depends on chance. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <omp.h>
#include <string.h>

#include "support/plan_case.h"
#include "support/random_field.h"

static struct plan solve(struct builder *b, double gas_mscf_d)
{
    b->field.limits.caps.lift_sm3s = builder_gas(gas_mscf_d);
    struct plan_options o = case_exact();
    return case_solve(b, &o, "tie");
}

static double gas_of(const struct plan *p, size_t i)
{
    return builder_mscf_d(p->well[i].gas_sm3s);
}

/* Twins that are dead without 500 Mscf/d, and gas for one of them. */
Test(ties, of_twins_the_first_in_name_order_gets_the_gas, .timeout = 10)
{
    static const double GAS[] = {500, 800}, OIL[] = {250, 310};
    static const char *const ORDERS[2][3] = {{"A", "B", "C"}, {"C", "B", "A"}};
    for (size_t k = 0; k < 2; k++) {
        struct arena a;
        arena_init(&a);
        struct builder b;
        builder_init(&b, &a);
        for (size_t i = 0; i < 3; i++)
            builder_well(&b, ORDERS[k][i], 2, GAS, OIL, 0, 0);
        struct plan p = solve(&b, 500);
        size_t first = k == 0 ? 0 : 2;
        cr_expect(epsilon_eq(dbl, gas_of(&p, first), 500, 1e-6), "order %zu",
                  k);
        cr_expect(eq(dbl, gas_of(&p, 1), 0), "order %zu", k);
        cr_expect(eq(dbl, gas_of(&p, 2 - first), 0), "order %zu", k);
        arena_release(&a);
    }
}

/* Twins that share a straight slope: any split makes the same oil. */
Test(ties, on_equal_slopes_the_first_in_name_order_is_filled_first,
     .timeout = 10)
{
    static const double GAS[] = {0, 600}, OIL[] = {50, 350};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "Z", 2, GAS, OIL, 0, 0);
    builder_well(&b, "Y", 2, GAS, OIL, 0, 0);
    struct plan p = solve(&b, 700);
    cr_expect(epsilon_eq(dbl, gas_of(&p, 1), 600, 1e-6));
    cr_expect(epsilon_eq(dbl, gas_of(&p, 0), 100, 1e-6));
    arena_release(&a);
}

/* The second half of the curve makes no more oil; nor does the second well's
 * second mode, which makes as much oil as the first with more gas. */
Test(ties, of_equal_oil_the_least_gas_is_taken, .timeout = 10)
{
    static const double GAS[] = {0, 300, 600}, OIL[] = {50, 200, 200};
    static const double DIP_GAS[] = {0, 200, 400, 600},
                        DIP_OIL[] = {10, 100, 60, 100};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "flat", 3, GAS, OIL, 0, 0);
    builder_well(&b, "dip", 4, DIP_GAS, DIP_OIL, 0, 0);
    struct plan p = solve(&b, 5000);
    cr_expect(epsilon_eq(dbl, gas_of(&p, 0), 300, 1e-6));
    cr_expect(epsilon_eq(dbl, gas_of(&p, 1), 200, 1e-6));
    arena_release(&a);
}

/* Gas may be bought and flared at no price: neither is done for nothing, and
 * what must leave is sold. */
Test(ties, nothing_is_bought_or_flared_without_need, .timeout = 10)
{
    static const double GAS[] = {0, 300}, OIL[] = {100, 300};
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    builder_well(&b, "A", 2, GAS, OIL, 0, 1);
    b.field.market.max_sm3s = builder_gas(500);
    b.field.station.flare_max_sm3s = builder_gas(500);
    b.field.sales.max_sm3s = builder_gas(250);
    struct plan p = solve(&b, 300);
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.sales), 250, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.flare), 50, 1e-6));
    cr_expect(epsilon_eq(dbl, builder_mscf_d(p.balance.bought), 0, 1e-6));
    arena_release(&a);
}

static void hard_case(struct builder *b)
{
    struct random_field_options o = random_field_hard(60);
    o.has_readings = true;
    random_field(3, &o, b);
    b->field.limits.caps.moves = 12;
}

/* All but the place of its list in memory. */
static bool is_same_limit(const struct plan_limit *a,
                          const struct plan_limit *b)
{
    struct plan_limit x = *a, y = *b;
    bool same_setters = x.n_setters == y.n_setters;
    for (size_t i = 0; same_setters && i < x.n_setters; i++)
        same_setters = x.setter[i] == y.setter[i];
    x.setter = y.setter = NULL;
    return same_setters && memcmp(&x, &y, sizeof x) == 0;
}

static bool is_same(const struct plan *p, const struct plan *q)
{
    for (size_t i = 0; i < p->n_limits; i++)
        if (!is_same_limit(&p->limit[i], &q->limit[i]))
            return false;
    return memcmp(p->well, q->well, p->n_wells * sizeof *p->well) == 0 &&
           memcmp(&p->balance, &q->balance, sizeof p->balance) == 0 &&
           p->value == q->value && p->bound == q->bound &&
           p->gas_price_oil == q->gas_price_oil && p->nodes == q->nodes;
}

Test(ties, twenty_runs_agree_to_the_last_bit, .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    hard_case(&b);
    struct plan_options o = plan_options_default();
    struct plan first = case_solve(&b, &o, "first");
    for (int run = 0; run < 20; run++) {
        struct plan p = case_solve(&b, &o, "again");
        cr_expect(is_same(&p, &first), "run %d", run);
    }
    arena_release(&a);
}

Test(ties, threads_that_plan_at_the_same_time_agree, .timeout = 60)
{
    enum { THREADS = 2, RUNS = 8 };
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    hard_case(&b);
    struct plan_options o = plan_options_default();
    struct plan first = case_solve(&b, &o, "alone");
    struct arena own[RUNS];
    struct plan p[RUNS];
    enum status st[RUNS];
#pragma omp parallel for num_threads(THREADS) schedule(static, 1)
    for (int run = 0; run < RUNS; run++) {
        struct err err;
        arena_init(&own[run]);
        st[run] = plan_solve(&b.field, b.curves, &o, &own[run], &p[run], &err);
    }
    for (int run = 0; run < RUNS; run++) {
        cr_assert(eq(int, st[run], ST_OK));
        cr_expect(is_same(&p[run], &first), "run %d", run);
        arena_release(&own[run]);
    }
    arena_release(&a);
}
