/* The table, without outage.yaml. Allowed ranges are those of the correlations
 * or of anything a field has seen; usual ranges are common practice, without a
 * source, and only warn. */
#include "schema_rows.h"

#include "field/field.h"
#include "fluid/oil.h"
#include "well/gradient.h"
#include "well/inflow.h"
#include "well/thermal.h"
#include "well/valve.h"

/* What is made by the wells of a group. */
#define GROUP_FLUIDS(section)                                                 \
    QUANTITY(section ".*.liquid_maximum", OPT, LIQUID_RATE, "stb/d", 0, 5e6,  \
             100, 1e6, NULL, "Oil and water of its wells."),                  \
        QUANTITY(section ".*.water_maximum", OPT, LIQUID_RATE, "stb/d", 0,    \
                 5e6, 0, 1e6, NULL, "Water of its wells."),                   \
        QUANTITY(section ".*.gas_maximum", OPT, GAS_RATE, "MMscf/d", 0, 5000, \
                 0.1, 500, NULL,                                              \
                 "Formation gas of its wells, and lift gas that returns.")

const struct schema_row SCHEMA_SCENARIO[] = {
    COUNT("format", REQ, 1, 1, NULL,
          "The version of this file format, so that later programs still "
          "read it."),

    MAP("field", REQ, "What holds for the whole field."),
    PLAIN("field.name", NAME, REQ, NULL, "Heads every report."),
    PLAIN("field.date", DATE, REQ, NULL,
          "The day the plan is for; the age of a test counts from it."),
    QUANTITY("field.atmosphere", OPT, PRESSURE, "psia", 7, 16, 11, 15.5,
             "14.696 psia",
             "Local atmospheric pressure, absolute: what every gauge "
             "pressure is counted from."),
    MAP("field.gas_base", OPT,
        "The condition at which a standard cubic foot is counted at this "
        "site; Sm3 are always at 15 C and 101.325 kPa."),
    QUANTITY("field.gas_base.pressure", OPT, PRESSURE, "psia", 14, 16, 14.4,
             15.1, "14.696 psia", "Absolute."),
    QUANTITY("field.gas_base.temperature", OPT, TEMPERATURE, "F", 30, 80, 32,
             68, "60 F", "With the pressure it fixes the gas volumes."),

    MAP("lift_gas", OPT,
        "The gas that is injected; needed as soon as one well has a model."),
    QUANTITY("lift_gas.gravity", REQ, NUMBER, NULL, 0.57, 1.68, 0.57, 1.0, NULL,
             "Specific gravity, air is 1."),
    QUANTITY("lift_gas.nitrogen", OPT, FRACTION, "%", 0, 50, 0, 10, "0 %",
             "Mole fraction, for the gas column and compressibility."),
    QUANTITY("lift_gas.carbon_dioxide", OPT, FRACTION, "%", 0, 54, 0, 10, "0 %",
             "Mole fraction, for compressibility and corrosion."),
    QUANTITY("lift_gas.hydrogen_sulphide", OPT, FRACTION, "%", 0, 70, 0, 2,
             "0 ppm",
             "Mole fraction, for compressibility and for the cautions of "
             "every report."),

    NAMED("fluids", OPT,
          "Oils, waters and their gas, each used by any number of wells."),
    QUANTITY("fluids.*.oil_gravity", REQ, OIL_GRAVITY, "API", 8, 60, 15, 50,
             NULL, "Stock-tank oil."),
    QUANTITY("fluids.*.gas_gravity", REQ, NUMBER, NULL, 0.57, 1.68, 0.6, 1.3,
             NULL, "Specific gravity of the formation gas, air is 1."),
    QUANTITY("fluids.*.nitrogen", OPT, FRACTION, "%", 0, 50, 0, 10, "0 %",
             "Mole fraction in the formation gas."),
    QUANTITY("fluids.*.carbon_dioxide", OPT, FRACTION, "%", 0, 54, 0, 15, "0 %",
             "Mole fraction in the formation gas."),
    QUANTITY("fluids.*.hydrogen_sulphide", OPT, FRACTION, "%", 0, 70, 0, 2,
             "0 ppm", "Mole fraction in the formation gas."),
    QUANTITY("fluids.*.water_salinity", OPT, SALINITY, "wt%", 0, 26, 0, 20,
             "3 wt%", "Dissolved solids, which set the water's weight."),
    CHOICE("fluids.*.correlation", OPT, OIL_CORRELATION_LIST(KEY3), "standing",
           "For solution gas, bubble point and volume factor."),
    MAP("fluids.*.separator", OPT,
        "Where the gas gravity was measured; vasquez-beggs corrects for "
        "it."),
    QUANTITY("fluids.*.separator.pressure", REQ, PRESSURE, "psig", 0, 1500, 10,
             600, NULL, "Of the separator."),
    QUANTITY("fluids.*.separator.temperature", REQ, TEMPERATURE, "F", 30, 250,
             50, 180, NULL, "Of the separator."),
    QUANTITY("fluids.*.bubble_point", OPT, PRESSURE, "psig", 30, 10000, 100,
             6000, NULL,
             "Measured; scales the correlation to the laboratory's oil."),
    QUANTITY("fluids.*.bubble_point_temperature", OPT, TEMPERATURE, "F", 60,
             400, 90, 320, NULL,
             "Of that measurement; needed with the bubble point."),
    QUANTITY("fluids.*.bubble_point_gas_oil_ratio", OPT, GAS_LIQUID_RATIO,
             "scf/stb", 1, 10000, 20, 3000, NULL,
             "Solution gas of the measured oil; the well's own gas-oil "
             "ratio when missing."),
    QUANTITY("fluids.*.oil_volume_factor", OPT, NUMBER, NULL, 1.0, 4.0, 1.02,
             2.2, NULL, "Measured at the bubble point."),
    CHOICE("fluids.*.viscosity_mixing", OPT, "linear|log|", "linear",
           "How the viscosities of oil and water make that of the liquid."),

    NAMED("manifolds", REQ, "Where the lift gas of a group of wells parts."),
    QUANTITY("manifolds.*.lift_gas_maximum", OPT, GAS_RATE, "MMscf/d", 0, 1000,
             0.1, 200, NULL, "What its line or meter can pass."),
    GROUP_FLUIDS("manifolds"),
    QUANTITY("manifolds.*.header_pressure", OPT, PRESSURE, "psig", 50, 5000,
             400, 2500, NULL, "Of the lift gas there."),

    NAMED("pads", OPT, "Wells whose lines meet."),
    QUANTITY("pads.*.lift_gas_maximum", OPT, GAS_RATE, "MMscf/d", 0, 1000, 0.1,
             200, NULL, "What the line to the pad can pass."),
    GROUP_FLUIDS("pads"),

    NAMED("separators", OPT, "Where the production of wells is parted."),
    GROUP_FLUIDS("separators"),

    NAMED("routes", OPT, "Wells that one crew goes round to."),
    COUNT("routes.*.moves", REQ, 0, 100000, NULL,
          "The most of its wells whose rate the crew can change in the day."),

    NAMED("compressors", OPT,
          "The machines; without any the compression has no limit. Each has a "
          "capacity, or the power of its driver and the pressures between "
          "which it works, from which the capacity follows."),
    CHOICE("compressors.*.state", OPT, UNIT_STATE_LIST(KEY2), "running",
           "Only a running one compresses; whether an available one runs is "
           "for the plan to say."),
    QUANTITY("compressors.*.capacity", OPT, GAS_RATE, "MMscf/d", 0, 1000, 0.2,
             200, NULL,
             "What it compresses when it runs; with power, at most, whatever "
             "the driver has."),
    QUANTITY("compressors.*.turndown", OPT, FRACTION, "%", 0, 100, 0, 90, "0 %",
             "Least gas through it when it runs, of what it compresses in "
             "cool weather."),
    PLAIN("compressors.*.recycle", FLAG, OPT, "yes",
          "Whether gas can go round it to make up its least."),
    CHOICE("compressors.*.driver", OPT, "gas|electric|", "gas",
           "A gas driver burns the station's fuel, or by its own heat rate."),
    QUANTITY("compressors.*.power", OPT, POWER, "hp", 1, 200000, 50, 50000,
             NULL, "Rated, at the driver's shaft."),
    QUANTITY("compressors.*.rated_temperature", OPT, TEMPERATURE, "F", -40, 150,
             50, 120, NULL, "Of the air that the power is rated in."),
    QUANTITY("compressors.*.derating", OPT, LOSS_PER_DEGREE, "%/F", 0, 10, 0, 1,
             "0 %/F",
             "Part of the rated power lost per degree above the rated "
             "temperature; needs the station's ambient."),
    COUNT("compressors.*.stages", OPT, 1, 8, NULL,
          "Equal ratios, cooled back to suction temperature between them."),
    QUANTITY("compressors.*.suction_pressure", OPT, PRESSURE, "psig", -10, 5000,
             0, 1500, NULL,
             "At the machine; with discharge_pressure and stages it gives "
             "the power that the gas takes."),
    QUANTITY("compressors.*.suction_temperature", OPT, TEMPERATURE, "F", 0, 200,
             40, 150, "90 F", "Of the gas."),
    QUANTITY("compressors.*.discharge_pressure", OPT, PRESSURE, "psig", 10,
             10000, 300, 3000, NULL, "At the machine."),
    QUANTITY("compressors.*.efficiency", OPT, FRACTION, "%", 20, 100, 60, 92,
             "80 %", "Adiabatic, with the losses between the stages."),
    QUANTITY("compressors.*.mechanical_efficiency", OPT, FRACTION, "%", 40, 100,
             85, 99, "95 %",
             "From the driver to the gas, an electric motor with it."),
    QUANTITY("compressors.*.idle_power", OPT, POWER, "hp", 0, 100000, 0, 10000,
             "0 hp", "Taken beside that of the gas whenever it runs."),
    QUANTITY("compressors.*.heat_rate", OPT, HEAT_RATE, "Btu/hp-h", 3000, 30000,
             6500, 14000, NULL,
             "Fuel of a gas driver; the station's part of the gas "
             "compressed when missing. Needs the station's "
             "fuel_heating_value."),

    MAP("station", OPT, "Gas used and lost on the way round, and the site."),
    QUANTITY("station.fuel", OPT, FRACTION, "%", 0, 30, 0, 10, "0 %",
             "Part of the gas compressed that drives the machines, electric "
             "ones and those with a heat rate left out."),
    QUANTITY("station.fuel_heating_value", OPT, HEATING_VALUE, "Btu/scf", 300,
             3000, 800, 1500, NULL, "Lower (net) heating value."),
    CHOICE("station.fuel_from", OPT, SIDES, "discharge",
           "Fuel from discharge has been compressed itself."),
    QUANTITY("station.shrinkage", OPT, FRACTION, "%", 0, 50, 0, 15, "0 %",
             "Part of the formation gas lost to liquids and meters."),
    QUANTITY("station.flare_maximum", OPT, GAS_RATE, "MMscf/d", 0, 1000, 0, 50,
             "0 MMscf/d", "What may be flared."),
    QUANTITY("station.ambient", OPT, TEMPERATURE, "F", -60, 140, 0, 125, NULL,
             "Of the air at the hottest of the day, for derating."),
    QUANTITY("station.power_maximum", OPT, POWER, "kW", 0, 1e6, 50, 200000,
             NULL, "Of the electric compressors together."),

    MAP("sales", OPT,
        "The outlet for gas; without this section any amount leaves for "
        "nothing."),
    QUANTITY("sales.minimum", OPT, GAS_RATE, "MMscf/d", 0, 5000, 0, 500,
             "0 MMscf/d", "What has to be delivered."),
    QUANTITY("sales.maximum", OPT, GAS_RATE, "MMscf/d", 0, 5000, 0, 500, NULL,
             "What the outlet takes."),
    QUANTITY("sales.price", OPT, GAS_PRICE, "$/Mscf", -100, 100, -5, 30,
             "0 $/Mscf", "For plans by money."),
    CHOICE("sales.from", OPT, SIDES, "discharge",
           "Gas sold from discharge loads the compressors."),

    MAP("market", OPT, "Gas that can be bought."),
    QUANTITY("market.maximum", REQ, GAS_RATE, "MMscf/d", 0, 5000, 0, 500, NULL,
             "What can be had."),
    QUANTITY("market.price", OPT, GAS_PRICE, "$/Mscf", -100, 100, 0, 40,
             "0 $/Mscf", "For plans by money."),
    CHOICE("market.enters", OPT, SIDES, "discharge",
           "Gas that enters at suction loads the compressors."),

    MAP("limits", OPT, "Of the field as a whole."),
    QUANTITY("limits.lift_gas", OPT, GAS_RATE, "MMscf/d", 0, 5000, 0.1, 500,
             NULL, "All lift gas together."),
    QUANTITY("limits.liquid", OPT, LIQUID_RATE, "stb/d", 0, 5e6, 100, 1e6, NULL,
             "What the separators handle."),
    QUANTITY("limits.water", OPT, LIQUID_RATE, "stb/d", 0, 5e6, 0, 1e6, NULL,
             "What the water plant handles."),
    QUANTITY("limits.gas", OPT, GAS_RATE, "MMscf/d", 0, 5000, 0.1, 1000, NULL,
             "Formation gas, and lift gas that returns, that the plant "
             "handles."),
    COUNT("limits.moves", OPT, 0, 100000, NULL,
          "The most wells whose rate a crew can change in the day."),
    CHOICE("limits.unsteady", OPT, "forbid|allow|", "forbid",
           "Whether a plan may inject less than a well's least steady rate; a "
           "well's own minimum goes before."),
    QUANTITY("limits.dead_band", OPT, GAS_RATE, "Mscf/d", 0, 5000, 0, 300,
             "0 Mscf/d", "A smaller change of a well is not worth a visit."),

    MAP("prices", OPT, "For plans by money; an oil price makes them possible."),
    QUANTITY("prices.oil", REQ, LIQUID_PRICE, "$/stb", 0, 1000, 10, 250, NULL,
             "At the stock tank, after royalty and tax as you count it."),
    QUANTITY("prices.water", OPT, LIQUID_PRICE, "$/stb", 0, 100, 0, 10,
             "0 $/stb", "Cost of handling a barrel of water."),
    QUANTITY("prices.compression", OPT, GAS_PRICE, "$/Mscf", 0, 50, 0, 3,
             "0 $/Mscf", "Cost of compressing gas, fuel and power left out."),
    QUANTITY("prices.power", OPT, ENERGY_PRICE, "$/kWh", 0, 10, 0, 1, "0 $/kWh",
             "Of what electric compressors take."),
    QUANTITY("prices.carbon", OPT, GAS_PRICE, "$/Mscf", 0, 1000, 0, 30,
             "0 $/Mscf", "Cost of gas burnt, as fuel or in the flare."),
    QUANTITY("prices.move", OPT, MONEY, "$", 0, 1e6, 0, 5000, "0 $",
             "Cost of changing a well, borne by the oil of one day."),

    MAP("tests", OPT, "How well tests are used."),
    QUANTITY("tests.newest_within", OPT, TIME, "d", 1, 3650, 14, 400, "90 d",
             "An older test is stale: used all the same, with a warning."),

    NAMED("wells", REQ, "The gas-lifted wells."),
    PLAIN("wells.*.manifold", NAME, REQ, NULL,
          "The manifold that feeds its lift gas."),
    PLAIN("wells.*.pad", NAME, OPT, NULL, "The pad it stands on, if any."),
    PLAIN("wells.*.separator", NAME, OPT, NULL,
          "The separator it produces to, if any."),
    PLAIN("wells.*.route", NAME, OPT, NULL,
          "The route of the crew that serves it, if any."),
    PLAIN("wells.*.runs_with", NAME, OPT, NULL,
          "Another well; without its oil this one makes none."),
    PLAIN("wells.*.may_shut", FLAG, OPT, "no",
          "Whether a plan may shut it in although it flows by itself."),
    CHOICE("wells.*.kind", OPT, WELL_KIND_LIST(KEY3), "continuous",
           "How it produces. annular: gas down the tubing, production up the "
           "annulus; dual: shares its annulus with the partner; pumped: takes "
           "no gas and only loads the facilities."),
    PLAIN("wells.*.partner", NAME, OPT, NULL,
          "Of a dual: the well with the other string. Each names the other; "
          "the first in this file stands for both and has the lift_gas."),
    MAP("wells.*.output", OPT, "What a pumped well makes."),
    QUANTITY("wells.*.output.oil", REQ, LIQUID_RATE, "stb/d", 0, 1e6, 0, 50000,
             NULL, "Stock-tank oil."),
    QUANTITY("wells.*.output.water", OPT, LIQUID_RATE, "stb/d", 0, 1e6, 0,
             50000, "0 stb/d", "Produced water."),
    QUANTITY("wells.*.output.formation_gas", OPT, GAS_RATE, "Mscf/d", 0, 1e6, 0,
             50000, "0 Mscf/d", "From the separator."),
    MAP("wells.*.intermitter", OPT,
        "The surface intermitter of an intermittent well."),
    QUANTITY("wells.*.intermitter.gas_rate_open", REQ, GAS_RATE, "Mscf/d", 1,
             100000, 200, 20000, NULL,
             "What it draws from the header while "
             "open."),
    QUANTITY("wells.*.intermitter.open_time", OPT, TIME, "min", 0.1, 600, 1, 60,
             NULL, "Of each cycle; the best for each when missing."),
    QUANTITY("wells.*.intermitter.casing_pressure", OPT, PRESSURE, "psig", 50,
             5000, 300, 2000, NULL,
             "At the casing head when it opens; what header and line bring "
             "when missing."),
    QUANTITY("wells.*.intermitter.fallback_per_1000ft", OPT, FRACTION, "%", 0,
             50, 3, 10, "6 %",
             "Part of the slug that falls back per 1,000 ft of its way (5 to "
             "7 % is common practice)."),
    QUANTITY("wells.*.intermitter.slug_velocity", OPT, SPEED, "ft/min", 100,
             5000, 500, 2000, "1000 ft/min", "Of the slug on its way up."),
    QUANTITY("wells.*.intermitter.cycle_per_1000ft", OPT, TIME, "min", 0.5, 60,
             2, 10, "3 min", "Shortest cycle per 1,000 ft of way."),
    PLAIN("wells.*.curve", FILE, OPT, NULL,
          "A measured lift curve (a CSV file) in place of a model."),
    PLAIN("wells.*.fluid", NAME, MODEL, NULL, "One of the fluids."),
    QUANTITY("wells.*.gas_oil_ratio", MODEL, GAS_LIQUID_RATIO, "scf/stb", 0,
             50000, 20, 5000, NULL,
             "Formation gas per stock-tank oil, lift gas left out; with a "
             "measured curve, for a missing column of formation gas."),
    QUANTITY("wells.*.water_cut", MODEL, FRACTION, "%", 0, 100, 0, 99, NULL,
             "Water per liquid; with a measured curve, for a missing column "
             "of water."),
    MAP("wells.*.wellhead", MODEL, "The tubing's upper end."),
    QUANTITY("wells.*.wellhead.pressure", REQ, PRESSURE, "psig", 0, 5000, 20,
             1000, NULL, "Flowing, upstream of the choke."),
    LIST("wells.*.survey", MODEL,
         "The path from the wellhead, in a first row of zeros, down to the "
         "perforations."),
    QUANTITY("wells.*.survey.*.md", REQ, LENGTH, "ft", 0, 40000, 0, 25000, NULL,
             "Measured depth, rising from row to row."),
    QUANTITY("wells.*.survey.*.tvd", REQ, LENGTH, "ft", 0, 40000, 0, 20000,
             NULL, "True vertical depth."),
    LIST("wells.*.tubing", MODEL,
         "What the stream flows through, from the top; the last piece "
         "reaches the end of the survey."),
    QUANTITY("wells.*.tubing.*.to", REQ, LENGTH, "ft", 1, 40000, 100, 25000,
             NULL, "Measured depth of its lower end."),
    QUANTITY("wells.*.tubing.*.inside_diameter", REQ, LENGTH, "in", 0.5, 20, 1,
             9.7, NULL, "Of the tubing, or of the casing below it."),
    QUANTITY("wells.*.tubing.*.roughness", OPT, LENGTH, "in", 0, 0.2, 0.00005,
             0.02, "0.0018 in",
             "Absolute; the fallback is that of commercial steel (Moody "
             "1944, from memory)."),
    QUANTITY("wells.*.tubing.*.outside_diameter", OPT, LENGTH, "in", 0.6, 20,
             1.2, 9.7, NULL, "Needed where casing is given around it."),
    LIST("wells.*.casing", OPT,
         "What surrounds the tubing, from the top, at least down to where the "
         "gas enters: with it the way of the lift gas is described."),
    QUANTITY("wells.*.casing.*.to", REQ, LENGTH, "ft", 1, 40000, 100, 25000,
             NULL, "Measured depth of its lower end."),
    QUANTITY("wells.*.casing.*.inside_diameter", REQ, LENGTH, "in", 1, 40, 3.5,
             14, NULL, "Above the outside diameter of the tubing in it."),
    QUANTITY("wells.*.casing.*.roughness", OPT, LENGTH, "in", 0, 0.2, 0.00005,
             0.02, "0.0018 in", "Absolute, as for tubing."),
    QUANTITY("wells.*.gas_temperature", OPT, TEMPERATURE, "F", -40, 250, 30,
             180, NULL,
             "Of the lift gas at the casing head; that of the stream or the "
             "ground at the wellhead when missing."),
    QUANTITY("wells.*.casing_pressure_maximum", OPT, PRESSURE, "psig", 50,
             15000, 500, 5000, NULL,
             "The annulus pressure limit at the casing head; no plan goes "
             "above it."),
    MAP("wells.*.supply_line", OPT,
        "From the manifold to the casing head: length and inside diameter, or "
        "a measured loss and the rate it was measured at. Needs the "
        "manifold's header pressure."),
    QUANTITY("wells.*.supply_line.length", OPT, LENGTH, "ft", 1, 300000, 50,
             60000, NULL, "Of the line."),
    QUANTITY("wells.*.supply_line.inside_diameter", OPT, LENGTH, "in", 0.3, 30,
             1, 8, NULL, "Of the line."),
    QUANTITY("wells.*.supply_line.roughness", OPT, LENGTH, "in", 0.00001, 0.2,
             0.0005, 0.02, "0.0018 in", "Absolute."),
    QUANTITY("wells.*.supply_line.loss", OPT, PRESSURE_DIFFERENCE, "psi", 0,
             5000, 0, 300, NULL, "From the header to the casing head."),
    QUANTITY("wells.*.supply_line.at", OPT, GAS_RATE, "Mscf/d", 1, 50000, 100,
             20000, NULL, "The rate of that loss."),
    LIST("wells.*.valves", OPT,
         "The stations where gas can enter the tubing, from the top. Needs "
         "casing."),
    QUANTITY("wells.*.valves.*.depth", REQ, LENGTH, "ft", 1, 40000, 300, 20000,
             NULL, "Measured, rising from row to row."),
    CHOICE("wells.*.valves.*.type", REQ, VALVE_LIST(KEY3), NULL,
           "An orifice is always open; the two others are bellows valves; a "
           "dummy lets nothing through."),
    QUANTITY("wells.*.valves.*.port", OPT, LENGTH, "in", 0.03, 2, 0.1, 0.8,
             NULL, "Diameter: 0.25 in, 1/4 in or 16 64ths. A dummy has none."),
    QUANTITY("wells.*.valves.*.bellows_area", OPT, AREA, "in2", 0.05, 3, 0.25,
             1.6, NULL,
             "Effective, above the port's; of bellows valves (0.31 in2 for a "
             "1 in valve and 0.77 in2 for 1.5 in are common, from memory)."),
    QUANTITY("wells.*.valves.*.test_rack_pressure", OPT, PRESSURE, "psig", 50,
             10000, 300, 2500, NULL,
             "Opening pressure on the tester at 60 F; of bellows valves, or "
             "dome_pressure."),
    QUANTITY("wells.*.valves.*.dome_pressure", OPT, PRESSURE, "psig", 50, 10000,
             300, 2500, NULL, "Nitrogen in the dome at 60 F."),
    QUANTITY("wells.*.valves.*.discharge_coefficient", OPT, NUMBER, NULL, 0.05,
             1, 0.4, 0.95, "0.865",
             "Of the port; true valves have their own from flow tests (API RP "
             "11V2)."),
    MAP("wells.*.kill", OPT,
        "For unloading the well after it was killed; needs valves."),
    QUANTITY("wells.*.kill.density", OPT, DENSITY, "lb/gal", 8.02, 10, 8.3, 9.6,
             "8.8 lb/gal", "Of the kill liquid."),
    QUANTITY("wells.*.kill.level", OPT, LENGTH, "ft", 0, 40000, 0, 15000,
             "0 ft",
             "Measured depth of the liquid in tubing and annulus; 0 when both "
             "are full."),
    QUANTITY("wells.*.kill.kickoff_pressure", OPT, PRESSURE, "psig", 100, 5000,
             500, 2500, NULL,
             "At the casing head while unloading; what header and line bring "
             "when missing."),
    QUANTITY("wells.*.kill.liquid_through_valves", OPT, LIQUID_RATE, "bbl/d",
             10, 20000, 300, 3000, "1440 bbl/d",
             "Most that goes round through a valve: 1 bbl/min is common "
             "practice, for more cuts the valve."),
    QUANTITY("wells.*.injection_depth", OPT, LENGTH, "ft", 1, 40000, 500, 20000,
             NULL,
             "Measured depth where the lift gas enters: needed without "
             "valves; with them the one that is meant to pass the gas, the "
             "deepest when missing."),
    MAP("wells.*.temperature", MODEL, "Of the stream along the well."),
    CHOICE("wells.*.temperature.model", OPT, THERMAL_LIST(KEY3), "linear",
           "A straight line between two temperatures, or heat lost on the "
           "way up."),
    QUANTITY("wells.*.temperature.wellhead", OPT, TEMPERATURE, "F", 20, 450, 50,
             250, NULL, "Flowing; needed by linear."),
    QUANTITY("wells.*.temperature.surface", OPT, TEMPERATURE, "F", -40, 140, 20,
             110, NULL,
             "Undisturbed ground at the surface; needed by "
             "flowing."),
    QUANTITY("wells.*.temperature.bottomhole", REQ, TEMPERATURE, "F", 50, 500,
             90, 350, NULL, "At the perforations."),
    QUANTITY("wells.*.temperature.heat_transfer", OPT, HEAT_TRANSFER,
             "Btu/h/ft2/F", 0.05, 100, 0.5, 20, NULL,
             "Overall coefficient on the tubing's inside; needed by "
             "flowing."),
    QUANTITY("wells.*.temperature.ground_conductivity", OPT, CONDUCTIVITY,
             "Btu/h/ft/F", 0.2, 5, 0.7, 2.5, "1.4 Btu/h/ft/F",
             "Used by flowing."),
    QUANTITY("wells.*.temperature.ground_diffusivity", OPT, DIFFUSIVITY,
             "ft2/h", 0.005, 0.3, 0.02, 0.08, "0.04 ft2/h",
             "Thermal; used by flowing."),
    QUANTITY("wells.*.temperature.wellbore_diameter", OPT, LENGTH, "in", 2, 60,
             5, 20, "12.25 in", "Outside of the cement; used by flowing."),
    QUANTITY("wells.*.temperature.producing_for", OPT, TIME, "d", 0.1, 40000, 1,
             20000, "365 d", "At a steady rate; used by flowing."),
    MAP("wells.*.inflow", MODEL,
        "What the reservoir gives: a model, its pressure, and one of "
        "productivity, open_flow and test."),
    CHOICE("wells.*.inflow.model", REQ, INFLOW_LIST(KEY3), NULL,
           "How rate follows pressure."),
    QUANTITY("wells.*.inflow.reservoir_pressure", REQ, PRESSURE, "psig", 50,
             20000, 300, 10000, NULL, "At the perforations."),
    QUANTITY("wells.*.inflow.productivity", OPT, PRODUCTIVITY, "stb/d/psi",
             0.0005, 1000, 0.02, 100, NULL,
             "Liquid per drawdown; the slope at reservoir pressure for "
             "vogel, and nothing for fetkovich."),
    QUANTITY("wells.*.inflow.open_flow", OPT, LIQUID_RATE, "stb/d", 0.5, 1e6,
             20, 50000, NULL, "Liquid rate at no pressure at all."),
    MAP("wells.*.inflow.test", OPT, "A measured point of the inflow."),
    QUANTITY("wells.*.inflow.test.liquid", REQ, LIQUID_RATE, "stb/d", 0.5, 1e6,
             10, 50000, NULL, "Oil and water together."),
    QUANTITY("wells.*.inflow.test.pressure", REQ, PRESSURE, "psig", 0, 20000,
             50, 10000, NULL, "Flowing bottomhole, at the perforations."),
    QUANTITY("wells.*.inflow.bubble_point", OPT, PRESSURE, "psig", 0, 10000,
             100, 6000, NULL, "Needed by composite: the curve bends there."),
    QUANTITY("wells.*.inflow.exponent", OPT, NUMBER, NULL, 0.5, 1, 0.5, 1, "1",
             "Of fetkovich."),
    CHOICE("wells.*.inflow.water_rule", OPT, "total|separate|", "total",
           "Of composite: the bent curve holds for all liquid, or for the "
           "oil only."),
    CHOICE("wells.*.gradient", OPT, GRADIENT_LIST(KEY3), "hagedorn-brown",
           "For the pressure along the tubing; an annular well has drift-flux "
           "unless told."),
    MAP("wells.*.lift_gas", OPT, "What the well may be given."),
    QUANTITY("wells.*.lift_gas.minimum", OPT, GAS_RATE, "Mscf/d", 0, 50000, 0,
             5000, "0 Mscf/d",
             "A well that may stop may also have none. When missing it is the "
             "least steady rate, where valves are given."),
    QUANTITY("wells.*.lift_gas.maximum", OPT, GAS_RATE, "Mscf/d", 1, 50000, 100,
             20000, NULL,
             "Where its curve ends. May be missing with a measured curve, and "
             "where valves and a pressure end it."),
    PLAIN("wells.*.lift_gas.may_stop", FLAG, OPT, "yes",
          "Whether a plan may leave it without gas; one that may not stop "
          "has to make oil, unless it cannot."),
    QUANTITY("wells.*.lift_gas.step", OPT, GAS_RATE, "Mscf/d", 0.1, 50000, 5,
             1000, NULL,
             "Its choke is set in steps: rates are multiples of it; any rate "
             "when missing."),
    QUANTITY("wells.*.lift_gas.change_maximum", OPT, GAS_RATE, "Mscf/d", 0.1,
             50000, 10, 10000, NULL,
             "Largest change of its rate in the day, starting and stopping "
             "left out; any when missing."),
    CHOICE("wells.*.match", OPT, MATCH_LIST(KEY2), "rates",
           "What the newest accepted test sets: nothing, water cut and "
           "gas-oil ratio, or the productivity as well."),

    COLUMN_OF("tests.csv", "well", NAME, REQ, NULL, "One of the wells."),
    COLUMN_OF("tests.csv", "date", DATE, REQ, NULL, "Of the test."),
    COLUMN("tests.csv", "liquid", OPT, LIQUID_RATE, "stb/d", 0, 1e6, 1, 50000,
           "Oil and water; two of liquid, oil and water give the third."),
    COLUMN("tests.csv", "oil", OPT, LIQUID_RATE, "stb/d", 0, 1e6, 0, 50000,
           "Stock-tank oil."),
    COLUMN("tests.csv", "water", OPT, LIQUID_RATE, "stb/d", 0, 1e6, 0, 50000,
           "Produced water."),
    COLUMN("tests.csv", "gas", OPT, GAS_RATE, "Mscf/d", 0, 1e6, 0, 50000,
           "All gas from the separator, lift gas with it."),
    COLUMN("tests.csv", "lift gas", OPT, GAS_RATE, "Mscf/d", 0, 50000, 0, 20000,
           "Injected during the test."),
    COLUMN("tests.csv", "wellhead pressure", OPT, PRESSURE, "psig", 0, 5000, 20,
           1000, "Flowing."),
    COLUMN_OF("tests.csv", "accepted", FLAG, OPT, NULL,
              "A test that is not accepted is kept and not used; all are "
              "accepted without the column."),
    COLUMN_OF("tests.csv", "note", TEXT, OPT, NULL, "Free text."),

    COLUMN_OF("readings.csv", "well", NAME, REQ, NULL, "One of the wells."),
    COLUMN("readings.csv", "lift gas", OPT, GAS_RATE, "Mscf/d", 0, 50000, 0,
           20000, "Injected this morning."),
    COLUMN("readings.csv", "casing pressure", OPT, PRESSURE, "psig", 0, 5000,
           50, 3000, "At the casing head."),
    COLUMN("readings.csv", "tubing pressure", OPT, PRESSURE, "psig", 0, 5000, 5,
           1500, "At the tubing head."),
    COLUMN_OF("readings.csv", "status", CHOICE, OPT, WELL_STATUS_LIST(KEY3),
              "A well on test or held keeps its rate; all are flowing "
              "without the column."),
    COLUMN_OF("readings.csv", "reason", TEXT, OPT, NULL,
              "Why it is down or held, shown in the report."),

    COLUMN("curve table", "lift gas", REQ, GAS_RATE, "Mscf/d", 0, 50000, 0,
           20000, "Rising from row to row; the first is where flow starts."),
    COLUMN("curve table", "oil", REQ, LIQUID_RATE, "stb/d", 0, 1e6, 0, 50000,
           "Stock-tank oil."),
    COLUMN("curve table", "water", OPT, LIQUID_RATE, "stb/d", 0, 1e6, 0, 50000,
           "From the well's water_cut when missing."),
    COLUMN("curve table", "formation gas", OPT, GAS_RATE, "Mscf/d", 0, 1e6, 0,
           50000, "From the well's gas_oil_ratio when missing."),
    {0},
};
