/* Radiation between grey, diffuse surfaces, and the view factor that it needs: J. R. Howell, "A Catalog of Radiation Heat
 * Transfer Configuration Factors"; Incropera, chapter 13. */
#include "heat/films.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

double
heat_grey_pair (double e1, double e2, double f)
{
  if (!(e1 > 0 && e2 > 0 && f > 0))
    return 0;
  return 1 / ((1 - e1) / e1 + 1 / f + (1 - e2) / e2);
}

/* Howell B-4: an element below the corner of a rectangle A x B; odd in both, so that corners add up. */
static double
corner_view (double a, double b, double gap)
{
  double x = a / gap, y = b / gap, rx = sqrt (1 + x * x), ry = sqrt (1 + y * y);
  return (x / rx * atan (y / rx) + y / ry * atan (x / ry)) / (2 * pi);
}

double
heat_view_element (double x, double y, const double r[4], double gap)
{
  double x0 = r[0] - x, x1 = r[1] - x, y0 = r[2] - y, y1 = r[3] - y;
  return corner_view (x1, y1, gap) - corner_view (x0, y1, gap) - corner_view (x1, y0, gap)
         + corner_view (x0, y0, gap);
}
