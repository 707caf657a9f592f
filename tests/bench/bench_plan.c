/* What plans cost, on one thread unless said: fields of pads as people have
 * them (support/pad_field.h). With an argument one plan of 200 wells runs
 * inside bench_counted(), for an instruction count. */
#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "../../src/plan/lp_glpk.h"
#include "../../src/plan/model.h"
#include "plan/plan.h"
#include "support/known_field.h"
#include "support/pad_field.h"
#include "support/random_field.h"
#include "support/whole_model.h"

#define SEEDS_MOST 100
#define CURVE_POINTS 100
#define SOLVER_SECONDS 30 /* for each of the other solvers */
#define NAIVE_WELLS 200   /* more than these are hopeless in that time */

void bench_counted(const struct builder *b);

static double wall_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* --- runs ------------------------------------------------------------------
 */

struct run {
    double s, gap;
    bool is_proven;
};

static struct run solve(const struct builder *b, const struct plan_options *o,
                        struct plan *out)
{
    struct err err = {0};
    double start = wall_s();
    enum status st = plan_solve(&b->field, b->curves, o, b->arena, out, &err);
    struct run r = {.s = wall_s() - start, .gap = (double)INFINITY};
    if (st != ST_OK) {
        printf("%s\n", err.msg);
        return r;
    }
    r.gap = out->gap;
    r.is_proven =
        out->outcome == PLAN_OPTIMAL || out->outcome == PLAN_WITHIN_GAP;
    return r;
}

__attribute__((noinline)) void bench_counted(const struct builder *b)
{
    struct plan p = {0};
    struct plan_options o = plan_options_default();
    solve(b, &o, &p);
}

struct runs {
    size_t n;
    struct run run[SEEDS_MOST];
};

static int compare_runs(const void *a, const void *b)
{
    double x = ((const struct run *)a)->s, y = ((const struct run *)b)->s;
    return x < y ? -1 : x > y;
}

static void show(const char *work, struct runs *r)
{
    double gap = 0;
    size_t n_open = 0;
    qsort(r->run, r->n, sizeof r->run[0], compare_runs);
    for (size_t i = 0; i < r->n; i++) {
        gap = fmax(gap, r->run[i].gap);
        n_open += !r->run[i].is_proven;
    }
    printf("%-44s %6zu %10.2f %10.2f %11.6f %6zu\n", work, r->n,
           1e3 * r->run[r->n / 2].s, 1e3 * r->run[r->n - 1].s, 100 * gap,
           n_open);
    fflush(stdout);
}

static void show_head(void)
{
    printf("\n%-44s %6s %10s %10s %11s %6s\n", "work, one thread", "seeds",
           "median ms", "worst ms", "worst gap %", "open");
}

static void solve_seeds(const char *work, size_t n_seeds, double gap,
                        struct pad_field_options of)
{
    struct runs r = {0};
    for (uint64_t seed = 1; seed <= n_seeds; seed++) {
        struct arena a;
        struct builder b;
        struct plan p;
        of.is_hard = seed % 2 == 0;
        arena_init(&a);
        builder_init_for(&b, of.n_wells, &a);
        struct plan_options o = pad_field(seed, &of, &b);
        o.gap = gap;
        r.run[r.n++] = solve(&b, &o, &p);
        arena_release(&a);
    }
    show(work, &r);
}

/* Each point by itself: gas from all of it down to half. */
static void value_curve(size_t n_wells)
{
    struct runs r = {0};
    for (uint64_t seed = 1; seed <= 5; seed++) {
        struct arena a;
        struct builder b;
        struct pad_field_options of = {.n_wells = n_wells};
        struct run sum = {.is_proven = true};
        arena_init(&a);
        builder_init_for(&b, n_wells, &a);
        struct plan_options o = pad_field(seed, &of, &b);
        double gas_sm3s = b.field.limits.caps.lift_sm3s;
        b.field.sales.min_sm3s = 0;
        for (int i = 0; i < CURVE_POINTS; i++) {
            struct arena_mark mark = arena_mark(&a);
            struct plan p;
            b.field.limits.caps.lift_sm3s =
                gas_sm3s * (1 - 0.5 * i / (CURVE_POINTS - 1));
            struct run one = solve(&b, &o, &p);
            sum.s += one.s;
            sum.gap = fmax(sum.gap, one.gap);
            sum.is_proven = sum.is_proven && one.is_proven;
            arena_rewind(&a, mark);
        }
        r.run[r.n++] = sum;
        arena_release(&a);
    }
    show("1,000 wells, 100 points of the value curve", &r);
}

/* A well makes a tenth less than was thought. */
static void one_well_changed(size_t n_wells)
{
    struct runs r = {0};
    for (uint64_t seed = 1; seed <= 5; seed++) {
        struct arena a;
        struct builder b;
        struct plan p;
        struct pad_field_options of = {.n_wells = n_wells};
        arena_init(&a);
        builder_init_for(&b, n_wells, &a);
        struct plan_options o = pad_field(seed, &of, &b);
        o.gap = 1e-6;
        solve(&b, &o, &p);
        struct curve *c = &b.curves[n_wells / 2];
        double *oil = ARENA_NEW(&a, c->n, double);
        for (size_t k = 0; k < c->n; k++)
            oil[k] = 0.9 * c->oil_sm3s[k];
        c->oil_sm3s = oil;
        r.run[r.n++] = solve(&b, &o, &p);
        arena_release(&a);
    }
    show("1,000 wells, one well changed", &r);
}

/* --- threads, memory -------------------------------------------------------
 */

static double wall_with_threads(size_t n_wells, int threads)
{
    struct arena a;
    struct builder b;
    struct plan p;
    struct pad_field_options of = {n_wells, true, false, false};
    double best = (double)INFINITY;
    omp_set_num_threads(threads);
    for (int i = 0; i < 3; i++) {
        arena_init(&a);
        builder_init_for(&b, n_wells, &a);
        struct plan_options o = pad_field(1, &of, &b);
        o.gap = 1e-6;
        best = fmin(best, solve(&b, &o, &p).s);
        arena_release(&a);
    }
    omp_set_num_threads(1);
    return best;
}

/* A line of /proc/self/status in MiB. */
static double memory_mib(const char *label)
{
    FILE *f = fopen("/proc/self/status", "r");
    char line[256];
    double kib = 0;
    while (f != NULL && fgets(line, sizeof line, f) != NULL)
        if (strncmp(line, label, strlen(label)) == 0)
            kib = atof(line + strlen(label));
    if (f != NULL)
        fclose(f);
    return kib / 1024;
}

/* In a process of its own, and before all else: what has been used once stays
 * with a process. */
static void show_memory(size_t n_wells, bool is_full)
{
    fflush(stdout);
    pid_t child = fork();
    if (child == 0) {
        struct arena a;
        struct builder b;
        struct plan p;
        struct pad_field_options of = {n_wells, true, is_full, is_full};
        arena_init(&a);
        builder_init_for(&b, n_wells, &a);
        struct plan_options o = pad_field(1, &of, &b);
        double before = memory_mib("VmRSS:");
        solve(&b, &o, &p);
        double peak = memory_mib("VmHWM:");
        printf("%8zu wells, %-26s %8.1f %8.1f %8.1f\n", n_wells,
               is_full ? "units and moves" : "limits only", before, peak,
               peak - before);
        fflush(stdout);
        _exit(0);
    }
    waitpid(child, NULL, 0);
}

/* --- other solvers on the same field ---------------------------------------
 */

static void show_solver(const char *name, double s, double value, double bound,
                        double ours, double best)
{
    printf("%-30s %10.1f %9.0fx %12.6f %12.6f\n", name, 1e3 * s, s / ours,
           100 * (best - value) / best, 100 * (bound - value) / best);
    fflush(stdout);
}

static void by_glpk(const char *name, const struct milp *m, double unit,
                    double ours, double best)
{
    struct lp_limits limits = {1e-6, 1000000, SOLVER_SECONDS};
    struct milp_answer answer = {0};
    struct err err = {0};
    struct arena a;
    arena_init(&a);
    double start = wall_s();
    enum status st = lp_solve(m, &limits, &a, &answer, &err);
    double s = wall_s() - start;
    if (st != ST_OK || !answer.has_point)
        printf("%-30s %10.1f   no plan in %d s\n", name, 1e3 * s,
               SOLVER_SECONDS);
    else
        show_solver(name, s, answer.value * unit, answer.bound * unit, ours,
                    best);
    arena_release(&a);
}

static void by_cbc(const char *name, const struct milp *m, double unit,
                   double ours, double best)
{
    struct arena a;
    if (!cbc_is_installed())
        return;
    arena_init(&a);
    double start = wall_s();
    struct verdict v = cbc_solve(m, SOLVER_SECONDS, &a);
    double s = wall_s() - start;
    if (!v.has_plan)
        printf("%-30s %10.1f   no plan in %d s\n", name, 1e3 * s,
               SOLVER_SECONDS);
    else
        show_solver(name, s, v.value * unit, v.bound * unit, ours, best);
    arena_release(&a);
}

/* The naive model takes every line of every curve for a choice; the other
 * one has a choice for each concave piece. */
static void side_by_side(size_t n_wells)
{
    struct arena a;
    struct builder b;
    struct plan p;
    struct problem problem;
    struct model hulls;
    struct milp naive;
    struct pad_field_options of = {n_wells, true, false, false};
    arena_init(&a);
    builder_init_for(&b, n_wells, &a);
    struct plan_options o = pad_field(1, &of, &b);
    o.gap = 1e-6;
    double ours = solve(&b, &o, &p).s;
    printf("\n%-30s %10s %10s %12s %12s\n", "the same field, to 0.0001 %", "ms",
           "ratio", "below best %", "gap %");
    char title[64];
    snprintf(title, sizeof title, "%zu wells, plan_solve", n_wells);
    show_solver(title, ours, p.value, p.bound, ours, p.value);
    problem_make(&b.field, b.curves, &o, false, &a, &problem);
    struct menu *menu = ARENA_NEW(&a, n_wells, struct menu);
    for (size_t i = 0; i < n_wells; i++)
        menu[i] = problem.bidder[i].menu;
    model_make(&problem, menu, true, NULL, &a, &hulls);
    double constant = hulls.lp.constant * problem.value_unit;
    by_glpk("concave pieces, GLPK", &hulls.lp, problem.value_unit, ours,
            p.value);
    by_cbc("concave pieces, cbc", &hulls.lp, problem.value_unit, ours,
           p.value - constant);
    if (n_wells <= NAIVE_WELLS) {
        double unit = whole_model(&b.field, b.curves, &o, &a, &naive);
        by_glpk("naive, GLPK", &naive, unit, ours, p.value);
        by_cbc("naive, cbc", &naive, unit, ours, p.value);
    }
    arena_release(&a);
}

/* --- verdicts --------------------------------------------------------------
 */

/* Fields of known optimum: none may be called impossible, no bound may lie
 * below it, no plan above it. */
static void count_wrong_verdicts(size_t n_seeds)
{
    size_t n_wrong = 0, n_open = 0;
    for (uint64_t seed = 1; seed <= n_seeds; seed++) {
        struct known_field_options of = {6 + seed % 30, seed % 7, seed % 2 == 0,
                                         seed % 3 != 0, seed % 5 == 0};
        struct arena a;
        struct builder b;
        struct plan p = {0};
        arena_init(&a);
        builder_init_for(&b, of.n_wells, &a);
        double value = known_field(seed, &of, &b);
        struct plan_options o = plan_options_default();
        o.objective = of.is_money ? PLAN_MONEY : PLAN_OIL;
        struct run r = solve(&b, &o, &p);
        double slack = 1e-8 * fabs(value);
        n_open += !r.is_proven;
        n_wrong += p.outcome == PLAN_IMPOSSIBLE || p.bound < value - slack ||
                   p.value > value + slack;
        arena_release(&a);
    }
    printf("\nof %zu fields of known optimum: %zu wrong, %zu not proven to the "
           "default gap\n",
           n_seeds, n_wrong, n_open);
}

static void count_instructions(void)
{
    struct random_field_options o = random_field_hard(200);
    struct builder b;
    struct arena a;
    arena_init(&a);
    builder_init(&b, &a);
    random_field(1, &o, &b);
    bench_counted(&b);
    arena_release(&a);
}

int main(int argc, char **argv)
{
    (void)argv;
    omp_set_num_threads(1);
    if (argc > 1) {
        count_instructions();
        return 0;
    }
    double start = wall_s();
    printf("%-41s %8s %8s %8s\n", "MiB", "field", "peak", "plan");
    show_memory(1000, false);
    show_memory(1000, true);
    show_memory(20000, false);
    show_memory(20000, true);

    show_head();
    solve_seeds("1,000 wells, limits only, to 0.0001 %", 5, 1e-6,
                (struct pad_field_options){.n_wells = 1000});
    solve_seeds("20,000 wells, limits only, to 0.0001 %", 5, 1e-6,
                (struct pad_field_options){.n_wells = 20000});
    solve_seeds("1,000 wells, units and moves, to 0.01 %", 100, 1e-4,
                (struct pad_field_options){1000, false, true, true});
    solve_seeds("20,000 wells, units and moves, to 0.01 %", 5, 1e-4,
                (struct pad_field_options){20000, false, true, true});
    value_curve(1000);
    one_well_changed(1000);

    printf("\n20,000 wells, limits only: %.0f ms on one thread, %.0f on two\n",
           1e3 * wall_with_threads(20000, 1),
           1e3 * wall_with_threads(20000, 2));
    side_by_side(50);
    side_by_side(200);
    side_by_side(1000);
    count_wrong_verdicts(10000);
    printf("\nall of it: %.0f s\n", wall_s() - start);
    return 0;
}
