#include "station.h"

#include <math.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "page.h"
#include "report/grid.h"

static const char *state_key(const struct field_compressor *u)
{
    static const char *const KEYS[] = {
#define KEY(name, key) key,
        UNIT_STATE_LIST(KEY)
#undef KEY
    };
    return KEYS[u->state];
}

/* What the plan makes of a unit. */
static const char *state_words(const struct field_compressor *u,
                               const struct plan_unit *p)
{
    if (!p->chosen)
        return state_key(u);
    return p->load.runs ? "to run" : "to stand";
}

/* There is more to say of it than its capacity. */
static bool is_machine(const struct field_compressor *u)
{
    return u->has_fuel || u->least_sm3s > 0 || u->power_j_sm3 > 0 ||
           u->state == UNIT_AVAILABLE;
}

static void say_units(const struct report *r, const struct plan *p,
                      struct strbuf *out)
{
    const struct field_station *st = &r->field->station;
    struct strbuf list;
    strbuf_init(&list, r->show.arena);
    for (size_t i = 0; i < st->n_compressors; i++)
        strbuf_addf(&list, "%s%s %s (%s)", i > 0 ? ", " : "",
                    st->compressor[i].name,
                    state_words(&st->compressor[i], &p->unit[i]),
                    show_number(&r->show, SHOW_FIELD_GAS,
                                st->compressor[i].capacity_sm3s));
    page_say(
        r, out, 2, "Compressors: %s; %s running in all.", list.text,
        show_full(&r->show, SHOW_FIELD_GAS, field_capacity_sm3s(r->field)));
}

/* "3.44 to 8.60" */
static const char *range_text(const struct show *s,
                              const struct field_compressor *u)
{
    const char *most = show_number(s, SHOW_FIELD_GAS, u->capacity_sm3s);
    if (!(u->least_sm3s > 0))
        return arena_printf(s->arena, "up to %s", most);
    return arena_printf(s->arena, "%s to %s",
                        show_number(s, SHOW_FIELD_GAS, u->least_sm3s), most);
}

static double or_nan(bool is_known, double value)
{
    return is_known ? value : (double)NAN;
}

static void add_unit(const struct report *r, const struct morning *m, size_t i,
                     bool has_plan, struct grid *g)
{
    const struct show *s = &r->show;
    const struct field_compressor *u = &r->field->station.compressor[i];
    const struct plan_unit *now = &m->now.unit[i];
    const struct plan_unit *to = has_plan ? &m->plan.unit[i] : now;
    const char **cell = grid_row(g);
    cell[0] = u->name;
    cell[1] = state_words(u, to);
    cell[2] = range_text(s, u);
    cell[3] = show_number(s, SHOW_FIELD_GAS, now->load.through_sm3s);
    cell[4] = show_number(s, SHOW_FIELD_GAS, to->load.through_sm3s);
    cell[5] = show_number(
        s, SHOW_FIELD_GAS,
        or_nan(u->recycles && u->least_sm3s > 0, to->load.recycled_sm3s));
    cell[6] = show_number(s, SHOW_FIELD_GAS,
                          or_nan(!u->electric, to->load.fuel_sm3s));
    cell[7] = show_number(
        s, SHOW_POWER,
        or_nan(u->power_fixed_w + u->power_j_sm3 > 0, to->load.power_w));
}

void station_table(const struct report *r, const struct morning *m,
                   struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_station *st = &r->field->station;
    const struct grid_column columns[] = {
        {{"unit"}, false}, {{"state"}, false},
        {{"range"}, true}, {{"now"}, true},
        {{"plan"}, true},  {{"goes round"}, true},
        {{"fuel"}, true},  {{"power", show_unit(s, SHOW_POWER)}, true},
    };
    bool has_plan = m->plan.outcome != PLAN_IMPOSSIBLE;
    bool has_machine = false;
    for (size_t i = 0; i < st->n_compressors; i++)
        has_machine = has_machine || is_machine(&st->compressor[i]);
    if (!st->has_compressors || m->now.n_units != st->n_compressors)
        return;
    if (!has_machine) {
        say_units(r, has_plan ? &m->plan : &m->now, out);
        return;
    }
    page_head(r, out, "COMPRESSORS, gas through them in %s",
              show_unit(s, SHOW_FIELD_GAS));
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < st->n_compressors; i++)
        add_unit(r, m, i, has_plan, &g);
    grid_write(&g, 0, r->width, out);
}

void station_json(const struct report *r, const struct plan *p,
                  struct jnode root)
{
    const struct show *s = &r->show;
    struct jnode list = jnode_array(root, "compressors");
    for (size_t i = 0; i < p->n_units; i++) {
        const struct field_compressor *u = &r->field->station.compressor[i];
        const struct unit_load *load = &p->unit[i].load;
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "compressor", u->name);
        jnode_text(node, "state", state_key(u));
        jnode_flag(node, "runs", load->runs);
        jnode_quantity(node, s, "least", SHOW_FIELD_GAS, u->least_sm3s);
        jnode_quantity(node, s, "capacity", SHOW_FIELD_GAS, u->capacity_sm3s);
        jnode_quantity(node, s, "through", SHOW_FIELD_GAS, load->through_sm3s);
        jnode_quantity(node, s, "goes_round", SHOW_FIELD_GAS,
                       load->recycled_sm3s);
        jnode_quantity(node, s, "fuel", SHOW_FIELD_GAS, load->fuel_sm3s);
        jnode_quantity(node, s, "power", SHOW_POWER, load->power_w);
    }
}
