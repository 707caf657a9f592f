#include "diagnosis.h"

#include <math.h>

#include "base/arena.h"
#include "page.h"
#include "report/grid.h"

/* Explanations shown: the further ones do not fit. */
#define SHOWN 6

static const char *number_text(const struct report *r,
                               const struct explanation *e)
{
    if (isnan(e->ratio))
        return NULL;
    return arena_printf(
        r->show.arena,
        e->kind == DIAGNOSE_METER ? "reads %+.0f %%" : "%.0f %% as wide",
        e->kind == DIAGNOSE_METER ? 100 * (e->ratio - 1) : 100 * e->ratio);
}

void diagnosis_table(const struct report *r, const struct well_facts *w,
                     struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_reading *reading = &w->string->reading;
    const struct grid_column columns[] = {
        {{"score"}, true},
        {{"off by", show_unit(s, SHOW_PRESSURE_STEP)}, true},
        {{"off by", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"depth", show_unit(s, SHOW_DEPTH)}, true},
        {{""}, false},
        {{"consistent with"}, false},
    };

    if (!w->shows_diagnosis)
        return;
    page_head(r, out, "WHAT THE READINGS ARE CONSISTENT WITH, best first");
    page_say(r, out, 2, "Read: %s in the casing, %s in the tubing, %s.",
             show_full(s, SHOW_PRESSURE, reading->p_casing_pa),
             show_full(s, SHOW_PRESSURE, reading->p_tubing_pa),
             show_full(s, SHOW_WELL_GAS, reading->lift_sm3s));
    if (w->diagnosis.n == 0) {
        page_say(r, out, 2,
                 "Nothing that the model knows fits: check the gauges, the "
                 "meter and what was entered of the well.");
        return;
    }
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < w->diagnosis.n && i < SHOWN; i++) {
        const struct explanation *e = &w->diagnosis.at[i];
        const char **cell = grid_row(&g);

        cell[0] = arena_printf(s->arena, "%.1f", e->score);
        cell[1] = show_change(s, SHOW_PRESSURE_STEP, e->miss_pa);
        cell[2] = show_change(s, SHOW_WELL_GAS, e->miss_sm3s);
        cell[3] = show_number(s, SHOW_DEPTH, e->md_m);
        cell[4] = number_text(r, e);
        cell[5] = diagnose_text(e->kind);
    }
    grid_write(&g, 0, r->width, out);
    page_say(r, out, 2,
             "Score: what gauge and meter leave unexplained, and what it costs "
             "to believe it; 0 fits. A ranking, not a verdict: check at the "
             "well before anything is pulled.");
}

void diagnosis_json(const struct report *r, const struct well_facts *w,
                    struct jnode root)
{
    if (!w->shows_diagnosis)
        return;
    struct jnode list = jnode_array(root, "consistent_with");
    for (size_t i = 0; i < w->diagnosis.n; i++) {
        const struct explanation *e = &w->diagnosis.at[i];
        struct jnode node = jnode_object(list, NULL);

        jnode_text(node, "explanation", diagnose_text(e->kind));
        jnode_number(node, "score", e->score);
        jnode_quantity(node, &r->show, "measured_depth", SHOW_DEPTH, e->md_m);
        jnode_number(node, "off_by_pa", e->miss_pa);
        jnode_quantity(node, &r->show, "off_by_gas", SHOW_WELL_GAS,
                       e->miss_sm3s);
        jnode_number(node, "ratio", e->ratio);
    }
}
