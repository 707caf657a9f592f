/* Names that users give: what they may hold, finding one, and the one that
 * was probably meant. */
#ifndef SCENARIO_NAMES_H
#define SCENARIO_NAMES_H

#include <stdbool.h>
#include <stddef.h>

struct arena;

#define NAME_MOST_BYTES 64

/* What is wrong with a name, in words that fit after the quoted name, or NULL:
 * 1 to 64 bytes of UTF-8, nothing invisible, no blank at either end, no
 * typographic quotes around it. */
const char *name_fault(const char *name, size_t len);

/* Insertions, deletions, exchanges of one byte and swaps of neighbours that
 * turn a into b, whatever the case of ASCII letters. Texts above
 * NAME_MOST_BYTES are far from everything. */
size_t name_distance(const char *a, const char *b);

/* Whether a distance is small enough for "did you mean". */
bool name_is_near(const char *written, size_t distance);

struct name_entry {
    const char *name;
    size_t index; /* the caller's number of it */
};

struct names {
    size_t n;
    const struct name_entry *entry; /* by name */
};

/* Sorts entry in place and keeps it. */
struct names names_build(struct name_entry *entry, size_t n);

#define NAMES_NONE ((size_t)-1)

/* The index of an exact name (of the first of twins), or NAMES_NONE. */
size_t names_find(const struct names *names, const char *name);

/* The nearest name, or NULL when none is near. */
const char *names_nearest(const struct names *names, const char *name);

#endif
