#include "scenario/names.h"

#include <ctype.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/utf8.h"

static bool is_typographic_quote(uint32_t code)
{
    return code >= 0x2018 && code <= 0x201f;
}

static bool is_blank(uint32_t code)
{
    return code == ' ' || code == 0xa0 || (code >= 0x2000 && code <= 0x200a) ||
           code == 0x202f || code == 0x205f || code == 0x3000;
}

const char *name_fault(const char *name, size_t len)
{
    if (len == 0)
        return "is empty";
    if (len > NAME_MOST_BYTES)
        return "is longer than 64 bytes";
    for (size_t i = 0; i < len;) {
        uint32_t code = 0;
        size_t n = utf8_read(name + i, len - i, &code);
        if (n == 0)
            return "is not UTF-8";
        bool at_end = i == 0 || i + n == len;
        if (code < 0x20 || code == 0x7f)
            return "holds a control character or a line break";
        if (utf8_is_invisible(code))
            return "holds an invisible character";
        if (at_end && is_blank(code))
            return "starts or ends with a blank";
        if (at_end && is_typographic_quote(code))
            return "stands in typographic quotes";
        i += n;
    }
    return NULL;
}

static bool is_same_letter(char a, char b)
{
    return tolower((unsigned char)a) == tolower((unsigned char)b);
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Wagner & Fischer (1974) with swaps of neighbours, three rows at a time. */
size_t name_distance(const char *a, const char *b)
{
    size_t row[3][NAME_MOST_BYTES + 1];
    size_t *before = row[0], *above = row[1], *here = row[2];
    size_t n_a = strlen(a), n_b = strlen(b);
    if (n_a > NAME_MOST_BYTES || n_b > NAME_MOST_BYTES)
        return NAME_MOST_BYTES;
    for (size_t j = 0; j <= n_b; j++)
        above[j] = j;
    for (size_t i = 1; i <= n_a; i++) {
        here[0] = i;
        for (size_t j = 1; j <= n_b; j++) {
            size_t change = is_same_letter(a[i - 1], b[j - 1]) ? 0 : 1;
            here[j] =
                least(above[j - 1] + change, least(above[j], here[j - 1]) + 1);
            if (i > 1 && j > 1 && is_same_letter(a[i - 1], b[j - 2]) &&
                is_same_letter(a[i - 2], b[j - 1]))
                here[j] = least(here[j], before[j - 2] + 1);
        }
        size_t *spare = before;
        before = above;
        above = here;
        here = spare;
    }
    return above[n_b];
}

bool name_is_near(const char *written, size_t distance)
{
    /* One slip in a short word, more in a long one. */
    return distance <= 1 + strlen(written) / 4;
}

static int by_name(const void *a, const void *b)
{
    const struct name_entry *x = a, *y = b;
    int order = strcmp(x->name, y->name);
    return order != 0 ? order : (x->index > y->index) - (x->index < y->index);
}

struct names names_build(struct name_entry *entry, size_t n)
{
    if (n > 0)
        qsort(entry, n, sizeof *entry, by_name);
    return (struct names){n, entry};
}

size_t names_find(const struct names *names, const char *name)
{
    size_t low = 0, high = names->n;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(names->entry[middle].name, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    bool found = low < names->n && strcmp(names->entry[low].name, name) == 0;
    return found ? names->entry[low].index : NAMES_NONE;
}

const char *names_nearest(const struct names *names, const char *name)
{
    const char *nearest = NULL;
    size_t least_distance = (size_t)-1;
    for (size_t i = 0; i < names->n; i++) {
        size_t distance = name_distance(name, names->entry[i].name);
        if (distance < least_distance) {
            least_distance = distance;
            nearest = names->entry[i].name;
        }
    }
    return nearest != NULL && name_is_near(name, least_distance) ? nearest
                                                                 : NULL;
}
