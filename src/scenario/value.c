#include "scenario/value.h"

#include <assert.h>
#include <math.h>
#include <string.h>
#include <time.h>

#include "base/arena.h"
#include "base/numtext.h"
#include "base/strbuf.h"
#include "base/utf8.h"
#include "num/tol.h"
#include "scenario/names.h"

#define NOT_A_VALUE ((double)NAN)
/* Digits that show a limit: all of it in the schema's unit, rounded in any
 * other. */
#define OWN_DIGITS 7
#define CONVERTED_DIGITS 4
#define TEXT_MOST_BYTES 300

struct reader {
    const struct value_text *v;
    const struct unit_frame *frame;
    struct diag *d;
};

static double fail(const struct reader *r, const char *what, const char *todo)
{
    diag_add(r->d, DIAG_ERROR, r->v->at, r->v->path, todo, "%s %s",
             diag_quote(r->d, r->v->text), what);
    return NOT_A_VALUE;
}

/* --- units and numbers ---------------------------------------------------- */

static const char *skip_blanks(const char *text)
{
    return text + strspn(text, " \t");
}

static const char *unit_advice(const struct reader *r)
{
    const struct schema_row *row = r->v->row;
    if (row->dim == DIM_NUMBER)
        return "write a plain number without a unit";
    return arena_printf(r->d->arena, "write one of: %s",
                        unit_choices(row->dim));
}

/* The unit behind the number, or NULL after an error. */
static const struct unit *read_unit(const struct reader *r, const char *text)
{
    enum dim dim = r->v->row->dim;
    const struct unit *unit = unit_find(dim, text, strlen(text));
    if (unit != NULL)
        return unit;
    if (text[0] == '\0') {
        fail(r, "has no unit", unit_advice(r));
        return NULL;
    }
    uint32_t code = 0;
    utf8_read(text, strlen(text), &code);
    if ((code >= '0' && code <= '9') || code == 0xa0 || code == 0x202f) {
        fail(r, "holds a blank between digits",
             "write the number without separators, like 1234.5");
        return NULL;
    }
    const struct unit *other = unit_find_any(text, strlen(text));
    const char *what =
        other == NULL ? arena_printf(r->d->arena, "ends in the unknown unit %s",
                                     diag_quote(r->d, text))
                      : arena_printf(r->d->arena, "is %s, not %s",
                                     dim_words(other->dim), dim_words(dim));
    fail(r, what, unit_advice(r));
    return NULL;
}

/* A range of the row in the user's unit, rising: "0 to 5000 psig". */
static const char *range_text(const struct reader *r, const struct unit *unit,
                              double low, double high)
{
    const char *own = r->v->row->unit;
    bool is_own = unit == NULL || strcmp(unit->name, own) == 0;
    int digits = is_own ? OWN_DIGITS : CONVERTED_DIGITS;
    double limit[2] = {low, high};
    char text[2][32];
    for (int i = 0; i < 2 && !is_own; i++) {
        double si = unit_to_si(unit_named(unit->dim, own), limit[i], r->frame);
        limit[i] = unit_from_si(unit, si, r->frame);
    }
    bool falls = limit[0] > limit[1]; /* API gravity against specific */
    numtext_short(limit[falls], digits, text[0], sizeof text[0]);
    numtext_short(limit[!falls], digits, text[1], sizeof text[1]);
    return arena_printf(r->d->arena, "%s to %s%s%s", text[0], text[1],
                        unit != NULL ? " " : "",
                        unit != NULL ? unit->name : "");
}

static bool is_within(double value, double low, double high)
{
    double slack = TOL_INPUT_RANGE * (fabs(low) + fabs(high));
    return value >= low - slack && value <= high + slack;
}

/* The advice when a number lies outside what is allowed. */
static const char *range_advice(const struct reader *r)
{
    /* A minus and nines: what loggers write when they have no reading. */
    if (strncmp(r->v->text, "-999", 4) == 0)
        return "a missing-value code is no number, leave the place empty";
    return r->v->row->unit != NULL ? "check the value and its unit"
                                   : "check the value";
}

/* value in the row's unit, unit as the user wrote it. */
static bool check_range(const struct reader *r, double value,
                        const struct unit *unit)
{
    const struct schema_row *row = r->v->row;
    if (!is_within(value, row->min, row->max)) {
        const char *range = range_text(r, unit, row->min, row->max);
        fail(r, arena_printf(r->d->arena, "is outside the allowed %s", range),
             range_advice(r));
        return false;
    }
    if (!is_within(value, row->usual_min, row->usual_max))
        diag_add(r->d, DIAG_WARNING, r->v->at, r->v->path, range_advice(r),
                 "%s is outside the usual %s", diag_quote(r->d, r->v->text),
                 range_text(r, unit, row->usual_min, row->usual_max));
    return true;
}

/* Pipe and ports are sold in fractions: "1/4 in". What stands below the line, 1
 * without one; *used then counts it. */
static double below_the_line(const char *text, size_t *used)
{
    double below = 1;
    size_t n = 0;

    if (text[*used] != '/')
        return 1;
    const char *from = text + *used + 1;
    if (numtext_read(from, strlen(from), &below, &n) != NUMTEXT_OK ||
        !(below > 0))
        return 1;
    *used += 1 + n;
    return below;
}

static double read_quantity(const struct reader *r)
{
    const struct schema_row *row = r->v->row;
    const char *text = r->v->text;
    double value = 0.0;
    size_t used = 0;
    bool has_unit_inside = row->dim != DIM_NUMBER && r->v->unit == NULL;
    enum numtext_fault fault =
        has_unit_inside ? numtext_read(text, strlen(text), &value, &used)
                        : numtext_read_all(text, strlen(text), &value);
    if (fault == NUMTEXT_EMPTY)
        return fail(r, "is empty", "write a value");
    if (fault != NUMTEXT_OK) {
        const char *what =
            arena_printf(r->d->arena, "is %s", numtext_fault_text(fault));
        return fail(r, what, numtext_fault_todo(fault));
    }
    if (row->dim == DIM_NUMBER)
        return check_range(r, value, NULL) ? value : NOT_A_VALUE;
    if (row->dim == DIM_LENGTH && has_unit_inside)
        value /= below_the_line(text, &used);

    const struct unit *unit =
        has_unit_inside ? read_unit(r, skip_blanks(text + used)) : r->v->unit;
    if (unit == NULL)
        return NOT_A_VALUE;
    double si = unit_to_si(unit, value, r->frame);
    const struct unit *own = unit_named(row->dim, row->unit);
    double in_own = unit_from_si(own, si, r->frame);
    return check_range(r, in_own, unit) ? si : NOT_A_VALUE;
}

static double read_count(const struct reader *r)
{
    const char *text = r->v->text;
    double value = 0.0;
    bool is_whole = text[0] != '\0' &&
                    strspn(text, "0123456789") == strlen(text) &&
                    numtext_read_all(text, strlen(text), &value) == NUMTEXT_OK;
    if (!is_whole)
        return fail(r, "is no whole number", "write digits only");
    return check_range(r, value, NULL) ? value : NOT_A_VALUE;
}

/* --- choices, flags, dates, texts ----------------------------------------- */

const char *value_choices(const struct schema_row *row, struct arena *a)
{
    struct strbuf out;
    strbuf_init(&out, a);
    for (const char *c = row->choices; *c != '\0'; c = strchr(c, '|') + 1) {
        strbuf_add(&out, c == row->choices ? "" : ", ");
        strbuf_add_n(&out, c, strcspn(c, "|"));
    }
    return out.text;
}

/* Index of the choice, or -1. */
static int find_choice(const char *choices, const char *text)
{
    size_t len = strlen(text);
    int index = 0;
    for (const char *c = choices; *c != '\0'; c = strchr(c, '|') + 1, index++)
        if (strcspn(c, "|") == len && memcmp(c, text, len) == 0)
            return index;
    return -1;
}

static double read_choice(const struct reader *r)
{
    int index = find_choice(r->v->row->choices, r->v->text);
    if (index >= 0)
        return index;
    const char *choices = value_choices(r->v->row, r->d->arena);
    return fail(r, "is not one of the choices",
                arena_printf(r->d->arena, "write one of: %s", choices));
}

static double read_flag(const struct reader *r)
{
    if (strcmp(r->v->text, "yes") == 0)
        return 1.0;
    if (strcmp(r->v->text, "no") == 0)
        return 0.0;
    return fail(r, "is neither yes nor no", "write yes or no");
}

static int days_in_month(int year, int month)
{
    static const int DAYS[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool is_leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return DAYS[month - 1] + (month == 2 && is_leap);
}

static int number_of(const char *text, int n)
{
    int value = 0;
    for (int i = 0; i < n; i++)
        value = 10 * value + (text[i] - '0');
    return value;
}

static bool has_shape_of_date(const char *text)
{
    static const char SHAPE[] = "dddd-dd-dd";
    if (strlen(text) != strlen(SHAPE))
        return false;
    for (size_t i = 0; SHAPE[i] != '\0'; i++) {
        bool is_digit = text[i] >= '0' && text[i] <= '9';
        if (SHAPE[i] == 'd' ? !is_digit : text[i] != '-')
            return false;
    }
    return true;
}

/* What is wrong with a date, or NULL and the day from 1970-01-01. */
static const char *date_fault(const char *text, long *out)
{
    if (!has_shape_of_date(text))
        return "is no date";
    int year = number_of(text, 4), month = number_of(text + 5, 2);
    int day = number_of(text + 8, 2);
    if (month < 1 || month > 12 || day < 1 || day > days_in_month(year, month))
        return "is a day that does not exist";
    if (year < 1950 || year > 2199)
        return "is outside the years 1950 to 2199";
    struct tm date = {
        .tm_year = year - 1900, .tm_mon = month - 1, .tm_mday = day};
    *out = lround((double)timegm(&date) / UNIT_DAY_S);
    return NULL;
}

static double read_date(const struct reader *r)
{
    long day = 0;
    const char *fault = date_fault(r->v->text, &day);
    if (fault == NULL)
        return (double)day;
    return fail(r, fault,
                has_shape_of_date(r->v->text)
                    ? "check the date"
                    : "write it as YYYY-MM-DD, without a time");
}

/* Seconds after midnight of "06:30"; NaN: no clock time. 24:00 ends a day. */
static double clock_s(const char *text)
{
    static const char SHAPE[] = "dd:dd";
    if (strlen(text) != strlen(SHAPE))
        return NOT_A_VALUE;
    for (size_t i = 0; SHAPE[i] != '\0'; i++) {
        bool is_digit = text[i] >= '0' && text[i] <= '9';
        if (SHAPE[i] == 'd' ? !is_digit : text[i] != ':')
            return NOT_A_VALUE;
    }
    int minutes = 60 * number_of(text, 2) + number_of(text + 3, 2);
    bool is_time = number_of(text + 3, 2) < 60 && minutes <= 24 * 60;
    return is_time ? 60.0 * minutes : NOT_A_VALUE;
}

static double read_clock(const struct reader *r)
{
    double s = clock_s(r->v->text);
    return isnan(s) ? fail(r, "is no clock time",
                           "write it from 00:00 to 24:00, like 06:30")
                    : s;
}

/* "+26 h" */
static bool read_after(const char *text, struct value_moment *out)
{
    double number = 0.0;
    size_t used = 0;
    if (text[0] != '+' ||
        numtext_read(text + 1, strlen(text + 1), &number, &used) != NUMTEXT_OK)
        return false;
    const char *name = skip_blanks(text + 1 + used);
    const struct unit *unit = unit_find(DIM_TIME, name, strlen(name));
    struct unit_frame frame = unit_frame_default();
    if (unit == NULL || number < 0)
        return false;
    out->kind = MOMENT_AFTER;
    out->s = unit_to_si(unit, number, &frame);
    return true;
}

bool value_moment(const char *text, struct value_moment *out)
{
    const char *clock = text;
    char date[] = "dddd-dd-dd";
    size_t n_date = strlen(date);
    *out = (struct value_moment){.kind = MOMENT_CLOCK};
    if (read_after(text, out))
        return true;
    if (strlen(text) > n_date && text[n_date] == ' ') {
        memcpy(date, text, n_date);
        out->kind = MOMENT_DATED;
        if (date_fault(date, &out->day) != NULL)
            return false;
        clock = skip_blanks(text + n_date);
    }
    out->s = clock_s(clock);
    return !isnan(out->s);
}

double value_moment_s(const struct value_moment *m, long day, double start_s)
{
    if (m->kind == MOMENT_AFTER)
        return m->s;
    double days = m->kind == MOMENT_DATED ? (double)(m->day - day) : 0;
    return days * UNIT_DAY_S + m->s - start_s;
}

static double check_moment(const struct reader *r)
{
    struct value_moment m;
    return value_moment(r->v->text, &m)
               ? 0.0
               : fail(r, "is no time",
                      "write 20:00, 2026-11-26 06:30, or +26 h after the "
                      "start");
}

static double check_name(const struct reader *r)
{
    const char *fault = name_fault(r->v->text, strlen(r->v->text));
    return fault == NULL ? 0.0
                         : fail(r, fault, "write 1 to 64 plain characters");
}

static double check_text(const struct reader *r)
{
    const char *text = r->v->text;
    size_t len = strlen(text);
    if (len > TEXT_MOST_BYTES)
        return fail(r, "is longer than 300 bytes", "shorten it");
    for (size_t i = 0; i < len;) {
        uint32_t code = 0;
        size_t n = utf8_read(text + i, len - i, &code);
        if (n == 0 || utf8_is_invisible(code))
            return fail(r, "holds a line break or an invisible character",
                        "delete it");
        i += n;
    }
    return 0.0;
}

static bool has_part(const char *path, const char *part)
{
    size_t len = strlen(part);
    for (const char *p = path; *p != '\0'; p += strcspn(p, "/")) {
        p += strspn(p, "/");
        if (strcspn(p, "/") == len && memcmp(p, part, len) == 0)
            return true;
    }
    return false;
}

static double check_file(const struct reader *r)
{
    const char *text = r->v->text;
    if (text[0] == '\0')
        return fail(r, "is empty", "write the name of a file");
    if (text[0] == '/' || strchr(text, '\\') != NULL || has_part(text, ".."))
        return fail(r, "leads out of the scenario's folder",
                    "put the file into the folder and write its name");
    return check_text(r);
}

/* -------------------------------------------------------------------------- */

double value_read(const struct value_text *v, const struct unit_frame *frame,
                  struct diag *d)
{
    struct reader r = {v, frame, d};
    switch (v->row->kind) {
    case SCHEMA_QUANTITY:
        return read_quantity(&r);
    case SCHEMA_COUNT:
        return read_count(&r);
    case SCHEMA_CHOICE:
        return read_choice(&r);
    case SCHEMA_FLAG:
        return read_flag(&r);
    case SCHEMA_DATE:
        return read_date(&r);
    case SCHEMA_CLOCK:
        return read_clock(&r);
    case SCHEMA_MOMENT:
        return check_moment(&r);
    case SCHEMA_NAME:
        return check_name(&r);
    case SCHEMA_TEXT:
        return check_text(&r);
    case SCHEMA_FILE:
        return check_file(&r);
    case SCHEMA_MAP:
    case SCHEMA_NAMED:
    case SCHEMA_LIST:
        break;
    }
    assert(false); /* maps and lists have no text */
    return NOT_A_VALUE;
}

const struct unit *value_unit(enum dim dim, const char *text)
{
    double value = 0.0;
    size_t used = 0;
    if (numtext_read(text, strlen(text), &value, &used) != NUMTEXT_OK)
        return NULL;
    const char *name = skip_blanks(text + used);
    return unit_find(dim, name, strlen(name));
}

double value_fallback(const struct schema_row *row,
                      const struct unit_frame *frame)
{
    if (row->fallback == NULL)
        return NOT_A_VALUE;
    const char *text = row->fallback;
    if (row->kind == SCHEMA_CHOICE)
        return find_choice(row->choices, text);
    if (row->kind == SCHEMA_FLAG)
        return strcmp(text, "yes") == 0;
    if (row->kind == SCHEMA_CLOCK)
        return clock_s(text);
    double value = 0.0;
    size_t used = 0;
    enum numtext_fault fault = numtext_read(text, strlen(text), &value, &used);
    assert(fault == NUMTEXT_OK);
    if (fault != NUMTEXT_OK || row->dim == DIM_NUMBER)
        return value;
    const char *unit = skip_blanks(text + used);
    return unit_to_si(unit_named(row->dim, unit), value, frame);
}

bool value_is_gauge(const struct unit *unit)
{
    struct unit_frame frame = unit_frame_default();
    return unit->dim == DIM_PRESSURE && unit_to_si(unit, 0.0, &frame) > 0.0;
}
