#include "report/show.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>
#include <time.h>

#include "base/arena.h"
#include "base/numtext.h"
#include "base/strbuf.h"

#define NUMBER_BYTES 64

struct choice {
    enum dim dim;
    const char *unit[SHOW_SYSTEMS];
    int digits[SHOW_SYSTEMS];
};

static const struct choice CHOICES[] = {
#define CHOICE(name, dim, field, field_digits, metric, metric_digits) \
    {DIM_##dim, {field, metric}, {field_digits, metric_digits}},
    SHOW_LIST(CHOICE)
#undef CHOICE
};

const char *show_system_key(enum show_system s)
{
    static const char *const KEYS[] = {
#define KEY(name, key) key,
        SHOW_SYSTEM_LIST(KEY)
#undef KEY
    };
    return KEYS[s];
}

const char *show_unit(const struct show *s, enum show_quantity q)
{
    return CHOICES[q].unit[s->system];
}

double show_value(const struct show *s, enum show_quantity q, double si)
{
    const struct unit *u = unit_named(CHOICES[q].dim, show_unit(s, q));
    return unit_from_si(u, si, &s->frame);
}

const char *show_number(const struct show *s, enum show_quantity q, double si)
{
    char *text = ARENA_NEW(s->arena, NUMBER_BYTES, char);
    return numtext_fixed(show_value(s, q, si), CHOICES[q].digits[s->system],
                         text, NUMBER_BYTES);
}

static const char *with_sign(const struct show *s, enum show_quantity q,
                             double value)
{
    char text[NUMBER_BYTES];
    numtext_fixed(value, CHOICES[q].digits[s->system], text, sizeof text);
    bool is_above = value > 0 && strpbrk(text, "123456789") != NULL;
    return arena_printf(s->arena, "%s%s", is_above ? "+" : "", text);
}

const char *show_change(const struct show *s, enum show_quantity q, double si)
{
    return with_sign(s, q, show_value(s, q, si));
}

/* To the even neighbour from the middle, as printing does. */
static double rounded(const struct show *s, enum show_quantity q, double si)
{
    double scale = pow(10, CHOICES[q].digits[s->system]);
    return nearbyint(show_value(s, q, si) * scale) / scale;
}

const char *show_step(const struct show *s, enum show_quantity q,
                      double from_si, double to_si)
{
    return with_sign(s, q, rounded(s, q, to_si) - rounded(s, q, from_si));
}

const char *show_full(const struct show *s, enum show_quantity q, double si)
{
    const char *number = show_number(s, q, si), *unit = show_unit(s, q);
    if (unit[0] == '$')
        return arena_printf(s->arena, "%s$%s%s", number[0] == '-' ? "-" : "",
                            number + (number[0] == '-'), unit + 1);
    return arena_printf(s->arena, "%s %s", number, unit);
}

/* The unit in letters, digits and underscores. */
static const char *unit_as_key(const struct show *s, const char *unit)
{
    if (strcmp(unit, "%") == 0)
        return "percent";
    struct strbuf b;
    strbuf_init(&b, s->arena);
    for (; *unit != '\0'; unit++)
        if (*unit == '$')
            strbuf_add(&b, "usd");
        else
            strbuf_addf(&b, "%c",
                        isalnum((unsigned char)*unit)
                            ? tolower((unsigned char)*unit)
                            : '_');
    return b.text;
}

const char *show_key(const struct show *s, const char *name,
                     enum show_quantity q)
{
    return arena_printf(s->arena, "%s_%s", name,
                        unit_as_key(s, show_unit(s, q)));
}

const char *show_title(const struct show *s, const char *name,
                       enum show_quantity q)
{
    return arena_printf(s->arena, "%s (%s)", name, show_unit(s, q));
}

const char *show_day(const struct show *s, long day)
{
    time_t seconds = (time_t)day * (time_t)UNIT_DAY_S;
    struct tm tm;
    char text[NUMBER_BYTES] = "-";
    if (gmtime_r(&seconds, &tm) != NULL)
        strftime(text, sizeof text, "%Y-%m-%d", &tm);
    return arena_text(s->arena, text, strlen(text));
}

const char *show_base(const struct show *s)
{
    static const char *const P_UNIT[] = {"psia", "kPaa"};
    static const char *const T_UNIT[] = {"F", "C"};
    const struct unit *p = unit_named(DIM_PRESSURE, P_UNIT[s->system]);
    const struct unit *t = unit_named(DIM_TEMPERATURE, T_UNIT[s->system]);
    const struct unit_frame *f = &s->frame;
    char base[32], warm[32], air[32];
    /* Digits as a base is quoted: 14.696, 101.325. */
    numtext_short(unit_from_si(p, f->p_base_pa, f), 6, base, sizeof base);
    numtext_short(unit_from_si(t, f->t_base_k, f), 4, warm, sizeof warm);
    numtext_short(unit_from_si(p, f->p_atm_pa, f), 6, air, sizeof air);
    return arena_printf(s->arena, "%s %s and %s %s; local atmosphere %s %s",
                        base, p->name, warm, t->name, air, p->name);
}
