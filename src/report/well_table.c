#include "well.h"

#include <math.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "diagnosis.h"
#include "gas_side.h"
#include "page.h"
#include "plot.h"
#include "report/grid.h"
#include "report/text.h"
#include "unload.h"

/* Rows of the tables: few enough to read, the ends included. */
#define INFLOW_ROWS 6
#define PROFILE_ROWS 24
#define LABEL_COLUMN 22

static void fact(const struct report *r, struct strbuf *out, const char *label,
                 const char *value)
{
    strbuf_addf(out, "  %s", label);
    strbuf_pad(out, ' ', LABEL_COLUMN - 2 - text_width(label));
    text_wrap(out, value, LABEL_COLUMN, LABEL_COLUMN, r->width);
}

static const char *tubing_text(const struct report *r, const struct well *w)
{
    struct strbuf b;
    strbuf_init(&b, r->show.arena);
    for (size_t i = 0; i < w->n_sections; i++)
        strbuf_addf(&b, "%s%s inside to %s", i > 0 ? ", then " : "",
                    show_full(&r->show, SHOW_DIAMETER, w->section[i].d_m),
                    show_full(&r->show, SHOW_DEPTH, w->section[i].to_md_m));
    return b.text;
}

static const char *inflow_text(const struct report *r, const struct inflow *f)
{
    static const char *const MODELS[] = {
#define MODEL(name, key, text) text,
        INFLOW_LIST(MODEL)
#undef MODEL
    };
    const struct show *s = &r->show;
    const char *slope =
        f->model == INFLOW_FETKOVICH
            ? ""
            : arena_printf(s->arena, ", productivity %s",
                           show_full(s, SHOW_PRODUCTIVITY, f->j_sm3spa));
    return arena_printf(s->arena, "%s%s, reservoir pressure %s",
                        MODELS[f->model], slope,
                        show_full(s, SHOW_PRESSURE, f->p_res_pa));
}

static const char *depth_text(const struct report *r, const struct well *w,
                              double md_m)
{
    return arena_printf(r->show.arena, "%s measured, %s true vertical",
                        show_full(&r->show, SHOW_DEPTH, md_m),
                        show_full(&r->show, SHOW_DEPTH, well_tvd_m(w, md_m)));
}

static const char *temperature_text(const struct report *r,
                                    const struct thermal *t)
{
    static const char *const MODELS[] = {
#define MODEL(name, key, text) text,
        THERMAL_LIST(MODEL)
#undef MODEL
    };
    const struct show *s = &r->show;
    return arena_printf(s->arena, "%s at the top, %s at the bottom; %s",
                        show_full(s, SHOW_TEMPERATURE, t->t_head_k),
                        show_full(s, SHOW_TEMPERATURE, t->t_bottom_k),
                        MODELS[t->model]);
}

static void write_model(const struct report *r, const struct well_facts *facts,
                        struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_well *fw = facts->string;
    const struct well *w = &facts->model;
    const struct oil *oil = &w->fluid.oil;
    fact(r, out, "wellhead pressure",
         show_full(s, SHOW_PRESSURE, w->p_head_pa));
    fact(r, out, "inflow", inflow_text(r, &w->inflow));
    fact(r, out, "oil, water",
         arena_printf(s->arena, "%s, water cut %s, gas-oil ratio %s",
                      show_full(s, SHOW_OIL_GRAVITY, oil->spec.gravity),
                      show_full(s, SHOW_PERCENT, w->water_cut),
                      show_full(s, SHOW_GAS_OIL_RATIO, w->gor_sm3sm3)));
    fact(r, out, "gas gravity",
         arena_printf(s->arena, "%.3f formation, %.3f lift (air 1)",
                      w->fluid.formation_gas.spec.gravity,
                      w->fluid.lift_gas.spec.gravity));
    fact(r, out, "gas enters at", depth_text(r, w, w->md_inject_m));
    fact(r, out, "perforations at", depth_text(r, w, well_bottom_m(w)));
    fact(r, out, "tubing", tubing_text(r, w));
    fact(r, out, "temperature", temperature_text(r, &w->thermal));
    fact(r, out, "pressure drop by", gradient_text(w->gradient));
    fact(r, out, "test in use",
         fw->matched != NULL ? show_day(s, fw->matched->day)
                             : "none: the model is as entered");
}

static const char *kind_text(const struct report *r, const struct well_facts *w)
{
    static const char *const KINDS[] = {
#define KIND(name, key, text) text,
        WELL_KIND_LIST(KIND)
#undef KIND
    };
    const struct field_well *fw = &r->field->well[w->well];
    return fw->second == NULL
               ? KINDS[fw->kind]
               : arena_printf(r->show.arena, "%s, with %s", KINDS[fw->kind],
                              w->string == fw ? fw->second->name : fw->name);
}

static void write_inputs(const struct report *r, const struct well_facts *w,
                         struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_well *fw = &r->field->well[w->well];
    page_head(r, out, "WHAT THE WELL IS");
    fact(r, out, "kind", kind_text(r, w));
    fact(r, out, "manifold", field_manifold(r->field, fw)->name);
    fact(r, out, "status",
         fw->reading.given ? page_status_key(fw->reading.status)
                           : "not read this morning");
    fact(r, out, "lift gas allowed",
         arena_printf(s->arena, "%s to %s%s",
                      show_number(s, SHOW_WELL_GAS, fw->lift_min_sm3s),
                      show_full(s, SHOW_WELL_GAS, fw->lift_max_sm3s),
                      fw->may_stop ? ", or none" : ""));
    if (fw->model != NULL)
        write_model(r, w, out);
    else
        fact(r, out, "curve", "a table; there is no model of this well");
}

static void write_inflow(const struct report *r, const struct inflow *f,
                         struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"flowing pressure", show_unit(s, SHOW_PRESSURE)}, true},
        {{"liquid", show_unit(s, SHOW_LIQUID)}, true},
    };
    page_head(r, out, "INFLOW AT THE PERFORATIONS");
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    double p_low_pa = r->show.frame.p_atm_pa;
    for (int i = 0; i < INFLOW_ROWS; i++) {
        double part = (double)i / (INFLOW_ROWS - 1);
        double p_pa = f->p_res_pa + part * (p_low_pa - f->p_res_pa);
        const char **cell = grid_row(&g);
        cell[0] = show_number(s, SHOW_PRESSURE, p_pa);
        cell[1] = show_number(s, SHOW_LIQUID, inflow_rate_sm3s(f, p_pa));
    }
    grid_write(&g, 0, r->width, out);
}

static void add_crossings(const struct report *r, const char *label,
                          const struct well_state *state, struct grid *g)
{
    const struct show *s = &r->show;
    for (int i = 0; i < state->operating.n; i++) {
        const struct crossing *c = &state->operating.crossing[i];
        const char **cell = grid_row(g);
        cell[0] = label;
        cell[1] = show_number(s, SHOW_WELL_GAS, state->string_sm3s);
        cell[2] = show_number(s, SHOW_LIQUID, c->liquid_sm3s);
        cell[3] = show_number(s, SHOW_PRESSURE, c->p_bottom_pa);
        cell[4] = show_number(s, SHOW_PRESSURE, c->p_inject_pa);
        cell[5] = i == state->operating.stable ? "the well works here"
                  : c->stable                  ? "stable"
                                               : "unstable";
    }
    if (state->operating.stable < 0) {
        const char **cell = grid_row(g);
        cell[0] = label;
        cell[1] = show_number(s, SHOW_WELL_GAS, state->string_sm3s);
        cell[5] = "dead at this rate";
    }
}

static void write_crossings(const struct report *r, const struct well_facts *w,
                            struct strbuf *out)
{
    const struct show *s = &r->show;
    const char *p = show_unit(s, SHOW_PRESSURE);
    const struct grid_column columns[] = {
        {{""}, false},
        {{"lift gas", "", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"liquid", "", show_unit(s, SHOW_LIQUID)}, true},
        {{"bottom", "pressure", p}, true},
        {{"injection", "point", p}, true},
        {{""}, false},
    };
    page_head(r, out, "WHERE INFLOW AND OUTFLOW MEET");
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    add_crossings(r, "now", &w->now, &g);
    add_crossings(r, "plan", &w->plan, &g);
    grid_write(&g, 0, r->width, out);
    if (isfinite(w->oil_low_sm3s) && isfinite(w->oil_high_sm3s))
        page_say(r, out, 2,
                 "Trust: with the outflow pressure 2 %% higher the planned "
                 "rate makes %s, with 2 %% lower %s of oil.",
                 show_number(s, SHOW_LIQUID, w->oil_low_sm3s),
                 show_full(s, SHOW_LIQUID, w->oil_high_sm3s));
}

static void add_depth(const struct report *r, const struct well *model,
                      const struct traverse_point *p, struct grid *g)
{
    const struct show *s = &r->show;
    const char **cell = grid_row(g);
    cell[0] = show_number(s, SHOW_DEPTH, p->md_m);
    cell[1] = show_number(s, SHOW_DEPTH, p->tvd_m);
    cell[2] = show_number(s, SHOW_PRESSURE, p->p_pa);
    cell[3] = show_number(s, SHOW_TEMPERATURE, p->t_k);
    cell[4] = show_number(s, SHOW_PERCENT, p->holdup);
    const char *flow = gradient_regime_text(model->gradient, p->regime);
    bool is_inlet =
        p->md_m >= model->md_inject_m && p->md_m <= model->md_inject_m;
    cell[5] =
        is_inlet ? arena_printf(s->arena, "%s; lift gas enters", flow) : flow;
}

/* Some of the points, evenly in depth, with both ends and the place where the
 * gas enters. */
static void write_profile(const struct report *r, const struct well_facts *w,
                          struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct well *model = &w->model;
    const struct grid_column columns[] = {
        {{"depth", "", show_unit(s, SHOW_DEPTH)}, true},
        {{"vertical", "", show_unit(s, SHOW_DEPTH)}, true},
        {{"pressure", "", show_unit(s, SHOW_PRESSURE)}, true},
        {{"temp.", "", show_unit(s, SHOW_TEMPERATURE)}, true},
        {{"liquid", "part", show_unit(s, SHOW_PERCENT)}, true},
        {{"flow"}, false},
    };
    size_t n = w->profile.n < w->profile.cap ? w->profile.n : w->profile.cap;
    if (n == 0)
        return;
    page_head(r, out, "PRESSURE AND TEMPERATURE BY DEPTH, AS PLANNED");
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    double step_m = well_bottom_m(model) / (PROFILE_ROWS - 1);
    double next_m = 0;
    for (size_t i = 0; i < n; i++) {
        const struct traverse_point *p = &w->profile.point[i];
        bool is_inlet =
            p->md_m >= model->md_inject_m && p->md_m <= model->md_inject_m;
        if (!(p->md_m >= next_m || is_inlet || i == n - 1))
            continue;
        add_depth(r, model, p, &g);
        next_m = step_m * (floor(p->md_m / step_m) + 1);
    }
    grid_write(&g, 0, r->width, out);
}

void well_table(const struct report *r, const struct well_facts *w,
                struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_well *fw = &r->field->well[w->well];
    page_say(r, out, 2, "%s, %s, well %s: oil %s now, %s planned%s.",
             r->field->name, show_day(s, r->field->day), w->string->name,
             show_number(s, SHOW_LIQUID, w->now.oil_sm3s),
             show_full(s, SHOW_LIQUID, w->plan.oil_sm3s),
             fw->second != NULL ? ", both strings together" : "");
    page_say(r, out, 2, "%s", well_why(r, w));
    if (r->curves[w->well].n > 0 && r->curves[w->well].gas_max_sm3s > 0)
        page_head(r, out, "LIFT CURVE");
    plot_curve(r, &r->curves[w->well], w->now.lift_sm3s, w->plan.lift_sm3s,
               out);
    write_inputs(r, w, out);
    if (fw->model != NULL) {
        write_inflow(r, &w->model.inflow, out);
        if (fw->kind != KIND_INTERMITTENT)
            write_crossings(r, w, out);
        gas_side_table(r, w, out);
        diagnosis_table(r, w, out);
        unload_table(r, w, out);
        write_profile(r, w, out);
    }
    page_warnings(r, out);
    page_cautions(r, out);
    page_foot(r, out);
}
