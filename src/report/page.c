#include "page.h"

#include <stdarg.h>
#include <stdio.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "report/text.h"

/* Of each list of messages, as on stderr. */
#define WARNINGS_MOST 20
#define PPM_PER_ONE 1e6
#define CAUTIONS 4

const char *report_format_key(enum report_format f)
{
    static const char *const KEYS[] = {
#define KEY(name, key, ending) key,
        REPORT_FORMAT_LIST(KEY)
#undef KEY
    };
    return KEYS[f];
}

const char *report_format_ending(enum report_format f)
{
    static const char *const ENDINGS[] = {
#define ENDING(name, key, ending) ending,
        REPORT_FORMAT_LIST(ENDING)
#undef ENDING
    };
    return ENDINGS[f];
}

const char *page_status_key(enum well_status status)
{
    static const char *const KEYS[] = {
#define KEY(name, key, text) key,
        WELL_STATUS_LIST(KEY)
#undef KEY
    };
    return KEYS[status];
}

__attribute__((format(printf, 2, 0))) static const char *
print(const struct report *r, const char *format, va_list args)
{
    va_list again;
    va_copy(again, args);
    int len = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *text = ARENA_NEW(r->show.arena, (size_t)len + 1, char);
    vsnprintf(text, (size_t)len + 1, format, args);
    return text;
}

void page_say(const struct report *r, struct strbuf *out, int indent,
              const char *format, ...)
{
    va_list args;
    va_start(args, format);
    text_wrap(out, print(r, format, args), 0, indent, r->width);
    va_end(args);
}

void page_head(const struct report *r, struct strbuf *out, const char *format,
               ...)
{
    va_list args;
    va_start(args, format);
    strbuf_add(out, "\n");
    text_wrap(out, print(r, format, args), 0, 2, r->width);
    va_end(args);
}

static const char *warning_text(const struct report *r,
                                const struct diag_item *item)
{
    struct strbuf b;
    strbuf_init(&b, r->show.arena);
    if (item->at.file != NULL && item->at.line > 0)
        strbuf_addf(&b, "%s:%d: ", item->at.file, item->at.line);
    else if (item->at.file != NULL)
        strbuf_addf(&b, "%s: ", item->at.file);
    if (item->path != NULL)
        strbuf_addf(&b, "%s: ", item->path);
    strbuf_add(&b, item->what);
    if (item->todo != NULL)
        strbuf_addf(&b, "; %s", item->todo);
    return b.text;
}

void page_warnings(const struct report *r, struct strbuf *out)
{
    size_t n = 0;
    for (size_t i = 0; i < r->diag->n; i++) {
        const struct diag_item *item = &r->diag->item[i];
        if (item->level != DIAG_WARNING)
            continue;
        if (n == 0)
            page_head(r, out, "WARNINGS");
        if (n++ < WARNINGS_MOST)
            page_say(r, out, 4, "- %s", warning_text(r, item));
    }
    if (n > WARNINGS_MOST)
        page_say(r, out, 4, "- and %zu more; liftsplit check shows them",
                 n - WARNINGS_MOST);
}

static void list_cautions(const struct report *r, const char *list[CAUTIONS])
{
    double ppm = r->field->hydrogen_sulphide * PPM_PER_ONE;
    list[0] = "This report advises on rates and nothing else. The site's "
              "procedures, local rules and the licensed engineer in charge "
              "decide, with API RP 11V5, 11V6, 11V10, 14B, 14C and 90 and "
              "ISO 16530-1.";
    list[1] = "The annulus of a lifted well holds a large volume of "
              "high-pressure gas. Keep every annulus below its pressure "
              "limit, and headers and flowlines inside their protection "
              "settings, at each step of a change: this plan keeps the annulus "
              "limits that are entered and knows no others.";
    list[2] = ppm > 0
                  ? arena_printf(r->show.arena,
                                 "The lift gas is entered with %.0f ppm of "
                                 "hydrogen sulphide (H2S). It goes to every "
                                 "well on the list.",
                                 ppm)
                  : "No hydrogen sulphide (H2S) is entered for the lift gas. "
                    "That is no proof that it holds none; it goes to every "
                    "well on the list.";
    list[3] = "Wet gas behind a choke or a valve can freeze into hydrate: "
              "watch the injection lines after a start or a cut. Never blow "
              "down one side of a plug to free it.";
}

void page_cautions(const struct report *r, struct strbuf *out)
{
    const char *list[CAUTIONS];
    list_cautions(r, list);
    page_head(r, out, "CAUTIONS");
    for (size_t i = 0; i < CAUTIONS; i++)
        page_say(r, out, 2, "- %s", list[i]);
}

void page_foot(const struct report *r, struct strbuf *out)
{
    strbuf_add(out, "\n");
    page_say(r, out, 2, "Gas volumes are at %s.", show_base(&r->show));
    page_say(r, out, 2, "liftsplit %s", LIFTSPLIT_VERSION);
}

struct jnode page_json(const struct report *r, const char *name)
{
    const struct show *s = &r->show;
    struct jnode root = jnode_root(s->arena);
    jnode_count(root, "schema", REPORT_SCHEMA);
    jnode_text(root, "program", "liftsplit " LIFTSPLIT_VERSION);
    jnode_text(root, "report", name);
    jnode_text(root, "field", r->field->name);
    jnode_text(root, "day", show_day(s, r->field->day));
    jnode_text(root, "units", show_system_key(s->system));

    const struct unit_frame *f = &s->frame;
    struct jnode base = jnode_object(root, "gas_base");
    jnode_number(
        base, "pressure_kpaa",
        unit_from_si(unit_named(DIM_PRESSURE, "kPaa"), f->p_base_pa, f));
    jnode_number(
        base, "temperature_c",
        unit_from_si(unit_named(DIM_TEMPERATURE, "C"), f->t_base_k, f));
    jnode_number(
        base, "local_atmosphere_kpaa",
        unit_from_si(unit_named(DIM_PRESSURE, "kPaa"), f->p_atm_pa, f));
    jnode_text(base, "words", show_base(s));
    return root;
}

void page_json_warnings(const struct report *r, struct jnode root)
{
    struct jnode list = jnode_array(root, "warnings");
    for (size_t i = 0; i < r->diag->n; i++) {
        const struct diag_item *item = &r->diag->item[i];
        if (item->level != DIAG_WARNING)
            continue;
        struct jnode node = jnode_object(list, NULL);
        jnode_text(node, "file", item->at.file);
        jnode_count(node, "line", item->at.line);
        jnode_count(node, "column", item->at.column);
        jnode_text(node, "path", item->path);
        jnode_text(node, "what", item->what);
        jnode_text(node, "todo", item->todo);
    }
}

void page_json_cautions(const struct report *r, struct jnode root)
{
    const char *list[CAUTIONS];
    list_cautions(r, list);
    struct jnode node = jnode_array(root, "cautions");
    for (size_t i = 0; i < CAUTIONS; i++)
        jnode_text(node, NULL, list[i]);
}
