#include "fixture.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/strbuf.h"
#include "scenario/load.h"

const char FIXTURE_SMALL[] = "format: 1\n"
                             "field: {name: Small, date: 2026-11-25}\n"
                             "manifolds: {M: {}}\n"
                             "wells:\n"
                             "  A-1: {manifold: M, curve: curve.csv}\n"
                             "  A-2: {manifold: M, curve: curve.csv}\n";

const char FIXTURE_CURVE[] = "lift gas (Mscf/d),oil (stb/d),water (stb/d),"
                             "formation gas (Mscf/d)\n"
                             "200,100,50,40\n"
                             "400,150,75,60\n"
                             "600,140,70,56\n";

const char FIXTURE_FULL[] =
    "format: 1\n"
    "field:\n"
    "  name: Full\n"
    "  date: 2026-11-25\n"
    "  atmosphere: 14.5 psia\n"
    "  gas_base: {pressure: 14.65 psia, temperature: 60 F}\n"
    "lift_gas: {gravity: 0.65, nitrogen: 0.5 %, carbon_dioxide: 1 %,"
    " hydrogen_sulphide: 20 ppm}\n"
    "fluids:\n"
    "  oil A:\n"
    "    oil_gravity: 34 API\n"
    "    gas_gravity: 0.78\n"
    "    water_salinity: 6 wt%\n"
    "    correlation: vasquez-beggs\n"
    "    separator: {pressure: 85 psig, temperature: 90 F}\n"
    "    bubble_point: 1900 psig\n"
    "    bubble_point_temperature: 180 F\n"
    "    oil_volume_factor: 1.25\n"
    "    viscosity_mixing: log\n"
    "manifolds:\n"
    "  north: {lift_gas_maximum: 14 MMscf/d, header_pressure: 1150 psig}\n"
    "compressors:\n"
    "  C-1: {capacity: 9 MMscf/d}\n"
    "  C-2: {capacity: 9 MMscf/d, state: down}\n"
    "station: {fuel: 3.7 %, fuel_from: suction, shrinkage: 1.5 %,"
    " flare_maximum: 0.4 MMscf/d}\n"
    "sales: {minimum: 2 MMscf/d, maximum: 8 MMscf/d, price: 2.2 $/Mscf,"
    " from: suction}\n"
    "market: {maximum: 3 MMscf/d, price: 3.1 $/Mscf, enters: suction}\n"
    "limits: {lift_gas: 28 MMscf/d, liquid: 60000 stb/d,"
    " water: 48000 stb/d, moves: 8, dead_band: 25 Mscf/d}\n"
    "prices: {oil: 62 $/stb, water: 0.5 $/stb, compression: 0.12 $/Mscf}\n"
    "tests: {newest_within: 60 d}\n"
    "wells:\n"
    "  W-1:\n"
    "    manifold: north\n"
    "    fluid: oil A\n"
    "    gas_oil_ratio: 450 scf/stb\n"
    "    water_cut: 72 %\n"
    "    wellhead: {pressure: 140 psig}\n"
    "    survey:\n"
    "      - {md: 0 ft, tvd: 0 ft}\n"
    "      - {md: 3000 ft, tvd: 3000 ft}\n"
    "      - {md: 6200 ft, tvd: 5900 ft}\n"
    "    tubing:\n"
    "      - {to: 6000 ft, inside_diameter: 2.441 in}\n"
    "      - {to: 6200 ft, inside_diameter: 6.184 in,"
    " roughness: 0.002 in}\n"
    "    injection_depth: 5600 ft\n"
    "    temperature: {wellhead: 95 F, bottomhole: 180 F}\n"
    "    inflow: {model: vogel, reservoir_pressure: 2200 psig,"
    " productivity: 1.5 stb/d/psi}\n"
    "    gradient: beggs-brill\n"
    "    lift_gas: {minimum: 250 Mscf/d, maximum: 1500 Mscf/d,"
    " may_stop: no}\n"
    "    match: productivity\n";

void fixture_open(struct fixture *f)
{
    *f = (struct fixture){0};
    arena_init(&f->arena);
    diag_init(&f->diag, &f->arena);
    snprintf(f->folder, sizeof f->folder, "/tmp/scenario-XXXXXX");
    char *made = mkdtemp(f->folder);
    assert(made != NULL);
    (void)made;
}

void fixture_write(const struct fixture *f, const char *name, const void *bytes,
                   size_t len)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", f->folder, name);
    FILE *file = fopen(path, "wb");
    size_t written = fwrite(bytes, 1, len, file);
    assert(written == len);
    (void)written;
    fclose(file);
}

void fixture_write_text(const struct fixture *f, const char *name,
                        const char *text)
{
    fixture_write(f, name, text, strlen(text));
}

void fixture_load(struct fixture *f)
{
    f->status =
        scenario_load(f->folder, &f->arena, &f->diag, &f->field, &f->err);
}

void fixture_close(struct fixture *f)
{
    static const char *const NAMES[] = {"scenario.yaml", "tests.csv",
                                        "readings.csv", "curve.csv",
                                        "outage.yaml"};
    char path[128];
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        snprintf(path, sizeof path, "%s/%s", f->folder, NAMES[i]);
        unlink(path);
    }
    rmdir(f->folder);
    arena_release(&f->arena);
}

void fixture_load_yaml(struct fixture *f, const char *yaml)
{
    fixture_open(f);
    fixture_write_text(f, "scenario.yaml", yaml);
    fixture_load(f);
}

void fixture_load_table(struct fixture *f, const char *name, const char *csv)
{
    fixture_open(f);
    fixture_write_text(f, "scenario.yaml", FIXTURE_SMALL);
    fixture_write_text(f, "curve.csv", FIXTURE_CURVE);
    fixture_write_text(f, name, csv);
    fixture_load(f);
}

const char *fixture_messages(struct fixture *f)
{
    struct strbuf all, out;
    strbuf_init(&all, &f->arena);
    strbuf_init(&out, &f->arena);
    diag_write(&f->diag, 1000, &all);
    size_t skip = strlen(f->folder) + 1;
    const char *from = all.text;
    for (const char *hit; (hit = strstr(from, f->folder)) != NULL;
         from = hit + skip)
        strbuf_add_n(&out, from, (size_t)(hit - from));
    strbuf_add(&out, from);
    return out.text;
}

char *fixture_exchange(struct arena *a, const char *text, const char *from,
                       const char *to)
{
    const char *hit = strstr(text, from);
    assert(hit != NULL);
    return arena_printf(a, "%.*s%s%s", (int)(hit - text), text, to,
                        hit + strlen(from));
}
