/* A small field with a finished morning, built by hand: what the planner
 * would hand over, with round figures that a reader can add up. */
#ifndef EXAMPLE_H
#define EXAMPLE_H

#include "plan/morning.h"
#include "report/report.h"

#define EXAMPLE_WELLS 3

/* Field units to what structs hold. */
double gas_mscfd(double v);
double oil_stbd(double v);

struct example {
    struct arena arena;
    struct diag diag;
    struct field field;
    struct field_group manifold[1];
    struct plan_unit unit[2];
    struct field_compressor compressor[2];
    struct field_well well[EXAMPLE_WELLS];
    struct curve curve[EXAMPLE_WELLS];
    struct plan_well now[EXAMPLE_WELLS], plan[EXAMPLE_WELLS];
    struct plan_limit limit[3];
    struct move move[2];
    struct kept_well kept[1];
    struct verify_well checked[EXAMPLE_WELLS];
    struct morning morning;
    struct report report;
};

/* Wells A-1 (300 to 500 Mscf/d, 200 to 230 stb/d), B-2 (600 to 400, 150 to
 * 140) and C-3 (held at 100, 50). Lift gas limit 1 MMscf/d, all of it used.
 * No prices. Release the arena at the end. */
void example_init(struct example *e);

/* The report in that format, in the example's arena. */
const char *example_morning(struct example *e, enum report_format f);

#endif
