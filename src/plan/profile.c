/* Figures of a temperature curve. Between samples the curve is a straight line, so every crossing and
 * every extreme of a windowed slope is found exactly: the mean slope over a sliding window is piecewise
 * linear in the window's place and peaks where one of its ends lies on a sample. */
#include "plan/profile.h"

#include <math.h>

double
lw_profile_peak (const double *v, guint n, guint *at)
{
  double peak = NAN;
  for (guint i = 0; i < n; i++)
    if (!isnan (v[i]) && !(v[i] <= peak)) {
      peak = v[i];
      if (at != NULL)
        *at = i;
    }
  return peak;
}

/* Value at a time that lies within the curve. *AT is the piece that holds it, from an earlier time's on. */
static double
value_at (const double *t, const double *v, guint n, double time, guint *at)
{
  guint lo = *at;

  if (time <= t[0])
    return v[0];
  if (time >= t[n - 1])
    return v[n - 1];
  while (t[lo + 1] <= time)
    lo++;
  *at = lo;
  return v[lo] + (v[lo + 1] - v[lo]) * (time - t[lo]) / (t[lo + 1] - t[lo]);
}

static void
keep_fastest (double slope, double start, double *best, double *at_s)
{
  if (slope > *best) {
    *best = slope;
    if (at_s != NULL)
      *at_s = start;
  }
}

static void
fastest_between_samples (const double *t, const double *v, guint n, double sign, double *best,
                         double *at_s)
{
  for (guint i = 1; i < n; i++)
    if (t[i] > t[i - 1])
      keep_fastest (sign * (v[i] - v[i - 1]) / (t[i] - t[i - 1]), t[i - 1], best, at_s);
}

static void
fastest_in_windows (const double *t, const double *v, guint n, double window, double sign, double *best,
                    double *at_s)
{
  guint ahead = 0, behind = 0;

  for (guint i = 0; i < n; i++) {
    if (t[i] + window <= t[n - 1])
      keep_fastest (sign * (value_at (t, v, n, t[i] + window, &ahead) - v[i]) / window, t[i], best, at_s);
    if (t[i] - window >= t[0])
      keep_fastest (sign * (v[i] - value_at (t, v, n, t[i] - window, &behind)) / window, t[i] - window, best, at_s);
  }
}

/* Fastest change in the direction SIGN; 0 when the curve never goes that way. A curve shorter than the
 * window is one window. */
static double
fastest (const double *t, const double *v, guint n, double window_s, double sign, double *at_s)
{
  double best = 0;
  if (at_s != NULL)
    *at_s = NAN;
  if (n < 2 || !(t[n - 1] > t[0]))
    return 0;
  if (window_s > 0)
    fastest_in_windows (t, v, n, MIN (window_s, t[n - 1] - t[0]), sign, &best, at_s);
  else
    fastest_between_samples (t, v, n, sign, &best, at_s);
  return best;
}

double
lw_profile_ramp_up (const double *t, const double *v, guint n, double window_s, double *at_s)
{
  return fastest (t, v, n, window_s, 1, at_s);
}

double
lw_profile_ramp_down (const double *t, const double *v, guint n, double window_s, double *at_s)
{
  return fastest (t, v, n, window_s, -1, at_s);
}

double
lw_profile_time_above (const double *t, const double *v, guint n, double level)
{
  double sum = 0;
  for (guint i = 1; i < n; i++) {
    double a = v[i - 1] - level, b = v[i] - level, dt = t[i] - t[i - 1];
    if (a >= 0 && b >= 0)
      sum += dt;
    else if (a >= 0 || b >= 0)
      sum += dt * MAX (a, b) / fabs (a - b);
  }
  return sum;
}

/* First moment from sample FROM on (and not before NOT_BEFORE) at which the curve comes up to LEVEL;
 * *AT is the sample that ends the piece. NaN when it never does. */
static double
rise_through (const double *t, const double *v, guint n, double level, double not_before, guint from,
              guint *at)
{
  if (from == 0 && n > 0 && v[0] == level) {
    *at = 0;
    return t[0];
  }
  for (guint i = MAX (from, 1); i < n; i++)
    if (v[i - 1] < level && v[i] >= level) {
      double when = t[i - 1] + (t[i] - t[i - 1]) * (level - v[i - 1]) / (v[i] - v[i - 1]);
      if (when < not_before)
        continue;
      *at = i;
      return when;
    }
  return NAN;
}

double
lw_profile_rise_time (const double *t, const double *v, guint n, double low, double high)
{
  guint at = 0;
  double start = rise_through (t, v, n, low, -INFINITY, 0, &at);
  if (isnan (start))
    return NAN;
  return rise_through (t, v, n, high, start, MAX (at, 1), &at) - start;
}
