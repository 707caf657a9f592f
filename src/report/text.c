#include "report/text.h"

#include <stdbool.h>
#include <string.h>

#include "base/strbuf.h"
#include "base/utf8.h"

struct range {
    uint32_t first, last;
};

/* Marks that stand on the character before them (blocks of the Unicode code
 * charts, the common scripts). */
static const struct range MARKS[] = {
    {0x300, 0x36f},   {0x483, 0x489},   {0x591, 0x5bd},
    {0x64b, 0x65f},   {0x1ab0, 0x1aff}, {0x1dc0, 0x1dff},
    {0x20d0, 0x20ff}, {0xfe00, 0xfe0f}, {0xfe20, 0xfe2f},
};

/* Characters of double width (the same source). */
static const struct range WIDE[] = {
    {0x1100, 0x115f}, {0x2e80, 0xa4cf},   {0xac00, 0xd7a3},
    {0xf900, 0xfaff}, {0xfe30, 0xfe6f},   {0xff00, 0xff60},
    {0xffe0, 0xffe6}, {0x1f300, 0x1faff}, {0x20000, 0x3fffd},
};

static bool is_in(const struct range *list, size_t n, uint32_t code)
{
    for (size_t i = 0; i < n; i++)
        if (code >= list[i].first && code <= list[i].last)
            return true;
    return false;
}

/* Bytes of the next character, at least 1, and its columns. A byte that is
 * not UTF-8 counts as '?' will. */
static size_t next_character(const char *text, size_t len, int *columns)
{
    uint32_t code = '?';
    size_t n = utf8_read(text, len, &code);
    if (is_in(MARKS, sizeof MARKS / sizeof MARKS[0], code))
        *columns = 0;
    else
        *columns = is_in(WIDE, sizeof WIDE / sizeof WIDE[0], code) ? 2 : 1;
    return n > 0 ? n : 1;
}

static int width_n(const char *text, size_t len)
{
    int width = 0;
    for (size_t i = 0; i < len;) {
        int columns;
        i += next_character(text + i, len - i, &columns);
        width += columns;
    }
    return width;
}

int text_width(const char *text)
{
    return width_n(text, strlen(text));
}

static void add_n(struct strbuf *out, const char *text, size_t len)
{
    for (size_t i = 0; i < len;) {
        uint32_t code;
        size_t n = utf8_read(text + i, len - i, &code);
        if (n == 0 || utf8_is_invisible(code))
            strbuf_add(out, "?");
        else
            strbuf_add_n(out, text + i, n);
        i += n > 0 ? n : 1;
    }
}

void text_add(struct strbuf *out, const char *text)
{
    add_n(out, text, strlen(text));
}

void text_wrap(struct strbuf *out, const char *text, int column, int indent,
               int width)
{
    bool is_first = true;
    for (;;) {
        text += strspn(text, " \n");
        size_t len = strcspn(text, " \n");
        if (len == 0)
            break;
        int word = width_n(text, len);
        if (!is_first && column + 1 + word > width) {
            strbuf_add(out, "\n");
            strbuf_pad(out, ' ', indent);
            column = indent;
        } else if (!is_first) {
            strbuf_add(out, " ");
            column++;
        }
        add_n(out, text, len);
        column += word;
        text += len;
        is_first = false;
    }
    strbuf_add(out, "\n");
}
