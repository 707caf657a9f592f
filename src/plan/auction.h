/* Wells bid, the field sets prices. Told prices of the shared rows, each block
 * answers with its best plan: together one offer of the field. A small program
 * over the offers made so far says which prices to ask next; its mixture of
 * offers becomes a plan by rounding, what no mixture can beat is the bound,
 * and a branch and bound on units and wells' modes closes what is between.
 * Needs no solver library. */
#ifndef PLAN_AUCTION_H
#define PLAN_AUCTION_H

#include "block.h"
#include "certificate.h"

struct auction_options {
    double gap;     /* relative, at which to stop */
    long nodes_max; /* of the branch and bound over units and modes */
    double time_s;  /* on the clock from the call on; INFINITY: none */
};

struct auction_result {
    bool is_impossible;
    bool is_stopped; /* by nodes or time */
    bool has_plan;
    double bound; /* goal, in the problem's units; no plan is better */
    double value; /* of the plan by its parts; the caller accounts anew */
    struct stand *stand; /* [n_wells] in name order */
    double *column;      /* [n_columns] of the station */
    bool *unit_runs;     /* [n_units] */
    double *row_price;   /* [n_rows] with modes and units fixed */
    double moves_price;  /* of the field's moves, before they were fixed */
    enum plan_proof proof;
    struct certificate certificate;
    long offers, nodes;
    size_t open_wells;
};

enum status auction_run(const struct problem *p,
                        const struct auction_options *o, struct arena *a,
                        struct auction_result *out, struct err *err);

#endif
