#include "fluid/mix.h"

#include <math.h>

#include "fluid/paper_units.h"
#include "fluid/water.h"

void mix_init(struct mix *m, const struct fluid *fluid,
              const struct stream *stream)
{
    double gas_all = stream->gas_sm3s + stream->lift_sm3s;
    double part_lift = gas_all > 0 ? stream->lift_sm3s / gas_all : 0;
    struct gas_spec free_gas =
        gas_blend(&fluid->formation_gas.spec, &fluid->lift_gas.spec, part_lift);

    m->fluid = *fluid;
    m->stream = *stream;
    gas_init(&m->free_gas, &free_gas);
    m->rs_all_sm3sm3 = stream->oil_sm3s > 0 ? gas_all / stream->oil_sm3s : 0;
    m->mass_kgs =
        stream->oil_sm3s * fluid->oil.spec.gravity * PAPER_WATER_KGM3 +
        stream->water_sm3s * water_density_std_kgm3(fluid->salinity) +
        gas_all * m->free_gas.rho_std_kgm3;
}

/* One liquid in the pipe. */
struct liquid {
    double q_m3s, rho_kgm3, mu_pas, tension_nm;
};

static struct liquid oil_at(const struct mix *m, struct mix_state *out)
{
    const struct oil *o = &m->fluid.oil;
    double p_pa = out->p_pa, t_k = out->t_k, p_bubble_pa = p_pa;
    double could_hold = oil_solution_gas(o, p_pa, t_k);
    double all = m->rs_all_sm3sm3;

    if (could_hold < all) {
        out->rs_sm3sm3 = could_hold;
    } else {
        out->rs_sm3sm3 = all;
        p_bubble_pa = fmin(p_pa, oil_bubble_point_pa(o, all, t_k));
    }
    out->free_gas_margin = all > 0 ? (all - could_hold) / all : -1;

    double rs = out->rs_sm3sm3;
    double bo = oil_volume_factor(o, rs, p_pa, p_bubble_pa, t_k);
    return (struct liquid){
        m->stream.oil_sm3s * bo,
        oil_density_kgm3(o, rs, bo),
        oil_viscosity_pas(o, rs, p_pa, p_bubble_pa, t_k),
        oil_tension_nm(o, p_pa, t_k),
    };
}

static struct liquid water_at(const struct mix *m, double p_pa, double t_k)
{
    double salinity = m->fluid.salinity;
    double bw = water_volume_factor(p_pa, t_k);

    return (struct liquid){
        m->stream.water_sm3s * bw,
        water_density_std_kgm3(salinity) / bw,
        water_viscosity_pas(salinity, p_pa, t_k),
        water_tension_nm(p_pa, t_k),
    };
}

/* By volume in the pipe; viscosity linear, or in logarithms where asked. */
static struct liquid blend(struct liquid a, struct liquid b, bool log_viscosity)
{
    double part_b = b.q_m3s / (a.q_m3s + b.q_m3s), part_a = 1 - part_b;

    return (struct liquid){
        a.q_m3s + b.q_m3s,
        part_a * a.rho_kgm3 + part_b * b.rho_kgm3,
        log_viscosity ? exp(part_a * log(a.mu_pas) + part_b * log(b.mu_pas))
                      : part_a * a.mu_pas + part_b * b.mu_pas,
        part_a * a.tension_nm + part_b * b.tension_nm,
    };
}

static struct liquid liquid_at(const struct mix *m, struct mix_state *out)
{
    out->rs_sm3sm3 = 0;
    out->free_gas_margin =
        m->stream.gas_sm3s + m->stream.lift_sm3s > 0 ? 1 : -1;
    if (!(m->stream.oil_sm3s > 0))
        return water_at(m, out->p_pa, out->t_k);
    struct liquid oil = oil_at(m, out);
    if (!(m->stream.water_sm3s > 0))
        return oil;
    return blend(oil, water_at(m, out->p_pa, out->t_k), m->fluid.log_viscosity);
}

static void gas_at(const struct mix *m, struct mix_state *out)
{
    const struct gas *g = &m->free_gas;
    double z = gas_z(g, out->p_pa, out->t_k);
    /* Above the bubble point the difference is a rounding error. */
    double free_sm3s = fmax(0, m->stream.gas_sm3s + m->stream.lift_sm3s -
                                   out->rs_sm3sm3 * m->stream.oil_sm3s);

    out->q_gas_m3s = out->free_gas_margin > 0
                         ? free_sm3s * gas_volume_factor(out->p_pa, out->t_k, z)
                         : 0;
    out->rho_gas_kgm3 = gas_density_kgm3(g, out->p_pa, out->t_k, z);
    out->mu_gas_pas = gas_viscosity_pas(g, out->t_k, out->rho_gas_kgm3);
}

void mix_at(const struct mix *m, double p_pa, double t_k, struct mix_state *out)
{
    out->p_pa = p_pa;
    out->t_k = t_k;
    struct liquid liquid = liquid_at(m, out);
    out->q_liquid_m3s = liquid.q_m3s;
    out->rho_liquid_kgm3 = liquid.rho_kgm3;
    out->mu_liquid_pas = liquid.mu_pas;
    out->tension_nm = liquid.tension_nm;
    gas_at(m, out);
}
