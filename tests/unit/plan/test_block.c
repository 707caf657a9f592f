/* Blocks on made-up problems, against whole numbers by a solver library and
 * against every choice of modes in turn. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <string.h>

#include "../../../src/plan/block.h"
#include "../../../src/plan/lp_glpk.h"
#include "support/dice.h"

enum { MOST_WELLS = 12, MOST_ROWS = 6, MOST_OWN = MOST_ROWS + 1 };

/* A block that is the whole problem, with a row more that is shared. */
struct yard {
    struct arena arena;
    struct problem problem;
    struct limit_row row[N_FIELD_ROWS + MOST_OWN];
    struct own_row own[MOST_WELLS][MOST_OWN];
    struct bidder bidder[MOST_WELLS];
    const struct menu *menu[MOST_WELLS];
    size_t well[MOST_WELLS], block_row[MOST_ROWS];
    double row_price[N_FIELD_ROWS + MOST_OWN];
    struct worth worth;
    struct block block;
};

enum well_kind_drawn { OF_CHAINS, OF_LINES, OF_STEPS, N_DRAWN };

static struct use use_of(double gas, double oil, double water_ratio,
                         double gas_ratio)
{
    return (struct use){gas, oil, water_ratio * oil, gas_ratio * oil};
}

static void add_mode(struct menu *m, const struct use *point, size_t n,
                     bool moved, bool is_chain)
{
    size_t i = m->n_modes++;
    m->mode[i] = (struct mode){
        .n = n,
        .point = point,
        .moved = moved,
        .runs = point[n - 1].gas > 0 || point[n - 1].oil > 0,
        .is_chain = is_chain,
        .origin = i,
    };
}

/* Concave: slopes fall from point to point. */
static void add_chain(struct yard *y, struct dice *d, struct menu *m,
                      double gas, double oil, bool is_coarse)
{
    size_t n = 2 + dice_index(d, 6);
    struct use *point = ARENA_NEW(&y->arena, n, struct use);
    double slope = dice_between(d, 1, 4), water = dice_between(d, 0, 2);
    double formation = dice_between(d, 0, 0.5);
    for (size_t i = 0; i < n; i++) {
        point[i] = use_of(gas, oil, water, formation);
        double step = is_coarse ? 0.25 : dice_between(d, 0.05, 0.3);
        gas += step;
        oil += slope * step;
        slope *= is_coarse ? 0.5 : dice_between(d, 0.2, 0.9);
    }
    add_mode(m, point, n, true, true);
}

/* The same as a smooth curve in small steps, so that the last digits of prices
 * count. */
static void add_curve(struct yard *y, struct dice *d, struct menu *m)
{
    enum { N = 60 };
    struct use *point = ARENA_NEW(&y->arena, N, struct use);
    double gas = dice_between(d, 0, 0.3), oil = dice_between(d, 0.1, 0.5);
    double reach = dice_between(d, 0.7, 1.5), peak = dice_between(d, 0.5, 2);
    double water = dice_between(d, 0, 2);
    for (size_t i = 0; i < N; i++) {
        double part = (double)i / (N - 1);
        point[i] = use_of(gas + reach * part, oil + peak * part * (2 - part),
                          water, 0.2);
    }
    add_mode(m, point, N, true, true);
}

/* Water and gas go their own way: only lines and points. */
static void add_lines(struct yard *y, struct dice *d, struct menu *m, size_t n,
                      bool is_line)
{
    struct use *point = ARENA_NEW(&y->arena, n + 1, struct use);
    double gas = dice_between(d, 0, 0.5);
    for (size_t i = 0; i <= n; i++) {
        point[i] = (struct use){gas, dice_between(d, 0, 2),
                                dice_between(d, 0, 2), dice_between(d, 0, 1)};
        gas += dice_between(d, 0.05, 0.3);
    }
    for (size_t i = 0; i < n; i++)
        add_mode(m, point + i, is_line ? 2 : 1, true, false);
}

static void draw_menu(struct yard *y, struct dice *d, struct menu *m,
                      bool is_coarse, size_t steps)
{
    m->mode = ARENA_NEW(&y->arena, steps + 8, struct mode);
    enum well_kind_drawn kind = (enum well_kind_drawn)dice_index(d, N_DRAWN);
    struct use *off = ARENA_NEW(&y->arena, 1, struct use);
    bool may_stop = dice_index(d, 4) > 0;
    if (may_stop)
        add_mode(m, off, 1, dice_index(d, 2) == 0, false);
    if (dice_index(d, 3) == 0) {
        struct use *now = ARENA_NEW(&y->arena, 1, struct use);
        *now = use_of(dice_between(d, 0.1, 0.8), dice_between(d, 0.2, 1.5), 1,
                      0.2);
        add_mode(m, now, 1, false, false);
    }
    if (steps == 0) {
        add_curve(y, d, m);
    } else if (kind == OF_CHAINS) {
        add_chain(y, d, m, 0.25, 0.25, is_coarse);
        if (dice_index(d, 3) == 0)
            add_chain(y, d, m, 0.75, 1, is_coarse);
    } else {
        add_lines(y, d, m, 1 + dice_index(d, steps), kind == OF_LINES);
    }
}

/* What a row counts, by turns gas, liquid, water, handled gas, moves. */
static void draw_row(struct dice *d, struct limit_row *r, size_t n_wells,
                     bool is_coarse)
{
    static const double COUNTS[][N_USES] = {
        {1, 0, 0, 0, 0, 0}, {0, 1, 1, 0, 0, 0}, {0, 0, 1, 0, 0, 0},
        {1, 0, 0, 1, 0, 0}, {0, 0, 0, 0, 1, 0},
    };
    size_t kind = dice_index(d, 5);
    double most = dice_between(d, 0, 0.8) * (double)n_wells;
    if (dice_index(d, 12) == 0)
        most = 0;
    *r = (struct limit_row){
        .low = -(double)INFINITY,
        .high = is_coarse || kind == 4 ? round(2 * most) / 2 : most,
        .scope = GROUP_PAD,
    };
    if (kind == 4)
        r->high = floor(r->high);
    memcpy(r->use, COUNTS[kind], sizeof r->use);
}

static void count_in(struct yard *y, size_t well, size_t row, double sign)
{
    struct bidder *b = &y->bidder[well];
    y->own[well][b->n_own++] = (struct own_row){row, sign};
    b->own = y->own[well];
}

static void draw_rows(struct yard *y, struct dice *d, size_t n_rows,
                      bool is_coarse)
{
    struct problem *p = &y->problem;
    for (size_t k = 0; k < n_rows; k++) {
        size_t r = y->block_row[k] = p->n_rows++;
        bool is_pair = p->n_wells > 1 && dice_index(d, 6) == 0;
        if (is_pair) {
            y->row[r] = (struct limit_row){.low = -(double)INFINITY,
                                           .use[USE_RUNS] = 1,
                                           .scope = SCOPE_PAIR};
            size_t a = dice_index(d, p->n_wells);
            size_t b = (a + 1 + dice_index(d, p->n_wells - 1)) % p->n_wells;
            count_in(y, a, r, 1);
            count_in(y, b, r, -1);
            continue;
        }
        draw_row(d, &y->row[r], p->n_wells, is_coarse);
        for (size_t i = 0; i < p->n_wells; i++)
            if (dice_index(d, 5) > 0)
                count_in(y, i, r, 1);
    }
    /* Shared with wells elsewhere, at a price. */
    size_t r = p->n_rows++;
    draw_row(d, &y->row[r], 1, false);
    y->row_price[r] = dice_between(d, 0, 0.5);
    for (size_t i = 0; i < p->n_wells; i++)
        if (dice_index(d, 3) == 0)
            count_in(y, i, r, 1);
}

/* Filled in place: it points into itself. steps: most lines or points of a
 * well that is no chain; 0: all are smooth curves. */
static void yard_make(struct yard *y, struct dice *d, size_t n, size_t n_rows,
                      size_t steps)
{
    bool is_coarse = dice_index(d, 2) == 0;
    memset(y, 0, sizeof *y);
    arena_init(&y->arena);
    y->problem = (struct problem){
        .n_wells = n,
        .bidder = y->bidder,
        .row = y->row,
        .n_rows = N_FIELD_ROWS,
    };
    for (size_t i = 0; i < n; i++) {
        y->well[i] = i;
        y->menu[i] = &y->bidder[i].menu;
        if (i > 0 && dice_index(d, 4) == 0) { /* a copy: ties */
            y->bidder[i].menu = y->bidder[i - 1].menu;
            continue;
        }
        draw_menu(y, d, &y->bidder[i].menu, is_coarse, steps);
    }
    draw_rows(y, d, n_rows, is_coarse);
    y->block = (struct block){n, y->well, n_rows, y->block_row};
    y->worth = (struct worth){
        .problem = &y->problem,
        .row_price = y->row_price,
        .use = {-dice_between(d, 0, 1), dice_between(d, 0.5, 2),
                -dice_between(d, 0, 0.2), dice_between(d, -0.1, 0.1),
                -dice_between(d, 0, 0.3), 0},
    };
}

static void yard_free(struct yard *y)
{
    arena_release(&y->arena);
}

/* --- plain sums -----------------------------------------------------------*/

static double count_of(const double *use, const struct use *u,
                       const struct mode *m)
{
    return use[USE_GAS] * u->gas + use[USE_OIL] * u->oil +
           use[USE_WATER] * u->water + use[USE_FORMATION] * u->formation +
           (m->moved ? use[USE_MOVED] : 0) + (m->runs ? use[USE_RUNS] : 0);
}

static double part_in(const struct yard *y, size_t row, size_t well,
                      const struct use *u, const struct mode *m)
{
    for (size_t i = 0; i < y->bidder[well].n_own; i++)
        if (y->own[well][i].row == row)
            return y->own[well][i].sign * count_of(y->row[row].use, u, m);
    return 0;
}

static double worth_shared(const struct yard *y, size_t well,
                           const struct use *u, const struct mode *m)
{
    size_t shared = y->problem.n_rows - 1;
    return count_of(y->worth.use, u, m) -
           y->row_price[shared] * part_in(y, shared, well, u, m);
}

/* One whole column for each mode, one column for each of its points. */
static double value_by_library(const struct yard *y,
                               const struct menu *const *menu, bool *possible)
{
    static const struct lp_limits LIMITS = {0, 1000000, (double)INFINITY};
    struct milp m;
    struct milp_answer answer;
    struct err err = {0};
    struct arena a;
    arena_init(&a);
    milp_init(&m, &a);
    size_t n_modes = 0, mode_row = 0;
    for (size_t r = 0; r < y->block.n_rows; r++)
        milp_add_row(&m, y->row[y->block_row[r]].low,
                     y->row[y->block_row[r]].high);
    for (size_t i = 0; i < y->block.n; i++) {
        milp_add_row(&m, 1, 1);
        n_modes += menu[i]->n_modes;
    }
    mode_row = y->block.n_rows + y->block.n;
    for (size_t k = 0; k < n_modes; k++)
        milp_add_row(&m, 0, 0);
    for (size_t i = 0; i < y->block.n; i++)
        for (size_t k = 0; k < menu[i]->n_modes; k++, mode_row++) {
            const struct mode *mode = &menu[i]->mode[k];
            milp_add_column(&m, 0, 1, 0, true);
            milp_add_term(&m, y->block.n_rows + i, 1);
            milp_add_term(&m, mode_row, -1);
            for (size_t p = 0; p < mode->n; p++) {
                const struct use *u = &mode->point[p];
                milp_add_column(&m, 0, 1, worth_shared(y, i, u, mode), false);
                for (size_t r = 0; r < y->block.n_rows; r++)
                    milp_add_term(&m, r,
                                  part_in(y, y->block_row[r], i, u, mode));
                milp_add_term(&m, mode_row, 1);
            }
        }
    cr_assert(eq(int, lp_solve(&m, &LIMITS, &a, &answer, &err), ST_OK), "%s",
              err.msg);
    *possible = answer.state == MILP_SOLVED;
    double value = answer.value;
    arena_release(&a);
    return value;
}

/* Weak duality over a leaf, from its prices and menus alone. */
static double bound_of_leaf(const struct yard *y, const struct block_leaf *leaf)
{
    double sum = 0;
    for (size_t r = 0; r < y->block.n_rows; r++) {
        double price = leaf->row_price[r];
        const struct limit_row *row = &y->row[y->block_row[r]];
        sum += price == 0 ? 0 : price * (price > 0 ? row->high : row->low);
    }
    for (size_t i = 0; i < y->block.n; i++) {
        double best = -(double)INFINITY;
        for (size_t k = 0; k < leaf->menu[i]->n_modes; k++) {
            const struct mode *mode = &leaf->menu[i]->mode[k];
            for (size_t p = 0; p < mode->n; p++) {
                double worth = worth_shared(y, i, &mode->point[p], mode);
                for (size_t r = 0; r < y->block.n_rows; r++)
                    worth -=
                        leaf->row_price[r] *
                        part_in(y, y->block_row[r], i, &mode->point[p], mode);
                best = fmax(best, worth);
            }
        }
        sum += best;
    }
    return sum;
}

static bool has_origin(const struct menu *menu, size_t origin)
{
    for (size_t k = 0; k < menu->n_modes; k++)
        if (menu->mode[k].origin == origin)
            return true;
    return false;
}

/* Every choice of modes, one after the other, as long as they are few. */
static void check_cover(const struct yard *y, const struct block_answer *out,
                        size_t seed)
{
    size_t choices = 1;
    for (size_t i = 0; i < y->block.n && choices <= 5000; i++)
        choices *= y->menu[i]->n_modes;
    for (size_t c = 0; choices <= 5000 && c < choices; c++) {
        bool is_held = false;
        for (size_t l = 0; l < out->n_leaves && !is_held; l++) {
            size_t rest = c;
            is_held = true;
            for (size_t i = 0; i < y->block.n; i++) {
                size_t n = y->menu[i]->n_modes;
                is_held =
                    is_held && has_origin(out->leaf[l].menu[i],
                                          y->menu[i]->mode[rest % n].origin);
                rest /= n;
            }
        }
        cr_assert(is_held, "seed %zu: choice %zu is in no leaf", seed, c);
    }
}

static void check_leaves(const struct yard *y, const struct block_answer *out,
                         size_t seed)
{
    double most = out->value;
    for (size_t l = 0; l < out->n_leaves; l++) {
        double bound = bound_of_leaf(y, &out->leaf[l]);
        cr_expect(epsilon_eq(dbl, out->leaf[l].bound, bound,
                             1e-9 * (1 + fabs(bound))),
                  "seed %zu, leaf %zu", seed, l);
        most = fmax(most, out->leaf[l].bound);
    }
    cr_expect(eq(dbl, out->bound, most), "seed %zu", seed);
    check_cover(y, out, seed);
}

/* A point on a line of the mode, to rounding. */
static bool is_on(const struct mode *m, const struct use *u)
{
    if (m->n == 1)
        return memcmp(&m->point[0], u, sizeof *u) == 0;
    for (size_t i = 0; i + 1 < m->n; i++) {
        const struct use *a = &m->point[i], *b = a + 1;
        double part = (u->gas - a->gas) / (b->gas - a->gas);
        if (part >= -1e-9 && part <= 1 + 1e-9 &&
            fabs(a->oil + part * (b->oil - a->oil) - u->oil) < 1e-9 &&
            fabs(a->water + part * (b->water - a->water) - u->water) < 1e-9)
            return true;
    }
    return false;
}

static void check_plan(const struct yard *y, const struct block_answer *out,
                       size_t seed)
{
    double value = 0, used[MOST_ROWS] = {0};
    for (size_t i = 0; i < y->block.n; i++) {
        const struct stand *s = &out->stand[i];
        const struct mode *mode = &y->bidder[i].menu.mode[s->mode];
        cr_expect(has_origin(y->menu[i], s->mode), "seed %zu", seed);
        cr_expect(is_on(mode, &s->use), "seed %zu: well %zu is off its curve",
                  seed, i);
        value += worth_shared(y, i, &s->use, mode);
        for (size_t r = 0; r < y->block.n_rows; r++)
            used[r] += part_in(y, y->block_row[r], i, &s->use, mode);
    }
    cr_expect(epsilon_eq(dbl, out->value, value, 1e-12 * (1 + fabs(value))),
              "seed %zu", seed);
    for (size_t r = 0; r < y->block.n_rows; r++) {
        double high = y->row[y->block_row[r]].high;
        cr_expect(le(dbl, used[r], high + 1e-9 * (1 + high)),
                  "seed %zu: row %zu", seed, r);
    }
}

static struct block_answer ask(struct yard *y, long nodes_max)
{
    struct block_answer out;
    block_answer(&y->problem, &y->block, y->menu, &y->worth, nodes_max,
                 &y->arena, &out);
    return out;
}

static void judge(struct yard *y, size_t seed)
{
    bool possible;
    struct block_answer out = ask(y, 100000);
    double want = value_by_library(y, y->menu, &possible);
    check_leaves(y, &out, seed);
    if (!possible) {
        cr_expect(eq(dbl, out.value, -(double)INFINITY), "seed %zu", seed);
        return;
    }
    double tol = 1e-7 * (1 + fabs(want));
    cr_expect(epsilon_eq(dbl, out.value, want, tol), "seed %zu", seed);
    cr_expect(out.bound - out.value <= 1e-8 * (1 + fabs(want)),
              "seed %zu: %g is open", seed, out.bound - out.value);
    if (isfinite(out.value))
        check_plan(y, &out, seed);
}

Test(block, agrees_with_whole_numbers, .timeout = 120)
{
    for (size_t seed = 0; seed < 3000; seed++) {
        struct yard y;
        struct dice d = {seed};
        yard_make(&y, &d, 1 + dice_index(&d, 5), 1 + dice_index(&d, MOST_ROWS),
                  4);
        judge(&y, seed);
        yard_free(&y);
    }
}

Test(block, agrees_where_wells_are_many, .timeout = 120)
{
    for (size_t seed = 0; seed < 150; seed++) {
        struct yard y;
        struct dice d = {seed + 10000};
        yard_make(&y, &d, MOST_WELLS, 1 + dice_index(&d, 3), 3);
        judge(&y, seed);
        yard_free(&y);
    }
}

Test(block, agrees_on_smooth_curves, .timeout = 120)
{
    for (size_t seed = 0; seed < 200; seed++) {
        struct yard y;
        struct dice d = {seed + 70000};
        yard_make(&y, &d, 6, 1 + dice_index(&d, 3), 0);
        judge(&y, seed);
        yard_free(&y);
    }
}

/* More modes than any machine word has bits. */
Test(block, agrees_where_rates_go_in_many_steps, .timeout = 120)
{
    for (size_t seed = 0; seed < 40; seed++) {
        struct yard y;
        struct dice d = {seed + 20000};
        yard_make(&y, &d, 2, 1 + dice_index(&d, 3), 200);
        judge(&y, seed);
        yard_free(&y);
    }
}

/* Without whole numbers: one linear program for each choice of modes. */
static double value_by_turns(const struct yard *y)
{
    double best = -(double)INFINITY;
    size_t choices = 1;
    for (size_t i = 0; i < y->block.n; i++)
        choices *= y->menu[i]->n_modes;
    for (size_t c = 0; c < choices; c++) {
        struct menu only[MOST_WELLS];
        const struct menu *menu[MOST_WELLS];
        size_t rest = c;
        for (size_t i = 0; i < y->block.n; i++) {
            only[i] = *y->menu[i];
            only[i].mode += rest % only[i].n_modes;
            rest /= only[i].n_modes;
            only[i].n_modes = 1;
            menu[i] = &only[i];
        }
        bool possible;
        double value = value_by_library(y, menu, &possible);
        if (possible)
            best = fmax(best, value);
    }
    return best;
}

Test(block, agrees_with_every_choice_of_modes_in_turn, .timeout = 120)
{
    for (size_t seed = 0; seed < 300; seed++) {
        struct yard y;
        struct dice d = {seed + 30000};
        yard_make(&y, &d, 1 + dice_index(&d, 3), 1 + dice_index(&d, MOST_ROWS),
                  3);
        double want = value_by_turns(&y), got = ask(&y, 100000).value;
        bool is_same = isfinite(want)
                           ? fabs(got - want) <= 1e-7 * (1 + fabs(want))
                           : got == want;
        cr_expect(is_same, "seed %zu: %g, not %g", seed, got, want);
        yard_free(&y);
    }
}

Test(block, stopped_early_it_keeps_a_true_bound, .timeout = 60)
{
    for (size_t seed = 0; seed < 500; seed++) {
        struct yard y;
        struct dice d = {seed + 40000};
        yard_make(&y, &d, 6, 1 + dice_index(&d, 4), 4);
        struct block_answer all = ask(&y, 100000), few = ask(&y, 1);
        double tol = 1e-8 * (1 + fabs(all.bound));
        cr_expect(le(dbl, all.value, few.bound + tol), "seed %zu", seed);
        cr_expect(le(dbl, few.value, all.value + tol), "seed %zu", seed);
        check_leaves(&y, &few, seed);
        if (isfinite(few.value))
            check_plan(&y, &few, seed);
        yard_free(&y);
    }
}

/* Prices from elsewhere, even bad ones, change how long it takes and nothing
 * else. */
Test(block, starts_from_any_prices, .timeout = 60)
{
    for (size_t seed = 0; seed < 500; seed++) {
        struct yard y;
        struct dice d = {seed + 50000};
        yard_make(&y, &d, 5, 1 + dice_index(&d, MOST_ROWS), 4);
        struct block_answer want = ask(&y, 100000), got;
        double price[MOST_ROWS];
        for (size_t r = 0; r < MOST_ROWS; r++)
            price[r] = dice_index(&d, 3) == 0 ? 0 : dice_between(&d, 0, 5);
        block_answer_near(&y.problem, &y.block, y.menu, &y.worth, price, 100000,
                          &y.arena, &got);
        bool is_same =
            got.value == want.value ||
            fabs(got.value - want.value) <= 1e-8 * (1 + fabs(want.value));
        cr_expect(is_same, "seed %zu: %g, not %g", seed, got.value, want.value);
        check_leaves(&y, &got, seed);
        yard_free(&y);
    }
}

/* Trap: where neither gas nor oil is worth anything, all points of a chain are
 * equal and a mixture may lie anywhere under it. */
Test(block, stays_on_the_chain_at_no_price_at_all, .timeout = 60)
{
    for (size_t seed = 0; seed < 500; seed++) {
        struct yard y;
        struct dice d = {seed + 60000};
        yard_make(&y, &d, 4, 1 + dice_index(&d, 3), 2);
        memset(y.worth.use, 0, sizeof y.worth.use);
        y.worth.use[USE_GAS] = dice_index(&d, 2) == 0 ? 0 : -1e-12;
        y.worth.use[USE_MOVED] = -1;
        memset(y.row_price, 0, sizeof y.row_price);
        struct block_answer out = ask(&y, 100000);
        check_leaves(&y, &out, seed);
        if (isfinite(out.value))
            check_plan(&y, &out, seed);
        yard_free(&y);
    }
}

/* A yard by hand: wells that are copies and a cap on their gas. */
static void yard_of(struct yard *y, struct mode *mode, size_t n_modes, size_t n,
                    double cap)
{
    memset(y, 0, sizeof *y);
    arena_init(&y->arena);
    y->problem = (struct problem){.n_rows = N_FIELD_ROWS + 2,
                                  .row = y->row,
                                  .n_wells = n,
                                  .bidder = y->bidder};
    y->block_row[0] = N_FIELD_ROWS;
    y->row[N_FIELD_ROWS] = (struct limit_row){
        .low = -(double)INFINITY, .high = cap, .use[USE_GAS] = 1};
    for (size_t i = 0; i < n; i++) {
        y->bidder[i].menu = (struct menu){.n_modes = n_modes, .mode = mode};
        y->menu[i] = &y->bidder[i].menu;
        y->well[i] = i;
        count_in(y, i, N_FIELD_ROWS, 1);
    }
    y->block = (struct block){n, y->well, 1, y->block_row};
    y->worth = (struct worth){
        .problem = &y->problem, .row_price = y->row_price, .use[USE_OIL] = 1};
}

/* Two wells of 2 gas for 3 oil each in one go, and a cap of 3: one of them
 * runs. The mixture says 4.5 oil, at a price of 1.5. */
Test(block, runs_whole_wells_only, .timeout = 10)
{
    static const struct use ON = {2, 3, 0, 0}, OFF = {0};
    struct mode mode[] = {
        {.n = 1, .point = &OFF},
        {.n = 1, .point = &ON, .runs = true, .origin = 1},
    };
    struct yard y;
    yard_of(&y, mode, 2, 2, 3);
    struct block_answer out = ask(&y, 100);
    cr_expect(epsilon_eq(dbl, out.value, 3, 1e-12));
    cr_expect(epsilon_eq(dbl, out.bound, 3, 1e-12));
    cr_expect(eq(sz, out.stand[0].mode + out.stand[1].mode, 1));
    out = ask(&y, 0);
    cr_expect(epsilon_eq(dbl, out.value, 3, 1e-12));

    /* A billionth short is short. */
    y.row[N_FIELD_ROWS].high = 4 - 4e-9;
    out = ask(&y, 100);
    cr_expect(epsilon_eq(dbl, out.value, 3, 1e-12));

    /* Room for both: best points, one leaf, no price. */
    y.row[N_FIELD_ROWS].high = 4;
    out = ask(&y, 100);
    cr_expect(eq(dbl, out.value, 6));
    cr_expect(eq(dbl, out.bound, 6));
    cr_expect(eq(sz, out.n_leaves, 1));
    cr_expect(eq(dbl, out.leaf[0].row_price[0], 0));
    yard_free(&y);
}

/* Ten wells that use 2 gas or make 2 water each, and caps of 9.9: ten of each
 * is the least, with every well torn. */
Test(block, sees_at_once_that_nothing_is_possible, .timeout = 10)
{
    static const struct use GAS = {2, 3, 0, 0}, WATER = {0, 3, 2, 0};
    struct mode mode[] = {
        {.n = 1, .point = &GAS, .runs = true},
        {.n = 1, .point = &WATER, .runs = true, .origin = 1},
    };
    struct yard y;
    yard_of(&y, mode, 2, 10, 9.9);
    y.block.n_rows = 2;
    y.block_row[1] = N_FIELD_ROWS + 1;
    y.row[N_FIELD_ROWS + 1] = (struct limit_row){
        .low = -(double)INFINITY, .high = 9.9, .use[USE_WATER] = 1};
    for (size_t i = 0; i < 10; i++)
        count_in(&y, i, N_FIELD_ROWS + 1, 1);
    struct block_answer out = ask(&y, 1000);
    cr_expect(eq(dbl, out.value, -(double)INFINITY));
    cr_expect(eq(long, out.nodes, 1));
    /* Below any plan that could be: 3 oil a well. */
    cr_expect(lt(dbl, out.bound, -1e6));
    /* One more of either, and it is. */
    y.row[N_FIELD_ROWS + 1].high = 10;
    y.row[N_FIELD_ROWS].high = 10;
    cr_expect(epsilon_eq(dbl, ask(&y, 1000).value, 30, 1e-12));
    yard_free(&y);
}

/* Trap: gas is worth 1, oil costs 0.1: both ends of the chain are better than
 * what is between, and their mixture, 1 gas and 1.5 oil for 0.85, is not on
 * it. On it are 0.75 gas with that oil, worth 0.6, and 2 oil of that gas,
 * worth 0.8, the best that can be. */
Test(block, a_mixture_of_distant_points_is_put_onto_the_chain, .timeout = 10)
{
    static const struct use POINT[] = {
        {0, 0, 0, 0}, {1, 2, 0, 0}, {2, 3, 0, 0}};
    struct mode mode[] = {{.n = 3, .point = POINT, .is_chain = true}};
    struct yard y;
    yard_of(&y, mode, 1, 1, 1);
    y.worth.use[USE_GAS] = 1;
    y.worth.use[USE_OIL] = -0.1;
    struct block_answer out = ask(&y, 100);
    cr_expect(epsilon_eq(dbl, out.bound, 0.85, 1e-12));
    cr_expect(epsilon_eq(dbl, out.value, 0.8, 1e-12));
    cr_expect(epsilon_eq(dbl, out.stand[0].use.gas, 1, 1e-12));
    cr_expect(epsilon_eq(dbl, out.stand[0].use.oil, 2, 1e-12));
    yard_free(&y);
}
