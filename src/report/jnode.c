#include "jnode.h"

#include <jansson.h>
#include <math.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "report/text.h"

/* jansson says by NULL that memory ended; our way to say it is the arena's. */
static void memory_ended(struct arena *a)
{
    arena_new(a, SIZE_MAX, 1);
}

static struct jnode put(struct jnode parent, const char *key, json_t *value)
{
    int failed = key != NULL ? json_object_set_new(parent.json, key, value)
                             : json_array_append_new(parent.json, value);
    if (failed)
        memory_ended(parent.arena);
    return (struct jnode){value, parent.arena};
}

struct jnode jnode_root(struct arena *a)
{
    json_t *root = json_object();
    if (root == NULL)
        memory_ended(a);
    return (struct jnode){root, a};
}

struct jnode jnode_object(struct jnode parent, const char *key)
{
    return put(parent, key, json_object());
}

struct jnode jnode_array(struct jnode parent, const char *key)
{
    return put(parent, key, json_array());
}

void jnode_text(struct jnode parent, const char *key, const char *text)
{
    if (text == NULL) {
        put(parent, key, json_null());
        return;
    }
    struct strbuf clean;
    strbuf_init(&clean, parent.arena);
    text_add(&clean, text);
    put(parent, key, json_string(clean.text));
}

void jnode_number(struct jnode parent, const char *key, double value)
{
    /* Adding 0 turns -0 into 0. */
    put(parent, key, isfinite(value) ? json_real(value + 0.0) : json_null());
}

void jnode_count(struct jnode parent, const char *key, long long count)
{
    put(parent, key, json_integer(count));
}

void jnode_flag(struct jnode parent, const char *key, bool flag)
{
    put(parent, key, json_boolean(flag));
}

void jnode_quantity(struct jnode parent, const struct show *s, const char *name,
                    enum show_quantity q, double si)
{
    jnode_number(parent, show_key(s, name, q), show_value(s, q, si));
}

static int add_part(const char *part, size_t len, void *out)
{
    strbuf_add_n(out, part, len);
    return 0;
}

void jnode_write(struct jnode root, struct strbuf *out)
{
    if (json_dump_callback(root.json, add_part, out,
                           JSON_INDENT(1) | JSON_REAL_PRECISION(17)) != 0)
        memory_ended(root.arena);
    strbuf_add(out, "\n");
    json_decref(root.json);
}
