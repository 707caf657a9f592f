/* A scenario folder made of texts, loaded. */
#ifndef FIXTURE_H
#define FIXTURE_H

#include "base/arena.h"
#include "base/diag.h"
#include "base/err.h"
#include "field/field.h"

struct fixture {
    struct arena arena;
    struct diag diag;
    char folder[64];
    enum status status;
    struct err err;
    struct field *field; /* NULL unless status is ST_OK */
};

/* A new folder under /tmp. */
void fixture_open(struct fixture *f);
void fixture_write(const struct fixture *f, const char *name, const void *bytes,
                   size_t len);
void fixture_write_text(const struct fixture *f, const char *name,
                        const char *text);
void fixture_load(struct fixture *f);
void fixture_close(struct fixture *f);

/* Open, write scenario.yaml, load. */
void fixture_load_yaml(struct fixture *f, const char *yaml);
/* The same with the small good scenario below and one of the tables. */
void fixture_load_table(struct fixture *f, const char *name, const char *csv);

/* All messages, without the folder. */
const char *fixture_messages(struct fixture *f);

/* Two wells with measured curves, A-1 and A-2; needs curve.csv. */
extern const char FIXTURE_SMALL[];
extern const char FIXTURE_CURVE[];
/* One well with a model, W-1, and every section. */
extern const char FIXTURE_FULL[];

/* text with the first `from` in it exchanged for `to`; asserts that it is
 * there. In the fixture's arena if it is open. */
char *fixture_exchange(struct arena *a, const char *text, const char *from,
                       const char *to);

#endif
