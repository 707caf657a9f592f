/* The parts of scenario_load, and what they share. */
#ifndef LOAD_PARTS_H
#define LOAD_PARTS_H

#include "base/diag.h"
#include "field/field.h"
#include "scenario/names.h"
#include "scenario/ytree.h"

struct loader {
    const char *folder;
    struct arena *arena;
    struct diag *d;
    struct unit_frame frame;
    const struct ynode *root;
    struct field *field;
    struct names wells, fluids, groups[N_GROUP_KINDS];
};

/* An error at a node, with its path. todo may be NULL. */
void load_fault(const struct loader *l, const struct ynode *node,
                const char *what, const char *todo);

/* form_value with the loader's frame, and with what absence means. */
double load_value(const struct loader *l, const struct ynode *map,
                  const char *path);
double load_value_or(const struct loader *l, const struct ynode *map,
                     const char *path, double otherwise);

/* The names of a map's children; none when it is NULL or no map. */
struct names load_names(const struct loader *l, const struct ynode *map);

/* The index of the name that a node holds; NAMES_NONE after an error that
 * offers the nearest name. kind is "manifold", "fluid", ... node may be NULL
 * (its absence is reported elsewhere). */
size_t load_reference(const struct loader *l, const struct ynode *node,
                      const struct names *names, const char *kind);

/* Advice about a name that is not there: the nearest one, or NULL. */
const char *load_nearest(const struct loader *l, const struct names *names,
                         const char *name);

/* A key that the choice of another key asks for. */
void load_require(const struct loader *l, const struct ynode *map,
                  const char *key, const char *why);

/* Manifolds, pads, separators and routes. */
void load_groups(struct loader *l);
/* The groups of a well. Its manifold; NULL after an error. */
const struct field_group *load_membership(const struct loader *l,
                                          const struct ynode *well,
                                          struct field_well *out);

/* Station and compressors; those with a driver's power or pressures are rated
 * at the end, in a field without any error so far. */
void load_station(const struct loader *l);
void load_finish_station(const struct loader *l);

/* Of the section lift_gas. */
struct gas_spec load_lift_gas(const struct loader *l);

/* Keys of the fluids that need each other. */
void load_check_fluids(const struct loader *l);

/* The well's own objects; node is its map. */
void load_well(const struct loader *l, const struct ynode *node,
               struct field_well *out);

/* The kind, and faults of keys that belong to another one. */
enum well_kind load_kind(const struct loader *l, const struct ynode *well);
const struct intermittent *load_intermitter(const struct loader *l,
                                            const struct ynode *well);
struct unload_spec load_kill(const struct loader *l, const struct ynode *well);
/* What a pumped well makes, as a curve. */
struct curve *load_output(const struct loader *l, const struct ynode *well);
/* The partner stands before it in the file. */
bool load_is_second(const struct loader *l, const struct ynode *well);
/* Pairs are found and their faults told, after the readings; then, in a field
 * without errors, the second of each pair leaves the list of wells. */
void load_check_duals(const struct loader *l);
void load_join_duals(const struct loader *l);

/* Survey; tubing and casing with the way of the gas; valves, line and limits of
 * a well's model, in this order, the temperature before the last two. */
void load_survey(const struct loader *l, const struct ynode *well,
                 struct well *out);
void load_pipes(const struct loader *l, const struct ynode *well,
                enum well_kind kind, struct well *out);
void load_gas_side(const struct loader *l, const struct ynode *well,
                   struct well *out);
/* Pressures that other keys of the well need. manifold NULL: unknown. */
void load_check_pressures(const struct loader *l, const struct ynode *well,
                          const struct field_group *manifold,
                          const struct field_well *w);
/* What needs the prepared gas; valves that never open. */
void load_finish_gas_side(const struct loader *l, const struct ynode *well,
                          const struct field_group *manifold, struct well *out);

/* Prepare gases, oils and inflows; only for a field without any error so
 * far. */
void load_finish_wells(const struct loader *l);

/* A measured curve; NULL after an error. file is the node that names it. */
struct curve *load_curve(const struct loader *l, const struct ynode *well,
                         const struct ynode *file);

void load_tests(const struct loader *l);
void load_readings(const struct loader *l);

#endif
