/* Wellhead choke that gas and liquid pass at critical flow. */
#ifndef WELL_CHOKE_H
#define WELL_CHOKE_H

enum choke_model {
    CHOKE_GILBERT,
    CHOKE_ROS,
    CHOKE_BAXENDELL,
    CHOKE_ACHONG,
    CHOKE_PILEHVARI,
    CHOKE_COUNT
};

/* Downstream over upstream pressure, both absolute, up to which the flow is
 * critical and the formulas hold (common practice; Gilbert used his to 0.7,
 * from memory). Above it the wellhead pressure is higher than they say. */
#define CHOKE_CRITICAL_RATIO 0.55

/* What passes the choke. */
struct choke_stream {
    double liquid_sm3s; /* oil and water, 0 or more */
    double glr_sm3sm3;  /* all gas, lift gas too, per liquid; above 0: without
                           gas there is no critical flow */
};

/* Wellhead pressure, absolute, that a bean of inside diameter bean_m (above
 * 0) holds. The atmosphere enters where the printed formula is in gauge
 * pressure. */
double choke_pressure_pa(enum choke_model model, const struct choke_stream *s,
                         double bean_m, double p_atm_pa);

/* Inverse: the bean that holds the wellhead pressure; 0 for no liquid,
 * INFINITY at a pressure that no bean is wide enough for. */
double choke_bean_m(enum choke_model model, const struct choke_stream *s,
                    double p_head_pa, double p_atm_pa);

const char *choke_text(enum choke_model model);

#endif
