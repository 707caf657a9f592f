/* Prices near those of the best mixture, before its simplex. */
#include "mixture_parts.h"

#include <string.h>

#include "inverse.h"

void mixture_sum(struct mixture *m)
{
    size_t k = m->tied->n_rows;
    memset(m->sum, 0, k * sizeof *m->sum);
    for (size_t i = 0; i < m->tied->n; i++)
        for (size_t r = 0; r < k; r++)
            m->sum[r] += part_of_key(m, i)[r];
}

/* Keys where the wells yield most at the prices. */
static void set_keys(struct mixture *m)
{
    const struct tied_wells *t = m->tied;
    for (size_t i = 0; i < t->n; i++) {
        struct pick *key = &m->key[i];
        *key = ask_well(m, i);
        key->worth = worth_at_pick(m, i, key);
        find_part(m, i, key, part_of_key(m, i));
    }
    mixture_sum(m);
}

static void find_means(struct mixture *m)
{
    const struct tied_wells *t = m->tied;
    double size = 0;
    for (size_t i = 0; i < t->n; i++)
        size += fabs(m->key[i].worth);
    m->size = size / (double)t->n;
    for (size_t r = 0; r < t->n_rows; r++) {
        double sum = 0;
        for (size_t i = 0; i < t->n; i++)
            sum += fabs(part_of_key(m, i)[r]);
        m->mean[r] = size > 0 && sum > 0 ? size / sum : 1;
    }
}

static double past_of(const struct mixture *m, size_t row)
{
    return m->sum[row] - m->tied->high[row];
}

/* The row that is passed most for its size; n_rows: none. */
static size_t most_passed(const struct mixture *m)
{
    size_t worst = m->tied->n_rows;
    double most = 0;
    for (size_t r = 0; r < m->tied->n_rows; r++) {
        double high = m->tied->high[r], past = past_of(m, r);
        if (past > slack(high) && past / fmax(high, slack(high)) > most) {
            most = past / fmax(high, slack(high));
            worst = r;
        }
    }
    return worst;
}

/* What the wells make of the prices, near the answer: how their uses of the
 * rows differ from the bounds, and fall with the prices. */
struct response {
    double *past; /* [n_rows] */
    double *fall; /* [n_rows][n_rows] */
};

/* A chain's yield round its best point as the parabola through it and its two
 * neighbours; at its top the well would stand if points lay close. */
static void add_response(struct mixture *m, size_t well,
                         const struct response *out)
{
    size_t k = m->tied->n_rows;
    const struct tied_well *w = &m->tied->well[well];
    struct pick pick = m->key[well];
    const struct mode *mode = &w->menu->mode[pick.mode];
    if (!mode->is_chain || pick.point == 0 || pick.point + 1 == mode->n)
        return;
    struct well_worth charged = tied_charged(w, m->price);
    const struct use *u = &mode->point[pick.point];
    double worth = worth_of_point(&charged, u, mode);
    double below = u->gas - u[-1].gas, above = u[1].gas - u->gas;
    double rise = (worth - worth_of_point(&charged, u - 1, mode)) / below;
    double drop = (worth - worth_of_point(&charged, u + 1, mode)) / above;
    double bend = 2 * (rise + drop) / (below + above);
    if (!(bend > 0))
        return;
    double top = rise / bend - 0.5 * below;
    pick.point--;
    find_part(m, well, &pick, m->part);
    for (size_t r = 0; r < k; r++)
        m->column[r] = (part_of_key(m, well)[r] - m->part[r]) / below;
    for (size_t r = 0; r < k; r++) {
        out->past[r] += top * m->column[r];
        for (size_t s = 0; s < k; s++)
            out->fall[r * k + s] += m->column[r] * m->column[s] / bend;
    }
}

/* Changes of the prices of rows that are past or have one, so that they are
 * just met. false: the wells do not say. */
static bool newton_step(struct mixture *m, const struct response *now,
                        double *change)
{
    size_t k = m->tied->n_rows, n = 0, *row = m->active;
    size_t worst = most_passed(m);
    for (size_t r = 0; r < k; r++)
        if ((m->price[r] > 0 || r == worst) && now->fall[r * k + r] > 0)
            row[n++] = r;
    memset(m->work, 0, 2 * n * n * sizeof *m->work);
    for (size_t i = 0; i < n; i++) {
        m->work[i * 2 * n + n + i] = 1;
        for (size_t j = 0; j < n; j++)
            m->work[i * 2 * n + j] = now->fall[row[i] * k + row[j]];
        m->work[i * 2 * n + i] *= 1 + MIXTURE_RIDGE;
    }
    memset(change, 0, k * sizeof *change);
    if (n == 0 || !inverse_make(n, m->work, m->inverse))
        return false;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            change[row[i]] += m->inverse[i * n + j] * now->past[row[j]];
    return true;
}

/* How far the rows are from being met at their prices, for their size. */
static double distance(const struct mixture *m)
{
    double most = 0;
    for (size_t r = 0; r < m->tied->n_rows; r++) {
        double past = past_of(m, r), high = m->tied->high[r];
        double gap = m->price[r] > 0 ? fabs(past) : past;
        most = fmax(most, gap / fmax(high, slack(high)));
    }
    return most;
}

/* Newton's method for the prices, as if the chains were smooth. Where a step
 * leads away, wells were switched by it: half of it is as good as any, and the
 * end; not in the first steps of a start from nothing, in which rows take
 * turns. */
static void approach(struct mixture *m, bool is_known)
{
    size_t k = m->tied->n_rows;
    struct response now = {m->before, m->fall};
    size_t blind = is_known ? 0 : k + 1, steps = blind + MIXTURE_NEWTON;
    double far = distance(m), nearest = (double)INFINITY;
    for (size_t i = 0; i < steps && (i < blind || far < nearest); i++) {
        nearest = far;
        memset(now.fall, 0, k * k * sizeof *now.fall);
        for (size_t r = 0; r < k; r++)
            now.past[r] = past_of(m, r);
        for (size_t w = 0; w < m->tied->n; w++)
            add_response(m, w, &now);
        if (!newton_step(m, &now, m->rate))
            return;
        memcpy(m->older, m->price, k * sizeof *m->older);
        for (size_t r = 0; r < k; r++) {
            double most = 2 * fmax(m->price[r], MIXTURE_LEAP * m->mean[r]);
            m->price[r] = fmin(fmax(m->price[r] + m->rate[r], 0), most);
        }
        set_keys(m);
        far = distance(m);
    }
    if (far < nearest)
        return;
    for (size_t r = 0; r < k; r++)
        m->price[r] = 0.5 * (m->price[r] + m->older[r]);
    set_keys(m);
}

void mixture_approach(struct mixture *m, const double *price,
                      const struct pick *near)
{
    const struct tied_wells *t = m->tied;
    for (size_t r = 0; r < t->n_rows; r++) {
        bool is_known = price != NULL && isfinite(price[r]);
        m->price[r] = is_known ? fmax(price[r], 0) : 0;
    }
    memcpy(m->key, near, t->n * sizeof *near);
    set_keys(m);
    find_means(m);
    approach(m, price != NULL);
}
