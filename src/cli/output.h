/* Where results go: standard output, and files that are whole or absent. */
#ifndef OUTPUT_H
#define OUTPUT_H

#include "options.h"

/* Appends a result in one format; facts is what the command worked out. */
typedef void output_writer(const struct report *r, const void *facts,
                           enum report_format f, struct strbuf *out);

/* Columns for text on standard output: COLUMNS, else the terminal's, between
 * 80 and 120; 100 where there is no terminal. */
int output_width(void);

/* The files STEM.txt, STEM.csv and STEM.json in the folder that --out names,
 * said on stderr; then the result on standard output. */
enum status output_result(const struct options *o, const struct report *r,
                          const char *stem, output_writer *write,
                          const void *facts, struct err *err) ST_CHECKED;

/* Closes standard output and finds out whether all of it arrived. */
enum status output_close(struct err *err) ST_CHECKED;

#endif
