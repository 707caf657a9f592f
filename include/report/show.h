/* Numbers for people: one place decides the unit and the digits of each
 * quantity, in field units or metric ones. */
#ifndef REPORT_SHOW_H
#define REPORT_SHOW_H

#include "base/units.h"

struct arena;

#define SHOW_SYSTEM_LIST(X) X(FIELD, "field") X(METRIC, "metric")

enum show_system {
#define SHOW_SYSTEM_ENUM(name, key) SHOW_##name,
    SHOW_SYSTEM_LIST(SHOW_SYSTEM_ENUM)
#undef SHOW_SYSTEM_ENUM
        SHOW_SYSTEMS
};

/* quantity, dimension, field unit and its digits, metric unit and its digits:
 * as many as the meters of the trade can tell (common practice, no source) */
#define SHOW_LIST(X)                                               \
    X(WELL_GAS, GAS_RATE, "Mscf/d", 0, "kSm3/d", 1)                \
    X(FIELD_GAS, GAS_RATE, "MMscf/d", 2, "kSm3/d", 1)              \
    X(LIQUID, LIQUID_RATE, "stb/d", 0, "Sm3/d", 1)                 \
    X(OIL_PER_GAS, OIL_PER_GAS, "stb/Mscf", 3, "Sm3/kSm3", 3)      \
    X(OIL_PER_LIQUID, FRACTION, "fraction", 3, "fraction", 3)      \
    X(GAS_OIL_RATIO, GAS_LIQUID_RATIO, "scf/stb", 0, "Sm3/Sm3", 1) \
    X(PRESSURE, PRESSURE, "psig", 0, "barg", 1)                    \
    X(PRESSURE_STEP, PRESSURE_DIFFERENCE, "psi", 0, "bar", 1)      \
    X(TEMPERATURE, TEMPERATURE, "F", 0, "C", 0)                    \
    X(DEPTH, LENGTH, "ft", 0, "m", 0)                              \
    X(DIAMETER, LENGTH, "in", 3, "mm", 1)                          \
    X(PRODUCTIVITY, PRODUCTIVITY, "stb/d/psi", 2, "Sm3/d/bar", 2)  \
    X(OIL_GRAVITY, OIL_GRAVITY, "API", 1, "sg", 3)                 \
    X(POWER, POWER, "hp", 0, "kW", 0)                              \
    X(OIL_VOLUME, LIQUID_VOLUME, "stb", 0, "Sm3", 1)               \
    X(WELL_GAS_VOLUME, GAS_VOLUME, "Mscf", 0, "kSm3", 1)           \
    X(FIELD_GAS_VOLUME, GAS_VOLUME, "MMscf", 2, "kSm3", 1)         \
    X(MONEY_SUM, MONEY, "$", 0, "$", 0)                            \
    X(MONEY, MONEY_RATE, "$/d", 0, "$/d", 0)                       \
    X(GAS_PRICE, GAS_PRICE, "$/Mscf", 2, "$/kSm3", 2)              \
    X(LIQUID_PRICE, LIQUID_PRICE, "$/stb", 2, "$/Sm3", 2)          \
    X(PERCENT, FRACTION, "%", 1, "%", 1)

enum show_quantity {
#define SHOW_ENUM(name, dim, field, field_digits, metric, metric_digits) \
    SHOW_##name,
    SHOW_LIST(SHOW_ENUM)
#undef SHOW_ENUM
};

struct show {
    struct arena *arena; /* of the texts made */
    enum show_system system;
    struct unit_frame frame;
};

/* "field", "metric" */
const char *show_system_key(enum show_system s);

const char *show_unit(const struct show *s, enum show_quantity q);
double show_value(const struct show *s, enum show_quantity q, double si);

/* The number without its unit; "-" when not finite. */
const char *show_number(const struct show *s, enum show_quantity q, double si);
/* The same with a plus above zero. */
const char *show_change(const struct show *s, enum show_quantity q, double si);
/* From one value to another, so that it agrees with both as they are shown. */
const char *show_step(const struct show *s, enum show_quantity q,
                      double from_si, double to_si);
/* Number and unit; money as "$120/d", "-$120/d". */
const char *show_full(const struct show *s, enum show_quantity q, double si);

/* Names of a value with its unit: "oil_stb_d" for JSON, "oil (stb/d)" for
 * CSV. */
const char *show_key(const struct show *s, const char *name,
                     enum show_quantity q);
const char *show_title(const struct show *s, const char *name,
                       enum show_quantity q);

/* "2026-11-25" from days since 1970-01-01. */
const char *show_day(const struct show *s, long day);

/* The conditions that gas volumes are counted at, and the local atmosphere:
 * "14.696 psia and 60 F; local atmosphere 14.696 psia" */
const char *show_base(const struct show *s);

#endif
