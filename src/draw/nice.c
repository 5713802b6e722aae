#include "draw/nice.h"

#include <math.h>

double
lw_nice_step (double rough, gboolean quarters)
{
  static const double plain[] = { 1.0, 2.0, 5.0, 10.0 }, fine[] = { 1.0, 2.0, 2.5, 5.0, 10.0 };
  const double *steps = quarters ? fine : plain;
  double decade;
  int i = 0;

  if (!isfinite (rough) || rough <= 0.0)
    return 1.0;
  decade = pow (10.0, floor (log10 (rough)));
  while (steps[i] * decade < rough * (1.0 - 1e-9) && steps[i] < 10.0)
    i++;
  return steps[i] * decade;
}

double
lw_nice_seconds (double rough)
{
  static const double steps[] = { 1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1800, 3600 };

  if (!(rough > 1.0))
    return 1.0;
  for (guint i = 0; i < G_N_ELEMENTS (steps); i++) {
    if (steps[i] >= rough * (1.0 - 1e-9))
      return steps[i];
  }
  return 3600.0 * lw_nice_step (rough / 3600.0, FALSE);
}

int
lw_nice_decimals (double step)
{
  for (int decimals = 0; decimals < 6; decimals++) {
    double scaled = step * pow (10.0, decimals);

    if (fabs (scaled - round (scaled)) < 1e-6 * scaled)
      return decimals;
  }
  return 6;
}
