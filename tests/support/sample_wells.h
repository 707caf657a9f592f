/* Invented wells for tests and benchmarks: deep and shallow, wet and dry,
 * dead and flowing, every gradient and inflow model. */
#ifndef SUPPORT_SAMPLE_WELLS_H
#define SUPPORT_SAMPLE_WELLS_H

#include "well/well.h"

#define SAMPLE_WELLS 12

struct sample_well {
    struct well well; /* points at the two arrays below: do not copy */
    struct well_station station[3];
    struct well_section section[1];
};

void sample_well(size_t i, struct sample_well *s);

/* Field units for tests: stb/d and Mscf/d (14.696 psia, 60 F) in Sm3/s, psi
 * in Pa. */
#define STB_D (0.158987294928 / 86400)
#define MSCF_D (28.26246 / 86400)
#define PSI 6894.757293168

#endif
