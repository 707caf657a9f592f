/* Compressibility factor from reduced pressure and temperature. Both
 * equations are solved for a reduced density: there the function is a smooth
 * curve that rises from below zero, and one bracketed Newton iteration serves
 * both. The result does not depend on earlier calls. */
#include "fluid/gas.h"

#include <math.h>

#include "num/tol.h"

struct value_slope {
    double value, slope;
};

/* Root of f between lo, where f is below 0, and hi, where it is above. A step
 * that would leave the bracket is replaced by its middle. NaN when it does
 * not end. */
static inline double
rising_root(struct value_slope (*f)(const double *c, double x), const double *c,
            double lo, double hi, double x)
{
    for (int i = 0; i < TOL_Z_ITERATIONS; i++) {
        struct value_slope at = f(c, x);

        if (at.value < 0)
            lo = x;
        else
            hi = x;
        double next = x - at.value / at.slope;
        if (!(next > lo && next < hi))
            next = 0.5 * (lo + hi);
        double step = next - x;
        x = next;
        /* Newton's error after a step is of the order of its square. */
        if (step * step <= TOL_Z_REL * x * x)
            return x;
    }
    return (double)NAN;
}

/* Dranchuk & Abou-Kassem (1975), J. Can. Pet. Tech. 14(3): A1 to A11. */
#define A1 0.3265
#define A2 (-1.0700)
#define A3 (-0.5339)
#define A4 0.01569
#define A5 (-0.05165)
#define A6 0.5475
#define A7 (-0.7361)
#define A8 0.1844
#define A9 0.1056
#define A10 0.6134
#define A11 0.7210
#define Z_CRITICAL 0.27
/* Reduced density no gas reaches: at the top of the range, p_pr 30 and T_pr
 * 1, the equation gives 2.5. */
#define DENSITY_MOST 5.0

/* r Z(r) - 0.27 p_pr / T_pr, with c what temperature makes of the A's. */
static inline struct value_slope dranchuk_at(const double *c, double r)
{
    double r2 = r * r, r5 = r2 * r2 * r, ar2 = A11 * r2;
    double tail = c[3] * r2 * exp(-ar2);

    return (struct value_slope){
        r * (1 + c[0] * r + c[1] * r2 - c[2] * r5 + tail * (1 + ar2)) - c[4],
        1 + 2 * c[0] * r + 3 * c[1] * r2 - 6 * c[2] * r5 +
            tail * (3 + ar2 * (3 - 2 * ar2)),
    };
}

double gas_z_dranchuk(double p_pr, double t_pr)
{
    double i = 1 / t_pr, i2 = i * i, i3 = i2 * i;
    double q = Z_CRITICAL * p_pr * i;
    double c[] = {
        A1 + A2 * i + A3 * i3 + A4 * i2 * i2 + A5 * i2 * i3,
        A6 + A7 * i + A8 * i2,
        A9 * (A7 * i + A8 * i2),
        A10 * i3,
        q,
    };
    /* First guess: Z at the ideal gas's density by the terms of low order,
     * which saves one iteration in four over the ideal gas itself. */
    double z = fmax(0.25, 1 + c[0] * q + (c[1] + c[3]) * q * q);

    return q / rising_root(dranchuk_at, c, 0, DENSITY_MOST, q / z);
}

/* Hall & Yarborough (1973), Oil & Gas J. 18 June. */
static inline struct value_slope hall_at(const double *c, double y)
{
    double y2 = y * y, rest = 1 - y, rest3 = rest * rest * rest;
    double sum = y + y2 + y2 * y - y2 * y2;
    double power = c[2] * pow(y, c[3]);

    return (struct value_slope){
        sum / rest3 - c[1] * y2 + power - c[0],
        (1 + 2 * y + 3 * y2 - 4 * y2 * y) / rest3 + 3 * sum / (rest3 * rest) -
            2 * c[1] * y + c[3] * power / y,
    };
}

double gas_z_hall_yarborough(double p_pr, double t_pr)
{
    double t = 1 / t_pr;
    double a = 0.06125 * t * exp(-1.2 * (1 - t) * (1 - t)) * p_pr;
    double c[] = {
        a,
        t * (14.76 + t * (-9.76 + t * 4.58)),
        t * (90.7 + t * (-242.2 + t * 42.4)),
        2.18 + 2.82 * t,
    };

    return a / rising_root(hall_at, c, 0, 1, a / (1 + a));
}
