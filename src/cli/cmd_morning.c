#include "commands.h"

#include "output.h"
#include "report/explain.h"
#include "report/morning.h"
#include "run.h"

static void write(const struct report *r, const void *facts,
                  enum report_format f, struct strbuf *out)
{
    report_morning(r, facts, f, out);
}

static void write_why(const struct report *r, const void *facts,
                      enum report_format f, struct strbuf *out)
{
    report_explain(r, facts, f, out);
}

static enum status explain(const struct options *o, struct run *run,
                           struct err *err)
{
    size_t well;
    bool second;
    enum status st = run_find_well(run, o, o->explain, &well, &second, err);
    if (st != ST_OK)
        return st;
    struct explanation e = {.well = well};
    if (run->morning.plan.outcome != PLAN_IMPOSSIBLE)
        plan_explain(run->field, run->curves, &run->ask, &run->morning.plan,
                     well, &run->arena, &e);
    struct explain_facts facts = {&run->morning, &e};
    struct report r = run_report(run, o);
    return output_result(o, &r, "explain", write_why, &facts, err);
}

enum status cmd_morning(const struct options *o, struct run *run,
                        int *exit_state, struct err *err)
{
    enum status st = run_curves(run, o, err);
    if (st == ST_OK)
        st = run_plan(run, o, err);
    if (st != ST_OK)
        return st;
    *exit_state = run_plan_exit_state(run, o);
    if (o->explain != NULL)
        return explain(o, run, err);
    struct report r = run_report(run, o);
    return output_result(o, &r, "morning", write, &run->morning, err);
}
