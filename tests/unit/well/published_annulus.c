/* Rows of checks.csv about annular flow and chokes. */
#include <string.h>

#include "fluid/paper_units.h"
#include "published.h"
#include "well/choke.h"
#include "well/friction.h"
#include "well/gradient.h"

static double annulus(const struct check *c)
{
    if (c->number == 5)
        return annulus_hydraulic_m(check_input(c, "ID"), check_input(c, "OD")) /
               UNIT_INCH_M;
    /* Fanning's, a quarter of Moody's. */
    return friction_laminar(1, check_number(c, "K=D_i/D_o")) / 4;
}

/* The rows are numbered as the models are. */
static double choke(const struct check *c)
{
    enum choke_model model = (enum choke_model)(c->number - 1);
    struct choke_stream s = {check_input(c, "q"), check_input(c, "R")};
    double bean = check_number(c, "S") / 64 * UNIT_INCH_M, p_atm = 98e3;
    double p = choke_pressure_pa(model, &s, bean, p_atm);

    return (model == CHOKE_GILBERT ? p - p_atm : p) / UNIT_PSI_PA;
}

bool published_annulus(const struct check *c, double *got)
{
    if (strncmp(c->id, "AN-", 3) == 0)
        *got = annulus(c);
    else if (strncmp(c->id, "CH-", 3) == 0)
        *got = choke(c);
    else
        return false;
    return true;
}
