#include "run.h"

#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <string.h>

#include "base/strbuf.h"
#include "field/check.h"
#include "field/curves.h"
#include "field/match.h"
#include "output.h"
#include "progress.h"
#include "scenario/load.h"
#include "scenario/load_outage.h"
#include "scenario/names.h"

/* Of errors and of warnings, each. */
#define MESSAGES_MOST 20

/* Exit states of answers that no list carries. */
#define EXIT_STRICT 1
#define EXIT_OUR_FAULT 70

void run_init(struct run *run)
{
    *run = (struct run){0};
    arena_init(&run->arena);
    diag_init(&run->diag, &run->arena);
}

void run_release(struct run *run)
{
    arena_release(&run->arena);
}

static double asked(const struct quantity *q, const struct unit_frame *frame,
                    double otherwise)
{
    return q->unit != NULL ? unit_to_si(q->unit, q->value, frame) : otherwise;
}

static enum status refuse_unit(const struct field *f, const char *text,
                               size_t len, struct arena *a, struct err *err)
{
    const struct field_station *s = &f->station;
    struct name_entry *entry =
        ARENA_NEW(a, s->n_compressors, struct name_entry);
    for (size_t i = 0; i < s->n_compressors; i++)
        entry[i] = (struct name_entry){s->compressor[i].name, i};
    struct names names = names_build(entry, s->n_compressors);
    const char *near = names_nearest(&names, arena_text(a, text, len));
    if (near == NULL)
        return err_set(err, ST_USAGE, "--unit %s: there is no such compressor",
                       text);
    return err_set(err, ST_USAGE,
                   "--unit %s: there is no such compressor; did you mean %s?",
                   text, near);
}

/* "K-101=off" */
static enum status set_unit_state(struct field *f, const char *text,
                                  struct arena *a, struct err *err)
{
    static const struct {
        const char *key;
        enum unit_state state;
    } STATES[] = {{"on", UNIT_RUNNING},
                  {"off", UNIT_STOPPED},
                  {"available", UNIT_AVAILABLE}};
    struct field_station *s = &f->station;
    const char *key = strrchr(text, '=') + 1;
    size_t len = (size_t)(key - 1 - text), i = 0, k = 0;
    while (k < 3 && strcmp(STATES[k].key, key) != 0)
        k++;
    if (k == 3)
        return err_set(err, ST_USAGE,
                       "--unit %s: the state is on, off or available", text);
    while (i < s->n_compressors &&
           !(strlen(s->compressor[i].name) == len &&
             memcmp(s->compressor[i].name, text, len) == 0))
        i++;
    if (i == s->n_compressors)
        return refuse_unit(f, text, len, a, err);
    s->compressor[i].state = STATES[k].state;
    return ST_OK;
}

static void apply_prices(struct field *f, const struct options *o)
{
    const struct unit_frame *frame = &f->frame;
    f->prices.given = f->prices.given || o->oil_price.unit != NULL;
    f->prices.oil_sm3 = asked(&o->oil_price, frame, f->prices.oil_sm3);
    f->sales.price_sm3 = asked(&o->sales_price, frame, f->sales.price_sm3);
    f->market.price_sm3 = asked(&o->market_price, frame, f->market.price_sm3);
}

/* The command line stands above the scenario. */
static enum status apply_options(struct field *f, const struct options *o,
                                 struct arena *a, struct err *err)
{
    const struct unit_frame *frame = &f->frame;
    struct field_caps *caps = &f->limits.caps;
    caps->lift_sm3s = asked(&o->gas, frame, caps->lift_sm3s);
    f->market.max_sm3s = asked(&o->buy, frame, f->market.max_sm3s);
    f->sales.min_sm3s = asked(&o->sell, frame, f->sales.min_sm3s);
    f->sales.max_sm3s = asked(&o->sell, frame, f->sales.max_sm3s);
    apply_prices(f, o);
    if (o->header.unit != NULL)
        field_set_header(f, asked(&o->header, frame, 0));
    if (o->has_moves)
        caps->moves = o->moves;
    enum status st = ST_OK;
    for (size_t i = 0; i < o->n_units && st == ST_OK; i++)
        st = set_unit_state(f, o->unit[i], a, err);
    return st;
}

static enum status read_field(struct run *run, const struct options *o,
                              struct err *err)
{
    enum status st =
        scenario_load(o->scenario, &run->arena, &run->diag, &run->field, err);
    if (st != ST_OK)
        return st;
    if (run->diag.n_errors > 0)
        return ST_INPUT;
    st = apply_options(run->field, o, &run->arena, err);
    if (st != ST_OK)
        return st;
    field_check(run->field, &run->diag);
    return run->diag.n_errors > 0 ? ST_INPUT : ST_OK;
}

static enum status build_curves(struct run *run, const struct options *o,
                                struct err *err)
{
    enum status st = field_match(run->field, &run->diag, err);
    if (st != ST_OK)
        return st;
    struct progress progress;
    progress_init(&progress, "curves", run->field->n_wells, o->quiet);
    field_build_curves(run->field, &run->arena, &run->diag, &run->curves, NULL,
                       progress_show, &progress);
    progress_end(&progress);
    field_limit_by_curves(run->field, run->curves);
    return run->diag.n_errors > 0 ? ST_INPUT : ST_OK;
}

static void say_messages(struct run *run, const struct options *o)
{
    if (o->quiet && run->diag.n_errors == 0)
        return;
    struct strbuf text;
    strbuf_init(&text, &run->arena);
    diag_write(&run->diag, MESSAGES_MOST, &text);
    fputs(text.text, stderr);
}

static enum status read_outage(struct run *run, const struct options *o,
                               struct err *err)
{
    if (!scenario_has_outage(o->scenario, &run->arena))
        return err_set(err, ST_IO,
                       "there is no %s/outage.yaml; docs/input.md says what it "
                       "holds",
                       o->scenario);
    return scenario_load_outage(o->scenario, run->field, &run->arena,
                                &run->diag, &run->outage, err);
}

static enum status read_and_build(struct run *run, const struct options *o,
                                  bool with_outage, struct err *err)
{
    if (o->threads > 0)
        omp_set_num_threads(o->threads);
    enum status st = read_field(run, o, err);
    if (st == ST_OK && with_outage)
        st = read_outage(run, o, err);
    if (st == ST_OK)
        st = build_curves(run, o, err);
    say_messages(run, o);
    return st;
}

enum status run_curves(struct run *run, const struct options *o,
                       struct err *err)
{
    return read_and_build(run, o, false, err);
}

enum status run_outage(struct run *run, const struct options *o,
                       struct err *err)
{
    return read_and_build(run, o, true, err);
}

enum status run_raised(struct run *raised, const struct options *o,
                       double rise_pa, struct err *err)
{
    enum status st = read_field(raised, o, err);
    if (st != ST_OK)
        return st;
    field_raise_header(raised->field, rise_pa);
    return build_curves(raised, o, err);
}

static struct plan_options plan_options_of(const struct options *o,
                                           const struct unit_frame *frame)
{
    struct plan_options p = plan_options_default();
    p.objective = o->objective;
    p.oil_target_sm3s = asked(&o->target, frame, 0);
    p.gap = asked(&o->gap, frame, p.gap);
    p.time_s = asked(&o->time, frame, p.time_s);
    return p;
}

enum status run_ask(struct run *run, const struct options *o, struct err *err)
{
    if (o->objective == PLAN_MONEY && !run->field->prices.given)
        return err_set(err, ST_INPUT,
                       "--objective money needs prices and the scenario gives "
                       "no oil price; add prices or plan for oil");
    if (o->objective == PLAN_GAS && o->target.unit == NULL)
        return err_set(err, ST_USAGE,
                       "--objective gas needs the oil that is to be made: "
                       "--target \"16000 stb/d\"");
    run->ask = plan_options_of(o, &run->field->frame);
    return ST_OK;
}

enum status run_plan(struct run *run, const struct options *o, struct err *err)
{
    enum status st = run_ask(run, o, err);
    if (st != ST_OK)
        return st;
    return morning_solve(run->field, run->curves, &run->ask, &run->arena,
                         &run->morning, err);
}

enum status run_find_well(const struct run *run, const struct options *o,
                          const char *name, size_t *well, bool *second,
                          struct err *err)
{
    const struct field *f = run->field;
    for (size_t i = 0; i < f->n_wells; i++) {
        const struct field_well *w = &f->well[i];
        *second = w->second && strcmp(w->second->name, name) == 0;
        if (*second || strcmp(w->name, name) == 0) {
            *well = i;
            return ST_OK;
        }
    }
    return err_set(err, ST_USAGE,
                   "there is no well \"%s\" in %s; liftsplit check %s lists "
                   "the wells",
                   name, o->scenario, o->scenario);
}

int run_exit_state(const struct run *run, const struct options *o)
{
    return o->strict && run->diag.n_warnings > 0 ? EXIT_STRICT : 0;
}

int run_outcome_exit_state(const struct run *run, const struct options *o,
                           enum plan_outcome outcome)
{
    static const int STATES[] = {
#define STATE(name, exit_state, words) exit_state,
        PLAN_OUTCOME_LIST(STATE)
#undef STATE
    };
    return STATES[outcome] != 0 ? STATES[outcome] : run_exit_state(run, o);
}

int run_checked_exit_state(const struct run *run, const struct options *o,
                           enum plan_outcome outcome, bool is_sound)
{
    return outcome != PLAN_IMPOSSIBLE && !is_sound
               ? EXIT_OUR_FAULT
               : run_outcome_exit_state(run, o, outcome);
}

int run_plan_exit_state(const struct run *run, const struct options *o)
{
    const struct morning *m = &run->morning;
    return run_checked_exit_state(run, o, m->plan.outcome,
                                  m->verify.n_faults == 0);
}

struct report run_report(struct run *run, const struct options *o)
{
    return (struct report){
        .show = {.arena = &run->arena,
                 .system = o->units,
                 .frame = run->field->frame},
        .width = output_width(),
        .field = run->field,
        .curves = run->curves,
        .diag = &run->diag,
    };
}
