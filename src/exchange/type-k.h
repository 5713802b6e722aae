/* Type K thermocouples: voltage and temperature by ITS-90 (reference function of NIST Monograph 175, as IEC 60584-1
 * has it), both ways. */
#ifndef LW_TYPE_K_H
#define LW_TYPE_K_H

#include <glib.h>

G_BEGIN_DECLS

#define LW_TYPE_K_MIN_C (-270.0)
#define LW_TYPE_K_MAX_C 1372.0

/* Millivolts at a junction of T_C against one at 0 C; NaN outside the range. */
double lw_type_k_mv (double t_c);
/* Temperature of a junction that shows MV against one at 0 C, -200 to 1372 C; NaN outside. */
double lw_type_k_c (double mv);
/* The same where the other junction is at COLD_C. */
double lw_type_k_with_cold_c (double mv, double cold_c);

G_END_DECLS

#endif
