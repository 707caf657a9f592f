#include "commands.h"

#include "output.h"
#include "report/check.h"
#include "run.h"
#include "scenario/load_outage.h"

static void write(const struct report *r, const void *facts,
                  enum report_format f, struct strbuf *out)
{
    (void)facts;
    report_check(r, f, out);
}

enum status cmd_check(const struct options *o, struct run *run, int *exit_state,
                      struct err *err)
{
    bool has_outage = scenario_has_outage(o->scenario, &run->arena);
    enum status st =
        has_outage ? run_outage(run, o, err) : run_curves(run, o, err);
    if (st != ST_OK)
        return st;
    *exit_state = run_exit_state(run, o);
    struct report r = run_report(run, o);
    return output_result(o, &r, "check", write, NULL, err);
}
