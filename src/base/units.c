/* One table of units. Factors are products of exact definitions (NIST SP 811,
 * 2008, app. B), never rounded results. */
#include "base/units.h"

#include <assert.h>
#include <string.h>

/* Products of the definitions. */
#define FT3_M3 (UNIT_FT_M * UNIT_FT_M * UNIT_FT_M)
#define HOUR_S 3600.0
#define LBF_N (UNIT_LBM_KG * UNIT_GRAVITY_MS2)
/* Horsepower of 550 ft lbf/s; the Btu of the International Table. */
#define HP_W (550.0 * UNIT_FT_M * LBF_N)
#define BTU_J (2326.0 * UNIT_LBM_KG)
#define F_K (5.0 / 9.0)
#define ZERO_F_IN_R 459.67
/* API gravity: 141.5 / sg - 131.5 at 60 F, by definition. */
#define API_NUMERATOR 141.5
#define API_OFFSET 131.5

enum rule_kind {
    LINEAR,      /* si = factor value */
    ABOVE_ZERO,  /* si = factor (value + offset): temperatures */
    GAUGE,       /* si = factor value + local atmosphere */
    PER_BASE,    /* gas volume at the frame's base above the line */
    UNDER_BASE,  /* the same below the line */
    API_DEGREES, /* reciprocal */
};

struct unit_rule {
    enum rule_kind kind;
    double factor, offset;
};

#define UNIT(name, dim, kind, factor, offset)      \
    {                                              \
        name, DIM_##dim, &(const struct unit_rule) \
        {                                          \
            kind, factor, offset                   \
        }                                          \
    }

static const struct unit UNITS[] = {
    UNIT("fraction", FRACTION, LINEAR, 1.0, 0.0),
    UNIT("%", FRACTION, LINEAR, 1e-2, 0.0),
    UNIT("ppm", FRACTION, LINEAR, 1e-6, 0.0),

    UNIT("ft", LENGTH, LINEAR, UNIT_FT_M, 0.0),
    UNIT("m", LENGTH, LINEAR, 1.0, 0.0),
    UNIT("in", LENGTH, LINEAR, UNIT_INCH_M, 0.0),
    UNIT("mm", LENGTH, LINEAR, 1e-3, 0.0),
    UNIT("cm", LENGTH, LINEAR, 1e-2, 0.0),
    UNIT("km", LENGTH, LINEAR, 1e3, 0.0),

    UNIT("64ths", LENGTH, LINEAR, UNIT_INCH_M / 64.0, 0.0),

    UNIT("in2", AREA, LINEAR, UNIT_INCH_M *UNIT_INCH_M, 0.0),
    UNIT("cm2", AREA, LINEAR, 1e-4, 0.0),
    UNIT("mm2", AREA, LINEAR, 1e-6, 0.0),

    UNIT("ft/min", SPEED, LINEAR, UNIT_FT_M / 60.0, 0.0),
    UNIT("m/s", SPEED, LINEAR, 1.0, 0.0),

    UNIT("lb/gal", DENSITY, LINEAR, UNIT_LBM_KG / (FT3_M3 * 231.0 / 1728.0),
         0.0),
    UNIT("lb/ft3", DENSITY, LINEAR, UNIT_LBM_KG / FT3_M3, 0.0),
    UNIT("kg/m3", DENSITY, LINEAR, 1.0, 0.0),

    UNIT("psig", PRESSURE, GAUGE, UNIT_PSI_PA, 0.0),
    UNIT("psia", PRESSURE, LINEAR, UNIT_PSI_PA, 0.0),
    UNIT("barg", PRESSURE, GAUGE, 1e5, 0.0),
    UNIT("bara", PRESSURE, LINEAR, 1e5, 0.0),
    UNIT("kPag", PRESSURE, GAUGE, 1e3, 0.0),
    UNIT("kPaa", PRESSURE, LINEAR, 1e3, 0.0),
    UNIT("MPaa", PRESSURE, LINEAR, 1e6, 0.0),
    UNIT("Pa", PRESSURE, LINEAR, 1.0, 0.0),

    UNIT("psi", PRESSURE_DIFFERENCE, LINEAR, UNIT_PSI_PA, 0.0),
    UNIT("bar", PRESSURE_DIFFERENCE, LINEAR, 1e5, 0.0),
    UNIT("kPa", PRESSURE_DIFFERENCE, LINEAR, 1e3, 0.0),

    UNIT("F", TEMPERATURE, ABOVE_ZERO, F_K, ZERO_F_IN_R),
    UNIT("C", TEMPERATURE, ABOVE_ZERO, 1.0, UNIT_ZERO_C_K),
    UNIT("K", TEMPERATURE, LINEAR, 1.0, 0.0),
    UNIT("R", TEMPERATURE, LINEAR, F_K, 0.0),

    UNIT("F/100ft", TEMPERATURE_GRADIENT, LINEAR, F_K / (100.0 * UNIT_FT_M),
         0.0),
    UNIT("C/100m", TEMPERATURE_GRADIENT, LINEAR, 1e-2, 0.0),
    UNIT("F/ft", TEMPERATURE_GRADIENT, LINEAR, F_K / UNIT_FT_M, 0.0),
    UNIT("K/m", TEMPERATURE_GRADIENT, LINEAR, 1.0, 0.0),

    UNIT("d", TIME, LINEAR, UNIT_DAY_S, 0.0),
    UNIT("h", TIME, LINEAR, HOUR_S, 0.0),
    UNIT("min", TIME, LINEAR, 60.0, 0.0),
    UNIT("s", TIME, LINEAR, 1.0, 0.0),

    UNIT("stb/d", LIQUID_RATE, LINEAR, UNIT_BBL_M3 / UNIT_DAY_S, 0.0),
    UNIT("bbl/d", LIQUID_RATE, LINEAR, UNIT_BBL_M3 / UNIT_DAY_S, 0.0),
    UNIT("Sm3/d", LIQUID_RATE, LINEAR, 1.0 / UNIT_DAY_S, 0.0),
    UNIT("m3/d", LIQUID_RATE, LINEAR, 1.0 / UNIT_DAY_S, 0.0),

    UNIT("Mscf/d", GAS_RATE, PER_BASE, 1e3 * FT3_M3 / UNIT_DAY_S, 0.0),
    UNIT("MMscf/d", GAS_RATE, PER_BASE, 1e6 * FT3_M3 / UNIT_DAY_S, 0.0),
    UNIT("scf/d", GAS_RATE, PER_BASE, FT3_M3 / UNIT_DAY_S, 0.0),
    UNIT("Sm3/d", GAS_RATE, LINEAR, 1.0 / UNIT_DAY_S, 0.0),
    UNIT("kSm3/d", GAS_RATE, LINEAR, 1e3 / UNIT_DAY_S, 0.0),
    UNIT("MSm3/d", GAS_RATE, LINEAR, 1e6 / UNIT_DAY_S, 0.0),

    UNIT("stb", LIQUID_VOLUME, LINEAR, UNIT_BBL_M3, 0.0),
    UNIT("bbl", LIQUID_VOLUME, LINEAR, UNIT_BBL_M3, 0.0),
    UNIT("Sm3", LIQUID_VOLUME, LINEAR, 1.0, 0.0),
    UNIT("m3", LIQUID_VOLUME, LINEAR, 1.0, 0.0),

    UNIT("Mscf", GAS_VOLUME, PER_BASE, 1e3 * FT3_M3, 0.0),
    UNIT("MMscf", GAS_VOLUME, PER_BASE, 1e6 * FT3_M3, 0.0),
    UNIT("scf", GAS_VOLUME, PER_BASE, FT3_M3, 0.0),
    UNIT("Sm3", GAS_VOLUME, LINEAR, 1.0, 0.0),
    UNIT("kSm3", GAS_VOLUME, LINEAR, 1e3, 0.0),

    UNIT("scf/stb", GAS_LIQUID_RATIO, PER_BASE, FT3_M3 / UNIT_BBL_M3, 0.0),
    UNIT("Mscf/stb", GAS_LIQUID_RATIO, PER_BASE, 1e3 * FT3_M3 / UNIT_BBL_M3,
         0.0),
    UNIT("Sm3/Sm3", GAS_LIQUID_RATIO, LINEAR, 1.0, 0.0),

    UNIT("stb/Mscf", OIL_PER_GAS, UNDER_BASE, UNIT_BBL_M3 / (1e3 * FT3_M3),
         0.0),
    UNIT("stb/MMscf", OIL_PER_GAS, UNDER_BASE, UNIT_BBL_M3 / (1e6 * FT3_M3),
         0.0),
    UNIT("Sm3/kSm3", OIL_PER_GAS, LINEAR, 1e-3, 0.0),

    UNIT("stb/d/psi", PRODUCTIVITY, LINEAR,
         UNIT_BBL_M3 / UNIT_DAY_S / UNIT_PSI_PA, 0.0),
    UNIT("Sm3/d/bar", PRODUCTIVITY, LINEAR, 1.0 / UNIT_DAY_S / 1e5, 0.0),

    UNIT("API", OIL_GRAVITY, API_DEGREES, API_NUMERATOR, API_OFFSET),
    UNIT("sg", OIL_GRAVITY, LINEAR, 1.0, 0.0),

    UNIT("wt%", SALINITY, LINEAR, 1e-2, 0.0),
    UNIT("ppm", SALINITY, LINEAR, 1e-6, 0.0),

    UNIT("hp", POWER, LINEAR, HP_W, 0.0),
    UNIT("kW", POWER, LINEAR, 1e3, 0.0),
    UNIT("MW", POWER, LINEAR, 1e6, 0.0),
    UNIT("W", POWER, LINEAR, 1.0, 0.0),

    UNIT("hp per MMscf/d", POWER_PER_GAS, UNDER_BASE,
         HP_W *UNIT_DAY_S / (1e6 * FT3_M3), 0.0),
    UNIT("kW per kSm3/d", POWER_PER_GAS, LINEAR, UNIT_DAY_S, 0.0),

    UNIT("scf/hp-h", GAS_PER_ENERGY, PER_BASE, FT3_M3 / (HP_W * HOUR_S), 0.0),
    UNIT("Sm3/kWh", GAS_PER_ENERGY, LINEAR, 1.0 / (1e3 * HOUR_S), 0.0),

    UNIT("Btu/hp-h", HEAT_RATE, LINEAR, BTU_J / (HP_W * HOUR_S), 0.0),
    UNIT("kJ/kWh", HEAT_RATE, LINEAR, 1.0 / HOUR_S, 0.0),

    UNIT("Btu/scf", HEATING_VALUE, UNDER_BASE, BTU_J / FT3_M3, 0.0),
    UNIT("MJ/Sm3", HEATING_VALUE, LINEAR, 1e6, 0.0),

    UNIT("%/F", LOSS_PER_DEGREE, LINEAR, 1e-2 / F_K, 0.0),
    UNIT("%/C", LOSS_PER_DEGREE, LINEAR, 1e-2, 0.0),

    UNIT("Btu/h/ft2/F", HEAT_TRANSFER, LINEAR,
         BTU_J / HOUR_S / (UNIT_FT_M * UNIT_FT_M) / F_K, 0.0),
    UNIT("W/m2/K", HEAT_TRANSFER, LINEAR, 1.0, 0.0),

    UNIT("Btu/h/ft/F", CONDUCTIVITY, LINEAR, BTU_J / HOUR_S / UNIT_FT_M / F_K,
         0.0),
    UNIT("W/m/K", CONDUCTIVITY, LINEAR, 1.0, 0.0),

    UNIT("Btu/lb/F", HEAT_CAPACITY, LINEAR, BTU_J / UNIT_LBM_KG / F_K, 0.0),
    UNIT("kJ/kg/K", HEAT_CAPACITY, LINEAR, 1e3, 0.0),

    UNIT("ft2/h", DIFFUSIVITY, LINEAR, UNIT_FT_M *UNIT_FT_M / HOUR_S, 0.0),
    UNIT("m2/s", DIFFUSIVITY, LINEAR, 1.0, 0.0),

    UNIT("$", MONEY, LINEAR, 1.0, 0.0),

    UNIT("$/d", MONEY_RATE, LINEAR, 1.0 / UNIT_DAY_S, 0.0),

    UNIT("$/stb", LIQUID_PRICE, LINEAR, 1.0 / UNIT_BBL_M3, 0.0),
    UNIT("$/bbl", LIQUID_PRICE, LINEAR, 1.0 / UNIT_BBL_M3, 0.0),
    UNIT("$/Sm3", LIQUID_PRICE, LINEAR, 1.0, 0.0),

    UNIT("$/Mscf", GAS_PRICE, UNDER_BASE, 1.0 / (1e3 * FT3_M3), 0.0),
    UNIT("$/MMscf", GAS_PRICE, UNDER_BASE, 1.0 / (1e6 * FT3_M3), 0.0),
    UNIT("$/kSm3", GAS_PRICE, LINEAR, 1e-3, 0.0),
    UNIT("$/Sm3", GAS_PRICE, LINEAR, 1.0, 0.0),

    UNIT("$/kWh", ENERGY_PRICE, LINEAR, 1.0 / (1e3 * HOUR_S), 0.0),
    UNIT("$/MWh", ENERGY_PRICE, LINEAR, 1.0 / (1e6 * HOUR_S), 0.0),
};

/* Kept equal to the table by a test. */
static const char *const CHOICES[DIM_COUNT] = {
    [DIM_NUMBER] = "",
    [DIM_FRACTION] = "fraction, %, ppm",
    [DIM_LENGTH] = "ft, m, in, mm, cm, km, 64ths",
    [DIM_AREA] = "in2, cm2, mm2",
    [DIM_SPEED] = "ft/min, m/s",
    [DIM_DENSITY] = "lb/gal, lb/ft3, kg/m3",
    [DIM_PRESSURE] = "psig, psia, barg, bara, kPag, kPaa, MPaa, Pa",
    [DIM_PRESSURE_DIFFERENCE] = "psi, bar, kPa",
    [DIM_TEMPERATURE] = "F, C, K, R",
    [DIM_TEMPERATURE_GRADIENT] = "F/100ft, C/100m, F/ft, K/m",
    [DIM_TIME] = "d, h, min, s",
    [DIM_LIQUID_RATE] = "stb/d, bbl/d, Sm3/d, m3/d",
    [DIM_GAS_RATE] = "Mscf/d, MMscf/d, scf/d, Sm3/d, kSm3/d, MSm3/d",
    [DIM_LIQUID_VOLUME] = "stb, bbl, Sm3, m3",
    [DIM_GAS_VOLUME] = "Mscf, MMscf, scf, Sm3, kSm3",
    [DIM_GAS_LIQUID_RATIO] = "scf/stb, Mscf/stb, Sm3/Sm3",
    [DIM_OIL_PER_GAS] = "stb/Mscf, stb/MMscf, Sm3/kSm3",
    [DIM_PRODUCTIVITY] = "stb/d/psi, Sm3/d/bar",
    [DIM_OIL_GRAVITY] = "API, sg",
    [DIM_SALINITY] = "wt%, ppm",
    [DIM_POWER] = "hp, kW, MW, W",
    [DIM_POWER_PER_GAS] = "hp per MMscf/d, kW per kSm3/d",
    [DIM_GAS_PER_ENERGY] = "scf/hp-h, Sm3/kWh",
    [DIM_HEAT_RATE] = "Btu/hp-h, kJ/kWh",
    [DIM_HEATING_VALUE] = "Btu/scf, MJ/Sm3",
    [DIM_LOSS_PER_DEGREE] = "%/F, %/C",
    [DIM_HEAT_TRANSFER] = "Btu/h/ft2/F, W/m2/K",
    [DIM_CONDUCTIVITY] = "Btu/h/ft/F, W/m/K",
    [DIM_HEAT_CAPACITY] = "Btu/lb/F, kJ/kg/K",
    [DIM_DIFFUSIVITY] = "ft2/h, m2/s",
    [DIM_MONEY] = "$",
    [DIM_MONEY_RATE] = "$/d",
    [DIM_LIQUID_PRICE] = "$/stb, $/bbl, $/Sm3",
    [DIM_GAS_PRICE] = "$/Mscf, $/MMscf, $/kSm3, $/Sm3",
    [DIM_ENERGY_PRICE] = "$/kWh, $/MWh",
};

#define N_UNITS (sizeof UNITS / sizeof UNITS[0])

const char *dim_words(enum dim d)
{
    static const char *const WORDS[] = {
#define DIM_WORDS(name, words, si) words,
        DIM_LIST(DIM_WORDS)
#undef DIM_WORDS
    };
    return WORDS[d];
}

const char *dim_si(enum dim d)
{
    static const char *const SI[] = {
#define DIM_SI(name, words, si) si,
        DIM_LIST(DIM_SI)
#undef DIM_SI
    };
    return SI[d];
}

struct unit_frame unit_frame_default(void)
{
    double p_pa = 14.696 * UNIT_PSI_PA;
    return (struct unit_frame){
        .p_atm_pa = p_pa,
        .p_base_pa = p_pa,
        .t_base_k = F_K * (60.0 + ZERO_F_IN_R),
    };
}

static bool is_named(const struct unit *u, const char *name, size_t len)
{
    return strlen(u->name) == len && memcmp(u->name, name, len) == 0;
}

const struct unit *unit_find(enum dim d, const char *name, size_t len)
{
    for (size_t i = 0; i < N_UNITS; i++)
        if (UNITS[i].dim == d && is_named(&UNITS[i], name, len))
            return &UNITS[i];
    return NULL;
}

const struct unit *unit_find_any(const char *name, size_t len)
{
    for (size_t i = 0; i < N_UNITS; i++)
        if (is_named(&UNITS[i], name, len))
            return &UNITS[i];
    return NULL;
}

const struct unit *unit_named(enum dim d, const char *name)
{
    const struct unit *u = unit_find(d, name, strlen(name));
    assert(u != NULL);
    return u;
}

const char *unit_choices(enum dim d)
{
    return CHOICES[d];
}

const struct unit *unit_by_index(size_t i)
{
    return i < N_UNITS ? &UNITS[i] : NULL;
}

/* Sm3 of ideal gas in one m3 at the frame's base. */
static double sm3_per_base_m3(const struct unit_frame *f)
{
    return f->p_base_pa / UNIT_STD_PA * (UNIT_STD_K / f->t_base_k);
}

double unit_to_si(const struct unit *u, double value,
                  const struct unit_frame *f)
{
    const struct unit_rule *r = u->rule;
    switch (r->kind) {
    case ABOVE_ZERO:
        return r->factor * (value + r->offset);
    case GAUGE:
        return r->factor * value + f->p_atm_pa;
    case PER_BASE:
        return r->factor * value * sm3_per_base_m3(f);
    case UNDER_BASE:
        return r->factor * value / sm3_per_base_m3(f);
    case API_DEGREES:
        return r->factor / (value + r->offset);
    case LINEAR:
        break;
    }
    return r->factor * value;
}

double unit_from_si(const struct unit *u, double si, const struct unit_frame *f)
{
    const struct unit_rule *r = u->rule;
    switch (r->kind) {
    case ABOVE_ZERO:
        return si / r->factor - r->offset;
    case GAUGE:
        return (si - f->p_atm_pa) / r->factor;
    case PER_BASE:
        return si / r->factor / sm3_per_base_m3(f);
    case UNDER_BASE:
        return si / r->factor * sm3_per_base_m3(f);
    case API_DEGREES:
        return r->factor / si - r->offset;
    case LINEAR:
        break;
    }
    return si / r->factor;
}
