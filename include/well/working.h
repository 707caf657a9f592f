/* A well at an injection rate, tubing and gas side together: where it works,
 * and who passes the gas at which casing pressure. */
#ifndef WELL_WORKING_H
#define WELL_WORKING_H

#include "well/valve_string.h"

struct working {
    /* False: dead at that rate, or, shared, no rate at which it stays. */
    bool flows;
    double liquid_sm3s;
    struct string_state gas;
    int traverses;
    struct march_count count;
};

/* All gas at the operating station, the highest stable crossing; to_open_pa of
 * its gas tells what that would open above. Errors as operate_highest and
 * string_single. */
enum status working_single(const struct well *w, double gas_sm3s,
                           struct working *out, struct err *err) ST_CHECKED;

/* The gas where the valves let it in. Gas that enters higher lifts less: the
 * crossing is looked for downwards from that of working_single. Where a station
 * opens, outflow may jump past inflow: the well does not stay there. */
enum status working_shared(const struct well *w, double gas_sm3s,
                           struct working *out, struct err *err) ST_CHECKED;

#endif
