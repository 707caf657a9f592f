#include "scenario/form.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/arena.h"
#include "base/strbuf.h"
#include "scenario/names.h"
#include "scenario/schema.h"
#include "scenario/value.h"

struct checker {
    const struct unit_frame *frame;
    struct diag *d;
};

/* --- readers -------------------------------------------------------------- */

static const char *last_key(const char *path)
{
    const char *point = strrchr(path, '.');
    return point != NULL ? point + 1 : path;
}

const struct ynode *form_node(const struct ynode *map, const char *path)
{
    return ytree_child(map, last_key(path));
}

double form_value(const struct ynode *map, const char *path,
                  const struct unit_frame *frame)
{
    const struct ynode *node = form_node(map, path);
    if (node != NULL)
        return node->value;
    const struct schema_row *row = schema_key(path);
    assert(row != NULL);
    return value_fallback(row, frame);
}

int form_index(const struct ynode *map, const char *path,
               const struct unit_frame *frame)
{
    double value = form_value(map, path, frame);
    return isnan(value) ? 0 : (int)value;
}

/* --- the frame, before any other value ------------------------------------ */

/* One quantity of the frame. Its faults are dropped here: form_check meets
 * them again. */
static double frame_value(const struct ynode *map, const char *path,
                          const struct unit_frame *frame, struct diag *d)
{
    const struct schema_row *row = schema_key(path);
    const struct ynode *node = form_node(map, path);
    if (node == NULL || node->kind != YNODE_TEXT)
        return value_fallback(row, frame);
    struct diag unseen;
    diag_init(&unseen, d->arena);
    double value = value_read(
        &(struct value_text){.row = row, .text = node->text, .at = node->at},
        frame, &unseen);
    const struct unit *unit = value_unit(row->dim, node->text);
    if (!isnan(value) && unit != NULL && value_is_gauge(unit))
        diag_add(d, DIAG_ERROR, node->at, ytree_path(node, d->arena),
                 "write it in psia, bara, kPaa, MPaa or Pa",
                 "%s is a gauge pressure, and this one must be absolute",
                 diag_quote(d, node->text));
    return isnan(value) ? value_fallback(row, frame) : value;
}

struct unit_frame form_frame(const struct ynode *root, struct diag *d)
{
    struct unit_frame plain = unit_frame_default();
    const struct ynode *field = form_node(root, "field");
    const struct ynode *base = form_node(field, "field.gas_base");
    return (struct unit_frame){
        .p_atm_pa = frame_value(field, "field.atmosphere", &plain, d),
        .p_base_pa = frame_value(base, "field.gas_base.pressure", &plain, d),
        .t_base_k = frame_value(base, "field.gas_base.temperature", &plain, d),
    };
}

/* --- checking ------------------------------------------------------------- */

static const struct schema_row *find_below(const struct schema_row *parent,
                                           const char *key)
{
    const struct schema_row *row = NULL;
    while ((row = schema_below(parent, row)) != NULL)
        if (strcmp(schema_last_key(row), key) == 0)
            return row;
    return NULL;
}

static const char *advice_for_unknown(const struct checker *c,
                                      const struct schema_row *parent,
                                      const char *key)
{
    const char *nearest = NULL;
    size_t least = (size_t)-1;
    struct strbuf all;
    strbuf_init(&all, c->d->arena);
    const struct schema_row *row = NULL;
    while ((row = schema_below(parent, row)) != NULL) {
        const char *known = schema_last_key(row);
        size_t distance = name_distance(key, known);
        if (distance < least) {
            least = distance;
            nearest = known;
        }
        strbuf_addf(&all, "%s%s", all.len > 0 ? ", " : "", known);
    }
    if (nearest != NULL && name_is_near(key, least))
        return arena_printf(c->d->arena, "did you mean %s?", nearest);
    return arena_printf(c->d->arena, "the keys here are: %s", all.text);
}

static void report_unknown(const struct checker *c, const struct ynode *node,
                           const struct schema_row *parent)
{
    diag_add(c->d, DIAG_ERROR, node->key_at,
             node->up->up != NULL ? ytree_path(node->up, c->d->arena) : NULL,
             advice_for_unknown(c, parent, node->key), "unknown key %s",
             diag_quote(c->d, node->key));
}

static void report_missing(const struct checker *c, const struct ynode *map,
                           const struct schema_row *row)
{
    struct place at = map->key != NULL ? map->key_at : map->at;
    const char *path = ytree_path(map, c->d->arena);
    diag_add(c->d, DIAG_ERROR, at, path[0] != '\0' ? path : NULL, "add it",
             "key %s is missing (%.*s)", schema_last_key(row),
             (int)strlen(row->help) - 1, row->help);
}

/* True when the node is of that kind; else one error. */
static bool is_kind(const struct checker *c, const struct ynode *node,
                    enum ynode_kind kind)
{
    static const char *const WANTED[] = {
        [YNODE_TEXT] = "a value is expected here",
        [YNODE_LIST] = "a list is expected here",
        [YNODE_MAP] = "keys and their values are expected here",
    };
    static const char *const FOUND[] = {
        [YNODE_TEXT] = "a text",
        [YNODE_LIST] = "a list",
        [YNODE_MAP] = "keys",
    };
    if (node->kind == kind)
        return true;
    bool lost_blank = kind == YNODE_MAP && node->kind == YNODE_TEXT &&
                      strchr(node->text, ':') != NULL;
    const char *path = ytree_path(node, c->d->arena);
    diag_add(c->d, DIAG_ERROR, node->at, path[0] != '\0' ? path : NULL,
             lost_blank ? "put a space after the colon" : NULL, "%s, not %s",
             WANTED[kind],
             node->kind == YNODE_TEXT && node->len == 0 ? "nothing"
                                                        : FOUND[node->kind]);
    return false;
}

static void check_node(const struct checker *c, struct ynode *node,
                       const struct schema_row *row);

/* A map whose keys are the rows below parent. */
static void check_map(const struct checker *c, struct ynode *map,
                      const struct schema_row *parent)
{
    if (!is_kind(c, map, YNODE_MAP))
        return;
    for (struct ynode *child = map->first; child; child = child->next) {
        const struct schema_row *row = find_below(parent, child->key);
        if (row == NULL)
            report_unknown(c, child, parent);
        else
            check_node(c, child, row);
    }
    bool has_curve =
        ytree_child(map, "curve") != NULL || ytree_child(map, "output") != NULL;
    const struct schema_row *row = NULL;
    while ((row = schema_below(parent, row)) != NULL) {
        bool is_needed = row->need == SCHEMA_REQUIRED ||
                         (row->need == SCHEMA_FOR_MODEL && !has_curve);
        if (is_needed && ytree_child(map, schema_last_key(row)) == NULL)
            report_missing(c, map, row);
    }
}

static void check_named(const struct checker *c, struct ynode *map,
                        const struct schema_row *row)
{
    if (!is_kind(c, map, YNODE_MAP))
        return;
    for (struct ynode *child = map->first; child; child = child->next) {
        const char *fault = name_fault(child->key, strlen(child->key));
        if (fault != NULL)
            diag_add(c->d, DIAG_ERROR, child->key_at, row->path,
                     "write 1 to 64 plain characters", "the name %s %s",
                     diag_quote(c->d, child->key), fault);
        check_map(c, child, row);
    }
}

static void check_list(const struct checker *c, struct ynode *list,
                       const struct schema_row *row)
{
    if (!is_kind(c, list, YNODE_LIST))
        return;
    for (struct ynode *child = list->first; child; child = child->next)
        check_map(c, child, row);
}

static void check_text(const struct checker *c, struct ynode *node,
                       const struct schema_row *row)
{
    if (!is_kind(c, node, YNODE_TEXT))
        return;
    /* The path is only kept where a message shows it. */
    struct arena_mark mark = arena_mark(c->d->arena);
    size_t n_before = c->d->n;
    node->value = value_read(
        &(struct value_text){
            .row = row,
            .text = node->text,
            .at = node->at,
            .path = ytree_path(node, c->d->arena),
        },
        c->frame, c->d);
    if (c->d->n == n_before)
        arena_rewind(c->d->arena, mark);
}

static void check_node(const struct checker *c, struct ynode *node,
                       const struct schema_row *row)
{
    switch (row->kind) {
    case SCHEMA_MAP:
        check_map(c, node, row);
        break;
    case SCHEMA_NAMED:
        check_named(c, node, row);
        break;
    case SCHEMA_LIST:
        check_list(c, node, row);
        break;
    case SCHEMA_QUANTITY:
    case SCHEMA_COUNT:
    case SCHEMA_CHOICE:
    case SCHEMA_FLAG:
    case SCHEMA_DATE:
    case SCHEMA_CLOCK:
    case SCHEMA_MOMENT:
    case SCHEMA_NAME:
    case SCHEMA_TEXT:
    case SCHEMA_FILE:
        check_text(c, node, row);
        break;
    }
}

void form_check(struct ynode *root, const struct schema_row *row,
                const struct unit_frame *frame, struct diag *d)
{
    check_map(&(struct checker){frame, d}, root, row);
}
