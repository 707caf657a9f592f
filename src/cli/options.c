/* Long options only, never abbreviated, anywhere on the line: a script keeps
 * its meaning when an option is added. */
#include "options.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/numtext.h"
#include "base/strbuf.h"
#include "commands.h"
#include "report/text.h"

#define THREADS_MOST 1024
#define MOVES_MOST 1000000
#define MOMENT_BYTES 32
#define HELP_COLUMN 30
#define HELP_WIDTH 79

enum command_bit {
    CHECK = 1,
    CURVES = 2,
    WELL = 4,
    MORNING = 8,
    MARKET = 16,
    OUTAGE = 32,
    DAY_PLANS = WELL | MORNING | MARKET,
    PLANS = DAY_PLANS | OUTAGE,
    ALL = CHECK | CURVES | PLANS
};

/* In the order of the bits. */
static const struct command COMMANDS[] = {
    {"check", "SCENARIO",
     "Read the scenario and say whether it is sound: every fault in one run, "
     "and a count of all that was read.",
     1, cmd_check},
    {"curves", "SCENARIO",
     "Show every well's lift curve: oil against lift gas.", 1, cmd_curves},
    {"well", "SCENARIO NAME",
     "Show one well in depth: its curve, where it works now and as planned, "
     "pressure by depth, and why the plan gives it what it does.",
     2, cmd_well},
    {"morning", "SCENARIO",
     "Divide the lift gas for today: which wells to change, from what to "
     "what, what each move is worth, and how near the optimum that is.",
     1, cmd_morning},
    {"market", "SCENARIO",
     "Show what more lift gas would yield: the field's value against its gas, "
     "where buying and selling pay, and what each unit, limit and contract is "
     "worth today.",
     1, cmd_market},
    {"outage", "SCENARIO",
     "Get through what outage.yaml describes: hour by hour which wells are "
     "cut or stopped, in what order they come back, and what it costs.",
     1, cmd_outage},
};

#define N_COMMANDS (sizeof COMMANDS / sizeof COMMANDS[0])

typedef enum status setter(struct options *o, const char *value,
                           struct err *err);

static enum status set_format(struct options *o, const char *value,
                              struct err *err)
{
    for (int f = 0; f < REPORT_FORMATS; f++)
        if (strcmp(value, report_format_key((enum report_format)f)) == 0) {
            o->format = (enum report_format)f;
            return ST_OK;
        }
    return err_set(err, ST_USAGE,
                   "--format %s is not known; choose table, csv or json",
                   value);
}

static enum status set_units(struct options *o, const char *value,
                             struct err *err)
{
    for (int s = 0; s < SHOW_SYSTEMS; s++)
        if (strcmp(value, show_system_key((enum show_system)s)) == 0) {
            o->units = (enum show_system)s;
            return ST_OK;
        }
    return err_set(err, ST_USAGE,
                   "--units %s is not known; choose field or metric", value);
}

static enum status set_objective(struct options *o, const char *value,
                                 struct err *err)
{
    static const char *const KEYS[] = {
        [PLAN_OIL] = "oil",
        [PLAN_MONEY] = "money",
        [PLAN_GAS] = "gas",
    };
    for (size_t i = 0; i < sizeof KEYS / sizeof KEYS[0]; i++)
        if (strcmp(value, KEYS[i]) == 0) {
            o->objective = (enum plan_objective)i;
            return ST_OK;
        }
    return err_set(err, ST_USAGE,
                   "--objective %s is not known; choose oil, money or gas",
                   value);
}

static enum status set_out(struct options *o, const char *value,
                           struct err *err)
{
    if (value[0] == '\0')
        return err_set(err, ST_USAGE, "--out needs the name of a folder");
    o->out = value;
    return ST_OK;
}

/* A number and its unit: "28 MMscf/d". */
static enum status read_quantity(const char *option, const char *value,
                                 enum dim d, const char *example,
                                 struct quantity *out, struct err *err)
{
    double number = 0;
    size_t used = 0;
    if (numtext_read(value, strlen(value), &number, &used) != NUMTEXT_OK)
        return err_set(err, ST_USAGE,
                       "%s \"%s\" does not start with a number; write "
                       "%s \"%s\"",
                       option, value, option, example);
    const char *name = value + used + strspn(value + used, " ");
    const struct unit *u = unit_find(d, name, strlen(name));
    if (u == NULL)
        return err_set(
            err, ST_USAGE, "%s \"%s\" needs a unit of %s after the number: %s",
            option, value, dim_words(d) + strlen("a "), unit_choices(d));
    if (!(number >= 0))
        return err_set(err, ST_USAGE, "%s \"%s\" is below zero", option, value);
    *out = (struct quantity){u, number};
    return ST_OK;
}

static enum status set_gas(struct options *o, const char *value,
                           struct err *err)
{
    return read_quantity("--gas", value, DIM_GAS_RATE, "28 MMscf/d", &o->gas,
                         err);
}

static enum status set_header(struct options *o, const char *value,
                              struct err *err)
{
    return read_quantity("--header", value, DIM_PRESSURE, "950 psig",
                         &o->header, err);
}

static enum status set_target(struct options *o, const char *value,
                              struct err *err)
{
    return read_quantity("--target", value, DIM_LIQUID_RATE, "16000 stb/d",
                         &o->target, err);
}

static enum status set_gap(struct options *o, const char *value,
                           struct err *err)
{
    return read_quantity("--gap", value, DIM_FRACTION, "0.01 %", &o->gap, err);
}

static enum status set_time(struct options *o, const char *value,
                            struct err *err)
{
    return read_quantity("--time", value, DIM_TIME, "10 s", &o->time, err);
}

static enum status set_buy(struct options *o, const char *value,
                           struct err *err)
{
    return read_quantity("--buy", value, DIM_GAS_RATE, "2 MMscf/d", &o->buy,
                         err);
}

static enum status set_sell(struct options *o, const char *value,
                            struct err *err)
{
    return read_quantity("--sell", value, DIM_GAS_RATE, "3 MMscf/d", &o->sell,
                         err);
}

static enum status set_oil_price(struct options *o, const char *value,
                                 struct err *err)
{
    return read_quantity("--oil-price", value, DIM_LIQUID_PRICE, "62 $/stb",
                         &o->oil_price, err);
}

static enum status set_sales_price(struct options *o, const char *value,
                                   struct err *err)
{
    return read_quantity("--sales-price", value, DIM_GAS_PRICE, "2.50 $/Mscf",
                         &o->sales_price, err);
}

static enum status set_market_price(struct options *o, const char *value,
                                    struct err *err)
{
    return read_quantity("--market-price", value, DIM_GAS_PRICE, "3.40 $/Mscf",
                         &o->market_price, err);
}

static enum status set_unit(struct options *o, const char *value,
                            struct err *err)
{
    if (strchr(value, '=') == NULL || value[0] == '=')
        return err_set(err, ST_USAGE,
                       "--unit %s is not a compressor and its state; write "
                       "--unit K-1=off, or on, or available",
                       value);
    if (o->n_units == UNITS_MOST)
        return err_set(err, ST_USAGE, "--unit is given more than %d times",
                       UNITS_MOST);
    o->unit[o->n_units++] = value;
    return ST_OK;
}

static enum status read_count(const char *option, const char *value, long least,
                              long most, long *count, struct err *err)
{
    double number = 0;
    bool is_number =
        numtext_read_all(value, strlen(value), &number) == NUMTEXT_OK;
    double lo = (double)least, hi = (double)most;
    if (!is_number || !(number >= lo && number <= hi) || number > floor(number))
        return err_set(err, ST_USAGE,
                       "%s %s is not a whole number from %ld to %ld", option,
                       value, least, most);
    *count = (long)number;
    return ST_OK;
}

static enum status set_moves(struct options *o, const char *value,
                             struct err *err)
{
    long count = 0;
    enum status st = read_count("--moves", value, 0, MOVES_MOST, &count, err);
    o->has_moves = true;
    o->moves = (size_t)count;
    return st;
}

static enum status set_threads(struct options *o, const char *value,
                               struct err *err)
{
    long count = 0;
    enum status st =
        read_count("--threads", value, 1, THREADS_MOST, &count, err);
    o->threads = (int)count;
    return st;
}

static enum status set_ladder(struct options *o, const char *value,
                              struct err *err)
{
    (void)value, (void)err;
    o->ladder = true;
    return ST_OK;
}

/* "06:00..18:00" */
static enum status set_best_start(struct options *o, const char *value,
                                  struct err *err)
{
    const char *dots = strstr(value, "..");
    char from[MOMENT_BYTES] = "";
    if (dots != NULL && (size_t)(dots - value) < sizeof from)
        memcpy(from, value, (size_t)(dots - value));
    o->has_window = value_moment(from, &o->window_from) &&
                    value_moment(dots + strlen(".."), &o->window_to);
    if (!o->has_window)
        return err_set(err, ST_USAGE,
                       "--best-start \"%s\" is not two times; write "
                       "\"06:00..18:00\", or each as 2026-11-26 06:30 or "
                       "+26 h",
                       value);
    return ST_OK;
}

static enum status set_unload(struct options *o, const char *value,
                              struct err *err)
{
    (void)value, (void)err;
    o->unload = true;
    return ST_OK;
}

static enum status set_diagnose(struct options *o, const char *value,
                                struct err *err)
{
    (void)value, (void)err;
    o->diagnose = true;
    return ST_OK;
}

static enum status set_explain(struct options *o, const char *value,
                               struct err *err)
{
    if (value[0] == '\0')
        return err_set(err, ST_USAGE, "--explain needs the name of a well");
    o->explain = value;
    return ST_OK;
}

static enum status set_strict(struct options *o, const char *value,
                              struct err *err)
{
    (void)value, (void)err;
    o->strict = true;
    return ST_OK;
}

static enum status set_quiet(struct options *o, const char *value,
                             struct err *err)
{
    (void)value, (void)err;
    o->quiet = true;
    return ST_OK;
}

static enum status set_help(struct options *o, const char *value,
                            struct err *err)
{
    (void)value, (void)err;
    o->help = true;
    return ST_OK;
}

static enum status set_version(struct options *o, const char *value,
                               struct err *err)
{
    (void)value, (void)err;
    o->version = true;
    return ST_OK;
}

static const struct option {
    const char *name, *value; /* NULL: takes none */
    int commands;
    const char *help;
    setter *set;
} OPTIONS[] = {
    {"--format", "table|csv|json", ALL,
     "how the result is written; table unless given", set_format},
    {"--out", "DIR", ALL,
     "also write the result in every format into this folder", set_out},
    {"--units", "field|metric", ALL, "units of the result; field unless given",
     set_units},
    {"--objective", "oil|money|gas", PLANS,
     "most oil unless given; most money, which needs prices; or least lift "
     "gas for a target of oil",
     set_objective},
    {"--target", "RATE", DAY_PLANS,
     "oil that the plan must make, with its unit: \"16000 stb/d\"", set_target},
    {"--gas", "RATE", PLANS,
     "lift gas for the field instead of the scenario's limit, with its unit: "
     "\"28 MMscf/d\"",
     set_gas},
    {"--buy", "RATE", PLANS,
     "gas that may be bought, instead of the scenario's: \"2 MMscf/d\"",
     set_buy},
    {"--sell", "RATE", PLANS,
     "sell so much gas, no more and no less: \"3 MMscf/d\"", set_sell},
    {"--unit", "NAME=on|off|available", PLANS,
     "state of a compressor instead of the scenario's; as often as there are "
     "compressors; the plan decides about one that is available",
     set_unit},
    {"--oil-price", "PRICE", PLANS, "instead of the scenario's: \"62 $/stb\"",
     set_oil_price},
    {"--sales-price", "PRICE", PLANS,
     "of gas sold, instead of the scenario's: \"2.50 $/Mscf\"",
     set_sales_price},
    {"--market-price", "PRICE", PLANS,
     "of gas bought, instead of the scenario's: \"3.40 $/Mscf\"",
     set_market_price},
    {"--header", "PRESSURE", CURVES | PLANS,
     "lift gas pressure of every manifold instead of the scenario's: "
     "\"950 psig\"",
     set_header},
    {"--diagnose", NULL, WELL,
     "also what this morning's pressures and rate are consistent with",
     set_diagnose},
    {"--unload", NULL, WELL,
     "also how the well is unloaded, valve by valve, and restarted",
     set_unload},
    {"--moves", "N", DAY_PLANS,
     "change at most N wells, instead of the scenario's limit", set_moves},
    {"--gap", "PART", PLANS,
     "distance from the optimum at which the proof may end, 0.001 % (outage: "
     "0.5 %) unless given: \"0.01 %\"",
     set_gap},
    {"--time", "TIME", PLANS,
     "stop the search then, with the best plan so far: \"10 s\"", set_time},
    {"--explain", "WELL", MORNING,
     "instead of the plan: why it gives this well what it gives it",
     set_explain},
    {"--ladder", NULL, OUTAGE,
     "instead of the plan: which wells to cut at every shortfall of gas, for "
     "the wall",
     set_ladder},
    {"--best-start", "FROM..TO", OUTAGE,
     "start the planned work when it costs least: \"06:00..18:00\"",
     set_best_start},
    {"--threads", "N", ALL,
     "threads to work with; all that the machine has unless given",
     set_threads},
    {"--strict", NULL, ALL, "exit with 1 when there are warnings", set_strict},
    {"--quiet", NULL, ALL, "no warnings and no progress on standard error",
     set_quiet},
    {"--help", NULL, ALL, "show this help", set_help},
    {"--version", NULL, ALL, "show the version", set_version},
};

#define N_OPTIONS (sizeof OPTIONS / sizeof OPTIONS[0])

/* The option that the word up to '=' names in full, or NULL. */
static const struct option *find_option(const char *word)
{
    size_t len = strcspn(word, "=");
    for (size_t i = 0; i < N_OPTIONS; i++)
        if (strlen(OPTIONS[i].name) == len &&
            memcmp(OPTIONS[i].name, word, len) == 0)
            return &OPTIONS[i];
    return NULL;
}

static enum status refuse_unknown(const char *word, struct err *err)
{
    size_t len = strcspn(word, "=");
    for (size_t i = 0; i < N_OPTIONS && len > strlen("--"); i++)
        if (strncmp(OPTIONS[i].name, word, len) == 0)
            return err_set(err, ST_USAGE, "unknown option %s; write %s in full",
                           word, OPTIONS[i].name);
    return err_set(err, ST_USAGE,
                   "unknown option %s; liftsplit --help shows them all", word);
}

/* The option at argv[*i] and its value; *i ends at the last word used. */
static enum status read_option(int argc, char **argv, int *i, struct options *o,
                               unsigned *given, struct err *err)
{
    const char *word = argv[*i], *value = strchr(word, '=');
    const struct option *option = find_option(word);
    if (option == NULL)
        return refuse_unknown(word, err);
    *given |= 1u << (option - OPTIONS);
    if (option->value == NULL) {
        if (value != NULL)
            return err_set(err, ST_USAGE, "%s takes no value", option->name);
    } else if (value != NULL) {
        value++;
    } else if (*i + 1 < argc && strncmp(argv[*i + 1], "--", 2) != 0) {
        value = argv[++*i];
    } else {
        return err_set(err, ST_USAGE, "%s needs a value: %s", option->name,
                       option->value);
    }
    return option->set(o, value, err);
}

static enum status name_command(const char *word, struct options *o,
                                struct err *err)
{
    for (size_t i = 0; i < N_COMMANDS; i++)
        if (strcmp(COMMANDS[i].name, word) == 0) {
            o->command = &COMMANDS[i];
            return ST_OK;
        }
    return err_set(err, ST_USAGE,
                   "unknown command %s; commands are check, curves, well, "
                   "morning, market and outage",
                   word);
}

static enum status read_operand(const char *word, size_t index,
                                struct options *o, struct err *err)
{
    if (index == 0)
        return name_command(word, o, err);
    if (index > o->command->n_operands)
        return err_set(err, ST_USAGE, "%s is one word too many for %s %s", word,
                       o->command->name, o->command->operands);
    *(index == 1 ? &o->scenario : &o->well) = word;
    return ST_OK;
}

static enum status check_options(const struct options *o, unsigned given,
                                 struct err *err)
{
    int bit = 1 << (o->command - COMMANDS);
    for (size_t i = 0; i < N_OPTIONS; i++)
        if ((given & 1u << i) != 0 && (OPTIONS[i].commands & bit) == 0)
            return err_set(err, ST_USAGE, "%s takes no %s", o->command->name,
                           OPTIONS[i].name);
    return ST_OK;
}

/* That the words add up to a command that can be done. */
static enum status check_all(const struct options *o, size_t n_operands,
                             unsigned given, struct err *err)
{
    if (o->help || o->version)
        return ST_OK;
    if (o->command == NULL)
        return err_set(err, ST_USAGE,
                       "no command; liftsplit --help shows them");
    if (n_operands <= o->command->n_operands)
        return err_set(err, ST_USAGE, "%s needs %s", o->command->name,
                       o->command->operands);
    return check_options(o, given, err);
}

enum status options_read(int argc, char **argv, struct options *o,
                         struct err *err)
{
    *o = (struct options){0};
    size_t n_operands = 0;
    unsigned given = 0;
    bool only_operands = false;
    for (int i = 1; i < argc; i++) {
        enum status st = ST_OK;
        if (!only_operands && strcmp(argv[i], "--") == 0)
            only_operands = true;
        else if (!only_operands && argv[i][0] == '-' && argv[i][1] != '\0')
            st = read_option(argc, argv, &i, o, &given, err);
        else
            st = read_operand(argv[i], n_operands++, o, err);
        if (st != ST_OK)
            return st;
    }
    return check_all(o, n_operands, given, err);
}

static void help_row(const char *left, const char *help, struct strbuf *out)
{
    strbuf_addf(out, "  %s", left);
    int at = 2 + text_width(left);
    if (at + 2 > HELP_COLUMN) {
        strbuf_add(out, "\n");
        at = 0;
    }
    strbuf_pad(out, ' ', HELP_COLUMN - at);
    text_wrap(out, help, HELP_COLUMN, HELP_COLUMN, HELP_WIDTH);
}

static void help_options(int commands, struct strbuf *out)
{
    strbuf_add(out, "\nOptions, anywhere after the program's name:\n");
    for (size_t i = 0; i < N_OPTIONS; i++) {
        if ((OPTIONS[i].commands & commands) == 0)
            continue;
        struct strbuf left;
        strbuf_init(&left, out->arena);
        strbuf_add(&left, OPTIONS[i].name);
        if (OPTIONS[i].value != NULL)
            strbuf_addf(&left, " %s", OPTIONS[i].value);
        help_row(left.text, OPTIONS[i].help, out);
    }
}

static void help_exit_states(struct strbuf *out)
{
    static const struct {
        const char *state, *help;
    } STATES[] = {
        {"0", "an answer"},
        {"1", "an answer with warnings, under --strict"},
        {"2", "the command line is wrong"},
        {"3", "the scenario is wrong: see the messages"},
        {"4", "no plan meets every limit: the report says which conflict"},
        {"5", "stopped before the proof: the best plan found is written, "
              "marked as not proven"},
        {"6", "a file could not be read or written"},
        {"70", "our fault: please report it"},
    };
    strbuf_add(out, "\nExit states:\n");
    for (size_t i = 0; i < sizeof STATES / sizeof STATES[0]; i++) {
        strbuf_addf(out, "  %-4s", STATES[i].state);
        text_wrap(out, STATES[i].help, 6, 6, HELP_WIDTH);
    }
}

void options_help(const struct command *command, struct strbuf *out)
{
    if (command != NULL) {
        strbuf_addf(out, "usage: liftsplit %s %s [options]\n\n", command->name,
                    command->operands);
        text_wrap(out, command->help, 0, 0, HELP_WIDTH);
        help_options(1 << (command - COMMANDS), out);
    } else {
        strbuf_add(out, "usage: liftsplit COMMAND SCENARIO [options]\n\n");
        text_wrap(out,
                  "liftsplit divides the limited lift gas of an oil field "
                  "among its wells and proves how near the optimum that is. "
                  "SCENARIO is a folder with scenario.yaml and its CSV files.",
                  0, 0, HELP_WIDTH);
        strbuf_add(out, "\nCommands:\n");
        for (size_t i = 0; i < N_COMMANDS; i++) {
            struct strbuf left;
            strbuf_init(&left, out->arena);
            strbuf_addf(&left, "%s %s", COMMANDS[i].name, COMMANDS[i].operands);
            help_row(left.text, COMMANDS[i].help, out);
        }
        help_options(ALL, out);
    }
    help_exit_states(out);
}
