/* A line on the terminal that says how far long work is. */
#ifndef PROGRESS_H
#define PROGRESS_H

#include <stdbool.h>
#include <stddef.h>

struct progress {
    const char *what;
    size_t n;
    bool is_wanted, is_shown;
    double start_s, last_s;
};

/* Nothing is shown when quiet, or when stderr is not a terminal. */
void progress_init(struct progress *p, const char *what, size_t n,
                   bool is_quiet);
/* The callback of long work; context is the progress. */
void progress_show(size_t n_done, void *context);
/* Clears the line. */
void progress_end(struct progress *p);

#endif
