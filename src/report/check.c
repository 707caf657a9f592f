#include "report/check.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "cells.h"
#include "page.h"
#include "report/grid.h"

#define N_STATUS 4

/* Counts of what was read; each sum is shown with its parts. */
struct counts {
    size_t models, tables, dead;
    size_t tests, accepted, in_use;
    size_t readings, status[N_STATUS];
};

static struct counts count(const struct report *r)
{
    struct counts c = {0};
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct field_well *w = &r->field->well[i];
        c.models += w->model != NULL;
        c.tables += w->table != NULL;
        c.dead += r->curves[i].n == 0;
        c.tests += w->n_tests;
        for (size_t t = 0; t < w->n_tests; t++)
            c.accepted += w->test[t].accepted;
        c.in_use += w->matched != NULL;
        if (w->reading.given) {
            c.readings++;
            c.status[w->reading.status]++;
        }
    }
    return c;
}

static const char *curve_word(const struct report *r, size_t i)
{
    if (r->curves[i].n == 0)
        return "dead at every rate";
    return r->field->well[i].model != NULL ? "model" : "table";
}

static const char *status_word(const struct field_well *w)
{
    return w->reading.given ? page_status_key(w->reading.status) : "not read";
}

static const char *test_in_use(const struct report *r,
                               const struct field_well *w)
{
    return w->matched != NULL ? show_day(&r->show, w->matched->day) : NULL;
}

static void say_counts(const struct report *r, struct strbuf *out)
{
    const struct field *f = r->field;
    struct counts c = count(r);
    size_t running = 0;
    for (size_t i = 0; i < f->station.n_compressors; i++)
        running += f->station.compressor[i].state == UNIT_RUNNING;

    page_say(r, out, 2,
             "Wells: %zu = %zu with a model + %zu with a table; %zu dead at "
             "every rate. Manifolds: %zu. Compressors: %zu, %zu running.",
             f->n_wells, c.models, c.tables, c.dead,
             f->groups[GROUP_MANIFOLD].n, f->station.n_compressors, running);
    page_say(r, out, 2,
             "Tests: %zu = %zu accepted + %zu not accepted; %zu in use, one "
             "for each well matched.",
             c.tests, c.accepted, c.tests - c.accepted, c.in_use);
    page_say(r, out, 2,
             "Wells read this morning: %zu = %zu flowing + %zu down + %zu on "
             "test + %zu held; %zu not read.",
             c.readings, c.status[WELL_FLOWING], c.status[WELL_DOWN],
             c.status[WELL_TEST], c.status[WELL_HELD], f->n_wells - c.readings);
}

static void write_wells(const struct report *r, struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct grid_column columns[] = {
        {{"well"}, false},   {{"manifold"}, false},
        {{"status"}, false}, {{"lift gas", show_unit(s, SHOW_WELL_GAS)}, true},
        {{"tests"}, true},   {{"test in use"}, true},
        {{"curve"}, false},
    };
    page_head(r, out, "WELLS");
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct field_well *w = &r->field->well[i];
        const char **cell = grid_row(&g);
        cell[0] = w->name;
        cell[1] = field_manifold(r->field, w)->name;
        cell[2] = status_word(w);
        if (w->reading.given)
            cell[3] = show_number(s, SHOW_WELL_GAS, w->reading.lift_sm3s);
        cell[4] = arena_printf(s->arena, "%zu", w->n_tests);
        cell[5] = test_in_use(r, w);
        cell[6] = curve_word(r, i);
    }
    grid_write(&g, 0, r->width, out);
}

/* --- compressors, as rated for the day ------------------------------------ */

/* At capacity. NaN: not known. */
static double power_w(const struct field_compressor *u)
{
    double w = u->power_fixed_w + u->power_j_sm3 * u->capacity_sm3s;
    return w > 0 ? w : (double)NAN;
}

static double fuel_sm3s(const struct field *f, const struct field_compressor *u)
{
    return u->has_fuel
               ? u->fuel_fixed_sm3s + u->fuel_fraction * u->capacity_sm3s
               : f->station.fuel_fraction * u->capacity_sm3s;
}

static const char *state_word(const struct field_compressor *u)
{
    static const char *const WORDS[] = {
#define WORD(name, key) key,
        UNIT_STATE_LIST(WORD)
#undef WORD
    };
    return WORDS[u->state];
}

static const char *driver_word(const struct field_compressor *u)
{
    return u->electric ? "electric" : "gas";
}

static void write_compressors(const struct report *r, struct strbuf *out)
{
    const struct show *s = &r->show;
    const struct field_station *station = &r->field->station;
    const struct grid_column columns[] = {
        {{"unit"}, false},
        {{"state"}, false},
        {{"driver"}, false},
        {{"least", show_unit(s, SHOW_FIELD_GAS)}, true},
        {{"capacity", show_unit(s, SHOW_FIELD_GAS)}, true},
        {{"power", show_unit(s, SHOW_POWER)}, true},
        {{"fuel", show_unit(s, SHOW_FIELD_GAS)}, true},
    };
    if (station->n_compressors == 0)
        return;
    page_head(r, out, "COMPRESSORS, at the day's capacity");
    struct grid g;
    grid_init(&g, s->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < station->n_compressors; i++) {
        const struct field_compressor *u = &station->compressor[i];
        const char **cell = grid_row(&g);
        cell[0] = u->name;
        cell[1] = state_word(u);
        cell[2] = driver_word(u);
        cell[3] = show_number(s, SHOW_FIELD_GAS, u->least_sm3s);
        cell[4] = show_number(s, SHOW_FIELD_GAS, u->capacity_sm3s);
        cell[5] = show_number(s, SHOW_POWER, power_w(u));
        cell[6] = show_number(s, SHOW_FIELD_GAS, fuel_sm3s(r->field, u));
    }
    grid_write(&g, 0, r->width, out);
}

static void add_compressors(const struct report *r, struct jnode root)
{
    const struct field_station *station = &r->field->station;
    struct jnode list = jnode_array(root, "compressors");
    for (size_t i = 0; i < station->n_compressors; i++) {
        const struct field_compressor *u = &station->compressor[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "compressor", u->name);
        jnode_text(node, "state", state_word(u));
        jnode_text(node, "driver", driver_word(u));
        jnode_quantity(node, &r->show, "least", SHOW_FIELD_GAS, u->least_sm3s);
        jnode_quantity(node, &r->show, "capacity", SHOW_FIELD_GAS,
                       u->capacity_sm3s);
        jnode_quantity(node, &r->show, "power", SHOW_POWER, power_w(u));
        jnode_quantity(node, &r->show, "fuel", SHOW_FIELD_GAS,
                       fuel_sm3s(r->field, u));
    }
}

/* -------------------------------------------------------------------------- */

static void write_table(const struct report *r, struct strbuf *out)
{
    size_t n = r->diag->n_warnings;
    page_say(r, out, 2, "%s, %s: the scenario is SOUND, with %zu %s.",
             r->field->name, show_day(&r->show, r->field->day), n,
             n == 1 ? "warning" : "warnings");
    strbuf_add(out, "\n");
    say_counts(r, out);
    page_warnings(r, out);
    write_compressors(r, out);
    write_wells(r, out);
    page_foot(r, out);
}

static void write_csv(const struct report *r, struct strbuf *out)
{
    const struct show *s = &r->show;
    cells_text(out, "well");
    cells_text(out, "manifold");
    cells_text(out, "status");
    cells_text(out, show_title(s, "lift gas now", SHOW_WELL_GAS));
    cells_text(out, "tests");
    cells_text(out, "test in use");
    cells_text(out, "curve");
    cells_end(out);
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct field_well *w = &r->field->well[i];
        cells_text(out, w->name);
        cells_text(out, field_manifold(r->field, w)->name);
        cells_text(out, status_word(w));
        if (w->reading.given)
            cells_number(out, s, SHOW_WELL_GAS, w->reading.lift_sm3s);
        else
            cells_text(out, NULL);
        cells_count(out, (long)w->n_tests);
        cells_text(out, test_in_use(r, w));
        cells_text(out, curve_word(r, i));
        cells_end(out);
    }
}

static void add_counts(const struct report *r, struct jnode root)
{
    struct counts c = count(r);
    struct jnode node = jnode_object(root, "counts");
    jnode_count(node, "wells", (long long)r->field->n_wells);
    jnode_count(node, "wells_with_model", (long long)c.models);
    jnode_count(node, "wells_with_table", (long long)c.tables);
    jnode_count(node, "wells_dead_at_every_rate", (long long)c.dead);
    jnode_count(node, "manifolds",
                (long long)r->field->groups[GROUP_MANIFOLD].n);
    jnode_count(node, "compressors",
                (long long)r->field->station.n_compressors);
    jnode_count(node, "tests", (long long)c.tests);
    jnode_count(node, "tests_accepted", (long long)c.accepted);
    jnode_count(node, "tests_in_use", (long long)c.in_use);
    jnode_count(node, "wells_read", (long long)c.readings);
}

static void write_json(const struct report *r, struct strbuf *out)
{
    struct jnode root = page_json(r, "check");
    add_counts(r, root);
    struct jnode list = jnode_array(root, "wells");
    for (size_t i = 0; i < r->field->n_wells; i++) {
        const struct field_well *w = &r->field->well[i];
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "well", w->name);
        jnode_text(node, "manifold", field_manifold(r->field, w)->name);
        jnode_text(node, "status", status_word(w));
        jnode_quantity(node, &r->show, "lift_gas_now", SHOW_WELL_GAS,
                       field_well_now_sm3s(w));
        jnode_count(node, "tests", (long long)w->n_tests);
        jnode_text(node, "test_in_use", test_in_use(r, w));
        jnode_text(node, "curve", curve_word(r, i));
    }
    add_compressors(r, root);
    page_json_warnings(r, root);
    jnode_write(root, out);
}

void report_check(const struct report *r, enum report_format f,
                  struct strbuf *out)
{
    static void (*const WRITERS[REPORT_FORMATS])(const struct report *,
                                                 struct strbuf *) = {
        [REPORT_TABLE] = write_table,
        [REPORT_CSV] = write_csv,
        [REPORT_JSON] = write_json,
    };
    WRITERS[f](r, out);
}
