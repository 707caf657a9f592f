/* A file gets a name of its own first, is brought to the disk and renamed: a
 * reader sees the old one or the new one, never half of one. */
#include "output.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/arena.h"
#include "base/numtext.h"
#include "base/strbuf.h"

#define MODE_FILE 0666
#define MODE_FOLDER 0777

static double asked_width(void)
{
    const char *columns = getenv("COLUMNS");
    double width = 0;
    struct winsize size;
    if (columns != NULL &&
        numtext_read_all(columns, strlen(columns), &width) == NUMTEXT_OK)
        return width;
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 &&
        size.ws_col > 0)
        return size.ws_col;
    return REPORT_WIDTH_FILE;
}

int output_width(void)
{
    double width = asked_width();
    if (!(width >= REPORT_WIDTH_LEAST))
        return REPORT_WIDTH_LEAST;
    return width <= REPORT_WIDTH_MOST ? (int)width : REPORT_WIDTH_MOST;
}

static bool write_all(int fd, const char *text, size_t len)
{
    while (len > 0) {
        ssize_t n = write(fd, text, len);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return false;
        text += n;
        len -= (size_t)n;
    }
    return true;
}

/* errno says why when false. */
static bool write_and_sync(const char *path, const struct strbuf *text)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, MODE_FILE);
    if (fd < 0)
        return false;
    bool is_good = write_all(fd, text->text, text->len) && fsync(fd) == 0;
    int why = errno;
    is_good = close(fd) == 0 && is_good;
    if (!is_good)
        errno = why;
    return is_good;
}

/* The new name of a file is on the disk only when its folder is. */
static bool sync_folder(const char *folder)
{
    int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0)
        return false;
    bool is_good = fsync(fd) == 0;
    close(fd);
    return is_good;
}

static enum status write_file(const char *folder, const char *name,
                              const struct strbuf *text, struct err *err)
{
    struct arena *a = text->arena;
    const char *path = arena_printf(a, "%s/%s", folder, name);
    const char *own =
        arena_printf(a, "%s/.%s.%ld", folder, name, (long)getpid());
    if (write_and_sync(own, text) && rename(own, path) == 0)
        return ST_OK;
    enum status st =
        err_set(err, ST_IO, "%s cannot be written: %s", path, strerror(errno));
    unlink(own);
    return st;
}

static enum status write_files(const struct options *o, const struct report *r,
                               const char *stem, output_writer *write,
                               const void *facts, struct err *err)
{
    struct arena *a = r->show.arena;
    if (mkdir(o->out, MODE_FOLDER) != 0 && errno != EEXIST)
        return err_set(err, ST_IO, "the folder %s cannot be made: %s", o->out,
                       strerror(errno));
    for (int f = 0; f < REPORT_FORMATS; f++) {
        enum report_format format = (enum report_format)f;
        struct strbuf text;
        strbuf_init(&text, a);
        write(r, facts, format, &text);
        const char *name =
            arena_printf(a, "%s.%s", stem, report_format_ending(format));
        enum status st = write_file(o->out, name, &text, err);
        if (st != ST_OK)
            return st;
        if (!o->quiet)
            fprintf(stderr, "written: %s/%s\n", o->out, name);
    }
    return sync_folder(o->out)
               ? ST_OK
               : err_set(err, ST_IO, "the folder %s cannot be written: %s",
                         o->out, strerror(errno));
}

enum status output_result(const struct options *o, const struct report *r,
                          const char *stem, output_writer *write,
                          const void *facts, struct err *err)
{
    if (o->out != NULL) {
        struct report file = *r;
        file.width = REPORT_WIDTH_FILE;
        enum status st = write_files(o, &file, stem, write, facts, err);
        if (st != ST_OK)
            return st;
    }
    struct strbuf text;
    strbuf_init(&text, r->show.arena);
    write(r, facts, o->format, &text);
    fwrite(text.text, 1, text.len, stdout);
    return ST_OK;
}

enum status output_close(struct err *err)
{
    bool has_failed = ferror(stdout) != 0;
    if (fclose(stdout) != 0 || has_failed)
        return err_set(err, ST_IO, "standard output could not be written: %s",
                       strerror(errno));
    return ST_OK;
}
