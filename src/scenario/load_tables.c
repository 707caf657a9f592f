#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/arena.h"
#include "load_parts.h"
#include "num/tol.h"
#include "scenario/columns.h"
#include "scenario/form.h"

/* The table, or NULL after an error. at is the place to blame when the file
 * cannot be read. */
static const struct table *read_table(const struct loader *l, const char *path,
                                      struct place at)
{
    struct source source;
    struct err err;
    if (source_read(path, l->arena, &source, &err) != ST_OK) {
        diag_add(l->d, DIAG_ERROR, at, NULL, NULL, "%s", err.msg);
        return NULL;
    }
    return table_read(&source, l->arena, l->d);
}

static double zero_if_missing(double value)
{
    return isnan(value) ? 0.0 : value;
}

/* --- measured curves ------------------------------------------------------ */

/* Missing columns come from the well's own ratios. */
struct ratios {
    double water_per_oil, gas_per_oil;
};

static struct ratios ratios_of(const struct loader *l, const struct ynode *well,
                               const struct columns *c)
{
    double cut = load_value(l, well, "wells.*.water_cut");
    double gor = load_value(l, well, "wells.*.gas_oil_ratio");
    bool has_water = columns_has(c, "water");
    if (!has_water && !(cut < 1.0))
        load_fault(l, ytree_child(well, "curve"),
                   "the curve has no column of water",
                   "add it, or a water_cut below 100 % to the well");
    if (!columns_has(c, "formation gas") && isnan(gor))
        load_fault(l, ytree_child(well, "curve"),
                   "the curve has no column of formation gas",
                   "add it, or a gas_oil_ratio to the well");
    return (struct ratios){has_water ? 0.0 : cut / (1.0 - cut), gor};
}

static void check_rise(const struct loader *l, const struct columns *c,
                       size_t i, const double *gas_sm3s)
{
    if (i > 0 && gas_sm3s[i] <= gas_sm3s[i - 1])
        diag_add(l->d, DIAG_ERROR,
                 columns_place(c, c->first_row + i, "lift gas"), "lift gas",
                 "sort the rows and keep one of equals",
                 "does not rise from row to row");
}

static size_t peak_of(const double *oil_sm3s, size_t n)
{
    size_t peak = 0;
    for (size_t i = 1; i < n; i++)
        if (oil_sm3s[i] > oil_sm3s[peak])
            peak = i;
    return peak;
}

static struct curve *curve_from(const struct loader *l, const struct columns *c,
                                const char *name, struct ratios ratios)
{
    size_t n = c->table->n_rows - c->first_row;
    double *gas = ARENA_NEW(l->arena, n, double);
    double *oil = ARENA_NEW(l->arena, n, double);
    double *water = ARENA_NEW(l->arena, n, double);
    double *formation = ARENA_NEW(l->arena, n, double);
    bool has_water = columns_has(c, "water");
    bool has_gas = columns_has(c, "formation gas");
    for (size_t i = 0; i < n; i++) {
        size_t row = c->first_row + i;
        gas[i] = columns_value(c, row, "lift gas");
        oil[i] = columns_value(c, row, "oil");
        water[i] = has_water ? columns_value(c, row, "water")
                             : oil[i] * ratios.water_per_oil;
        formation[i] = has_gas ? columns_value(c, row, "formation gas")
                               : oil[i] * ratios.gas_per_oil;
        check_rise(l, c, i, gas);
    }
    struct curve *curve = ARENA_NEW(l->arena, 1, struct curve);
    size_t peak = peak_of(oil, n);
    *curve = (struct curve){
        .well = name,
        .source = CURVE_TABLE,
        .n = oil[peak] > 0.0 ? n : 0, /* never any oil: dead */
        .gas_sm3s = gas,
        .oil_sm3s = oil,
        .water_sm3s = water,
        .formation_sm3s = formation,
        .peak = peak,
        .gas_max_sm3s = gas[n - 1],
        .end = CURVE_END_TABLE,
    };
    return curve;
}

struct curve *load_curve(const struct loader *l, const struct ynode *well,
                         const struct ynode *file)
{
    if (file->kind != YNODE_TEXT || isnan(file->value))
        return NULL;
    const char *path = arena_printf(l->arena, "%s/%s", l->folder, file->text);
    const struct table *table = read_table(l, path, file->at);
    if (table == NULL)
        return NULL;
    struct columns c;
    columns_bind(&c, table, "curve table", &l->frame, l->d);
    struct ratios ratios = ratios_of(l, well, &c);
    if (table->n_rows <= c.first_row)
        return NULL;
    return curve_from(l, &c, well->key, ratios);
}

/* --- rows of wells -------------------------------------------------------- */

/* The table file of the folder bound to its columns; false when it does not
 * exist or cannot be used. */
static bool bind_file(const struct loader *l, const char *name,
                      struct columns *c)
{
    const char *path = arena_printf(l->arena, "%s/%s", l->folder, name);
    if (access(path, F_OK) != 0)
        return false;
    const struct table *table = read_table(l, path, (struct place){path, 0, 0});
    if (table == NULL)
        return false;
    columns_bind(c, table, name, &l->frame, l->d);
    return columns_has(c, "well");
}

/* The row's well, or NULL after an error. */
static struct field_well *well_of(const struct loader *l,
                                  const struct columns *c, size_t row)
{
    if (isnan(columns_value(c, row, "well")))
        return NULL;
    const char *name = columns_text(c, row, "well");
    size_t index = names_find(&l->wells, name);
    if (index != NAMES_NONE)
        return &l->field->well[index];
    diag_add(l->d, DIAG_ERROR, columns_place(c, row, "well"), "well",
             load_nearest(l, &l->wells, name), "there is no well %s",
             diag_quote(l->d, name));
    return NULL;
}

/* A row of a table that belongs to a well, for finding twins. */
struct row_key {
    const struct field_well *well;
    double day;
    size_t row;
};

static int compare_keys(const void *a, const void *b)
{
    const struct row_key *x = a, *y = b;
    if (x->well != y->well)
        return x->well < y->well ? -1 : 1;
    if (x->day != y->day)
        return x->day < y->day ? -1 : 1;
    return (x->row > y->row) - (x->row < y->row);
}

static void report_twins(const struct loader *l, const struct columns *c,
                         struct row_key *key, size_t n, const char *what)
{
    if (n > 0)
        qsort(key, n, sizeof *key, compare_keys);
    for (size_t i = 1; i < n; i++)
        if (key[i].well == key[i - 1].well && key[i].day == key[i - 1].day)
            diag_add(l->d, DIAG_ERROR, columns_place(c, key[i].row, "well"),
                     "well", "keep one row", "%s already given in line %d",
                     what, columns_place(c, key[i - 1].row, "well").line);
}

/* --- tests ---------------------------------------------------------------- */

static void take_rates(const struct loader *l, const struct columns *c,
                       size_t row, struct field_test *t)
{
    size_t n_before = l->d->n_errors;
    double liquid = columns_value(c, row, "liquid");
    double oil = columns_value(c, row, "oil");
    double water = columns_value(c, row, "water");
    double sum = isnan(oil) || isnan(water) ? liquid : oil + water;
    if (isnan(sum) && l->d->n_errors == n_before)
        diag_add(l->d, DIAG_ERROR, columns_place(c, row, "liquid"), "liquid",
                 "a test needs it, or both oil and water",
                 "the liquid rate is not known");
    if (fabs(sum - liquid) > TOL_INPUT_SUM * liquid)
        diag_add(l->d, DIAG_WARNING, columns_place(c, row, "liquid"), "liquid",
                 "oil and water are used",
                 "oil and water do not add up to the liquid");
    t->liquid_sm3s = sum;
    /* NaN where only the liquid is known, or there is none. */
    t->water_cut = (isnan(water) ? sum - oil : water) / sum;
    if (t->water_cut < 0.0 || t->water_cut > 1.0)
        diag_add(l->d, DIAG_ERROR, columns_place(c, row, "liquid"), "liquid",
                 "check the three rates", "oil or water is above the liquid");
}

static struct field_test read_test(const struct loader *l,
                                   const struct columns *c, size_t row)
{
    double accepted = columns_value(c, row, "accepted");
    columns_value(c, row, "note"); /* for its faults */
    struct field_test t = {
        .at = columns_place(c, row, "well"),
        .day = (long)zero_if_missing(columns_value(c, row, "date")),
        .gas_sm3s = columns_value(c, row, "gas"),
        .lift_sm3s = columns_value(c, row, "lift gas"),
        .p_head_pa = columns_value(c, row, "wellhead pressure"),
        .accepted = !(accepted == 0.0),
        .note = columns_text(c, row, "note"),
    };
    take_rates(l, c, row, &t);
    return t;
}

/* Hand every well its tests, in the order of the file. */
static void part_tests(const struct loader *l, const struct row_key *key,
                       const struct field_test *test, size_t n)
{
    struct field *f = l->field;
    for (size_t i = 0; i < f->n_wells; i++) {
        struct field_well *w = &f->well[i];
        w->test = ARENA_NEW(l->arena, w->n_tests, struct field_test);
        w->n_tests = 0;
    }
    for (size_t i = 0; i < n; i++) {
        struct field_well *w = &f->well[key[i].well - f->well];
        w->test[w->n_tests++] = test[i];
    }
}

static bool knows_liquid(const struct loader *l, const struct columns *c)
{
    if (columns_has(c, "liquid") ||
        (columns_has(c, "oil") && columns_has(c, "water")))
        return true;
    diag_add(l->d, DIAG_ERROR, table_place(c->table, c->table->header.cell),
             NULL, "add liquid, or oil and water",
             "no column tells the liquid rate");
    return false;
}

void load_tests(const struct loader *l)
{
    struct columns c;
    if (!bind_file(l, "tests.csv", &c))
        return;
    if (!knows_liquid(l, &c))
        return;
    size_t n_rows = c.table->n_rows, n = 0;
    struct row_key *key = ARENA_NEW(l->arena, n_rows, struct row_key);
    struct field_test *test = ARENA_NEW(l->arena, n_rows, struct field_test);
    for (size_t row = c.first_row; row < n_rows; row++) {
        struct field_well *w = well_of(l, &c, row);
        struct field_test t = read_test(l, &c, row);
        if (w == NULL)
            continue;
        w->n_tests++;
        key[n] = (struct row_key){w, (double)t.day, row};
        test[n++] = t;
    }
    part_tests(l, key, test, n);
    report_twins(l, &c, key, n, "a test of this well and day is");
}

/* --- readings ------------------------------------------------------------- */

static struct field_reading read_reading(const struct columns *c, size_t row)
{
    double status = columns_value(c, row, "status");
    columns_value(c, row, "reason"); /* for its faults */
    return (struct field_reading){
        .given = true,
        .at = columns_place(c, row, "well"),
        .lift_sm3s = columns_value(c, row, "lift gas"),
        .p_casing_pa = columns_value(c, row, "casing pressure"),
        .p_tubing_pa = columns_value(c, row, "tubing pressure"),
        .status = (enum well_status)zero_if_missing(status),
        .reason = columns_text(c, row, "reason"),
    };
}

void load_readings(const struct loader *l)
{
    struct columns c;
    if (!bind_file(l, "readings.csv", &c))
        return;
    size_t n_rows = c.table->n_rows, n = 0;
    struct row_key *key = ARENA_NEW(l->arena, n_rows, struct row_key);
    for (size_t row = c.first_row; row < n_rows; row++) {
        struct field_well *w = well_of(l, &c, row);
        struct field_reading reading = read_reading(&c, row);
        if (w == NULL)
            continue;
        w->reading = reading;
        key[n++] = (struct row_key){w, 0.0, row};
    }
    report_twins(l, &c, key, n, "a reading of this well is");
}
