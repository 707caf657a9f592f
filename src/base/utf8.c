/* RFC 3629. */
#include "base/utf8.h"

static size_t length_from_lead(unsigned char lead)
{
    if (lead < 0x80)
        return 1;
    if (lead >= 0xc2 && lead <= 0xdf)
        return 2;
    if (lead >= 0xe0 && lead <= 0xef)
        return 3;
    if (lead >= 0xf0 && lead <= 0xf4)
        return 4;
    return 0;
}

size_t utf8_read(const char *text, size_t len, uint32_t *code)
{
    if (len == 0)
        return 0;
    unsigned char lead = (unsigned char)text[0];
    size_t n = length_from_lead(lead);
    if (n == 0 || n > len)
        return 0;
    uint32_t c = n == 1 ? lead : lead & (0xffu >> (n + 1));
    for (size_t i = 1; i < n; i++) {
        unsigned char byte = (unsigned char)text[i];
        if ((byte & 0xc0) != 0x80)
            return 0;
        c = c << 6 | (byte & 0x3fu);
    }
    bool is_overlong = (n == 3 && c < 0x800) || (n == 4 && c < 0x10000);
    bool is_surrogate = c >= 0xd800 && c <= 0xdfff;
    if (is_overlong || is_surrogate || c > 0x10ffff)
        return 0;
    *code = c;
    return n;
}

bool utf8_is_invisible(uint32_t c)
{
    static const struct {
        uint32_t first, last;
    } RANGES[] = {
        {0x00, 0x1f},     {0x7f, 0x9f},       {0xad, 0xad},
        {0x61c, 0x61c},   {0x180e, 0x180e},   {0x200b, 0x200f},
        {0x2028, 0x202e}, {0x2060, 0x206f},   {0xfeff, 0xfeff},
        {0xfff9, 0xfffb}, {0xe0000, 0xe007f},
    };
    for (size_t i = 0; i < sizeof RANGES / sizeof RANGES[0]; i++)
        if (c >= RANGES[i].first && c <= RANGES[i].last)
            return true;
    return false;
}

size_t utf8_count(const char *text, size_t len)
{
    size_t count = 0;
    for (size_t i = 0; i < len; count++) {
        uint32_t code;
        size_t n = utf8_read(text + i, len - i, &code);
        i += n > 0 ? n : 1;
    }
    return count;
}
