/* Temperature colours.
 *
 * Two paths through CIELAB (CIE 15:2004, D65), both of steadily changing lightness so that the order of
 * temperatures survives in grey, in print and under every kind of colour blindness. The order of hues
 * (blue-violet, red, orange, yellow) and the middle figures follow the published scheme "inferno"
 * (N. Smith, S. van der Walt, 2015, released under CC0); the cold end was drawn anew for each look, so
 * that cold board sinks into paper or slate, and the knots were spaced again to equal steps of
 * CIE 1976 colour difference. On paper hot is dark, on slate hot is bright: hot always stands out.
 * Print is a grey ramp that stops short of black, so that black lines stay legible on it. */
#include "draw/draw.h"

#include <math.h>

#define N_KNOTS 13

typedef struct {
  double l, a, b;
} Lab;

static const Lab light_path[N_KNOTS] = {
  { 96.9, -0.5, 6.8 },  { 92.6, 0.9, 20.4 },  { 87.1, 6.0, 32.5 },  { 80.1, 15.1, 40.7 },
  { 72.4, 26.6, 43.8 }, { 64.6, 38.1, 41.1 }, { 57.2, 46.8, 32.7 }, { 50.4, 51.2, 21.0 },
  { 44.3, 52.3, 8.3 },  { 38.3, 51.1, -4.7 }, { 31.7, 47.0, -16.6 }, { 23.5, 39.6, -25.4 },
  { 15.2, 29.0, -24.4 },
};

static const Lab dark_path[N_KNOTS] = {
  { 18.4, 1.0, -9.9 },  { 20.6, 15.1, -24.6 }, { 24.6, 32.5, -32.6 }, { 31.6, 46.6, -21.7 },
  { 38.5, 51.3, -3.2 }, { 45.3, 53.5, 15.9 },  { 51.8, 53.4, 35.1 },  { 58.8, 48.1, 53.4 },
  { 66.7, 36.5, 67.8 }, { 75.7, 19.1, 72.0 },  { 84.3, 1.4, 67.8 },   { 91.3, -6.0, 50.7 },
  { 96.5, -8.4, 31.3 },
};

static const Lab print_path[2] = { { 98.0, 0.0, 0.0 }, { 58.0, 0.0, 0.0 } };

/* Inverse of the CIELAB cube-root law; constants as CIE 15:2004 gives them. */
static double
lab_uncurve (double f)
{
  return f > 6.0 / 29.0 ? f * f * f : 3.0 * (6.0 / 29.0) * (6.0 / 29.0) * (f - 4.0 / 29.0);
}

/* Linear light to the coded value of IEC 61966-2-1 (sRGB). */
static double
srgb_code (double linear)
{
  double v = CLAMP (linear, 0.0, 1.0);

  return v <= 0.0031308 ? 12.92 * v : 1.055 * pow (v, 1.0 / 2.4) - 0.055;
}

static LwColor
lab_to_color (Lab lab)
{
  double fy = (lab.l + 16.0) / 116.0;
  double x = 0.95047 * lab_uncurve (fy + lab.a / 500.0);
  double y = lab_uncurve (fy);
  double z = 1.08883 * lab_uncurve (fy - lab.b / 200.0);

  return (LwColor){ srgb_code (3.2404542 * x - 1.5371385 * y - 0.4985314 * z),
                    srgb_code (-0.9692660 * x + 1.8760108 * y + 0.0415560 * z),
                    srgb_code (0.0556434 * x - 0.2040259 * y + 1.0572252 * z), 1.0 };
}

static Lab
along (const Lab *path, int n, double share)
{
  double at = share * (n - 1);
  int i = MIN ((int) at, n - 2);
  double f = at - i;

  return (Lab){ path[i].l + f * (path[i + 1].l - path[i].l), path[i].a + f * (path[i + 1].a - path[i].a),
                path[i].b + f * (path[i + 1].b - path[i].b) };
}

LwColor
lw_heat_color (double share, LwLook look)
{
  double s = isnan (share) ? 0.0 : CLAMP (share, 0.0, 1.0);

  switch (look) {
  case LW_LOOK_DARK:
  case LW_LOOK_DARK_STRONG:
    return lab_to_color (along (dark_path, N_KNOTS, s));
  case LW_LOOK_PRINT:
    return lab_to_color (along (print_path, 2, s));
  case LW_LOOK_LIGHT:
  case LW_LOOK_LIGHT_STRONG:
    break;
  }
  return lab_to_color (along (light_path, N_KNOTS, s));
}
