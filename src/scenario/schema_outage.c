/* The rows of outage.yaml. Usual ranges are common practice, without a source,
 * and only warn. */
#include "schema_rows.h"

#define RESTART(section, unload, gas, build_up)                                \
    QUANTITY(section ".unload", OPT, TIME, "h", 0, 336, 0, 72, unload,         \
             "From the first gas until it makes oil again."),                  \
        QUANTITY(section ".gas", OPT, GAS_VOLUME, "Mscf", 0, 1e5, 0, 1e4, gas, \
                 "Let in until then."),                                        \
        QUANTITY(section ".build_up", OPT, TIME, "h", 0, 336, 0, 72, build_up, \
                 "From then until it makes all its oil, evenly."),             \
        QUANTITY(section ".alone", OPT, TIME, "h", 0, 8760, 1, 8760, NULL,     \
                 "It may stand or flow without gas so long without harm; as "  \
                 "long as you like when missing.")

const struct schema_row SCHEMA_OUTAGE[] = {
    MAP("outage", OPT, "A disturbance and the time round it."),
    COUNT("outage.format", REQ, 1, 1, NULL,
          "The version of this file format, so that later programs still "
          "read it."),
    PLAIN("outage.name", NAME, REQ, NULL, "Heads the report."),
    PLAIN("outage.start", CLOCK, OPT, "06:00",
          "When the plan begins, on the day of the scenario."),
    QUANTITY("outage.horizon", REQ, TIME, "h", 1, 336, 1, 336, NULL,
             "How far the plan looks: past the end of the outage, until the "
             "wells are back."),
    QUANTITY("outage.period", OPT, TIME, "min", 15, 1440, 15, 240, "60 min",
             "Rates stay the same within it; the horizon is a whole number "
             "of periods."),

    MAP("outage.shifts", OPT,
        "Of the crews that change the wells' rates; without it any number of "
        "wells can be changed at any time."),
    PLAIN("outage.shifts.first", CLOCK, OPT, "06:00",
          "When one of them begins."),
    QUANTITY("outage.shifts.length", REQ, TIME, "h", 1, 24, 6, 24, NULL,
             "They follow each other without a gap."),
    COUNT("outage.shifts.moves", REQ, 0, 100000, NULL,
          "The most changes of a well's rate that one can make."),

    QUANTITY("outage.stopped_at_least", OPT, TIME, "h", 0, 336, 0, 24, "0 h",
             "A well once stopped is not started before."),
    QUANTITY("outage.running_at_least", OPT, TIME, "h", 0, 336, 0, 24, "0 h",
             "A well once started is not stopped before."),

    MAP("outage.flare", OPT, "Beside the rate that may be flared."),
    QUANTITY("outage.flare.hours", OPT, TIME, "h", 0, 336, 0, 336, NULL,
             "With any flaring, in all."),
    QUANTITY("outage.flare.volume", OPT, GAS_VOLUME, "MMscf", 0, 50000, 0, 500,
             NULL, "Flared in all."),

    MAP("outage.store", OPT,
        "Gas in headers and lines above what they need to deliver."),
    QUANTITY("outage.store.now", OPT, GAS_VOLUME, "Mscf", 0, 1e5, 0, 5000,
             "0 Mscf", "At the start."),
    QUANTITY("outage.store.most", REQ, GAS_VOLUME, "Mscf", 0, 1e5, 1, 5000,
             NULL, "That they can hold."),

    LIST("outage.weather", OPT,
         "The temperature of the air through the day, every day alike; units "
         "with derating follow it."),
    PLAIN("outage.weather.*.from", CLOCK, REQ, NULL,
          "Rising from row to row; each holds until the next."),
    QUANTITY("outage.weather.*.ambient", REQ, TEMPERATURE, "F", -60, 140, 0,
             125, NULL, "From then on."),

    NAMED("outage.ramps", OPT, "Manifolds whose lift gas must change slowly."),
    QUANTITY("outage.ramps.*.change", REQ, GAS_RATE, "MMscf/d", 0.001, 1000,
             0.05, 100, NULL, "At most, from a period to the next."),

    LIST("outage.events", OPT,
         "What is lost or changed when. Each has one of unit, manifold, well "
         "and limit."),
    PLAIN("outage.events.*.unit", NAME, OPT, NULL, "One of the compressors."),
    PLAIN("outage.events.*.manifold", NAME, OPT, NULL, "One of the manifolds."),
    PLAIN("outage.events.*.well", NAME, OPT, NULL,
          "One of the wells: it stands, and for the whole of each period that "
          "the event touches."),
    CHOICE("outage.events.*.limit", OPT,
           "sales|market|flare|lift_gas|liquid|water|gas|", NULL,
           "The outlet for gas, the gas that can be bought, what may be "
           "flared, or one of the field's limits."),
    PLAIN("outage.events.*.from", MOMENT, REQ, NULL,
          "May lie before the start."),
    PLAIN("outage.events.*.to", MOMENT, REQ, NULL,
          "A clock time is the first after from."),
    QUANTITY("outage.events.*.left", OPT, FRACTION, "%", 0, 100, 0, 100, NULL,
             "Of what there is otherwise; nothing when this and the next two "
             "are missing."),
    QUANTITY("outage.events.*.left_gas", OPT, GAS_RATE, "MMscf/d", 0, 5000, 0,
             500, NULL, "The same as a rate of gas."),
    QUANTITY("outage.events.*.left_liquid", OPT, LIQUID_RATE, "stb/d", 0, 5e6,
             0, 1e6, NULL, "The same as a rate of liquid."),
    QUANTITY("outage.events.*.price", OPT, GAS_PRICE, "$/Mscf", -100, 100, 0,
             40, NULL,
             "Of gas bought meanwhile, with limit: market; alone it leaves the "
             "amount as it is."),
    PLAIN("outage.events.*.planned", FLAG, OPT, "no",
          "Work whose start could be moved."),

    MAP("outage.restart", OPT,
        "What it takes to bring any well back that has stood without gas. "
        "unload and gas follow from the model where valves are described, and "
        "hold for the others."),
    RESTART("outage.restart", "0 h", "0 Mscf", "0 h"),

    NAMED("outage.wells", OPT, "Wells for which something else holds."),
    PLAIN("outage.wells.*.never_stop", FLAG, OPT, "no",
          "The plan must not stop it."),
    RESTART("outage.wells.*", NULL, NULL, NULL),
    {0},
};
