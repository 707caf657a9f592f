#include "num/march.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <cvode/cvode.h>
#include <cvode/cvode_diag.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdbool.h>

static void growth(double x, double y, int regime, void *context,
                   struct march_point *out)
{
    (void)x, (void)regime, (void)context;
    *out = (struct march_point){y, 1, 0};
}

static double run(void (*at)(double, double, int, void *, struct march_point *),
                  void *context, double x0, double x1, double y0,
                  enum status *st, struct march_count *count)
{
    struct march_problem p = {at, NULL, context, 1e-6, 0};
    struct err err;
    double y = (double)NAN;

    *count = (struct march_count){0};
    *st = march_run(&p, x0, x1, y0, &y, NULL, count, &err);
    return y;
}

Test(march, exponential_growth_is_followed_both_ways, .timeout = 10)
{
    enum status st;
    struct march_count n;
    double y = run(growth, NULL, 0, 1, 1, &st, &n);

    cr_assert(eq(int, st, ST_OK));
    cr_assert(epsilon_eq(dbl, y, exp(1.0), 3e-6));
    y = run(growth, NULL, 1, -1, exp(1.0), &st, &n);
    cr_assert(epsilon_eq(dbl, y, exp(-1.0), 1e-6));
    cr_assert(eq(int, n.events, 0));
    y = run(growth, NULL, 2, 2, 5, &st, &n);
    cr_assert(eq(dbl, y, 5));
}

/* Slope 1 below the wall and `steep` above it. */
struct wall {
    double y, steep;
};

static void at_wall(double x, double y, int regime, void *context,
                    struct march_point *out)
{
    const struct wall *w = context;

    (void)x;
    if (regime == MARCH_NATURAL)
        regime = y > w->y;
    *out = (struct march_point){regime ? w->steep : 1,
                                regime ? y - w->y : w->y - y, regime};
}

Test(march, a_jump_of_the_slope_is_met_where_it_is, .timeout = 10)
{
    struct wall w = {1.5, 3};
    enum status st;
    struct march_count n;
    double y = run(at_wall, &w, 0, 1, 1, &st, &n);

    /* By hand: 0.5 at slope 1, 0.5 at slope 3. */
    cr_assert(eq(int, st, ST_OK));
    /* The margin may be missed by 1e-6, and the slopes differ by 2. */
    cr_assert(epsilon_eq(dbl, y, 3.0, 2e-6));
    cr_assert(eq(int, n.events, 1));
    cr_assert(le(int, n.calls, 40));
}

Test(march, a_wall_that_pushes_back_is_followed, .timeout = 10)
{
    struct wall w = {1.5, -1};
    enum status st;
    struct march_count n;
    double y = run(at_wall, &w, 0, 1, 1, &st, &n);

    cr_assert(eq(int, st, ST_OK));
    cr_assert(epsilon_eq(dbl, y, 1.5, 1e-6));
    cr_assert(le(int, n.events, 3));
}

/* A wall that falls, y = 1.5 - x^2, and that lets go: slope 1 below it,
 * `steep` above, which is less steep than the wall until x = -steep / 2. */
static void at_falling_wall(double x, double y, int regime, void *context,
                            struct march_point *out)
{
    double steep = *(double *)context, above = y - (1.5 - x * x);

    if (regime == MARCH_NATURAL)
        regime = above > 0;
    *out = (struct march_point){regime ? steep : 1, regime ? above : -above,
                                regime};
}

Test(march, a_wall_is_left_where_it_no_longer_pushes_back, .timeout = 10)
{
    double steep = -1;
    enum status st;
    struct march_count n;
    double y = run(at_falling_wall, &steep, 0, 0.6, 1, &st, &n);

    /* By hand: met where 1 + x = 1.5 - x^2, followed to x = 0.5, y = 1.25,
     * where the wall falls as fast as the slope above it, then straight. */
    cr_assert(eq(int, st, ST_OK));
    cr_assert(epsilon_eq(dbl, y, 1.15, 2e-4));
    cr_assert(le(int, n.events, 4));
}

static void ends_at_half(double x, double y, int regime, void *context,
                         struct march_point *out)
{
    (void)regime, (void)context;
    *out = (struct march_point){x > 0.5 ? (double)NAN : y, 1, 0};
}

Test(march, a_slope_without_value_is_never_passed_over, .timeout = 10)
{
    enum status st;
    struct march_count n;

    run(ends_at_half, NULL, 0, 1, 1, &st, &n);
    cr_assert(ne(int, st, ST_OK));
}

/* A column with gas that expands, and a slip that jumps where the gas
 * velocity passes a bound: the kind of jump a flow pattern makes. x in m, y in
 * bar, rate the parameter. */
static double column_margin(double y, double rate)
{
    return 12 * rate / y - 0.35;
}

static double column_slope(double x, double y, double rate, bool fast)
{
    double gas = 12 * rate / y;
    double slip = fast ? 0.1 : 0.25;
    double holdup = 1 - gas / (1.2 * (gas + 0.4 * rate) + slip);

    return 0.0981 * (0.08 + 0.75 * holdup) * (1 + 1e-5 * x) +
           0.004 * rate * (gas + rate);
}

static void column(double x, double y, int regime, void *context,
                   struct march_point *out)
{
    double rate = *(double *)context, margin = column_margin(y, rate);

    if (regime == MARCH_NATURAL)
        regime = margin > 0;
    *out = (struct march_point){column_slope(x, y, rate, regime == 1),
                                regime ? margin : -margin, regime};
}

static double column_fixed_steps(double rate, int n)
{
    double h = 2500.0 / n, y = 10;

    for (int i = 0; i < n; i++) {
        double x = i * h, k[4], at[4] = {0, 0.5, 0.5, 1};
        double sum = 0, w[4] = {1, 2, 2, 1};

        for (int s = 0; s < 4; s++) {
            double ys = y + (s ? at[s] * h * k[s - 1] : 0);
            k[s] = column_slope(x + at[s] * h, ys, rate,
                                column_margin(ys, rate) > 0);
            sum += w[s] * k[s] / 6;
        }
        y += h * sum;
    }
    return y;
}

static int cvode_slope(realtype x, N_Vector y, N_Vector out, void *context)
{
    double rate = *(double *)context, p = NV_Ith_S(y, 0);

    NV_Ith_S(out, 0) = column_slope(x, p, rate, column_margin(p, rate) > 0);
    return 0;
}

static int cvode_root(realtype x, N_Vector y, realtype *out, void *context)
{
    (void)x;
    out[0] = column_margin(NV_Ith_S(y, 0), *(double *)context);
    return 0;
}

/* SUNDIALS CVODE 6.4.1, Adams, stopped and started again at the jump. */
static double column_by_cvode(double rate)
{
    SUNContext sun;
    realtype x = 0;
    int rc;

    SUNContext_Create(NULL, &sun);
    N_Vector y = N_VNew_Serial(1, sun);
    NV_Ith_S(y, 0) = 10;
    void *mem = CVodeCreate(CV_ADAMS, sun);
    CVodeInit(mem, cvode_slope, 0, y);
    CVodeSStolerances(mem, 1e-10, 1e-10);
    CVDiag(mem);
    CVodeSetUserData(mem, &rate);
    CVodeSetMaxNumSteps(mem, 100000);
    CVodeSetStopTime(mem, 2500);
    CVodeRootInit(mem, 1, cvode_root);
    do {
        rc = CVode(mem, 2500, y, &x, CV_NORMAL);
        if (rc == CV_ROOT_RETURN)
            CVodeReInit(mem, x, y);
    } while (rc == CV_ROOT_RETURN);
    cr_assert(ge(int, rc, 0));
    double p = NV_Ith_S(y, 0);
    N_VDestroy(y);
    CVodeFree(&mem);
    SUNContext_Free(&sun);
    return p;
}

Test(march, a_column_with_a_jump_agrees_with_cvode_and_fine_fixed_steps,
     .timeout = 60)
{
    for (double rate = 0.2; rate < 3; rate *= 1.3) {
        enum status st;
        struct march_count n;
        double y = run(column, &rate, 0, 2500, 10, &st, &n);
        double oracle = column_by_cvode(rate);

        cr_expect(eq(int, st, ST_OK));
        cr_expect(epsilon_eq(dbl, y, oracle, 5e-6 * oracle), "rate %g", rate);
        /* The fixed march does not stop at the jump: first order there. */
        cr_expect(
            epsilon_eq(dbl, y, column_fixed_steps(rate, 200000), 2e-5 * y),
            "rate %g", rate);
        cr_expect(le(int, n.calls, 120), "rate %g", rate);
    }
}

Test(march, neighbouring_rates_do_not_jitter, .timeout = 60)
{
    enum { N = 400 };
    double y[N], sum = 0;

    for (int i = 0; i < N; i++) {
        double rate = 0.9 + 0.001 * i;
        enum status st;
        struct march_count n;

        y[i] = run(column, &rate, 0, 2500, 10, &st, &n);
        cr_assert(eq(int, st, ST_OK));
    }
    for (int i = 2; i < N - 2; i++) {
        double fourth =
            y[i + 2] - 4 * y[i + 1] + 6 * y[i] - 4 * y[i - 1] + y[i - 2];
        sum += fourth * fourth;
    }
    /* Neighbours differ by 2e-2 bar, second differences by 4e-5; fourth
     * differences hold nothing of the curve, and 8 times the jitter. */
    cr_assert(lt(dbl, sqrt(sum / (N - 4)), 4e-6));
}
