#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "../../src/plan/milp.h"
#include "base/strbuf.h"
#include "support/whole_model.h"

#define CBC "/usr/bin/cbc"

bool cbc_is_installed(void)
{
    return access(CBC, X_OK) == 0;
}

/* The number after a label at the start of a line, or the old value. */
static double number_after(const char *line, const char *label, double old)
{
    double value = old;
    if (strncmp(line, label, strlen(label)) == 0)
        sscanf(line + strlen(label), "%lf", &value);
    return value;
}

/* cbc's talk: a greatest sum is searched as a least one, so signs are turned,
 * and the bound is there only where it stopped short of the optimum. */
static struct verdict read_talk(FILE *talk)
{
    struct verdict v = {.value = (double)NAN, .bound = (double)NAN};
    bool is_optimal = false;
    char line[512];
    while (fgets(line, sizeof line, talk) != NULL) {
        if (strstr(line, "infeasible") != NULL &&
            strstr(line, "Result") != NULL)
            v.is_impossible = true;
        if (strstr(line, "Problem is infeasible") != NULL)
            v.is_impossible = true;
        if (strstr(line, "Result - Optimal solution found") != NULL)
            is_optimal = true;
        v.value = number_after(line, "Objective value:", v.value);
        v.bound = number_after(line, "Lower bound:", v.bound);
        v.bound = number_after(line, "Upper bound:", v.bound);
    }
    v.has_plan = !v.is_impossible && isfinite(v.value);
    if (is_optimal)
        v.bound = v.value;
    return v;
}

struct verdict cbc_solve(const struct milp *m, int seconds, struct arena *a)
{
    struct strbuf text;
    strbuf_init(&text, a);
    milp_write_lp(m, &text);
    char lp[] = "/tmp/liftsplit-XXXXXX.lp";
    int fd = mkstemps(lp, 3);
    FILE *file = fd >= 0 ? fdopen(fd, "w") : NULL;
    struct verdict v = {.bound = (double)INFINITY};
    if (file == NULL)
        return v;
    fwrite(text.text, 1, text.len, file);
    fclose(file);
    /* Its own limit of time does not always hold. */
    const char *command = arena_printf(
        a, "timeout %d " CBC " %s -ratio 0 -sec %d -solve 2>/dev/null",
        seconds + 10, lp, seconds);
    FILE *talk = popen(command, "r");
    if (talk != NULL) {
        v = read_talk(talk);
        pclose(talk);
    }
    unlink(lp);
    return v;
}

struct verdict whole_by_cbc(const struct field *f, const struct curve *curves,
                            const struct plan_options *o, int seconds,
                            struct arena *a)
{
    struct milp m;
    double unit = whole_model(f, curves, o, a, &m);
    struct verdict v = cbc_solve(&m, seconds, a);
    v.value *= unit;
    v.bound *= unit;
    return v;
}
