#include "support/text.h"

#include <stdio.h>
#include <string.h>

bool text_is(const char *got, const char *want)
{
    if (strcmp(got, want) == 0)
        return true;
    fprintf(stderr, "got:\n%s\nwant:\n%s\n", got, want);
    return false;
}

bool text_has(const char *got, const char *part)
{
    if (strstr(got, part) != NULL)
        return true;
    fprintf(stderr, "got:\n%s\nwithout:\n%s\n", got, part);
    return false;
}
