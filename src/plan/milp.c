#include "milp.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/numtext.h"
#include "base/strbuf.h"

#define FIRST_CAP 64
#define TEXT_DIGITS 17

void milp_init(struct milp *m, struct arena *a)
{
    *m = (struct milp){.arena = a};
}

static void *grown(struct arena *a, const void *old, size_t n, size_t cap,
                   size_t size)
{
    void *larger = arena_new(a, cap, size);
    if (n > 0)
        memcpy(larger, old, n * size);
    return larger;
}

static size_t next_cap(size_t cap)
{
    return cap > 0 ? 2 * cap : FIRST_CAP;
}

size_t milp_add_row(struct milp *m, double low, double high)
{
    size_t n = m->n_rows;
    if (n == m->cap_rows) {
        size_t cap = m->cap_rows = next_cap(n);
        m->row_low = grown(m->arena, m->row_low, n, cap, sizeof(double));
        m->row_high = grown(m->arena, m->row_high, n, cap, sizeof(double));
    }
    m->row_low[n] = low;
    m->row_high[n] = high;
    return m->n_rows++;
}

size_t milp_add_column(struct milp *m, double low, double high, double cost,
                       bool whole)
{
    size_t n = m->n_columns;
    if (n == m->cap_columns) {
        size_t cap = m->cap_columns = next_cap(n);
        m->low = grown(m->arena, m->low, n, cap, sizeof(double));
        m->high = grown(m->arena, m->high, n, cap, sizeof(double));
        m->cost = grown(m->arena, m->cost, n, cap, sizeof(double));
        m->whole = grown(m->arena, m->whole, n, cap, sizeof(bool));
        m->start = grown(m->arena, m->start, n, cap, sizeof(size_t));
    }
    m->low[n] = low;
    m->high[n] = high;
    m->cost[n] = cost;
    m->whole[n] = whole;
    m->start[n] = m->n_terms;
    return m->n_columns++;
}

void milp_add_term(struct milp *m, size_t row, double value)
{
    assert(m->n_columns > 0);
    if (value == 0)
        return;
    size_t n = m->n_terms;
    if (n == m->cap_terms) {
        size_t cap = m->cap_terms = next_cap(n);
        m->term_row = grown(m->arena, m->term_row, n, cap, sizeof(size_t));
        m->term = grown(m->arena, m->term, n, cap, sizeof(double));
    }
    m->term_row[n] = row;
    m->term[n] = value;
    m->n_terms++;
}

size_t milp_column_end(const struct milp *m, size_t column)
{
    return column + 1 < m->n_columns ? m->start[column + 1] : m->n_terms;
}

static void add_number(struct strbuf *out, double value)
{
    char text[40];
    strbuf_add(out, numtext_short(value, TEXT_DIGITS, text, sizeof text));
}

/* As one of several summands. */
static void add_part(struct strbuf *out, double value, size_t column)
{
    strbuf_add(out, value < 0 ? " - " : " + ");
    add_number(out, fabs(value));
    strbuf_addf(out, " x%zu", column);
}

/* The terms of one row; a new line now and then, as readers cut long ones. */
static void write_row_terms(const struct milp *m, size_t row,
                            struct strbuf *out)
{
    size_t written = 0;
    for (size_t j = 0; j < m->n_columns; j++) {
        for (size_t t = m->start[j]; t < milp_column_end(m, j); t++) {
            if (m->term_row[t] != row)
                continue;
            add_part(out, m->term[t], j);
            strbuf_add(out, ++written % 8 == 0 ? "\n" : "");
        }
    }
    if (written == 0)
        strbuf_add(out, " 0 x0");
}

static void write_row(const struct milp *m, size_t row, const char *name,
                      const char *sense, double bound, struct strbuf *out)
{
    strbuf_addf(out, " %s%zu:", name, row);
    write_row_terms(m, row, out);
    strbuf_addf(out, " %s ", sense);
    add_number(out, bound);
    strbuf_add(out, "\n");
}

/* A row with two bounds is written twice. */
static void write_rows(const struct milp *m, struct strbuf *out)
{
    strbuf_add(out, "\nSubject To\n");
    for (size_t i = 0; i < m->n_rows; i++) {
        double low = m->row_low[i], high = m->row_high[i];
        if (low == high) {
            write_row(m, i, "r", "=", high, out);
            continue;
        }
        if (isfinite(high))
            write_row(m, i, "r", "<=", high, out);
        if (isfinite(low))
            write_row(m, i, "l", ">=", low, out);
    }
}

static void write_bounds(const struct milp *m, struct strbuf *out)
{
    strbuf_add(out, "Bounds\n");
    for (size_t j = 0; j < m->n_columns; j++) {
        strbuf_add(out, " ");
        add_number(out, m->low[j]);
        strbuf_addf(out, " <= x%zu <= ", j);
        add_number(out, m->high[j]);
        strbuf_add(out, "\n");
    }
}

void milp_write_lp(const struct milp *m, struct strbuf *out)
{
    strbuf_add(out, "Maximize\n obj:");
    for (size_t j = 0; j < m->n_columns; j++) {
        add_part(out, m->cost[j], j);
        strbuf_add(out, j % 8 == 7 ? "\n" : "");
    }
    write_rows(m, out);
    write_bounds(m, out);
    strbuf_add(out, "Generals\n");
    for (size_t j = 0; j < m->n_columns; j++)
        if (m->whole[j])
            strbuf_addf(out, " x%zu\n", j);
    strbuf_add(out, "End\n");
}
