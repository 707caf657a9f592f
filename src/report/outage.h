/* The three writers of the outage report, and what they ask of it. */
#ifndef OUTAGE_H
#define OUTAGE_H

#include "report/outage.h"

void outage_table(const struct report *r, const struct outage_facts *x,
                  struct strbuf *out);
void outage_csv(const struct report *r, const struct outage_facts *x,
                struct strbuf *out);
void outage_json(const struct report *r, const struct outage_facts *x,
                 struct strbuf *out);

/* A change of a well's rate that the plan asks for. */
enum order_kind { ORDER_LESS, ORDER_STOP, ORDER_MORE, ORDER_START };

struct order {
    enum order_kind kind;
    size_t period, well;
    double from_sm3s, to_sm3s;
    double oil_from_sm3s, oil_to_sm3s; /* when it flows again at its rate */
    double at_rate_s;   /* moment of that, after the start; NaN: not in time */
    double oil_per_gas; /* oil gained or lost per gas given or taken */
};

struct orders {
    size_t n;
    struct order *order;
};

/* In the crew's sequence: by time, then what gives gas (cheapest first), then
 * what takes it: wells that flow before wells to be kicked off, each best oil
 * per gas first. */
struct orders outage_orders(const struct report *r,
                            const struct outage_facts *x);

/* "less", "stop", "more", "start" */
const char *outage_order_text(enum order_kind kind);
/* What it gives or brings. */
const char *outage_order_reason(const struct report *r,
                                const struct outage_facts *x,
                                const struct order *o);

/* The well without gas for some time. */
struct rest {
    size_t well, from, to; /* periods; to is the first with gas again */
    bool flows;            /* by itself, all the time */
    double oil_sm3s;       /* mean */
    double leave_s;        /* it may be left so long */
};

struct rests {
    size_t n;
    struct rest *rest;
};

/* By well and time; wells that get no gas today either are left out. */
struct rests outage_rests(const struct report *r, const struct outage_facts *x);

const struct outage_well *outage_well_in(const struct outage_plan *p,
                                         size_t period, size_t well);
/* Start of a period after the start of the horizon. */
double outage_time_s(const struct outage *o, size_t period);
/* "06:30", "+1 06:30" on the next day. */
const char *outage_clock(const struct report *r, const struct outage *o,
                         double s);
/* "2026-11-26 06:30", for programs. */
const char *outage_stamp(const struct report *r, const struct outage *o,
                         double s);
/* "flows", "stopped", "unloads", "returns" */
const char *outage_phase_text(enum well_phase phase);
/* "compressor", ..., "wells coming back" */
const char *outage_cause_text(enum outage_cause cause);
/* "3.5" hours */
const char *outage_hours(const struct report *r, double s);

#endif
