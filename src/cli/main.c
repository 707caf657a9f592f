#include <signal.h>
#include <stdio.h>

#include "base/strbuf.h"
#include "options.h"
#include "output.h"
#include "run.h"

static enum status execute(const struct options *o, struct run *run,
                           int *exit_state, struct err *err)
{
    if (o->help) {
        struct strbuf text;
        strbuf_init(&text, &run->arena);
        options_help(o->command, &text);
        fputs(text.text, stdout);
        return ST_OK;
    }
    if (o->version) {
        puts("liftsplit " LIFTSPLIT_VERSION);
        return ST_OK;
    }
    return o->command->execute(o, run, exit_state, err);
}

int main(int argc, char **argv)
{
    /* A reader that has seen enough (head, a pager) ends us without a word,
     * whatever the parent asked for. */
    signal(SIGPIPE, SIG_DFL);

    struct options o;
    struct err err = {0};
    struct run run;
    int exit_state = 0;
    run_init(&run);
    enum status st = options_read(argc, argv, &o, &err);
    if (st == ST_OK)
        st = execute(&o, &run, &exit_state, &err);
    if (st == ST_OK)
        st = output_close(&err);
    if (st != ST_OK && err.msg[0] != '\0')
        fprintf(stderr, "liftsplit: %s\n", err.msg);
    run_release(&run);
    return st == ST_OK ? exit_state : status_exit_state(st);
}
