#include "published.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <criterion/criterion.h>

#include "fluid/paper_units.h"

static char *file_text(struct arena *a, const char *name)
{
    char path[200];
    snprintf(path, sizeof path, "tests/published/%s.csv", name);
    FILE *f = fopen(path, "rb");
    cr_assert_not_null(f, "%s: run from the top of the tree", path);
    fseek(f, 0, SEEK_END);
    size_t size = (size_t)ftell(f);
    rewind(f);
    char *text = ARENA_NEW(a, size + 1, char);
    cr_assert_eq(fread(text, 1, size, f), size, "%s", path);
    fclose(f);
    return text;
}

/* The cell at *at, unquoted in place; *at moves behind its end mark, which is
 * returned. */
static char next_cell(char **at, char **cell)
{
    char *from = *at, *to = *at;
    bool quoted = *from == '"';

    *cell = to;
    from += quoted;
    while (quoted ? *from != '\0' : !strchr(",\n", *from)) {
        if (quoted && *from == '"') {
            if (from[1] != '"')
                break;
            from++;
        }
        *to++ = *from++;
    }
    from += quoted;
    char end = *from;
    *to = '\0';
    *at = from + 1;
    return end;
}

struct sheet sheet_read(struct arena *a, const char *name)
{
    char *at = file_text(a, name), *cell;
    size_t most = 1;
    for (const char *p = at; *p; p++)
        most += *p == ',' || *p == '\n';
    struct sheet s = {ARENA_NEW(a, most, char *), ARENA_NEW(a, most, char *), 0,
                      0};

    char end = ',';
    while (end == ',') {
        end = next_cell(&at, &cell);
        s.column[s.n_columns++] = cell;
    }
    while (*at) {
        size_t i = 0;
        for (end = ','; end == ','; i++) {
            end = next_cell(&at, &cell);
            s.cell[s.n_rows * s.n_columns + i] = cell;
        }
        s.n_rows++;
        cr_assert_eq(i, s.n_columns, "%s row %zu", name, s.n_rows);
    }
    return s;
}

const char *sheet_text(const struct sheet *s, size_t row, const char *column)
{
    for (size_t i = 0; i < s->n_columns; i++)
        if (strcmp(s->column[i], column) == 0)
            return s->cell[row * s->n_columns + i];
    cr_assert_fail("no column %s", column);
    return NULL;
}

double sheet_number(const struct sheet *s, size_t row, const char *column)
{
    const char *text = sheet_text(s, row, column);
    char *end;
    double value = strtod(text, &end);

    cr_assert(end != text && *end == '\0', "%s is no number", text);
    return value;
}

/* Units of the inputs; those not here keep their number. */
static const struct {
    const char *name;
    double factor, offset;
} units[] = {
    {"psia", UNIT_PSI_PA, 0},
    {"psig", UNIT_PSI_PA, 14.7 * UNIT_PSI_PA},
    {"psi", UNIT_PSI_PA, 0},
    {"MPa", 1e6, 0},
    {"F", 1 / 1.8, 459.67 / 1.8},
    {"C", 1, 273.15},
    {"R", 1 / 1.8, 0},
    {"ft", UNIT_FT_M, 0},
    {"in", UNIT_INCH_M, 0},
    {"mm", 1e-3, 0},
    {"ft/s", UNIT_FT_M, 0},
    {"lb/ft3", PAPER_LBFT3_KGM3, 0},
    {"cp", PAPER_CP_PAS, 0},
    {"dyn/cm", PAPER_DYNCM_NM, 0},
    {"stb/d", UNIT_BBL_M3 / UNIT_DAY_S, 0},
    {"bbl/d", UNIT_BBL_M3 / UNIT_DAY_S, 0},
    {"m3/d", 1 / UNIT_DAY_S, 0},
    {"scf/stb", PAPER_SCFSTB_SM3SM3, 0},
    {"scf/bbl", PAPER_SCFSTB_SM3SM3, 0},
    {"MMscf/d", 1e6 * PAPER_SCF_SM3 / UNIT_DAY_S, 0},
    {"wt%", 0.01, 0},
};

static double to_si(double value, const char *unit)
{
    size_t length = strcspn(unit, "; ,()");

    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (strlen(units[i].name) == length &&
            strncmp(units[i].name, unit, length) == 0)
            return value * units[i].factor + units[i].offset;
    return value;
}

/* What follows the key's last place in the text, at the start or after a
 * blank. */
static const char *find_key(const char *text, const char *key)
{
    size_t length = strlen(key);
    const char *last = NULL;

    for (const char *p = text; (p = strstr(p, key)); p++)
        if (p[length] == '=' && (p == text || p[-1] == ' '))
            last = p + length + 1;
    return last;
}

/* The inputs of the row that this one refers to. */
static const char *referred(const struct check *c, const char *inputs)
{
    const char *id = strstr(inputs, "as ");

    for (size_t i = 0; id && i < c->sheet->n_rows; i++) {
        const char *other = sheet_text(c->sheet, i, "id");
        if (strncmp(id + 3, other, strlen(other)) == 0)
            return sheet_text(c->sheet, i, "inputs");
    }
    return NULL;
}

static const char *find_input(const struct check *c, const char *key)
{
    const char *inputs = sheet_text(c->sheet, c->row, "inputs"), *at = NULL;

    while (inputs && !(at = find_key(inputs, key)))
        inputs = referred(c, inputs);
    return at;
}

bool check_is_given(const struct check *c, const char *key)
{
    return find_input(c, key) != NULL;
}

static double number_at(const struct check *c, const char *key,
                        const char **unit)
{
    const char *at = find_input(c, key);

    if (!at)
        return (double)NAN;
    char *end;
    double value = strtod(at, &end);
    cr_assert(end != at, "%s: %s is no number", c->id, key);
    *unit = *end == ' ' ? end + 1 : end;
    return value;
}

double check_number(const struct check *c, const char *key)
{
    const char *unit;

    return number_at(c, key, &unit);
}

double check_input(const struct check *c, const char *key)
{
    const char *unit = "";
    double value = number_at(c, key, &unit);

    return to_si(value, unit);
}
