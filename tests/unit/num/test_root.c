#include "num/root.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>

static double square_less_two(double x, void *context)
{
    (void)context;
    return x * x - 2;
}

static double cosine_less_x(double x, void *context)
{
    (void)context;
    return cos(x) - x;
}

static double step_at_0_3(double x, void *context)
{
    (void)context;
    return x < 0.3 ? -1 : 1;
}

static double cube(double x, void *context)
{
    (void)context;
    return x * x * x;
}

static double hole_between(double x, void *context)
{
    (void)context;
    return x > 0.2 && x < 0.8 ? (double)NAN : x - 0.5;
}

static double find(root_function *f, double a, double b, double tol,
                   enum status *st, int *calls)
{
    struct root r = {0};
    struct err err;

    *st = root_find(f, NULL, (struct root_end){a, f(a, NULL)},
                    (struct root_end){b, f(b, NULL)}, tol, &r, &err);
    *calls = r.calls;
    return r.x;
}

Test(root, known_roots_are_found_within_the_tolerance, .timeout = 10)
{
    enum status st;
    int calls;

    /* sqrt 2; the fixed point of the cosine, 0.7390851332151607 (OEIS
     * A003957). */
    double x = find(square_less_two, 0, 2, 1e-12, &st, &calls);
    cr_assert(eq(int, st, ST_OK));
    cr_assert(epsilon_eq(dbl, x, sqrt(2.0), 1e-12));
    cr_assert(le(int, calls, 15));
    x = find(cosine_less_x, 0, 1, 1e-12, &st, &calls);
    cr_assert(epsilon_eq(dbl, x, 0.7390851332151607, 1e-12));
}

Test(root, a_step_and_a_flat_root_at_zero_end_by_the_tolerance, .timeout = 10)
{
    enum status st;
    int calls;

    double x = find(step_at_0_3, 0, 1, 1e-9, &st, &calls);
    cr_assert(eq(int, st, ST_OK));
    cr_assert(epsilon_eq(dbl, x, 0.3, 1e-9));
    x = find(cube, -1, 2, 1e-6, &st, &calls);
    cr_assert(eq(int, st, ST_OK));
    cr_assert(epsilon_eq(dbl, x, 0, 1e-6));
}

Test(root, no_change_of_sign_and_no_value_are_told_apart, .timeout = 10)
{
    enum status st;
    int calls;

    find(square_less_two, 2, 3, 1e-9, &st, &calls);
    cr_assert(eq(int, st, ST_NUMERIC));
    find(hole_between, 0, 1, 1e-9, &st, &calls);
    cr_assert(eq(int, st, ST_RANGE));
}

static double parabola(double x, void *context)
{
    (void)context;
    return 2 - (x - 0.3) * (x - 0.3);
}

static double tent(double x, void *context)
{
    (void)context;
    return -fabs(x - 0.7);
}

static double x_decaying(double x, void *context)
{
    (void)context;
    return x * exp(-x);
}

static double rising(double x, void *context)
{
    (void)context;
    return x;
}

Test(root, the_top_of_a_hump_is_found_wherever_it_lies, .timeout = 10)
{
    struct {
        root_function *f;
        double lo, hi, top, value;
    } row[] = {{parabola, 0, 1, 0.3, 2},
               {tent, 0, 1, 0.7, 0},
               {x_decaying, 0, 10, 1, exp(-1.0)},
               {rising, 0, 1, 1, 1}};

    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        struct root r;
        struct err err;
        enum status st =
            root_hump(row[i].f, NULL, row[i].lo, row[i].hi, 1e-6, &r, &err);

        cr_expect(eq(int, st, ST_OK));
        cr_expect(epsilon_eq(dbl, r.x, row[i].top, 4e-6), "row %zu", i);
        cr_expect(epsilon_eq(dbl, r.f, row[i].value, 4e-6), "row %zu", i);
        cr_expect(le(int, r.calls, 45), "row %zu", i);
    }
}

/* By hand, from ends that the caller keeps: cos crosses 0 at pi/2. */
Test(root, narrowing_keeps_the_root_between_the_ends, .timeout = 10)
{
    struct root_end a = {0, 1}, b = {3, cos(3.0)}, c;
    double part = 0.5;
    int calls = 0;

    while (fabs(a.f) > 1e-12 && calls < 12) {
        struct root_end next = {a.x + part * (b.x - a.x), 0};

        next.f = cos(next.x);
        part = root_narrow(&a, &b, &c, next);
        calls++;
        cr_expect(eq(dbl, a.x, next.x));
        cr_expect(ne(int, a.f > 0, b.f > 0));
        cr_expect(ge(dbl, part, 0));
        cr_expect(le(dbl, part, 1));
    }
    cr_expect(epsilon_eq(dbl, a.x, 0.5 * M_PI, 1e-11));
    /* Halving alone would take 40. */
    cr_expect(lt(int, calls, 10));
}
