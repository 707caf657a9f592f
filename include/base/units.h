/* Dimensions, units, and conversion to SI. Inside the program everything is
 * SI; standard volumes are Sm3, at 15 C and 101.325 kPa; pressures absolute.
 *
 * Sources: NIST SP 811 (2008) app. B for the exact factors; standard volumes
 * are converted as ideal gas between base conditions. */
#ifndef BASE_UNITS_H
#define BASE_UNITS_H

#include <stdbool.h>
#include <stddef.h>

/* Exact by definition (NIST SP 811). */
#define UNIT_FT_M 0.3048
#define UNIT_INCH_M 0.0254
#define UNIT_LBM_KG 0.45359237
#define UNIT_GRAVITY_MS2 9.80665
#define UNIT_ATM_PA 101325.0
#define UNIT_BBL_M3 0.158987294928
#define UNIT_DAY_S 86400.0
#define UNIT_PSI_PA \
    (UNIT_LBM_KG * UNIT_GRAVITY_MS2 / (UNIT_INCH_M * UNIT_INCH_M))
#define UNIT_R_J_MOLK 8.31446261815324
#define UNIT_ZERO_C_K 273.15
/* The standard condition of every Sm3 inside the program. */
#define UNIT_STD_K 288.15
#define UNIT_STD_PA UNIT_ATM_PA

/* dimension, its name in messages and docs, SI unit in words */
#define DIM_LIST(X)                                               \
    X(NUMBER, "a plain number", "1")                              \
    X(FRACTION, "a fraction", "1")                                \
    X(LENGTH, "a length", "m")                                    \
    X(AREA, "an area", "m2")                                      \
    X(SPEED, "a speed", "m/s")                                    \
    X(DENSITY, "a density", "kg/m3")                              \
    X(PRESSURE, "a pressure, gauge or absolute", "Pa absolute")   \
    X(PRESSURE_DIFFERENCE, "a pressure difference", "Pa")         \
    X(TEMPERATURE, "a temperature", "K")                          \
    X(TEMPERATURE_GRADIENT, "a temperature gradient", "K/m")      \
    X(TIME, "a duration", "s")                                    \
    X(LIQUID_RATE, "a liquid rate", "Sm3/s")                      \
    X(GAS_RATE, "a gas rate", "Sm3/s")                            \
    X(LIQUID_VOLUME, "a liquid volume", "Sm3")                    \
    X(GAS_VOLUME, "a gas volume", "Sm3")                          \
    X(GAS_LIQUID_RATIO, "a gas-liquid ratio", "Sm3/Sm3")          \
    X(OIL_PER_GAS, "oil per gas", "Sm3/Sm3")                      \
    X(PRODUCTIVITY, "a productivity index", "Sm3/s/Pa")           \
    X(OIL_GRAVITY, "an oil gravity", "specific gravity, water 1") \
    X(SALINITY, "a salinity", "mass fraction")                    \
    X(POWER, "a power", "W")                                      \
    X(POWER_PER_GAS, "power per gas rate", "W/(Sm3/s)")           \
    X(GAS_PER_ENERGY, "gas per energy", "Sm3/J")                  \
    X(HEAT_RATE, "heat per work", "J/J")                          \
    X(HEATING_VALUE, "heat per gas", "J/Sm3")                     \
    X(LOSS_PER_DEGREE, "a part lost per degree", "1/K")           \
    X(HEAT_TRANSFER, "a heat transfer coefficient", "W/m2/K")     \
    X(CONDUCTIVITY, "a thermal conductivity", "W/m/K")            \
    X(HEAT_CAPACITY, "a specific heat capacity", "J/kg/K")        \
    X(DIFFUSIVITY, "a thermal diffusivity", "m2/s")               \
    X(MONEY, "money", "$")                                        \
    X(MONEY_RATE, "money per time", "$/s")                        \
    X(LIQUID_PRICE, "a price of liquid", "$/Sm3")                 \
    X(GAS_PRICE, "a price of gas", "$/Sm3")                       \
    X(ENERGY_PRICE, "a price of energy", "$/J")

enum dim {
#define DIM_ENUM(name, words, si) DIM_##name,
    DIM_LIST(DIM_ENUM)
#undef DIM_ENUM
        DIM_COUNT
};

const char *dim_words(enum dim d);
const char *dim_si(enum dim d);

/* What "gauge" and "standard cubic foot" mean at this site. */
struct unit_frame {
    double p_atm_pa;  /* local atmospheric pressure */
    double p_base_pa; /* base of scf, Mscf, MMscf */
    double t_base_k;
};

/* 14.696 psia atmosphere, gas base 14.696 psia and 60 F. */
struct unit_frame unit_frame_default(void);

struct unit {
    const char *name; /* as written in files and reports: "MMscf/d" */
    enum dim dim;
    const struct unit_rule *rule; /* private to units.c */
};

/* The unit of that name among the dimension's (exact, case matters), or NULL.
 * Some names serve several dimensions: Sm3/d is a liquid or a gas rate. */
const struct unit *unit_find(enum dim d, const char *name, size_t len);

/* The first unit of that name in any dimension, or NULL: for a message such
 * as "psi is a pressure difference, not a pressure". */
const struct unit *unit_find_any(const char *name, size_t len);

/* The unit for a name known at compile time; asserts that it exists. */
const struct unit *unit_named(enum dim d, const char *name);

/* The names of a dimension's units, "ft, m, in, mm", most usual first; "" for
 * a plain number. */
const char *unit_choices(enum dim d);

/* i-th unit of the table in its order, NULL past the end. */
const struct unit *unit_by_index(size_t i);

double unit_to_si(const struct unit *u, double value,
                  const struct unit_frame *f);
double unit_from_si(const struct unit *u, double si,
                    const struct unit_frame *f);

#endif
