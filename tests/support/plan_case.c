#include "support/plan_case.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "plan/verify.h"

struct plan_options case_exact(void)
{
    struct plan_options o = plan_options_default();
    o.gap = 1e-9;
    return o;
}

struct plan case_solve(const struct builder *b, const struct plan_options *o,
                       const char *label)
{
    struct plan p;
    struct err err = {0};
    enum status st = plan_solve(&b->field, b->curves, o, b->arena, &p, &err);
    cr_assert(eq(int, st, ST_OK), "%s: %s", label, err.msg);
    if (p.outcome == PLAN_IMPOSSIBLE)
        return p;
    cr_expect(p.bound >= p.value, "%s: bound %g, value %g", label, p.bound,
              p.value);
    struct verify v;
    plan_verify(&b->field, b->curves, &p, b->arena, &v);
    for (size_t i = 0; i < v.n_faults; i++)
        cr_expect(false, "%s: %s", label, v.fault[i].what);
    return p;
}

double case_oil_stb_d(const struct plan *p)
{
    return builder_stb_d(p->oil_sm3s);
}
