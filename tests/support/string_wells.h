/* Sample wells with casing and a string of valves: three injection-pressure
 * valves over an orifice, set for a header that reaches the orifice. */
#ifndef SUPPORT_STRING_WELLS_H
#define SUPPORT_STRING_WELLS_H

#include "support/sample_wells.h"

#define STRING_VALVES 4

struct string_well {
    struct sample_well sample; /* points into this struct: do not copy */
    struct well_section gas_section[1];
    struct valve valve[STRING_VALVES];
};

/* p_header: absolute. The valves above open at casing-head pressures of 50,
 * 80 and 110 psi below it. port_64ths: of the orifice. */
void string_well(size_t i, double p_header_pa, double port_64ths,
                 struct string_well *s);

#endif
