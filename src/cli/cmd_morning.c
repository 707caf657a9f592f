#include "commands.h"

#include "output.h"
#include "report/morning.h"
#include "run.h"

static void write(const struct report *r, const void *facts,
                  enum report_format f, struct strbuf *out)
{
    report_morning(r, facts, f, out);
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
    struct report r = run_report(run, o);
    return output_result(o, &r, "morning", write, &run->morning, err);
}
