/* Two figures that are held against each other, in writing: rounding must not make them equal when they are not, or a
 * limit that is passed reads as if it were met. */
#ifndef LW_APART_H
#define LW_APART_H

#include <glib.h>

G_BEGIN_DECLS

/* The fewest decimals, DECIMALS at least, with which A and B are written differently. DECIMALS itself when either is no
 * number, when they are equal, or when six more do not tell them apart. */
int lw_decimals_apart (double a, double b, int decimals);

/* A figure and its limit as they are written together, both with lw_decimals_apart() decimals, in the locale. */
typedef struct {
  char value[48], limit[48];
} LwApart;

LwApart lw_apart (double value, double limit, int decimals); /* by value: nothing to free */

G_END_DECLS

#endif
