/* Radiation between grey, diffuse surfaces, and the view factors that it needs.
 * Formulas: J. R. Howell, "A Catalog of Radiation Heat Transfer Configuration Factors" (numbers beside
 * each); J. C. Ehlert and T. F. Smith, J. Thermophysics and Heat Transfer 7 (1993) 173-175; Incropera,
 * chapter 13. Every one is checked in tests/heat/test-films.c. */
#include "heat/films.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const double sigma = 5.670374419e-8; /* W/m2K4, CODATA 2018 */

double
heat_radiation_film (double emissivity, double a_c, double b_c)
{
  double a = a_c + 273.15, b = b_c + 273.15;
  return emissivity * sigma * (a * a + b * b) * (a + b);
}

double
heat_grey_pair (double e1, double e2, double f)
{
  if (!(e1 > 0 && e2 > 0 && f > 0))
    return 0;
  return 1 / ((1 - e1) / e1 + 1 / f + (1 - e2) / e2);
}

/* Howell C-11. */
double
heat_view_parallel (double a, double b, double gap)
{
  double x = a / gap, y = b / gap, x2 = x * x, y2 = y * y;
  double rx = sqrt (1 + x2), ry = sqrt (1 + y2);
  double sum = 0.5 * log ((1 + x2) * (1 + y2) / (1 + x2 + y2)) + x * ry * atan (x / ry) + y * rx * atan (y / rx)
               - x * atan (x) - y * atan (y);
  return 2 / (pi * x * y) * sum;
}

/* Howell C-14. */
double
heat_view_perpendicular (double common, double emitter, double other)
{
  double w = emitter / common, h = other / common, w2 = w * w, h2 = h * h, both = w2 + h2;
  double logs = log ((1 + w2) * (1 + h2) / (1 + both))
                + w2 * log (w2 * (1 + both) / ((1 + w2) * both))
                + h2 * log (h2 * (1 + both) / ((1 + h2) * both));
  double root = sqrt (both);
  return (w * atan (1 / w) + h * atan (1 / h) - root * atan (1 / root) + 0.25 * logs) / (pi * w);
}

/* Ehlert and Smith's double primitive; its second mixed difference is the area integral. */
static double
primitive (double a, double b, double gap)
{
  double ra = sqrt (a * a + gap * gap), rb = sqrt (b * b + gap * gap);
  return (b * ra * atan (b / ra) + a * rb * atan (a / rb)
          - 0.5 * gap * gap * log (a * a + b * b + gap * gap))
         / (2 * pi);
}

double
heat_view_rectangles (const double r1[4], const double r2[4], double gap)
{
  double sum = 0;
  for (int corner = 0; corner < 16; corner++) {
    int i = corner & 1, j = corner >> 1 & 1, k = corner >> 2 & 1, l = corner >> 3 & 1;
    double sign = (i + j + k + l) % 2 ? -1 : 1;
    sum += sign * primitive (r1[i] - r2[l], r1[2 + j] - r2[2 + k], gap);
  }
  return sum / ((r1[1] - r1[0]) * (r1[3] - r1[2]));
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

/* Howell B-5. */
double
heat_view_element_wall (double a, double b, double c)
{
  double x = a / b, y = c / b, root = sqrt (x * x + y * y);
  return (atan (1 / y) - y / root * atan (1 / root)) / (2 * pi);
}

double
heat_view_long_wall (double h, double d)
{
  return 0.5 * (1 - d / sqrt (d * d + h * h));
}
