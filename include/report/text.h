/* Text on a screen of fixed-width characters: how wide it is, what must not
 * reach the terminal, where a line breaks. */
#ifndef REPORT_TEXT_H
#define REPORT_TEXT_H

struct strbuf;

/* Columns that the text takes: combining marks none, wide East Asian
 * characters two, anything else one. */
int text_width(const char *text);

/* Append the text; what a terminal could obey, and bytes that are not UTF-8,
 * become '?'. */
void text_add(struct strbuf *out, const char *text);

/* Append the words of the text and end the line. The first word starts at
 * `column`, where the line stands already; further lines start at `indent`;
 * none passes `width` unless a single word does. */
void text_wrap(struct strbuf *out, const char *text, int column, int indent,
               int width);

#endif
