#include "base/err.h"

#include <stdarg.h>
#include <stdio.h>

enum status err_set(struct err *err, enum status st, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    vsnprintf(err->msg, sizeof err->msg, format, args);
    va_end(args);
    return st;
}

int status_exit_state(enum status st)
{
    static const int STATES[] = {
#define STATE(name, exit_state, text) exit_state,
        STATUS_LIST(STATE)
#undef STATE
    };
    return STATES[st];
}

const char *status_text(enum status st)
{
    static const char *const TEXTS[] = {
#define TEXT(name, exit_state, text) text,
        STATUS_LIST(TEXT)
#undef TEXT
    };
    return TEXTS[st];
}
