/* Gauss-Jordan elimination with row exchange, and its single steps. */
#include "inverse.h"

#include <math.h>
#include <string.h>

#include "num/tol.h"

static void swap_lines(double *a, double *b, size_t n)
{
    for (size_t k = 0; k < n; k++) {
        double keep = a[k];
        a[k] = b[k];
        b[k] = keep;
    }
}

/* The line of the largest number in column i, from line i on. */
static size_t largest_below(size_t n, const double *work, size_t i)
{
    size_t largest = i;
    for (size_t r = i + 1; r < n; r++)
        if (fabs(work[2 * n * r + i]) > fabs(work[2 * n * largest + i]))
            largest = r;
    return largest;
}

bool inverse_make(size_t n, double *work, double *inverse)
{
    size_t wide = 2 * n;
    for (size_t i = 0; i < n; i++) {
        double *line = work + i * wide;
        size_t largest = largest_below(n, work, i);
        if (largest != i)
            swap_lines(line, work + largest * wide, wide);
        double pivot = line[i];
        if (!(fabs(pivot) > TOL_INVERSE_PIVOT))
            return false;
        for (size_t k = i; k < wide; k++)
            line[k] /= pivot;
        for (size_t r = 0; r < n; r++) {
            double *other = work + r * wide, factor = other[i];
            if (r == i || factor == 0)
                continue;
            for (size_t k = i; k < wide; k++)
                other[k] -= factor * line[k];
        }
    }
    for (size_t i = 0; i < n; i++)
        memcpy(inverse + i * n, work + i * wide + n, n * sizeof *inverse);
    return true;
}

void inverse_exchange(size_t n, double *inverse, size_t at, const double *rate)
{
    double *line = inverse + at * n;
    for (size_t r = 0; r < n; r++)
        line[r] /= rate[at];
    for (size_t i = 0; i < n; i++) {
        double *other = inverse + i * n;
        if (i == at || rate[i] == 0)
            continue;
        for (size_t r = 0; r < n; r++)
            other[r] -= rate[i] * line[r];
    }
}
