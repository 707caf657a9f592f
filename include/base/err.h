/* Failures of calls, and the sentence that explains one.
 *
 * A function that can fail returns an enum status and takes a struct err last;
 * the err is written only on failure, with a whole sentence that holds the
 * values. An unmet limit, a dead well or an impossible plan is an answer and
 * never a status. */
#ifndef BASE_ERR_H
#define BASE_ERR_H

/* name, exit state of the program, what it means */
#define STATUS_LIST(X)                                     \
    X(OK, 0, "done")                                       \
    X(USAGE, 2, "the command line is wrong")               \
    X(INPUT, 3, "the scenario is wrong")                   \
    X(IO, 6, "a file could not be read or written")        \
    X(RANGE, 70, "a value left the range of its model")    \
    X(NUMERIC, 70, "a calculation did not converge")       \
    X(SOLVER, 70, "the linear programming library failed") \
    X(MEMORY, 70, "memory ran out")

enum status {
#define STATUS_ENUM(name, exit_state, text) ST_##name,
    STATUS_LIST(STATUS_ENUM)
#undef STATUS_ENUM
};

#define ST_CHECKED __attribute__((warn_unused_result))

struct err {
    char msg[1024]; /* one sentence without a closing point; "" when unset */
};

/* Write the message (cut at the size of msg) and return st, so that a failing
 * function can end in one line: return err_set(err, ST_RANGE, ...). */
enum status err_set(struct err *err, enum status st, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

int status_exit_state(enum status st);
const char *status_text(enum status st);

#endif
