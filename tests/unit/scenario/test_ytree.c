#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "scenario/ytree.h"
#include "support/text.h"

struct read {
    struct arena arena;
    struct diag diag;
    struct ynode *root;
};

static void read_bytes(struct read *r, const char *text, size_t len)
{
    arena_init(&r->arena);
    diag_init(&r->diag, &r->arena);
    struct source s = {"f", text, len};
    r->root = ytree_read(&s, &r->arena, &r->diag);
}

static const char *messages(struct read *r)
{
    struct strbuf out;
    strbuf_init(&out, &r->arena);
    diag_write(&r->diag, 20, &out);
    return out.text;
}

Test(ytree, keys_and_values_know_their_places, .timeout = 30)
{
    struct read r;
    const char text[] = "wells:\n"
                        "  \"\xc3\x98-1\": {depth: 6200 ft}\n"
                        "  list:\n"
                        "  - 'a'\n"
                        "  - b # c\n";
    read_bytes(&r, text, strlen(text));
    cr_assert(text_is(messages(&r), ""));
    cr_assert(eq(int, (int)r.root->kind, YNODE_MAP));

    const struct ynode *wells = ytree_child(r.root, "wells");
    const struct ynode *depth =
        ytree_child(ytree_child(wells, "\xc3\x98-1"), "depth");
    cr_assert(text_is(depth->text, "6200 ft"));
    cr_assert(eq(int, depth->key_at.line, 2));
    cr_assert(eq(int, depth->key_at.column, 11));
    cr_assert(eq(int, depth->at.column, 18));
    cr_assert(isnan(depth->value) && !depth->is_quoted);
    cr_assert(text_is(ytree_path(depth, &r.arena), "wells.\xc3\x98-1.depth"));

    const struct ynode *list = ytree_child(wells, "list");
    cr_assert(eq(sz, list->n, 2));
    cr_assert(list->first->is_quoted);
    cr_assert(text_is(list->first->next->text, "b"));
    cr_assert(list->first->next->next == NULL);
    cr_assert(
        text_is(ytree_path(list->first->next, &r.arena), "wells.list[2]"));
    arena_release(&r.arena);
}

Test(ytree, a_child_of_nothing_is_nothing, .timeout = 30)
{
    struct read r;
    read_bytes(&r, "a: b\n", 5);
    cr_assert(ytree_child(NULL, "a") == NULL);
    cr_assert(ytree_child(ytree_child(r.root, "a"), "b") == NULL);
    cr_assert(ytree_child(r.root, "b") == NULL);
    cr_assert(text_is(ytree_path(r.root, &r.arena), ""));
    arena_release(&r.arena);
}

Test(ytree, words_of_older_yaml_stay_texts, .timeout = 30)
{
    static const char *const WORDS[] = {
        "no", "NO",   "on",   "y",     "017", "0o17", "0x1F", "12:30:45",
        "~",  "null", ".nan", "1_000", "1e3", "",     "yes",  "2026-11-25",
    };
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        struct read r;
        char text[64];
        snprintf(text, sizeof text, "k: %s\n", WORDS[i]);
        read_bytes(&r, text, strlen(text));
        cr_expect(text_is(ytree_child(r.root, "k")->text, WORDS[i]));
        arena_release(&r.arena);
    }
}

Test(ytree, every_fault_has_its_place_and_words, .timeout = 30)
{
    static const struct {
        const char *text, *want;
    } ROWS[] = {
        {"", "f:1:1: the file is empty\n"},
        {"# c\n", "f:1:1: the file holds no data\n"},
        {"a: 1\n\tb: 2\n", "f:2:1: a tab is used for indentation"},
        {"a:\n\tb: 2\n", "f:2:1: a tab or a reserved character"},
        {"a: @b\n", "f:1:4: a tab or a reserved character"},
        {"a: {b: 1\nc: 2\n", "f:1:4: the brace opened here is not closed"},
        {"a: [1, 2\n", "f:1:4: the bracket opened here is not closed"},
        {"a: 'x\nb: 1\n", "f:1:4: the quote opened here is never closed"},
        {"a: \"x\n---\nb\n", "f:1:4: the quote opened here is never closed"},
        {"a: b: c\n", "f:1:5: a colon is not allowed here"},
        {"a: 1\nwell", "f:2:1: a key without a value"},
        {"a: 1\n b: 2\n", "f:2:3: a colon is not allowed here"},
        {"a:\n  b: 1\n c: 2\n", "f:3:2: no key was expected here"},
        {"a: 1\n---\nb: 2\n", "f:2:1: a second document"},
        {"a: &x 1\n", "f:1:4: anchors (&) are not supported"},
        {"a: *x\n", "f:1:4: aliases (*) are not supported"},
        {"a: !!int 1\n", "f:1:4: tags (!) are not supported"},
        {"a: !x {}\n", "f:1:4: tags (!) are not supported"},
        {"<<: 1\n", "f:1:1: merge keys (<<) are not supported"},
        {"[a]: 1\n", "f:1:1: a key must be a text"},
        {"? {a: 1}\n: 2\n", "f:1:3: a key must be a text"},
        {"a: \"\\0\"\n", "f:1:4: zero byte in a text"},
        {"a: 1\na: 2\n", "f:2:1: key \"a\" given twice, first in line 1"},
        {"a: {b: 1}\nc: {x: 1, y: 2, x: 3}\n",
         "f:2:17: key \"x\" given twice, first in line 2"},
        {"%YAML 3.0\n---\na: 1\n", "f:1:1: unsupported YAML version"},
        {"\xff\xfe"
         "a",
         "f:1:1: this is a UTF-16 file; save it as UTF-8"},
        {"a: caf\xe9\n", "f:1:7: this byte is not UTF-8"},
        {"a: 1\r\nb: \x01\r\n", "f:2:4: control character"},
        {"a: \xe2\x80\xa8\n", "f:1:4: control character"},
        {"a: \xc2\x85\n", "f:1:4: control character"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct read r;
        read_bytes(&r, ROWS[i].text, strlen(ROWS[i].text));
        cr_expect(lt(sz, 0, r.diag.n_errors), "row %zu", i);
        cr_expect(strncmp(messages(&r), ROWS[i].want, strlen(ROWS[i].want)) ==
                      0,
                  "row %zu: %s", i, messages(&r));
        arena_release(&r.arena);
    }
}

Test(ytree, a_byte_order_mark_takes_no_column, .timeout = 30)
{
    struct read r;
    const char text[] = "\xef\xbb\xbf"
                        "a: 1\n";
    read_bytes(&r, text, strlen(text));
    cr_assert(eq(int, ytree_child(r.root, "a")->key_at.column, 1));
    arena_release(&r.arena);
}

Test(ytree, an_embedded_zero_byte_does_not_hide_the_rest, .timeout = 30)
{
    struct read r;
    read_bytes(&r, "a: 1\0\nb: 2\n", 11);
    cr_assert(text_has(messages(&r), "f:1:5: zero byte"));
    arena_release(&r.arena);
}

Test(ytree, thirty_two_levels_are_read_and_one_more_is_not, .timeout = 30)
{
    char text[256];
    for (size_t depth = 32; depth <= 33; depth++) {
        struct read r;
        memset(text, '[', depth);
        memset(text + depth, ']', depth);
        read_bytes(&r, text, 2 * depth);
        cr_expect(eq(sz, r.diag.n_errors, depth - 32));
        cr_expect(eq(int, r.root == NULL, depth == 33));
        arena_release(&r.arena);
    }
}

Test(ytree, a_file_of_brackets_costs_nothing, .timeout = 30)
{
    /* libyaml alone needs 10 s for these 100 KB on a machine where this test
     * needs 1 ms. */
    enum { BYTES = 100000 };
    static const char *const PARTS[] = {"[", "[{\"\":", "{a: ", "- "};
    for (size_t p = 0; p < 4; p++) {
        struct arena a;
        arena_init(&a);
        size_t len = strlen(PARTS[p]);
        char *text = ARENA_NEW(&a, BYTES, char);
        for (size_t i = 0; i < BYTES; i++)
            text[i] = PARTS[p][i % len];
        struct read r;
        clock_t start = clock();
        read_bytes(&r, text, BYTES);
        double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
        cr_expect(lt(dbl, seconds, 0.5), "%s", PARTS[p]);
        cr_expect(text_has(messages(&r), "nested deeper than 32 levels"));
        arena_release(&r.arena);
        arena_release(&a);
    }
}

Test(ytree, more_values_than_the_cap_are_refused, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    size_t n = YTREE_MOST_NODES + 1, len = 2 * n + 1;
    char *text = ARENA_NEW(&a, len, char);
    text[0] = '[';
    for (size_t i = 0; i < n; i++)
        memcpy(text + 1 + 2 * i, "1,", 2);
    text[len - 1] = ']';
    struct read r;
    read_bytes(&r, text, len);
    cr_assert(r.root == NULL);
    cr_assert(text_has(messages(&r), "more than 2,000,000 values"));
    arena_release(&r.arena);
    arena_release(&a);
}

Test(ytree, twins_are_found_among_many_keys, .timeout = 30)
{
    struct read r;
    struct arena a;
    struct strbuf text;
    arena_init(&a);
    strbuf_init(&text, &a);
    for (int i = 0; i < 20000; i++)
        strbuf_addf(&text, "k%d: 1\n", i);
    strbuf_add(&text, "k77: 1\nk77: 2\n");
    read_bytes(&r, text.text, text.len);
    cr_assert(text_is(messages(&r),
                      "f:20001:1: key \"k77\" given twice, first in line 78; "
                      "keep one\n"
                      "f:20002:1: key \"k77\" given twice, first in line 78; "
                      "keep one\n"));
    arena_release(&r.arena);
    arena_release(&a);
}
