/* Located messages about the user's input, collected so that one run shows
 * every fault. Shown as
 *     file:line:column: path: what is wrong; what to do */
#ifndef BASE_DIAG_H
#define BASE_DIAG_H

#include <stdbool.h>
#include <stddef.h>

struct arena;
struct strbuf;

/* A place in a text file. line and column count from 1, column in
 * characters; 0 where there is none. file may be NULL. */
struct place {
    const char *file;
    int line, column;
};

enum diag_level { DIAG_ERROR, DIAG_WARNING };

struct diag_item {
    enum diag_level level;
    struct place at;
    const char *path; /* key path or column name, or NULL */
    const char *what; /* what is wrong, with the value */
    const char *todo; /* what to do, or NULL */
};

struct diag {
    struct arena *arena; /* owns the items and their texts */
    struct diag_item *item;
    size_t n, cap;
    size_t n_errors, n_warnings;
};

void diag_init(struct diag *d, struct arena *a);

/* path and todo may be NULL and are copied, path with control characters
 * escaped. Quoted parts of the user's text must have gone through
 * diag_quote. */
void diag_add(struct diag *d, enum diag_level level, struct place at,
              const char *path, const char *todo, const char *format, ...)
    __attribute__((format(printf, 6, 7)));

/* The user's text in double quotes, at most 60 characters of it, control
 * characters escaped. In the diag's arena. */
const char *diag_quote(struct diag *d, const char *text);

/* All items, errors and warnings together, in the order of file (as first
 * met), line and column; the first `most` of each level, then "and N more
 * errors". Warnings carry "warning: " before the text. */
void diag_write(const struct diag *d, size_t most, struct strbuf *out);

#endif
