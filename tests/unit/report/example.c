#include "example.h"

#include <math.h>

#include "base/strbuf.h"
#include "report/morning.h"

static const double CURVE_GAS[] = {0, 300, 500, 800};
static const double CURVE_OIL[] = {120, 200, 230, 240};
#define POINTS 4

double gas_mscfd(double v)
{
    struct unit_frame f = unit_frame_default();
    return unit_to_si(unit_named(DIM_GAS_RATE, "Mscf/d"), v, &f);
}

double oil_stbd(double v)
{
    struct unit_frame f = unit_frame_default();
    return unit_to_si(unit_named(DIM_LIQUID_RATE, "stb/d"), v, &f);
}

static void init_curve(struct example *e, size_t i)
{
    double *gas = ARENA_NEW(&e->arena, POINTS, double);
    double *oil = ARENA_NEW(&e->arena, POINTS, double);
    double *zero = ARENA_NEW(&e->arena, POINTS, double);
    for (size_t k = 0; k < POINTS; k++) {
        gas[k] = gas_mscfd(CURVE_GAS[k]);
        oil[k] = oil_stbd(CURVE_OIL[k]);
    }
    e->curve[i] = (struct curve){.well = e->well[i].name,
                                 .source = CURVE_TABLE,
                                 .n = POINTS,
                                 .gas_sm3s = gas,
                                 .oil_sm3s = oil,
                                 .water_sm3s = zero,
                                 .formation_sm3s = zero,
                                 .peak = POINTS - 1,
                                 .gas_max_sm3s = gas[POINTS - 1],
                                 .end = CURVE_END_TABLE};
    e->well[i].table = &e->curve[i];
}

static void init_well(struct example *e, size_t i, const char *name,
                      double now_mscfd, enum well_status status)
{
    e->well[i] = (struct field_well){
        .name = name,
        .lift_max_sm3s = gas_mscfd(800),
        .reading = {.given = true,
                    .lift_sm3s = gas_mscfd(now_mscfd),
                    .status = status,
                    .reason = ""},
    };
    init_curve(e, i);
}

static void init_field(struct example *e)
{
    e->manifold[0] =
        (struct field_group){.name = "north", .caps = field_caps_none()};
    e->compressor[0] = (struct field_compressor){
        .name = "K-1", .capacity_sm3s = gas_mscfd(1200)};
    e->compressor[1] = (struct field_compressor){
        .name = "K-2", .capacity_sm3s = gas_mscfd(900), .state = UNIT_DOWN};
    e->field = (struct field){
        .name = "Test Field",
        .frame = unit_frame_default(),
        .day = 20000, /* 2024-10-04: 54 years of 365.25 days and 276 days */
        .groups[GROUP_MANIFOLD] = {1, e->manifold},
        .n_wells = EXAMPLE_WELLS,
        .well = e->well,
        .station = {.n_compressors = 2,
                    .compressor = e->compressor,
                    .has_compressors = true},
    };
    init_well(e, 0, "A-1", 300, WELL_FLOWING);
    init_well(e, 1, "B-2", 600, WELL_FLOWING);
    init_well(e, 2, "C-3", 100, WELL_HELD);
}

static void init_plans(struct example *e)
{
    static const double NOW[][2] = {{300, 200}, {600, 150}, {100, 50}};
    static const double TO[][2] = {{500, 230}, {400, 140}, {100, 50}};
    for (size_t i = 0; i < EXAMPLE_WELLS; i++) {
        e->now[i] = (struct plan_well){.gas_sm3s = gas_mscfd(NOW[i][0]),
                                       .oil_sm3s = oil_stbd(NOW[i][1])};
        e->plan[i] = (struct plan_well){.gas_sm3s = gas_mscfd(TO[i][0]),
                                        .oil_sm3s = oil_stbd(TO[i][1])};
    }
    struct gas_balance balance = {.formation = gas_mscfd(250),
                                  .lift = gas_mscfd(1000),
                                  .sales = gas_mscfd(240),
                                  .fuel = gas_mscfd(10),
                                  .compressed = gas_mscfd(1100)};
    e->limit[0] = (struct plan_limit){
        .kind = PLAN_LIMIT_LIFT,
        .scope = N_GROUP_KINDS,
        .name = "",
        .used = gas_mscfd(1000),
        .bound = gas_mscfd(1000),
        .binding = true,
        .price = oil_stbd(0.125) / gas_mscfd(1),
    };
    e->limit[1] = (struct plan_limit){
        .kind = PLAN_LIMIT_LIFT,
        .scope = GROUP_MANIFOLD,
        .name = "north",
        .used = gas_mscfd(1000),
        .bound = gas_mscfd(1100),
    };
    e->limit[2] = (struct plan_limit){.kind = PLAN_LIMIT_WATER,
                                      .scope = N_GROUP_KINDS,
                                      .name = "",
                                      .bound = (double)INFINITY};
    e->unit[0].load =
        (struct unit_load){.runs = true, .through_sm3s = gas_mscfd(1100)};
    e->morning.now = (struct plan){.oil_sm3s = oil_stbd(400),
                                   .n_wells = EXAMPLE_WELLS,
                                   .n_limits = 3,
                                   .well = e->now,
                                   .limit = e->limit,
                                   .n_units = 2,
                                   .unit = e->unit,
                                   .balance = balance};
    e->morning.plan = e->morning.now;
    e->morning.plan.oil_sm3s = oil_stbd(420);
    e->morning.plan.value = e->morning.plan.bound = oil_stbd(420);
    e->morning.plan.well = e->plan;
    e->morning.plan.gas_price_oil = oil_stbd(0.125) / gas_mscfd(1);
}

static void init_answer(struct example *e)
{
    struct morning *m = &e->morning;
    e->move[0] = (struct move){.well = 0,
                               .kind = MOVE_MORE,
                               .from_sm3s = gas_mscfd(300),
                               .to_sm3s = gas_mscfd(500),
                               .oil_change_sm3s = oil_stbd(30),
                               .oil_per_gas = oil_stbd(30) / gas_mscfd(200),
                               .reason = "makes the most of it"};
    e->move[1] = (struct move){.well = 1,
                               .kind = MOVE_LESS,
                               .from_sm3s = gas_mscfd(600),
                               .to_sm3s = gas_mscfd(400),
                               .oil_change_sm3s = oil_stbd(-10),
                               .oil_per_gas = oil_stbd(10) / gas_mscfd(200),
                               .reason = "others make more of it"};
    e->kept[0] = (struct kept_well){2, "held by hand: wireline"};
    for (size_t i = 0; i < EXAMPLE_WELLS; i++)
        e->checked[i] =
            (struct verify_well){.promised_oil_sm3s = e->plan[i].oil_sm3s,
                                 .delivered_oil_sm3s = e->plan[i].oil_sm3s,
                                 .checked = true};
    e->checked[1].delivered_oil_sm3s = oil_stbd(133);
    m->n_moves = m->plan.n_moves = 2;
    m->move = e->move;
    m->n_kept = 1;
    m->kept = e->kept;
    m->more_oil_sm3s = oil_stbd(84);
    m->less_oil_sm3s = oil_stbd(-91);
    m->verify = (struct verify){.promised_oil_sm3s = oil_stbd(420),
                                .delivered_oil_sm3s = oil_stbd(413),
                                .well = e->checked,
                                .worst = 1};
}

void example_init(struct example *e)
{
    *e = (struct example){0};
    arena_init(&e->arena);
    diag_init(&e->diag, &e->arena);
    init_field(e);
    init_plans(e);
    init_answer(e);
    e->report = (struct report){
        .show = {.arena = &e->arena, .frame = e->field.frame},
        .width = REPORT_WIDTH_LEAST,
        .field = &e->field,
        .curves = e->curve,
        .diag = &e->diag,
    };
}

const char *example_morning(struct example *e, enum report_format f)
{
    struct strbuf out;
    strbuf_init(&out, &e->arena);
    report_morning(&e->report, &e->morning, f, &out);
    return out.text;
}
