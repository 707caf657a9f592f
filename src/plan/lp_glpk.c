/* GLPK 5.0 needs care:
 *   - it aborts on a fault: the error hook jumps back here instead, and the
 *     environment, with every object in it, is dropped;
 *   - it takes NaN for an optimum: every number is tested before and after;
 *   - it talks to stdout even when switched off: the terminal hook eats it;
 *   - one verdict "infeasible" can be wrong: the primal method from the
 *     standard basis must say the same;
 *   - it keeps no bound of a branch and bound: the callback records it. */
#include "lp_glpk.h"

#include <limits.h>
#include <math.h>
#include <setjmp.h>

#include <glpk.h>

#include "num/tol.h"

enum method { METHOD_DUAL, METHOD_PRIMAL };

enum verdict { V_DONE, V_IMPOSSIBLE, V_STOPPED, V_FAILED };

struct run {
    const struct milp *milp;
    const struct lp_limits *limits;
    struct milp_answer *out;
    /* One more than needed: GLPK counts from 1. */
    int *index;
    double *value;
    glp_prob *lp;
    int code; /* the last return of the library, for the message */
    struct lp_basis *basis; /* where to start; NULL: anywhere */
};

static bool bounds_are_sane(double low, double high)
{
    return !isnan(low) && !isnan(high) && low <= high &&
           low < (double)INFINITY && high > -(double)INFINITY;
}

static enum status check_numbers(const struct milp *m, struct err *err)
{
    for (size_t i = 0; i < m->n_rows; i++)
        if (!bounds_are_sane(m->row_low[i], m->row_high[i]))
            return err_set(err, ST_SOLVER,
                           "row %zu of the linear program has bounds %g to %g",
                           i, m->row_low[i], m->row_high[i]);
    for (size_t j = 0; j < m->n_columns; j++)
        if (!isfinite(m->low[j]) || !isfinite(m->high[j]) ||
            !bounds_are_sane(m->low[j], m->high[j]) || !isfinite(m->cost[j]))
            return err_set(err, ST_SOLVER,
                           "column %zu of the linear program has bounds %g to "
                           "%g and worth %g",
                           j, m->low[j], m->high[j], m->cost[j]);
    for (size_t t = 0; t < m->n_terms; t++)
        if (!isfinite(m->term[t]))
            return err_set(err, ST_SOLVER,
                           "a coefficient of row %zu of the linear program is "
                           "%g",
                           m->term_row[t], m->term[t]);
    return ST_OK;
}

static int keep_silent(void *info, const char *text)
{
    (void)info;
    (void)text;
    return 1;
}

static void jump_back(void *info)
{
    jmp_buf *back = info;
    longjmp(*back, 1);
}

static int bound_type(double low, double high)
{
    if (low == high)
        return GLP_FX;
    if (isfinite(low))
        return isfinite(high) ? GLP_DB : GLP_LO;
    return isfinite(high) ? GLP_UP : GLP_FR;
}

static void load_rows(struct run *r)
{
    const struct milp *m = r->milp;
    glp_add_rows(r->lp, (int)m->n_rows);
    for (size_t i = 0; i < m->n_rows; i++)
        glp_set_row_bnds(r->lp, (int)i + 1,
                         bound_type(m->row_low[i], m->row_high[i]),
                         m->row_low[i], m->row_high[i]);
}

static void load_columns(struct run *r)
{
    const struct milp *m = r->milp;
    glp_add_cols(r->lp, (int)m->n_columns);
    for (size_t j = 0; j < m->n_columns; j++) {
        int column = (int)j + 1, n = 0;
        glp_set_obj_coef(r->lp, column, m->cost[j]);
        if (m->whole[j])
            glp_set_col_kind(r->lp, column, GLP_IV);
        glp_set_col_bnds(r->lp, column, bound_type(m->low[j], m->high[j]),
                         m->low[j], m->high[j]);
        for (size_t t = m->start[j]; t < milp_column_end(m, j); t++) {
            n++;
            r->index[n] = (int)m->term_row[t] + 1;
            r->value[n] = m->term[t];
        }
        glp_set_mat_col(r->lp, column, n, r->index, r->value);
    }
}

static int milliseconds(double time_s)
{
    double ms = time_s * 1000;
    return ms < INT_MAX ? (int)fmax(ms, 1) : INT_MAX;
}

/* What every return and state of the simplex means. */
static enum verdict simplex_verdict(int code, int state)
{
    switch (code) {
    case 0:
        break;
    case GLP_EITLIM:
    case GLP_ETMLIM:
        return V_STOPPED;
    case GLP_ENOPFS:
        return V_IMPOSSIBLE;
    default: /* bad, singular or ill-conditioned basis, crossed bounds, ... */
        return V_FAILED;
    }
    switch (state) {
    case GLP_OPT:
        return V_DONE;
    case GLP_NOFEAS:
        return V_IMPOSSIBLE;
    default: /* feasible, infeasible, unbounded, undefined: not an answer */
        return V_FAILED;
    }
}

static enum verdict simplex(struct run *r, enum method method)
{
    const struct milp *m = r->milp;
    glp_smcp control;
    glp_init_smcp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.meth = method == METHOD_DUAL ? GLP_DUALP : GLP_PRIMAL;
    /* The long step: many bounded columns cross in one iteration. */
    control.r_test = method == METHOD_DUAL ? GLP_RT_FLIP : GLP_RT_HAR;
    control.tol_bnd = TOL_LP_REL;
    control.tol_dj = TOL_LP_REL;
    control.it_lim =
        TOL_LP_ITERATIONS_MIN +
        TOL_LP_ITERATIONS_PER_ROW * (int)(m->n_rows + m->n_columns);
    control.tm_lim = milliseconds(r->limits->time_s);
    r->code = glp_simplex(r->lp, &control);
    r->out->iterations += glp_get_it_cnt(r->lp);
    glp_set_it_cnt(r->lp, 0);
    return simplex_verdict(r->code, glp_get_status(r->lp));
}

static int stand_of(unsigned char known, int bound)
{
    static const int STATES[] = {
        [LP_NEW] = GLP_NL,  [LP_BASIC] = GLP_BS, [LP_LOW] = GLP_NL,
        [LP_HIGH] = GLP_NU, [LP_FREE] = GLP_NF,
    };
    if (known == LP_BASIC)
        return GLP_BS;
    if (bound == GLP_FX)
        return GLP_NS;
    return STATES[known];
}

static void set_basis(struct run *r)
{
    const struct lp_basis *b = r->basis;
    for (size_t i = 0; i < r->milp->n_rows; i++) {
        int bound = glp_get_row_type(r->lp, (int)i + 1);
        unsigned char known = b->row[i] == LP_NEW ? LP_BASIC : b->row[i];
        glp_set_row_stat(r->lp, (int)i + 1, stand_of(known, bound));
    }
    for (size_t j = 0; j < r->milp->n_columns; j++) {
        int bound = glp_get_col_type(r->lp, (int)j + 1);
        glp_set_col_stat(r->lp, (int)j + 1, stand_of(b->column[j], bound));
    }
}

static unsigned char stand_at(int state)
{
    switch (state) {
    case GLP_BS:
        return LP_BASIC;
    case GLP_NU:
        return LP_HIGH;
    case GLP_NF:
        return LP_FREE;
    default:
        return LP_LOW;
    }
}

static void keep_basis(struct run *r)
{
    for (size_t i = 0; i < r->milp->n_rows; i++)
        r->basis->row[i] = stand_at(glp_get_row_stat(r->lp, (int)i + 1));
    for (size_t j = 0; j < r->milp->n_columns; j++)
        r->basis->column[j] = stand_at(glp_get_col_stat(r->lp, (int)j + 1));
}

/* The primal method, from the basis that is known; when that leads nowhere,
 * from any. */
static enum verdict solve_again(struct run *r)
{
    set_basis(r);
    enum verdict v = simplex(r, METHOD_PRIMAL);
    if (v == V_FAILED || v == V_IMPOSSIBLE) {
        glp_adv_basis(r->lp, 0);
        v = simplex(r, METHOD_PRIMAL);
    }
    keep_basis(r);
    return v;
}

/* The dual method; what it does not solve goes to the primal one. */
static enum verdict solve_relaxed(struct run *r)
{
    /* A program that comes again and again takes longer to scale than to
     * solve. */
    if (r->basis != NULL)
        return solve_again(r);
    glp_scale_prob(r->lp, GLP_SF_EQ | GLP_SF_2N);
    enum verdict v = simplex(r, METHOD_DUAL);
    if (v == V_DONE || v == V_STOPPED)
        return v;
    glp_std_basis(r->lp);
    return simplex(r, METHOD_PRIMAL);
}

static void watch_tree(glp_tree *tree, void *info)
{
    struct run *r = info;
    int best = glp_ios_best_node(tree), total;
    if (best != 0)
        r->out->bound = glp_ios_node_bound(tree, best);
    glp_ios_tree_size(tree, NULL, NULL, &total);
    r->out->nodes = total;
    if (total > r->limits->nodes_max)
        glp_ios_terminate(tree);
}

/* What every return and state of the branch and bound means. */
static enum verdict tree_verdict(int code, int state)
{
    switch (code) {
    case 0:
        if (state == GLP_OPT)
            return V_DONE;
        return state == GLP_NOFEAS ? V_IMPOSSIBLE : V_FAILED;
    case GLP_EMIPGAP:
        return V_DONE;
    case GLP_ETMLIM:
    case GLP_ESTOP:
        return V_STOPPED;
    case GLP_ENOPFS:
        return V_IMPOSSIBLE;
    default: /* crossed bounds, no root, failure, ... */
        return V_FAILED;
    }
}

static enum verdict solve_whole(struct run *r)
{
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.flip = GLP_ON;
    control.gmi_cuts = GLP_ON;
    control.tol_int = TOL_LP_WHOLE;
    control.tol_obj = TOL_LP_REL;
    control.mip_gap = r->limits->gap;
    control.tm_lim = milliseconds(r->limits->time_s);
    control.cb_func = watch_tree;
    control.cb_info = r;
    r->code = glp_intopt(r->lp, &control);
    return tree_verdict(r->code, glp_mip_status(r->lp));
}

static bool has_whole_columns(const struct milp *m)
{
    for (size_t j = 0; j < m->n_columns; j++)
        if (m->whole[j])
            return true;
    return false;
}

static void read_relaxed(struct run *r)
{
    struct milp_answer *out = r->out;
    for (size_t j = 0; j < r->milp->n_columns; j++)
        out->x[j] = glp_get_col_prim(r->lp, (int)j + 1);
    for (size_t i = 0; i < r->milp->n_rows; i++)
        out->row_price[i] = glp_get_row_dual(r->lp, (int)i + 1);
    out->has_point = true;
    out->value = out->bound = glp_get_obj_val(r->lp);
}

static void read_whole(struct run *r, enum verdict v)
{
    struct milp_answer *out = r->out;
    int state = glp_mip_status(r->lp);
    out->has_point = state == GLP_OPT || state == GLP_FEAS;
    if (!out->has_point)
        return;
    for (size_t j = 0; j < r->milp->n_columns; j++)
        out->x[j] = glp_mip_col_val(r->lp, (int)j + 1);
    out->value = glp_mip_obj_val(r->lp);
    /* At the end of the tree the last bound seen is older than the proof. */
    if (v == V_DONE && r->code == 0)
        out->bound = out->value;
    out->bound = fmax(out->bound, out->value);
}

static enum verdict solve_loaded(struct run *r)
{
    enum verdict v = solve_relaxed(r);
    if (v != V_DONE)
        return v;
    read_relaxed(r);
    if (!has_whole_columns(r->milp))
        return v;
    r->out->has_point = false;
    v = solve_whole(r);
    if (v == V_DONE || v == V_STOPPED)
        read_whole(r, v);
    return v;
}

/* The part that the library may leave by its error hook. */
static enum verdict guarded(struct run *r)
{
    jmp_buf back;
    glp_init_env();
    glp_term_hook(keep_silent, NULL);
    glp_error_hook(jump_back, &back);
    enum verdict v;
    if (setjmp(back) != 0) {
        r->code = GLP_EFAIL;
        v = V_FAILED;
    } else {
        r->lp = glp_create_prob();
        glp_set_obj_dir(r->lp, GLP_MAX);
        glp_set_obj_coef(r->lp, 0, r->milp->constant);
        load_rows(r);
        load_columns(r);
        v = solve_loaded(r);
    }
    glp_free_env();
    return v;
}

static bool answer_is_finite(const struct milp *m, const struct milp_answer *a)
{
    if (!isfinite(a->value) || !isfinite(a->bound))
        return false;
    for (size_t j = 0; j < m->n_columns; j++)
        if (!isfinite(a->x[j]))
            return false;
    for (size_t i = 0; i < m->n_rows; i++)
        if (!isfinite(a->row_price[i]))
            return false;
    return true;
}

static enum status solve(const struct milp *m, const struct lp_limits *limits,
                         struct lp_basis *basis, struct arena *a,
                         struct milp_answer *out, struct err *err)
{
    enum status st = check_numbers(m, err);
    if (st != ST_OK)
        return st;
    /* Each whole-numbered size is an int in the library. */
    if (m->n_terms >= INT_MAX / 2)
        return err_set(err, ST_SOLVER, "the linear program has %zu terms",
                       m->n_terms);

    *out = (struct milp_answer){
        .x = ARENA_NEW(a, m->n_columns, double),
        .row_price = ARENA_NEW(a, m->n_rows, double),
        .bound = (double)INFINITY,
    };
    struct run r = {
        .milp = m,
        .limits = limits,
        .out = out,
        .index = ARENA_NEW(a, m->n_terms + 1, int),
        .value = ARENA_NEW(a, m->n_terms + 1, double),
        .basis = basis,
    };
    enum verdict v = guarded(&r);
    if (v == V_FAILED || (out->has_point && !answer_is_finite(m, out)))
        return err_set(err, ST_SOLVER,
                       "the linear program of %zu rows and %zu columns failed "
                       "(code %d)",
                       m->n_rows, m->n_columns, r.code);
    out->state = v == V_DONE         ? MILP_SOLVED
                 : v == V_IMPOSSIBLE ? MILP_IMPOSSIBLE
                                     : MILP_STOPPED;
    return ST_OK;
}

enum status lp_solve(const struct milp *m, const struct lp_limits *limits,
                     struct arena *a, struct milp_answer *out, struct err *err)
{
    return solve(m, limits, NULL, a, out, err);
}

enum status lp_solve_from(const struct milp *m, const struct lp_limits *limits,
                          struct lp_basis *basis, struct arena *a,
                          struct milp_answer *out, struct err *err)
{
    return solve(m, limits, basis, a, out, err);
}
