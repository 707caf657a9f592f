/* Fields of any size as supervisors have them: pads of 10 to 20 wells, each
 * with a limit on gas and on liquid, two to six machines, limits of handling,
 * a sales contract, and yesterday's rates, which meet every limit. Invented;
 * the same on every machine, as only exact arithmetic is used. */
#ifndef SUPPORT_PAD_FIELD_H
#define SUPPORT_PAD_FIELD_H

#include <stdint.h>

#include "plan/plan.h"
#include "support/field_builder.h"

struct pad_field_options {
    size_t n_wells;
    bool is_hard;   /* scarce gas and tight pads */
    bool has_units; /* machines whose running is free, instead of a limit on
                       lift gas; the goal is money */
    bool has_moves; /* one well in ten may be changed, at least two */
};

/* b is made by builder_init_for. Gives what to ask: the default gap. */
struct plan_options pad_field(uint64_t seed, const struct pad_field_options *o,
                              struct builder *b);

#endif
