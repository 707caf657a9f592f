/* Whole folders of bad input, see tests/corpus/SOURCES.md. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fixture.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "scenario/names.h"
#include "scenario/table.h"
#include "scenario/ytree.h"

#define CORPUS "tests/corpus/"
/* A file may be nasty, but not slow: processor seconds. */
#define MOST_SECONDS 1.0

static struct source must_read(struct arena *a, const char *path)
{
    struct source s;
    struct err err;
    if (source_read(path, a, &s, &err) != ST_OK)
        cr_fatal("%s", err.msg);
    return s;
}

/* --- our own files, with the messages they must give ---------------------- */

/* Some error in d stands where the index row says, with its words. */
static bool has_error(const struct diag *d, const char *line,
                      const char *column, const char *words)
{
    for (size_t i = 0; i < d->n; i++) {
        const struct diag_item *item = &d->item[i];
        char whole[512];
        snprintf(whole, sizeof whole, "%s; %s", item->what,
                 item->todo != NULL ? item->todo : "");
        if (item->level == DIAG_ERROR && item->at.line == atoi(line) &&
            item->at.column == atoi(column) && strstr(whole, words) != NULL)
            return true;
    }
    return false;
}

static void check_row(const struct table *index, size_t row,
                      const struct diag *d)
{
    const struct table_cell *cell = index->row[row].cell;
    bool is_accepted = strcmp(cell[1].text, "accept") == 0;
    if (is_accepted)
        cr_expect(eq(sz, d->n_errors, 0), "%s: %s", cell[0].text,
                  d->n > 0 ? d->item[0].what : "");
    else
        cr_expect(has_error(d, cell[2].text, cell[3].text, cell[4].text),
                  "%s: no error at %s:%s with \"%s\", but %s", cell[0].text,
                  cell[2].text, cell[3].text, cell[4].text,
                  d->n > 0 ? d->item[0].what : "none");
}

Test(corpus, our_yaml_files_get_their_verdict_at_their_place, .timeout = 30)
{
    struct arena a;
    struct diag d;
    arena_init(&a);
    diag_init(&d, &a);
    struct source s = must_read(&a, CORPUS "own/yaml-index.csv");
    const struct table *index = table_read(&s, &a, &d);
    cr_assert(index != NULL);
    cr_assert(ge(sz, index->n_rows, 57));
    for (size_t i = 0; i < index->n_rows; i++) {
        struct diag faults;
        diag_init(&faults, &a);
        struct source file =
            must_read(&a, arena_printf(&a, CORPUS "own/yaml/%s",
                                       index->row[i].cell[0].text));
        clock_t start = clock();
        ytree_read(&file, &a, &faults);
        double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
        cr_expect(lt(dbl, seconds, MOST_SECONDS), "%s", file.file);
        check_row(index, i, &faults);
    }
    arena_release(&a);
}

/* The wells that the accepted files name. */
static const char WELLS[] = "format: 1\n"
                            "field: {name: Corpus, date: 2026-11-25}\n"
                            "manifolds: {M: {}}\n"
                            "wells:\n"
                            "  A-1: {manifold: M, curve: curve.csv}\n"
                            "  A-2: {manifold: M, curve: curve.csv}\n"
                            "  'A \"1\"': {manifold: M, curve: curve.csv}\n"
                            "  '=HYPERLINK(\"http://127.0.0.1/\",\"x\")':"
                            " {manifold: M, curve: curve.csv}\n";

Test(corpus, our_csv_files_get_their_verdict_at_their_place, .timeout = 30)
{
    struct arena a;
    struct diag d;
    arena_init(&a);
    diag_init(&d, &a);
    struct source s = must_read(&a, CORPUS "own/csv-index.csv");
    const struct table *index = table_read(&s, &a, &d);
    cr_assert(index != NULL);
    cr_assert(ge(sz, index->n_rows, 63));
    for (size_t i = 0; i < index->n_rows; i++) {
        struct fixture f;
        struct source file =
            must_read(&a, arena_printf(&a, CORPUS "own/csv/%s",
                                       index->row[i].cell[0].text));
        fixture_open(&f);
        fixture_write_text(&f, "scenario.yaml", WELLS);
        fixture_write_text(&f, "curve.csv", FIXTURE_CURVE);
        fixture_write(&f, "tests.csv", file.text, file.len);
        fixture_load(&f);
        check_row(index, i, &f.diag);
        fixture_close(&f);
    }
    arena_release(&a);
}

/* --- files of others ------------------------------------------------------ */

/* Every file of a folder as the named file of a scenario: refused with a
 * message and a place, without a crash, in time. Returns how many. */
static int refuse_folder(const char *folder, const char *as)
{
    int n = 0;
    DIR *dir = opendir(folder);
    cr_assert(dir != NULL, "%s", folder);
    for (struct dirent *e; (e = readdir(dir)) != NULL;) {
        if (e->d_type == DT_DIR || strncmp(e->d_name, "LICENSE", 7) == 0)
            continue;
        struct fixture f;
        fixture_open(&f);
        struct source s = must_read(
            &f.arena, arena_printf(&f.arena, "%s/%s", folder, e->d_name));
        fixture_write_text(&f, "scenario.yaml", FIXTURE_SMALL);
        fixture_write_text(&f, "curve.csv", FIXTURE_CURVE);
        fixture_write(&f, as, s.text, s.len);
        clock_t start = clock();
        fixture_load(&f);
        double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
        cr_expect(lt(dbl, seconds, MOST_SECONDS), "%s", s.file);
        cr_expect(eq(int, (int)f.status, ST_INPUT), "%s", s.file);
        cr_expect(lt(sz, 0, f.diag.n_errors), "%s", s.file);
        for (size_t i = 0; i < f.diag.n; i++)
            cr_expect(lt(int, 0, f.diag.item[i].at.line), "%s: %s", s.file,
                      f.diag.item[i].what);
        fixture_close(&f);
        n++;
    }
    closedir(dir);
    return n;
}

Test(corpus, no_yaml_of_others_is_a_scenario, .timeout = 30)
{
    static const struct {
        const char *folder;
        int least;
    } ROWS[] = {
        {CORPUS "yaml-test-suite/invalid", 94},
        {CORPUS "yaml-test-suite/valid", 308},
        {CORPUS "pyyaml-errors", 88},
        {CORPUS "libyaml-regression", 1},
        {CORPUS "json-test-suite", 223},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        cr_expect(ge(int, refuse_folder(ROWS[i].folder, "scenario.yaml"),
                     ROWS[i].least));
}

Test(corpus, no_fuzzed_csv_is_a_table_of_ours, .timeout = 30)
{
    static const char *const AS[] = {"tests.csv", "readings.csv", "curve.csv"};
    for (size_t i = 0; i < 3; i++)
        cr_expect(ge(int, refuse_folder(CORPUS "go-fuzz-csv", AS[i]), 259));
}

/* A YAML key in single quotes. */
static char *quoted_key(struct arena *a, const char *name)
{
    char *key = arena_new(a, 2 * strlen(name) + 3, 1), *to = key;
    *to++ = '\'';
    for (const char *c = name; *c != '\0'; c++) {
        *to++ = *c;
        if (*c == '\'')
            *to++ = '\'';
    }
    *to = '\'';
    return key;
}

Test(corpus, a_naughty_string_is_a_well_or_a_located_error, .timeout = 30)
{
    struct arena a;
    arena_init(&a);
    struct source s = must_read(&a, CORPUS "blns/blns.txt");
    int n_wells = 0, n_refused = 0;
    char *rest = NULL;
    char *text = arena_text(&a, s.text, s.len);
    for (char *line = strtok_r(text, "\n", &rest); line != NULL;
         line = strtok_r(NULL, "\n", &rest)) {
        struct fixture f;
        fixture_open(&f);
        fixture_write_text(&f, "curve.csv", FIXTURE_CURVE);
        fixture_write_text(
            &f, "scenario.yaml",
            arena_printf(&a,
                         "format: 1\n"
                         "field: {name: N, date: 2026-11-25}\n"
                         "manifolds: {M: {}}\n"
                         "wells:\n"
                         "  %s: {manifold: M, curve: curve.csv}\n",
                         quoted_key(&a, line)));
        fixture_load(&f);
        if (f.status == ST_OK) {
            n_wells++;
            cr_expect(strcmp(f.field->well[0].name, line) == 0, "%s", line);
            cr_expect(name_fault(line, strlen(line)) == NULL, "%s", line);
        } else {
            n_refused++;
            cr_expect(f.status == ST_INPUT && f.diag.n_errors > 0, "%s", line);
        }
        fixture_close(&f);
    }
    cr_assert(lt(int, 300, n_wells));
    cr_assert(lt(int, 50, n_refused));
    arena_release(&a);
}
