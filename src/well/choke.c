/* p = C R^m q / S^n with p in psi, R in scf/stb, q in stb/d and the bean S in
 * 64ths of an inch, fitted to flowing wells by several authors; constants as
 * in Guo, Lyons & Ghalambor (2007) table 5.1 (from memory). */
#include "well/choke.h"

#include <math.h>
#include <stdbool.h>

#include "fluid/paper_units.h"

#define BEAN_UNIT_M (UNIT_INCH_M / 64)
#define STBD_SM3S (UNIT_BBL_M3 / UNIT_DAY_S)

static const struct {
    const char *text;
    double c, m, n;
    bool is_gauge;
} models[CHOKE_COUNT] = {
    [CHOKE_GILBERT] = {"Gilbert", 10.00, 0.546, 1.89, true},
    [CHOKE_ROS] = {"Ros", 17.40, 0.500, 2.00, false},
    [CHOKE_BAXENDELL] = {"Baxendell", 9.56, 0.546, 1.93, false},
    [CHOKE_ACHONG] = {"Achong", 3.82, 0.650, 1.88, false},
    [CHOKE_PILEHVARI] = {"Pilehvari", 46.67, 0.313, 2.11, false},
};

/* p S^n, psi and 64ths of an inch. */
static double strength(enum choke_model model, const struct choke_stream *s)
{
    double r = s->glr_sm3sm3 / PAPER_SCFSTB_SM3SM3;
    double q = s->liquid_sm3s / STBD_SM3S;

    return models[model].c * pow(r, models[model].m) * q;
}

static double zero_pa(enum choke_model model, double p_atm_pa)
{
    return models[model].is_gauge ? p_atm_pa : 0;
}

double choke_pressure_pa(enum choke_model model, const struct choke_stream *s,
                         double bean_m, double p_atm_pa)
{
    double p = strength(model, s) / pow(bean_m / BEAN_UNIT_M, models[model].n);

    return p * UNIT_PSI_PA + zero_pa(model, p_atm_pa);
}

double choke_bean_m(enum choke_model model, const struct choke_stream *s,
                    double p_head_pa, double p_atm_pa)
{
    double p = paper_psia(p_head_pa - zero_pa(model, p_atm_pa));

    if (p <= 0)
        return HUGE_VAL;
    return pow(strength(model, s) / p, 1 / models[model].n) * BEAN_UNIT_M;
}

const char *choke_text(enum choke_model model)
{
    return models[model].text;
}
