/* Dormand, J. R. & Prince, P. J. (1980), A family of embedded Runge-Kutta
 * formulae, J. Comp. Appl. Math. 6: 19-26, the pair of orders 5 and 4. */
#include "num/march.h"

#include <math.h>
#include <stdbool.h>

#include "num/root.h"
#include "num/tol.h"

#define STAGES 7

static const double node[STAGES] = {0,       1.0 / 5, 3.0 / 10, 4.0 / 5,
                                    8.0 / 9, 1,       1};
static const double weight[STAGES][STAGES - 1] = {
    {0},
    {1.0 / 5},
    {3.0 / 40, 9.0 / 40},
    {44.0 / 45, -56.0 / 15, 32.0 / 9},
    {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
    {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656},
    {35.0 / 384, 0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84},
};
/* Fifth order less fourth. */
static const double error_weight[STAGES] = {
    71.0 / 57600,      0,          -71.0 / 16695, 71.0 / 1920,
    -17253.0 / 339200, 22.0 / 525, -1.0 / 40};

/* Raises the cubic between the ends of a step to the pair's continuous
 * solution of order 4 (Hairer, Norsett & Wanner 1993, II.6, from memory;
 * its error was seen to fall with the fifth power of the step). */
static const double between_weight[STAGES] = {
    -12715105075.0 / 11282082432,  0,
    87487479700.0 / 32700410799,   -10690763975.0 / 1880347072,
    701980252875.0 / 199316789632, -1453857185.0 / 822651844,
    69997945.0 / 29380423};

/* Step control of the pair: safety, least and greatest change, 1/order. */
#define STEP_SAFETY 0.9
#define STEP_SHRINK 0.2
#define STEP_GROW 5.0
#define STEP_POWER (-0.2)
/* The first step changes y by about this part of it. A first try over the
 * whole way can by chance have an error estimate near zero where the error is
 * large (seen: 0.007 bar in one of 400 neighbouring rates). */
#define STEP_FIRST 0.3

struct march {
    const struct march_problem *problem;
    struct march_count *count;
    double whole; /* the way from x0 to x1 */
    double x, y;
    struct march_point here; /* at (x, y), in the frozen regime */
    /* The last event: where, and the regime left there. */
    double x_event;
    int left, events;
    bool slides; /* between the regimes here and left */
    double margin_tol;
};

struct trial {
    double h, y, error; /* error relative to what is allowed */
    double bulge;       /* of the continuous solution over the cubic */
    struct march_point end;
};

static struct march_point evaluate(struct march *m, double x, double y,
                                   int regime)
{
    struct march_point p;

    m->problem->at(x, y, regime, m->problem->context, &p);
    m->count->calls++;
    return p;
}

/* Where each of two regimes leads back into the other, the way goes along
 * their boundary: the mean of both slopes that keeps the margin (Filippov
 * 1988). The slide ends where that mean would take more than all of one. */
static struct march_point slide(struct march *m, double x, double y)
{
    double reach = TOL_MARCH_FEEL * m->whole;
    int regime = m->here.regime;
    struct march_point a = evaluate(m, x, y, regime);
    struct march_point b = evaluate(m, x, y, m->left);
    double from_a =
        evaluate(m, x + reach, y + reach * a.slope, regime).margin - a.margin;
    double from_b =
        evaluate(m, x + reach, y + reach * b.slope, regime).margin - a.margin;
    double part = from_b / (from_b - from_a);

    return (struct march_point){b.slope + part * (a.slope - b.slope),
                                fmin(part, 1 - part), regime};
}

/* In the regime of this step. */
static struct march_point frozen(struct march *m, double x, double y)
{
    return m->slides ? slide(m, x, y) : evaluate(m, x, y, m->here.regime);
}

/* One step of length h in the frozen regime; error NaN when a stage left the
 * model. */
static void take_step(struct march *m, double h, struct trial *t)
{
    double k[STAGES] = {m->here.slope};
    double y = m->y, e = error_weight[0] * k[0];
    double bulge = between_weight[0] * k[0];

    for (int s = 1; s < STAGES; s++) {
        double sum = 0;

        for (int j = 0; j < s; j++)
            sum += weight[s][j] * k[j];
        y = m->y + h * sum;
        t->end = frozen(m, m->x + node[s] * h, y);
        k[s] = t->end.slope;
        e += error_weight[s] * k[s];
        bulge += between_weight[s] * k[s];
    }
    t->h = h;
    t->y = y;
    t->bulge = h * bulge;
    t->error = fabs(h * e) / (m->problem->rel_tol * fmax(fabs(m->y), fabs(y)));
}

/* The continuous solution inside a step. */
static double between(const struct march *m, const struct trial *t, double part)
{
    double d = t->y - m->y, s = 1 - part, hat = part * s;

    return m->y + part * d +
           hat * (s * (t->h * m->here.slope - d) -
                  part * (t->h * t->end.slope - d) + hat * t->bulge);
}

/* The part of the step at which the margin is just below 0, on the continuous
 * solution. A first secant from near an end would crawl: a step that begins on
 * another boundary has a margin near 0 there. */
static double locate(struct march *m, const struct trial *t)
{
    double aim = 0.5 * m->margin_tol;
    struct root_end a = {1, t->end.margin + aim}, c;
    struct root_end b = {0, fmax(m->here.margin, 0) + aim};
    double part = fmin(0.9, fmax(0.1, a.f / (a.f - b.f)));

    for (int i = 0; i < TOL_MARCH_LOCATE; i++) {
        struct root_end next = {a.x + part * (b.x - a.x), 0};

        next.f =
            frozen(m, m->x + next.x * t->h, between(m, t, next.x)).margin + aim;
        if (!(fabs(next.f) > aim))
            return next.x;
        part = root_narrow(&a, &b, &c, next);
    }
    return a.f < 0 ? a.x : b.x;
}

/* Retake the step so that it ends on the boundary, just outside. The trial
 * comes in as the step that went past it. */
static void step_to_boundary(struct march *m, struct trial *t)
{
    double aim = 0.5 * m->margin_tol;
    struct trial past = *t;
    double inside = 0, before = t->h, margin_before = t->end.margin;
    double h = locate(m, t) * t->h;

    for (int i = 0; i < TOL_MARCH_LOCATE; i++) {
        take_step(m, h, t);
        double margin = t->end.margin;

        if (margin < 0 && margin >= -m->margin_tol)
            return;
        if (margin < 0)
            past = *t;
        else
            inside = h;
        if (fabs(past.h - inside) <= TOL_MARCH_STEP_MIN * fabs(past.h))
            break;
        /* Secant through the last two, or half-way where it leaves the
         * bracket. */
        double next =
            h - (margin + aim) * (h - before) / (margin - margin_before);
        bool is_between = (next - inside) * (past.h - next) > 0;
        before = h;
        margin_before = margin;
        h = is_between ? next : 0.5 * (inside + past.h);
    }
    *t = past;
}

static double next_length(double h, double error)
{
    double factor = STEP_SAFETY * pow(error, STEP_POWER);

    return h * fmin(STEP_GROW, fmax(STEP_SHRINK, factor));
}

static double first_length(const struct march *m, double whole)
{
    double hint = m->problem->step_hint;
    double natural = STEP_FIRST * fabs(m->y / m->here.slope);

    return fmin(fmin(hint > 0 ? hint : whole, whole), natural);
}

static void see(const struct march *m)
{
    if (m->problem->seen)
        m->problem->seen(m->x, m->y, &m->here, m->problem->context);
}

static void move_to(struct march *m, const struct trial *t)
{
    m->x += t->h;
    m->y = t->y;
    m->here = t->end;
    m->count->steps++;
}

/* At a boundary: into the regime that holds there, or along the boundary when
 * the march comes right back to it. */
static void change_regime(struct march *m)
{
    int left = m->here.regime;
    struct march_point natural = evaluate(m, m->x, m->y, MARCH_NATURAL);
    bool is_back = !m->slides && natural.regime == m->left &&
                   fabs(m->x - m->x_event) < TOL_MARCH_SLIDE * fabs(m->whole);

    if (is_back)
        m->here = slide(m, m->x, m->y);
    m->slides = is_back && m->here.margin > 0;
    if (!m->slides) {
        m->here = natural;
        m->left = left;
    }
    m->x_event = m->x;
    m->count->events++;
    if (++m->events > TOL_MARCH_PATIENCE)
        m->margin_tol *= 2;
}

/* Move over an accepted trial, stopping at the regime's boundary if there is
 * one on the way. */
static void advance(struct march *m, struct trial *t)
{
    bool leaves = t->end.margin < -m->margin_tol;

    if (leaves)
        step_to_boundary(m, t);
    move_to(m, t);
    if (m->here.margin < 0)
        change_regime(m);
    see(m);
}

enum status march_run(const struct march_problem *problem, double x0, double x1,
                      double y0, double *y1, double *step_out,
                      struct march_count *count, struct err *err)
{
    double whole = x1 - x0, h;
    struct march m = {.problem = problem,
                      .count = count,
                      .whole = whole,
                      .x = x0,
                      .y = y0,
                      .left = MARCH_NATURAL,
                      .margin_tol = TOL_MARCH_MARGIN};
    int steps = 0;
    bool outside = false; /* the last trial left the model */

    m.here = evaluate(&m, x0, y0, MARCH_NATURAL);
    see(&m);
    h = copysign(first_length(&m, fabs(whole)), whole);
    while (whole != 0 && fabs(x1 - m.x) > TOL_MARCH_STEP_MIN * fabs(whole)) {
        struct trial t;
        double rest = x1 - m.x;
        bool is_last = fabs(h) >= fabs(rest) * (1 - TOL_MARCH_STEP_MIN);

        if (fabs(h) < TOL_MARCH_STEP_MIN * fabs(whole) ||
            ++steps > TOL_MARCH_STEPS || m.events > TOL_MARCH_EVENTS) {
            *y1 = m.y;
            return err_set(err, outside ? ST_RANGE : ST_NUMERIC,
                           "the march stands still at %.9g (value %.6g, step "
                           "%.3g)",
                           m.x, m.y, h);
        }
        take_step(&m, is_last ? rest : h, &t);
        outside = isnan(t.error);
        if (!(t.error <= 1)) {
            count->rejected++;
            h = next_length(t.h, isnan(t.error) ? HUGE_VAL : t.error);
            continue;
        }
        double longer = next_length(t.h, t.error);
        if (!is_last || fabs(longer) < fabs(h))
            h = longer;
        advance(&m, &t);
    }
    *y1 = m.y;
    if (step_out)
        *step_out = fabs(h);
    return ST_OK;
}
