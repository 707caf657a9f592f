#include "commands.h"

#include "output.h"
#include "report/well.h"
#include "run.h"

static void write(const struct report *r, const void *facts,
                  enum report_format f, struct strbuf *out)
{
    report_well(r, facts, f, out);
}

enum status cmd_well(const struct options *o, struct run *run, int *exit_state,
                     struct err *err)
{
    size_t well = 0;
    bool second = false;
    struct well_facts facts;
    enum status st = run_curves(run, o, err);
    if (st == ST_OK)
        st = run_find_well(run, o, o->well, &well, &second, err);
    if (st == ST_OK)
        st = run_plan(run, o, err);
    if (st == ST_OK)
        st = well_facts_solve(run->field, run->curves, &run->morning, well,
                              second, &run->arena, &facts, err);
    if (st == ST_OK && o->diagnose)
        st = well_facts_diagnose(run->field, &facts, err);
    if (st == ST_OK && o->unload)
        st = well_facts_unload(&facts, err);
    if (st != ST_OK)
        return st;
    *exit_state = run_plan_exit_state(run, o);
    struct report r = run_report(run, o);
    return output_result(o, &r, "well", write, &facts, err);
}
