/* Compressors and what is around them. */
#include <math.h>

#include "base/arena.h"
#include "field/compressor.h"
#include "load_parts.h"
#include "scenario/form.h"

/* Above this at the end of a stage packings and valves suffer: 350 F, common
 * practice, no source. */
#define DISCHARGE_MOST_K 449.8
/* The allowed range of station.fuel ends there too. */
#define FUEL_MOST 0.3

static const struct ynode *station(const struct loader *l)
{
    return ytree_child(l->root, "station");
}

/* --- a compressor's keys -------------------------------------------------- */

/* Keys that have a use only where power is worked out. */
static const char *const MACHINE_KEYS[] = {"power",
                                           "stages",
                                           "suction_pressure",
                                           "suction_temperature",
                                           "discharge_pressure",
                                           "efficiency",
                                           "mechanical_efficiency",
                                           "idle_power",
                                           "heat_rate",
                                           "derating",
                                           "rated_temperature",
                                           NULL};

static bool is_machine(const struct ynode *unit)
{
    for (const char *const *key = MACHINE_KEYS; *key != NULL; key++)
        if (ytree_child(unit, *key) != NULL)
            return true;
    return false;
}

static void require_of_station(const struct loader *l, const struct ynode *node,
                               const char *key)
{
    if (ytree_child(station(l), key) == NULL)
        load_fault(l, node,
                   arena_printf(l->arena, "the station has no %s", key),
                   "add it under station");
}

static void check_derating(const struct loader *l, const struct ynode *unit)
{
    const struct ynode *derating = ytree_child(unit, "derating");
    const struct ynode *rated = ytree_child(unit, "rated_temperature");

    if (derating != NULL) {
        load_require(l, unit, "power", "derating takes a part of it");
        load_require(l, unit, "rated_temperature",
                     "the power is lost above that");
        require_of_station(l, derating, "ambient");
    } else if (rated != NULL) {
        load_fault(l, rated, "it has no use without derating",
                   "delete this key, or add derating");
    }
}

static void check_pressures(const struct loader *l, const struct ynode *unit)
{
    const char *why = "the power follows from the pressures and stages";
    const struct ynode *suction = ytree_child(unit, "suction_pressure");
    const struct ynode *discharge = ytree_child(unit, "discharge_pressure");

    load_require(l, unit, "suction_pressure", why);
    load_require(l, unit, "discharge_pressure", why);
    load_require(l, unit, "stages", why);
    if (suction != NULL && discharge != NULL &&
        discharge->value <= suction->value)
        load_fault(l, discharge, "not above the suction pressure",
                   "check both pressures");
    if (ytree_child(l->root, "lift_gas") == NULL)
        load_fault(l, unit, "key lift_gas is missing",
                   "the power depends on the gas that is compressed");
}

static void check_unit(const struct loader *l, const struct ynode *unit,
                       bool is_electric)
{
    const struct ynode *heat_rate = ytree_child(unit, "heat_rate");

    if (unit->kind == YNODE_MAP && ytree_child(unit, "capacity") == NULL &&
        ytree_child(unit, "power") == NULL)
        load_fault(l, unit, "neither capacity nor power",
                   "give what it compresses, or the power of its driver");
    if (!is_machine(unit))
        return;
    check_pressures(l, unit);
    check_derating(l, unit);
    if (heat_rate != NULL && is_electric)
        load_fault(l, heat_rate, "an electric driver burns no gas",
                   "delete this key, or correct driver");
    else if (heat_rate != NULL)
        require_of_station(l, heat_rate, "fuel_heating_value");
}

static const struct compressor_spec *read_machine(const struct loader *l,
                                                  const struct ynode *unit)
{
    double none = (double)INFINITY;
    struct compressor_spec *s = ARENA_NEW(l->arena, 1, struct compressor_spec);
    *s = (struct compressor_spec){
        .gas = load_lift_gas(l),
        .n_stages = form_index(unit, "compressors.*.stages", &l->frame),
        .p_suction_pa = load_value(l, unit, "compressors.*.suction_pressure"),
        .t_suction_k = load_value(l, unit, "compressors.*.suction_temperature"),
        .p_discharge_pa =
            load_value(l, unit, "compressors.*.discharge_pressure"),
        .adiabatic_efficiency = load_value(l, unit, "compressors.*.efficiency"),
        .mechanical_efficiency =
            load_value(l, unit, "compressors.*.mechanical_efficiency"),
        .capacity_sm3s = load_value_or(l, unit, "compressors.*.capacity", none),
        .driver_w = load_value_or(l, unit, "compressors.*.power", none),
        .t_rated_k =
            load_value_or(l, unit, "compressors.*.rated_temperature", none),
        .derating_per_k = load_value(l, unit, "compressors.*.derating"),
        .turndown = load_value(l, unit, "compressors.*.turndown"),
        .idle_w = load_value(l, unit, "compressors.*.idle_power"),
        .heat_rate = load_value_or(l, unit, "compressors.*.heat_rate", 0),
        .heating_value_j_sm3 =
            load_value(l, station(l), "station.fuel_heating_value"),
    };
    return s;
}

static struct field_compressor read_unit(const struct loader *l,
                                         const struct ynode *unit)
{
    double capacity_sm3s = load_value(l, unit, "compressors.*.capacity");
    bool is_electric = form_index(unit, "compressors.*.driver", &l->frame) == 1;

    check_unit(l, unit, is_electric);
    return (struct field_compressor){
        .name = unit->key,
        .at = unit->key_at,
        .state =
            (enum unit_state)form_index(unit, "compressors.*.state", &l->frame),
        .least_sm3s =
            load_value(l, unit, "compressors.*.turndown") * capacity_sm3s,
        .capacity_sm3s = capacity_sm3s,
        .recycles = form_index(unit, "compressors.*.recycle", &l->frame) == 1,
        .has_fuel = is_electric,
        .electric = is_electric,
        .spec = is_machine(unit) ? read_machine(l, unit) : NULL,
    };
}

/* --- the station ---------------------------------------------------------- */

void load_station(const struct loader *l)
{
    const struct ynode *map = station(l);
    const struct ynode *units = ytree_child(l->root, "compressors");
    size_t n = units != NULL && units->kind == YNODE_MAP ? units->n : 0;
    struct field_station *s = &l->field->station;

    *s = (struct field_station){
        .n_compressors = n,
        .compressor = ARENA_NEW(l->arena, n, struct field_compressor),
        .has_compressors = n > 0,
        .power_max_w =
            load_value_or(l, map, "station.power_maximum", (double)INFINITY),
        .fuel_fraction = load_value(l, map, "station.fuel"),
        .fuel_from =
            (enum station_side)form_index(map, "station.fuel_from", &l->frame),
        .shrinkage_fraction = load_value(l, map, "station.shrinkage"),
        .flare_max_sm3s = load_value(l, map, "station.flare_maximum"),
    };
    const struct ynode *node = n > 0 ? units->first : NULL;
    for (size_t i = 0; i < n; i++, node = node->next)
        s->compressor[i] = read_unit(l, node);
}

/* --- rating, with sound keys ---------------------------------------------- */

static double fahrenheit(const struct loader *l, double t_k)
{
    return unit_from_si(unit_named(DIM_TEMPERATURE, "F"), t_k, &l->frame);
}

static void check_rating(const struct loader *l, const struct ynode *unit,
                         const struct compressor_rating *r)
{
    if (r->fuel_fraction > FUEL_MOST)
        load_fault(l, unit,
                   arena_printf(l->arena,
                                "it would burn %.0f %% of the gas that it "
                                "compresses",
                                100 * r->fuel_fraction),
                   "check its pressures, stages, efficiency and heat_rate, "
                   "and the fuel's heating value");
    if (r->t_discharge_k > DISCHARGE_MOST_K)
        diag_add(l->d, DIAG_WARNING, unit->at, ytree_path(unit, l->arena),
                 "check its pressures and stages",
                 "the gas would leave a stage at %.0f F, above the usual "
                 "350 F",
                 fahrenheit(l, r->t_discharge_k));
}

static void rate_unit(const struct loader *l, const struct ynode *unit,
                      struct field_compressor *u)
{
    /* Only derating asks for the weather, and that asks for ambient. */
    double t_ambient_k = load_value_or(l, station(l), "station.ambient", 0);
    struct compressor_rating r;
    struct err err;

    if (compressor_rate(u->spec, t_ambient_k, &r, &err) != ST_OK) {
        load_fault(l, unit, err.msg, "check its pressures and the lift gas");
        return;
    }
    check_rating(l, unit, &r);
    u->capacity_sm3s = r.capacity_sm3s;
    u->least_sm3s = r.least_sm3s;
    u->has_fuel = u->electric || u->spec->heat_rate > 0;
    u->fuel_fixed_sm3s = r.fuel_fixed_sm3s;
    u->fuel_fraction = r.fuel_fraction;
    u->power_fixed_w = u->spec->idle_w;
    u->power_j_sm3 = r.power_j_sm3;
}

void load_finish_station(const struct loader *l)
{
    const struct field_station *s = &l->field->station;
    const struct ynode *node = s->n_compressors > 0
                                   ? ytree_child(l->root, "compressors")->first
                                   : NULL;
    for (size_t i = 0; i < s->n_compressors; i++, node = node->next)
        if (s->compressor[i].spec != NULL)
            rate_unit(l, node, &s->compressor[i]);
}
