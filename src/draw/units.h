/* Units on the screen: what a person reads and types may be in inches and degrees Fahrenheit, while jobs, files,
 * paper and the command line stay in millimetres and degrees Celsius. A unit is named as everywhere in the
 * program: "mm", "°C" (a temperature), "mm²", "K" (a difference), "°C/s"; any other unit passes unchanged.
 *
 * 1 in = 25.4 mm exactly, t/°F = 1.8 t/°C + 32: NIST Special Publication 811 (2008), appendix B. */
#ifndef LW_UNITS_H
#define LW_UNITS_H

#include <glib.h>

G_BEGIN_DECLS

typedef struct {
  gboolean inches, fahrenheit; /* all FALSE: as computed */
} LwUnits;

/* The unit in which a figure in UNIT is shown, static or UNIT itself: "in", "°F", "°F/s". A difference is in
 * "°F" too. */
const char *lw_units_word (LwUnits units, const char *unit);
/* A figure in UNIT as it is shown, and one that was typed as it is kept. NaN stays NaN. */
double lw_units_shown (LwUnits units, double value, const char *unit);
double lw_units_kept (LwUnits units, double typed, const char *unit);
/* How many decimals say as much as DIGITS of UNIT: an inch needs one or two more. */
int lw_units_digits (LwUnits units, int digits, const char *unit);
/* A sentence with its figures converted: "12.3 mm", "20 to 30 °C", "4 × 5 mm". Figures of other units and bare
 * numbers stay. (transfer full) */
char *lw_units_sentence (LwUnits units, const char *text);
/* The same for a paragraph that wraps: no line ends between a figure and its unit. (transfer full) */
char *lw_units_paragraph (LwUnits units, const char *text);
/* A heading such as "Height, mm" or "x (mm)" with its unit converted. (transfer full) */
char *lw_units_heading (LwUnits units, const char *text);

G_END_DECLS

#endif
