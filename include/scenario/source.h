/* A text file of a scenario in memory, known to be clean UTF-8. */
#ifndef SCENARIO_SOURCE_H
#define SCENARIO_SOURCE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"

struct arena;
struct diag;

/* No scenario of 20,000 wells comes near; an endless file must not fill
 * memory. Bytes. */
#define SOURCE_MOST_BYTES ((size_t)64 * 1024 * 1024)

struct source {
    const char *file; /* as shown in messages */
    const char *text; /* without a byte order mark, closed by a NUL */
    size_t len;
};

/* The bytes of a regular file; both arrays in a. ST_IO with the reason when it
 * cannot be read, is no regular file, or is larger than SOURCE_MOST_BYTES. */
enum status source_read(const char *path, struct arena *a, struct source *out,
                        struct err *err) ST_CHECKED;

/* False, with one error at its true place, when the text is not UTF-8 or
 * holds control characters. Drops a leading byte order mark. */
bool source_check(struct source *s, struct diag *d);

#endif
