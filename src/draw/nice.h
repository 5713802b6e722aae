/* Round numbers for scales. */
#ifndef LW_NICE_H
#define LW_NICE_H

#include <glib.h>

G_BEGIN_DECLS

/* Smallest of 1, 2, 5 (2.5 too when QUARTERS) times a power of ten that is >= ROUGH; 1 when ROUGH is
 * not a positive number. */
double lw_nice_step (double rough, gboolean quarters);
/* Same for seconds: 1 2 5 10 15 20 30 60 120 300 600 900 1800 3600 and on. */
double lw_nice_seconds (double rough);
/* Fewest decimals (0..6) that tell multiples of STEP apart. */
int lw_nice_decimals (double step);

G_END_DECLS

#endif
