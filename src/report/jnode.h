/* A JSON text built node by node; jnode.c is the only user of jansson. */
#ifndef JNODE_H
#define JNODE_H

#include <stdbool.h>

#include "report/show.h"

struct json_t; /* jansson's */
struct strbuf;

struct jnode {
    struct json_t *json;
    struct arena *arena; /* where the end of memory is reported */
};

/* The outermost object; jnode_write ends it. */
struct jnode jnode_root(struct arena *a);

/* Put into an object under the key, or at the end of an array (key NULL). */
struct jnode jnode_object(struct jnode parent, const char *key);
struct jnode jnode_array(struct jnode parent, const char *key);
/* NULL becomes null; what a terminal could obey becomes '?'. */
void jnode_text(struct jnode parent, const char *key, const char *text);
/* Not finite becomes null. */
void jnode_number(struct jnode parent, const char *key, double value);
void jnode_count(struct jnode parent, const char *key, long long count);
void jnode_flag(struct jnode parent, const char *key, bool flag);
/* In the unit of the system, which ends the key. */
void jnode_quantity(struct jnode parent, const struct show *s, const char *name,
                    enum show_quantity q, double si);

/* Append the text, with 17 digits and a closing newline, and release the
 * tree. */
void jnode_write(struct jnode root, struct strbuf *out);

#endif
