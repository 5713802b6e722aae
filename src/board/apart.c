#include "board/apart.h"

#include <math.h>
#include <string.h>

/* Decimals that are tried beyond those that are asked for. */
enum { MORE = 6 };

static LwApart
written (double value, double limit, int decimals)
{
  LwApart w;

  g_snprintf (w.value, sizeof w.value, "%.*f", decimals, value);
  g_snprintf (w.limit, sizeof w.limit, "%.*f", decimals, limit);
  return w;
}

int
lw_decimals_apart (double a, double b, int decimals)
{
  if (!isfinite (a) || !isfinite (b) || a == b)
    return decimals;
  for (int n = decimals; n <= decimals + MORE; n++) {
    LwApart w = written (a, b, n);

    if (strcmp (w.value, w.limit) != 0)
      return n;
  }
  return decimals;
}

LwApart
lw_apart (double value, double limit, int decimals)
{
  return written (value, limit, lw_decimals_apart (value, limit, decimals));
}
