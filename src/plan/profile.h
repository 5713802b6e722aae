/* The trade's figures of a temperature curve, the same for a plan and for a recorded run.
 * Curves are straight lines between samples; times are interpolated on them. */
#ifndef LW_PROFILE_H
#define LW_PROFILE_H

#include <glib.h>

G_BEGIN_DECLS

/* Highest of N values and, AT not NULL, the first index it has; NaN entries are passed over. NaN, AT untouched, without any. */
double lw_profile_peak (const double *v, guint n, guint *at);
/* Fastest rise (> 0) and fall (returned > 0), C/s, between neighbouring samples (window_s = 0) or as a
 * mean over windows of window_s; *AT_S the window's start. */
double lw_profile_ramp_up (const double *t, const double *v, guint n, double window_s, double *at_s);
double lw_profile_ramp_down (const double *t, const double *v, guint n, double window_s, double *at_s);
/* Seconds at or above a level. */
double lw_profile_time_above (const double *t, const double *v, guint n, double level);
/* Seconds from first passing LOW upward to first passing HIGH upward after it; NaN when it does not. */
double lw_profile_rise_time (const double *t, const double *v, guint n, double low, double high);

G_END_DECLS

#endif
