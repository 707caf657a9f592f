#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/err.h"

#include <string.h>

#include "support/text.h"

Test(err, a_failure_carries_its_sentence_and_its_status, .timeout = 5)
{
    struct err err = {0};
    enum status st = err_set(&err, ST_RANGE, "rate %.1f is above %d", 2.5, 2);

    cr_assert(eq(int, (int)st, (int)ST_RANGE));
    cr_assert(text_is(err.msg, "rate 2.5 is above 2"));
}

Test(err, a_sentence_that_is_too_long_is_cut_and_closed, .timeout = 5)
{
    struct err err;
    memset(&err, 'x', sizeof err);
    (void)err_set(&err, ST_IO, "%02000d", 7);

    cr_assert(eq(sz, strlen(err.msg), sizeof err.msg - 1));
}

Test(err, exit_states_are_those_that_the_manual_promises, .timeout = 5)
{
    static const struct {
        enum status st;
        int want;
    } ROWS[] = {
        {ST_OK, 0},     {ST_USAGE, 2},    {ST_INPUT, 3},   {ST_IO, 6},
        {ST_RANGE, 70}, {ST_NUMERIC, 70}, {ST_SOLVER, 70}, {ST_MEMORY, 70},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        cr_expect(eq(int, status_exit_state(ROWS[i].st), ROWS[i].want),
                  "row %zu", i);
    cr_assert(text_is(status_text(ST_INPUT), "the scenario is wrong"));
}
