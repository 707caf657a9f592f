/* What a traverse and a curve cost: calls of the gradient, and time. With an
 * argument (traverse, curve) just one of them runs, inside bench_counted(),
 * for an instruction count. */
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/arena.h"
#include "curve/build.h"
#include "support/sample_wells.h"
#include "well/traverse.h"

#define LIQUID (600 * STB_D)
#define LIFT (500 * MSCF_D)
#define LIFT_MOST (3000 * MSCF_D)
#define TRAVERSES 400
#define CURVES 5 /* median of */

void bench_counted(const char *what);

static double now_s(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static struct traverse one_traverse(const struct well *w)
{
    struct traverse t = {0};
    struct err err;

    if (traverse_solve(w, LIQUID, LIFT, &t, NULL, &err) != ST_OK)
        printf("%s: %s\n", w->name, err.msg);
    return t;
}

static struct curve_count one_curve(const struct well *w, size_t *points)
{
    struct arena a;
    struct curve c;
    struct curve_count n = {0};
    struct err err;

    arena_init(&a);
    if (curve_build(w, LIFT_MOST, &a, &c, &n, &err) != ST_OK)
        printf("%s: %s\n", w->name, err.msg);
    *points = c.n;
    arena_release(&a);
    return n;
}

__attribute__((noinline)) void bench_counted(const char *what)
{
    struct sample_well s;
    size_t points;

    sample_well(0, &s);
    if (strcmp(what, "curve") == 0)
        one_curve(&s.well, &points);
    else
        one_traverse(&s.well);
}

static double median(double *x, int n)
{
    for (int i = 1; i < n; i++)
        for (int j = i; j > 0 && x[j] < x[j - 1]; j--) {
            double swap = x[j];
            x[j] = x[j - 1];
            x[j - 1] = swap;
        }
    return x[n / 2];
}

int main(int argc, char **argv)
{
    double sum_calls = 0, sum_us = 0, sum_ms = 0;

    if (argc > 1) {
        bench_counted(argv[1]);
        return 0;
    }
    printf("%-22s %6s %8s  %6s %9s %8s\n", "well", "calls", "us", "points",
           "traverses", "ms");
    printf("%-22s %15s  %25s\n", "", "-- a traverse --",
           "------- a curve -------");
    for (size_t i = 0; i < SAMPLE_WELLS; i++) {
        struct sample_well s;
        double us[CURVES], ms[CURVES];
        struct traverse t = {0};
        struct curve_count n = {0};
        size_t points = 0;

        sample_well(i, &s);
        for (int k = 0; k < CURVES; k++) {
            double start = now_s();
            for (int j = 0; j < TRAVERSES; j++)
                t = one_traverse(&s.well);
            us[k] = (now_s() - start) / TRAVERSES * 1e6;
            start = now_s();
            n = one_curve(&s.well, &points);
            ms[k] = (now_s() - start) * 1e3;
        }
        printf("%-22s %6d %8.1f  %6zu %9d %8.2f\n", s.well.name, t.count.calls,
               median(us, CURVES), points, n.traverses, median(ms, CURVES));
        sum_calls += t.count.calls;
        sum_us += median(us, CURVES);
        sum_ms += median(ms, CURVES);
    }
    printf("%-22s %6.0f %8.1f  %16s %8.2f\n", "mean", sum_calls / SAMPLE_WELLS,
           sum_us / SAMPLE_WELLS, "", sum_ms / SAMPLE_WELLS);
    return 0;
}
