/* Values found in print, read from tests/published/<name>.csv. */
#ifndef TESTS_PUBLISHED_H
#define TESTS_PUBLISHED_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* A file: header names and rows of texts. Cells live in the arena. */
struct sheet {
    char **column; /* [n_columns] */
    char **cell;   /* [n_rows * n_columns] */
    size_t n_columns, n_rows;
};

/* Aborts the test when the file cannot be read or a row has not as many
 * cells as the header. */
struct sheet sheet_read(struct arena *a, const char *name);
const char *sheet_text(const struct sheet *s, size_t row, const char *column);
double sheet_number(const struct sheet *s, size_t row, const char *column);

/* One row of checks.csv. */
struct check {
    const struct sheet *sheet;
    size_t row;
    const char *id;
    int number; /* after the last dash, 0 when it is no number */
};

/* "key=12.3 unit" of the row's inputs, its last place, in SI, psig over 14.7
 * psia; what is not there is looked for in the row that "as X-01" names. NaN
 * when there is none. */
double check_input(const struct check *c, const char *key);
/* The same without regard to the unit. */
double check_number(const struct check *c, const char *key);
bool check_is_given(const struct check *c, const char *key);

/* What our code says, in the unit of the row. False: no function knows this
 * row. */
bool published_fluid(const struct check *c, double *got);
bool published_well(const struct check *c, double *got);
bool published_gradient(const struct check *c, double *got);
bool published_annulus(const struct check *c, double *got);
bool published_gas_side(const struct check *c, double *got);
bool published_intermittent(const struct check *c, double *got);
bool published_unload(const struct check *c, double *got);

/* Gas in an upright pipe around a core. */
struct straight_column {
    double gravity, p_head_pa, depth_m, t_head_k, t_slope_km;
    double d_m, roughness_m, core_m;
};
/* Pressure at its foot by our gas path; aborts the test when it fails. */
double straight_column_pa(const struct straight_column *c, double gas_sm3s);

/* Rate through a port by our formula, in Mscf/d at 14.7 psia and 60 F. */
double round_port_mscfd(double d_m, double gravity, double p_up_pa,
                        double p_down_pa, double t_k);

/* Pressures in psia at the 29 steps of the well of HB-01, found by explicit
 * steps from the top. */
enum hb_variant { HB_ORIGINAL, HB_NO_SLIP, HB_GRIFFITH };
#define HB_STEPS 29
void hb_march(const struct check *c, enum hb_variant variant,
              double p_psia[HB_STEPS + 1]);

#endif
