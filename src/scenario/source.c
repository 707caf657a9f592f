#include "scenario/source.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/arena.h"
#include "base/diag.h"
#include "base/utf8.h"

static enum status fail(struct err *err, const char *path, const char *why)
{
    return err_set(err, ST_IO, "cannot read %s: %s", path, why);
}

static enum status read_all(int fd, const char *path, struct arena *a,
                            struct source *out, struct err *err)
{
    struct stat info;
    if (fstat(fd, &info) != 0)
        return fail(err, path, strerror(errno));
    if (!S_ISREG(info.st_mode))
        return fail(err, path, "it is no regular file");
    if (info.st_size > (off_t)SOURCE_MOST_BYTES)
        return fail(err, path, "it is larger than 64 MiB");

    size_t size = (size_t)info.st_size, len = 0;
    char *text = ARENA_NEW(a, size + 1, char);
    while (len < size) {
        ssize_t got = read(fd, text + len, size - len);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return fail(err, path, strerror(errno));
        if (got == 0)
            break; /* shortened since fstat */
        len += (size_t)got;
    }
    text[len] = '\0';
    *out = (struct source){arena_text(a, path, strlen(path)), text, len};
    return ST_OK;
}

enum status source_read(const char *path, struct arena *a, struct source *out,
                        struct err *err)
{
    /* O_NONBLOCK: a named pipe in the folder must not hang the program. */
    int fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (fd < 0)
        return fail(err, path, strerror(errno));
    enum status st = read_all(fd, path, a, out, err);
    close(fd);
    return st;
}

static bool starts_with(const struct source *s, const char *bytes)
{
    return s->len >= strlen(bytes) &&
           memcmp(s->text, bytes, strlen(bytes)) == 0;
}

/* What is wrong with the character at the start of text, or NULL. *n is its
 * length in bytes. */
static const char *fault_of(const char *text, size_t len, size_t *n)
{
    uint32_t code = 0;
    *n = utf8_read(text, len, &code);
    if (*n == 0)
        return "this byte is not UTF-8";
    if (code == 0)
        return "zero byte in a text file";
    bool is_plain = code == '\t' || code == '\n' || code == '\r';
    bool is_control = code < 0x20 || (code >= 0x7f && code < 0xa0);
    /* Line breaks to a YAML reader, none to an editor: line numbers would
     * part. */
    bool is_odd_break = code == 0x2028 || code == 0x2029;
    if ((is_control && !is_plain) || is_odd_break)
        return "control character in a text file";
    return NULL;
}

bool source_check(struct source *s, struct diag *d)
{
    struct place at = {s->file, 1, 1};
    if (starts_with(s, "\xff\xfe") || starts_with(s, "\xfe\xff")) {
        diag_add(d, DIAG_ERROR, at, NULL, "save it as UTF-8",
                 "this is a UTF-16 file");
        return false;
    }
    if (starts_with(s, "\xef\xbb\xbf")) {
        s->text += 3;
        s->len -= 3;
    }
    for (size_t i = 0, n; i < s->len; i += n) {
        char c = s->text[i];
        const char *fault = fault_of(s->text + i, s->len - i, &n);
        if (fault != NULL) {
            diag_add(d, DIAG_ERROR, at, NULL, "save the file as UTF-8 text",
                     "%s", fault);
            return false;
        }
        bool ends_line = c == '\n' || (c == '\r' && s->text[i + 1] != '\n');
        at.line += ends_line;
        at.column = ends_line ? 1 : at.column + 1;
    }
    return true;
}
