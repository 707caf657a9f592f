/* A compressor as a machine: what its driver, its stages and the day's weather
 * let it do, and what that takes. Adiabatic compression as in the GPSA
 * Engineering Data Book, section on compressors (from memory): equal ratios,
 * the gas cooled back to suction temperature between the stages. */
#ifndef FIELD_COMPRESSOR_H
#define FIELD_COMPRESSOR_H

#include <stdbool.h>

#include "base/err.h"
#include "fluid/gas.h"

/* One of capacity and driver is finite. */
struct compressor_spec {
    struct gas_spec gas;
    int n_stages;
    double p_suction_pa, t_suction_k, p_discharge_pa;
    double adiabatic_efficiency;  /* of the stages, with what is lost between
                                     them */
    double mechanical_efficiency; /* from the driver to the gas; of an electric
                                     driver with its motor */
    double capacity_sm3s; /* what it can move whatever drives it, or INFINITY */
    double driver_w;      /* rated, or INFINITY */
    /* Hotter than t_rated_k the driver loses this part of driver_w per K. */
    double t_rated_k, derating_per_k;
    double turndown;  /* least flow, as a part of what it moves undiminished by
                         weather */
    double idle_w;    /* beside what the gas takes, whenever it runs */
    double heat_rate; /* J of fuel per J from the driver; 0: burns none */
    double heating_value_j_sm3; /* of the fuel, lower; not used without */
};

struct compressor_rating {
    double power_j_sm3;   /* from the driver, per gas compressed */
    double driver_w;      /* what is left of it in this weather */
    double t_discharge_k; /* of the hottest stage */
    double capacity_sm3s; /* 0: the driver cannot even idle */
    double least_sm3s;    /* above the capacity: it cannot run at all */
    double fuel_fixed_sm3s, fuel_fraction; /* of the gas compressed */
};

/* Ratio of the specific heats of a natural gas at the temperatures met in
 * compressors: (2.738 - log10 gravity) / 2.328, Guo & Ghalambor, Natural Gas
 * Engineering Handbook (from memory; 1.26 at 0.65, as GPSA has at 150 F).
 * Gravity 0.55 to 1 (ours). */
double compressor_heat_ratio(double gravity);

/* Work that one adiabatic stage does on a gas, J/Sm3: z the mean of its ends;
 * 0 where ratio is not above 1. */
double compressor_stage_j_sm3(double heat_ratio, double z, double t_suction_k,
                              double ratio);

/* ST_RANGE where the compressibility of the gas is not known at suction or
 * discharge (see fluid/gas.h). Discharge not above suction takes no power. */
ST_CHECKED enum status compressor_rate(const struct compressor_spec *spec,
                                       double t_ambient_k,
                                       struct compressor_rating *out,
                                       struct err *err);

#endif
