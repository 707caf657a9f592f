/* One well in depth: what it is, how it flows now and as planned, and why the
 * plan gives it what it does. */
#ifndef REPORT_WELL_H
#define REPORT_WELL_H

#include "curve/cures.h"
#include "plan/morning.h"
#include "report/report.h"
#include "well/diagnose.h"
#include "well/operate.h"
#include "well/valve_string.h"

/* Header pressures of the table, parts of the present one. */
#define WELL_HEADERS 11

struct well_state {
    double lift_sm3s, oil_sm3s; /* of a dual: both strings */
    double string_sm3s;         /* gas of this string */
    struct operating operating; /* n 0 without a model */
    /* Where the gas path is described and the well flows; else n 0. */
    struct string_state gas;
};

/* What each station would pass at another header pressure, with the tubing as
 * planned. */
struct well_header {
    double p_header_pa;
    double rate_sm3s[STRING_MAX];
};

struct well_facts {
    size_t well; /* index in the field */
    /* The well, or the second string of a dual: whose model this is. */
    const struct field_well *string;
    struct well model; /* as the curve has it; without a model not set */
    const struct morning *morning;
    struct well_state now, plan; /* the same where there is no plan */
    /* Oil at the planned rate when outflow pressure is 2 % higher and lower;
     * NaN without a model. */
    double oil_low_sm3s, oil_high_sm3s;
    struct traverse_profile profile; /* planned; n 0: none */
    size_t n_headers;                /* 0: no valves, or no header pressure */
    struct well_header header[WELL_HEADERS];
    bool heads; /* at the planned rate; then the cures are set */
    struct cures cures;
    bool shows_diagnosis;
    struct diagnosis diagnosis;
    bool shows_unload; /* then from a kill, and with gas in the annulus */
    struct unload unload, restart;
    struct intermittent_cycle cycle; /* planned, of an intermittent well */
};

/* Runs the well's model, or that of a dual's second string, at both rates.
 * Arrays belong to a. */
enum status well_facts_solve(const struct field *f, const struct curve *curves,
                             const struct morning *m, size_t well, bool second,
                             struct arena *a, struct well_facts *out,
                             struct err *err) ST_CHECKED;

/* Adds what this morning's reading is consistent with. A well without valves
 * or without the readings: ST_USAGE. */
enum status well_facts_diagnose(const struct field *f, struct well_facts *w,
                                struct err *err) ST_CHECKED;

/* Adds how it is unloaded. A well without valves or without a pressure to do
 * it with: ST_USAGE. */
enum status well_facts_unload(struct well_facts *w, struct err *err) ST_CHECKED;

/* Table: all of it with a plot of the curve. CSV: the profile by depth. JSON:
 * all of it. */
void report_well(const struct report *r, const struct well_facts *w,
                 enum report_format f, struct strbuf *out);

#endif
