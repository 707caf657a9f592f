#include "commands.h"

#include <math.h>

#include "output.h"
#include "plan/market.h"
#include "report/market.h"
#include "run.h"

/* More header pressure that is tried. */
#define HEADER_RISE_PSI 50

static void write(const struct report *r, const void *facts,
                  enum report_format f, struct strbuf *out)
{
    report_market(r, facts, f, out);
}

static bool has_header(const struct field *f)
{
    for (size_t i = 0; i < f->n_wells; i++)
        if (f->well[i].model != NULL &&
            isfinite(f->well[i].model->gas_path.p_header_pa))
            return true;
    return false;
}

static enum status solve(const struct options *o, struct run *run,
                         struct run *raised, struct market *out,
                         struct err *err)
{
    const struct field *f = run->field;
    double rise_pa = unit_to_si(unit_named(DIM_PRESSURE_DIFFERENCE, "psi"),
                                HEADER_RISE_PSI, &f->frame);
    bool is_raised = has_header(f);
    enum status st = is_raised ? run_raised(raised, o, rise_pa, err) : ST_OK;
    if (st != ST_OK)
        return st;
    const struct market_header header = {raised->field, raised->curves,
                                         rise_pa};
    return market_solve(f, run->curves, is_raised ? &header : NULL, &run->ask,
                        &run->arena, out, err);
}

enum status cmd_market(const struct options *o, struct run *run,
                       int *exit_state, struct err *err)
{
    if (o->objective == PLAN_GAS)
        return err_set(err, ST_USAGE,
                       "market shows oil or money against gas; the least gas "
                       "for a target of oil stands beside them: --target "
                       "\"16000 stb/d\"");
    enum status st = run_curves(run, o, err);
    if (st == ST_OK)
        st = run_ask(run, o, err);
    if (st != ST_OK)
        return st;
    struct market market;
    struct run raised;
    run_init(&raised);
    st = solve(o, run, &raised, &market, err);
    run_release(&raised);
    if (st != ST_OK)
        return st;
    *exit_state = run_outcome_exit_state(
        run, o, market.by_objective[o->objective].outcome);
    struct report r = run_report(run, o);
    return output_result(o, &r, "market", write, &market, err);
}
