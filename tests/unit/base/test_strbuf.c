#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "base/strbuf.h"

#include <stdio.h>
#include <string.h>

#include "support/text.h"

Test(strbuf, text_grows_and_stays_closed, .timeout = 5)
{
    struct arena a;
    struct strbuf b;
    arena_init(&a);
    strbuf_init(&b, &a);
    cr_assert(text_is(b.text, ""));

    strbuf_add(&b, "gas ");
    strbuf_add_n(&b, "liftx", 4);
    strbuf_addf(&b, " %d %s", 5, "MMscf/d");
    strbuf_pad(&b, '.', 3);
    strbuf_pad(&b, '.', 0);
    strbuf_pad(&b, '.', -4);
    cr_assert(text_is(b.text, "gas lift 5 MMscf/d..."));
    cr_assert(eq(sz, b.len, strlen("gas lift 5 MMscf/d...")));
    arena_release(&a);
}

Test(strbuf, a_long_text_keeps_every_byte, .timeout = 5)
{
    struct arena a;
    struct strbuf b;
    arena_init(&a);
    strbuf_init(&b, &a);
    for (int i = 0; i < 5000; i++)
        strbuf_addf(&b, "%04d", i);
    strbuf_pad(&b, 'z', 9000);

    cr_assert(eq(sz, b.len, 29000));
    cr_assert(eq(sz, strlen(b.text), 29000));
    for (int i = 0; i < 5000; i++) {
        char want[16];
        snprintf(want, sizeof want, "%04d", i);
        if (memcmp(b.text + 4 * i, want, 4) != 0)
            cr_fatal("group %d is damaged", i);
    }
    arena_release(&a);
}
