#include "well/friction.h"

#include <math.h>

#include "num/tol.h"

double friction_turbulent(double reynolds, double relative_roughness)
{
    /* Colebrook & White (1939): x = -2 log10(e/3.7 + 2.51 x/Re) with
     * x = 1/sqrt(f), by Newton. The function is so nearly straight that the
     * fixed start below takes three steps. */
    const double two_per_ln10 = 2 / log(10);
    double a = relative_roughness / 3.7, b = 2.51 / reynolds;
    double x = 7; /* f = 0.02 */

    for (int i = 0; i < TOL_FRICTION_ITERATIONS; i++) {
        double inner = a + b * x;
        double step =
            (x + two_per_ln10 * log(inner)) / (1 + two_per_ln10 * b / inner);

        /* A frozen law may be asked far below 2000, where the first step
         * would leave the positive side. */
        x = fmax(x - step, 0.1 * x);
        /* What is left is below the square of the step. */
        if (step * step <= TOL_FRICTION_REL * x * x)
            break;
    }
    return 1 / (x * x);
}

double friction_laminar(double reynolds, double core_part)
{
    double k = core_part, k2 = k * k;
    /* Fades with the core, though slowly. */
    double drag = k > 0 ? (1 - k2) / log(1 / k) : 0;
    /* Printed for Fanning's factor, a quarter of Moody's. */
    double fanning_reynolds = 16 * (1 - k) * (1 - k) / (1 + k2 - drag);

    return 4 * fanning_reynolds / reynolds;
}

double friction_moody(double reynolds, double relative_roughness)
{
    return reynolds < FRICTION_RE_LAMINAR
               ? friction_laminar(reynolds, 0)
               : friction_turbulent(reynolds, relative_roughness);
}
