/* The commands, one file cmd_NAME.c each. All have the type of
 * command.execute. */
#ifndef COMMANDS_H
#define COMMANDS_H

#include "options.h"

enum status cmd_check(const struct options *o, struct run *run, int *exit_state,
                      struct err *err);
enum status cmd_curves(const struct options *o, struct run *run,
                       int *exit_state, struct err *err);
enum status cmd_well(const struct options *o, struct run *run, int *exit_state,
                     struct err *err);
enum status cmd_morning(const struct options *o, struct run *run,
                        int *exit_state, struct err *err);
enum status cmd_market(const struct options *o, struct run *run,
                       int *exit_state, struct err *err);
enum status cmd_outage(const struct options *o, struct run *run,
                       int *exit_state, struct err *err);

#endif
