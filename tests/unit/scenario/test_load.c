#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "fixture.h"

#include "support/text.h"

Test(load, a_whole_scenario_and_its_tests_are_read, .timeout = 5)
{
    struct fixture f;
    fixture_load_yaml(&f, FIXTURE_FULL);
    cr_expect(text_is(fixture_messages(&f), ""));
    fixture_close(&f);
    fixture_load_table(&f, "tests.csv",
                       "well,date,liquid (stb/d)\nA-1,2026-01-01,100\n");
    cr_expect(text_is(fixture_messages(&f), ""));
    fixture_close(&f);
}
