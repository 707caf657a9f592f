#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "support/sample_wells.h"
#include "well/traverse.h"

#define RATES 200
#define STEP 0.0005 /* between neighbours, relative */
#define COARSE 4    /* steps over which the true curvature is felt */

/* Bottom-hole pressure at rates STEP apart, of liquid or of lift gas. */
static void neighbours(const struct well *w, double liquid, double lift,
                       bool by_lift, double p_pa[RATES])
{
    for (int i = 0; i < RATES; i++) {
        double more = 1 + STEP * i;
        struct traverse t = {0};
        struct err err = {0};
        enum status st =
            traverse_solve(w, by_lift ? liquid : liquid * more,
                           by_lift ? lift * more : lift, &t, NULL, &err);

        cr_expect(eq(int, st, ST_OK), "%s: %s", w->name, err.msg);
        p_pa[i] = t.p_bottom_pa;
    }
}

static double second(const double *p, int step)
{
    return p[step] - 2 * p[0] + p[-step];
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

struct differences {
    double rms;  /* of second differences */
    double rest; /* what the curvature leaves of them at four rates of five */
};

/* Relative to pressure. Second differences hold the curve's own curvature:
 * over COARSE steps it is COARSE^2 times what it is over one, while jitter is
 * the same. */
static struct differences differences(const double p[RATES])
{
    enum { N = RATES - 2 * COARSE };
    double rest[N], sum = 0;

    for (int i = 0; i < N; i++) {
        const double *at = p + COARSE + i;
        double d = second(at, 1) / *at;

        sum += d * d;
        rest[i] = fabs(d - second(at, COARSE) / (COARSE * COARSE) / *at);
    }
    qsort(rest, N, sizeof rest[0], by_size);
    return (struct differences){sqrt(sum / N), rest[N * 4 / 5]};
}

/* Measured over these wells and rates: rms 1e-9 to 1.0e-6; rest 4e-16 to
 * 4e-8, and below 1e-12 in two of three. Where a flow pattern comes or goes,
 * the curve itself has a kink: such rates are the fifth that is not judged. A
 * march ten times as coarse gives 3e-5 and 1e-6. */
Test(smoothness, second_differences_of_pressure_are_the_curvature_and_no_jitter,
     .timeout = 60)
{
    for (size_t i = 0; i < SAMPLE_WELLS; i++)
        for (int row = 0; row < 8; row++) {
            struct sample_well s;
            double p_pa[RATES], base = 200 * (1 + row % 4);

            sample_well(i, &s);
            neighbours(&s.well, base * STB_D, base * MSCF_D, row >= 4, p_pa);
            struct differences d = differences(p_pa);
            cr_expect(lt(dbl, d.rms, 2e-6), "%s row %d", s.well.name, row);
            cr_expect(lt(dbl, d.rest, 1e-7), "%s row %d", s.well.name, row);
            /* Curves are curved. */
            cr_expect(lt(dbl, 1e-10, d.rms), "%s row %d", s.well.name, row);
        }
}
