#include "well.h"

#include "base/strbuf.h"
#include "curves.h"
#include "diagnosis.h"
#include "gas_side.h"
#include "page.h"
#include "unload.h"

static void add_state(const struct report *r, struct jnode root,
                      const char *key, const struct well_state *state)
{
    const struct show *s = &r->show;
    struct jnode node = jnode_object(root, key);
    jnode_quantity(node, s, "lift_gas", SHOW_WELL_GAS, state->lift_sm3s);
    jnode_quantity(node, s, "oil", SHOW_LIQUID, state->oil_sm3s);
    jnode_quantity(node, s, "lift_gas_of_string", SHOW_WELL_GAS,
                   state->string_sm3s);
    struct jnode list = jnode_array(node, "crossings");
    for (int i = 0; i < state->operating.n; i++) {
        const struct crossing *c = &state->operating.crossing[i];
        struct jnode crossing = jnode_object(list, NULL);
        jnode_quantity(crossing, s, "liquid", SHOW_LIQUID, c->liquid_sm3s);
        jnode_quantity(crossing, s, "bottom_pressure", SHOW_PRESSURE,
                       c->p_bottom_pa);
        jnode_quantity(crossing, s, "injection_point_pressure", SHOW_PRESSURE,
                       c->p_inject_pa);
        jnode_flag(crossing, "stable", c->stable);
        jnode_flag(crossing, "in_use", i == state->operating.stable);
    }
}

static void add_profile(const struct report *r, const struct well_facts *w,
                        struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, "profile");
    for (size_t i = 0; i < w->profile.n && i < w->profile.cap; i++) {
        const struct traverse_point *p = &w->profile.point[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_quantity(node, s, "measured_depth", SHOW_DEPTH, p->md_m);
        jnode_quantity(node, s, "true_vertical_depth", SHOW_DEPTH, p->tvd_m);
        jnode_quantity(node, s, "pressure", SHOW_PRESSURE, p->p_pa);
        jnode_quantity(node, s, "temperature", SHOW_TEMPERATURE, p->t_k);
        jnode_number(node, "liquid_part", p->holdup);
    }
}

void well_json(const struct report *r, const struct well_facts *w,
               struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct curve *c = &r->curves[w->well];
    struct well_slopes slope = well_slopes_at(c, w->plan.lift_sm3s);
    struct jnode root = page_json(r, "well");
    jnode_text(root, "well", w->string->name);
    jnode_text(root, "why", well_why(r, w));
    add_state(r, root, "now", &w->now);
    add_state(r, root, "plan", &w->plan);
    jnode_quantity(root, s, "last_gas_makes", SHOW_OIL_PER_GAS, slope.last);
    jnode_quantity(root, s, "next_gas_makes", SHOW_OIL_PER_GAS, slope.next);
    jnode_quantity(root, s, "oil_outflow_2_percent_up", SHOW_LIQUID,
                   w->oil_low_sm3s);
    jnode_quantity(root, s, "oil_outflow_2_percent_down", SHOW_LIQUID,
                   w->oil_high_sm3s);
    gas_side_json(r, w, root);
    diagnosis_json(r, w, root);
    unload_json(r, w, root);
    curves_json_points(r, c, root);
    add_profile(r, w, root);
    page_json_warnings(r, root);
    page_json_cautions(r, root);
    jnode_write(root, out);
}
