/* What a plan costs on random fields of tables: time, gap, nodes. With an
 * argument one plan of 200 wells runs inside bench_counted(), for an
 * instruction count. */
#include <stdio.h>
#include <time.h>

#include "plan/plan.h"
#include "support/random_field.h"

#define SEEDS 5 /* median of */

void bench_counted(const struct builder *b);

static double now_s(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void solve(const struct builder *b, struct plan *out)
{
    struct plan_options o = plan_options_default();
    struct err err;

    if (plan_solve(&b->field, b->curves, &o, b->arena, out, &err) != ST_OK)
        printf("%s\n", err.msg);
}

__attribute__((noinline)) void bench_counted(const struct builder *b)
{
    struct plan p = {0};

    solve(b, &p);
}

static void one_field(size_t n_wells, size_t moves)
{
    double ms[SEEDS], gap = 0;
    long nodes = 0;

    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct random_field_options o = random_field_hard(n_wells);
        struct plan p = {0};
        struct builder b;
        struct arena a;

        arena_init(&a);
        builder_init(&b, &a);
        o.has_readings = moves > 0;
        random_field(seed, &o, &b);
        if (moves > 0)
            b.field.limits.caps.moves = moves;
        double start = now_s();
        solve(&b, &p);
        ms[seed - 1] = (now_s() - start) * 1e3;
        gap = p.gap > gap ? p.gap : gap;
        nodes = p.nodes > nodes ? p.nodes : nodes;
        arena_release(&a);
    }
    for (int i = 1; i < SEEDS; i++)
        for (int j = i; j > 0 && ms[j] < ms[j - 1]; j--) {
            double swap = ms[j];
            ms[j] = ms[j - 1];
            ms[j - 1] = swap;
        }
    printf("%6zu %6zu %9.1f %9.1f %10.5f %7ld\n", n_wells, moves, ms[SEEDS / 2],
           ms[SEEDS - 1], 100 * gap, nodes);
}

int main(int argc, char **argv)
{
    (void)argv;
    if (argc > 1) {
        struct random_field_options o = random_field_hard(200);
        struct builder b;
        struct arena a;

        arena_init(&a);
        builder_init(&b, &a);
        random_field(1, &o, &b);
        bench_counted(&b);
        arena_release(&a);
        return 0;
    }
    printf("%6s %6s %9s %9s %10s %7s\n", "wells", "moves", "median ms",
           "worst ms", "worst gap%", "nodes");
    one_field(6, 0);
    one_field(50, 0);
    one_field(200, 0);
    one_field(1000, 0);
    one_field(50, 8);
    return 0;
}
