#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "scenario/table.h"
#include "support/text.h"

struct read {
    struct arena arena;
    struct diag diag;
    const struct table *table;
};

static void read_bytes(struct read *r, const char *text, size_t len)
{
    arena_init(&r->arena);
    diag_init(&r->diag, &r->arena);
    struct source s = {"f", text, len};
    r->table = table_read(&s, &r->arena, &r->diag);
}

static const char *messages(struct read *r)
{
    struct strbuf out;
    strbuf_init(&out, &r->arena);
    diag_write(&r->diag, 20, &out);
    return out.text;
}

Test(table, cells_know_their_text_and_place, .timeout = 30)
{
    static const char TEXT[] = "\xef\xbb\xbf"
                               "a, b ,\"c d\"\r\n"
                               "\r\n"
                               "1,,\" x \"\r\n"
                               "\xc3\xa9\xc3\xa9,\"q\"\"q\",\r\n"
                               "\"two\nlines\", 5 ,6\n"
                               "7,8,9";
    static const struct {
        size_t row, cell;
        const char *text;
        int line, column;
    } ROWS[] = {
        {0, 0, "1", 3, 1},          {0, 1, "", 3, 3},
        {0, 2, " x ", 3, 4},        {1, 0, "\xc3\xa9\xc3\xa9", 4, 1},
        {1, 1, "q\"q", 4, 4},       {1, 2, "", 4, 11},
        {2, 0, "two\nlines", 5, 1}, {2, 1, "5", 6, 9},
        {2, 2, "6", 6, 12},         {3, 0, "7", 7, 1},
        {3, 2, "9", 7, 5},
    };
    struct read r;
    read_bytes(&r, TEXT, strlen(TEXT));
    cr_assert(text_is(messages(&r), ""));
    cr_assert(eq(sz, r.table->n_columns, 3));
    cr_assert(eq(sz, r.table->n_rows, 4));
    cr_assert(text_is(r.table->header.cell[0].text, "a"));
    cr_assert(text_is(r.table->header.cell[1].text, "b"));
    cr_assert(text_is(r.table->header.cell[2].text, "c d"));
    cr_assert(eq(int, r.table->header.cell[2].column, 7));
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        const struct table_cell *cell =
            &r.table->row[ROWS[i].row].cell[ROWS[i].cell];
        cr_expect(text_is(cell->text, ROWS[i].text));
        cr_expect(eq(int, cell->line, ROWS[i].line), "row %zu", i);
        cr_expect(eq(int, cell->column, ROWS[i].column), "row %zu", i);
    }
    arena_release(&r.arena);
}

Test(table, every_kind_of_line_end_counts_once, .timeout = 30)
{
    static const char *const TEXTS[] = {
        "a,b\n1,2\n\n3,4\n",
        "a,b\r\n1,2\r\n\r\n3,4\r\n",
        "a,b\r1,2\r\r3,4\r",
        "a,b\n1,2\r\n\n3,4",
    };
    for (size_t i = 0; i < 4; i++) {
        struct read r;
        read_bytes(&r, TEXTS[i], strlen(TEXTS[i]));
        cr_expect(eq(sz, r.table->n_rows, 2), "text %zu", i);
        cr_expect(eq(int, r.table->row[1].cell[0].line, 4), "text %zu", i);
        cr_expect(text_is(r.table->row[1].cell[1].text, "4"));
        arena_release(&r.arena);
    }
}

Test(table, every_fault_has_its_place_and_words, .timeout = 30)
{
    static const struct {
        const char *text, *want;
    } ROWS[] = {
        {"", "f:1:1: the file is empty"},
        {"\n\n", "f:1:1: there is no header"},
        {" , \n1,2\n", "f:1:1: there is no header"},
        {"a;b\n1;2\n", "f:1:2: the columns are separated by semicolons"},
        {"a\tb\n", "f:1:2: the columns are separated by tabs"},
        {"sep=,\na,b\n", "f:1:1: the first line is a spreadsheet's sep="},
        {"a,b\n1,2,3\n", "f:2: 3 cells where the header has 2"},
        {"a,b\n1\n", "f:2: 1 cells where the header has 2"},
        {"a,b\n1x\"y\",2\n", "f:2:3: a quote inside a text without quotes"},
        {"a,b\n\"z\"w,2\n", "f:2:4: text after the closing quote"},
        {"a,b\n1,2\n3,\"4\n5,6\n", "f:3:3: the quote opened here"},
        {"a,b\n\xe9,2\n", "f:2:1: this byte is not UTF-8"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        struct read r;
        read_bytes(&r, ROWS[i].text, strlen(ROWS[i].text));
        cr_expect(strncmp(messages(&r), ROWS[i].want, strlen(ROWS[i].want)) ==
                      0,
                  "row %zu: %s", i, messages(&r));
        arena_release(&r.arena);
    }
}

Test(table, ragged_rows_are_all_named_and_left_out, .timeout = 30)
{
    struct read r;
    const char text[] = "a,b\n1\n2,3\n4,5,6\n";
    read_bytes(&r, text, strlen(text));
    cr_assert(eq(sz, r.diag.n_errors, 2));
    cr_assert(eq(sz, r.table->n_rows, 1));
    cr_assert(eq(sz, r.table->n_left_out, 2));
    cr_assert(text_is(r.table->row[0].cell[1].text, "3"));
    arena_release(&r.arena);
}

Test(table, a_zero_byte_is_refused_where_it_stands, .timeout = 30)
{
    struct read r;
    read_bytes(&r, "a,b\n1,2\0\n", 9);
    cr_assert(text_has(messages(&r), "f:2:4: zero byte"));
    cr_assert(r.table == NULL);
    arena_release(&r.arena);
}

Test(table, sixty_four_columns_are_read_and_one_more_is_not, .timeout = 30)
{
    char text[256];
    for (size_t n = 64; n <= 65; n++) {
        struct read r;
        for (size_t i = 0; i < n; i++)
            memcpy(text + 2 * i, "a,", 2);
        read_bytes(&r, text, 2 * n - 1);
        cr_expect(eq(sz, r.diag.n_errors, n - 64));
        cr_expect(eq(int, r.table == NULL, n == 65));
        arena_release(&r.arena);
    }
}

Test(table, more_rows_than_the_cap_are_refused, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    size_t len = 2 * (TABLE_MOST_ROWS + 2);
    char *text = ARENA_NEW(&a, len + 1, char);
    for (size_t i = 0; i < len; i += 2)
        memcpy(text + i, "1\n", 2);
    struct read r;
    read_bytes(&r, text, len);
    cr_assert(r.table == NULL);
    cr_assert(text_has(messages(&r), "more than 1,000,000 rows"));
    arena_release(&r.arena);
    arena_release(&a);
}
