#include "cells.h"

#include <math.h>
#include <string.h>

#include "base/numtext.h"
#include "base/strbuf.h"
#include "report/text.h"

/* Enough to tell neighbouring points of a curve apart, few enough that a
 * column can be read. */
#define CSV_DIGITS 9

void cells_text(struct strbuf *out, const char *text)
{
    if (text == NULL)
        text = "";
    struct strbuf clean;
    strbuf_init(&clean, out->arena);
    if (text[0] != '\0' && strchr("=+-@", text[0]) != NULL)
        strbuf_add(&clean, "'");
    text_add(&clean, text);
    if (strpbrk(clean.text, ",\"") == NULL) {
        strbuf_addf(out, "%s,", clean.text);
        return;
    }
    strbuf_add(out, "\"");
    for (const char *c = clean.text; *c != '\0'; c++)
        strbuf_addf(out, *c == '"' ? "\"%c" : "%c", *c);
    strbuf_add(out, "\",");
}

void cells_number(struct strbuf *out, const struct show *s,
                  enum show_quantity q, double si)
{
    char number[32] = "";
    if (isfinite(si))
        numtext_short(show_value(s, q, si), CSV_DIGITS, number, sizeof number);
    strbuf_addf(out, "%s,", number);
}

void cells_count(struct strbuf *out, long count)
{
    strbuf_addf(out, "%ld,", count);
}

void cells_end(struct strbuf *out)
{
    out->text[out->len - 1] = '\n';
}
