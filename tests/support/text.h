/* Comparing texts in tests. Criterion's eq(str, ...) takes no const char *. */
#ifndef SUPPORT_TEXT_H
#define SUPPORT_TEXT_H

#include <stdbool.h>

/* Both texts go to stderr when they differ. */
bool text_is(const char *got, const char *want);
bool text_has(const char *got, const char *part);

#endif
