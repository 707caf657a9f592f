#include "commands.h"

#include "output.h"
#include "report/curves.h"
#include "run.h"

static void write(const struct report *r, const void *facts,
                  enum report_format f, struct strbuf *out)
{
    (void)facts;
    report_curves(r, f, out);
}

enum status cmd_curves(const struct options *o, struct run *run,
                       int *exit_state, struct err *err)
{
    enum status st = run_curves(run, o, err);
    if (st != ST_OK)
        return st;
    *exit_state = run_exit_state(run, o);
    struct report r = run_report(run, o);
    return output_result(o, &r, "curves", write, NULL, err);
}
