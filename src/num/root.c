/* Chandrupatla, T. R. (1997), A new hybrid quadratic/bisection algorithm for
 * finding the zero of a nonlinear function without using derivatives,
 * Advances in Engineering Software 28(3): 145-149.
 * Brent, R. P. (1973), Algorithms for Minimization without Derivatives,
 * ch. 5, for the hump. */
#include "num/root.h"

#include <math.h>
#include <stdbool.h>

#include "num/tol.h"

static bool inverse_quadratic_pays(struct root_end a, struct root_end b,
                                   struct root_end c, double *part)
{
    /* Chandrupatla's test: the three points let an inverse parabola be
     * monotone between a and b. */
    double xi = (a.x - b.x) / (c.x - b.x);
    double phi = (a.f - b.f) / (c.f - b.f);

    if (!(phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi))
        return false;
    *part = a.f / (b.f - a.f) * c.f / (b.f - c.f) +
            (c.x - a.x) / (b.x - a.x) * a.f / (c.f - a.f) * b.f / (c.f - b.f);
    return true;
}

double root_narrow(struct root_end *a, struct root_end *b, struct root_end *c,
                   struct root_end next)
{
    double part;

    if ((next.f > 0) == (a->f > 0)) {
        *c = *a;
    } else {
        *c = *b;
        *b = *a;
    }
    *a = next;
    return inverse_quadratic_pays(*a, *b, *c, &part) ? part : 0.5;
}

enum status root_find(root_function *f, void *context, struct root_end a,
                      struct root_end b, double x_tol, struct root *out,
                      struct err *err)
{
    struct root_end c;
    double part = 0.5;
    int calls = 0;

    if (!(isfinite(a.f) && isfinite(b.f)) || (a.f > 0) == (b.f > 0))
        if (!(a.f == 0 || b.f == 0))
            return err_set(err, ST_NUMERIC,
                           "no change of sign between %.9g (%.3g) and %.9g "
                           "(%.3g)",
                           a.x, a.f, b.x, b.f);
    for (;;) {
        struct root_end best = fabs(a.f) < fabs(b.f) ? a : b;
        double width = fabs(b.x - a.x);

        *out = (struct root){best.x, best.f, calls};
        if (best.f == 0 || width <= x_tol)
            return ST_OK;
        if (calls == TOL_ROOT_CALLS)
            return err_set(err, ST_NUMERIC,
                           "no root within %d calls near %.9g (residual "
                           "%.3g)",
                           calls, best.x, best.f);

        /* Never nearer to an end than the tolerance: the bracket then
         * closes from both sides. */
        double edge = fmin(0.5, 0.5 * x_tol / width);
        part = fmin(1 - edge, fmax(edge, part));
        struct root_end t = {a.x + part * (b.x - a.x), 0};
        t.f = f(t.x, context);
        calls++;
        if (!isfinite(t.f))
            return err_set(err, ST_RANGE, "no function value at %.9g", t.x);
        part = root_narrow(&a, &b, &c, t);
    }
}

/* Golden section's part of an interval. */
#define GOLDEN_PART 0.3819660112501051

struct hump {
    double lo, hi;
    struct root_end best, second, third;
    double step, before; /* the last two steps */
};

/* The vertex of the parabola through the three best points, as a step from
 * the best; NaN when it is not to be trusted. */
static double parabola_step(const struct hump *h, double x_tol)
{
    double r = (h->best.x - h->second.x) * (h->best.f - h->third.f);
    double q = (h->best.x - h->third.x) * (h->best.f - h->second.f);
    double p = (h->best.x - h->third.x) * q - (h->best.x - h->second.x) * r;
    double step = -p / (2 * (q - r));
    double x = h->best.x + step;

    if (!isfinite(step) || fabs(step) >= 0.5 * fabs(h->before) ||
        !(x > h->lo + x_tol && x < h->hi - x_tol))
        return (double)NAN;
    return step;
}

static void hump_take(struct hump *h, struct root_end t)
{
    if (t.f >= h->best.f) {
        *(t.x >= h->best.x ? &h->lo : &h->hi) = h->best.x;
        h->third = h->second;
        h->second = h->best;
        h->best = t;
        return;
    }
    *(t.x < h->best.x ? &h->lo : &h->hi) = t.x;
    if (t.f >= h->second.f || h->second.x == h->best.x) {
        h->third = h->second;
        h->second = t;
    } else if (t.f >= h->third.f || h->third.x == h->best.x ||
               h->third.x == h->second.x) {
        h->third = t;
    }
}

/* Brent's end: the best point is within the tolerance of both ends. */
static bool is_narrow(const struct hump *h, double x_tol)
{
    return fabs(h->best.x - 0.5 * (h->lo + h->hi)) + 0.5 * (h->hi - h->lo) <=
           2 * x_tol;
}

enum status root_hump(root_function *f, void *context, double lo, double hi,
                      double x_tol, struct root *out, struct err *err)
{
    struct hump h = {.lo = lo, .hi = hi};
    int calls = 1;

    h.best.x = lo + GOLDEN_PART * (hi - lo);
    h.best.f = f(h.best.x, context);
    h.second = h.third = h.best;
    while (isfinite(h.best.f) && !is_narrow(&h, x_tol) &&
           calls < TOL_ROOT_CALLS) {
        double step = parabola_step(&h, x_tol);

        if (isnan(step)) {
            bool right = h.best.x < 0.5 * (h.lo + h.hi);
            h.before = (right ? h.hi : h.lo) - h.best.x;
            step = GOLDEN_PART * h.before;
        } else {
            h.before = h.step;
        }
        h.step = step;
        if (fabs(step) < x_tol)
            step = copysign(x_tol, step);
        struct root_end t = {h.best.x + step, 0};
        t.f = f(t.x, context);
        calls++;
        if (!isfinite(t.f))
            return err_set(err, ST_RANGE, "no function value at %.9g", t.x);
        hump_take(&h, t);
    }
    if (!isfinite(h.best.f))
        return err_set(err, ST_RANGE, "no function value at %.9g", h.best.x);
    *out = (struct root){h.best.x, h.best.f, calls};
    return ST_OK;
}
