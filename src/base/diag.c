#include "base/diag.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "base/utf8.h"

#define FIRST_CAP 32
#define QUOTE_MOST_CHARS 60

void diag_init(struct diag *d, struct arena *a)
{
    *d = (struct diag){.arena = a};
}

static struct diag_item *new_item(struct diag *d)
{
    if (d->n == d->cap) {
        d->cap = d->cap > 0 ? 2 * d->cap : FIRST_CAP;
        struct diag_item *item = ARENA_NEW(d->arena, d->cap, struct diag_item);
        if (d->n > 0)
            memcpy(item, d->item, d->n * sizeof *item);
        d->item = item;
    }
    return &d->item[d->n++];
}

static const char *copy_or_null(struct diag *d, const char *text)
{
    return text != NULL ? arena_text(d->arena, text, strlen(text)) : NULL;
}

/* The first `most` characters, with those that could hide or steer the
 * terminal written out. False when some are left. */
static bool add_visible(struct strbuf *b, const char *text, size_t most)
{
    size_t len = strlen(text), i = 0;
    for (size_t chars = 0; i < len && chars < most; chars++) {
        uint32_t code;
        size_t n = utf8_read(text + i, len - i, &code);
        if (n == 0)
            strbuf_addf(b, "\\x%02x", (unsigned)(unsigned char)text[i]);
        else if (utf8_is_invisible(code))
            strbuf_addf(b, code < 0x100 ? "\\x%02x" : "\\u%04x",
                        (unsigned)code);
        else
            strbuf_add_n(b, text + i, n);
        i += n > 0 ? n : 1;
    }
    return i == len;
}

/* A path holds names that users gave. */
static const char *visible_or_null(struct diag *d, const char *path)
{
    if (path == NULL)
        return NULL;
    struct strbuf b;
    strbuf_init(&b, d->arena);
    add_visible(&b, path, SIZE_MAX);
    return b.text;
}

void diag_add(struct diag *d, enum diag_level level, struct place at,
              const char *path, const char *todo, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    size_t len = (size_t)vsnprintf(NULL, 0, format, args);
    char *what = ARENA_NEW(d->arena, len + 1, char);
    vsnprintf(what, len + 1, format, again);
    va_end(again);
    va_end(args);

    *new_item(d) = (struct diag_item){
        .level = level,
        .at = at,
        .path = visible_or_null(d, path),
        .what = what,
        .todo = copy_or_null(d, todo),
    };
    *(level == DIAG_ERROR ? &d->n_errors : &d->n_warnings) += 1;
}

const char *diag_quote(struct diag *d, const char *text)
{
    struct strbuf b;
    strbuf_init(&b, d->arena);
    strbuf_add(&b, "\"");
    bool is_whole = add_visible(&b, text, QUOTE_MOST_CHARS);
    strbuf_add(&b, is_whole ? "\"" : "...\"");
    return b.text;
}

/* An item with what decides its place in the output. */
struct ranked {
    const struct diag_item *item;
    size_t file_rank, index;
};

static bool is_same_file(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static int compare(const void *a, const void *b)
{
    const struct ranked *x = a, *y = b;
    if (x->file_rank != y->file_rank)
        return x->file_rank < y->file_rank ? -1 : 1;
    if (x->item->at.line != y->item->at.line)
        return x->item->at.line < y->item->at.line ? -1 : 1;
    if (x->item->at.column != y->item->at.column)
        return x->item->at.column < y->item->at.column ? -1 : 1;
    return x->index < y->index ? -1 : x->index > y->index;
}

static struct ranked *rank(const struct diag *d, struct arena *a)
{
    struct ranked *list = ARENA_NEW(a, d->n, struct ranked);
    const char **files = ARENA_NEW(a, d->n, const char *);
    size_t n_files = 0;
    for (size_t i = 0; i < d->n; i++) {
        size_t f = 0;
        while (f < n_files && !is_same_file(files[f], d->item[i].at.file))
            f++;
        if (f == n_files)
            files[n_files++] = d->item[i].at.file;
        list[i] = (struct ranked){&d->item[i], f, i};
    }
    if (d->n > 0)
        qsort(list, d->n, sizeof *list, compare);
    return list;
}

static void write_item(const struct diag_item *item, struct strbuf *out)
{
    if (item->at.file != NULL) {
        strbuf_add(out, item->at.file);
        if (item->at.line > 0)
            strbuf_addf(out, ":%d", item->at.line);
        if (item->at.line > 0 && item->at.column > 0)
            strbuf_addf(out, ":%d", item->at.column);
        strbuf_add(out, ": ");
    }
    if (item->level == DIAG_WARNING)
        strbuf_add(out, "warning: ");
    if (item->path != NULL)
        strbuf_addf(out, "%s: ", item->path);
    strbuf_add(out, item->what);
    if (item->todo != NULL)
        strbuf_addf(out, "; %s", item->todo);
    strbuf_add(out, "\n");
}

static void write_rest(size_t n, size_t most, const char *word,
                       struct strbuf *out)
{
    if (n > most)
        strbuf_addf(out, "and %zu more %s%s\n", n - most, word,
                    n - most > 1 ? "s" : "");
}

void diag_write(const struct diag *d, size_t most, struct strbuf *out)
{
    const struct ranked *list = rank(d, out->arena);
    size_t shown[2] = {0};
    for (size_t i = 0; i < d->n; i++)
        if (shown[list[i].item->level]++ < most)
            write_item(list[i].item, out);
    write_rest(d->n_errors, most, "error", out);
    write_rest(d->n_warnings, most, "warning", out);
}
