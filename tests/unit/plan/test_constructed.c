/* Problems whose optimum is known: see tests/problems/SOURCES.md. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/plan_case.h"

#define LINE_BYTES 1024
#define FIELDS_MOST 32

/* One line of a comma-separated file, cut up in place; 0 at the end. */
static size_t read_line(FILE *f, char *line, char *field[FIELDS_MOST])
{
    if (fgets(line, LINE_BYTES, f) == NULL)
        return 0;
    line[strcspn(line, "\r\n")] = '\0';
    size_t n = 0;
    for (char *rest = line; rest != NULL && n < FIELDS_MOST;)
        field[n++] = strsep(&rest, ",");
    return n;
}

static FILE *open_problem(const char *name)
{
    char path[256];
    snprintf(path, sizeof path, "tests/problems/constructed_%s.csv", name);
    FILE *f = fopen(path, "r");
    cr_assert(f != NULL, "cannot open %s", path);
    return f;
}

static void set_gas(struct builder *b, double mscf_d)
{
    b->field.limits.caps.lift_sm3s = builder_gas(mscf_d);
}

static void build_C2(struct builder *b)
{
    static const double GAS_A[] = {500, 800, 1200}, OIL_A[] = {250, 310, 350};
    static const double GAS_B[] = {900, 1300, 1800}, OIL_B[] = {500, 600, 660};
    static const double GAS_C[] = {0, 200, 600, 1200},
                        OIL_C[] = {120, 220, 320, 380};
    builder_well(b, "A", 3, GAS_A, OIL_A, 0, 0);
    builder_well(b, "B", 3, GAS_B, OIL_B, 0, 0);
    builder_well(b, "C", 4, GAS_C, OIL_C, 0, 0);
}

Test(constructed, on_off_wells_give_the_oil_of_full_enumeration, .timeout = 20)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C2(&b);
    struct plan_options o = case_exact();

    FILE *f = open_problem("C2_optima");
    char line[LINE_BYTES], *field[FIELDS_MOST];
    read_line(f, line, field);
    size_t n_rows = 0;
    while (read_line(f, line, field) >= 6) {
        double gas = atof(field[0]), want = atof(field[1]);
        set_gas(&b, gas);
        struct plan p = case_solve(&b, &o, field[0]);
        cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), want, 1e-6), "%g Mscf/d",
                  gas);
        cr_expect(eq(int, p.outcome, PLAN_OPTIMAL), "%g Mscf/d", gas);
        n_rows++;
    }
    fclose(f);
    cr_assert(eq(sz, n_rows, 14));
    arena_release(&a);
}

static void build_C3(struct builder *b)
{
    FILE *f = open_problem("C3_56_wells");
    char line[LINE_BYTES], *field[FIELDS_MOST];
    read_line(f, line, field);
    while (read_line(f, line, field) == 19) {
        double gas[9], oil[9];
        for (size_t i = 0; i < 9; i++) {
            gas[i] = atof(field[1 + i]);
            oil[i] = atof(field[10 + i]);
        }
        builder_well(b, field[0], 9, gas, oil, 0, 0);
    }
    fclose(f);
    cr_assert(eq(sz, b->field.n_wells, 56));
}

/* The optima are rounded to 1e-4; the tables' dynamic program and six forms
 * of the mixed-integer program agree to 0.02 stb/d. */
Test(constructed, fifty_six_s_shaped_wells_meet_the_dynamic_program,
     .timeout = 60)
{
    struct arena a;
    arena_init(&a);
    struct builder b;
    builder_init(&b, &a);
    build_C3(&b);
    struct plan_options o = case_exact();

    FILE *f = open_problem("C3_optima");
    char line[LINE_BYTES], *field[FIELDS_MOST];
    read_line(f, line, field);
    size_t n_rows = 0;
    while (read_line(f, line, field) >= 9) {
        double gas = atof(field[0]), want = atof(field[1]);
        set_gas(&b, gas);
        struct plan p = case_solve(&b, &o, field[0]);
        cr_expect(epsilon_eq(dbl, case_oil_stb_d(&p), want, 0.02), "%g Mscf/d",
                  gas);
        n_rows++;
    }
    fclose(f);
    cr_assert(eq(sz, n_rows, 5));
    arena_release(&a);
}
