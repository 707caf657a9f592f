/* The stable branch is followed down from the greatest gas rate: there the
 * crossing is unique, and the branch ends below either at no gas or at a fold,
 * the threshold at which flow starts. Between the points the branch is
 * halved, along gas where it is flat and along rate where it is steep, until
 * straight lines are near enough. */
#include "depth.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "num/root.h"
#include "num/tol.h"
#include "well/operate.h"

/* The branch goes down in gas, so many steps at least, each of which leaves
 * this part; then down in rate, in steps that leave that part. */
#define FIRST_STEPS 3
#define STEP_DOWN 0.44
#define WALK_DOWN 0.6
/* A rate just below a fold that is less than this part of the fold's belongs
 * to another branch. */
#define SAME_BRANCH 0.97

struct sample {
    double gas, liquid; /* Sm3/s */
    double p_inject_pa;
};

struct builder {
    const struct well *well;
    double gas_max, liquid_min, liquid_max;
    struct sample *sample; /* [CURVE_POINTS] rising in gas */
    size_t n;
    /* Slopes of the excess pressure from the last solution: the first guess
     * of the next secant. */
    double per_liquid, per_gas;
    struct curve_count *count;
    struct err *err;
    enum status status; /* first failure; everything stops on it */
};

static void add_count(struct builder *b, int traverses,
                      const struct march_count *march)
{
    b->count->traverses += traverses;
    march_count_add(&b->count->march, march);
}

static double excess(struct builder *b, double liquid, double gas,
                     double *p_inject_pa)
{
    struct traverse t;
    double f;
    enum status st = operate_excess(b->well, liquid, gas, &f, &t, b->err);

    add_count(b, 1, &t.count);
    if (st != ST_OK && b->status == ST_OK)
        b->status = st;
    *p_inject_pa = t.p_inject_pa;
    return f;
}

/* --- one unknown along the branch ----------------------------------------- */

/* The sample of which one coordinate is known: the other is free. */
struct unknown {
    struct builder *builder;
    struct sample s;
    bool is_gas; /* the free one */
};

static double *free_one(struct unknown *u)
{
    return u->is_gas ? &u->s.gas : &u->s.liquid;
}

static double excess_at(double x, void *context)
{
    struct unknown *u = context;

    *free_one(u) = x;
    return excess(u->builder, u->s.liquid, u->s.gas, &u->s.p_inject_pa);
}

/* A slope kept from the last solution may be off by this part. */
#define SLOPE_DOUBT 0.1

/* Secant steps from u->s. A step leaves an error of the order of its product
 * with the step before; the one that leaves less than TOL_SECANT_REL is taken
 * without another traverse. False when it wanders out of [lo, hi]. */
static bool secant(struct unknown *u, double lo, double hi)
{
    double *slope = u->is_gas ? &u->builder->per_gas : &u->builder->per_liquid;
    double x = fmin(fmax(*free_one(u), lo), hi);
    double f = excess_at(x, u), k = *slope, before = SLOPE_DOUBT * x;

    if (k == 0) {
        double nudge = x + 1e-3 * (hi - x > x - lo ? hi - x : lo - x);
        k = (excess_at(nudge, u) - f) / (nudge - x);
    }
    for (int i = 0; i < TOL_SECANT_STEPS; i++) {
        double step = -f / k, next = x + step;

        /* A stable crossing: less excess with more rate, more with gas. */
        if (!(next > lo && next < hi) || u->builder->status != ST_OK ||
            (u->is_gas ? !(k > 0) : !(k < 0)))
            return false;
        if (fabs(step * before) <= TOL_SECANT_REL * next * next) {
            *free_one(u) = next;
            *slope = k;
            return true;
        }
        double f_next = excess_at(next, u);
        k = (f_next - f) / step;
        before = step;
        x = next;
        f = f_next;
    }
    return false;
}

/* Rate at s->gas on the branch of s->liquid, which is near. False: not there.
 */
static bool track(struct builder *b, struct sample *s)
{
    struct unknown u = {b, *s, false};
    double near = 1.5;

    if (!secant(&u, fmax(s->liquid / near, b->liquid_min),
                fmin(s->liquid * near, b->liquid_max)))
        return false;
    *s = u.s;
    return true;
}

/* The highest stable rate at s->gas, from s->liquid as a guess or from none
 * (0). False: the well is dead there. */
static bool rate_at(struct builder *b, struct sample *s)
{
    struct operating o;

    if (s->liquid > 0 && track(b, s))
        return true;
    if (b->status != ST_OK)
        return false;
    b->status = operate_highest(b->well, s->gas, 1, &o, b->err);
    add_count(b, o.traverses, &o.count);
    if (b->status != ST_OK || o.stable < 0)
        return false;
    b->per_liquid = 0;
    s->liquid = o.crossing[o.stable].liquid_sm3s;
    s->p_inject_pa = o.crossing[o.stable].p_inject_pa;
    return true;
}

/* A root between two values of the free coordinate that are known to have
 * one on either side. */
static void close_in(struct unknown *u, struct root_end a, struct root_end b)
{
    struct builder *to = u->builder;
    struct root r = {0};

    to->status = root_find(excess_at, u, a, b, TOL_RATE_REL * fmax(a.x, b.x),
                           &r, to->err);
    *(u->is_gas ? &to->per_gas : &to->per_liquid) = 0;
    *free_one(u) = r.x;
}

enum gas_side { GAS_FOUND, GAS_LESS, GAS_MORE };

/* The gas that s->liquid needs, from s->gas as a guess: found between lo and
 * hi, or less than lo, or more than hi. */
static enum gas_side gas_at(struct builder *b, struct sample *s, double lo,
                            double hi)
{
    struct unknown u = {b, *s, true};

    if (!secant(&u, lo, hi)) {
        struct root_end below = {lo, excess_at(lo, &u)};
        struct root_end above = {hi, excess_at(hi, &u)};

        if (b->status != ST_OK || above.f <= 0)
            return GAS_MORE;
        if (below.f > 0)
            return GAS_LESS;
        close_in(&u, below, above);
    }
    *s = u.s;
    return b->status == ST_OK ? GAS_FOUND : GAS_MORE;
}

/* --- the samples ---------------------------------------------------------- */

static void insert(struct builder *b, const struct sample *s)
{
    size_t i = b->n;

    if (b->n == CURVE_POINTS)
        return;
    while (i > 0 && b->sample[i - 1].gas > s->gas)
        i--;
    if (i > 0 && !(s->gas > b->sample[i - 1].gas))
        return; /* the same gas rate twice */
    memmove(&b->sample[i + 1], &b->sample[i], (b->n - i) * sizeof b->sample[0]);
    b->sample[i] = *s;
    b->n++;
}

/* Less excess at a little more rate: the branch, not the unstable side of a
 * fold. */
static bool is_stable(struct builder *b, const struct sample *s)
{
    double p_inject_pa;

    return excess(b, s->liquid * (1 + TOL_HUMP_REL), s->gas, &p_inject_pa) < 0;
}

/* --- the lower end -------------------------------------------------------- */

struct fold {
    struct builder *builder;
    double gas_above; /* the fold lies below it */
    struct sample least;
};

/* Minus the gas that a rate needs: its top is the fold. Where even gas_above
 * does not do, less by how much pressure is missing. */
static double gas_spared(double liquid, void *context)
{
    struct fold *f = context;
    struct builder *b = f->builder;
    struct sample s = {f->least.gas, liquid, 0};
    double p_inject_pa;

    if (gas_at(b, &s, 0, f->gas_above) != GAS_FOUND) {
        double missing = excess(b, liquid, f->gas_above, &p_inject_pa);
        return -f->gas_above * (1 + fabs(missing) / b->well->inflow.p_res_pa);
    }
    if (s.gas < f->least.gas)
        f->least = s;
    return -s.gas;
}

/* The sample of least gas between two rates, one on each side of the fold. */
static void add_fold(struct builder *b, double gas_above, double liquid_lo,
                     double liquid_hi)
{
    struct fold f = {b, gas_above, b->sample[0]};
    struct root top;

    if (b->status == ST_OK)
        b->status = root_hump(gas_spared, &f, liquid_lo, liquid_hi,
                              TOL_FOLD_REL * liquid_hi, &top, b->err);
    if (b->status == ST_OK)
        insert(b, &f.least);
}

/* Down the branch in rate from its lowest sample, as long as less rate needs
 * less gas: to no gas at all, to the floor where a well is called dead, or to
 * a fold. True: to a fold. */
static bool walk_to_fold(struct builder *b)
{
    double floor = b->liquid_min;
    struct sample here = b->sample[0], above = b->sample[b->n > 1];

    b->per_gas = 0;
    while (here.liquid > floor && here.gas > 0 && b->status == ST_OK) {
        double less = fmax(floor, WALK_DOWN * here.liquid);
        double part = (less - here.liquid) / (above.liquid - here.liquid);
        double straight = here.gas + part * (above.gas - here.gas);
        struct sample s = {fmax(straight, 0.5 * here.gas), less, 0};
        enum gas_side side = gas_at(b, &s, 0, here.gas);

        if (side == GAS_LESS) {
            s = (struct sample){0, 0.5 * (less + here.liquid), 0};
            if (rate_at(b, &s))
                insert(b, &s);
            return false;
        }
        if (side == GAS_MORE || !is_stable(b, &s)) {
            add_fold(b, above.gas, less, above.liquid);
            return true;
        }
        insert(b, &s);
        above = here;
        here = s;
    }
    return false;
}

/* Just below a fold: is there a lower branch that goes on? Then its upper end
 * is the lowest sample from now on. */
static bool add_lower_branch(struct builder *b)
{
    struct sample fold = b->sample[0], s = fold;
    double step = TOL_CURVE_GAS * b->gas_max;
    size_t n = b->n;

    /* A fold with a sharp edge is not found to the last digit: further down
     * while this is still its branch. */
    while (s.liquid >= SAME_BRANCH * fold.liquid && step < fold.gas) {
        s = (struct sample){fold.gas - step, 0, 0};
        if (!rate_at(b, &s))
            break;
        insert(b, &s);
        step *= 4;
    }
    return b->n > n;
}

/* --- the branch ----------------------------------------------------------- */

/* The sample of greatest gas: at gas_max or, when friction kills the well
 * before, at the last rate that flows. False: dead at every rate tried. */
static bool add_top(struct builder *b, enum curve_end *end)
{
    struct sample s = {b->gas_max, 0, 0};
    double gas_dies = 0;

    *end = CURVE_END_MAXIMUM;
    for (int halved = 0; !rate_at(b, &s); halved++) {
        if (halved == CURVE_HALVINGS || b->status != ST_OK || s.gas == 0)
            return false;
        gas_dies = s.gas;
        s = (struct sample){s.gas / 2, 0, 0};
    }
    if (gas_dies > 0)
        *end = CURVE_END_DIES;
    while (gas_dies - s.gas > TOL_CURVE_GAS * b->gas_max) {
        struct sample t = {0.5 * (s.gas + gas_dies), s.liquid, 0};

        if (rate_at(b, &t))
            s = t;
        else
            gas_dies = t.gas;
    }
    insert(b, &s);
    return b->status == ST_OK;
}

/* Straight on from the two lowest samples. */
static double guess_below(const struct builder *b, double gas)
{
    const struct sample *s = b->sample;

    if (b->n < 2)
        return s[0].liquid;
    double slope = (s[1].liquid - s[0].liquid) / (s[1].gas - s[0].gas);
    double liquid = s[0].liquid + slope * (gas - s[0].gas);
    return fmin(fmax(liquid, 0.7 * s[0].liquid), 1.4 * s[0].liquid);
}

/* At the lowest samples the well has too much gas. */
static bool is_choked(const struct builder *b)
{
    return b->n < 2 || b->sample[0].liquid > b->sample[1].liquid;
}

/* Down in gas, past the peak. The greatest gas at which the well was found
 * dead, 0 for none. */
static double add_first_steps(struct builder *b)
{
    double gas_dead = 0;

    for (int i = 0; i < FIRST_STEPS || is_choked(b); i++) {
        double gas = b->sample[0].gas;
        bool choked = is_choked(b);
        struct sample s = {gas_dead + STEP_DOWN * (gas - gas_dead), 0, 0};

        if (gas - s.gas <= TOL_CURVE_GAS * b->gas_max)
            break;
        s.liquid = guess_below(b, s.gas);
        if (choked ? rate_at(b, &s) : track(b, &s))
            insert(b, &s);
        else if (choked && b->status == ST_OK)
            gas_dead = s.gas;
        else
            break;
    }
    return gas_dead;
}

static void add_branch(struct builder *b)
{
    double gas_dead = add_first_steps(b);
    struct sample s = {0, guess_below(b, 0), 0};

    if (b->status == ST_OK && gas_dead == 0 && track(b, &s)) {
        insert(b, &s);
        return;
    }
    for (int i = 0; i < OPERATE_MAX && walk_to_fold(b); i++)
        if (b->status != ST_OK || !add_lower_branch(b))
            return;
}

static double rate_of_gas(double gas, void *context)
{
    struct unknown *u = context;

    u->s.gas = gas;
    return rate_at(u->builder, &u->s) ? u->s.liquid : 0;
}

static size_t top_sample(const struct builder *b)
{
    size_t top = 0;

    for (size_t i = 1; i < b->n; i++)
        if (b->sample[i].liquid > b->sample[top].liquid)
            top = i;
    return top;
}

/* The greatest sample is an end of the curve, and the curve rises towards it:
 * no peak inside. */
static bool is_peak_at_end(struct builder *b, size_t top)
{
    size_t inside = top == 0 ? 1 : top - 1;
    struct sample s = b->sample[top];

    if (top > 0 && top + 1 < b->n)
        return false;
    s.gas += TOL_PEAK_REL * (b->sample[inside].gas - s.gas);
    return !rate_at(b, &s) || s.liquid <= b->sample[top].liquid;
}

static void add_peak(struct builder *b)
{
    size_t i = top_sample(b);
    size_t lo = i > 0 ? i - 1 : 0, hi = i + 1 < b->n ? i + 1 : i;
    struct unknown u = {b, b->sample[i], false};
    struct root top;

    if (b->status != ST_OK || b->n < 2 || is_peak_at_end(b, i))
        return;
    b->status = root_hump(rate_of_gas, &u, b->sample[lo].gas, b->sample[hi].gas,
                          TOL_PEAK_REL * b->sample[hi].gas, &top, b->err);
    if (b->status != ST_OK || top.f <= b->sample[i].liquid)
        return;
    u.s = (struct sample){top.x, top.f, 0};
    if (rate_at(b, &u.s))
        insert(b, &u.s);
}

/* --- halving -------------------------------------------------------------- */

#define CUBIC 4 /* samples that it goes through */

/* The samples around the piece that ends at sample i, up to CUBIC of them and
 * none from beyond a jump. Returns the first. */
static size_t samples_around(const struct builder *b, size_t i, size_t *n)
{
    const struct sample *s = b->sample;
    double jump = 2 * TOL_CURVE_GAS * b->gas_max;
    size_t from = i - 1, to = i + 1;

    while (to - from < CUBIC) {
        bool down = from > 0 && s[from].gas - s[from - 1].gas > jump;
        bool up = to < b->n && s[to].gas - s[to - 1].gas > jump;

        if (!down && !up)
            break;
        if (down && (!up || to - i >= i - from))
            from--;
        else
            to++;
    }
    *n = to - from;
    return from;
}

/* The sample at a liquid rate, or at a gas rate, by the cubic through the
 * samples around: costs no traverse. */
static struct sample foresee(const struct builder *b, double x, bool at_liquid)
{
    const struct sample *s = b->sample;
    size_t i = 1, n;
    struct sample sum = {0};

    while (i < b->n - 1 && (at_liquid ? s[i].liquid : s[i].gas) < x)
        i++;
    s += samples_around(b, i, &n);
    for (size_t j = 0; j < n; j++) {
        double weight = 1;

        for (size_t k = 0; k < n; k++) {
            double at_k = at_liquid ? s[k].liquid : s[k].gas;
            double at_j = at_liquid ? s[j].liquid : s[j].gas;
            if (k != j)
                weight *= (x - at_k) / (at_j - at_k);
        }
        sum.gas += weight * s[j].gas;
        sum.liquid += weight * s[j].liquid;
        sum.p_inject_pa += weight * s[j].p_inject_pa;
    }
    *(at_liquid ? &sum.liquid : &sum.gas) = x;
    return sum;
}

/* A stretch of the branch between two neighbours. Where it is steep it is
 * halved along rate, where it is flat along gas. */
struct piece {
    struct sample lo, hi;
    double peak;
    bool steep;
    /* How far the cubic was off in the middle of the piece of which this is a
     * half, as a part of the peak; HUGE_VAL for a first piece. */
    double missed;
};

/* A steep piece: parts of the peak per part of the gas range. */
#define STEEP 5.0

static struct piece piece_of(const struct builder *b, struct sample lo,
                             struct sample hi, double peak, double missed)
{
    double rise = (hi.liquid - lo.liquid) / peak;

    return (struct piece){
        lo, hi, peak, rise > STEEP * (hi.gas - lo.gas) / b->gas_max, missed};
}

static struct sample chord(const struct piece *p)
{
    return (struct sample){0.5 * (p->lo.gas + p->hi.gas),
                           0.5 * (p->lo.liquid + p->hi.liquid),
                           0.5 * (p->lo.p_inject_pa + p->hi.p_inject_pa)};
}

/* By the cubic, or by the chord where the cubic leaves the piece. */
static struct sample foresee_middle(const struct builder *b,
                                    const struct piece *p)
{
    struct sample middle = chord(p);
    struct sample cubic =
        foresee(b, p->steep ? middle.liquid : middle.gas, p->steep);
    bool sane = p->steep ? cubic.gas > p->lo.gas && cubic.gas < p->hi.gas
                         : fabs(cubic.liquid - middle.liquid) <
                               fabs(p->hi.liquid - p->lo.liquid);

    return sane ? cubic : middle;
}

/* Distance between two samples of the same rate, when steep, or gas: in rate,
 * as a part of the peak. */
static double apart(const struct piece *p, struct sample a, struct sample b)
{
    double liquid = b.liquid - a.liquid;

    if (p->steep)
        liquid = (b.gas - a.gas) * (p->hi.liquid - p->lo.liquid) /
                 (p->hi.gas - p->lo.gas);
    return fabs(liquid) / p->peak;
}

/* A sample that the cubic misses by more than this part of the peak may lie on
 * another branch. */
#define BRANCH_DOUBT 0.02

/* In halves the cubic errs so many times less. One that seems to gain more has
 * met the branch by chance, as it does next to a kink. */
#define CUBIC_GAINS 16

/* The middle by the model, from the one foreseen; along gas where a jump lies
 * in a steep piece. */
static bool solve_middle(struct builder *b, struct piece *p,
                         struct sample *middle)
{
    bool doubtful = p->missed > BRANCH_DOUBT;
    struct sample seen = *middle;

    if (p->steep && !(gas_at(b, middle, p->lo.gas, p->hi.gas) == GAS_FOUND &&
                      (!doubtful || is_stable(b, middle)))) {
        p->steep = false;
        *middle = seen = foresee_middle(b, p);
    }
    if (!p->steep) {
        /* Not from between two branches: the higher one holds. */
        if (doubtful)
            middle->liquid = fmax(p->lo.liquid, p->hi.liquid);
        if (b->status != ST_OK || !rate_at(b, middle))
            return false;
    }
    double before = isinf(p->missed) ? 0 : p->missed;
    p->missed = fmax(apart(p, seen, *middle), before / CUBIC_GAINS);
    return b->status == ST_OK;
}

/* Of the tolerance: how near the cubic must have foreseen the middle of a
 * piece to be taken for the model in its halves; and how near to the chord it
 * must then be to end the halving. */
#define CUBIC_TRUST 0.25
#define CUBIC_NEAR 0.75

static void halve(struct builder *b, struct piece p)
{
    struct sample middle = foresee_middle(b, &p);
    bool trusted = p.missed <= CUBIC_TRUST * TOL_CURVE_PEAK;

    if (trusted && apart(&p, middle, chord(&p)) <= CUBIC_NEAR * TOL_CURVE_PEAK)
        return;
    if (p.hi.gas - p.lo.gas <= TOL_CURVE_GAS * b->gas_max ||
        (!trusted && !solve_middle(b, &p, &middle)))
        return;
    insert(b, &middle);
    halve(b, piece_of(b, p.lo, middle, p.peak, p.missed));
    halve(b, piece_of(b, middle, p.hi, p.peak, p.missed));
}

static void halve_all(struct builder *b)
{
    struct sample first[CURVE_POINTS];
    size_t n = b->n;
    double peak = b->sample[top_sample(b)].liquid;

    memcpy(first, b->sample, n * sizeof first[0]);
    for (size_t i = 0; i + 1 < n; i++)
        halve(b, piece_of(b, first[i], first[i + 1], peak, HUGE_VAL));
}

/* --- the curve ------------------------------------------------------------ */

static void write_curve(const struct builder *b, struct arena *a,
                        struct curve *c)
{
    const struct well *w = b->well;
    double *column[6];

    for (size_t k = 0; k < 6; k++)
        column[k] = ARENA_NEW(a, b->n, double);
    for (size_t i = 0; i < b->n; i++) {
        const struct sample *s = &b->sample[i];
        struct stream made = well_stream(w, s->liquid, 0);

        column[0][i] = s->gas;
        column[1][i] = made.oil_sm3s;
        column[2][i] = made.water_sm3s;
        column[3][i] = made.gas_sm3s;
        column[4][i] = inflow_pressure_pa(&w->inflow, s->liquid);
        column[5][i] = s->p_inject_pa;
    }
    c->n = b->n;
    c->gas_sm3s = column[0];
    c->oil_sm3s = column[1];
    c->water_sm3s = column[2];
    c->formation_sm3s = column[3];
    c->p_bottom_pa = column[4];
    c->p_inject_pa = column[5];
    c->peak = b->n ? top_sample(b) : 0;
    if (b->n) {
        c->gas_max_sm3s = c->gas_sm3s[b->n - 1];
        c->gas_min_sm3s = c->gas_sm3s[0];
        c->tolerance_sm3s = TOL_CURVE_PEAK * c->oil_sm3s[c->peak];
    }
}

enum status depth_build(const struct well *w, double gas_max_sm3s,
                        struct arena *a, struct curve *out,
                        struct curve_count *count, struct err *err)
{
    struct sample sample[CURVE_POINTS];
    double q_max = inflow_max_sm3s(&w->inflow);
    struct builder b = {.well = w,
                        .gas_max = gas_max_sm3s,
                        .liquid_min = TOL_RATE_FLOOR * q_max,
                        .liquid_max = TOL_RATE_CEILING * q_max,
                        .sample = sample,
                        .count = count,
                        .err = err,
                        .status = ST_OK};

    *out = (struct curve){.well = w->name,
                          .source = CURVE_MODEL,
                          .p_head_pa = w->p_head_pa,
                          .gas_max_sm3s = gas_max_sm3s,
                          .operating = w->operating};
    if (!(w->water_cut >= 1) && add_top(&b, &out->end)) {
        add_branch(&b);
        add_peak(&b);
        if (b.status == ST_OK)
            halve_all(&b);
    }
    if (b.status == ST_OK)
        write_curve(&b, a, out);
    return b.status;
}
