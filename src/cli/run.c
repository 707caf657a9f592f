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

/* The command line stands above the scenario. */
static void apply_options(struct field *f, const struct options *o)
{
    if (o->gas.unit != NULL)
        f->limits.caps.lift_sm3s =
            unit_to_si(o->gas.unit, o->gas.value, &f->frame);
    if (o->header.unit != NULL)
        field_set_header(
            f, unit_to_si(o->header.unit, o->header.value, &f->frame));
    if (o->has_moves)
        f->limits.caps.moves = o->moves;
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
    apply_options(run->field, o);
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

enum status run_curves(struct run *run, const struct options *o,
                       struct err *err)
{
    if (o->threads > 0)
        omp_set_num_threads(o->threads);
    enum status st = read_field(run, o, err);
    if (st == ST_OK)
        st = build_curves(run, o, err);
    say_messages(run, o);
    return st;
}

static double asked(const struct quantity *q, const struct unit_frame *frame,
                    double otherwise)
{
    return q->unit != NULL ? unit_to_si(q->unit, q->value, frame) : otherwise;
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

enum status run_plan(struct run *run, const struct options *o, struct err *err)
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

int run_plan_exit_state(const struct run *run, const struct options *o)
{
    static const int STATES[] = {
#define STATE(name, exit_state, words) exit_state,
        PLAN_OUTCOME_LIST(STATE)
#undef STATE
    };
    const struct morning *m = &run->morning;
    if (m->plan.outcome != PLAN_IMPOSSIBLE && m->verify.n_faults > 0)
        return EXIT_OUR_FAULT;
    int state = STATES[m->plan.outcome];
    return state != 0 ? state : run_exit_state(run, o);
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
