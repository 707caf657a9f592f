#include <math.h>

#include "base/arena.h"
#include "load_parts.h"
#include "num/tol.h"
#include "scenario/form.h"

/* --- survey -------------------------------------------------------------- */

void load_survey(const struct loader *l, const struct ynode *well,
                 struct well *out)
{
    const struct ynode *list = ytree_child(well, "survey");
    if (list == NULL || list->kind != YNODE_LIST)
        return;
    if (list->n < 2) {
        load_fault(l, list, "fewer than 2 rows",
                   "give the wellhead and the perforations");
        return;
    }
    struct well_station *row =
        ARENA_NEW(l->arena, list->n, struct well_station);
    const struct ynode *node = list->first;
    for (size_t i = 0; i < list->n; i++, node = node->next) {
        row[i].md_m = load_value(l, node, "wells.*.survey.*.md");
        row[i].tvd_m = load_value(l, node, "wells.*.survey.*.tvd");
        if (i == 0 && (row[0].md_m != 0.0 || row[0].tvd_m != 0.0) &&
            !isnan(row[0].md_m + row[0].tvd_m))
            load_fault(l, node, "the first row is not the wellhead",
                       "begin with md 0 and tvd 0");
        double run = i > 0 ? row[i].md_m - row[i - 1].md_m : 1.0;
        double drop = i > 0 ? row[i].tvd_m - row[i - 1].tvd_m : 0.0;
        if (run <= 0.0)
            load_fault(l, node, "measured depth does not rise from row to row",
                       "sort the rows from the wellhead down");
        if (drop < 0.0)
            load_fault(l, node, "true vertical depth falls",
                       "a well that climbs is not modelled");
        if (drop > run + TOL_INPUT_DEPTH_M && run > 0.0)
            load_fault(l, node,
                       "true vertical depth grows faster than measured depth",
                       "check both numbers");
    }
    out->station = row;
    out->n_stations = list->n;
}

/* --- pipes ---------------------------------------------------------------- */

/* Tubing or casing, from the top. */
struct pipes {
    const struct ynode *list;
    size_t n;
    struct pipe_row {
        double to_md_m, inside_m, outside_m, roughness_m;
    } * row;
};

static bool read_pipes(const struct loader *l, const struct ynode *well,
                       const char *key, struct pipes *out)
{
    const struct ynode *list = ytree_child(well, key);
    bool is_tubing = key[0] == 't';

    *out = (struct pipes){.list = list};
    if (list == NULL || list->kind != YNODE_LIST)
        return false;
    out->n = list->n;
    out->row = ARENA_NEW(l->arena, list->n, struct pipe_row);
    if (list->n == 0)
        load_fault(l, list, arena_printf(l->arena, "no piece of %s", key),
                   "give at least one");
    const struct ynode *node = list->first;
    for (size_t i = 0; i < list->n; i++, node = node->next) {
        struct pipe_row *p = &out->row[i];

        p->to_md_m = load_value(
            l, node, is_tubing ? "wells.*.tubing.*.to" : "wells.*.casing.*.to");
        p->inside_m =
            load_value(l, node,
                       is_tubing ? "wells.*.tubing.*.inside_diameter"
                                 : "wells.*.casing.*.inside_diameter");
        p->roughness_m = load_value(l, node,
                                    is_tubing ? "wells.*.tubing.*.roughness"
                                              : "wells.*.casing.*.roughness");
        if (is_tubing)
            p->outside_m =
                load_value(l, node, "wells.*.tubing.*.outside_diameter");
        if (i > 0 && p->to_md_m <= p[-1].to_md_m)
            load_fault(l, node, "depth does not rise from piece to piece",
                       "sort the pieces from the wellhead down");
        if (is_tubing && p->outside_m <= p->inside_m)
            load_fault(l, node,
                       "the outside diameter is not above the inside one",
                       "check both");
    }
    return list->n > 0;
}

/* The last piece ends where the survey ends; measured twice, so not to the
 * last digit. */
static void end_with_survey(const struct loader *l, const struct pipes *p,
                            const struct well *w)
{
    double *last_m = &p->row[p->n - 1].to_md_m;

    if (w->n_stations == 0)
        return;
    if (fabs(*last_m - well_bottom_m(w)) > TOL_INPUT_DEPTH_M)
        load_fault(l, p->list,
                   "the last piece does not end where the survey ends",
                   "let its to be the last md of the survey");
    *last_m = well_bottom_m(w);
}

static void set_sections(const struct loader *l, const struct pipes *p,
                         const struct well_section **section, size_t *n)
{
    struct well_section *row = ARENA_NEW(l->arena, p->n, struct well_section);

    for (size_t i = 0; i < p->n; i++)
        row[i] = (struct well_section){p->row[i].to_md_m, p->row[i].inside_m,
                                       p->row[i].roughness_m, 0};
    *section = row;
    *n = p->n;
}

/* Casing around tubing down to the deepest place where gas enters, a piece for
 * each piece of either. */
static size_t merge(const struct loader *l, const struct pipes *casing,
                    const struct pipes *tubing, double end_m,
                    struct well_section *row)
{
    size_t n = 0, c = 0, t = 0;
    double md_m = 0;

    while (md_m < end_m && c < casing->n && t < tubing->n) {
        const struct pipe_row *out = &casing->row[c], *in = &tubing->row[t];

        md_m = fmin(end_m, fmin(out->to_md_m, in->to_md_m));
        row[n++] = (struct well_section){md_m, out->inside_m, out->roughness_m,
                                         in->outside_m};
        if (isnan(in->outside_m)) {
            load_fault(l, tubing->list,
                       "casing is given and the tubing in it has no "
                       "outside_diameter",
                       "give it for every piece above where the gas enters");
            return n;
        }
        if (in->outside_m >= out->inside_m) {
            load_fault(l, casing->list,
                       "the casing is not wider inside than the tubing is "
                       "outside",
                       "check both diameters");
            return n;
        }
        c += out->to_md_m <= md_m;
        t += in->to_md_m <= md_m;
    }
    if (n > 0 && md_m >= end_m - TOL_INPUT_DEPTH_M)
        row[n - 1].to_md_m = end_m;
    else if (n > 0)
        load_fault(l, casing->list,
                   "the casing ends above where the gas enters",
                   "give it down to there at least");
    return n;
}

/* Where the lowest gas enters; in a well whose survey ends above it, there. */
static double deepest_m(const struct loader *l, const struct ynode *well,
                        const struct well *w)
{
    const struct ynode *list = ytree_child(well, "valves");
    double deepest = load_value_or(l, well, "wells.*.injection_depth", 0);

    if (list != NULL && list->kind == YNODE_LIST)
        for (const struct ynode *v = list->first; v; v = v->next)
            deepest =
                fmax(deepest, load_value_or(l, v, "wells.*.valves.*.depth", 0));
    return w->n_stations > 0 ? fmin(deepest, well_bottom_m(w)) : deepest;
}

/* Gas down the tubing to gas_m; production around all of the tubing, and below
 * it in the casing. */
static void set_annular(const struct loader *l, const struct pipes *casing,
                        const struct pipes *tubing, double gas_m,
                        struct well *out)
{
    struct well_section *row =
        ARENA_NEW(l->arena, tubing->n + 2 * casing->n, struct well_section);
    double *end_m = &tubing->row[tubing->n - 1].to_md_m;
    double bottom_m = casing->row[casing->n - 1].to_md_m;

    if (*end_m < gas_m - TOL_INPUT_DEPTH_M)
        load_fault(l, tubing->list,
                   "the tubing ends above where the gas leaves it",
                   "check both depths");
    if (*end_m > bottom_m + TOL_INPUT_DEPTH_M)
        load_fault(l, tubing->list, "the tubing ends below the survey",
                   "check both depths");
    *end_m = fmin(fmax(*end_m, gas_m), bottom_m);
    size_t n = merge(l, casing, tubing, *end_m, row);
    for (size_t i = 0; i < casing->n; i++)
        if (casing->row[i].to_md_m > *end_m)
            row[n++] = (struct well_section){casing->row[i].to_md_m,
                                             casing->row[i].inside_m,
                                             casing->row[i].roughness_m, 0};
    out->section = row;
    out->n_sections = n;
    set_sections(l, tubing, &out->gas_path.section, &out->gas_path.n_sections);
}

void load_pipes(const struct loader *l, const struct ynode *well,
                enum well_kind kind, struct well *out)
{
    struct pipes tubing, casing;
    bool has_tubing = read_pipes(l, well, "tubing", &tubing);
    bool has_casing = read_pipes(l, well, "casing", &casing);

    if (kind == KIND_ANNULAR) {
        if (!has_tubing || !has_casing)
            return;
        end_with_survey(l, &casing, out);
        set_annular(l, &casing, &tubing, deepest_m(l, well, out), out);
        return;
    }
    if (!has_tubing)
        return;
    end_with_survey(l, &tubing, out);
    set_sections(l, &tubing, &out->section, &out->n_sections);
    if (!has_casing)
        return;
    struct well_section *row =
        ARENA_NEW(l->arena, tubing.n + casing.n, struct well_section);
    out->gas_path.section = row;
    out->gas_path.n_sections =
        merge(l, &casing, &tubing, deepest_m(l, well, out), row);
}
