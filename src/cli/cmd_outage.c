#include "commands.h"

#include "num/tol.h"
#include "output.h"
#include "plan/outage_start.h"
#include "report/outage.h"
#include "run.h"

/* A short outage, over before most wells that were stopped are back; a long
 * one lasts as long as the horizon. Common practice, no source. */
#define SHORT_OUTAGE_S (2 * 3600.0)
/* Shortfalls of a ladder: with more of them two do not fit on a page. */
#define LADDER_STEPS 10

static void write(const struct report *r, const void *facts,
                  enum report_format f, struct strbuf *out)
{
    report_outage(r, facts, f, out);
}

static void write_ladder(const struct report *r, const void *facts,
                         enum report_format f, struct strbuf *out)
{
    report_ladder(r, facts, f, out);
}

static enum status prepare(const struct options *o, struct run *run,
                           struct err *err)
{
    if (o->objective == PLAN_GAS)
        return err_set(err, ST_USAGE,
                       "outage plans for oil or money; --objective gas is for "
                       "one day");
    if (o->ladder && o->has_window)
        return err_set(err, ST_USAGE,
                       "--ladder and --best-start are two reports; ask for one "
                       "at a time");
    enum status st = run_outage(run, o, err);
    if (st == ST_OK)
        st = run_ask(run, o, err);
    if (st == ST_OK)
        st = outage_restarts(run->field, run->outage, err);
    if (st == ST_OK)
        outage_periods(run->field, run->outage, &run->arena);
    return st;
}

static enum status ladder(const struct options *o, struct run *run,
                          struct err *err)
{
    const struct outage *outage = run->outage;
    double horizon_s = (double)outage->n_periods * outage->period_s;
    struct ladder short_one, long_one;
    enum status st = outage_ladder(run->field, run->curves, outage, &run->ask,
                                   SHORT_OUTAGE_S, LADDER_STEPS, &run->arena,
                                   &short_one, err);
    if (st == ST_OK)
        st =
            outage_ladder(run->field, run->curves, outage, &run->ask, horizon_s,
                          LADDER_STEPS, &run->arena, &long_one, err);
    if (st != ST_OK)
        return st;
    const struct ladder_facts facts = {outage, &short_one, &long_one};
    struct report r = run_report(run, o);
    return output_result(o, &r, "ladder", write_ladder, &facts, err);
}

/* After the start of the horizon; a clock time is the first after at_s. */
static double moment_s(const struct run *run, const struct value_moment *m,
                       double at_s)
{
    double s = value_moment_s(m, run->field->day, run->outage->start_s);
    while (m->kind == MOMENT_CLOCK && s < at_s)
        s += UNIT_DAY_S;
    return s;
}

static enum status best_start(const struct options *o, struct run *run,
                              struct outage_starts *out, struct err *err)
{
    double from_s = moment_s(run, &o->window_from, 0);
    double to_s = moment_s(run, &o->window_to, from_s);
    return outage_best_start(run->field, run->curves, run->outage, &run->ask,
                             from_s, to_s, &run->arena, out, err);
}

static enum status way_through(const struct options *o, struct run *run,
                               int *exit_state, struct err *err)
{
    static const char *const NONE[] = {NULL};
    struct outage_starts starts;
    struct outage_plan plan;
    enum status st = o->has_window
                         ? best_start(o, run, &starts, err)
                         : outage_solve(run->field, run->curves, run->outage,
                                        &run->ask, &run->arena, &plan, err);
    if (st != ST_OK)
        return st;
    struct outage_facts x = {run->outage, &plan, NONE, NULL};
    if (o->has_window)
        x = (struct outage_facts){&starts.outage, &starts.plan, NONE, &starts};
    if (x.plan->outcome != PLAN_IMPOSSIBLE)
        x.fault = outage_verify(run->field, run->curves, x.outage, x.plan,
                                &run->arena);
    *exit_state =
        run_checked_exit_state(run, o, x.plan->outcome, x.fault[0] == NULL);
    struct report r = run_report(run, o);
    return output_result(o, &r, "outage", write, &x, err);
}

enum status cmd_outage(const struct options *o, struct run *run,
                       int *exit_state, struct err *err)
{
    enum status st = prepare(o, run, err);
    if (st != ST_OK)
        return st;
    if (o->ladder) {
        *exit_state = run_exit_state(run, o);
        return ladder(o, run, err);
    }
    if (o->gap.unit == NULL)
        run->ask.gap = TOL_OUTAGE_GAP;
    return way_through(o, run, exit_state, err);
}
