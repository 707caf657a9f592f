/* Manifolds, pads, separators and routes, and the wells in them. */
#include <math.h>
#include <stdint.h>

#include "base/arena.h"
#include "load_parts.h"
#include "scenario/schema.h"

/* The key of a well; the section is its plural. */
static const char *const WORDS[N_GROUP_KINDS] = {
#define WORD(name, word) word,
    GROUP_LIST(WORD)
#undef WORD
};

/* INFINITY for a limit not given, or that groups of the kind do not have. */
static double read_cap(const struct loader *l, const struct ynode *node,
                       enum group_kind kind, const char *key)
{
    const char *path = arena_printf(l->arena, "%ss.*.%s", WORDS[kind], key);
    return schema_key(path) != NULL
               ? load_value_or(l, node, path, (double)INFINITY)
               : (double)INFINITY;
}

static struct field_group read_group(const struct loader *l,
                                     const struct ynode *node,
                                     enum group_kind kind)
{
    double moves = read_cap(l, node, kind, "moves");
    double p_header_pa = read_cap(l, node, kind, "header_pressure");
    return (struct field_group){
        .name = node->key,
        .at = node->key_at,
        .caps = {.lift_sm3s = read_cap(l, node, kind, "lift_gas_maximum"),
                 .liquid_sm3s = read_cap(l, node, kind, "liquid_maximum"),
                 .water_sm3s = read_cap(l, node, kind, "water_maximum"),
                 .gas_sm3s = read_cap(l, node, kind, "gas_maximum"),
                 .moves = isfinite(moves) ? (size_t)moves : SIZE_MAX},
        .p_header_pa = isfinite(p_header_pa) ? p_header_pa : 0,
    };
}

void load_groups(struct loader *l)
{
    for (enum group_kind k = 0; k < N_GROUP_KINDS; k++) {
        const struct ynode *map =
            ytree_child(l->root, arena_printf(l->arena, "%ss", WORDS[k]));
        l->groups[k] = load_names(l, map);
        size_t n = l->groups[k].n;
        struct field_group *group = ARENA_NEW(l->arena, n, struct field_group);
        const struct ynode *node = n > 0 ? map->first : NULL;
        for (size_t i = 0; i < n; i++, node = node->next)
            group[i] = read_group(l, node, k);
        l->field->groups[k] = (struct field_groups){n, group};
    }
}

const struct field_group *load_membership(const struct loader *l,
                                          const struct ynode *well,
                                          struct field_well *out)
{
    for (enum group_kind k = 0; k < N_GROUP_KINDS; k++)
        out->group[k] = load_reference(l, ytree_child(well, WORDS[k]),
                                       &l->groups[k], WORDS[k]);
    size_t manifold = out->group[GROUP_MANIFOLD];
    if (manifold != NAMES_NONE)
        return &l->field->groups[GROUP_MANIFOLD].group[manifold];
    out->group[GROUP_MANIFOLD] = 0;
    return NULL;
}
