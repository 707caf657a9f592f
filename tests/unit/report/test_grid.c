#include "report/grid.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "support/text.h"

TestSuite(grid, .timeout = 10);

static const struct grid_column COLUMNS[] = {
    {{"well"}, false}, {{"oil", "stb/d"}, true}, {{"why"}, false}};

static struct grid two_rows(struct arena *a, const char *name)
{
    struct grid g;
    grid_init(&g, a, COLUMNS, 3);
    const char **cell = grid_row(&g);
    cell[0] = name;
    cell[1] = "5";
    cell[2] = "because of the gas that it frees for the others";
    cell = grid_row(&g);
    cell[0] = "B";
    cell[1] = "1200";
    return g;
}

static char *written(struct arena *a, const struct grid *g, int width)
{
    struct strbuf out;
    strbuf_init(&out, a);
    grid_write(g, 0, width, &out);
    return out.text;
}

Test(grid, columns_are_as_wide_as_their_widest_cell)
{
    struct arena a;
    arena_init(&a);
    struct grid g = two_rows(&a, "A");
    cr_assert(text_is(written(&a, &g, 80),
                      "well    oil  why\n"
                      "      stb/d\n"
                      "----  -----  "
                      "-----------------------------------------------\n"
                      "A         5  because of the gas that it frees for the "
                      "others\n"
                      "B      1200\n"));
    arena_release(&a);
}

Test(grid, running_text_wraps_beside_the_row_where_there_is_room)
{
    struct arena a;
    arena_init(&a);
    struct grid g = two_rows(&a, "A");
    cr_assert(text_is(written(&a, &g, 54),
                      "well    oil  why\n"
                      "      stb/d\n"
                      "----  -----  -----------------------------------------\n"
                      "A         5  because of the gas that it frees for the\n"
                      "             others\n"
                      "B      1200\n"));
    arena_release(&a);
}

Test(grid, running_text_goes_below_the_row_where_there_is_none)
{
    struct arena a;
    arena_init(&a);
    struct grid g = two_rows(&a, "A");
    cr_assert(text_is(written(&a, &g, 40),
                      "well    oil\n"
                      "      stb/d\n"
                      "----  -----\n"
                      "A         5\n"
                      "    because of the gas that it frees for\n"
                      "    the others\n"
                      "B      1200\n"));
    arena_release(&a);
}

Test(grid, a_long_name_is_whole_and_moves_no_column)
{
    struct arena a;
    arena_init(&a);
    struct grid g = two_rows(&a, "Northern Satellite 12 sidetrack");
    cr_assert(text_is(written(&a, &g, 66),
                      "well                        oil\n"
                      "                          stb/d\n"
                      "------------------------  -----\n"
                      "Northern Satellite 12 sidetrack\n"
                      "                              5\n"
                      "    because of the gas that it frees for the others\n"
                      "B                          1200\n"));
    arena_release(&a);
}

Test(grid, no_rows_no_table)
{
    struct arena a;
    arena_init(&a);
    struct grid g;
    grid_init(&g, &a, COLUMNS, 3);
    cr_assert(text_is(written(&a, &g, 80), ""));
    arena_release(&a);
}

Test(grid, text_behind_numbers_alone_is_a_note_and_no_name)
{
    static const struct grid_column NUMBER_FIRST[] = {{{"oil"}, true},
                                                      {{"what"}, false}};
    struct arena a;
    arena_init(&a);
    struct grid g;
    grid_init(&g, &a, NUMBER_FIRST, 2);
    const char **cell = grid_row(&g);
    cell[0] = "5";
    cell[1] = "with more pressure in the header";
    cr_assert(text_is(written(&a, &g, 80),
                      "oil  what\n"
                      "---  --------------------------------\n"
                      "  5  with more pressure in the header\n"));
    arena_release(&a);
}
