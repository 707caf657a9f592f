/* A YAML file as a tree that knows the place of every key and value. Only
 * what a scenario needs: maps, lists and texts. Anchors, aliases, tags, merge
 * keys, keys that are no text, and a second document are refused. No text is
 * turned into anything else: "no", "0x10" and "~" stay texts. */
#ifndef SCENARIO_YTREE_H
#define SCENARIO_YTREE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/diag.h"
#include "scenario/source.h"

/* A scenario needs 6 levels, and 40 nodes a well. */
#define YTREE_MOST_DEPTH 32
#define YTREE_MOST_NODES ((size_t)2000000)

enum ynode_kind { YNODE_TEXT, YNODE_LIST, YNODE_MAP };

struct ynode {
    enum ynode_kind kind;
    bool is_quoted;
    struct place at;
    const struct ynode *up; /* NULL at the root */
    const char *key;        /* in a map; NULL elsewhere */
    struct place key_at;
    const char *text; /* of a text, closed by a NUL; holds no other NUL */
    size_t len;
    size_t n; /* children */
    struct ynode *first, *next;
    double value; /* left to the reader of the tree; NaN at first */
};

/* The root, in a; NULL when the file has no tree or reading had to stop. All
 * faults that do not stop reading, like a key given twice, are errors in d
 * as well, so count them. */
struct ynode *ytree_read(struct source *s, struct arena *a, struct diag *d);

/* The child of that key, or NULL. map may be NULL. The first of twins. */
const struct ynode *ytree_child(const struct ynode *map, const char *key);

/* "wells.A-1.tubing[2].to", in a. Items of a list count from 1. */
const char *ytree_path(const struct ynode *node, struct arena *a);

#endif
