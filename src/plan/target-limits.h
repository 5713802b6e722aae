/* What is asked of the part that is reworked where the plan asks for nothing else. Inside plan/. */
#ifndef LW_TARGET_LIMITS_H
#define LW_TARGET_LIMITS_H

#include <glib/gi18n.h>

#define LW_MELT_MARGIN_K 5.0 /* above liquidus before it counts as safe; common practice, no source */
#define LW_MELT_SOURCE                                                                                  \
  N_("all joints liquid before the part moves; 5 K of margin is common practice, no source")
#define LW_SPREAD_WATCH_K 7.0
#define LW_SPREAD_STOP_K 10.0
#define LW_SPREAD_SOURCE                                                                                \
  N_("below 7 K within a package, below 10 K between parts: Lattice TN1076 (2015)")
#define LW_LONG_STOP_S 150.0
#define LW_LONG_WATCH_S 90.0
#define LW_LONG_SOURCE                                                                                  \
  N_("60-150 s above liquidus, J-STD-020; 90 s in rework from memory of makers’ databooks")
#define LW_SHORT_S 40.0
#define LW_SHORT_SOURCE N_("40 s above liquidus in rework, from memory of makers’ databooks")
#define LW_HOT_LEAD_FREE_C 250.0
#define LW_HOT_TIN_LEAD_C 225.0
#define LW_HOT_SOURCE                                                                                     \
  N_("joint peaks in rework, 230-250 °C lead-free, 205-225 °C tin-lead: from memory of IPC-7530A and " \
     "makers’ databooks")
#define LW_RAMP_C_PER_S 3.0
#define LW_RAMP_SOURCE N_("J-STD-020 Table 5-2: 3 °C/s up")

#define LW_LAMINATE_C 260.0
#define LW_LAMINATE_SOURCE N_("laminates are kept at or below 260 °C, from memory")

#endif
