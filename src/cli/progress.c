#include "progress.h"

#include <stdio.h>
#include <time.h>
#include <unistd.h>

/* Work is long from here on, and the line changes no more often than an eye
 * can follow. Seconds. */
#define LONG_S 0.5
#define CHANGE_S 0.1
#define NANO 1e-9

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + NANO * (double)t.tv_nsec;
}

void progress_init(struct progress *p, const char *what, size_t n,
                   bool is_quiet)
{
    *p = (struct progress){.what = what, .n = n, .start_s = now_s()};
    p->is_wanted = !is_quiet && isatty(STDERR_FILENO);
}

void progress_show(size_t n_done, void *context)
{
    struct progress *p = context;
    double t_s = now_s();
    if (!p->is_wanted || t_s - p->start_s < LONG_S ||
        t_s - p->last_s < CHANGE_S)
        return;
    fprintf(stderr, "\r%s: %zu of %zu", p->what, n_done, p->n);
    p->last_s = t_s;
    p->is_shown = true;
}

void progress_end(struct progress *p)
{
    if (p->is_shown)
        fputs("\r\033[K", stderr);
}
