/* The units in which the correlations were published, for the first and last
 * lines of each: psia, degrees Fahrenheit and Rankine, scf/stb, lb/ft3. */
#ifndef FLUID_PAPER_UNITS_H
#define FLUID_PAPER_UNITS_H

#include "base/units.h"

#define PAPER_FT3_M3 (UNIT_FT_M * UNIT_FT_M * UNIT_FT_M)
#define PAPER_LBFT3_KGM3 (UNIT_LBM_KG / PAPER_FT3_M3)
#define PAPER_CP_PAS 1e-3
#define PAPER_DYNCM_NM 1e-3

/* Base of the correlations' scf: 14.696 psia and 60 F. */
#define PAPER_BASE_PA (14.696 * UNIT_PSI_PA)
#define PAPER_BASE_K (519.67 / 1.8)
/* Sm3 of one scf, as ideal gas. */
#define PAPER_SCF_SM3 \
    (PAPER_FT3_M3 * (PAPER_BASE_PA / UNIT_STD_PA) * (UNIT_STD_K / PAPER_BASE_K))
/* Sm3/Sm3 of one scf/stb; the barrel of stock-tank oil is not corrected from
 * 60 F to 15 C. */
#define PAPER_SCFSTB_SM3SM3 (PAPER_SCF_SM3 / UNIT_BBL_M3)

/* Fresh water at 60 F, 62.366 lb/ft3: what oil gravity refers to. */
#define PAPER_WATER_KGM3 (62.366 * PAPER_LBFT3_KGM3)
/* Molar mass of air (CIPM 1981/91). */
#define PAPER_AIR_KGMOL 0.0289647

static inline double paper_psia(double p_pa)
{
    return p_pa / UNIT_PSI_PA;
}

static inline double paper_rankine(double t_k)
{
    return t_k * 1.8;
}

static inline double paper_fahrenheit(double t_k)
{
    return t_k * 1.8 - 459.67;
}

#endif
