/* The event interface of libyaml, because its document interface takes
 * seconds for deep nesting before the caller gets control, and resolves
 * aliases. Depth is counted on the events, so a file of brackets is refused
 * at the cap. */
#include "scenario/ytree.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "base/arena.h"
#include "base/strbuf.h"

struct builder {
    yaml_parser_t *parser;
    const struct source *source;
    struct arena *arena;
    struct diag *diag;
    struct ynode *root;
    struct ynode *open[YTREE_MOST_DEPTH]; /* from the root down */
    struct ynode *last[YTREE_MOST_DEPTH]; /* newest child of each */
    size_t depth;
    /* The key read last, whose value is still to come. */
    const char *key;
    struct place key_at;
    size_t n_nodes;
};

static struct place place_of(const struct builder *b, yaml_mark_t mark)
{
    return (struct place){b->source->file, (int)mark.line + 1,
                          (int)mark.column + 1};
}

/* --- faults of syntax ----------------------------------------------------- */

/* The library's words on the left, in context or problem; ours on the right.
 * The first row that fits is used. */
static const struct fault {
    const char *context, *problem;
    bool at_context; /* where the fault began says more than where it showed */
    const char *what, *todo;
} FAULTS[] = {
    {"quoted scalar", "unexpected end of stream", true,
     "the quote opened here is never closed", "close it"},
    {"quoted scalar", "document indicator", true,
     "the quote opened here is never closed", "close it"},
    {"quoted scalar", "unknown escape", false,
     "unknown escape in double quotes",
     "use single quotes, or / instead of \\"},
    {"quoted scalar", "Unicode character escape", false,
     "bad character code in double quotes", "write the character itself"},
    {"quoted scalar", "hexdecimal", false,
     "bad character code in double quotes", "write the character itself"},
    {"flow sequence", "did not find expected", true,
     "the bracket opened here is not closed", "close it with ]"},
    {"flow mapping", "did not find expected", true,
     "the brace opened here is not closed", "close it with }"},
    {"simple key", "could not find expected ':'", true, "a key without a value",
     "write the key, a colon, a space and the value"},
    {"", "mapping values are not allowed", false, "a colon is not allowed here",
     "put the text in quotes"},
    {"", "found incompatible YAML document", false, "unsupported YAML version",
     "delete the %YAML line"},
    {"", "unknown directive", false, "a line of % that is not understood",
     "delete it"},
    {"", "tab character", false, "a tab is used for indentation",
     "indent with spaces"},
    {"", "cannot start any token", false,
     "a tab or a reserved character starts here",
     "indent with spaces, and put texts that start with @ ` or % in quotes"},
    {"block mapping", "did not find expected key", false,
     "no key was expected here",
     "indent the keys of one section by the same number of spaces"},
    {"block collection", "did not find expected '-'", false,
     "the list ends here without reason",
     "start each item with - below the one before"},
    {"", "block sequence entries are not allowed", false,
     "no list item may start here", "put the list on lines of its own"},
    {"", "did not find expected <document start>", false,
     "something follows the end of the data", "delete it"},
};

static bool has_words(const char *text, const char *words)
{
    return text != NULL && strstr(text, words) != NULL;
}

static const struct fault *find_fault(const yaml_parser_t *p)
{
    for (size_t i = 0; i < sizeof FAULTS / sizeof FAULTS[0]; i++) {
        const struct fault *f = &FAULTS[i];
        bool fits = f->context[0] == '\0' || has_words(p->context, f->context);
        if (fits && has_words(p->problem, f->problem))
            return f;
    }
    return NULL;
}

static void report_syntax(const struct builder *b)
{
    const yaml_parser_t *p = b->parser;
    const struct fault *f = find_fault(p);
    if (f != NULL) {
        bool at_context = f->at_context && p->context != NULL;
        diag_add(b->diag, DIAG_ERROR,
                 place_of(b, at_context ? p->context_mark : p->problem_mark),
                 NULL, f->todo, "%s", f->what);
        return;
    }
    diag_add(b->diag, DIAG_ERROR, place_of(b, p->problem_mark), NULL,
             "see the examples of YAML in the manual of the input",
             "not valid YAML: %s",
             p->problem != NULL ? p->problem : "memory ran out");
}

/* --- the tree ------------------------------------------------------------- */

static bool refuse(const struct builder *b, struct place at, const char *todo,
                   const char *what)
{
    diag_add(b->diag, DIAG_ERROR, at, NULL, todo, "%s", what);
    return false;
}

static void refuse_properties(const struct builder *b, struct place at,
                              const yaml_char_t *anchor, const yaml_char_t *tag)
{
    if (anchor != NULL)
        refuse(b, at, "write the values out", "anchors (&) are not supported");
    if (tag != NULL)
        refuse(b, at, "delete the tag", "tags (!) are not supported");
}

static bool expects_key(const struct builder *b)
{
    return b->depth > 0 && b->open[b->depth - 1]->kind == YNODE_MAP &&
           b->key == NULL;
}

static void attach(struct builder *b, struct ynode *node)
{
    if (b->depth == 0) {
        b->root = node;
        return;
    }
    struct ynode *up = b->open[b->depth - 1];
    struct ynode **last = &b->last[b->depth - 1];
    *(up->n == 0 ? &up->first : &(*last)->next) = node;
    *last = node;
    up->n++;
    node->up = up;
    node->key = b->key;
    node->key_at = b->key_at;
    b->key = NULL;
}

/* NULL at the cap. */
static struct ynode *new_node(struct builder *b, enum ynode_kind kind,
                              struct place at)
{
    if (++b->n_nodes > YTREE_MOST_NODES) {
        refuse(b, at, NULL, "more than 2,000,000 values");
        return NULL;
    }
    struct ynode *node = ARENA_NEW(b->arena, 1, struct ynode);
    node->kind = kind;
    node->at = at;
    node->value = (double)NAN;
    attach(b, node);
    return node;
}

static bool take_text(struct builder *b, const yaml_event_t *event)
{
    struct place at = place_of(b, event->start_mark);
    const char *value = (const char *)event->data.scalar.value;
    size_t len = event->data.scalar.length;
    bool is_plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;

    refuse_properties(b, at, event->data.scalar.anchor, event->data.scalar.tag);
    if (memchr(value, '\0', len) != NULL)
        return refuse(b, at, "delete it", "zero byte in a text");
    const char *text = arena_text(b->arena, value, len);
    if (expects_key(b)) {
        if (is_plain && strcmp(text, "<<") == 0)
            refuse(b, at, "write the values out",
                   "merge keys (<<) are not supported");
        b->key = text;
        b->key_at = at;
        return true;
    }
    struct ynode *node = new_node(b, YNODE_TEXT, at);
    if (node == NULL)
        return false;
    node->text = text;
    node->len = len;
    node->is_quoted = !is_plain;
    return true;
}

static bool open_collection(struct builder *b, enum ynode_kind kind,
                            struct place at)
{
    if (expects_key(b))
        return refuse(b, at, "write a name and a colon",
                      "a key must be a text");
    if (b->depth == YTREE_MOST_DEPTH)
        return refuse(b, at, NULL, "nested deeper than 32 levels");
    struct ynode *node = new_node(b, kind, at);
    if (node == NULL)
        return false;
    b->open[b->depth++] = node;
    return true;
}

static int by_key_then_place(const void *a, const void *b)
{
    const struct ynode *x = *(struct ynode *const *)a;
    const struct ynode *y = *(struct ynode *const *)b;
    int order = strcmp(x->key, y->key);
    if (order != 0)
        return order;
    if (x->key_at.line != y->key_at.line)
        return x->key_at.line < y->key_at.line ? -1 : 1;
    return (x->key_at.column > y->key_at.column) -
           (x->key_at.column < y->key_at.column);
}

static void report_twins(const struct builder *b, const struct ynode *map)
{
    const struct ynode **list =
        ARENA_NEW(b->arena, map->n, const struct ynode *);
    size_t n = 0;
    for (const struct ynode *child = map->first; child; child = child->next)
        list[n++] = child;
    if (n > 0)
        qsort(list, n, sizeof *list, by_key_then_place);
    size_t first = 0;
    for (size_t i = 1; i < n; i++) {
        if (strcmp(list[i]->key, list[first]->key) != 0) {
            first = i;
            continue;
        }
        diag_add(b->diag, DIAG_ERROR, list[i]->key_at, NULL, "keep one",
                 "key %s given twice, first in line %d",
                 diag_quote(b->diag, list[i]->key), list[first]->key_at.line);
    }
}

static void close_collection(struct builder *b)
{
    assert(b->depth > 0); /* libyaml closes only what it opened */
    const struct ynode *node = b->open[--b->depth];
    assert(node != NULL);
    if (node->kind == YNODE_MAP)
        report_twins(b, node);
}

/* False when reading must stop. */
static bool take_event(struct builder *b, const yaml_event_t *event)
{
    struct place at = place_of(b, event->start_mark);
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        if (b->root != NULL)
            return refuse(b, at, "delete it, or use two scenarios",
                          "a second document in one file");
        return true;
    case YAML_ALIAS_EVENT:
        return refuse(b, at, "write the values out",
                      "aliases (*) are not supported");
    case YAML_SCALAR_EVENT:
        return take_text(b, event);
    case YAML_SEQUENCE_START_EVENT:
        refuse_properties(b, at, event->data.sequence_start.anchor,
                          event->data.sequence_start.tag);
        return open_collection(b, YNODE_LIST, at);
    case YAML_MAPPING_START_EVENT:
        refuse_properties(b, at, event->data.mapping_start.anchor,
                          event->data.mapping_start.tag);
        return open_collection(b, YNODE_MAP, at);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        close_collection(b);
        return true;
    case YAML_NO_EVENT:
    case YAML_STREAM_START_EVENT:
    case YAML_STREAM_END_EVENT:
    case YAML_DOCUMENT_END_EVENT:
        break;
    }
    return true;
}

/* False when reading stopped before the end of the file. */
static bool take_all(struct builder *b)
{
    for (bool at_end = false; !at_end;) {
        yaml_event_t event;
        if (!yaml_parser_parse(b->parser, &event)) {
            report_syntax(b);
            return false;
        }
        at_end = event.type == YAML_STREAM_END_EVENT;
        bool goes_on = take_event(b, &event);
        yaml_event_delete(&event);
        if (!goes_on)
            return false;
    }
    return true;
}

struct ynode *ytree_read(struct source *s, struct arena *a, struct diag *d)
{
    if (!source_check(s, d))
        return NULL;
    yaml_parser_t parser;
    struct builder b = {.parser = &parser, .source = s, .arena = a, .diag = d};
    struct place start = {s->file, 1, 1};
    if (!yaml_parser_initialize(&parser)) {
        refuse(&b, start, NULL, "memory ran out");
        return NULL;
    }
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)s->text,
                                 s->len);
    bool is_whole = take_all(&b);
    yaml_parser_delete(&parser);
    if (is_whole && b.root == NULL)
        refuse(&b, start, NULL,
               s->len == 0 ? "the file is empty" : "the file holds no data");
    return is_whole ? b.root : NULL;
}

/* --- using the tree ------------------------------------------------------- */

const struct ynode *ytree_child(const struct ynode *map, const char *key)
{
    if (map == NULL || map->kind != YNODE_MAP)
        return NULL;
    for (const struct ynode *child = map->first; child; child = child->next)
        if (strcmp(child->key, key) == 0)
            return child;
    return NULL;
}

static void add_path(const struct ynode *node, struct strbuf *out)
{
    if (node->up == NULL)
        return;
    add_path(node->up, out);
    if (node->key != NULL) {
        strbuf_addf(out, "%s%s", out->len > 0 ? "." : "", node->key);
        return;
    }
    size_t i = 1;
    for (const struct ynode *k = node->up->first; k != node; k = k->next)
        i++;
    strbuf_addf(out, "[%zu]", i);
}

const char *ytree_path(const struct ynode *node, struct arena *a)
{
    struct strbuf path;
    strbuf_init(&path, a);
    add_path(node, &path);
    return path.text;
}
