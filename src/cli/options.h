/* The command line: one table of commands and one of options, from which
 * reading, --help and the completion come. */
#ifndef OPTIONS_H
#define OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/units.h"
#include "plan/plan.h"
#include "report/report.h"
#include "scenario/value.h"

struct run;
struct strbuf;

/* Compressors whose state is given. */
#define UNITS_MOST 64

/* unit NULL: not given. */
struct quantity {
    const struct unit *unit;
    double value;
};

struct options {
    const struct command *command; /* NULL: none named */
    const char *scenario;          /* folder */
    const char *well;              /* name, of the command well */
    const char *explain;           /* name of a well, or NULL */
    enum report_format format;
    const char *out; /* folder, or NULL */
    enum show_system units;
    enum plan_objective objective;
    struct quantity gas, header; /* for the scenario's own */
    struct quantity target;      /* of oil */
    struct quantity buy, sell;   /* gas bought at most, sold exactly */
    struct quantity oil_price, sales_price, market_price;
    const char *unit[UNITS_MOST]; /* "NAME=STATE" */
    size_t n_units;
    struct quantity gap, time; /* at which the proof may end */
    bool has_moves;
    size_t moves;
    int threads; /* 0: as many as the machine has */
    bool ladder, has_window;
    struct value_moment window_from, window_to; /* of planned work to start */
    bool diagnose, unload, strict, quiet, help, version;
};

struct command {
    const char *name, *operands, *help;
    size_t n_operands;
    /* Works on the run and prints. *exit_state is what the answer asks for,
     * unless a failure is returned. */
    enum status (*execute)(const struct options *o, struct run *run,
                           int *exit_state, struct err *err);
};

/* argv[argc] as main has it. The texts stay in argv. */
enum status options_read(int argc, char **argv, struct options *o,
                         struct err *err) ST_CHECKED;

/* Help on the command, or on all when it is NULL. */
void options_help(const struct command *command, struct strbuf *out);

#endif
