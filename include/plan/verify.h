/* A plan checked by code that shares nothing with the solver: every limit and
 * the objective from the field and the curves, then the well models at the
 * set points. */
#ifndef PLAN_VERIFY_H
#define PLAN_VERIFY_H

#include "plan/plan.h"

struct verify_fault {
    const char *what; /* "manifold north: 14.2 of 14.0 MMscf/d", in words */
};

struct verify_well {
    double promised_oil_sm3s, delivered_oil_sm3s;
    double p_casing_pa; /* by the model; NaN where it is not known */
    bool checked;       /* false: a table, or no gas and dead */
};

struct verify {
    size_t n_faults; /* 0: every limit holds and the sums are right */
    struct verify_fault *fault;
    double promised_oil_sm3s, delivered_oil_sm3s;
    struct verify_well *well; /* [n_wells] */
    size_t worst; /* well with the greatest difference; n_wells: none */
};

/* Limits within 1e-6 relative, objective within 1e-9, balance within
 * TOL_BALANCE_REL, all set in num/tol.h. */
void plan_verify(const struct field *f, const struct curve *curves,
                 const struct plan *p, struct arena *a, struct verify *out);

/* Adds promised against delivered, field_deliver for each well with a model,
 * and a fault for each annulus limit that is passed. Faults belong to a. */
enum status plan_verify_models(const struct field *f,
                               const struct curve *curves, const struct plan *p,
                               struct arena *a, struct verify *out,
                               struct err *err) ST_CHECKED;

#endif
