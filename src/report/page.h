/* What the text and JSON reports have in common: sentences, the warnings, the
 * cautions, the foot. */
#ifndef PAGE_H
#define PAGE_H

#include "jnode.h"
#include "report/report.h"

/* A sentence, wrapped; every line but the first is indented by `indent`. */
void page_say(const struct report *r, struct strbuf *out, int indent,
              const char *format, ...) __attribute__((format(printf, 4, 5)));

/* "flowing", "down", "test", "held" */
const char *page_status_key(enum well_status status);

/* An empty line and a heading. */
void page_head(const struct report *r, struct strbuf *out, const char *format,
               ...) __attribute__((format(printf, 3, 4)));

/* Warnings, if any. */
void page_warnings(const struct report *r, struct strbuf *out);
void page_cautions(const struct report *r, struct strbuf *out);
/* Gas base and version. */
void page_foot(const struct report *r, struct strbuf *out);

/* The root of a JSON report with what all of them say first. */
struct jnode page_json(const struct report *r, const char *name);
void page_json_warnings(const struct report *r, struct jnode root);
void page_json_cautions(const struct report *r, struct jnode root);

#endif
