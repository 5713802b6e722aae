/* JSON on standard output. Numbers are the same in every locale; unknown ones (NaN) are null. */
#ifndef LW_CLI_OUTPUT_H
#define LW_CLI_OUTPUT_H

#include <json-glib/json-glib.h>

G_BEGIN_DECLS

/* VALUE as it is; null when it is NaN or infinite. */
void lw_cli_set_number (JsonObject *object, const char *key, double value);
/* The same cut to DECIMALS, which is what a reader can use. */
void lw_cli_set_rounded (JsonObject *object, const char *key, double value, int decimals);
/* N values; NULL gives null. */
void lw_cli_set_series (JsonObject *object, const char *key, const double *values, guint n);
/* Prints ROOT and a line end. Takes ROOT over. Returns FALSE when standard output is closed. */
gboolean lw_cli_print_json (JsonObject *root);
/* How many columns of a terminal TEXT takes. */
int lw_cli_columns (const char *text);
/* Fills TEXT up with spaces to WIDTH columns of a terminal, where a Chinese sign takes two and an accent that combines none:
 * at its left, or at its right when WIDTH is negative (transfer full). */
char *lw_cli_padded (const char *text, int width);
/* Prints a row of a table: cells, NULL after the last, in WIDTHS as above with a space between two, and a line end. */
void lw_cli_print_row (const int *widths, ...) G_GNUC_NULL_TERMINATED;
/* A number of a text table, "?" when unknown (transfer full). */
char *lw_cli_number_text (double value, int decimals);

G_END_DECLS

#endif
