#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include <string.h>

#include "scenario/names.h"
#include "support/text.h"

Test(names, what_can_be_shown_and_typed_is_a_name, .timeout = 30)
{
    static const char *const GOOD[] = {
        "A-1",
        "x",
        "Br\xc3\xb8nn 7",
        "NO",
        "=1+1",
        "../../x",
        "<b>",
        "0123456789012345678901234567890123456789012345678901234567890123",
    };
    for (size_t i = 0; i < sizeof GOOD / sizeof GOOD[0]; i++)
        cr_expect(name_fault(GOOD[i], strlen(GOOD[i])) == NULL, "%s", GOOD[i]);
}

Test(names, what_hides_or_misleads_is_none, .timeout = 30)
{
    static const struct {
        const char *name, *want;
    } ROWS[] = {
        {"", "empty"},
        {"0123456789012345678901234567890123456789012345678901234567890"
         "1234",
         "64 bytes"},
        {"A\n1", "control character"},
        {"A\x1b[1m", "control character"},
        {"A\xe2\x80\xae"
         "1",
         "invisible"},
        {"A\xe2\x80\x8b"
         "1",
         "invisible"},
        {"\xef\xbb\xbf"
         "A",
         "invisible"},
        {" A", "blank"},
        {"A ", "blank"},
        {"A\xc2\xa0", "blank"},
        {"\xe2\x80\x9c"
         "A\xe2\x80\x9d",
         "typographic"},
        {"A\xe9", "UTF-8"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        const char *fault = name_fault(ROWS[i].name, strlen(ROWS[i].name));
        cr_expect(fault != NULL && strstr(fault, ROWS[i].want) != NULL,
                  "row %zu", i);
    }
}

Test(names, the_distance_counts_single_slips, .timeout = 30)
{
    static const struct {
        const char *a, *b;
        size_t want;
    } ROWS[] = {
        {"", "", 0},
        {"gas", "gas", 0},
        {"gas", "Gas", 0},
        {"gas", "gsa", 1},
        {"gas", "gass", 1},
        {"gas", "gs", 1},
        {"gas", "gap", 1},
        {"", "oil", 3},
        /* Wagner & Fischer's kind of example, counted by hand. */
        {"kitten", "sitting", 3},
        {"reservoir_presure", "reservoir_pressure", 1},
        {"ab", "ba", 1},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        cr_expect(eq(sz, name_distance(ROWS[i].a, ROWS[i].b), ROWS[i].want),
                  "row %zu", i);
        cr_expect(eq(sz, name_distance(ROWS[i].b, ROWS[i].a), ROWS[i].want),
                  "row %zu", i);
    }
}

Test(names, a_text_beyond_all_names_is_far, .timeout = 30)
{
    char text[1001];
    memset(text, 'a', 1000);
    text[1000] = '\0';
    cr_assert(eq(sz, name_distance(text, "a"), NAME_MOST_BYTES));
}

Test(names, a_name_is_found_and_the_nearest_offered, .timeout = 30)
{
    struct name_entry entry[] = {
        {"W-3", 0}, {"W-1", 1}, {"north", 2}, {"W-1", 3}, {"a", 4}};
    struct names names = names_build(entry, 5);
    cr_assert(eq(sz, names_find(&names, "W-3"), 0));
    cr_assert(eq(sz, names_find(&names, "W-1"), 1));
    cr_assert(eq(sz, names_find(&names, "a"), 4));
    cr_assert(eq(sz, names_find(&names, "w-1"), NAMES_NONE));
    cr_assert(eq(sz, names_find(&names, "z"), NAMES_NONE));
    cr_assert(eq(sz, names_find(&names, ""), NAMES_NONE));
    cr_assert(text_is(names_nearest(&names, "w-1"), "W-1"));
    cr_assert(text_is(names_nearest(&names, "nroth"), "north"));
    cr_assert(names_nearest(&names, "ZZ-99") == NULL);

    struct names none = names_build(NULL, 0);
    cr_assert(eq(sz, names_find(&none, "a"), NAMES_NONE));
    cr_assert(names_nearest(&none, "a") == NULL);
}
