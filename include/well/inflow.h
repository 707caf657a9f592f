/* What the reservoir gives at a flowing bottom-hole pressure. Rates are
 * liquid (oil and water), Sm3/s; pressures absolute. */
#ifndef WELL_INFLOW_H
#define WELL_INFLOW_H

#define INFLOW_LIST(X)                          \
    X(LINEAR, "linear", "straight line")        \
    X(VOGEL, "vogel", "Vogel 1968")             \
    X(COMPOSITE, "composite",                   \
      "straight above the bubble point, Vogel " \
      "below")                                  \
    X(FETKOVICH, "fetkovich", "Fetkovich 1973")

enum inflow_model {
#define INFLOW_ENUM(name, key, text) INFLOW_##name,
    INFLOW_LIST(INFLOW_ENUM)
#undef INFLOW_ENUM
};

struct inflow {
    enum inflow_model model;
    double p_res_pa;    /* reservoir pressure at the perforations */
    double j_sm3spa;    /* productivity: linear and composite; Vogel:
                           slope at p_res, so q_max = j p_res / 1.8 */
    double p_bubble_pa; /* composite; above p_res it counts as p_res */
    double c_sm3s_pa2n; /* Fetkovich: q = c (p_res^2 - p_wf^2)^n */
    double exponent;    /* Fetkovich n, 0.5 to 1 */
    /* Composite with water: oil follows the curve, water the straight line,
     * weighted by the water cut (Brown 1984 vol. 4, from memory). Below 0:
     * the curve holds for total liquid, the default. */
    double water_cut;
};

/* Liquid rate at p_wf; 0 at or above reservoir pressure. */
double inflow_rate_sm3s(const struct inflow *f, double p_wf_pa);
/* Inverse for 0 <= rate <= inflow_max: the pressure; NaN outside. */
double inflow_pressure_pa(const struct inflow *f, double liquid_sm3s);
/* Rate at p_wf = 0 absolute. */
double inflow_max_sm3s(const struct inflow *f);
/* Scale j or c so that the rate at p_wf is the given one. Returns the factor;
 * NaN when p_wf is not below reservoir pressure. */
double inflow_match(struct inflow *f, double liquid_sm3s, double p_wf_pa);

#endif
